# SPDX-License-Identifier: GPL-3.0-or-later
"""Automatic differentiation: a number with its first and second derivative by the opening angle.

The library differentiates its geometry by hand. Here only the geometry itself is written
down, and the arithmetic carries the derivatives along.
"""

import math


class Jet:
    __slots__ = ("value", "first", "second")

    def __init__(self, value, first=0.0, second=0.0):
        self.value, self.first, self.second = value, first, second

    def __add__(self, other):
        other = jet(other)
        return Jet(self.value + other.value, self.first + other.first, self.second + other.second)

    __radd__ = __add__

    def __neg__(self):
        return Jet(-self.value, -self.first, -self.second)

    def __sub__(self, other):
        return self + -jet(other)

    def __mul__(self, other):
        other = jet(other)
        return Jet(
            self.value * other.value,
            self.first * other.value + self.value * other.first,
            self.second * other.value + 2 * self.first * other.first + self.value * other.second,
        )

    __rmul__ = __mul__

    def through(self, value, slope, curvature):
        """A function of this number, given the function's value and derivatives here."""
        return Jet(value, slope * self.first, slope * self.second + curvature * self.first**2)


def jet(number):
    return number if isinstance(number, Jet) else Jet(number)


def variable(angle):
    return Jet(angle, 1.0)


def sine(angle):
    sin, cos = math.sin(angle.value), math.cos(angle.value)
    return angle.through(sin, cos, -sin)


def cosine(angle):
    sin, cos = math.sin(angle.value), math.cos(angle.value)
    return angle.through(cos, -sin, -cos)


def root(square):
    value = math.sqrt(square.value)
    return square.through(value, 1 / (2 * value), -1 / (4 * value**3))


def rotated(xy, angle):
    """A point about the axis of its body, as two jets."""
    (x, y), sin, cos = xy, sine(angle), cosine(angle)
    return x * cos - y * sin, x * sin + y * cos


def distance(a, b):
    dx, dy = a[0] - b[0], a[1] - b[1]
    return root(dx * dx + dy * dy)
