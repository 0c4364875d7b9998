# SPDX-License-Identifier: GPL-3.0-or-later
"""Random machinery of a leaf: linked counterweights, drives, brakes, wind limits.

Geometry is drawn until it keeps a margin from dead points over the travel; now and then the first draw
is kept as it is, so that dead points occur too.
"""

import math

from drives import Line
from linkage import FourBar, Stuck

ANY = 0.06
TRIES = 400


class Machinery:
    """Mixed into the maker of leaves, whose rng, write, chance, name, item and flow it uses."""

    def around(self, x, y, spread):
        return x + self.rng.uniform(-spread, spread), y + self.rng.uniform(-spread, spread)

    def drawn(self, draw, sound):
        """The first draw that is sound; any draw in a few cases."""
        first = draw()
        if self.chance(ANY):
            return first
        for _ in range(TRIES):
            if sound(*first):
                break
            first = draw()
        return first

    # the linked counterweight

    def four_bar(self, opens_to):
        """From near a parallelogram to anything that turns freely."""

        def draw():
            pivot = (self.rng.uniform(-11, -5), self.rng.uniform(3, 9))
            pin = self.around(-6, 0, 2.5)
            scale, turn = self.rng.uniform(0.6, 1.4), self.rng.uniform(-0.5, 0.5)
            if self.chance(0.1):
                scale, turn = 1.0, 0.0
            arm = complex(*pin) * scale * complex(math.cos(turn), math.sin(turn))
            if self.chance(0.15):  # on the other side: it turns against the leaf
                arm = -arm
            return pivot, pin, (pivot[0] + arm.real, pivot[1] + arm.imag)

        def sound(pivot, pin, other):
            bar = FourBar(pivot, pin, other)
            try:
                turns = [opens_to * step / 20 for step in range(-4, 25)]
                levers = [bar.leverage(angle, bar.rotation(angle).value) for angle in turns]
            except Stuck:
                return False
            return min(map(abs, levers)) > 0.25 * math.hypot(*bar.arm) * math.sqrt(bar.square)

        return self.drawn(draw, sound)

    def linked_counterweight(self, opens_to, closed_moment):
        """Sized to balance much of the leaf where that can be."""
        pivot, pin, other = self.four_bar(opens_to)
        x, y = self.around(*other, 1.5)
        rate = 1.0
        try:
            rate = FourBar(pivot, pin, other).rotation(0.0).first
        except Stuck:
            pass
        arm = rate * (x - pivot[0])
        weight = -closed_moment / arm * self.rng.uniform(0.9, 1.05) if arm * closed_moment < -1 else 3e5
        block = [("name", self.name("block")), ("weight", self.write.quantity(max(weight, 1e4), "weight"))]
        block.append(("at", self.write.point(x, y)))
        lines = ["linked_counterweight:"]
        for key, at in (("pivot", pivot), ("pin_on_leaf", pin), ("pin_on_counterweight", other)):
            lines.append(f"  {key}: {self.write.point(*at, least=5)}")
        if self.chance(0.85):
            lines += ["  " + line for line in self.journal_lines()]
        lines += ["  parts:", f"    - {self.flow(block)}"]
        lines += [f"    - {self.part_at(x, y)}" for _ in range(self.rng.randint(0, 2))]
        if self.chance(0.4):
            lines += ["  pockets:"] + [f"    - {self.pocket()}" for _ in range(self.rng.randint(1, 2))]
        return lines

    def part_at(self, x, y):
        """A light piece near a place: a bar, or a point with a gyration."""
        if self.chance(0.5):
            weight = self.write.quantity(self.rng.uniform(5e3, 5e4), "weight")
            pairs = [("name", self.name("plate")), ("weight", weight), ("at", self.write.point(*self.around(x, y, 2)))]
            pairs.append(("gyration", self.write.quantity(self.rng.uniform(0, 2), "length")))
        else:
            rate = self.write.quantity(self.rng.uniform(500, 5000), "weight per length")
            pairs = [("name", self.name("hanger")), ("weight_per_length", rate)]
            pairs += [("from", self.write.point(x - 1, y)), ("to", self.write.point(*self.around(x + 2, y, 1)))]
        return self.flow(self.extras(pairs))

    def journal_lines(self):
        starting = self.rng.uniform(0.05, 0.25)
        moving = starting * self.rng.uniform(0.2, 0.9)
        friction = self.flow([("starting", self.write.number(starting)), ("moving", self.write.number(moving))])
        diameter = self.write.quantity(self.rng.uniform(0.1, 0.6), "length")
        return [f"journal_diameter: {diameter}", f"friction: {friction}"]

    # drives

    def line_of_force(self, opens_to):
        def draw():
            return self.around(2, 0, 4), self.around(0, -2, 7)

        def sound(pin, fixed):
            line = Line(pin, fixed)
            slopes = [line.slope(opens_to * step / 40) for step in range(-8, 49)]
            return min(slopes) * max(slopes) > 0 and min(map(abs, slopes)) > 0.4

        return self.drawn(draw, sound)

    def efficiency(self):
        stages = [self.write.number(self.rng.uniform(0.6, 0.99)) for _ in range(self.rng.randint(1, 4))]
        return stages[0] if len(stages) == 1 and self.chance(0.7) else "[" + ", ".join(stages) + "]"

    def strut(self, opens_to):
        pin, fixed = self.line_of_force(opens_to)
        return self.flow([
            ("strut", self.flow([
                ("on_leaf", self.write.point(*pin, least=4)),
                ("pinion", self.write.point(*fixed, least=4)),
                ("pinion_radius", self.write.quantity(self.rng.uniform(0.1, 0.6), "length")),
                ("ratio", f"{self.rng.uniform(30, 400):.6g}"),
            ])),
            ("efficiency", self.efficiency()),
        ])  # fmt: skip

    def cylinder(self, opens_to):
        pin, fixed = self.line_of_force(opens_to)
        bore = self.rng.uniform(0.15, 0.5)
        pairs = [
            ("on_leaf", self.write.point(*pin, least=4)),
            ("anchor", self.write.point(*fixed, least=4)),
            ("bore", self.write.quantity(bore, "length")),
            ("rod", self.write.quantity(bore * self.rng.uniform(0.3, 0.8), "length")),
            ("pressure", self.write.quantity(self.rng.uniform(5e6, 3e7), "pressure")),
        ]
        if self.chance(0.6):
            pairs.append(("count", self.write.whole(self.rng.randint(1, 4))))
        whole = [("cylinder", self.flow(pairs))]
        return self.flow(whole + ([("efficiency", self.efficiency())] if self.chance(0.5) else []))

    def rack(self):
        pairs = [("ratio", f"{self.rng.uniform(50, 3000):.6g}"), ("efficiency", self.efficiency())]
        if self.chance(0.6):
            pairs.append(("rack", self.flow([
                ("radius", self.write.quantity(self.rng.uniform(0.8, 5), "length")),
                ("pinion", self.write.quantity(math.radians(self.rng.uniform(-180, 180)), "angle")),
                ("pressure_angle", self.write.quantity(math.radians(self.rng.choice([0, 14.5, 20, 25])), "angle")),
            ])))  # fmt: skip
        return self.flow(pairs)

    def drive(self, opens_to):
        kind = self.rng.random()
        if kind < 0.5:
            return self.rack()
        return self.strut(opens_to) if kind < 0.75 else self.cylinder(opens_to)

    # brakes and what is asked of them

    def brakes(self, needed):
        """Of which the strongest may be out; sometimes one that sets at once."""
        each, count = [], self.rng.randint(1, 3)
        for _ in range(count):
            ratio, number = self.rng.uniform(20, 2000), self.rng.randint(1, 3)
            torque = needed / count / number / ratio * self.rng.uniform(0.8, 2.5)
            pairs = [("name", self.name("brake")), ("torque", self.write.quantity(torque, "torque"))]
            pairs.append(("ratio", self.write.number(ratio)))
            pairs.append(("delay", self.write.quantity(self.rng.uniform(0, 1), "time")))
            pairs.append(("set_time", self.write.quantity(self.rng.uniform(0.1, 2), "time")))
            if self.chance(0.3):
                pairs.append(("heat_capacity", self.write.quantity(self.rng.uniform(5e3, 1e5), "heat capacity")))
            if number > 1 or self.chance(0.3):
                pairs.append(("count", self.write.whole(number)))
            each.append(self.flow(pairs))
        return self.listed("brakes", each)

    def holding(self):
        pairs = [("name", self.name("holding"))]
        if self.chance(0.85):
            pairs.append(("wind", self.wind()))
        if self.chance(0.3):
            pairs.append(("ice", self.write.quantity(self.rng.uniform(0, 1500), "weight per area")))
        if self.chance(0.7):
            pairs.append(("factor", self.write.number(self.rng.uniform(0.8, 2))))
        if self.chance(0.4):
            pairs.append(("friction_credit", self.write.number(self.rng.uniform(0, 1))))
        return self.item(pairs)

    def wind_limits(self):
        law = self.rng.choice(["projected", "projected", "normal", "incidence"])
        pairs = [("law", law)]
        if law == "incidence":
            pairs.append(("normal_coefficient", self.incidence_table()))
        elif self.chance(0.7):
            pairs.append(("coefficient", self.write.number(self.rng.uniform(0.5, 2))))
        if self.chance(0.3):
            pairs.append(("density", self.write.quantity(self.rng.uniform(1.0, 1.4), "density")))
        if self.chance(0.2):
            pairs.append(("profile", self.profile()))
        if self.chance(0.6):
            pairs.append(("friction", self.rng.choice(["starting", "moving"])))
        if self.chance(0.7):
            pairs.append(("motor_limit", self.write.number(self.rng.uniform(0.8, 3))))
        if self.chance(0.7):
            pairs.append(("hold_factor", self.write.number(self.rng.uniform(0.8, 1.5))))
        return self.flow(pairs)

    def duty(self, names):
        pairs = [("openings_per_hour", self.write.number(self.rng.uniform(0.3, 1.5)))]
        pairs.append(("hold_open", self.write.quantity(self.rng.uniform(10, 400), "time")))
        if names and self.chance(0.4):
            pairs.append(("case", self.rng.choice(names)))
        if self.chance(0.4):
            pairs.append(("hours_without_openings", self.write.number(self.rng.uniform(0, 23.9))))
        return self.flow(pairs)
