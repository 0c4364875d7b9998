# SPDX-License-Identifier: GPL-3.0-or-later
"""A second opinion on `trunnion weigh` and `trunnion curve`.

Written from the design pages alone, without sight of the library. Usage:

    python3 reference.py weigh|curve LEAF [--step 1deg]

prints the same names in JSON. Signs and formulas: a moment is positive when it closes the
leaf, a demand when it resists the travel. Each result is a Term (see terms.py).
"""

import argparse
import json
import math
import sys

import yaml
from scipy import optimize

import shapes
from shapes import G0, number
from terms import Term, plain, resultant, total
from units import quantity
from wind import length_between, read_surface, read_wind, truth, turned, wind_action


class NotCovered(Exception):
    """The description has a section that this reference does not calculate yet."""


class Body:
    """Parts that turn as one: the leaf itself, whose rotation is the opening angle."""

    def __init__(self, description, pivot=(0.0, 0.0)):
        self.parts = [shapes.part(each, pivot) for each in description["parts"]]
        self.parts += [shapes.pocket(each, pivot) for each in description.get("pockets", [])]

    def rotation(self, angle):
        return angle

    def weight(self):
        return total(Term(part.weight) for part in self.parts)

    def first_moment(self, axis):
        """Sum of weight times x (axis 0) or y (axis 1), closed."""
        return total((part.x, part.y)[axis] * part.weight for part in self.parts)

    def moment(self, angle):
        """Every part's centroid is turned, and its weight acts on the arm it then has."""
        turn = self.rotation(angle)
        arms = (part.x * math.cos(turn) - part.y * math.sin(turn) for part in self.parts)
        return total(arm * part.weight for arm, part in zip(arms, self.parts))

    def inertia(self):
        return total(Term(part.inertia) for part in self.parts)


class FixedRatio:
    """A rack on the leaf: the same motor turns per leaf turn at every angle."""

    def __init__(self, description):
        self.turns = number(description["ratio"])
        stages = description["efficiency"]
        self.efficiency = math.prod(map(number, stages if isinstance(stages, list) else [stages]))

    def ratio(self, angle):
        return self.turns


class Motors:
    def __init__(self, description):
        self.installed = int(number(description["installed"]))
        self.running = int(number(description.get("running", description["installed"])))
        self.inertia = self.installed * quantity(description.get("inertia", "0 kg m2"), "inertia")


class Journal:
    def __init__(self, description):
        self.radius = quantity(description["journal_diameter"], "length") / 2
        self.coefficient = {state: number(text) for state, text in description["friction"].items()}
        self.drag = quantity(description.get("drag", "0 N m"), "torque")

    def friction(self, state, reaction):
        return reaction * (self.coefficient[state] * self.radius) + Term(self.drag)


class Case:
    def __init__(self, description):
        self.name = description.get("name")
        self.state = description.get("friction", "moving")
        self.accelerating = truth(description.get("accelerating", "false"))
        self.wind = read_wind(description["wind"]) if "wind" in description else None
        self.ice = quantity(description.get("ice", "0 N/m2"), "weight per area")


class Leaf:
    def __init__(self, description):
        if "linked_counterweight" in description:
            raise NotCovered("linked_counterweight is not covered")
        self.name = description["leaf"]
        self.opens_to = quantity(description["opens_to"], "angle")
        self.toe = quantity(description["toe"], "length")
        self.bodies = [Body(description)]
        self.surfaces = [read_surface(each) for each in description.get("surfaces", [])]
        self.journal = Journal(description["trunnion"]) if "trunnion" in description else None
        self.cases = [Case(each) for each in description.get("cases", [{"name": "still air"}])]
        self.drive = read_drive(description["drive"]) if "drive" in description else None
        self.motors = Motors(description["motors"]) if "motors" in description else None
        self.acceleration = read_acceleration(description["travel"]) if "travel" in description else None

    def balance(self, angle):
        return total(body.moment(angle) for body in self.bodies)


def read_drive(description):
    if "ratio" not in description:
        raise NotCovered("a drive by strut or cylinder is not covered")
    return FixedRatio(description)


def read_acceleration(travel):
    return quantity(travel["speed"], "angular speed") / quantity(travel["accelerate_in"], "time")


def read(text):
    """A leaf from YAML text; the base loader leaves every scalar a text."""
    return Leaf(yaml.load(text, Loader=yaml.BaseLoader))


# weigh


def neutral_angle(leaf):
    closed, open_ = leaf.balance(0.0).value, leaf.balance(leaf.opens_to).value
    if closed * open_ >= 0:
        return None
    return optimize.brentq(lambda angle: leaf.balance(angle).value, 0.0, leaf.opens_to, xtol=1e-15)


def in_degrees(angle, moment):
    """An angle found as a ratio of moments is as certain as their sums are large beside what is left of them."""
    if angle is None:
        return None
    return Term(math.degrees(angle), math.degrees(max(abs(angle), moment.size / moment.value)))


def weigh_part(part):
    return {
        "name": part.name,
        "weight_N": Term(part.weight),
        "x_m": part.x,
        "y_m": part.y,
        "closed_moment_Nm": part.x * part.weight,
        "inertia_kg_m2": Term(part.inertia),
    }


def weigh(leaf):
    body = leaf.bodies[0]
    weight = body.weight()
    a, b = body.first_moment(0), body.first_moment(1)
    moment = resultant(a, b)
    return {
        "leaf": leaf.name,
        "weight_N": weight,
        "mass_kg": weight / G0,
        "x_m": a / weight.value,
        "y_m": b / weight.value,
        "closed_moment_Nm": a,
        "moment_Nm": moment,
        "angle_deg": in_degrees(math.atan2(b.value, a.value), moment),
        "inertia_kg_m2": body.inertia(),
        "toe_reaction_N": a / leaf.toe,
        "neutral_angle_deg": in_degrees(neutral_angle(leaf), moment),
        "parts": [weigh_part(part) for part in body.parts],
    }


# curve


def ice_parts(leaf, case):
    """The ice of every surface that takes it, as bars on its gross area."""
    strips = [surface for surface in leaf.surfaces if surface.ice] if case.ice else []
    weights = [case.ice * strip.width * length_between(strip.ends) for strip in strips]
    return [shapes.line("ice", weight, strip.ends, (0.0, 0.0)) for weight, strip in zip(weights, strips)]


def ice_moment(parts, angle):
    """Weight at the middle of each strip, where its ends stand at the angle."""
    middles = (turned((part.x.value, part.y.value), angle)[0] for part in parts)
    sizes = (abs(part.x.value * math.cos(angle)) + abs(part.y.value * math.sin(angle)) for part in parts)
    return total(Term(x * part.weight, size * part.weight) for x, size, part in zip(middles, sizes, parts))


def acceleration(leaf, case):
    if not case.accelerating:
        return 0.0
    if leaf.acceleration is None:
        raise ValueError(f"case {case.name!r} accelerates and the leaf has no travel")
    return leaf.acceleration


def motor_torque(leaf, demand, alpha, angle):
    """Of each running motor. The loss is on the side that gives the power; all motors' rotors are turned."""
    if leaf.drive is None or leaf.motors is None:
        return None
    ratio, loss = leaf.drive.ratio(angle), leaf.drive.efficiency
    shaft = demand / (ratio * loss) if demand.value >= 0 else demand * (loss / ratio)
    return (shaft + Term(leaf.motors.inertia * ratio * alpha)) / leaf.motors.running


def directed(leaf, case, ice, from_heel, opening):
    """What depends on the direction of travel: wind, reaction, friction."""
    sense = case.wind.sense(opening) if case.wind else 0
    moment, along, upward = (each * sense for each in from_heel)
    down = total(body.weight() for body in leaf.bodies) + total(Term(part.weight) for part in ice) - upward
    reaction = resultant(along, down)
    friction = leaf.journal.friction(case.state, reaction) if leaf.journal else Term(0.0)
    return moment, reaction, friction


def row(leaf, case, ice, angle):
    alpha = acceleration(leaf, case)
    balance, ice_closing = leaf.balance(angle), ice_moment(ice, angle)
    masses = total(body.inertia() for body in leaf.bodies) + total(Term(part.inertia) for part in ice)
    inertia = masses * alpha
    from_heel = wind_action(leaf.surfaces, case.wind, angle)
    wind_opening, reaction_opening, friction_opening = directed(leaf, case, ice, from_heel, True)
    wind_closing, reaction_closing, friction_closing = directed(leaf, case, ice, from_heel, False)
    opening = balance + wind_opening + ice_closing + friction_opening + inertia
    closing = friction_closing + inertia - balance - wind_closing - ice_closing
    return {
        "angle_deg": Term(math.degrees(angle)),
        "balance_Nm": balance,
        "wind_opening_Nm": wind_opening,
        "wind_closing_Nm": wind_closing,
        "ice_Nm": ice_closing,
        "friction_opening_Nm": friction_opening,
        "friction_closing_Nm": friction_closing,
        "inertia_Nm": inertia,
        "opening_Nm": opening,
        "closing_Nm": closing,
        "motor_opening_Nm": motor_torque(leaf, opening, alpha, angle),
        "motor_closing_Nm": motor_torque(leaf, closing, alpha, angle),
        "reaction_opening_N": reaction_opening,
        "reaction_closing_N": reaction_closing,
    }


def angles(opens_to, step):
    """0, step, 2 step … and opens_to; a multiple that is opens_to but for rounding is not given twice."""
    whole = math.ceil(opens_to / step * (1 - 1e-12))
    return [index * step for index in range(whole)] + [opens_to]


def curve(leaf, step=math.radians(1)):
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
    try:
        leaf = read(text)
    except NotCovered as reason:
        sys.exit(f"{options.leaf}: {reason}")
    result = weigh(leaf) if options.command == "weigh" else curve(leaf, quantity(options.step, "angle"))
    json.dump(plain(result), sys.stdout, indent=1, ensure_ascii=False, allow_nan=False)
    print()


if __name__ == "__main__":
    main()
