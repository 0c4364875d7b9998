# SPDX-License-Identifier: GPL-3.0-or-later
"""What `cycle` answers of an opening and a closing in steady wind, up to the full switch.

The speed reference is laid in time. While the drive follows it the motion is known, and torque and work
are integrated over it; where its limit does not do, and across the line, the equation of motion is
solved step by step for the acceleration that the torque leaves.
"""

import math
from typing import NamedTuple

import numpy
from scipy import integrate, optimize

from equilibrium import Load, Motion, stand, wind_and_ice
from laws import Law, read_seating
from moments import centrifugal, ice_parts, motor_torque
from terms import Term
from wind import breaks

NODES, WEIGHTS = numpy.polynomial.legendre.leggauss(8)
PIECES = 16
LONGEST = 4000.0


class Instant(NamedTuple):
    time: float
    angle: float
    speed: float  # in the direction of travel


class Effort(NamedTuple):
    """What the drive gives: at the motors' shafts, of all of them; or the moment of the oil, and its pressure."""

    torque: float
    pressure: float
    ratio: float
    demand: float  # at the leaf


class Course:
    """One direction of a leaf under its case."""

    def __init__(self, leaf, case, sense):
        self.leaf, self.case, self.sense = leaf, case, sense
        self.ice = ice_parts(leaf, case)
        self.law, self.seating = Law(leaf), read_seating(leaf)
        self.wind = case.wind.sense(sense > 0) if case.wind else 0
        travel = leaf.travel
        self.start = 0.0 if sense > 0 else leaf.opens_to
        self.near = travel.near_open if sense > 0 else travel.near_closed
        self.full = travel.full_open if sense > 0 else travel.full_closed

    def ahead(self, angle, mark):
        """How far a mark still lies ahead."""
        return self.sense * (mark - angle)

    def load(self, angle, speed):
        """Wind, ice, and the toe on buffers and shoes."""
        _, load = wind_and_ice(self.leaf, self.case, self.ice, angle, self.wind)
        toe = self.seating.force(angle, self.sense * speed) if self.seating else 0.0
        if not toe:
            return load
        lift = toe * self.leaf.toe * math.cos(angle)
        return Load(load.closing - Term(lift), load.along, load.upward + Term(toe), load.inertia)

    def demand(self, angle, speed, alpha, state=None):
        """At the leaf, in the direction of travel; and the force of the drive."""
        pose, load = self.leaf.pose(angle), self.load(angle, speed)
        motion = Motion(self.sense, state or self.case.state, alpha, speed**2)
        standing = stand(self.leaf, pose, load, motion)
        inertia = (pose.inertia + load.inertia) * alpha + centrifugal(self.leaf, pose, self.sense, speed**2)
        return (pose.balance + load.closing) * self.sense + standing.friction + inertia, standing.force

    def effort(self, angle, speed, alpha, state=None):
        demand, force = self.demand(angle, speed, alpha, state)
        if self.leaf.drive.pressed:
            loss = 1 / self.leaf.drive.efficiency if demand.value >= 0 else self.leaf.drive.efficiency
            pressure = self.leaf.drive.pressure(force, demand).value
            return Effort(demand.value * loss, math.copysign(pressure, demand.value), 1.0, demand.value)
        torque = motor_torque(self.leaf, demand, alpha, angle, running=1, growing=self.sense * speed**2)
        return Effort(torque.value, 0.0, self.leaf.drive.ratio(angle), demand.value)

    def room(self, effort, speed, side):
        """Between what the drive gives and what its law gives at most on a side; the size is that of the law."""
        if self.leaf.drive.pressed:
            return self.leaf.drive.most - side * effort.pressure
        return self.law.most(speed * effort.ratio, side) - side * effort.torque

    def acceleration(self, angle, speed, lacking):
        """For which what the law gives is what is given: lacking of the effort is 0. By secants."""

        def left(alpha):
            return lacking(self.effort(angle, speed, alpha))

        alpha, step = self.guess, 1e-3 * self.leaf.travel.acceleration
        value = left(alpha)
        for _ in range(60):
            before, alpha = value, alpha + step
            value = left(alpha)
            if value == before or abs(step) <= 1e-13 * self.leaf.travel.acceleration:
                break
            step *= -value / (value - before)
        self.guess = alpha
        return alpha


class Tally:
    """Work given, torque squared, and peaks, of each running motor."""

    def __init__(self, course):
        self.course, self.driving, self.squares, self.peak, self.pressure = course, 0.0, 0.0, 0.0, 0.0
        self.flow = 0.0  # of work, either way: what the driving is small beside
        self.running = 1 if course.leaf.drive.pressed else course.leaf.motors.running

    def see(self, effort):
        self.peak = max(self.peak, abs(effort.torque) / self.running)
        self.pressure = max(self.pressure, abs(effort.pressure))


class Reference:
    """A speed over time that changes at a rate until it is at its target."""

    def __init__(self, travel):
        self.travel = travel
        self.since, self.value, self.target, self.rate = 0.0, 0.0, travel.speed, travel.acceleration

    def at(self, time):
        return self.target if time >= self.until() else self.value + self.rate * (time - self.since)

    def until(self):
        return self.since + ((self.target - self.value) / self.rate if self.rate else 0.0)

    def slope(self, time):
        return self.rate if time < self.until() - 1e-12 else 0.0

    def creep(self, time):
        now, target = self.at(time), self.travel.creep
        rate = -self.travel.deceleration if now > target else self.travel.acceleration
        self.since, self.value, self.target, self.rate = time, now, target, rate if now != target else 0.0


class Run:
    """From rest to the full switch, or to a standstill."""

    def __init__(self, leaf, case, sense):
        self.course = Course(leaf, case, sense)
        self.reference, self.tally = Reference(leaf.travel), Tally(self.course)
        self.lag, self.arrived, self.slowed = 0.0, False, False
        self.at = Instant(0.0, self.course.start, 0.0)
        self.side = 0
        if self.breaks_away():
            self.go()

    def breaks_away(self):
        course = self.course
        self.course.guess = 0.0
        effort = course.effort(course.start, 0.0, 0.0, "starting")
        if course.leaf.drive.pressed or not course.law.line:
            return course.room(effort, 0.0, 1) > 0
        return course.law.torque(0.0) > effort.torque

    def go(self):
        while not self.arrived and self.at.time < LONGEST:
            if self.course.law.line:
                moved = self.push(self.on_line, None)
            elif self.falls_short():
                moved = self.push(self.at_limit, self.caught_up)
            else:
                moved = self.follow()
            if not moved:
                return

    def passed(self):
        """At a switch: what it does."""
        course = self.course
        if not self.slowed and course.ahead(self.at.angle, course.near) <= 1e-12:
            self.slowed = True
            self.reference.creep(self.at.time)
        self.arrived = course.ahead(self.at.angle, course.full) <= 1e-12

    def next_mark(self):
        return self.course.full if self.slowed else self.course.near

    # following

    def falls_short(self):
        """Sets the side on which the law does not do."""
        if self.side:
            return True
        slope = self.reference.slope(self.at.time)
        effort = self.course.effort(self.at.angle, self.at.speed, slope)
        for side in (1, -1):
            room = self.course.room(effort, self.at.speed, side)
            if room < -1e-9 * (abs(effort.torque) + abs(effort.pressure)):
                self.side = side
        return self.side != 0

    def stretch(self):
        """The motion from now on with the present slope of the reference, and how long it lasts at most."""
        at, slope = self.at, self.reference.slope(self.at.time)

        def when(time):
            since = time - at.time
            run = at.speed * since + slope * since**2 / 2
            return Instant(time, at.angle + self.course.sense * run, at.speed + slope * since)

        whole = abs(self.course.ahead(at.angle, self.next_mark()))
        inside = at.speed**2 + 2 * slope * whole
        seconds = 2 * whole / (at.speed + math.sqrt(inside)) if inside >= 0 else math.inf
        end = at.time + seconds
        if slope:
            end = min(end, self.reference.until())
        return when, slope, end

    def marks(self, when, end):
        """Moments at which wind or seat bend, and enough between them to see a sign change."""
        course, angles = self.course, []
        if course.case.wind:
            angles += breaks(course.leaf.surfaces, course.case.wind, course.leaf.opens_to)
        if course.seating:
            angles += course.seating.bends()
        moments = [self.at.time + (end - self.at.time) * piece / PIECES for piece in range(PIECES + 1)]
        for angle in angles:
            low, high = when(self.at.time).angle, when(end).angle
            if min(low, high) < angle < max(low, high):
                moments.append(optimize.brentq(lambda time: when(time).angle - angle, self.at.time, end, xtol=1e-13))
        moments.sort()
        if course.seating:
            moments += self.releases(when, moments)
        return sorted(moments)

    def releases(self, when, moments):
        """Where a buffer's own force goes through 0."""

        def push(time):
            at = when(time)
            return self.course.seating.push(at.angle, self.course.sense * at.speed)

        return [optimize.brentq(push, before, after, xtol=1e-13)
                for before, after in zip(moments, moments[1:]) if push(before) * push(after) < 0]  # fmt: skip

    def follow(self):
        when, slope, end = self.stretch()
        course = self.course

        def effort(time):
            at = when(time)
            return course.effort(at.angle, at.speed, slope)

        def least_room(time):
            given = effort(time)
            return min(course.room(given, when(time).speed, side) for side in (1, -1))

        moments, stop = self.marks(when, end), end
        for before, after in zip(moments, moments[1:]):
            if least_room(after) < 0 <= least_room(before):
                stop = optimize.brentq(least_room, before, after, xtol=1e-13)
                break
        self.add([moment for moment in moments if moment < stop] + [stop], when, effort)
        self.at = when(stop)
        if stop == end:
            self.settle(end)
        else:
            given = effort(stop)
            self.side = 1 if given.torque > 0 else -1
        return True

    def settle(self, end):
        """At the end of a stretch: to the last bit on a switch or at the reference's target."""
        course = self.course
        if abs(course.ahead(self.at.angle, self.next_mark())) < 1e-11:
            self.at = self.at._replace(angle=self.next_mark())
            self.passed()
        if end >= self.reference.until() - 1e-12 and not self.course.law.line:
            self.at = self.at._replace(speed=self.reference.at(self.at.time + 1e-12))

    def add(self, moments, when, effort):
        """Work and squares over a stretch that is followed, piece by piece; split where torque or demand are 0."""
        edges = [moments[0]]
        for before, after in zip(moments, moments[1:]):
            for value in (lambda time: effort(time).torque, lambda time: effort(time).demand):
                if value(before) * value(after) < 0:
                    edges.append(optimize.brentq(value, before, after, xtol=1e-13))
            edges.append(after)
        edges.sort()
        for before, after in zip(edges, edges[1:]):
            half = (after - before) / 2
            for node, weight in zip(NODES, WEIGHTS):
                time = before + half * (1 + node)
                given = effort(time)
                work = half * weight * given.torque * given.ratio * when(time).speed
                self.tally.driving += max(work, 0.0)
                self.tally.flow += abs(work)
                self.tally.squares += half * weight * (given.torque / self.tally.running) ** 2
            self.see_peak(effort, before, after)

    def see_peak(self, effort, before, after):
        """At the ends; between them only where the middle is higher than both."""
        hair = 1e-9 * (after - before)
        times = before + hair, (before + after) / 2, after - hair
        first, middle, last = (abs(effort(time).torque) for time in times)
        for time in (times[0], times[2]):
            self.tally.see(effort(time))
        if middle > min(first, last):
            bounds = times[0], times[2]
            found = optimize.minimize_scalar(lambda time: -abs(effort(time).torque), bounds=bounds, method="bounded")
            self.tally.see(effort(found.x))

    # at the limit, or across the line

    def at_limit(self, angle, speed):
        side = self.side
        return lambda effort: self.course.room(effort, speed, side) * side

    def on_line(self, angle, speed):
        return lambda effort: self.course.law.torque(speed * effort.ratio) - effort.torque

    def caught_up(self, time, state):
        return self.side * (self.reference.at(time) - state[1]) + 1e-13

    def push(self, lacking, caught):
        """With what the law gives, to the next thing that happens."""
        course, begin = self.course, self.at.time
        course.guess = self.reference.slope(begin)

        def rates(_, state):
            alpha = course.acceleration(state[0], state[1], lacking(state[0], state[1]))
            given = course.effort(state[0], state[1], alpha)
            each = given.torque / self.tally.running
            return [course.sense * state[1], alpha, max(given.torque * given.ratio * state[1], 0.0), each**2]

        def rest(_, state):
            return state[1] + 1e-12

        def mark(_, state):
            return course.ahead(state[0], self.next_mark())

        def caught_here(time, state):
            return caught(time, state) if caught else 1.0

        for event in (rest, mark, caught_here):
            event.terminal, event.direction = True, -1
        until = self.reference.until() if caught and self.reference.until() > begin + 1e-9 else begin + 400.0
        # Across the line the equation is stiff near the synchronous speed.
        method = "LSODA" if course.law.line else "DOP853"
        solution = integrate.solve_ivp(
            rates, (begin, until), [self.at.angle, self.at.speed, 0.0, 0.0], method=method, rtol=1e-10,
            atol=[1e-12, 1e-13, 1e-6, 1e-6], events=[rest, mark, caught_here], dense_output=True,
        )  # fmt: skip
        self.take(solution, rates)
        stopped, at_mark, level = (len(found) > 0 for found in solution.t_events)
        self.lag += 0.0 if course.law.line else self.at.time - begin
        if at_mark:
            self.at = self.at._replace(angle=self.next_mark())
            self.passed()
        elif level:
            self.side = 0
            self.at = self.at._replace(speed=self.reference.at(self.at.time))
        return not stopped

    def take(self, solution, rates):
        heights = [rates(time, state)[3] for time, state in zip(solution.t, solution.y.T)]
        best = int(numpy.argmax(heights))
        bounds = solution.t[max(best - 1, 0)], solution.t[min(best + 1, len(heights) - 1)]
        found = optimize.minimize_scalar(
            lambda time: -rates(time, solution.sol(time))[3], bounds=bounds, method="bounded", options={"xatol": 1e-10}
        )
        self.tally.peak = max(self.tally.peak, math.sqrt(max(heights[best], -found.fun)))
        angle, speed, driving, squares = solution.y[:, -1]
        self.tally.driving += driving
        self.tally.flow += driving
        self.tally.squares += squares
        self.at = Instant(float(solution.t[-1]), float(angle), float(speed))

    def result(self):
        if not self.arrived:
            return {"time_s": None, "reached_switch": False}
        pressed = self.course.leaf.drive.pressed
        return {
            "time_s": Term(self.at.time),
            "peak_motor_Nm": None if pressed else Term(self.tally.peak),
            "rms_motor_Nm": None if pressed else Term(math.sqrt(self.tally.squares / self.at.time)),
            "energy_J": Term(self.tally.driving, self.tally.flow),
            "reached_switch": True,
            "switch_speed_deg_s": Term(math.degrees(self.at.speed)),
            "lag_s": Term(self.lag, self.at.time),
        }


def has_cycle(leaf):
    return bool(leaf.drive and leaf.travel and (leaf.drive.pressed or leaf.motors))


def cycle(leaf):
    """Of the first case, as the command does unless told; what is asked here of all that it answers."""
    leaf.check()
    case = leaf.cases[0]
    return {name: Run(leaf, case, sense).result() for name, sense in (("opening", 1), ("closing", -1))}


def asked(got, want):
    """Of the tool's answer what the reference has, too."""
    return {name: {key: got[name][key] for key in want[name]} for name in want}
