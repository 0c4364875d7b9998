# SPDX-License-Identifier: GPL-3.0-or-later
"""brake from outside: holding at every angle from either side, one brake out, the emergency stop and its heat."""

import functools
import itertools
import json
import math
import re

from harness import EXAMPLES, METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, main, run, run_well
from machinery import (
    DEGREE, KINDS, TRAVEL, WHEEL_INERTIA, answer, asked, capacities, has_keys, has_types, near_enough, random_leaf,
    records, same_in_csv, sentences, shows, table_after, wheel, written,
)

US = ROOT / "examples" / "us.yaml"
KEYS = ["name", "worst_angle_deg", "demand_Nm", "capacity_Nm", "factor", "factor_one_out", "required", "met"]
STOP_KEYS = ["from_angle_deg", "time_s", "run_deg", "peak_deceleration_deg_s2", "heat_J"]
BRAKED = [path for path in EXAMPLES if "\nholding:" in path.read_text(encoding="utf-8")]
SEEDS = range(1, 4)


def keys_of(path):
    whole = answer("brake", path)
    has_keys(whole, ["leaf", "cases", "emergency_stop"])
    for row in whole["cases"]:
        has_keys(row, KEYS)
        has_types(row)
        expect_equal(row["met"], row["factor"] >= row["required"])
    stop = whole["emergency_stop"]
    has_keys(stop, STOP_KEYS, ["direction", "stops"])
    has_types(stop)
    expect(stop["direction"] in ("opening", "closing") and stop["stops"], stop)
    for heat in stop["heat_J"]:
        has_keys(heat, ["name", "heat_J"], ["temperature_rise_K"])
        has_types(heat)
    named = re.findall(r"- \{name: ([^,]*), (?:count: \d+, )?torque:", path.read_text(encoding="utf-8"))
    expect_equal([heat["name"] for heat in stop["heat_J"]], named)


def csv_agrees(path):
    whole = answer("brake", path)
    rows = records("brake", path)
    expect_equal(list(rows[0])[0], "case")
    for record, row in zip(rows, whole["cases"], strict=True):
        expect_equal(record["case"], row["name"])
        same_in_csv(row, record, KEYS[1:])


def table_agrees(path, moment):
    whole = answer("brake", path)
    text = run_well("brake", path).text
    lines = text.splitlines()
    expect("Caution: " in lines[-2] and "licensed engineer" in lines[-1], "no caution ends the table", *lines[-4:])
    expect("not proved by a holding calculation alone" in text, text)
    heading, rows = table_after(text, "holding")
    expect_equal(heading[1].split("  ")[-1].strip(), moment)
    for cells, row in zip(rows, whole["cases"], strict=True):
        expect_equal((cells[0], cells[7]), (row["name"], "yes" if row["met"] else "NO"))
        for cell, key, unit in zip(cells[1:7], KEYS[1:7], ("°", moment, moment, "", "", ""), strict=True):
            shows(cell, row[key], unit)
    stop = whole["emergency_stop"]
    time, run_deg, peak = re.search(r"  (\S+) s and (\S+)° to rest, peak deceleration (\S+) °/s²", text).groups()
    for cell, key in ((time, "time_s"), (run_deg, "run_deg"), (peak, "peak_deceleration_deg_s2")):
        shows(cell, stop[key], "")
    expect("the longest run of a leaf at full speed\nbetween its near switches:" in text, text)
    us = moment == "kip ft"
    energy, joules = ("kip ft", 1000 * 4.4482216152605 * 0.3048) if us else ("kJ", 1e3)
    warmer, degrees = ("°F", 1.8) if us else ("K", 1)
    told = re.findall(rf"heat in each of '(.*)': (\S+) {energy}(?:, (\S+) {warmer} hotter)?", text)
    for (name, heat, rise), wanted in zip(told, stop["heat_J"], strict=True):
        expect_equal(name, wanted["name"])
        shows(heat, wanted["heat_J"] / joules, "")
        expect_equal(bool(rise), "temperature_rise_K" in wanted)
        if rise:
            near_enough(float(rise), wanted["temperature_rise_K"] * degrees, 5.1e-3)


def one_case():
    whole = answer("brake", METRIC)
    for row in whole["cases"]:
        expect_equal(answer("brake", METRIC, "--case", row["name"]), {**whole, "cases": [row]})
        expect_equal([one["case"] for one in records("brake", METRIC, "--case", row["name"])], [row["name"]])
    expect_refused(run("brake", METRIC, "--case", "no such case"), 2, "no such case", "'storm'")


def standard_input_and_file():
    data = METRIC.read_bytes()
    for form in ((), ("--json",), ("--csv",)):
        wanted = run_well("brake", METRIC, *form).out
        expect_equal(run_well("brake", "-", *form, stdin=data).out, wanted)
        with folder() as place:
            expect_equal(run_well("brake", METRIC, *form, "-o", "it", cwd=place).out, b"")
            expect_equal((place / "it").read_bytes(), wanted)


SOON = [{"name": "soon", "torque": "12 kN m", "ratio": 1000, "delay": "0.3 s", "set_time": "0 s"}]
WEAK = [{"name": "small", "torque": "600 N m", "ratio": 1000, "delay": "0.2 s", "set_time": "0.3 s"}]


def is_told():
    """A sentence for each holding that is not met; the result is whole in every form."""
    leaf = random_leaf(1, "ratio")
    asks = {"low": 0.01, "high": 40, "higher": 41}
    hold = [{**leaf["holding"][0], "name": name, "factor": factor} for name, factor in asks.items()]
    text = written(leaf, holding=hold)
    result = run("brake", "-", "--json", stdin=text)
    expect_equal(result.status, 1, result)
    whole = json.loads(result.text)
    expect_equal([row["met"] for row in whole["cases"]], [True, False, False])
    expect_equal(len(sentences(result)), 2, result)
    for words, row in zip(sentences(result), whole["cases"][1:]):
        found = re.fullmatch(
            r"holding '(.*)': the brakes hold (\S+) times the demand at (\S+) degree, (\S+) times is required", words
        )
        expect(found, words)
        expect_equal((found[1], float(found[4])), (row["name"], row["required"]))
        near_enough(float(found[2]), row["factor"], 5e-4)
        near_enough(float(found[3]), row["worst_angle_deg"], 5e-4)
    with folder() as place:
        for form in ((), ("--json",), ("--csv",)):
            to_output = run("brake", "-", *form, stdin=text)
            to_file = run("brake", "-", *form, "-o", "it", stdin=text, cwd=place)
            expect_equal((to_output.status, to_file.status, to_file.out), (1, 1, b""))
            expect_equal((place / "it").read_bytes(), to_output.out)
        drawn = run("brake", "-", "--plot", "it.gp", stdin=text, cwd=place)
        expect_equal((drawn.status, drawn.out, drawn.errors), (1, b"", result.errors))


FEEBLE = [{"name": "feeble", "torque": "0.01 N m", "ratio": 1000, "delay": "0.2 s", "set_time": "0.3 s"}]
HEAVY = [{"name": "span", "weight": "400 kN", "at": ["2 m", "0 m"], "gyration": "3 m"}]
LITTLE = [{"name": "little", "wind": {"pressure": "0 Pa"}, "factor": 0.001}]


def does_not_stop(leaf, direction):
    """Told, with nothing in the place of the numbers."""
    result = run("brake", "-", "--json", stdin=written(leaf))
    expect_equal(result.status, 1, result)
    stop = json.loads(result.text)["emergency_stop"]
    expect_equal((stop["stops"], stop["direction"]), (False, direction))
    expect_equal([stop[key] for key in ("time_s", "run_deg", "peak_deceleration_deg_s2", "heat_J")], [None] * 4)
    words = f"emergency stop: the brakes do not stop the leaf, for one from {stop['from_angle_deg']:.4g} degree"
    expect_equal(sentences(result), [words])
    expect("do NOT stop" in run("brake", "-", stdin=written(leaf)).text, "the table does not say so")


def lacks(section):
    with folder() as place:
        (place / "leaf.yaml").write_bytes(written(random_leaf(2, "ratio"), **{section: None}))
        result = run("brake", "leaf.yaml", "--json", cwd=place)
        expect_refused(result, 2, "leaf.yaml:1:1: ", f"section '{section}'")
        expect_equal(len(result.errors.splitlines()), 1, result)


def needs_no_more():
    bare = dict.fromkeys(("drive", "motors", "travel", "wind_limits", "posted_wind", "duty", "trunnion", "cases"))
    leaf = random_leaf(2, "ratio")
    whole = answer("brake", "-", stdin=written(leaf, **bare))
    expect_equal(whole["emergency_stop"], None)
    expect_equal([row["name"] for row in whole["cases"]], ["storm", "credit"])
    expect("no travel" in asked("brake", "-", stdin=written(leaf, **bare)).text, "the table does not say why")


@functools.cache
def random_answer(seed, kind):
    leaf = random_leaf(seed, kind)
    return leaf, answer("brake", "-", stdin=written(leaf))


def factors(seed, kind):
    leaf, whole = random_answer(seed, kind)
    for row, holding in zip(whole["cases"], leaf["holding"], strict=True):
        all_of_them, one_out = capacities(leaf)
        near_enough(row["capacity_Nm"], all_of_them, 1e-13)
        near_enough(row["factor"], row["capacity_Nm"] / row["demand_Nm"], 1e-13)
        near_enough(row["factor_one_out"], one_out / row["demand_Nm"], 1e-13)
        expect_equal(row["required"], float(holding.get("factor", 1)))


def strongest_by_ratio():
    """The strongest brake gives most at the leaf: not the largest torque, nor the entry that gives most together."""
    brakes = [
        {"name": "large torque", "torque": "9 kN m", "ratio": 40, "delay": "0 s", "set_time": "0 s"},
        {"name": "many", "count": 5, "torque": "100 N m", "ratio": 1300, "delay": "0 s", "set_time": "0 s"},
        {"name": "strongest", "torque": "700 N m", "ratio": 700, "delay": "0 s", "set_time": "0 s"},
    ]
    leaf = {**random_leaf(1, "ratio"), "brakes": brakes}
    for order in itertools.permutations(brakes):
        row = answer("brake", "-", stdin=written(leaf, brakes=list(order)))["cases"][0]
        near_enough(row["capacity_Nm"], 360e3 + 650e3 + 490e3, 1e-13)
        near_enough(row["factor_one_out"], 1010e3 / row["demand_Nm"], 1e-13)


def worst_of_curve(seed, kind):
    """The demand is the largest |balance + ice + wind| of curve from either side, or from the one that is named."""
    leaf = random_leaf(seed, kind)
    storm = leaf["holding"][0]
    for side, columns in (("adverse", ("opening", "closing")), ("heel", ("opening",)), ("toe", ("closing",))):
        wind = {**storm["wind"], "from": side}
        held = {"name": "as held", "wind": wind, "ice": storm["ice"]}
        text = written(leaf, holding=[{**storm, "wind": wind}], cases=[held])
        row = answer("brake", "-", stdin=text)["cases"][0]
        rows = answer("curve", "-", "--step", "0.05deg", stdin=text)["cases"][0]["rows"]
        largest, angle = max(
            (abs(at["balance_Nm"] + at["ice_Nm"] + at[f"wind_{column}_Nm"]), at["angle_deg"])
            for at in rows for column in columns
        )
        expect(row["demand_Nm"] >= largest * (1 - 1e-10), f"{side}: beaten by {largest!r} at {angle}", row)
        near_enough(row["demand_Nm"], largest, 2e-5, side)


def friction_credit():
    """Without wind the friction is mu W d/2 at every angle: a share of it off the largest |W R cos(theta + alpha)|."""
    leaf = random_leaf(2, "ratio")
    weigh = answer("weigh", "-", stdin=written(leaf))
    diameter = float(leaf["trunnion"]["journal_diameter"].split()[0]) / 1e3
    friction = 0.18 * weigh["weight_N"] * diameter / 2
    opens = float(leaf["opens_to"].split()[0])
    moments = [weigh["moment_Nm"] * math.cos((angle + weigh["angle_deg"]) * DEGREE) for angle in (0, opens)]
    largest = max(map(abs, moments))
    expect(largest > 0.2 * friction, "the leaf is too well balanced for this claim", largest, friction)
    for share in (0, 0.1, 0.15, 1):
        hold = [{"name": "calm", "wind": {"pressure": "0 Pa"}, "friction_credit": share}]
        row = answer("brake", "-", stdin=written(leaf, holding=hold))["cases"][0]
        wanted = max(largest - share * friction, 0)
        if not -weigh["angle_deg"] % 180 < opens:  # the imbalance is largest at an end
            near_enough(row["demand_Nm"], wanted, 1e-11, share)
        if wanted == 0:
            expect_equal((row["demand_Nm"], row["factor"], row["factor_one_out"], row["met"]), (0, None, None, True))


def credit_in_wind(seed):
    """The more is credited, the less is asked; nothing unless the file says so."""
    leaf = random_leaf(seed, "strut")
    storm = leaf["holding"][0]
    shares = ({}, *({"friction_credit": share} for share in (0, 0.2, 0.4, 1)))
    answers = [answer("brake", "-", stdin=written(leaf, holding=[{**storm, **share}])) for share in shares]
    asks = [whole["cases"][0]["demand_Nm"] for whole in answers]
    expect_equal(asks[0], asks[1])
    expect(all(more > less for more, less in zip(asks[1:], asks[2:])), asks)
    frictionless = written(leaf, trunnion=None, holding=[{**storm, "friction_credit": 1}])
    near_enough(answer("brake", "-", stdin=frictionless)["cases"][0]["demand_Nm"], asks[0], 1e-12)


def frictionless_is_said(command):
    """No trunnion: frictionless, and the heading says so."""
    leaf = random_leaf(1, "ratio")
    expect("frictionless" in asked(command, "-", stdin=written(leaf, trunnion=None)).text, "the heading does not say so")
    expect("frictionless" not in asked(command, "-", stdin=written(leaf)).text, "said of a leaf with a trunnion")


def nothing_to_hold():
    leaf = wheel(brakes=WEAK, holding=[{"name": "calm", "wind": {"pressure": "0 Pa"}}])
    row = answer("brake", "-", stdin=written(leaf))["cases"][0]
    expect_equal((row["demand_Nm"], row["factor"], row["factor_one_out"], row["met"]), (0, None, None, True))
    record = records("brake", "-", stdin=written(leaf))[0]
    expect_equal((record["factor"], record["factor_one_out"], record["met"]), ("", "", "true"))
    expect_equal(run_well("brake", "-", stdin=written(leaf)).text.count("none needed"), 2)


def stop_of_a_wheel(delay, set_time):
    """A balanced leaf without friction and one brake: time, angle, deceleration and heat in closed form."""
    brake = {"name": "b", "count": 2, "torque": "100 N m", "ratio": 1000, "delay": f"{delay} s",
             "set_time": f"{set_time} s", "heat_capacity": "4 kJ/K"}
    leaf = wheel(brakes=[brake], holding=[{"name": "h", "wind": {"pressure": "1 Pa"}}])
    stop = answer("brake", "-", stdin=written(leaf))["emergency_stop"]
    inertia = WHEEL_INERTIA + 2 * 0.5 * 1000**2
    speed, whole = 1.2 * DEGREE, 200e3 / inertia
    lost = whole * set_time / 2
    if lost >= speed:  # at rest before the brake is fully set: speed = whole / set_time t^2 / 2
        braking = math.sqrt(2 * speed * set_time / whole)
        run_rad, peak = speed * braking - whole / set_time * braking**3 / 6, whole * braking / set_time
    else:
        after = (speed - lost) / whole
        braking, peak = set_time + after, whole
        run_rad = speed * set_time - whole * set_time**2 / 6 + (speed - lost) ** 2 / (2 * whole)
    near_enough(stop["time_s"], delay + braking, 1e-9)
    near_enough(stop["run_deg"] * DEGREE, speed * delay + run_rad, 1e-9)
    near_enough(stop["peak_deceleration_deg_s2"] * DEGREE, peak, 1e-6)
    heat = inertia * speed**2 / 2 / 2
    near_enough(stop["heat_J"][0]["heat_J"], heat, 1e-9)
    near_enough(stop["heat_J"][0]["temperature_rise_K"], heat / 4e3, 1e-9)


def energy_of_a_stop(seed, kind):
    """Without friction all energy goes into the brakes: that of the motion, and that of the height lost or gained."""
    leaf = random_leaf(seed, kind)
    text = written(leaf, trunnion=None)
    weigh = answer("weigh", "-", stdin=text)
    stop = answer("brake", "-", stdin=text)["emergency_stop"]
    ratio = leaf["drive"]["ratio"]
    inertia = weigh["inertia_kg_m2"] + leaf["motors"]["installed"] * 0.8 * ratio**2
    sign = 1 if stop["direction"] == "opening" else -1

    def height(angle_deg):
        return weigh["moment_Nm"] * math.sin((angle_deg + weigh["angle_deg"]) * DEGREE)

    begin = stop["from_angle_deg"]
    energy = inertia * (1.2 * DEGREE) ** 2 / 2 + height(begin) - height(begin + sign * stop["run_deg"])
    heats = [heat["heat_J"] * brake.get("count", 1) for heat, brake in zip(stop["heat_J"], leaf["brakes"], strict=True)]
    near_enough(sum(heats), energy, 1e-7)
    near_enough(stop["heat_J"][0]["temperature_rise_K"], stop["heat_J"][0]["heat_J"] / 21e3, 1e-13)
    expect("temperature_rise_K" not in stop["heat_J"][1], "a rise without a heat capacity")


def worst_stop(seed):
    """The worst stop begins between the near switches; less brake or more delay makes it longer."""
    leaf = random_leaf(seed, "ratio")
    text = written(leaf)
    stop = answer("brake", "-", stdin=text)["emergency_stop"]
    expect(8 <= stop["from_angle_deg"] <= 52, stop)
    expect(stop["run_deg"] > 1.2 * 0.3, "shorter than the delay", stop)
    motor, slow = leaf["brakes"]
    for worse in ({**motor, "delay": "0.4 s"}, {**motor, "set_time": "0.7 s"}, {**motor, "count": 1}):
        longer = answer("brake", "-", stdin=written(leaf, brakes=[worse, slow]))["emergency_stop"]
        expect(longer["run_deg"] > stop["run_deg"] and longer["time_s"] > stop["time_s"], worse, longer, stop)


LINK = {
    "pivot": ["-8.5 m", "6.4 m"], "pin_on_leaf": ["-4.8 m", "1.2 m"], "pin_on_counterweight": ["-11 m", "3.5 m"],
    "journal_diameter": "320 mm", "friction": {"starting": 0.18, "moving": 0.12},
    "parts": [{"name": "box", "weight": "900 kN", "at": ["-13.1 m", "6.19 m"], "gyration": "1.6 m"}],
}


def dead_angle():
    """Where the pin on the leaf is as far from the pivot as link and counterweight arm together reach."""
    reach = math.dist((-8.5, 6.4), (-11, 3.5)) + math.dist((-4.8, 1.2), (-11, 3.5))
    low, high = 0.0, 90.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        c, s = math.cos(middle * DEGREE), math.sin(middle * DEGREE)
        inside = math.dist((-4.8 * c - 1.2 * s, -4.8 * s + 1.2 * c), (-8.5, 6.4)) < reach
        low, high = (middle, high) if inside else (low, middle)
    return low


def dead_link(command):
    leaf = written(random_leaf(1, "ratio"), linked_counterweight=LINK)
    result = run(command, "-", "--json", stdin=leaf)
    expect_refused(result, 2, "standard input:1:1: linked_counterweight: dead point at ")
    angle = float(re.search(r"dead point at (\S+) degree", result.errors)[1])
    expect(abs(angle - dead_angle()) <= 0.1, angle, dead_angle())
    short = written(random_leaf(1, "ratio"), linked_counterweight=LINK,
                    opens_to=f"{math.floor(dead_angle()) - 1} degree", travel=None, duty=None, cases=[{"name": "calm"}])
    asked(command, "-", "--json", stdin=short)


for example in BRAKED:
    claim(f"{example.stem}: JSON has the keys of the contract, types right", keys_of, example)
    claim(f"{example.stem}: CSV is RFC 4180 and says what JSON says", csv_agrees, example)
    claim(f"{example.stem}: the table is the JSON, rounded, with the cautions", table_agrees, example,
          "kip ft" if example == US else "kN m")
claim("--case gives that holding unchanged, and names one that there is", one_case)
claim("- reads standard input, -o writes the same", standard_input_and_file)
claim("holdings not met: status 1, a sentence for each, every form whole", is_told)
claim("a stop that does not stop: status 1, a sentence, and nulls", does_not_stop,
      wheel(brakes=FEEBLE, holding=LITTLE), "opening")
claim("a leaf heavier than its brakes falls and does not stop, though it would swing out below the road",
      does_not_stop, wheel(parts=HEAVY, brakes=WEAK, holding=LITTLE), "closing")
for part in ("brakes", "holding"):
    claim(f"no {part} is told", lacks, part)
claim("a stop that leaves the travel from a near switch alone, on no whole degree", does_not_stop,
      wheel(travel={**TRAVEL, "near_open": "59.8 degree"}, brakes=SOON, holding=LITTLE), "opening")
claim("brake asks for no section that it does not use; without travel no stop", needs_no_more)
for number, sort in itertools.product(SEEDS, KINDS):
    claim(f"{sort} {number}: factor is capacity over demand, and with one brake out", factors, number, sort)
    claim(f"{sort} {number}: the worst angle is the worst of all", worst_of_curve, number, sort)
claim("the strongest brake is the strongest at the leaf", strongest_by_ratio)
claim("friction credit in calm air, by hand", friction_credit)
for number in SEEDS:
    claim(f"strut {number}: more friction credit, less demand", credit_in_wind, number)
    claim(f"ratio {number}: weaker or later brakes stop later", worst_stop, number)
for asks in ("drive", "brake", "wind"):
    claim(f"{asks}: no trunnion is frictionless, and the heading says so", frictionless_is_said, asks)
claim("nothing to hold needs no brakes: null, empty, none needed", nothing_to_hold)
for waits, sets in ((0, 0), (0, 0.1), (0.3, 0.5), (0, 20), (1.5, 0), (0.25, 3)):
    claim(f"the stop of a balanced leaf by hand: delay {waits} s, set time {sets} s", stop_of_a_wheel, waits, sets)
for number, sort in itertools.product(SEEDS, ("ratio", "rack")):
    claim(f"{sort} {number}: the brakes take all energy", energy_of_a_stop, number, sort)
for asks in ("weigh", "curve", "drive", "brake", "wind"):
    claim(f"{asks}: a dead point of the link is told with its angle", dead_link, asks)

if __name__ == "__main__":
    main()
