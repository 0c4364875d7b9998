# SPDX-License-Identifier: GPL-3.0-or-later
"""The forms of a result: JSON, CSV and the table say the same, to the letter of the contract."""

import itertools
import math
import re

from harness import (
    EXAMPLES, METRIC, ROOT, cases_of, claim, expect, expect_equal, expect_refused, json_of, leaf_text, main, quoted,
    read_csv, run, run_well,
)

WEIGH_KEYS = [
    "leaf", "weight_N", "mass_kg", "x_m", "y_m", "closed_moment_Nm", "moment_Nm", "angle_deg", "inertia_kg_m2",
    "toe_reaction_N", "neutral_angle_deg", "parts",
]
PART_KEYS = ["name", "weight_N", "x_m", "y_m", "closed_moment_Nm", "inertia_kg_m2"]
ROW_KEYS = [
    "angle_deg", "balance_Nm", "wind_opening_Nm", "wind_closing_Nm", "ice_Nm", "friction_opening_Nm",
    "friction_closing_Nm", "inertia_Nm", "opening_Nm", "closing_Nm", "motor_opening_Nm", "motor_closing_Nm",
    "reaction_opening_N", "reaction_closing_N",
]
# Further columns of leaves that have what these tell of; null or absent in no other way.
MACHINERY_KEYS = [
    "force_opening_N", "force_closing_N", "pressure_opening_Pa", "pressure_closing_Pa", "link_opening_N", "link_closing_N",
    "counterweight_reaction_opening_N", "counterweight_reaction_closing_N",
]
US = ROOT / "examples" / "us.yaml"
TEACHING = ROOT / "examples" / "teaching.yaml"
AWKWARD = 'comma, "quote", semicolon; \\ é θ 橋'
MACHINERY = """\
drive: {ratio: 1000, efficiency: 0.8}
motors: {installed: 2, power: 30 kW, speed: 870 rpm}"""
SURFACE = "surfaces: [{name: deck, from: [0.5 m, 0.8 m], to: [24 m, 0.8 m], width: 9 m, ice: true}]"


def angles_of(*arguments, **options):
    cases = json_of("curve", *arguments, **options)["cases"]
    lists = [[row["angle_deg"] for row in case["rows"]] for case in cases]
    expect(all(angles == lists[0] for angles in lists), "the cases have different angles")
    return lists[0]


def keys_for(leaf):
    """The keys of a row: those of the contract, then those that the leaf's drive and counterweight add."""
    text = leaf.read_text(encoding="utf-8")
    force = bool(re.search(r"\b(rack|strut|cylinder):", text))
    has = {"force": force, "pressure": "cylinder:" in text, "link": "linked_counterweight:" in text}
    has["counterweight"] = has["link"]
    return ROW_KEYS + [key for key in MACHINERY_KEYS if has[key.partition("_")[0]]]


def keys_of_weigh(leaf):
    whole = json_of("weigh", leaf)
    expect_equal(sorted(whole), sorted(WEIGH_KEYS))
    expect(whole["parts"], "there are no parts")
    for part in whole["parts"]:
        expect_equal(sorted(part), sorted(PART_KEYS))
        expect(all(isinstance(part[key], float) for key in PART_KEYS[1:]), "a number is none", part)
    expect(all(isinstance(whole[key], float) for key in WEIGH_KEYS[1:-2]), "a number is none", whole)


def keys_of_curve(leaf):
    whole = json_of("curve", leaf)
    expect_equal(sorted(whole), ["cases", "leaf"])
    for case in whole["cases"]:
        expect_equal(sorted(case), ["name", "rows"])
        for row in case["rows"]:
            expect_equal(sorted(row), sorted(keys_for(leaf)))
            expect(all(isinstance(row[key], float) for key in row if not key.startswith("motor_")), "a number is none", row)
            motors = [row["motor_opening_Nm"], row["motor_closing_Nm"]]
            expect(all(isinstance(value, float if "motors:" in leaf.read_text() else type(None)) for value in motors), row)


def is_rfc_4180(text):
    expect(text.endswith("\r\n"), "the last line has no end")
    expect("\n" not in text.replace("\r\n", ""), "a line ends without CR")
    rows = read_csv(text)
    expect(all(len(row) == len(rows[0]) for row in rows), "the rows differ in length")
    return rows


def number_of(field):
    return None if field == "" else float(field)


def curve_forms_agree(leaf):
    rows = is_rfc_4180(run_well("curve", leaf, "--csv").text)
    expect_equal(rows[0], ["case", *keys_for(leaf)])
    from_json = [
        [case["name"], *(row[key] for key in keys_for(leaf))]
        for case in json_of("curve", leaf)["cases"] for row in case["rows"]
    ]
    expect_equal(len(rows) - 1, len(from_json), "the count of rows")
    for got, wanted in zip(rows[1:], from_json):
        expect_equal([got[0], *map(number_of, got[1:])], wanted)


def weigh_forms_agree(leaf):
    rows = is_rfc_4180(run_well("weigh", leaf, "--csv").text)
    whole = json_of("weigh", leaf)
    expect_equal(sorted(rows[0]), sorted([*WEIGH_KEYS[:-1], "name"]))
    records = [dict(zip(rows[0], row)) for row in rows[1:]]
    expect_equal(records[0]["name"], "")
    expect_equal({key: number_of(records[0][key]) for key in WEIGH_KEYS[1:-1]}, {key: whole[key] for key in WEIGH_KEYS[1:-1]})
    expect(all(record["leaf"] == whole["leaf"] for record in records), "a row has another leaf", rows)
    expect_equal(
        [[record["name"], *(number_of(record[key]) for key in PART_KEYS[1:])] for record in records[1:]],
        [[part[key] for key in PART_KEYS] for part in whole["parts"]],
    )


def names_are_kept():
    sections = f"cases: [{{name: {quoted(AWKWARD)}}}, {{name: 'two  blanks'}}]"
    leaf = leaf_text(name=quoted(AWKWARD + " leaf"), part=quoted(AWKWARD + " part"), sections=sections)
    curve = json_of("curve", "-", stdin=leaf)
    weigh = json_of("weigh", "-", stdin=leaf)
    expect_equal(curve["leaf"], AWKWARD + " leaf")
    expect_equal([case["name"] for case in curve["cases"]], [AWKWARD, "two  blanks"])
    expect_equal(weigh["parts"][0]["name"], AWKWARD + " part")
    rows = is_rfc_4180(run_well("curve", "-", "--csv", stdin=leaf).text)
    expect_equal(sorted({row[0] for row in rows[1:]}), sorted([AWKWARD, "two  blanks"]))
    rows = is_rfc_4180(run_well("weigh", "-", "--csv", stdin=leaf).text)
    expect_equal([dict(zip(rows[0], row))["name"] for row in rows[1:]], ["", AWKWARD + " part"])
    expect_equal({dict(zip(rows[0], row))["leaf"] for row in rows[1:]}, {AWKWARD + " leaf"})
    explained = is_rfc_4180(run_well("explain", "-", "--csv", "--case", AWKWARD, stdin=leaf).text)
    expect_equal({row[0] for row in explained[1:]}, {AWKWARD})


def numbers_round_trip():
    """A weight that no short decimal says comes back to the last bit, as JSON and as CSV."""
    for weight in ("0.1", "123456.789012345678", "3.0000000000000004", "1e-7", "98765432109876.5"):
        leaf = leaf_text().replace(b"2000 kN", weight.encode() + b" N")
        expect_equal(json_of("weigh", "-", stdin=leaf)["weight_N"], float(weight))
        rows = read_csv(run_well("weigh", "-", "--csv", stdin=leaf).text)
        expect_equal(float(dict(zip(rows[0], rows[1]))["weight_N"]), float(weight))


EXTREMES = {
    "the lightest leaf": leaf_text().replace(b"2000 kN", b"1e-15 N"),
    "the heaviest leaf": leaf_text().replace(b"2000 kN", b"1e15 N"),
    "a leaf in perfect balance": leaf_text().replace(b"[-5 m, 0 m], to: [5.2 m, 0.1 m]", b"[-5 m, 0 m], to: [5 m, 0 m]"),
    "a toe far away": leaf_text().replace(b"24 m", b"1e15 m"),
    "a travel of almost nothing": leaf_text(opens_to="1e-9 degree"),
    "all quantities at their largest": leaf_text(
        sections=SURFACE.replace("9 m", "1e15 m").replace("24 m", "1e15 m")
        + "\ncases: [{name: all, wind: {pressure: 1e15 Pa}, ice: 1e15 Pa}]"
    ).replace(b"5.2 m", b"1e15 m").replace(b"2000 kN", b"1e15 N"),
}


def stays_finite(leaf):
    for command, form in itertools.product(("weigh", "curve", "explain"), ((), ("--json",), ("--csv",))):
        text = run_well(command, "-", *form, stdin=leaf).text
        word = re.search(r"(?i)(?<![a-z])-?(nan|inf(inity)?)(?![a-z])", text)
        expect(not word, f"{command} {' '.join(form)} prints {word and word.group()}", text[:1500])
        expect(all(math.isfinite(float(number)) for number in re.findall(r"-?\d+\.?\d*e[+-]?\d+", text)), text)


def has_caution(command):
    for leaf in EXAMPLES:
        lines = run_well(command, leaf).text.splitlines()
        expect("Caution: " in lines[-2] and "licensed engineer" in lines[-1], "no caution ends the table", *lines[-4:])
        for form in ("--json", "--csv"):
            expect("Caution" not in run_well(command, leaf, form).text, f"a caution stands in {form}")


def headings(leaf, command, wanted, unwanted):
    text = run_well(command, leaf).text
    for unit in wanted:
        expect(re.search(rf"(?<!\w){re.escape(unit)}(?!\w)", text), f"no {unit}", text[:2500])
    for unit in unwanted:
        expect(not re.search(rf"(?<!\w){re.escape(unit)}(?!\w)", text), f"{unit} is among the units", text[:2500])


def table_row(text, first):
    """The numbers of the line of a table that starts with this word."""
    line = next(line for line in text.splitlines() if line.strip().startswith(first))
    return [float(number) for number in re.findall(r"-?\d+\.\d+|-?\d+", line[line.index(first) + len(first):])]


def us_table_converts():
    """lbf and ft are exact by definition (NIST SP 811): the table of a leaf in US units holds SI divided by them."""
    lbf, ft, lb = 4.4482216152605, 0.3048, 0.45359237
    whole = json_of("weigh", US)
    text = run_well("weigh", US).text
    wanted = [
        whole["weight_N"] / lbf / 1e3, whole["x_m"] / ft, whole["y_m"] / ft, whole["closed_moment_Nm"] / (lbf * ft) / 1e3,
        whole["inertia_kg_m2"] / (lbf * ft) / 1e3,
    ]
    got = table_row(text, "whole leaf")
    expect_equal(len(got), len(wanted))
    expect(all(abs(a - b) <= 0.5 for a, b in zip(got, wanted)), got, wanted)
    expect(all(abs(a - b) <= 0.0005 for a, b in zip(got[:3], wanted[:3])), got, wanted)
    mass = table_row(text, "mass ")[0]
    expect(abs(mass - whole["mass_kg"] / lb) <= 0.5, mass, whole["mass_kg"] / lb)


def metric_table_rounds():
    """Every number of the table is the JSON number of that angle and column, rounded."""
    text = run_well("curve", METRIC, "--case", "calm", "--step", "5deg").text
    for row in json_of("curve", METRIC, "--case", "calm", "--step", "5deg")["cases"][0]["rows"]:
        got = table_row(text, f"{row['angle_deg']:.10g} ")
        wanted = [
            row["balance_Nm"] / 1e3, row["friction_opening_Nm"] / 1e3, row["friction_closing_Nm"] / 1e3,
            row["opening_Nm"] / 1e3, row["closing_Nm"] / 1e3, row["motor_opening_Nm"], row["motor_closing_Nm"],
            row["reaction_opening_N"] / 1e3, row["reaction_closing_N"] / 1e3,
        ]
        expect_equal(len(got), len(wanted), got)
        expect(all(abs(a - b) <= 0.00501 for a, b in zip(got, wanted)), got, wanted)


def no_motor_is_null(sections):
    leaf = leaf_text(sections=sections)
    for row in json_of("curve", "-", stdin=leaf)["cases"][0]["rows"]:
        expect_equal([row["motor_opening_Nm"], row["motor_closing_Nm"]], [None, None])
    rows = is_rfc_4180(run_well("curve", "-", "--csv", stdin=leaf).text)
    expect_equal({record[key] for record in (dict(zip(rows[0], row)) for row in rows[1:])
                  for key in ("motor_opening_Nm", "motor_closing_Nm")}, {""})
    explained = json_of("explain", "-", stdin=leaf)
    expect_equal([explained["motor_opening_Nm"], explained["motor_closing_Nm"]], [None, None])
    table = run_well("curve", "-", stdin=leaf).text
    expect(not re.search(r"\bmotor\b", table.split("case '")[1]), "the table has a motor column", table)


def motor_is_there_with_both():
    row = json_of("curve", "-", stdin=leaf_text(sections=MACHINERY))["cases"][0]["rows"][0]
    expect(abs(row["motor_opening_Nm"] - row["opening_Nm"] / (1000 * 0.8) / 2) <= 1e-12 * abs(row["opening_Nm"]), row)


def frictionless_is_said():
    bare = run_well("curve", "-", stdin=leaf_text()).text
    expect("frictionless" in bare, bare)
    expect("frictionless" not in run_well("curve", METRIC).text, "said of a leaf with a trunnion")
    row = json_of("curve", "-", stdin=leaf_text())["cases"][0]["rows"][0]
    expect_equal([row["friction_opening_Nm"], row["friction_closing_Nm"]], [0.0, 0.0])


def still_air():
    expect_equal([case["name"] for case in json_of("curve", "-", stdin=leaf_text())["cases"]], ["still air"])


def no_neutral_angle():
    heavy = leaf_text().replace(b"[-5 m", b"[-1 m")
    expect_equal(json_of("weigh", "-", stdin=heavy)["neutral_angle_deg"], None)
    rows = read_csv(run_well("weigh", "-", "--csv", stdin=heavy).text)
    expect_equal(dict(zip(rows[0], rows[1]))["neutral_angle_deg"], "")
    expect(re.search(r"neutral angle +none", run_well("weigh", "-", stdin=heavy).text), "the table does not say none")


def pockets_are_parts():
    pocket = "pockets: [{name: heel box, at: [-7.5 m, 0.4 m], block: 45 kg, blocks: 40, room: 90}]"
    parts = json_of("weigh", "-", stdin=leaf_text(sections=pocket))["parts"]
    expect_equal([part["name"] for part in parts], ["span", "heel box"])
    weight = 40 * 45 * 9.80665
    expect(abs(parts[1]["weight_N"] - weight) <= 1e-12 * weight, parts[1])
    expect_equal([parts[1]["x_m"], parts[1]["y_m"]], [-7.5, 0.4])
    expect(table_row(run_well("weigh", "-", stdin=leaf_text(sections=pocket)).text, "heel box"), "not in the table")


def parts_sum_up(leaf):
    whole = json_of("weigh", leaf)
    for key in ("weight_N", "closed_moment_Nm", "inertia_kg_m2"):
        total = math.fsum(part[key] for part in whole["parts"])
        size = math.fsum(abs(part[key]) for part in whole["parts"])
        expect(abs(total - whole[key]) <= 1e-13 * size, key, total, whole[key])


def steps(opens_to, step, wanted):
    got = angles_of("-", "--step", step, stdin=leaf_text(opens_to=opens_to))
    expect_equal(len(got), len(wanted), got)
    expect(all(abs(a - b) <= 1e-12 * max(1, b) for a, b in zip(got, wanted)), got, wanted)


def steps_unless_given():
    expect_equal(angles_of(METRIC), [float(angle) for angle in range(77)])
    table = run_well("curve", METRIC, "--case", "calm").text
    got = [int(first) for first in re.findall(r"(?m)^ *(\d+)  ", table)]
    expect_equal(got, [*range(0, 76, 5), 76])


def one_case(leaf):
    everything = {case["name"]: case for case in json_of("curve", leaf)["cases"]}
    for name in everything:
        expect_equal(json_of("curve", leaf, "--case", name)["cases"], [everything[name]])
        rows = read_csv(run_well("curve", leaf, "--case", name, "--csv").text)
        expect_equal({row[0] for row in rows[1:]}, {name})
        heads = re.findall(r"(?m)^case '(.*)':", run_well("curve", leaf, "--case", name).text)
        expect_equal(heads, [name])


def unknown_case(command):
    for leaf in EXAMPLES:
        names = cases_of(leaf)
        result = run(command, leaf, "--case", "no such case")
        expect_refused(result, 2, "no such case", *(f"'{name}'" for name in names))


for path in EXAMPLES:
    claim(f"{path.stem}: weigh's JSON has the keys of the contract and no other", keys_of_weigh, path)
    claim(f"{path.stem}: curve's JSON has the keys of the contract and no other", keys_of_curve, path)
    claim(f"{path.stem}: weigh's CSV is RFC 4180 and says what JSON says", weigh_forms_agree, path)
    claim(f"{path.stem}: curve's CSV is RFC 4180 and says what JSON says", curve_forms_agree, path)
    claim(f"{path.stem}: the parts make the whole", parts_sum_up, path)
    claim(f"{path.stem}: --case gives that case and no other, unchanged", one_case, path)
claim("names with comma, quote, backslash, blanks and other scripts come back whole", names_are_kept)
claim("a number comes back to its last bit", numbers_round_trip)
for words, text in EXTREMES.items():
    claim(f"{words}: no nan and no inf in any form", stays_finite, text)
for name in ("weigh", "curve", "explain"):
    claim(f"the table of {name} ends with the caution, JSON and CSV have none", has_caution, name)
claim("metric: weigh is in kN, m, t", headings, METRIC, "weigh", ("kN", "m", "kN m", "t", "t m²"), ("kip", "ft", "lb"))
claim("metric: curve is in kN m, N m, kN", headings, METRIC, "curve", ("kN m", "N m", "kN"), ("kip", "ft", "lbf"))
claim("US: weigh is in kip, ft, lb", headings, US, "weigh", ("kip", "ft", "kip ft", "lb"), ("kN", "kN m", "t", "N"))
claim("US: curve is in kip ft, lbf ft, kip", headings, US, "curve", ("kip ft", "lbf ft", "kip"), ("kN", "m", "N"))
claim("a bench leaf is in N and N m", headings, TEACHING, "curve", ("N", "N m"), ("kN", "kN m"))
claim("US: the table is SI over the exact pound and foot", us_table_converts)
claim("metric: the table is the JSON, rounded", metric_table_rounds)
claim("neither drive nor motors: motor columns are null", no_motor_is_null, "")
claim("a drive without motors: motor columns are null", no_motor_is_null, MACHINERY.splitlines()[0])
claim("motors without a drive: motor columns are null", no_motor_is_null, MACHINERY.splitlines()[1])
claim("drive and motors: motor columns are the demand through the drive", motor_is_there_with_both)
claim("no trunnion: frictionless, and the heading says so", frictionless_is_said)
claim("no cases: one case, still air", still_air)
claim("no neutral angle: null, empty, none", no_neutral_angle)
claim("a pocket's blocks count as a part", pockets_are_parts)
claim("a step that divides the travel ends on it", steps, "80 degree", "20deg", [0, 20, 40, 60, 80])
claim("a step that does not divide the travel still ends on it", steps, "75 degree", "20deg", [0, 20, 40, 60, 75])
claim("a step larger than the travel gives both ends", steps, "70 degree", "100deg", [0, 70])
claim("a step of the whole travel gives both ends", steps, "70 degree", "70deg", [0, 70])
claim("a step in tenths gives no angle twice", steps, "0.7 degree", "0.1deg", [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7])
claim("a step in radians", steps, "1 rad", "0.5 rad", [0, math.degrees(0.5), math.degrees(1)])
claim("without --step programs get every degree, people every fifth", steps_unless_given)
claim("curve names the cases that exist when asked for another", unknown_case, "curve")
claim("explain names the cases that exist when asked for another", unknown_case, "explain")

if __name__ == "__main__":
    main()
