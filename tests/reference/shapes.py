# SPDX-License-Identifier: GPL-3.0-or-later
"""Weight, centroid and inertia of the parts, by other means than the library's.

The library sums polygon formulas along the outline. Here an outline is cut into vertical
slices at its corners, and each slice is integrated across. Inertia is integrated about the
trunnion at once, not about the centroid and then shifted.
"""

from typing import NamedTuple

import numpy

from terms import Term
from units import GRAVITY, quantity

G0 = float(GRAVITY)
GAUSS = numpy.polynomial.legendre.leggauss(4)  # exact up to the seventh degree; a slice needs the third


class Part(NamedTuple):
    """All `count` of a part; the closed position about the axis its body turns on."""

    name: str
    weight: float
    x: Term
    y: Term
    inertia: float


class Integrals(NamedTuple):
    """Over an area: 1, x, y and x2 + y2."""

    area: float
    x: float
    y: float
    polar: float

    def less(self, other):
        return Integrals(*(a - b for a, b in zip(self, other)))

    def times(self, factor):
        return Integrals(*(factor * a for a in self))


def number(text):
    return quantity(text, "number")


def point(pair):
    return tuple(quantity(text, "length") for text in pair)


def slice_ordinates(corners, low, high, abscissae):
    """Where the sides that cross the slice low…high stand at the abscissae, bottom to top."""
    sides = []
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1]):
        if min(x1, x2) <= low and max(x1, x2) >= high and x1 != x2:
            sides.append(y1 + (abscissae - x1) * (y2 - y1) / (x2 - x1))
    return sorted(sides, key=lambda ordinates: ordinates.sum())


def outline_integrals(corners, origin):
    """Integrals over a simple polygon, with coordinates measured from origin."""
    ox, oy = origin
    corners = [(x - ox, y - oy) for x, y in corners]
    cuts = sorted({x for x, _ in corners})
    sums = numpy.zeros(4)
    for low, high in zip(cuts, cuts[1:]):
        x = (low + high) / 2 + (high - low) / 2 * GAUSS[0]
        weights = (high - low) / 2 * GAUSS[1]
        sides = slice_ordinates(corners, low, high, x)
        for bottom, top in zip(sides[::2], sides[1::2]):
            height = top - bottom
            across = (top**2 - bottom**2) / 2
            square = (top**3 - bottom**3) / 3
            sums += [weights @ f for f in (height, x * height, across, x**2 * height + square)]
    return Integrals(*map(float, sums))


def block(name, count, description, pivot):
    outline = [point(corner) for corner in description["outline"]]
    near = outline[0]
    whole = outline_integrals(outline, near).times(quantity(description["width"], "length"))
    for hollow in description.get("voids", []):
        corners = [point(corner) for corner in hollow["outline"]]
        whole = whole.less(outline_integrals(corners, near).times(quantity(hollow["width"], "length")))
    unit_weight = quantity(description["unit_weight"], "weight per volume") * count
    dx, dy = near[0] - pivot[0], near[1] - pivot[1]
    polar = whole.polar + 2 * (dx * whole.x + dy * whole.y) + (dx**2 + dy**2) * whole.area
    reach_x = max(abs(x - pivot[0]) for x, _ in outline)
    reach_y = max(abs(y - pivot[1]) for _, y in outline)
    return Part(
        name,
        unit_weight * whole.area,
        Term(dx + whole.x / whole.area, reach_x),
        Term(dy + whole.y / whole.area, reach_y),
        unit_weight / G0 * polar,
    )


def line(name, weight, ends, pivot):
    """A thin bar: the squared distance, a parabola along it, averages to (r1·r1 + r1·r2 + r2·r2)/3."""
    (x1, y1), (x2, y2) = [(x - pivot[0], y - pivot[1]) for x, y in ends]
    square = (x1 * x1 + x1 * x2 + x2 * x2 + y1 * y1 + y1 * y2 + y2 * y2) / 3
    return Part(
        name,
        weight,
        Term((x1 + x2) / 2, (abs(x1) + abs(x2)) / 2),
        Term((y1 + y2) / 2, (abs(y1) + abs(y2)) / 2),
        weight / G0 * square,
    )


def mass_point(name, weight, at, gyration, pivot):
    x, y = at[0] - pivot[0], at[1] - pivot[1]
    return Part(name, weight, Term(x), Term(y), weight / G0 * (gyration**2 + x**2 + y**2))


def length_between(ends):
    (x1, y1), (x2, y2) = ends
    return abs(complex(x2 - x1, y2 - y1))


def part(description, pivot=(0.0, 0.0)):
    name = description["name"]
    count = int(number(description.get("count", "1")))
    if "outline" in description:
        return block(name, count, description, pivot)
    if "at" in description:
        weight = quantity(description["weight"], "weight") * count
        gyration = quantity(description.get("gyration", "0 m"), "length")
        return mass_point(name, weight, point(description["at"]), gyration, pivot)
    ends = (point(description["from"]), point(description["to"]))
    if "weight" in description:
        weight = quantity(description["weight"], "weight")
    elif "weight_per_length" in description:
        weight = quantity(description["weight_per_length"], "weight per length") * length_between(ends)
    else:
        area = quantity(description["width"], "length") * length_between(ends)
        weight = quantity(description["weight_per_area"], "weight per area") * area
    return line(name, weight * count, ends, pivot)


def pocket(description, pivot=(0.0, 0.0)):
    weight = quantity(description["block"], "weight") * int(number(description["blocks"]))
    return mass_point(description["name"], weight, point(description["at"]), 0.0, pivot)
