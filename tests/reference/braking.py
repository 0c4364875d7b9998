# SPDX-License-Identifier: GPL-3.0-or-later
"""What `brake` answers: holding at the worst angle, and the emergency stop."""

import math
from typing import NamedTuple

from equilibrium import Motion, stand, wind_and_ice
from located import Located
from moments import ice_parts
from shapes import number
from stopping import worst_stop
from terms import Term
from units import quantity
from wind import HEEL, TOE, breaks


class Brake(NamedTuple):
    name: str
    count: int
    torque: float
    ratio: float
    delay: float
    set_time: float
    heat_capacity: float

    def one(self):
        return self.torque * self.ratio

    def share(self, time):
        """Of its torque, at a time after the trip."""
        since = time - self.delay
        if self.set_time == 0:
            return 1.0 if since >= 0 else 0.0
        return min(max(since / self.set_time, 0.0), 1.0)


def read_brakes(leaf):
    return [
        Brake(
            each["name"],
            int(number(each.get("count", "1"))),
            quantity(each["torque"], "torque"),
            number(each["ratio"]),
            quantity(each["delay"], "time"),
            quantity(each["set_time"], "time"),
            quantity(each.get("heat_capacity", "0 J/K"), "heat capacity"),
        )
        for each in leaf.description["brakes"]
    ]


def capacity(brakes):
    return sum(brake.count * brake.one() for brake in brakes)


def one_out(brakes):
    return capacity(brakes) - max(brake.one() for brake in brakes)


def sides(wind):
    if wind is None:
        return (0,)
    return {"heel": (HEEL,), "toe": (TOE,)}.get(wind.side, (HEEL, TOE))


def credited(leaf, holding, pose, load, moment):
    """A share of the starting friction of a leaf that nothing drives, in the sense in which the moment would run it."""
    standing = stand(leaf, pose._replace(hold=None), load, Motion(-1 if moment > 0 else 1, "starting"))
    return holding.friction_credit * standing.friction.value


def demand(leaf, holding, ice, angle):
    """The largest that is to be held, over the sides the wind may come from."""
    pose, most = leaf.pose(angle), 0.0
    for side in sides(holding.wind):
        _, load = wind_and_ice(leaf, holding, ice, angle, side)
        moment = (pose.balance + load.closing).value
        help_ = credited(leaf, holding, pose, load, moment) if holding.friction_credit else 0.0
        most = max(most, abs(moment) - help_)
    return most


def held(leaf, holding, brakes):
    ice = ice_parts(leaf, holding)

    def badness(angle):
        return demand(leaf, holding, ice, angle)

    def row_at(angle):
        needed = badness(angle)
        factors = [each / needed if needed else None for each in (capacity(brakes), one_out(brakes))]
        return {
            "name": holding.name,
            "worst_angle_deg": Term(math.degrees(angle)),
            "demand_Nm": Term(needed),
            "capacity_Nm": Term(capacity(brakes)),
            "factor": factors[0] and Term(factors[0]),
            "factor_one_out": None if factors[1] is None else Term(factors[1]),
            "required": Term(holding.factor),
            "met": factors[0] is None or bool(factors[0] >= holding.factor),
        }

    return Located(row_at, badness, leaf.opens_to, breaks(leaf.surfaces, holding.wind, leaf.opens_to))


def brake(leaf):
    leaf.check()
    brakes = read_brakes(leaf)
    return {
        "leaf": leaf.name,
        "cases": [held(leaf, holding, brakes) for holding in leaf.holdings],
        "emergency_stop": worst_stop(leaf, brakes) if leaf.travel else None,
    }
