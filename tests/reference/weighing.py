# SPDX-License-Identifier: GPL-3.0-or-later
"""What `weigh` answers."""

import math

import numpy
from scipy import optimize

from jets import rotated
from shapes import G0
from terms import Term, resultant, total

SCAN = 481


def neutral_angle(leaf):
    """Where the balance first changes its sign."""

    def balance(angle):
        return leaf.pose(angle).balance.value

    marks = numpy.linspace(0.0, leaf.opens_to, SCAN if leaf.linked else 2)
    for low, high in zip(marks, marks[1:]):
        if balance(low) * balance(high) < 0:
            return optimize.brentq(balance, low, high, xtol=1e-15)
    return None


def in_degrees(angle, moment):
    """An angle found as a ratio of moments is as certain as their sums are large beside what is left of them."""
    if angle is None:
        return None
    return Term(math.degrees(angle), math.degrees(max(abs(angle), moment.size / moment.value)))


def weigh_part(part, pivot=(0.0, 0.0), rate=1.0):
    """A part of a body that turns by rate for each unit of opening, in the leaf's frame."""
    return {
        "name": part.name,
        "weight_N": Term(part.weight),
        "x_m": part.x + Term(pivot[0]),
        "y_m": part.y + Term(pivot[1]),
        "closed_moment_Nm": part.x * (part.weight * rate),
        "inertia_kg_m2": Term(part.inertia * rate**2),
    }


def part_moments(leaf):
    """A and B of each part: its share in the balance and in that one's fall with the opening angle, closed."""
    pairs = [(part.x.value * part.weight, part.y.value * part.weight) for part in leaf.body.parts]
    if leaf.linked:
        turn = leaf.pose(0.0).link.turn
        for part in leaf.linked.body.parts:
            height = rotated((part.x.value, part.y.value), turn)[1]
            pairs.append((part.weight * height.first, -part.weight * height.second))
    return pairs


def upright_moment(leaf):
    """B, the balance's fall with the opening angle at the closed position."""
    fall = leaf.body.first_moment(1)
    if leaf.linked:
        body, turn = leaf.linked.body, leaf.pose(0.0).link.turn
        size = body.first_moment(1).size * turn.first**2 + body.first_moment(0).size * abs(turn.second)
        fall = fall + Term(-body.potential(turn).second, size)
    return fall


def weigh(leaf):
    bodies = leaf.bodies
    weight = total(body.weight() for body in bodies)
    a, b = leaf.pose(0.0).balance, upright_moment(leaf)
    moment = resultant(a, b)
    first = [total(body.first_moment(axis) + body.weight() * body.pivot[axis] for body in bodies) for axis in (0, 1)]
    rates = [1.0] + ([leaf.pose(0.0).link.turn.first] if leaf.linked else [])
    return {
        "leaf": leaf.name,
        "weight_N": weight,
        "mass_kg": weight / G0,
        "x_m": first[0] / weight.value,
        "y_m": first[1] / weight.value,
        "closed_moment_Nm": a,
        "moment_Nm": moment,
        "angle_deg": in_degrees(math.atan2(b.value, a.value), moment),
        "inertia_kg_m2": leaf.pose(0.0).inertia,
        "toe_reaction_N": a / leaf.toe,
        "neutral_angle_deg": in_degrees(neutral_angle(leaf), moment),
        "parts": [weigh_part(part, body.pivot, rate) for body, rate in zip(bodies, rates) for part in body.parts],
    }
