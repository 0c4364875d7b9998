# SPDX-License-Identifier: GPL-3.0-or-later
"""An emergency stop, integrated in time.

What depends on the angle alone is laid on a fine grid and joined by splines for the scan over all angles;
the worst stop is then integrated again, with the exact terms.
"""

import math

import numpy
from scipy import integrate, interpolate, optimize

from equilibrium import Load, Motion, stand
from linkage import Stuck
from located import angles
from terms import Term

CALM = Load(Term(0.0), Term(0.0), Term(0.0))
GRID = math.radians(0.25)
FULL_TURN = 2 * math.pi
LONGEST = 600.0
PAUSE = 0.02
EQUALLY = 1e-6


def inertia(leaf, angle):
    """Of leaf, counterweight and rotors; and half its slope, from second derivatives of the geometry."""
    pose = leaf.pose(angle)
    whole, half_slope = pose.inertia.value, 0.0
    if pose.link:
        half_slope += leaf.linked.body.inertia().value * pose.link.turn.first * pose.link.turn.second
    if leaf.drive and leaf.motors and not leaf.drive.pressed:
        ratio, growth = leaf.drive.ratio_and_growth(angle)
        whole += leaf.motors.inertia * ratio**2
        half_slope += leaf.motors.inertia * ratio * growth
    return whole, half_slope


def resistances(leaf, angle):
    """Balance, and friction while opening and closing, with no drive force: power is off."""
    pose = leaf.pose(angle)
    idle = pose._replace(hold=None)
    frictions = [stand(leaf, idle, CALM, Motion(sense, "moving")).friction.value for sense in (1, -1)]
    return pose.balance.value, *frictions


def exact_terms(leaf):
    def terms(angle):
        return (*inertia(leaf, angle), *resistances(leaf, angle))

    return terms


def splined_terms(leaf, reach):
    """On a grid that goes beyond the travel as far as the link lets it; still further, the exact terms."""
    exact = exact_terms(leaf)
    count = math.ceil(leaf.opens_to / GRID)
    beyond = math.ceil(reach / GRID)
    grid, rows = [], []
    for index in range(-beyond, count + beyond + 1):
        angle = leaf.opens_to * index / count
        try:
            row = exact(angle)
        except Stuck:
            if index > count:
                break
            grid, rows = [], []
            continue
        grid.append(angle)
        rows.append(row)
    spline = interpolate.CubicSpline(grid, rows)
    return lambda angle: spline(angle) if grid[0] <= angle <= grid[-1] else exact(angle)


class Stop:
    def __init__(self, terms, brakes, start, sense, speed, whole=True):
        self.terms, self.brakes, self.start, self.sense, self.speed = terms, brakes, start, sense, speed
        self.whole = whole
        self.run()

    def acceleration(self, time, angle, speed):
        """Of the opening angle."""
        whole, half_slope, balance, opening, closing = self.terms(angle)
        friction = opening if self.sense > 0 else closing
        grip = sum(brake.count * brake.one() * brake.share(time) for brake in self.brakes)
        return -(balance + self.sense * (friction + grip) + half_slope * speed**2) / whole

    def change(self, time, state):
        angle, speed = state[:2]
        heats = [brake.share(time) * brake.one() * abs(speed) for brake in self.brakes]
        return [speed, self.acceleration(time, angle, speed), *heats]

    def run(self):
        def rest(_, state):
            return self.sense * state[1]

        def far(_, state):
            return abs(state[0] - self.start) - FULL_TURN

        rest.terminal = far.terminal = True
        rest.direction = -1
        self.stops, marks = False, {0.0, LONGEST}
        for brake in self.brakes:
            marks |= {brake.delay, brake.delay + brake.set_time}
        marks = sorted(mark for mark in marks if mark <= LONGEST)
        state, self.peak = [self.start, self.sense * self.speed] + [0.0] * len(self.brakes), 0.0
        for begin, end in zip(marks, marks[1:]):
            # A stretch begins with the brakes as they are just within it.
            inside = (begin + 1e-12 * (end - begin), end)
            solution = integrate.solve_ivp(
                self.change, inside, state, method="DOP853", rtol=1e-10, atol=1e-12, events=[rest, far],
                dense_output=True, max_step=0.25,
            )  # fmt: skip
            state = solution.y[:, -1]
            if self.whole:
                self.look_for_peak(solution)
            if len(solution.t_events[0]):
                self.stops, self.time, self.state = True, solution.t[-1], state
                return
            if len(solution.t_events[1]):
                break

    def look_for_peak(self, solution):
        """The largest deceleration: the best of many moments, searched between its neighbours."""

        def slowing(time):
            angle, speed = solution.sol(time)[:2]
            return -self.sense * self.acceleration(time, angle, speed)

        moments = numpy.linspace(solution.t[0], solution.t[-1], 40 + int((solution.t[-1] - solution.t[0]) / PAUSE))
        rates = [slowing(time) for time in moments]
        best = int(numpy.argmax(rates))
        between = (moments[max(best - 1, 0)], moments[min(best + 1, len(moments) - 1)])
        found = optimize.minimize_scalar(lambda time: -slowing(time), bounds=between, method="bounded")
        self.peak = max(self.peak, rates[best], -found.fun)

    def length(self):
        """Of the run; endless where the brakes do not bring the leaf to rest."""
        if not self.stops:
            return math.inf
        return abs(self.state[0] - self.start)

    def result(self):
        return {
            "from_angle_deg": Term(math.degrees(self.start)),
            "direction": "opening" if self.sense > 0 else "closing",
            "stops": self.stops,
            "time_s": Term(float(self.time)),
            "run_deg": Term(math.degrees(self.length())),
            "peak_deceleration_deg_s2": Term(math.degrees(self.peak)),
            "heat_J": [heated(brake, float(heat)) for brake, heat in zip(self.brakes, self.state[2:])],
        }


def starts(leaf):
    """The near switches and the whole degrees between them: outside them the leaf does not go at full speed."""
    ends = (leaf.travel.near_closed, leaf.travel.near_open)
    return [*ends, *(angle for angle in angles(leaf.opens_to) if ends[0] < angle < ends[1])]


def heated(brake, heat):
    row = {"name": brake.name, "heat_J": Term(heat)}
    if brake.heat_capacity:
        row["temperature_rise_K"] = Term(heat / brake.heat_capacity)
    return row


class WorstStop:
    """One that does not stop within the travel, or else the longest run; another as far to 1e-6 is as good."""

    def __init__(self, leaf, brakes):
        self.leaf, self.brakes = leaf, brakes
        self.speed = leaf.travel.speed
        reach = 1.2 * self.speed * max(brake.delay + brake.set_time for brake in brakes) + math.radians(5)
        terms = splined_terms(leaf, reach)
        stops = [
            Stop(terms, brakes, start, sense, self.speed, whole=False) for start in starts(leaf) for sense in (1, -1)
        ]
        worst = max(stops, key=lambda stop: (self.fails(stop), stop.length(), stop.start, stop.sense))
        self.stop = self.exact(worst.start, worst.sense)

    def exact(self, start, sense):
        return Stop(exact_terms(self.leaf), self.brakes, start, sense, self.speed)

    def row(self):
        return self.stop.result()

    def fails(self, stop):
        return not stop.stops or not 0 <= stop.state[0] <= self.leaf.opens_to

    def row_for(self, got):
        degrees = got.get("from_angle_deg") if isinstance(got, dict) else None
        if not isinstance(degrees, float):
            return self.row()
        if self.fails(self.stop):
            # What is said of a stop that never ends, or ends past an end of the travel, has no right value.
            return {**got, "stops": False}
        other = self.exact(math.radians(degrees), 1 if got.get("direction") == "opening" else -1)
        return (other if other.length() >= self.stop.length() * (1 - EQUALLY) else self.stop).result()


def worst_stop(leaf, brakes):
    """None where a run goes past a dead point."""
    try:
        return WorstStop(leaf, brakes)
    except Stuck:
        return None
