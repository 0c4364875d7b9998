# SPDX-License-Identifier: GPL-3.0-or-later
"""The four-bar of a linked counterweight, followed from the closed position.

The closure (the link keeps its length) is solved for the counterweight's rotation by Newton's
method in small steps from closed on, so that the branch is that of the closed leaf without any
formula for it. One more Newton step on jets for each order gives the derivatives.
"""

import math

from jets import Jet, rotated, variable

STEP = math.radians(0.25)
CLOSE = 1e-15
ITERATIONS = 60


class Stuck(Exception):
    """The leaf cannot be moved through its travel."""


def cross(a, b):
    return a[0] * b[1] - a[1] * b[0]


def values(pair):
    return tuple(each.value for each in pair)


class FourBar:
    def __init__(self, pivot, pin_on_leaf, pin_on_counterweight):
        self.pivot = pivot
        self.leaf_pin = pin_on_leaf
        self.arm = (pin_on_counterweight[0] - pivot[0], pin_on_counterweight[1] - pivot[1])
        self.square = (pin_on_counterweight[0] - pin_on_leaf[0]) ** 2 + (pin_on_counterweight[1] - pin_on_leaf[1]) ** 2
        self.sign = math.copysign(1.0, self.leverage(0.0, 0.0))
        self.followed = {0: 0.0}

    def pins(self, angle, turn):
        """The leaf's and the counterweight's pin, for jets of opening angle and rotation."""
        x, y = rotated(self.arm, turn)
        return rotated(self.leaf_pin, angle), (self.pivot[0] + x, self.pivot[1] + y)

    def gap(self, angle, turn):
        (lx, ly), (cx, cy) = self.pins(angle, turn)
        dx, dy = cx - lx, cy - ly
        return dx * dx + dy * dy - self.square

    def leverage(self, angle, turn):
        """Half the derivative of the gap by the rotation: zero where link and counterweight arm are in line."""
        leaf_pin, pin = (values(each) for each in self.pins(Jet(angle), Jet(turn)))
        arm = (pin[0] - self.pivot[0], pin[1] - self.pivot[1])
        return cross(arm, (pin[0] - leaf_pin[0], pin[1] - leaf_pin[1]))

    def corrected(self, angle, turn):
        """Newton's method for the closure, on the branch of the closed position only."""
        for _ in range(ITERATIONS):
            lever = self.leverage(angle, turn)
            if lever * self.sign <= 0:
                raise Stuck(f"the link has a dead point near {math.degrees(angle):.3f} degree")
            change = self.gap(Jet(angle), Jet(turn)).value / (2 * lever)
            turn -= change
            if abs(change) <= CLOSE * (1 + abs(turn)):
                return turn
        if abs(change) < 1e-12:
            return turn
        raise Stuck(f"the link does not close at {math.degrees(angle):.3f} degree")

    def rotation(self, angle):
        """The counterweight's rotation as a jet of the opening angle."""
        steps, sense = int(abs(angle) / STEP), 1 if angle >= 0 else -1
        for index in range(1, steps + 1):
            if sense * index not in self.followed:
                self.follow(sense * index, sense)
        near = sense * steps
        guess = self.followed[near] + self.slope(near) * (angle - near * STEP)
        return self.jet(angle, self.corrected(angle, guess))

    def slope(self, index):
        return self.jet(index * STEP, self.followed[index]).first

    def follow(self, index, sense):
        before = index - sense
        self.followed[index] = self.corrected(index * STEP, self.followed[before] + sense * STEP * self.slope(before))

    def jet(self, angle, turn):
        """Each Newton step on jets makes one more derivative right."""
        result = Jet(turn)
        for _ in range(3):
            gap, lever = self.gap(variable(angle), result), 2 * self.leverage(angle, turn)
            result = Jet(turn, result.first - gap.first / lever, result.second - gap.second / lever)
        return result

    def check(self, opens_to):
        """Raises Stuck where there is a dead point in the travel."""
        self.rotation(opens_to)
