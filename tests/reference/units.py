# SPDX-License-Identifier: GPL-3.0-or-later
"""Quantities of a leaf description, by a table of exact definitions.

A unit is an exact fraction, a power of pi and the powers of kg, m, s, rad and K; the number and
the unit are multiplied exactly and rounded once. Nothing here is taken from a units library,
so that a wrong factor in one shows.

Definitions: the pound 0.45359237 kg, the foot 0.3048 m and standard gravity 9.80665 m/s2 are
exact (international yard and pound agreement 1959; 3rd CGPM 1901; both in NIST SP 811 B.8).
"""

import math
import re
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import NamedTuple

GRAVITY = Fraction("9.80665")
POUND = Fraction("0.45359237")
FOOT = Fraction("0.3048")

BASES = ("kg", "m", "s", "rad", "K")


class Unit(NamedTuple):
    factor: Fraction
    pi: int
    powers: tuple  # of BASES

    def times(self, other, exponent=1):
        return Unit(
            self.factor * other.factor**exponent,
            self.pi + exponent * other.pi,
            tuple(a + exponent * b for a, b in zip(self.powers, other.powers)),
        )


def unit(factor, kg=0, m=0, s=0, rad=0, pi=0, K=0):
    return Unit(Fraction(factor), pi, (kg, m, s, rad, K))


ONE = unit(1)

FORCE = {"kg": 1, "m": 1, "s": -2}
PRESSURE = {"kg": 1, "m": -1, "s": -2}
POWER = {"kg": 1, "m": 2, "s": -3}

NAMES = {
    "m": unit(1, m=1), "meter": unit(1, m=1), "metre": unit(1, m=1),
    "ft": unit(FOOT, m=1), "foot": unit(FOOT, m=1), "feet": unit(FOOT, m=1),
    "in": unit(FOOT / 12, m=1), "inch": unit(FOOT / 12, m=1), "yd": unit(3 * FOOT, m=1),
    "mile": unit(5280 * FOOT, m=1),
    "s": unit(1, s=1), "second": unit(1, s=1), "min": unit(60, s=1), "minute": unit(60, s=1),
    "h": unit(3600, s=1), "hour": unit(3600, s=1),
    "rad": unit(1, rad=1), "radian": unit(1, rad=1),
    "deg": unit(Fraction(1, 180), rad=1, pi=1), "degree": unit(Fraction(1, 180), rad=1, pi=1),
    "degrees": unit(Fraction(1, 180), rad=1, pi=1), "°": unit(Fraction(1, 180), rad=1, pi=1),
    "rpm": unit(Fraction(2, 60), s=-1, rad=1, pi=1),
    "g": unit(Fraction(1, 1000), kg=1), "kg": unit(1, kg=1), "t": unit(1000, kg=1),
    "tonne": unit(1000, kg=1), "lb": unit(POUND, kg=1), "pound": unit(POUND, kg=1),
    "ton": unit(2000 * POUND, kg=1), "slug": unit(POUND * GRAVITY / FOOT, kg=1),
    "N": unit(1, **FORCE), "newton": unit(1, **FORCE), "lbf": unit(POUND * GRAVITY, **FORCE),
    "kgf": unit(GRAVITY, **FORCE), "kip": unit(1000 * POUND * GRAVITY, **FORCE),
    "kips": unit(1000 * POUND * GRAVITY, **FORCE),
    "Pa": unit(1, **PRESSURE), "bar": unit(100000, **PRESSURE),
    "psf": unit(POUND * GRAVITY / FOOT**2, **PRESSURE),
    "psi": unit(144 * POUND * GRAVITY / FOOT**2, **PRESSURE),
    "mph": unit(5280 * FOOT / 3600, m=1, s=-1), "knot": unit(Fraction(1852, 3600), m=1, s=-1),
    "pcf": unit(POUND / FOOT**3, kg=1, m=-3),
    "J": unit(1, kg=1, m=2, s=-2), "K": unit(1, K=1), "kelvin": unit(1, K=1),
    "W": unit(1, **POWER), "hp": unit(550 * FOOT * POUND * GRAVITY, **POWER),
    "%": unit(Fraction(1, 100)),
}  # fmt: skip

PREFIXES = {"k": 1000, "M": 10**6, "G": 10**9, "d": Fraction(1, 10), "c": Fraction(1, 100), "m": Fraction(1, 1000)}
PREFIXED = ("m", "g", "N", "Pa", "W", "J", "t", "rad", "s")

# What may stand for each kind: powers of BASES, and the factor that turns the written thing into the wanted one.
MASS_OR_FORCE = lambda length: {(1, length, 0, 0): GRAVITY, (1, length + 1, -2, 0): Fraction(1)}  # noqa: E731
KINDS = {
    "length": {(0, 1, 0, 0): 1},
    "angle": {(0, 0, 0, 1): 1},
    "angular speed": {(0, 0, -1, 1): 1},
    "weight": MASS_OR_FORCE(0),
    "weight per length": MASS_OR_FORCE(-1),
    "weight per area": MASS_OR_FORCE(-2),
    "weight per volume": MASS_OR_FORCE(-3),
    "pressure": {(1, -1, -2, 0): 1},
    "speed": {(0, 1, -1, 0): 1},
    "density": {(1, -3, 0, 0): 1},
    "torque": {(1, 2, -2, 0): 1},
    "power": {(1, 2, -3, 0): 1},
    "time": {(0, 0, 1, 0): 1},
    "inertia": {(1, 2, 0, 0): 1},
    "heat capacity": {(1, 2, -2, 0, -1): 1},
    "stiffness": {(1, 0, -2, 0): 1},
    "damping": {(1, 0, -1, 0): 1},
    "number": {(0, 0, 0, 0): 1},
}
KINDS = {
    kind: {powers + (0,) * (len(BASES) - len(powers)): factor for powers, factor in forms.items()}
    for kind, forms in KINDS.items()
}

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
TOKEN = re.compile(r"\s*(?:(?P<name>[A-Za-z°%_]+)(?P<power>\^?[+-]?\d+|[²³])?|(?P<sign>[/*.·()]))")


class QuantityError(ValueError):
    """The text is no quantity of the kind asked for."""


def named_unit(name):
    if name in NAMES:
        return NAMES[name]
    if name[:1] in PREFIXES and name[1:] in PREFIXED:
        return unit(PREFIXES[name[0]]).times(NAMES[name[1:]])
    raise QuantityError(f"unknown unit {name!r}")


def tokens(text):
    at = 0
    text = text.rstrip()
    while at < len(text):
        match = TOKEN.match(text, at)
        if not match:
            raise QuantityError(f"cannot read the unit {text!r}")
        at = match.end()
        yield match


def read_unit(text):
    """Factors from left to right; a `/` turns over only the factor after it; brackets nest."""
    stack = [[ONE, 1]]
    for match in tokens(text):
        sign = match["sign"]
        if sign == "/":
            stack[-1][1] = -1
        elif sign == "(":
            stack.append([ONE, 1])
        elif sign == ")":
            inner, _ = stack.pop()
            stack[-1] = [stack[-1][0].times(inner, stack[-1][1]), 1]
        elif not sign:
            power = {"²": 2, "³": 3}.get(match["power"]) or int((match["power"] or "1").lstrip("^"))
            whole, direction = stack[-1]
            stack[-1] = [whole.times(named_unit(match["name"]), direction * power), 1]
    return stack[0][0]


def quantity(text, kind):
    """The SI value (rad for angles, N for weights) of a written quantity."""
    match = NUMBER.match(text)
    if not match:
        raise QuantityError(f"{text!r} is no {kind}")
    try:
        number = Fraction(Decimal(match[0]))
    except InvalidOperation as error:
        raise QuantityError(f"{text!r} is no {kind}") from error
    read = read_unit(text[match.end() :])
    if read.powers not in KINDS[kind]:
        raise QuantityError(f"{text!r} is no {kind}")
    exact = number * read.factor * KINDS[kind][read.powers]
    return float(exact) if read.pi == 0 else float(exact * Fraction(math.pi) ** read.pi)
