# SPDX-License-Identifier: GPL-3.0-or-later
"""Random valid leaf descriptions, the same for the same seed.

    python3 random_leaves.py SEED      prints one

All of them are invented. Together they go through every shape, void, count, pocket, law, side,
profile, ice, friction state, drive and spelling of units that the commands deal with.
"""

import math
import random
import sys

import reference
from random_machinery import Machinery
from spelling import Writer

SHAPES = ("point", "bar", "bar by length", "slab", "block")
WORDS = ["girder", "deck", "rack", "railing", "lock", "floor beam", "walkway", "tail", "bracing", "cable"]
ODD_NAMES = ["{}, east", '{} "old"', "{} é", "{}: upper", "{} #2", "{} 'b'"]


class Maker(Machinery):
    def __init__(self, seed):
        self.rng = random.Random(seed)
        self.write = Writer(self.rng)
        self.used = set()

    def chance(self, share):
        return self.rng.random() < share

    def name(self, word):
        text = word
        if self.chance(0.2):
            text = self.rng.choice(ODD_NAMES).format(word)
        while text in self.used:
            text = f"{word} {self.rng.randrange(10000)}"
        self.used.add(text)
        return "'" + text.replace("'", "''") + "'" if any(c in text for c in ",\":#'") else text

    def flow(self, pairs):
        if self.chance(0.3):
            self.rng.shuffle(pairs)
        return "{" + ", ".join(f"{key}: {value}" for key, value in pairs) + "}"

    def item(self, pairs):
        """An entry of a list, in flow or in block style."""
        return "\n    ".join(f"{key}: {value}" for key, value in pairs) if self.chance(0.25) else self.flow(pairs)

    def place(self):
        """Ahead of, behind, above or below the trunnion."""
        return self.rng.uniform(-12, 28), self.rng.uniform(-4, 4)

    def extras(self, pairs):
        if self.chance(0.3):
            pairs.append(("count", self.write.whole(self.rng.randint(1, 4))))
        if self.chance(0.2):
            pairs.append(("uncertainty", self.write.number(self.rng.uniform(0, 0.1))))
        return pairs

    def ends(self):
        """A strip or bar, heel end first: level, sloped, or upright."""
        x, y = self.place()
        run, rise = self.rng.uniform(1, 15), self.rng.uniform(-4, 4)
        kind = self.rng.random()
        first = [self.write.quantity(v, "length") for v in (x, y)]
        last = [self.write.quantity(v, "length") for v in (x + run, y + rise)]
        if kind < 0.3:  # the same text twice: level to the last bit, whatever the unit
            last[1] = first[1]
        elif kind < 0.4:
            last = [first[0], self.write.quantity(y + self.rng.choice([-1, 1]) * (1 + abs(rise)), "length")]
        return [("from", f"[{first[0]}, {first[1]}]"), ("to", f"[{last[0]}, {last[1]}]")]

    # shapes

    def star(self, x, y, size, corners):
        """A polygon round (x, y), simple because its corners go once round it with no gap of half a turn."""
        start, sense = self.rng.uniform(0, 2 * math.pi), self.rng.choice([-1, 1])
        angles = [start + (k + self.rng.uniform(-0.2, 0.2)) * 2 * math.pi / corners for k in range(corners)]
        radii = [size * self.rng.uniform(0.5, 1) for _ in angles]
        return [(x + r * math.cos(a), y + r * math.sin(a)) for a, r in zip(angles, radii)][::sense]

    def room(self, x, y, corners):
        """How far the outline is from a point within it."""
        least = math.inf
        for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1]):
            cross = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
            least = min(least, abs(cross) / math.hypot(x2 - x1, y2 - y1))
        return least

    def angular(self, x, y, size):
        """A rectangle, an L or a U, and a point well inside."""
        s = size
        forms = [
            ([(0, 0), (s, 0), (s, 0.6 * s), (0, 0.6 * s)], (0.5 * s, 0.3 * s)),
            ([(0, 0), (s, 0), (s, 0.4 * s), (0.4 * s, 0.4 * s), (0.4 * s, s), (0, s)], (0.2 * s, 0.2 * s)),
            ([(0, 0), (s, 0), (s, s), (0.7 * s, s), (0.7 * s, 0.3 * s), (0.3 * s, 0.3 * s), (0.3 * s, s), (0, s)],
             (0.15 * s, 0.15 * s)),
        ]  # fmt: skip
        corners, inside = self.rng.choice(forms)
        turn = self.rng.randrange(len(corners))
        corners = (corners[turn:] + corners[:turn])[:: self.rng.choice([-1, 1])]
        return [(x + u, y + v) for u, v in corners], (x + inside[0], y + inside[1])

    def outline(self, corners):
        """With digits enough that rounding leaves the outline simple and a void inside."""
        return "[" + ", ".join(self.write.point(*corner, least=6) for corner in corners) + "]"

    def voids(self, corners, inside, width):
        """One hollow at a point inside, or two beside each other, well clear of the outline and each other."""
        free = 0.6 * self.room(*inside, corners)
        if free < 0.15 or self.chance(0.3):
            return []
        x, y = inside
        centres, size = self.rng.choice([([inside], free), ([(x - free / 2, y), (x + free / 2, y)], 0.4 * free)])
        each = []
        for x, y in centres:
            hollow = self.star(x, y, size, self.rng.randint(3, 6))
            wide = self.write.quantity(width * self.rng.uniform(0.2, 0.9), "length")
            each.append(self.flow([("width", wide), ("outline", self.outline(hollow))]))
        return [("voids", "[" + ", ".join(each) + "]")]

    def block(self):
        x, y = self.place()
        size, width = self.rng.uniform(1.5, 5), self.rng.uniform(2, 10)
        corners, inside = self.angular(x, y, size)
        if self.chance(0.6):
            corners, inside = self.star(x, y, size, self.rng.randint(3, 9)), (x, y)
        unit_weight = self.write.quantity(9.80665 * self.rng.uniform(500, 4000), "weight per volume")
        return [
            ("unit_weight", unit_weight),
            ("width", self.write.quantity(width, "length")),
            ("outline", self.outline(corners)),
        ] + self.voids(corners, inside, width)

    def part(self):
        shape = self.rng.choice(SHAPES)
        weight = self.write.quantity(math.exp(self.rng.uniform(6, 14)), "weight")
        pairs = [("name", self.name(self.rng.choice(WORDS)))]
        if shape == "point":
            pairs += [("weight", weight), ("at", self.write.point(*self.place()))]
            if self.chance(0.5):
                pairs.append(("gyration", self.write.quantity(self.rng.uniform(0, 3), "length")))
        elif shape == "bar":
            pairs += [("weight", weight)] + self.ends()
        elif shape == "bar by length":
            rate = self.write.quantity(self.rng.uniform(500, 30000), "weight per length")
            pairs += [("weight_per_length", rate)] + self.ends()
        elif shape == "slab":
            rate = self.write.quantity(self.rng.uniform(300, 5000), "weight per area")
            width = self.write.quantity(self.rng.uniform(2, 12), "length")
            pairs += [("weight_per_area", rate), ("width", width)] + self.ends()
        else:
            pairs += self.block()
        return self.item(self.extras(pairs))

    def pocket(self):
        room = self.rng.randint(1, 90)
        return self.flow([
            ("name", self.name("pocket")),
            ("at", self.write.point(self.rng.uniform(-10, -4), self.rng.uniform(-4, 4))),
            ("block", self.write.quantity(self.rng.uniform(200, 500), "weight")),
            ("blocks", self.write.whole(self.rng.randint(0, room))),
            ("room", self.write.whole(room)),
        ])  # fmt: skip

    # loads

    def surface(self):
        pairs = [("name", self.name("surface"))] + self.ends()
        pairs.append(("width", self.write.quantity(self.rng.uniform(0.5, 12), "length")))
        if self.chance(0.6):
            pairs.append(("solidity", self.write.number(self.rng.choice([0, 1, self.rng.random()]))))
        if self.chance(0.6):
            pairs.append(("ice", self.write.truth(self.chance(0.8))))
        if self.chance(0.3):
            pairs.append(("wind", self.write.truth(self.chance(0.5))))
        return self.item(pairs)

    def profile(self):
        return self.flow([
            ("exponent", self.write.number(self.rng.uniform(0.05, 0.4))),
            ("reference_height", self.write.quantity(self.rng.uniform(5, 20), "length")),
            ("trunnion_height", self.write.quantity(self.rng.uniform(2, 20), "length")),
            ("lowest", self.write.quantity(self.rng.uniform(0.5, 12), "length")),
        ])  # fmt: skip

    def incidence_table(self):
        inner = sorted(self.rng.sample(range(5, 86), self.rng.randint(0, 4)))
        ends = self.rng.choice([(0, 90), (0, 90), (3, 80), (0, 60)])
        degrees = [ends[0]] + [a for a in inner if ends[0] < a < ends[1]] + [ends[1]]
        values = [self.rng.choice([0, 0, 0.3])] + [self.rng.uniform(0.2, 2) for _ in degrees[1:]]
        # 90 degrees only in degrees: in radians it might be rounded beyond the quarter turn.
        angles = ["90 deg" if a == 90 else self.write.quantity(math.radians(a), "angle") for a in degrees]
        return "[" + ", ".join(f"[{angle}, {value:.3g}]" for angle, value in zip(angles, values)) + "]"

    def wind(self):
        law = self.rng.choice(["projected", "normal", "incidence"])
        if self.chance(0.5):
            pairs = [("pressure", self.write.quantity(self.rng.uniform(0, 1500), "pressure"))]
        else:
            pairs = [("speed", self.write.quantity(self.rng.uniform(0, 40), "speed"))]
            if law != "incidence" and self.chance(0.5):
                pairs.append(("coefficient", self.write.number(self.rng.uniform(0.5, 2))))
            if self.chance(0.3):
                pairs.append(("density", self.write.quantity(self.rng.uniform(1.0, 1.4), "density")))
        if law != "projected" or self.chance(0.5):
            pairs.append(("law", law))
        if law == "incidence":
            pairs.append(("normal_coefficient", self.incidence_table()))
        if self.chance(0.7):
            pairs.append(("from", self.rng.choice(["heel", "toe", "adverse"])))
        if self.chance(0.4):
            pairs.append(("profile", self.profile()))
        return self.flow(pairs)

    def case(self, has_travel):
        pairs = [("name", self.name("case"))]
        if self.chance(0.7):
            pairs.append(("friction", self.rng.choice(["starting", "moving"])))
        if has_travel and self.chance(0.5):
            pairs.append(("accelerating", self.write.truth(self.chance(0.8))))
        if self.chance(0.8):
            pairs.append(("wind", self.wind()))
        if self.chance(0.5):
            pairs.append(("ice", self.write.quantity(self.rng.uniform(0, 1500), "weight per area")))
        if self.chance(0.4):
            pairs.append(("motor_limit", self.write.number(self.rng.uniform(0.5, 2))))
        return self.item(pairs)

    # machinery

    def trunnion(self):
        starting = self.rng.uniform(0.05, 0.3)
        moving = starting * self.rng.uniform(0.2, 0.9)
        friction = self.flow([("starting", self.write.number(starting)), ("moving", self.write.number(moving))])
        pairs = [("journal_diameter", self.write.quantity(self.rng.uniform(0.1, 1), "length")), ("friction", friction)]
        if self.chance(0.5):
            pairs.append(("drag", self.write.quantity(self.rng.choice([0, self.rng.uniform(0, 50000)]), "torque")))
        return self.flow(pairs)

    def motors(self):
        installed = self.rng.randint(1, 4)
        pairs = [("installed", self.write.whole(installed))]
        if self.chance(0.7):
            pairs.append(("running", self.write.whole(self.rng.randint(1, installed))))
        pairs.append(("power", self.write.quantity(self.rng.uniform(5e3, 1e5), "power")))
        pairs.append(("speed", self.rng.choice(["870 rpm", "91.5 rad/s", "1750rpm", "5200 deg/s"])))
        if self.chance(0.8):
            pairs.append(("inertia", self.write.quantity(self.rng.uniform(0, 5), "inertia")))
        if self.chance(0.5):
            pairs += [("peak", self.write.number(self.rng.uniform(1.1, 2.5))), ("law", "constant")]
        return self.flow(pairs)

    def travel(self, opens_to):
        return self.flow([
            ("speed", self.write.quantity(math.radians(self.rng.uniform(0.3, 3)), "angular speed")),
            ("accelerate_in", self.write.quantity(self.rng.uniform(2, 20), "time")),
            ("creep", self.write.number(self.rng.uniform(0.05, 0.9))),
            ("near_open", self.write.quantity(opens_to * self.rng.uniform(0.6, 0.9), "angle")),
            ("near_closed", self.write.quantity(opens_to * self.rng.uniform(0.1, 0.4), "angle")),
            ("decelerate_in", self.write.quantity(self.rng.uniform(2, 20), "time")),
        ])  # fmt: skip

    # the whole

    def listed(self, key, items):
        return [f"{key}:"] + [f"  - {item}" for item in items]

    def counterweight(self, rest):
        """A weight behind the trunnion that nearly balances the rest: where sums cancel."""
        if rest <= 1e4:
            return []
        arm = self.rng.uniform(5, 9)
        weight = self.write.quantity(rest / arm * self.rng.uniform(0.95, 1.05), "weight")
        at = self.write.point(-arm, self.rng.uniform(-3, 1))
        return [f"  - {{name: counterweight, weight: {weight}, at: {at}}}"]

    def bodies(self, lines, opens_to):
        lines += self.listed("parts", [self.part() for _ in range(self.rng.randint(1, 7))])
        rest = reference.read("\n".join(lines)).bodies[0].first_moment(0).value
        linked = self.chance(0.35)
        if not linked and self.chance(0.6):
            lines += self.counterweight(rest)
        if self.chance(0.5):
            lines += self.listed("pockets", [self.pocket() for _ in range(self.rng.randint(1, 3))])
        if linked:
            lines += self.linked_counterweight(opens_to, rest)

    def sections(self, lines, opens_to):
        lines += [f"{key}: {make}" for key, share, make in (
            ("trunnion", 0.85, self.trunnion()), ("drive", 0.85, self.drive(opens_to)), ("motors", 0.85, self.motors()),
        ) if self.chance(share)]  # fmt: skip
        has_travel = self.chance(0.7)
        if has_travel:
            lines.append(f"travel: {self.travel(opens_to)}")
        names = []
        if self.chance(0.9):
            before = set(self.used)
            lines += self.listed("cases", [self.case(has_travel) for _ in range(self.rng.randint(1, 4))])
            names = sorted(self.used - before)
        if has_travel and self.chance(0.7):
            lines.append(f"duty: {self.duty([name for name in names if name.isalnum()])}")

    def heaviest(self, text):
        """Of the balance moment over the travel, as far as the leaf can be moved."""
        leaf = reference.read(text)
        try:
            return max(abs(leaf.pose(leaf.opens_to * share).balance.value) for share in (0, 0.3, 0.6, 1))
        except reference.Stuck:
            return 1e6

    def requirements(self, lines):
        if self.chance(0.6):
            lines += self.brakes(self.heaviest("\n".join(lines)) * self.rng.uniform(1.2, 3) + 1e5)
            if self.chance(0.85):
                lines += self.listed("holding", [self.holding() for _ in range(self.rng.randint(1, 3))])
        if self.chance(0.5):
            lines.append(f"wind_limits: {self.wind_limits()}")
            if self.chance(0.7):
                lines.append(f"posted_wind: {self.write.quantity(self.rng.uniform(5, 20), 'speed')}")

    def leaf(self):
        opens_to = math.radians(self.rng.choice([76, 90, 119, self.rng.uniform(20, 119)]))
        lines = [
            f"leaf: {self.name('Sallow Quay')}",
            f"opens_to: {self.write.quantity(opens_to, 'angle')}",
            f"toe: {self.write.quantity(self.rng.uniform(5, 40), 'length')}",
        ]
        if self.chance(0.6):
            lines.append(f"units: {self.rng.choice(['metric', 'us'])}")
        self.bodies(lines, opens_to)
        if self.chance(0.9):
            lines += self.listed("surfaces", [self.surface() for _ in range(self.rng.randint(1, 4))])
        self.sections(lines, opens_to)
        self.requirements(lines)
        return "\n".join(lines) + "\n"

    def step(self):
        """For the option --step: coarse, so that a leaf gives some twenty rows."""
        return self.rng.choice(["5deg", "7.5deg", "3 degree", "0.1rad", "11.25 deg", "120 deg"])


def random_leaf(seed):
    """The description of a random leaf and a step for its curve."""
    maker = Maker(seed)
    return maker.leaf(), maker.step()


if __name__ == "__main__":
    print(random_leaf(int(sys.argv[1]))[0], end="")
