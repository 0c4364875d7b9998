# SPDX-License-Identifier: GPL-3.0-or-later
"""A second opinion on `trunnion weigh`, `curve`, `drive`, `brake` and `wind`.

Written from the design pages alone, without sight of the library. Usage:

    python3 reference.py weigh|curve|drive|brake|wind LEAF [--step 1deg]

prints the same names in JSON. Signs and formulas: a moment is positive when it closes the
leaf, a demand when it resists the travel. Each result is a Term (see terms.py).
"""

import argparse
import json
import math
import sys

import numpy
from scipy import optimize

import shapes
from equilibrium import Motion, ice_moment, stand, wind_and_ice
from leaf import read
from linkage import Stuck
from shapes import G0
from terms import Term, plain, resultant, total
from units import quantity
from wind import length_between

SCAN = 481

# weigh


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


# curve


def ice_parts(leaf, case):
    """The ice of every surface that takes it, as bars on its gross area."""
    strips = [surface for surface in leaf.surfaces if surface.ice] if case.ice else []
    weights = [case.ice * strip.width * length_between(strip.ends) for strip in strips]
    return [shapes.line("ice", weight, strip.ends, (0.0, 0.0)) for weight, strip in zip(weights, strips)]


def acceleration(leaf, case):
    if not case.accelerating:
        return 0.0
    if leaf.travel is None:
        raise ValueError(f"case {case.name!r} accelerates and the leaf has no travel")
    return leaf.travel.acceleration


def motor_torque(leaf, demand, alpha, angle, running=None):
    """Of each running motor. The loss is on the side that gives the power; all motors' rotors are turned."""
    if leaf.drive is None or leaf.motors is None or leaf.drive.pressed:
        return None
    ratio, loss = leaf.drive.ratio(angle), leaf.drive.efficiency
    shaft = demand / (ratio * loss) if demand.value >= 0 else demand * (loss / ratio)
    return (shaft + Term(leaf.motors.inertia * ratio * alpha)) / (running or leaf.motors.running)


def directed(leaf, case, ice, angle, sense, alpha):
    """What depends on the direction of travel: wind's moment, equilibrium, demand."""
    sense_of_wind = case.wind.sense(sense > 0) if case.wind else 0
    pose = leaf.pose(angle)
    moment, load = wind_and_ice(leaf, case, ice, angle, sense_of_wind)
    standing = stand(leaf, pose, load, Motion(sense, case.state, alpha))
    inertia = (pose.inertia + load.inertia) * alpha
    demand = (pose.balance + load.closing) * sense + standing.friction + inertia
    return moment, standing, demand, inertia


def machine_keys(leaf, opening, closing):
    """What rows have for a drive whose place is described, and for a linked counterweight."""
    keys, pair = {}, ((opening, "opening"), (closing, "closing"))
    if leaf.drive and leaf.drive.described:
        keys.update({f"force_{way}_N": standing.force for (_, standing, _, _), way in pair})
    if leaf.drive and leaf.drive.pressed:
        keys.update({f"pressure_{way}_Pa": leaf.drive.pressure(standing.force, demand)
                     for (_, standing, demand, _), way in pair})  # fmt: skip
    if leaf.linked:
        keys.update({f"link_{way}_N": standing.link for (_, standing, _, _), way in pair})
        keys.update({f"counterweight_reaction_{way}_N": standing.counterweight_reaction
                     for (_, standing, _, _), way in pair})  # fmt: skip
    return keys


def row(leaf, case, ice, angle):
    alpha = acceleration(leaf, case)
    opening, closing = (directed(leaf, case, ice, angle, sense, alpha) for sense in (1, -1))
    return {
        "angle_deg": Term(math.degrees(angle)),
        "balance_Nm": leaf.pose(angle).balance,
        "wind_opening_Nm": opening[0],
        "wind_closing_Nm": closing[0],
        "ice_Nm": ice_moment(ice, angle),
        "friction_opening_Nm": opening[1].friction,
        "friction_closing_Nm": closing[1].friction,
        "inertia_Nm": opening[3],
        "opening_Nm": opening[2],
        "closing_Nm": closing[2],
        "motor_opening_Nm": motor_torque(leaf, opening[2], alpha, angle),
        "motor_closing_Nm": motor_torque(leaf, closing[2], alpha, angle),
        "reaction_opening_N": opening[1].reaction,
        "reaction_closing_N": closing[1].reaction,
        **machine_keys(leaf, opening, closing),
    }


def angles(opens_to, step):
    """0, step, 2 step … and opens_to; a multiple that is opens_to but for rounding is not given twice."""
    whole = math.ceil(opens_to / step * (1 - 1e-12))
    return [index * step for index in range(whole)] + [opens_to]


def curve(leaf, step=math.radians(1)):
    leaf.check()
    cases = []
    for case in leaf.cases:
        ice = ice_parts(leaf, case)
        rows = [row(leaf, case, ice, angle) for angle in angles(leaf.opens_to, step)]
        cases.append({"name": case.name, "rows": rows})
    return {"leaf": leaf.name, "cases": cases}


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("command", choices=["weigh", "curve"])
    parser.add_argument("leaf", help="a leaf description, or - for standard input")
    parser.add_argument("--step", default="1deg")
    options = parser.parse_args()
    text = sys.stdin.read() if options.leaf == "-" else open(options.leaf, encoding="utf-8").read()
    leaf = read(text)
    try:
        result = weigh(leaf) if options.command == "weigh" else curve(leaf, quantity(options.step, "angle"))
    except Stuck as reason:
        sys.exit(f"{options.leaf}: {reason}")
    json.dump(plain(result), sys.stdout, indent=1, ensure_ascii=False, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
