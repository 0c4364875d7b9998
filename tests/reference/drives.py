# SPDX-License-Identifier: GPL-3.0-or-later
"""Drives: where their force takes hold of the leaf, and how it is geared.

A hold gives the point and the direction of the force on the leaf at an angle; everything
else (lever, ratio) follows from it by differentiating the distance it changes.
"""

import math
from typing import NamedTuple

from jets import Jet, distance, rotated, variable
from linkage import Stuck, cross, values
from shapes import number, point
from units import quantity

GRID = math.radians(0.1)


class Hold(NamedTuple):
    """A unit of the drive's force: its force on the leaf and its opening moment; spread goes with its magnitude."""

    force: tuple
    moment: float
    spread: tuple = (0.0, 0.0)


PURE_MOMENT = Hold((0.0, 0.0), 1.0)


def product_of(stages):
    return math.prod(map(number, stages if isinstance(stages, list) else [stages]))


class FixedRatio:
    """A rack on the leaf: the same motor turns per leaf turn at every angle."""

    pressed = False

    def __init__(self, description):
        self.turns = number(description["ratio"])
        self.efficiency = product_of(description["efficiency"])
        rack = description.get("rack")
        self.described = rack is not None
        self.fixed_hold = PURE_MOMENT
        if rack:
            radius, pinion = quantity(rack["radius"], "length"), quantity(rack["pinion"], "angle")
            slant = math.tan(quantity(rack["pressure_angle"], "angle"))
            cos, sin = math.cos(pinion), math.sin(pinion)
            lever = cross((radius * cos, radius * sin), (-sin, cos))
            self.fixed_hold = Hold((-sin, cos), lever, (-slant * cos, -slant * sin))

    def ratio(self, angle):
        return self.turns

    def ratio_and_growth(self, angle):
        return self.turns, 0.0

    def hold(self, angle):
        return self.fixed_hold

    def check(self, opens_to):
        """Nothing to be stuck."""


class Line:
    """A force along the line from a fixed point to a pin of the leaf; positive pushes."""

    described = True

    def __init__(self, pin, fixed):
        self.pin, self.fixed = pin, fixed

    def length(self, angle):
        """From the fixed point to the pin, as a jet of the opening angle."""
        return distance(rotated(self.pin, variable(angle)), self.fixed)

    def slope(self, angle):
        return self.length(angle).first

    def hold(self, angle):
        x, y = values(rotated(self.pin, Jet(angle)))
        length = math.hypot(x - self.fixed[0], y - self.fixed[1])
        along = ((x - self.fixed[0]) / length, (y - self.fixed[1]) / length)
        return Hold(along, self.slope(angle))

    def check(self, opens_to):
        """Raises Stuck where the line passes through the trunnion within the travel."""
        count = math.ceil(opens_to / GRID)
        slopes = [self.slope(opens_to * index / count) for index in range(count + 1)]
        reach = math.hypot(*self.pin)
        if min(slopes) <= 1e-12 * reach and max(slopes) >= -1e-12 * reach:
            raise Stuck("the strut or cylinder has a dead point")


class Strut(Line):
    pressed = False

    def __init__(self, description):
        strut = description["strut"]
        super().__init__(point(strut["on_leaf"]), point(strut["pinion"]))
        self.turns_per_metre = number(strut["ratio"]) / quantity(strut["pinion_radius"], "length")
        self.efficiency = product_of(description["efficiency"])

    def ratio(self, angle):
        return abs(self.slope(angle)) * self.turns_per_metre

    def ratio_and_growth(self, angle):
        """Motor turns per leaf turn, and their derivative by the opening angle."""
        length, sign = self.length(angle), math.copysign(self.turns_per_metre, self.slope(angle))
        return sign * length.first, sign * length.second


class Cylinder(Line):
    pressed = True

    def __init__(self, description):
        cylinder = description["cylinder"]
        super().__init__(point(cylinder["on_leaf"]), point(cylinder["anchor"]))
        bore, rod = (quantity(cylinder.get(key, "0 m"), "length") for key in ("bore", "rod"))
        count = int(number(cylinder.get("count", "1")))
        self.bore_area = count * math.pi * bore**2 / 4
        self.ring_area = self.bore_area - count * math.pi * rod**2 / 4
        self.most = quantity(cylinder["pressure"], "pressure")
        self.efficiency = product_of(description.get("efficiency", "1"))

    def pressure(self, force, demand):
        """Of forces and demands of one kind: numbers, or Terms."""
        value = getattr(force, "value", force)
        magnitude = force if value >= 0 else -force
        loss = 1 / self.efficiency if getattr(demand, "value", demand) >= 0 else self.efficiency
        return magnitude * (loss / (self.bore_area if value >= 0 else self.ring_area))


def read_drive(description):
    for key, kind in (("strut", Strut), ("cylinder", Cylinder)):
        if key in description:
            return kind(description)
    return FixedRatio(description)


class Motors:
    def __init__(self, description):
        self.installed = int(number(description["installed"]))
        self.running = int(number(description.get("running", description["installed"])))
        self.inertia = self.installed * quantity(description.get("inertia", "0 kg m2"), "inertia")
        self.power = quantity(description.get("power", "0 W"), "power")
        speed = quantity(description.get("speed", "0 rad/s"), "angular speed")
        self.rated = self.power / speed if speed else None
