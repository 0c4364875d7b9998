# SPDX-License-Identifier: GPL-3.0-or-later
"""Mutants of sound leaf files: the same for the same seed. Most are read well, and are what nobody would build.

Values are put in the place of others of their kind: numbers of any size, units, entries of other leaves under the same
key, entries and list elements more or less. A few are broken as texts.
"""

import copy
import pathlib
import random
import re
import sys

import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "reference"))
from random_leaves import random_leaf  # noqa: E402

FILES = [*sorted((ROOT / "examples").glob("*.yaml")), *sorted((ROOT / "tests" / "cli" / "valid").glob("*.yaml"))]
RANDOM_LEAVES = 40
NUMBER = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
ODD_NUMBERS = ["0", "-0", "1", "2", "-1", "0.5", "1e-3", "1e-6", "1e-9", "1e-15", "1e3", "1e6", "1e9", "1e15", "1e-300", "1e300",
               "0.1", "90", "120", "89.999999999", "1e-12", "3", "100", "65536", "2147483647", "2147483648", "4.9e-324"]
UNITS = [
    ["m", "mm", "km", "ft", "inch"], ["N", "kN", "MN", "lbf", "kip", "kg", "t"], ["degree", "rad", "deg"], ["s", "min", "h", "ms"],
    ["kN/m", "N/m", "lbf/ft"], ["kg/m2", "psf", "kPa", "lbf/ft2"], ["m/s", "km/h", "mph", "knot"], ["N m", "kN m", "lbf ft"],
    ["W", "kW", "hp"], ["rpm", "rad/s", "Hz"], ["kg m2", "lb ft2"], ["deg/s", "rad/s", "degree/min"], ["kg/m3", "pcf"], ["%", ""],
]
UNIT_KINDS = {unit: kind for kind in UNITS for unit in kind}


class Loader(yaml.SafeLoader):
    """Every scalar as the text that it is, so that a mutant is written as its leaf was."""

    yaml_implicit_resolvers = {}


def bases():
    texts = [path.read_text(encoding="utf-8-sig") for path in FILES]
    return texts + [random_leaf(seed)[0] for seed in range(RANDOM_LEAVES)]


def places(node, parents=()):
    """Every place in a tree: the collections around it, outermost first, with the key or index in each."""
    pairs = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in pairs:
        yield (*parents, (node, key))
        yield from places(value, (*parents, (node, key)))


class Mutator:
    def __init__(self, texts):
        self.texts = texts
        self.trees = [yaml.load(text, Loader) for text in texts]
        self.pool = {}
        for tree in self.trees:
            for (holder, key), *_ in (reversed(place) for place in places(tree)):
                if isinstance(key, str):
                    self.pool.setdefault(key, []).append(holder[key])

    def mutant(self, seed):
        """A text; one in twelve is broken below the level of keys and values."""
        dice = random.Random(seed)
        index = dice.randrange(len(self.trees))
        if dice.random() < 1 / 12:
            return self.broken(dice, self.texts[index])
        tree = copy.deepcopy(self.trees[index])
        for _ in range(dice.choice((1, 1, 1, 2, 2, 3, 5, 8))):
            found = [place[-1] for place in places(tree)]
            self.change(dice, tree, *dice.choice(found))
        return yaml.safe_dump(tree, sort_keys=False, allow_unicode=True, default_flow_style=dice.choice((None, None, True, False)))

    def change(self, dice, tree, holder, key):
        value = holder[key]
        if isinstance(value, str) and NUMBER.match(value) and dice.random() < 0.8:
            holder[key] = self.quantity(dice, value)
        elif isinstance(holder, list):
            self.element(dice, holder, key)
        elif dice.random() < 0.15:
            del holder[key]
        elif dice.random() < 0.2:
            other = dice.choice(list(self.pool))
            (holder if dice.random() < 0.5 else tree)[other] = copy.deepcopy(dice.choice(self.pool[other]))
        else:
            holder[key] = copy.deepcopy(dice.choice(self.pool.get(key, [value])))

    def element(self, dice, holder, key):
        way = dice.randrange(4)
        if way == 0 and len(holder) > 1:
            del holder[key]
        elif way == 1:
            extra = copy.deepcopy(holder[key])
            if isinstance(extra, dict) and "name" in extra:
                extra["name"] = f"{extra['name']} {dice.randrange(100)}"
            holder.insert(key, extra)
        elif way == 2:
            other = dice.randrange(len(holder))
            holder[key], holder[other] = holder[other], holder[key]
        elif isinstance(holder[key], str) and NUMBER.match(holder[key]):
            holder[key] = self.quantity(dice, holder[key])

    @staticmethod
    def quantity(dice, text):
        """Another number, or the same one nearly, or another unit of its kind."""
        number = NUMBER.match(text)[0]
        unit = text[len(number):].strip()
        way = dice.randrange(6)
        if way == 0:
            unit = dice.choice(UNIT_KINDS.get(unit, [unit]))
        elif way == 1:
            unit = dice.choice(dice.choice(UNITS))
        elif way == 2:
            number = dice.choice(ODD_NUMBERS)
        elif way == 3:
            number = repr(float(number) * dice.choice((-1, 0.5, 2, 10, 0.1, 1 + 1e-12, 1000, 1e-3)))
        elif way == 4:
            number = repr(float(number) + dice.choice((-1, 1, 1e-9, -1e-9)))
        else:
            number = f"{dice.uniform(0, 100):.6g}"
        return f"{number} {unit}".strip()

    @staticmethod
    def broken(dice, text):
        lines = text.splitlines(keepends=True)
        at = dice.randrange(len(lines))
        way = dice.randrange(5)
        if way == 0:
            del lines[at]
        elif way == 1:
            lines.insert(dice.randrange(len(lines)), lines[at])
        elif way == 2:
            lines[at] = "  " + lines[at]
        elif way == 3:
            spot = dice.randrange(len(lines[at]))
            lines[at] = lines[at][:spot] + dice.choice("[]{},:#&*!|>'\"%@`\t\x01\u2028é~- ") + lines[at][spot:]
        else:
            return text[: dice.randrange(len(text))]
        return "".join(lines)
