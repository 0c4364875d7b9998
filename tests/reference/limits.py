# SPDX-License-Identifier: GPL-3.0-or-later
"""What `wind` answers: the highest speeds at which the leaf can be raised, lowered and held.

Every condition is followed from calm air to 100 m/s in steps of 1 m/s, all speeds in one solution; the
first failure is then located.
"""

import itertools
import math

import numpy
from scipy import optimize

from braking import capacity, one_out, read_brakes
from equilibrium import Load, Motion, stand
from located import angles, largest
from shapes import number
from terms import Term
from units import quantity
from wind import HEEL, TOE, breaks, read_wind

HIGHEST = 100.0
SPEEDS = numpy.linspace(0.0, HIGHEST, 101)
NEARLY = 0.8
NOTHING = 1e-9


class Limits:
    """The wind of wind_limits, without its speed, and what is allowed."""

    def __init__(self, leaf):
        section = leaf.description["wind_limits"]
        self.leaf = leaf
        one = {key: value for key, value in section.items() if key not in ("friction", "motor_limit", "hold_factor")}
        self.wind = read_wind({**one, "speed": "1 m/s"})
        self.state = section.get("friction", "moving")
        self.motor_limit = number(section.get("motor_limit", "1"))
        self.hold_factor = number(section.get("hold_factor", "1"))

    def load(self, angle, side, speed):
        """Of the wind at 1 m/s, by the square of the speed."""
        return Load(*(Term(each.value * side * speed**2, each.size * speed**2)
                      for each in self.leaf.wind_from_heel(self.wind, angle)))  # fmt: skip

    def moving(self, sense, running):
        """Share of what is allowed that raising or lowering asks."""
        leaf, drive = self.leaf, self.leaf.drive

        def use(angle, side, speed):
            pose, load = leaf.pose(angle), self.load(angle, side, speed)
            standing = stand(leaf, pose, load, Motion(sense, self.state))
            demand = sense * (pose.balance.value + load.closing.value) + standing.friction.value
            loss = numpy.where(demand >= 0, 1 / drive.efficiency, drive.efficiency)
            if drive.pressed:
                force = standing.force.value
                area = numpy.where(force >= 0, drive.bore_area, drive.ring_area)
                return abs(force) * loss / area / (self.motor_limit * drive.most)
            shaft = abs(demand) * loss / drive.ratio(angle)
            return shaft / (running * self.motor_limit * leaf.motors.rated)

        return use

    def holding(self, able):
        def use(angle, side, speed):
            moment = self.leaf.pose(angle).balance.value + self.load(angle, side, speed).closing.value
            return self.hold_factor * abs(moment) / max(able, NOTHING)

        return use


def first_failure(use, angle, side):
    """The first speed at which the use is over 1; infinite where none is."""
    shares = use(angle, side, SPEEDS)
    if shares[0] > 1:
        return 0.0

    def over(speed):
        return float(use(angle, side, speed)) - 1

    for index in range(1, len(SPEEDS)):
        low, high = SPEEDS[index - 1], SPEEDS[index]
        if shares[index] > 1:
            return optimize.brentq(over, low, high, xtol=1e-13)
        before, after = shares[index - 1], shares[min(index + 1, len(SPEEDS) - 1)]
        if shares[index] > NEARLY and shares[index] >= max(before, after):
            around = (low, min(high + 1, HIGHEST))
            peak = optimize.minimize_scalar(lambda speed: -over(speed), bounds=around, method="bounded")
            if -peak.fun > 0:
                return optimize.brentq(over, low, peak.x, xtol=1e-13)
    return math.inf


class Limit:
    """One action; its lowest speed may be given at any angle where it is as low to 1e-6."""

    def __init__(self, action, leaf, use, jumps):
        self.action, self.leaf, self.use, self.known = action, leaf, use, {}
        self.rows = [(angle, self.speed(angle)) for angle in angles(leaf.opens_to)]
        self.angle, badness = largest(lambda angle: -min(self.speed(angle), 10 * HIGHEST), leaf.opens_to, jumps)
        self.lowest = -badness if -badness <= HIGHEST else math.inf

    def speed(self, angle):
        if angle not in self.known:
            self.known[angle] = min(first_failure(self.use, angle, side) for side in (HEEL, TOE))
        return self.known[angle]

    def row(self, angle=None):
        null = math.isinf(self.lowest)
        return {
            "action": self.action,
            "limit_m_s": None if null else Term(self.lowest),
            "angle_deg": None if null else Term(math.degrees(self.angle if angle is None else angle)),
            "rows": [
                {"angle_deg": Term(math.degrees(each)), "speed_m_s": None if math.isinf(speed) else Term(speed)}
                for each, speed in self.rows
            ],
        }

    def row_for(self, got):
        degrees = got.get("angle_deg") if isinstance(got, dict) else None
        if isinstance(degrees, float) and 0 <= degrees <= math.degrees(self.leaf.opens_to) * (1 + 1e-15):
            angle = min(math.radians(degrees), self.leaf.opens_to)
            if self.speed(angle) <= self.lowest * (1 + 1e-6):
                return self.row(angle)
        return self.row()


def questions(leaf, limits):
    """Actions and their uses, as far as the leaf has what they need."""
    asked, left, able = [], 0, capacity(read_brakes(leaf)) if "brakes" in leaf.description else 0
    drives = leaf.drive and (leaf.drive.pressed or leaf.motors)
    if drives:
        running = None if leaf.drive.pressed else leaf.motors.running
        left = 0 if leaf.drive.pressed else min(running, leaf.motors.installed - 1)
        asked += [("raise", limits.moving(1, running)), ("lower", limits.moving(-1, running))]
    if able:
        asked.append(("hold", limits.holding(able)))
    if left:
        asked += [("raise, one motor out", limits.moving(1, left)), ("lower, one motor out", limits.moving(-1, left))]
    if able:
        asked.append(("hold, one brake out", limits.holding(one_out(read_brakes(leaf)))))
    return asked


def comes_down(up, down):
    """From wherever it could be raised to, the way down must bear as much wind as the way up."""
    ways = zip(itertools.accumulate(up, min), itertools.accumulate(down, min))
    return all(below > 0 and below >= above * (1 - 1e-9) for above, below in ways)


def wind(leaf):
    leaf.check()
    limits = Limits(leaf)
    jumps = breaks(leaf.surfaces, limits.wind, leaf.opens_to)
    each = [Limit(action, leaf, use, jumps) for action, use in questions(leaf, limits)]
    lowest = {limit.action: limit.lowest for limit in each}
    result = {"leaf": leaf.name, "limits": each, "posted": None}
    if "posted_wind" in leaf.description:
        posted = quantity(leaf.description["posted_wind"], "speed")
        met = all(lowest.get(action, math.inf) >= posted for action in ("raise", "lower", "hold"))
        result["posted"] = {"speed_m_s": Term(posted), "met": met}
    rows = {limit.action: [speed for _, speed in limit.rows] for limit in each}
    result["comes_down_again"] = comes_down(rows["raise"], rows["lower"]) if "raise" in lowest else None
    return result
