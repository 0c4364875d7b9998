# SPDX-License-Identifier: GPL-3.0-or-later
"""Leaves of millimetres and of kilometres: all results scale by their dimensions.

Lengths by l, weights by l cubed, times by the root of l, which gravity asks for; pressures then by l, densities not at all.
With l a power of two no rounding differs, so that what does not scale is a bound or a tolerance that has a size of its own.
"""

import functools
import itertools
import math
import re

import yaml

from harness import EXAMPLES, ROOT, claim, expect, expect_equal, folder, main, read_json, run

LENGTHS = {"of millimetres": 2.0**-8, "of kilometres": 2.0**8}
LEAVES = {path.stem: path for path in (*EXAMPLES, ROOT / "tests/cli/valid/everything.yaml")}
# Exponents of length, weight and time. A mass is a weight over gravity, which does not change.
BASES = {
    "m": (1, 0, 0), "mm": (1, 0, 0), "cm": (1, 0, 0), "km": (1, 0, 0), "ft": (1, 0, 0), "in": (1, 0, 0), "inch": (1, 0, 0),
    "N": (0, 1, 0), "kN": (0, 1, 0), "MN": (0, 1, 0), "lbf": (0, 1, 0), "kip": (0, 1, 0), "kips": (0, 1, 0),
    "kg": (0, 1, 0), "t": (0, 1, 0), "lb": (0, 1, 0), "s": (0, 0, 1), "min": (0, 0, 1), "h": (0, 0, 1), "rpm": (0, 0, -1),
    "Pa": (-2, 1, 0), "bar": (-2, 1, 0), "GPa": (-2, 1, 0), "psf": (-2, 1, 0), "psi": (-2, 1, 0), "pcf": (-3, 1, 0),
    "W": (1, 1, -1), "kW": (1, 1, -1), "hp": (1, 1, -1), "kJ": (1, 1, 0), "J": (1, 1, 0), "mph": (1, 0, -1), "knot": (1, 0, -1),
    "deg": (0, 0, 0), "degree": (0, 0, 0), "rad": (0, 0, 0), "%": (0, 0, 0), "K": (0, 0, 0),
}
# A pure number that is none.
TIMED = {"openings_per_hour": -1}
# What goes by a series of sizes, by decimal digits, by a day of 24 hours, or by the 100 m/s at which wind ends.
LEFT_OUT = {"next_sizes_W", "tolerance_Nm", "openings_per_day", "day_rms_Nm", "comes_down_again"}
ANSWERS = {
    "weigh": (), "curve": ("--step", "9deg"), "explain": ("--at", "33deg"), "drive": (), "brake": (), "wind": ("--step", "19deg"),
    "cycle": ("--every", "{:g}s"), "ballast": ("--seconds", "20"), "spread": ("--samples", "300", "--step", "40deg"),
}
EVERY = 4.0  # seconds of a plain leaf
SHARE = 1e-9


def factor_of(exponents, length):
    lengths, weights, times = exponents
    return length**lengths * length ** (3 * weights) * math.sqrt(length) ** times


def exponents_of(unit):
    """Of a unit in the words of the leaf files, or of a key: kN/m, kg m2, lbf/ft2, kN s/m."""
    total = [0, 0, 0]
    for i, side in enumerate(unit.split("/")):
        for word, power in re.findall(r"([A-Za-z%]+)([0-9]*)", side):
            for k in range(3):
                total[k] += (1 if i == 0 else -1) * int(power or 1) * BASES[word][k]
    return total


def scaled_text(text, length):
    found = re.fullmatch(r"\s*([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)\s*([A-Za-z%].*?)\s*", text)
    return f"{float(found[1]) * factor_of(exponents_of(found[2]), length)!r} {found[2]}" if found else text


def scaled(node, length, key=None):
    if isinstance(node, dict):
        return {name: value if name in ("name", "leaf", "of", "on", "group") else scaled(value, length, name)
                for name, value in node.items()}
    if isinstance(node, list):
        return [scaled(value, length, key) for value in node]
    if key in TIMED:
        return node * math.sqrt(length) ** TIMED[key]
    return scaled_text(node, length) if isinstance(node, str) else node


KEY_UNITS = ("kg_m2", "deg_s2", "deg_s", "Nm_s", "N_m2", "m_s2", "m_s", "m2", "Nm", "Pa", "kg", "m3", "m", "N", "J", "W", "s")
KEY_EXPONENTS = {"kg_m2": (2, 1, 0), "deg_s2": (0, 0, -2), "deg_s": (0, 0, -1), "N_m2": (-2, 1, 0), "m_s": (1, 0, -1), "m2": (2, 0, 0),
                 "Nm": (1, 1, 0), "Pa": (-2, 1, 0), "kg": (0, 1, 0), "m": (1, 0, 0), "N": (0, 1, 0), "J": (1, 1, 0),
                 "W": (1, 1, -1), "s": (0, 0, 1), "m3": (3, 0, 0), "m_s2": (1, 0, -2), "Nm_s": (1, 1, 1)}


def key_factor(key, length):
    plain = re.sub(r"_(?:sd|low95|high95)$", "", key)
    unit = next((unit for unit in KEY_UNITS if plain.endswith("_" + unit)), None)
    return factor_of(KEY_EXPONENTS[unit], length) if unit else 1.0


def entries(record):
    """The entries of an object; a value whose unit stands beside it goes by that unit."""
    for name, inner in record.items():
        yield (f"value_{record['unit']}" if name == "value" and "unit" in record else name), name, inner


class Comparison:
    """Two answers in the same order; what is near nothing is held against the largest number of its key."""

    def __init__(self, length, plain):
        self.length, self.sizes = length, {}
        self.measure(plain)

    def measure(self, value, key=""):
        if isinstance(value, dict):
            for kind, _, inner in entries(value):
                self.measure(inner, kind)
        elif isinstance(value, list):
            for inner in value:
                self.measure(inner, key)
        elif isinstance(value, float):
            self.sizes[key] = max(self.sizes.get(key, 0), abs(value))

    def is_beyond(self, value, other, place):
        """Limits of wind are told up to 100 m/s at any size: beyond that one of them may be none."""
        for name in ("limit_m_s", "speed_m_s"):
            if name in value and (value[name] is None) != (other[name] is None):
                factor = key_factor(name, self.length)
                elsewhere = value[name] * factor if other[name] is None else other[name] / factor
                expect(elsewhere > 100 * (1 - SHARE), place, value[name], other[name])
                return True
        return False

    def compare(self, value, other, key="", place=""):
        if key in LEFT_OUT:
            return
        if isinstance(value, dict):
            if not self.is_beyond(value, other, place):
                expect_equal(list(value), list(other), place)
                for kind, name, inner in entries(value):
                    self.compare(inner, other[name], kind, f"{place}.{name}")
        elif isinstance(value, list):
            expect_equal(len(value), len(other), place)
            for i, (inner, its) in enumerate(zip(value, other, strict=True)):
                self.compare(inner, its, key, f"{place}[{i}]")
        elif isinstance(value, float):
            factor = key_factor(key, self.length)
            expect(isinstance(other, float) and abs(other / factor - value) <= SHARE * self.sizes[key],
                   f"{place}: {value!r} became {other!r}, {other / factor if other else other!r} at the size of the other")
        elif not isinstance(value, (str, float)):
            expect_equal(value, other, place)


@functools.lru_cache(maxsize=None)
def tree_of(name):
    return yaml.safe_load(LEAVES[name].read_text(encoding="utf-8-sig"))


def answer(command, length, tree):
    words = [word.format(EVERY * math.sqrt(length)) for word in ANSWERS[command]]
    result = run(command, "-", *words, "--json", stdin=yaml.safe_dump(tree, sort_keys=False, allow_unicode=True).encode())
    if result.status > 1:
        return result.status, result.errors
    told = read_json(result.text)
    if command == "explain":  # the wind at which it ends is told up to 100 m/s
        told["steps"] = [step for step in told["steps"] if not step["section"].startswith("Highest wind")]
    return result.status, told


def scales(name, size, command):
    length = LENGTHS[size]
    status, plain = answer(command, 1, tree_of(name))
    other_status, other = answer(command, length, scaled(tree_of(name), length))
    expect_equal(other_status, status, *([plain] if status > 1 else [other] if other_status > 1 else []))
    if status < 2:
        Comparison(length, plain).compare(plain, other)


for leaf, scale, asked in itertools.product(LEAVES, LENGTHS, ANSWERS):
    # The smallest leaf is one of centimetres as it is.
    if (leaf, scale) != ("teaching", "of millimetres"):
        claim(f"{leaf}, a leaf {scale}: {asked} scales", scales, leaf, scale, asked)

if __name__ == "__main__":
    main()
