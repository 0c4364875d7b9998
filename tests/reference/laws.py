# SPDX-License-Identifier: GPL-3.0-or-later
"""What motors give at a speed, and what the toe comes down on."""

import math

import numpy

from shapes import number
from units import quantity


class Law:
    """Torque of all running motors over the speed of their shafts."""

    def __init__(self, leaf):
        description = leaf.description.get("motors", {})
        self.pressed = leaf.drive.pressed
        self.law = description.get("law", "constant")
        usual = "line" if self.law == "induction" else "reference"
        self.line = not self.pressed and description.get("control", usual) == "line"
        if self.pressed:
            return
        self.running, self.power = leaf.motors.running, leaf.motors.power
        self.rated_speed = quantity(description["speed"], "angular speed")
        self.peak = number(description.get("peak", "1"))
        if self.law == "induction":
            self.synchronous = quantity(description["synchronous"], "angular speed")
            self.breakdown = number(description["breakdown"])
        if self.law == "table":
            self.knots = [(quantity(speed, "angular speed"), quantity(torque, "torque"))
                          for speed, torque in description["table"]]  # fmt: skip

    def kloss(self, speed):
        rated = 1 - self.rated_speed / self.synchronous
        most = self.breakdown * self.power / self.rated_speed
        at_most = rated * (self.breakdown + math.sqrt(self.breakdown**2 - 1))
        slip = 1 - speed / self.synchronous
        return 2 * most * slip * at_most / (slip**2 + at_most**2)

    def torque(self, speed):
        if self.law == "induction":
            return self.running * self.kloss(speed)
        if self.law == "table":
            return self.running * float(numpy.interp(speed, *zip(*self.knots)))
        return self.running * self.peak * self.power / max(speed, self.rated_speed)

    def most(self, speed, side):
        """One way or the other; beyond synchronous speed a motor only brakes."""
        given = self.torque(abs(speed))
        return max(given, 0.0) if side > 0 else abs(given)


class Seating:
    """Buffers and shoes, all together, at the toe."""

    def __init__(self, description, toe):
        self.toe = toe
        buffers = description.get("buffers", {})
        self.shoes = quantity(description.get("shoe_stiffness", "0 N/m"), "stiffness")
        self.stroke = quantity(buffers.get("stroke", "0 m"), "length")
        self.preload = quantity(buffers.get("preload", "0 N"), "weight")
        self.stiffness = quantity(buffers.get("stiffness", "0 N/m"), "stiffness")
        self.damping = quantity(buffers.get("damping", "0 N s/m"), "damping")

    def push(self, angle, opening_speed):
        """Of the buffers; below 0 they do not touch."""
        fall = -opening_speed * self.toe * math.cos(angle)
        return self.preload + self.stiffness * (self.stroke - self.toe * math.sin(angle)) + self.damping * fall

    def force(self, angle, opening_speed):
        height = self.toe * math.sin(angle)
        buffers = max(self.push(angle, opening_speed), 0.0) if height < self.stroke else 0.0
        return buffers + self.shoes * max(-height, 0.0)

    def bends(self):
        return [math.asin(self.stroke / self.toe)] if self.stroke else []


def read_seating(leaf):
    description = leaf.description.get("seating")
    return Seating(description, leaf.toe) if description else None
