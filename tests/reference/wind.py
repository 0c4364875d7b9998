# SPDX-License-Identifier: GPL-3.0-or-later
"""Wind on the surfaces, as r × F of the traction integrated along each strip.

The library has closed forms and, with a height profile, Gauss-Legendre panels. Here the traction
is integrated adaptively between break points: the ends, where the profile stops at
its lowest height, and where the lever passes through zero (so that each piece has one sign
and its magnitude is the size of a term).
"""

import math
from typing import NamedTuple, Optional

import numpy
from scipy import integrate

from shapes import length_between, number, point
from terms import Term, product, total
from units import quantity

HEEL, TOE = 1, -1
LEVEL = 1e-15
NEAR = 1e-6
STILL = (Term(0.0), Term(0.0), Term(0.0))


class Surface(NamedTuple):
    ends: tuple
    width: float
    solidity: float
    ice: bool
    wind: bool


class Profile(NamedTuple):
    exponent: float
    reference: float
    trunnion: float
    lowest: float

    def factor(self, height_over_trunnion):
        return (max(self.trunnion + height_over_trunnion, self.lowest) / self.reference) ** (2 * self.exponent)


class Wind(NamedTuple):
    pressure: float
    law: str
    side: str
    table: Optional[tuple]
    profile: Optional[Profile]

    def sense(self, opening):
        """+1 from the heel, -1 from the toe; adverse wind resists the travel."""
        if self.side == "adverse":
            return HEEL if opening else TOE
        return HEEL if self.side == "heel" else TOE


def truth(text):
    return text.lower() in ("true", "yes", "on", "y")


def read_surface(description):
    return Surface(
        (point(description["from"]), point(description["to"])),
        quantity(description["width"], "length"),
        number(description.get("solidity", "1")),
        truth(description.get("ice", "false")),
        truth(description.get("wind", "true")),
    )


def read_profile(description):
    return Profile(
        number(description["exponent"]),
        quantity(description["reference_height"], "length"),
        quantity(description["trunnion_height"], "length"),
        quantity(description["lowest"], "length"),
    )


def read_wind(description):
    if "pressure" in description:
        pressure = quantity(description["pressure"], "pressure")
    else:
        speed = quantity(description["speed"], "speed")
        density = quantity(description.get("density", "1.25 kg/m3"), "density")
        pressure = number(description.get("coefficient", "1")) * density * speed**2 / 2
    table = description.get("normal_coefficient")
    return Wind(
        pressure,
        description.get("law", "projected"),
        description.get("from", "adverse"),
        table and tuple((quantity(angle, "angle"), number(value)) for angle, value in table),
        read_profile(description["profile"]) if "profile" in description else None,
    )


def turned(xy, angle):
    """Where a point of the leaf stands: multiplication by a unit complex number."""
    there = complex(*xy) * complex(math.cos(angle), math.sin(angle))
    return there.real, there.imag


def lie(ends, angle):
    """Sine and cosine of the strip's inclination; the sine with its size.

    The angle is itself a rounded number, so its sine and cosine are uncertain in proportion to
    the angle as well. What rounding leaves of a level strip's sine is taken for 0: its sign would
    say nothing, yet turns the wind about where the coefficient at no incidence is not 0.
    """
    (x1, y1), (x2, y2) = ends
    length = length_between(ends)
    sin, cos = math.sin(angle), math.cos(angle)
    rise = Term(sin, abs(sin) + angle * abs(cos)) * ((x2 - x1) / length)
    sine = rise + Term(cos, abs(cos) + angle * abs(sin)) * ((y2 - y1) / length)
    if abs(sine.value) <= LEVEL:
        sine = Term(0.0, 1.0)
    return sine, (cos * (x2 - x1) - sin * (y2 - y1)) / length


def normal_coefficient(table, sine, cosine):
    """With the sign of sin beta. The incidence by atan2, which keeps its digits near 90 degrees; asin loses half.

    Its size: the incidence is as uncertain as the sine, and the steeper side of the table at it turns that into Cn.
    """
    incidence = math.atan2(abs(sine.value), abs(cosine))
    before, here, after = numpy.interp([incidence - NEAR, incidence, incidence + NEAR], *zip(*table))
    slope = max(abs(here - before), abs(after - here)) / NEAR
    return Term(float(here * numpy.sign(sine.value)), float(here + slope * sine.size))


def traction(wind, sine, cosine):
    """Direction of the force from wind from the heel, and its amount per solid area over the pressure."""
    if wind.law == "projected":
        return (1.0, 0.0), Term(abs(sine.value), sine.size)
    amount = Term(1.0) if wind.law == "normal" else normal_coefficient(wind.table, sine, cosine)
    return (sine.value, -cosine), amount


def break_points(start, end, force, profile):
    """Shares of the way along the strip, 0 to 1, where the integrand has a kink or the lever a zero."""
    cuts = [0.0, 1.0]
    levers = [x * force[1] - y * force[0] for x, y in (start, end)]
    if levers[0] * levers[1] < 0:
        cuts.append(levers[0] / (levers[0] - levers[1]))
    if profile and start[1] != end[1]:
        cuts.append((profile.lowest - profile.trunnion - start[1]) / (end[1] - start[1]))
    return sorted({cut for cut in cuts if 0 <= cut <= 1})


def along(function, low, high, profile):
    if profile is None:
        return float(integrate.fixed_quad(numpy.vectorize(function), low, high, n=2)[0])
    return integrate.quad(function, low, high, epsabs=0, epsrel=1e-12, limit=200)[0]


def strip_action(surface, wind, angle):
    """Closing moment and force on one strip, wind from the heel."""
    start, end = (turned(xy, angle) for xy in surface.ends)
    (fx, fy), amount = traction(wind, *lie(surface.ends, angle))

    def place(share):
        return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])

    def load(share):
        return wind.profile.factor(place(share)[1]) if wind.profile else 1.0

    def closing(share):
        x, y = place(share)
        return -load(share) * (x * fy - y * fx)

    cuts = break_points(start, end, (fx, fy), wind.profile)
    pieces = list(zip(cuts, cuts[1:]))
    force = sum(along(load, low, high, wind.profile) for low, high in pieces)
    levers = [Term(along(closing, low, high, wind.profile)) for low, high in pieces]
    solid = wind.pressure * surface.solidity * surface.width * length_between(surface.ends)
    moment = product(amount, total(levers)) * solid
    return moment, amount * (solid * force * fx), amount * (solid * force * fy)


def wind_action(surfaces, wind, angle):
    """Closing moment, force towards the toe side and force upward, all strips, wind from the heel."""
    actions = [STILL]
    if wind and wind.pressure > 0:
        actions += [strip_action(surface, wind, angle) for surface in surfaces if surface.wind]
    moments, along_x, along_y = zip(*actions)
    return total(moments), total(along_x), total(along_y)


def breaks(surfaces, wind, opens_to):
    """Opening angles at which the wind has a kink or a jump: a strip level, or its incidence one of the table's."""
    found = set()
    for surface in surfaces if wind else []:
        (x1, y1), (x2, y2) = surface.ends
        slope = math.atan2(y2 - y1, x2 - x1)
        for incidence in [0.0] + [angle for angle, _ in wind.table or []]:
            for half_turns in range(-2, 3):
                found |= {half_turns * math.pi + incidence - slope, half_turns * math.pi - incidence - slope}
    return sorted(angle for angle in found if 0 < angle < opens_to)
