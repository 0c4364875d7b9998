# SPDX-License-Identifier: GPL-3.0-or-later
"""A leaf as read from its description: bodies, trunnions, machinery, cases.

What does not change is kept from the first time it is asked for: the commands ask for the same often.
"""

import math
from functools import lru_cache
from typing import NamedTuple

import yaml

import shapes
from drives import Motors, read_drive
from jets import Jet, rotated, variable
from linkage import FourBar, cross, values
from shapes import number, point
from terms import Term, total
from units import quantity
from wind import read_surface, read_wind, truth, wind_action


class Body:
    """Parts that turn as one about a pivot: the leaf itself, or a counterweight on its own trunnion."""

    def __init__(self, description, pivot=(0.0, 0.0)):
        self.pivot = pivot
        self.parts = [shapes.part(each, pivot) for each in description.get("parts", [])]
        self.parts += [shapes.pocket(each, pivot) for each in description.get("pockets", [])]

    @lru_cache(maxsize=None)
    def weight(self):
        return total(Term(part.weight) for part in self.parts)

    def first_moment(self, axis):
        """Sum of weight times x (axis 0) or y (axis 1) about the pivot, closed."""
        return total((part.x, part.y)[axis] * part.weight for part in self.parts)

    def moment(self, turn):
        """Clockwise about its pivot: every part's centroid is turned, and its weight acts on the arm it then has."""
        arms = (part.x * math.cos(turn) - part.y * math.sin(turn) for part in self.parts)
        return total(arm * part.weight for arm, part in zip(arms, self.parts))

    def potential(self, turn):
        """Weights times heights over the pivot, as a jet."""
        heights = (rotated((part.x.value, part.y.value), turn)[1] for part in self.parts)
        return sum((part.weight * height for part, height in zip(self.parts, heights)), Jet(0.0))

    @lru_cache(maxsize=None)
    def inertia(self):
        return total(Term(part.inertia) for part in self.parts)


class Journal:
    def __init__(self, description):
        self.radius = quantity(description.get("journal_diameter", "0 m"), "length") / 2
        self.coefficient = {state: number(text) for state, text in description.get("friction", {}).items()}
        self.drag = quantity(description.get("drag", "0 N m"), "torque")

    def arm(self, state):
        return self.coefficient.get(state, 0.0) * self.radius

    def friction(self, state, reaction):
        return reaction * self.arm(state) + self.drag


FRICTIONLESS = Journal({})


class Linked:
    """A counterweight on its own trunnion and the link to it."""

    def __init__(self, description):
        pivot = point(description["pivot"])
        self.body = Body(description, pivot)
        self.bar = FourBar(pivot, point(description["pin_on_leaf"]), point(description["pin_on_counterweight"]))
        self.journal = Journal(description)


class LinkPose(NamedTuple):
    """Where the linked counterweight stands, and how a unit pull of the link acts on it and on the leaf."""

    turn: Jet
    share: Term
    moment: Term
    pull_on_leaf: tuple
    moment_on_leaf: float
    moment_on_counterweight: float


class Pose(NamedTuple):
    angle: float
    moment: Term
    balance: Term
    inertia: Term
    hold: object
    link: object


class Case:
    def __init__(self, description):
        self.name = description.get("name")
        self.state = description.get("friction", "moving")
        self.accelerating = truth(description.get("accelerating", "false"))
        self.wind = read_wind(description["wind"]) if "wind" in description else None
        self.ice = quantity(description.get("ice", "0 N/m2"), "weight per area")
        self.motor_limit = number(description.get("motor_limit", "1"))
        self.factor = number(description.get("factor", "1"))
        self.friction_credit = number(description.get("friction_credit", "0"))


class Leaf:
    def __init__(self, description):
        self.description = description
        self.name = description["leaf"]
        self.opens_to = quantity(description["opens_to"], "angle")
        self.toe = quantity(description["toe"], "length")
        self.body = Body(description)
        self.linked = Linked(description["linked_counterweight"]) if "linked_counterweight" in description else None
        self.surfaces = [read_surface(each) for each in description.get("surfaces", [])]
        self.journal = Journal(description["trunnion"]) if "trunnion" in description else FRICTIONLESS
        self.cases = [Case(each) for each in description.get("cases", [{"name": "still air"}])]
        self.holdings = [Case(each) for each in description.get("holding", [])]
        self.drive = read_drive(description["drive"]) if "drive" in description else None
        self.motors = Motors(description["motors"]) if "motors" in description else None
        self.travel = Travel(description["travel"], self.opens_to) if "travel" in description else None
        self.pose = lru_cache(maxsize=None)(self.make_pose)
        self.wind_from_heel = lru_cache(maxsize=None)(self.make_wind)

    @property
    def bodies(self):
        return [self.body] + ([self.linked.body] if self.linked else [])

    def make_wind(self, wind, angle):
        """Wind from the heel; kept, for every command asks for the same angles."""
        return wind_action(self.surfaces, wind, angle)

    def link_pose(self, angle):
        """The share in the balance is the slope of the potential energy; its size, of the terms that were added."""
        linked = self.linked
        turn = linked.bar.rotation(angle)
        moment = linked.body.moment(turn.value)
        share = Term(linked.body.potential(turn).first, moment.size * abs(turn.first))
        leaf_pin, pin = (values(each) for each in linked.bar.pins(variable(angle), turn))
        length = math.hypot(pin[0] - leaf_pin[0], pin[1] - leaf_pin[1])
        pull = ((pin[0] - leaf_pin[0]) / length, (pin[1] - leaf_pin[1]) / length)
        arm = (pin[0] - linked.bar.pivot[0], pin[1] - linked.bar.pivot[1])
        return LinkPose(turn, share, moment, pull, cross(leaf_pin, pull), -cross(arm, pull))

    def make_pose(self, angle):
        moment, inertia = self.body.moment(angle), self.body.inertia()
        link = self.link_pose(angle) if self.linked else None
        if link:
            inertia = inertia + self.linked.body.inertia() * link.turn.first**2
        balance = moment + link.share if link else moment
        return Pose(angle, moment, balance, inertia, self.drive.hold(angle) if self.drive else None, link)

    def check(self):
        """Raises Stuck where link, strut or cylinder have a dead point in the travel."""
        if self.linked:
            self.linked.bar.check(self.opens_to)
        if self.drive:
            self.drive.check(self.opens_to)


class Travel:
    def __init__(self, travel, opens_to):
        self.speed = quantity(travel["speed"], "angular speed")
        self.creep = number(travel["creep"]) * self.speed
        self.acceleration = self.speed / quantity(travel["accelerate_in"], "time")
        self.deceleration = (self.speed - self.creep) / quantity(travel["decelerate_in"], "time")
        self.near_open, self.near_closed = (quantity(travel[key], "angle") for key in ("near_open", "near_closed"))
        self.full_open = quantity(travel["full_open"], "angle") if "full_open" in travel else opens_to
        self.full_closed = quantity(travel.get("full_closed", "0 rad"), "angle")


def read(text):
    """A leaf from YAML text; the base loader leaves every scalar a text."""
    return Leaf(yaml.load(text, Loader=yaml.BaseLoader))
