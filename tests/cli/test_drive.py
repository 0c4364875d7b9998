# SPDX-License-Identifier: GPL-3.0-or-later
"""drive from outside: what each case asks of motors and cylinders, one motor out, duty, the next sizes."""

import functools
import itertools
import json
import math
import re

from harness import (
    EXAMPLES, METRIC, ROOT, cases_of, claim, expect, expect_equal, expect_refused, folder, main, run, run_well,
)
from machinery import (
    DEGREE, KINDS, ROTATING, TRAVEL, WHEEL_INERTIA, answer, asked, has_keys, has_types, near_enough, random_leaf,
    records, row_at, same_in_csv, sentences, shows, table_after, wheel, written,
)

US = ROOT / "examples" / "us.yaml"
CYLINDER = ROOT / "examples" / "cylinder.yaml"
KEYS = ["name", "direction", "worst_angle_deg", "leaf_Nm", "motor_Nm", "rated_Nm", "allowed_Nm", "use", "met"]
CYLINDER_KEYS = ["force_N", "pressure_Pa", "allowed_Pa"]
MOTOR_NULLS = ("motor_Nm", "rated_Nm", "allowed_Nm")
DUTY_KEYS = ["rms_Nm", "rated_Nm", "use", "met", "day_rms_Nm", "openings_per_day"]
# ISO 3: the R20 series of preferred numbers.
R20 = [1, 1.12, 1.25, 1.4, 1.6, 1.8, 2, 2.24, 2.5, 2.8, 3.15, 3.55, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9]
HP = 550 * 0.3048 * 4.4482216152605
SEEDS = range(1, 5)


def keys_of(path):
    whole = answer("drive", path)
    has_keys(whole, ["leaf", "cases", "one_motor_out", "duty"], ["next_sizes_W"])
    cylinders = path == CYLINDER
    strut = "strut:" in path.read_text()
    for row in [*whole["cases"], *whole["one_motor_out"]]:
        has_keys(row, [*KEYS, *(CYLINDER_KEYS if cylinders else ())], ["power_W", *(["force_N"] if strut else [])])
        has_types(row, MOTOR_NULLS if cylinders else ())
        expect_equal(row["met"], row["use"] <= 1)
    names = cases_of(path)
    wanted = [(name, direction) for name in names for direction in ("opening", "closing")]
    expect_equal([(row["name"], row["direction"]) for row in whole["cases"]], wanted)
    one_motor = cylinders or "installed: 1," in path.read_text()
    expect_equal([(row["name"], row["direction"]) for row in whole["one_motor_out"]], [] if one_motor else wanted)
    expect_equal(whole["duty"] is None, "duty:" not in path.read_text())
    if whole["duty"]:
        has_keys(whole["duty"], DUTY_KEYS, ["period_s", "moving_s"])
        has_types(whole["duty"])


def csv_agrees(path):
    whole = answer("drive", path)
    columns = ["case", "motors_out", *KEYS[1:]]
    rows = records("drive", path)
    expect_equal(list(rows[0])[0], "case")
    listed = [(0, row) for row in whole["cases"]] + [(1, row) for row in whole["one_motor_out"]]
    expect_equal(len(rows), len(listed))
    for record, (out, row) in zip(rows, listed):
        expect_equal((record["case"], record["motors_out"]), (row["name"], str(out)))
        same_in_csv(row, record, columns)


def row_shown(cells, row, units):
    expect_equal(cells[:2], [row["name"], row["direction"]])
    expect_equal(cells[8], "yes" if row["met"] else "NO")
    if row["motor_Nm"] is None:
        values = [row[key] for key in ("worst_angle_deg", "leaf_Nm", "pressure_Pa", "allowed_Pa", "use", "force_N")]
    else:
        values = [row[key] for key in ("worst_angle_deg", "leaf_Nm", "motor_Nm", "allowed_Nm", "use", "power_W")]
    for cell, value, unit in zip(cells[2:8], values, units, strict=True):
        shows(cell, value, unit)


def table_agrees(path, *units):
    whole = answer("drive", path)
    text = asked("drive", path).text
    lines = text.splitlines()
    expect("Caution: " in lines[-2] and "licensed engineer" in lines[-1], "no caution ends the table", *lines[-4:])
    heading, rows = table_after(text, "case")
    expect_equal(heading[1].split("  ")[-1].strip(), units[-1])
    expect_equal([unit for unit in re.split(r"\s{2,}", heading[1].strip()) if unit], list(units))
    expect_equal(len(rows), len(whole["cases"]))
    for cells, row in zip(rows, whole["cases"]):
        row_shown(cells, row, units)
    expect_equal("One motor out" in text, path != CYLINDER)
    if whole["one_motor_out"]:
        rows = table_after(text.split("One motor out")[1], "case")[1]
        for cells, row in zip(rows, whole["one_motor_out"], strict=True):
            row_shown(cells, row, units)
    if whole["duty"]:
        rms, rated, use = re.search(r"rms torque (\S+) [^;]*; rated (\S+) .*use (\S+) %: met", text).groups()
        for cell, key, unit in ((rms, "rms_Nm", units[2]), (rated, "rated_Nm", units[2]), (use, "use", "%")):
            shows(cell, whole["duty"][key], unit)


def one_case(path):
    whole = answer("drive", path)
    for name in cases_of(path):
        one = answer("drive", path, "--case", name)
        for key in ("cases", "one_motor_out"):
            expect_equal(one[key], [row for row in whole[key] if row["name"] == name], key)
        expect_equal(one["duty"], whole["duty"])
    expect_refused(run("drive", path, "--case", "no such case"), 2, "no such case", *map(repr, cases_of(path)))


TOO_WEAK = random_leaf(1, "ratio")
TOO_WEAK = {
    **TOO_WEAK, "motors": {"installed": 2, "power": "4.5 kW", "speed": "900 rpm", "inertia": "0.8 kg m2"},
    "duty": {"openings_per_hour": 20, "hold_open": "5 s"},
}
WEAK_PUMP = random_leaf(2, "cylinder")
WEAK_PUMP["drive"]["cylinder"]["pressure"] = "32 bar"


def is_told(leaf, least, duty):
    """One sentence for each row that is not met, with its case, direction, share and angle; the result is whole."""
    result = run("drive", "-", "--json", stdin=written(leaf))
    expect_equal(result.status, 1, result)
    whole = json.loads(result.text)
    unmet = [row for row in whole["cases"] if not row["met"]]
    expect(least <= len(unmet) < len(whole["cases"]), f"{len(unmet)} rows are not met", result.text)
    expect({row["direction"] for row in unmet} == {"opening", "closing"}, "only one direction fails")
    told = sentences(result)
    expect_equal(len(told), len(unmet) + duty, result)
    for words, row in zip(told, unmet):
        found = re.fullmatch(
            r"case '(.*)', (\w+): the (motors|cylinders) are at (\S+) % of what is allowed, at (\S+) degree", words
        )
        expect(found, words)
        moved_by = "motors" if row["allowed_Nm"] else "cylinders"
        expect_equal(found.groups()[:3], (row["name"], row["direction"], moved_by))
        near_enough(float(found[4]), row["use"] * 100, 5e-4)
        expect(abs(float(found[5]) - row["worst_angle_deg"]) <= 5e-4 * row["worst_angle_deg"], words, row)
    if duty:
        expect_equal(whole["duty"]["met"], False)
        share = re.fullmatch(r"duty: the rms torque is (\S+) % of the rated torque", told[-1])
        expect(share, told[-1])
        near_enough(float(share[1]), whole["duty"]["use"] * 100, 5e-4)


def every_form_is_whole(leaf):
    """Not met, and still the table, CSV, the file of -o and the plot are what they are when all is met."""
    text = written(leaf)
    with folder() as place:
        for form in ((), ("--json",), ("--csv",)):
            to_output = run("drive", "-", *form, stdin=text)
            to_file = run("drive", "-", *form, "-o", "it", stdin=text, cwd=place)
            expect_equal((to_output.status, to_file.status, to_file.out), (1, 1, b""))
            expect_equal((place / "it").read_bytes(), to_output.out)
            expect_equal(to_file.errors, to_output.errors)
        expect("licensed engineer" in run("drive", "-", stdin=text).text, "the table has no end")
        drawn = run("drive", "-", "--plot", "it.gp", stdin=text, cwd=place)
        expect_equal((drawn.status, drawn.out, drawn.errors), (1, b"", to_output.errors))
        expect((place / "it.gp").read_text().rstrip().splitlines()[-1], "the script is empty")


def one_out_is_no_requirement():
    whole = json.loads(run_well("drive", METRIC, "--json").text)
    expect(not all(row["met"] for row in whole["one_motor_out"]), "the example is met with one motor out")


def standard_input():
    data = METRIC.read_bytes()
    for form in ((), ("--json",), ("--csv",)):
        expect_equal(run_well("drive", "-", *form, stdin=data).out, run_well("drive", METRIC, *form).out)


def lacks(kind, section, **changes):
    with folder() as place:
        (place / "leaf.yaml").write_bytes(written(random_leaf(2, kind), **{section: None}, **changes))
        result = run("drive", "leaf.yaml", "--json", cwd=place)
        expect_refused(result, 2, "leaf.yaml:1:1: ", f"section '{section}'")
        expect_equal(len(result.errors.splitlines()), 1, result)


def needs_no_more():
    """Without brakes, holding, wind_limits, duty, travel and trunnion the motors are rated all the same."""
    leaf = random_leaf(2, "ratio")
    bare = dict.fromkeys(("brakes", "holding", "wind_limits", "posted_wind", "duty", "travel", "trunnion"))
    whole = answer("drive", "-", stdin=written(leaf, **bare, cases=[{"name": "calm"}]))
    expect_equal((whole["duty"], [row["power_W"] for row in whole["cases"]]), (None, [None, None]))
    whole = answer("drive", "-", stdin=written(random_leaf(2, "cylinder"), motors=None))
    expect_equal((whole["duty"], whole["one_motor_out"], whole.get("next_sizes_W")), (None, [], []))


@functools.cache
def random_answer(seed, kind):
    leaf = random_leaf(seed, kind)
    return leaf, written(leaf), answer("drive", "-", stdin=written(leaf))


def worst_angle(seed, kind):
    """No row of curve, a twentieth of a degree apart, asks more; and curve asks just that at the angle itself."""
    _, text, whole = random_answer(seed, kind)
    of = "pressure_{}_Pa" if kind == "cylinder" else "motor_{}_Nm"
    curves = answer("curve", "-", "--step", "0.05deg", stdin=text)["cases"]
    for row, (case, direction) in zip(whole["cases"], itertools.product(curves, ("opening", "closing")), strict=True):
        key = of.format(direction)
        asked_most = max(abs(at[key]) for at in case["rows"])
        got = abs(row["pressure_Pa" if kind == "cylinder" else "motor_Nm"])
        expect(got >= asked_most * (1 - 1e-10), f"{case['name']}, {direction}: {got!r} is beaten by {asked_most!r}")
        near_enough(got, asked_most, 2e-5, "far beyond the rows around it")
        at = row_at(row["worst_angle_deg"], text, case["name"])
        near_enough(got, abs(at[key]), 1e-10, row)
        near_enough(row["leaf_Nm"], at[f"{direction}_Nm"], 1e-9, row)


def rates_motors(seed, kind):
    """Rated torque is power over speed; the limit is the case's; the shaft's power is the leaf's over efficiency."""
    leaf, _, whole = random_answer(seed, kind)
    power = float(leaf["motors"]["power"].split()[0]) * 1e3
    efficiency = leaf["drive"]["efficiency"]
    efficiency = math.prod(efficiency) if isinstance(efficiency, list) else efficiency
    limits = {case["name"]: case.get("motor_limit", 1) for case in leaf["cases"]}
    driven = 0
    for row in whole["cases"]:
        near_enough(row["rated_Nm"], power / (900 * 2 * math.pi / 60), 1e-13)
        near_enough(row["allowed_Nm"], limits[row["name"]] * row["rated_Nm"], 1e-13)
        near_enough(row["use"], abs(row["motor_Nm"]) / row["allowed_Nm"], 1e-13)
        if row["name"] != "start":
            at_leaf = row["leaf_Nm"] * 1.2 * DEGREE
            lost = at_leaf / efficiency if at_leaf >= 0 else at_leaf * efficiency
            near_enough(row["power_W"] * leaf["motors"]["running"], lost, 1e-12, row)
            driven += 1
    expect_equal(driven, 6)


def rates_cylinders(seed):
    """Pressure from the force, force from the moment, by the geometry of the two points alone."""
    leaf, _, whole = random_answer(seed, "cylinder")
    drive = leaf["drive"]["cylinder"]
    (x, y), (u, v) = [[float(value.split()[0]) for value in drive[key]] for key in ("on_leaf", "anchor")]
    eta, allowed = leaf["drive"]["efficiency"], float(drive["pressure"].split()[0]) * 1e5
    limits = {case["name"]: case.get("motor_limit", 1) for case in leaf["cases"]}
    for row in whole["cases"]:
        c, s = math.cos(row["worst_angle_deg"] * DEGREE), math.sin(row["worst_angle_deg"] * DEGREE)
        at = (x * c - y * s, x * s + y * c)
        along = (at[0] - u, at[1] - v)
        rate = (-along[0] * at[1] + along[1] * at[0]) / math.hypot(*along)
        sign = 1 if row["direction"] == "opening" else -1
        near_enough(row["force_N"] * rate, sign * row["leaf_Nm"], 1e-12, row)
        area = math.pi / 4 * (0.2**2 - (0 if row["force_N"] >= 0 else 0.13**2)) * drive["count"]
        ratio = 1 / eta if row["leaf_Nm"] >= 0 else eta
        near_enough(row["pressure_Pa"], abs(row["force_N"]) / area * ratio, 1e-12, row)
        near_enough(row["allowed_Pa"], limits[row["name"]] * allowed, 1e-13)
        near_enough(row["use"], row["pressure_Pa"] / row["allowed_Pa"], 1e-13)


def one_motor_out(installed, running, left):
    """As if so many ran as are left; the rotors of all that are installed still turn with them."""
    leaf = random_leaf(3, "strut")
    motors = {**leaf["motors"], "installed": installed}
    text = written(leaf, motors={**motors, "running": running})
    whole = answer("drive", "-", stdin=text)
    if left == 0:
        expect_equal(whole["one_motor_out"], [])
        expect("none is left" in asked("drive", "-", stdin=text).text, "the table does not say so")
        return
    wanted = answer("drive", "-", stdin=written(leaf, motors={**motors, "running": left}))["cases"]
    expect_equal(whole["one_motor_out"], wanted)
    for row, all_run in zip(whole["one_motor_out"], whole["cases"]):
        near_enough(row["motor_Nm"] * left, all_run["motor_Nm"] * running, 1e-12)


def next_sizes(seed, kind, units):
    """Three R20 sizes in a row, the first the least that would do: put in, it does, and the one below does not."""
    leaf, _, _ = random_answer(seed, kind)
    unit = HP if units == "us" else 1e3
    leaf = {**leaf, "units": units}
    whole = answer("drive", "-", stdin=written(leaf))
    sizes = [size / unit for size in whole["next_sizes_W"]]
    expect_equal(len(sizes), 3)
    series = [round(step * 10**decade, 9) for decade in range(-1, 5) for step in R20]
    first = min(range(len(series)), key=lambda i: abs(series[i] - sizes[0]))
    for got, wanted in zip(sizes, series[first:first + 3]):
        near_enough(got, wanted, 1e-12)
    for size, good in ((sizes[0], True), (series[first - 1], False)):
        tried = answer("drive", "-", stdin=written(leaf, motors={**leaf["motors"], "power": f"{size * unit!r} W"}))
        expect_equal(all(row["met"] for row in tried["cases"]) and tried["duty"]["met"], good, size)


def no_size_for_nothing():
    whole = answer("drive", "-", stdin=written(wheel(), cases=[{"name": "calm"}]))
    expect_equal(whole["next_sizes_W"], [])
    expect_equal({(row["motor_Nm"], row["use"], row["met"]) for row in whole["cases"]}, {(0, 0, True)})
    expect("sizes" not in run_well("drive", "-", stdin=written(wheel())).text, "sizes are told")


def duty_of_a_wheel():
    """A balanced leaf without friction asks torque only while its speed changes: worked by hand."""
    whole = answer("drive", "-", stdin=written(wheel(duty={"openings_per_hour": 3, "hold_open": "60 s"})))
    speed, creep, fall = 1.2 * DEGREE, 0.15, 5.0
    up, down = speed / 6, speed * (1 - creep) / fall
    rotors = 2 * 0.5 * 1000
    driving = (WHEEL_INERTIA / 0.8 / 1000 + rotors) * up / 2
    braking = (WHEEL_INERTIA * 0.8 / 1000 + rotors) * down / 2
    rms = math.sqrt(2 * (driving**2 * 6 + braking**2 * fall) / 1200)
    near_enough(whole["duty"]["rms_Nm"], rms, 1e-11)
    near_enough(whole["duty"]["use"], rms / (9000 / (30 * math.pi)), 1e-11)
    moving = 0
    for near in (52, 52):  # both near switches lie 8 degrees before the end
        run_down = fall * 1.2 * (1 + creep) / 2
        moving += 6 + (near - 3.6) / 1.2 + fall + (60 - near - run_down) / (creep * 1.2)
    near_enough(whole["duty"]["moving_s"], moving, 1e-11)
    expect_equal(whole["duty"]["period_s"], 1200.0)


def duty_over_the_day():
    """The day's rms spreads the heat of the busy hours over 24; the verdict stays with the busy hours."""
    leaf = wheel(duty={"openings_per_hour": 3, "hold_open": "60 s"})
    busy = answer("drive", "-", stdin=written(leaf))["duty"]
    expect_equal((busy["day_rms_Nm"], busy["openings_per_day"]), (busy["rms_Nm"], 72.0))
    expect("without openings" not in run_well("drive", "-", stdin=written(leaf)).text, "no hours are described")
    quiet = written(leaf, duty={**leaf["duty"], "hours_without_openings": 18})
    day = answer("drive", "-", stdin=quiet)["duty"]
    near_enough(day["day_rms_Nm"], busy["rms_Nm"] / 2, 1e-15)
    expect_equal(day["openings_per_day"], 18.0)
    same = ("rms_Nm", "use", "met", "period_s", "moving_s")
    expect_equal([day[key] for key in same], [busy[key] for key in same])
    told = re.search(r"With 18 hours of each day without openings: (\S+) openings a day, rms torque over the whole day "
                     r"(\S+) N m\n\(for information: the duty is judged by the hours with openings\)\.",
                     run_well("drive", "-", stdin=quiet).text)
    expect_equal(told[1], "18")
    shows(told[2], day["day_rms_Nm"], "N m")


def duty_too_short():
    leaf = written(wheel(duty={"openings_per_hour": 30, "hold_open": "60 s"}))
    expect_refused(run("drive", "-", "--json", stdin=leaf), 2, "standard input:1:1: duty", "30 openings per hour")


def duty_alone_is_told():
    """Motors that bear every case may still become too warm: status 1 for that alone."""
    leaf = wheel(motors={"installed": 2, "power": "0.3 kW", "speed": "900 rpm", "inertia": "0.5 kg m2"},
                 travel={**TRAVEL, "accelerate_in": "0.2 s", "decelerate_in": "0.2 s"})
    cases = [{"name": "hard", "accelerating": True, "motor_limit": 30}]
    text = written(leaf, cases=cases, duty={"openings_per_hour": 18, "hold_open": "1 s"})
    result = asked("drive", "-", "--json", stdin=text)
    whole = json.loads(result.text)
    expect(all(row["met"] for row in whole["cases"]) and not whole["duty"]["met"], result.text)
    expect_equal((result.status, len(sentences(result))), (1, 1), result)
    expect("NOT met" in asked("drive", "-", stdin=text).text, "the table does not say so")


def duty_takes_its_case():
    leaf = random_leaf(1, "ratio")
    least = [
        answer("drive", "-", stdin=written(leaf, duty={**leaf["duty"], **case}))["duty"]["rms_Nm"]
        for case in ({}, {"case": "calm"}, {"case": "ice"})
    ]
    expect_equal(least[0], least[1])
    expect(least[2] > 1.2 * least[0], "ice and wind ask no more than calm", least)
    refused = run("drive", "-", stdin=written(leaf, duty={**leaf["duty"], "case": "nowhere"}))
    expect_equal((refused.status, refused.out), (2, b""))
    expect("'nowhere'" in refused.errors, refused)


ACROSS = {  # the pin on the leaf passes the line from the trunnion to the fixed point at 45 degrees
    "strut": {"on_leaf": ["3 m", "0 m"], "pinion": ["3 m", "3 m"], "pinion_radius": "0.28 m", "ratio": 118},
    "cylinder": {"on_leaf": ["3 m", "0 m"], "anchor": ["2 m", "2 m"], "bore": "280 mm", "rod": "180 mm",
                 "pressure": "250 bar"},
}


def dead_point(command, kind):
    leaf = written(random_leaf(1, kind), drive={kind: ACROSS[kind], "efficiency": 0.85})
    expect_refused(run(command, "-", "--json", stdin=leaf), 2, "standard input:1:1: drive: dead point at 45 degree")


def locks(command):
    journal = {"journal_diameter": "9 m", "friction": {"starting": 0.9, "moving": 0.8}}
    leaf = written(random_leaf(1, "strut"), trunnion=journal)
    expect_refused(run(command, "-", stdin=leaf), 2, "standard input:1:1: friction locks the leaf at ", " degree")


for example in EXAMPLES:
    claim(f"{example.stem}: JSON has the keys of the contract, types right, null for nothing", keys_of, example)
    claim(f"{example.stem}: CSV is RFC 4180 and says what JSON says", csv_agrees, example)
    claim(f"{example.stem}: --case gives that case unchanged, and names the cases that there are", one_case, example)
claim("metric: the table is the JSON, rounded, with the caution", table_agrees, METRIC,
      "°", "kN m", "N m", "N m", "%", "kW")
claim("US: the table is in kip ft, lbf ft, hp", table_agrees, US, "°", "kip ft", "lbf ft", "lbf ft", "%", "hp")
claim("cylinders: the table is in bar and kN", table_agrees, CYLINDER, "°", "kN m", "bar", "bar", "%", "kN")
claim("a duty with hours without openings tells of the whole day too", duty_over_the_day)
claim("motors too weak: status 1, a sentence for each case and direction, and for the duty", is_told, TOO_WEAK, 3, 1)
claim("cylinders too weak: status 1 and a sentence for each", is_told, WEAK_PUMP, 2, 0)
claim("not met: every form is whole, to a file as well", every_form_is_whole, TOO_WEAK)
claim("one motor out is no requirement: status 0", one_out_is_no_requirement)
claim("- reads standard input", standard_input)
claim("no drive is told", lacks, "ratio", "drive")
claim("no motors is told", lacks, "strut", "motors")
claim("no travel is told where a case accelerates", lacks, "rack", "travel")
claim("no travel is told where there is a duty", functools.partial(lacks, cases=[{"name": "calm"}]), "rack", "travel")
claim("drive asks for no section that it does not use", needs_no_more)
for number, sort in itertools.product(SEEDS, KINDS):
    claim(f"{sort} {number}: the worst angle is the worst of all", worst_angle, number, sort)
for number, sort in itertools.product(SEEDS, ROTATING):
    claim(f"{sort} {number}: rated, allowed, use and power belong together", rates_motors, number, sort)
for number in SEEDS:
    claim(f"cylinder {number}: force and pressure by geometry", rates_cylinders, number)
for there, going, remaining in ((1, 1, 0), (2, 2, 1), (3, 3, 2), (2, 1, 1), (3, 2, 2), (4, 1, 1)):
    claim(f"of {there} motors {going} run: with one out {remaining}", one_motor_out, there, going, remaining)
for number, sort, system in ((1, "ratio", "metric"), (2, "strut", "us"), (3, "rack", "metric"), (4, "ratio", "us")):
    claim(f"{sort} {number}: the next sizes are R20 and would do, in {system}", next_sizes, number, sort, system)
claim("a leaf that asks nothing needs no size", no_size_for_nothing)
claim("the duty of a balanced leaf without friction, by hand", duty_of_a_wheel)
claim("a duty without time for the motion is told", duty_too_short)
claim("a duty alone that is not met: status 1 and its sentence", duty_alone_is_told)
claim("the duty takes the case that it names, else the first", duty_takes_its_case)
for asks in ("curve", "drive", "wind"):
    for sort in ("strut", "cylinder"):
        claim(f"{asks}: a dead point of the {sort} is told with its angle", dead_point, asks, sort)
    claim(f"{asks}: friction that locks the leaf is told with its angle", locks, asks)

if __name__ == "__main__":
    main()
