# SPDX-License-Identifier: GPL-3.0-or-later
"""How people write quantities: units of one taste or of all, numbers in every form."""

import math
import re

from units import KINDS, read_unit

METRIC, US, MIXED = "metric", "us", "mixed"

# Per kind: metric spellings, US spellings.
SPELLINGS = {
    "length": (["m", "cm", "mm", "meter"], ["ft", "in", "feet", "inch"]),
    "angle": (["deg", "degree", "rad", "°"], ["deg", "degree", "degrees"]),
    "angular speed": (["deg/s", "rad/s", "degree/s"], ["deg/s", "rpm", "degree/min", "rad min-1"]),
    "weight": (["kN", "t", "kg", "N", "MN", "tonne", "kgf"], ["kip", "lbf", "lb", "kips", "ton", "pound"]),
    "weight per length": (["kN/m", "kg/m", "t/m", "N/m", "kN m-1"], ["kip/ft", "lbf/ft", "lb/ft", "kips/ft"]),
    "weight per area": (["kN/m2", "kg/m2", "N/m^2", "kg m-2", "Pa"], ["lbf/ft2", "lb/ft2", "psf", "kip/ft^2"]),
    "weight per volume": (["kN/m3", "kg/m3", "t/m^3", "kg m-3"], ["lbf/ft3", "lb/ft3", "pcf", "kip/ft3"]),
    "pressure": (["Pa", "kPa", "N/m2", "kN/m^2", "N m-2", "bar"], ["lbf/ft2", "psf", "lbf/ft^2", "lbf/in2", "psi"]),
    "speed": (["m/s", "km/h", "m s-1"], ["mph", "ft/s", "mile/hour", "knot"]),
    "density": (["kg/m3", "g/m3"], ["lb/ft3"]),
    "torque": (["N m", "kN m", "kN*m", "N.m", "MN m"], ["lbf ft", "kip ft", "ft lbf", "lbf in"]),
    "power": (["kW", "W", "N m/s"], ["hp", "ft lbf/s"]),
    "time": (["s", "min", "second"], ["s", "minute", "h"]),
    "inertia": (["kg m2", "kg.m2", "t m^2"], ["lb ft2", "lb in2"]),
    "heat capacity": (["kJ/K", "J/K", "MJ/kelvin"], ["kJ/K", "J/K"]),
    "number": ([""], [""]),
}


def decimal_text(rng, value, least=3):
    """One of the forms in which a number may be written, of 3 to 17 significant digits."""
    digits = max(least, rng.choice([3, 4, 5, 7, 12, 17]))
    rounded = float(f"{value:.{digits}g}")
    text = rng.choice([f"{rounded!r}", f"{rounded:.{digits - 1}e}", f"{rounded:.{digits - 1}E}", f"{value:.{digits}g}"])
    if rng.random() < 0.15 and value >= 0:
        text = "+" + text
    text = rng.choice([text] * 3 + [re.sub(r"^([+-]?)0\.(?=\d)", r"\1.", text), re.sub(r"\.0$", ".", text)])
    if rng.random() < 0.1 and "." not in text and "e" not in text.lower():
        text += ".000"
    return text


class Writer:
    """Writes SI values as quantities, in the units of a taste."""

    def __init__(self, rng):
        self.rng = rng
        self.taste = rng.choice([METRIC, METRIC, US, MIXED])

    def quantity(self, value, kind, least=3):
        metric, us = SPELLINGS[kind]
        name = self.rng.choice({METRIC: metric, US: us, MIXED: metric + us}[self.taste])
        unit = read_unit(name)
        scale = float(unit.factor * KINDS[kind][unit.powers]) * math.pi**unit.pi
        text = decimal_text(self.rng, value / scale, least) + self.rng.choice(["", " ", " ", " ", "  "]) + name
        return self.rng.choice([text] * 8 + [f'"{text}"', f"'{text}'"])

    def number(self, value):
        if self.rng.random() < 0.2:
            return decimal_text(self.rng, 100 * value) + self.rng.choice(["%", " %"])
        return decimal_text(self.rng, value)

    def point(self, x, y, least=3):
        return f"[{self.quantity(x, 'length', least)}, {self.quantity(y, 'length', least)}]"

    def whole(self, value):
        return self.rng.choice([str(value)] * 5 + [f'"{value}"'])

    def truth(self, value):
        return self.rng.choice(["true", "yes", "on"] if value else ["false", "no", "off"])
