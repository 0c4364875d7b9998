# SPDX-License-Identifier: GPL-3.0-or-later
"""explain works by hand what curve says: the same numbers, and each line can be worked again."""

import functools
import math
import re

import worked
from harness import (
    EXAMPLES, METRIC, WRAP, cases_of, claim, expect, expect_equal, json_of, leaf_text, main, read_csv, run_well,
)

# All laws of wind from either side, strips that slope down to the toe, drag, ice, acceleration with rotors.
ALL_LAWS = leaf_text(sections="""\
surfaces:
  - {name: falling deck, from: [0.5 m, 1.8 m], to: [24 m, 0.8 m], width: 9 m, solidity: 0.7, ice: true}
  - {name: heel wall, from: [-5 m, -2 m], to: [-4 m, 2 m], width: 6 m}
trunnion: {journal_diameter: 480 mm, friction: {starting: 0.18, moving: 0.12}, drag: 2.5 kN m}
drive: {ratio: 1500, efficiency: [0.96, 0.95]}
motors: {installed: 3, running: 2, power: 45 kW, speed: 870 rpm, inertia: 14 kg m2}
travel: {speed: 1.1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 68 degree, near_closed: 7 degree, decelerate_in: 6 s}
cases:
  - {name: projected heel, wind: {speed: 20 m/s, coefficient: 1.3, density: 1.2 kg/m3, from: heel}, ice: 12 kg/m2}
  - {name: normal toe, accelerating: true, friction: starting, wind: {pressure: 400 Pa, law: normal, from: toe}}
  - name: incidence profile
    accelerating: true
    ice: 200 Pa
    wind:
      speed: 25 m/s
      law: incidence
      normal_coefficient: [[0 degree, 0.1], [30 degree, 0.9], [90 degree, 1.2]]
      profile: {exponent: 0.16, reference_height: 10 m, trunnion_height: 9 m, lowest: 2 m}
  - name: projected profile
    wind: {pressure: 400 Pa, profile: {exponent: 0.2, reference_height: 10 m, trunnion_height: 4 m, lowest: 3 m}}
  - name: normal profile
    wind: {pressure: 400 Pa, law: normal, profile: {exponent: 0.2, reference_height: 10 m, trunnion_height: 4 m, lowest: 3 m}}
""")
ALL_LAWS_CASES = ("projected heel", "normal toe", "incidence profile", "projected profile", "normal profile")
# Under a wrapper each run takes seconds: two angles then, to exercise the tool.
ANGLES = ("0deg", "33deg") if WRAP else ("0deg", "7deg", "12.5deg", "33deg", "70deg")

# Term of a worked line, in a section or in any, and the column of curve's table and key that it explains.
COLUMNS = {
    ("M", "Balance"): ("balance", "balance_Nm"),
    ("wind while opening", None): ("wind opening", "wind_opening_Nm"),
    ("wind while closing", None): ("wind closing", "wind_closing_Nm"),
    ("ice moment", None): ("ice", "ice_Nm"),
    ("F, opening", None): ("friction opening", "friction_opening_Nm"),
    ("F, closing", None): ("friction closing", "friction_closing_Nm"),
    ("inertia", None): ("inertia", "inertia_Nm"),
    ("opening", "Demand at the leaf"): ("demand opening", "opening_Nm"),
    ("closing", "Demand at the leaf"): ("demand closing", "closing_Nm"),
    ("opening, the motors drive", None): ("motor opening", "motor_opening_Nm"),
    ("opening, the leaf overhauls", None): ("motor opening", "motor_opening_Nm"),
    ("closing, the motors drive", None): ("motor closing", "motor_closing_Nm"),
    ("closing, the leaf overhauls", None): ("motor closing", "motor_closing_Nm"),
    ("N, opening", None): ("reaction opening", "reaction_opening_N"),
    ("N, closing", None): ("reaction closing", "reaction_closing_N"),
    ("drive force, opening", None): ("drive force opening", "force_opening_N"),
    ("drive force, closing", None): ("drive force closing", "force_closing_N"),
    ("pressure, opening", None): ("pressure opening", "pressure_opening_Pa"),
    ("pressure, closing", None): ("pressure closing", "pressure_closing_Pa"),
    ("link, opening", None): ("link opening", "link_opening_N"),
    ("link, closing", None): ("link closing", "link_closing_N"),
    ("N of the counterweight, opening", None): ("cw reaction opening", "counterweight_reaction_opening_N"),
    ("N of the counterweight, closing", None): ("cw reaction closing", "counterweight_reaction_closing_N"),
}


class Leaf:
    """A leaf file, or a text for standard input."""

    def __init__(self, words, path=None, text=None):
        self.words = words
        self.place = path if path is not None else "-"
        self.text = text

    @functools.lru_cache(maxsize=None)
    def run(self, command, *arguments):
        return run_well(command, self.place, *arguments, stdin=self.text).text

    @functools.lru_cache(maxsize=None)
    def json(self, command, *arguments):
        return json_of(command, self.place, *arguments, stdin=self.text)


def column_of(step):
    return COLUMNS.get((step["term"], step["section"])) or COLUMNS.get((step["term"], None))


def printed_steps(text, steps):
    """The value and unit that each step shows in the table, from the end of its line."""
    lines = [line for line in text.splitlines() if line.startswith("   ")]
    expect_equal(len(lines), len(steps), "the table has another count of steps than JSON")
    shown = []
    for line, step in zip(lines, steps):
        start = f"   {step['term']}: {step['formula']} = " + (f"{step['numbers']} = " if step["numbers"] else "")
        expect(line.startswith(start), f"expected a line that starts with '{start}'", line)
        value, _, unit = line[len(start):].partition(" ")
        shown.append((value, unit))
    return shown


def curve_row(text, angle_deg):
    """The texts of the row of an angle, by column."""
    lines = text.splitlines()
    rule = next(number for number, line in enumerate(lines) if line.startswith("-----"))
    over = {match.end(): match.group() for match in re.finditer(r"\S+(?: \S+)*", lines[rule - 3])}
    names = [
        f"{over[match.end()]} {match.group()}" if match.end() in over else match.group()
        for match in re.finditer(r"\S+", lines[rule - 2])
    ]
    row = next(fields for fields in map(str.split, lines[rule + 1:]) if float(fields[0]) == angle_deg)
    expect_equal(len(row), len(names), "the row does not fill the columns")
    return dict(zip(names, row))


def step_for(angle):
    return angle if angle != "0deg" else "360deg"


def same_text(leaf, name):
    for angle in ANGLES:
        explained = leaf.run("explain", "--case", name, "--at", angle)
        steps = leaf.json("explain", "--case", name, "--at", angle)["steps"]
        row = curve_row(leaf.run("curve", "--case", name, "--step", step_for(angle)), float(angle[:-3]))
        row.pop("angle")
        for step, (value, _) in zip(steps, printed_steps(explained, steps)):
            column = column_of(step)
            if column and column[0] in row:
                expect_equal(value, row.pop(column[0]), f"{step['term']} at {angle}: explain, curve")
            elif column:
                expect_equal(float(value), 0.0, f"{step['term']} at {angle} has no column in curve")
        expect(not row, f"explain at {angle} says nothing of {row}", explained)


def same_bits(leaf, name):
    for angle in ANGLES:
        explained = leaf.json("explain", "--case", name, "--at", angle)
        rows = leaf.json("curve", "--case", name, "--step", step_for(angle))["cases"][0]["rows"]
        row = next(row for row in rows if row["angle_deg"] == float(angle[:-3]))
        expect_equal({key: explained[key] for key in row}, row, f"at {angle}: explain, curve")
        for step in explained["steps"]:
            if column := column_of(step):
                expect_equal(step["value"], row[column[1]], f"{step['term']} at {angle}: step, curve")


def at_the_end(opens_to):
    leaf = ALL_LAWS.replace(b"80 degree", opens_to.encode())
    for name in ALL_LAWS_CASES:
        row = json_of("curve", "-", "--case", name, "--step", "360deg", stdin=leaf)["cases"][0]["rows"][-1]
        explained = json_of("explain", "-", "--case", name, "--at", opens_to, stdin=leaf)
        expect_equal({key: explained[key] for key in row}, row, f"{name}: explain, curve")


def last_place(shown, step):
    """Half a unit of the last decimal that a value shows, in SI."""
    value, unit = shown
    decimals = len(value.partition(".")[2])
    factor = math.radians(1) if unit.startswith("°") else worked.SHOWN.get(unit, 1)
    return 0.5 * 10.0**-decimals * factor


def value_in_si(step):
    return math.radians(step["value"]) if step["unit"].startswith("deg") else step["value"]


def can_be_worked(leaf, name):
    """The printed numbers hold the value within their rounding, and closely enough to work with."""
    for angle in ANGLES:
        explained = leaf.run("explain", "--case", name, "--at", angle)
        steps = leaf.json("explain", "--case", name, "--at", angle)["steps"]
        for step, shown in zip(steps, printed_steps(explained, steps)):
            value = value_in_si(step)
            half = last_place(shown, step)
            about = f"{step['term']} at {angle}: {step['numbers']} = {' '.join(shown)}"
            printed = float(shown[0]) * 2 * half * 10.0 ** len(shown[0].partition(".")[2])
            expect(abs(printed - value) <= half * (1 + 1e-9), about, f"value {value}")
            if step["numbers"]:
                low, high = worked.interval(step["numbers"], step["formula"])
                slack = 1e-9 * abs(value) + 1e-12
                expect(low - slack <= value <= high + slack, about, f"value {value}, worked {low} to {high}")
                expect((high - low) / 2 <= 0.05 * abs(value) + 40 * half, about, f"too coarse: {low} to {high}")


def steps_of(steps, section):
    return [step for step in steps if step["section"] == section]


def sums_are_right(leaf, name):
    for angle in ANGLES:
        whole = leaf.json("explain", "--case", name, "--at", angle)
        weights = steps_of(whole["steps"], "Weights (closed position)")
        balance = {step["term"]: step["value"] for step in steps_of(whole["steps"], "Balance")}
        for letter, formula in (("A", "W x"), ("B", "W y")):
            terms = [step["value"] for step in weights if step["formula"] == formula]
            expect(abs(math.fsum(terms) - balance[letter]) <= 1e-13 * sum(map(abs, terms)), letter, balance, terms)
        theta = math.radians(whole["angle_deg"])
        turned = balance["A"] * math.cos(theta) - balance["B"] * math.sin(theta)
        size = math.hypot(balance["A"], balance["B"])
        expect(abs(turned - balance.get("M of the leaf", balance["M"])) <= 1e-13 * size, turned, balance)
        if "ψ′" in balance:
            linked = balance["M of the leaf"] + balance["M of the counterweight"] * balance["ψ′"]
            expect(abs(linked - balance["M"]) <= 1e-13 * size, linked, balance)
        expect_equal(whole["balance_Nm"], balance["M"])
        for way, sign in (("opening", 1), ("closing", -1)):
            terms = [
                sign * whole["balance_Nm"], sign * whole[f"wind_{way}_Nm"], sign * whole["ice_Nm"],
                whole[f"friction_{way}_Nm"], whole["inertia_Nm"],
            ]
            expect(abs(math.fsum(terms) - whole[f"{way}_Nm"]) <= 1e-13 * sum(map(abs, terms)), way, terms, whole[f"{way}_Nm"])


def wind_terms_sum(leaf, name):
    """Both directions are the sum over the surfaces, with the sign of the side that the line states."""
    for angle in ANGLES:
        whole = leaf.json("explain", "--case", name, "--at", angle)
        moments = [step["value"] for step in whole["steps"] if re.match(r"M = F", step["formula"])]
        for step in whole["steps"]:
            if step["term"].startswith("wind while"):
                sign = 1 if "d = +1" in step["formula"] else -1
                total = sign * math.fsum(moments)
                expect(abs(step["value"] - total) <= 1e-12 * sum(map(abs, moments)), step, moments)


def csv_says_the_same(leaf, name):
    whole = leaf.json("explain", "--case", name, "--at", "33deg")
    text = leaf.run("explain", "--case", name, "--at", "33deg", "--csv")
    expect("\n" not in text.replace("\r\n", ""), "a line ends without CR")
    rows = read_csv(text)
    expect_equal(rows[0], ["case", "angle_deg", "section", "term", "formula", "numbers", "value", "unit"])
    keys = rows[0][2:]
    got = [[row[0], float(row[1]), *row[2:6], float(row[6]), row[7]] for row in rows[1:]]
    expect_equal(got, [[name, 33.0, *(step[key] for key in keys)] for step in whole["steps"]])


def defaults():
    first = cases_of(METRIC)[0]
    expect_equal(run_well("explain", METRIC).text, run_well("explain", METRIC, "--case", first, "--at", "0deg").text)


def angle_in_other_units():
    expect_equal(
        run_well("explain", METRIC, "--at", "1800 arcminute").text, run_well("explain", METRIC, "--at", "30deg").text)


def acceleration_is_no_angle():
    steps = json_of("explain", "-", "--case", "normal toe", stdin=ALL_LAWS)["steps"]
    (alpha,) = [step for step in steps if step["term"] == "α"]
    expect(alpha["unit"] != "deg", "degrees/s² are called degrees", alpha)


LEAVES = [(Leaf(path.stem, path=path), None) for path in EXAMPLES]
LEAVES.append((Leaf("all laws", text=ALL_LAWS), ALL_LAWS_CASES))
for of, named in LEAVES:
    for case in named or cases_of(of.place):
        claim(f"{of.words}, {case}: explain prints curve's numbers to the last digit", same_text, of, case)
        claim(f"{of.words}, {case}: explain's JSON is curve's, bit for bit", same_bits, of, case)
        claim(f"{of.words}, {case}: each line can be worked again", can_be_worked, of, case)
        claim(f"{of.words}, {case}: terms add up to their sums", sums_are_right, of, case)
        claim(f"{of.words}, {case}: the wind on each surface adds up", wind_terms_sum, of, case)
        claim(f"{of.words}, {case}: CSV has the steps of JSON", csv_says_the_same, of, case)
for text in ("80 degree", "77.7 degree", "71.3 degree", "1.3 rad", "4301 arcminute", "1.25 rad"):
    claim(f"fully open at {text}: explain's JSON is curve's, bit for bit", at_the_end, text)
claim("without --case and --at: the first case, closed", defaults)
claim("--at takes any unit of angle", angle_in_other_units)
claim("the acceleration has a unit of its own", acceleration_is_no_angle)

if __name__ == "__main__":
    main()
