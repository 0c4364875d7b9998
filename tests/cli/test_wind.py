# SPDX-License-Identifier: GPL-3.0-or-later
"""wind from outside: the wind that still lets the leaf raise, lower and hold, in every unit; the posted limit."""

import functools
import itertools
import json
import math
import re

from harness import EXAMPLES, METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, main, run, run_well
from machinery import (
    DEGREE, KINDS, answer, asked, capacities, has_keys, has_types, near_enough, of_one_brake, random_leaf, records,
    sentences, shows, table_after, wheel, written,
)

US = ROOT / "examples" / "us.yaml"
CYLINDER = ROOT / "examples" / "cylinder.yaml"
WINDY = [path for path in EXAMPLES if "\nwind_limits:" in path.read_text(encoding="utf-8")]
MOTORS_OUT = ["raise, one motor out", "lower, one motor out"]
ACTIONS = ["raise", "lower", "hold", *MOTORS_OUT, "hold, one brake out"]
SEEDS = (1, 2, 6)
# WMO: the upper bound of each Beaufort number, in tenths of a metre per second.
BEAUFORT = [2, 15, 33, 54, 79, 107, 138, 171, 207, 244, 284, 326]
M_S = {"m/s": 1, "km/h": 1 / 3.6, "mph": 0.44704, "kn": 1852 / 3600}


def of(whole):
    return {limit["action"]: limit for limit in whole["limits"]}


def limits_of(*arguments, **options):
    return of(answer("wind", *arguments, **options))


def speed_of(limit):
    """The limit, or the speed of a row, to compare: infinite where nothing limits."""
    speed = limit["limit_m_s"] if "limit_m_s" in limit else limit["speed_m_s"]
    return math.inf if speed is None else speed


def as_asked(limits, speed):
    """The wind of wind_limits as that of a case or a holding, at this speed."""
    same = {key: limits[key] for key in ("law", "coefficient", "normal_coefficient", "profile") if key in limits}
    return {**same, "speed": f"{speed!r} m/s"}


def keys_of(path):
    whole = answer("wind", path)
    has_keys(whole, ["leaf", "limits", "posted"], ["comes_down_again"])
    has_types(whole)
    expect_equal([limit["action"] for limit in whole["limits"]], ["raise", "lower"] if path == CYLINDER else ACTIONS)
    opens = float(re.search(r"opens_to: (\d+)", path.read_text(encoding="utf-8"))[1])
    for limit in whole["limits"]:
        has_keys(limit, ["action", "limit_m_s", "angle_deg", "rows"], ["by_law"])
        has_types(limit)
        expect_equal([row["angle_deg"] for row in limit["rows"]], [*map(float, range(int(opens))), opens])
        for row in limit["rows"]:
            has_keys(row, ["angle_deg", "speed_m_s"])
            has_types(row, () if row["speed_m_s"] is not None else ("speed_m_s",))
    has_keys(whole["posted"], ["speed_m_s", "met"])
    has_types(whole["posted"])


def csv_agrees(path):
    whole = answer("wind", path, "--step", "2.5deg")
    rows = records("wind", path, "--step", "2.5deg")
    got = [(row["action"], float(row["angle_deg"]), float(row["speed_m_s"] or "inf")) for row in rows]
    expect_equal(got, [
        (limit["action"], row["angle_deg"], speed_of(row)) for limit in whole["limits"] for row in limit["rows"]
    ])


def speed_cell(cell, value, unit):
    if value is None:
        expect_equal(cell, "–")
    else:
        shows(cell, value, unit)


def table_agrees(path, unit):
    whole = answer("wind", path, "--step", "5deg")
    text = asked("wind", path).text
    lines = text.splitlines()
    expect("Caution: " in lines[-2] and "licensed engineer" in lines[-1], "no caution ends the table", *lines[-4:])
    heading, rows = table_after(text, "angle")
    actions = [limit["action"] for limit in whole["limits"]]
    expect_equal([re.split(r"\s{2,}", line.strip()) for line in heading],
                 [["angle", *actions], ["°", *[unit] * len(actions)]])
    expect_equal(len(rows), len(whole["limits"][0]["rows"]))
    for k, cells in enumerate(rows):
        expect_equal(float(cells[0]), whole["limits"][0]["rows"][k]["angle_deg"])
        for cell, limit in zip(cells[1:], whole["limits"], strict=True):
            speed_cell(cell, limit["rows"][k]["speed_m_s"], unit)
    heading, rows = table_after(text.split("over the whole travel:")[1], "m/s")
    expect_equal(heading[0].split(), ["m/s", "km/h", "mph", "kn", "up", "to", "Beaufort", "at"])
    for cells, limit in zip(rows, whole["limits"], strict=True):
        expect_equal(cells[0], limit["action"])
        for cell, of_unit in zip(cells[1:5], M_S):
            speed_cell(cell, limit["limit_m_s"], of_unit)
        expect_equal(cells[5], str(within) if (within := whole_beaufort(limit["limit_m_s"])) >= 0 else "–")
        expect_equal(cells[6], f"{limit['angle_deg']:.4g}°")


def whole_beaufort(speed):
    """The highest number that lies wholly at or below a speed."""
    return sum(bound / 10 <= speed for bound in BEAUFORT) - 1


def beaufort(speed):
    tenths = round(speed * 10)
    return sum(tenths > bound for bound in BEAUFORT)


def posted_in_all_units(speed, text):
    """The posted limit, given in one unit, is told in all, each rounded from the same wind."""
    told = run("wind", "-", stdin=written(random_leaf(1, "ratio"), posted_wind=text)).text
    words = re.search(r"Posted limit: (\S+) m/s, (\S+) km/h, (\S+) mph, (\S+) kn, Beaufort (\d+): ", told)
    expect(words, told)
    for cell, unit in zip(words.groups(), M_S):
        expect_equal(cell, f"{speed / M_S[unit]:.1f}", unit)
    expect_equal(int(words[5]), beaufort(speed))


def same_wind_in_every_unit():
    """One wind posted in five ways is one wind."""
    leaf = random_leaf(1, "ratio")
    for unit, size in {"m/s": 1, "km/h": 1 / 3.6, "mph": 0.44704, "knots": 1852 / 3600, "ft/s": 0.3048}.items():
        text = written(leaf, posted_wind=f"{12.3 / size!r} {unit}")
        near_enough(answer("wind", "-", "--step", "90deg", stdin=text)["posted"]["speed_m_s"], 12.3, 1e-14, unit)


def standard_input_and_file():
    data = METRIC.read_bytes()
    for form in ((), ("--json",), ("--csv",)):
        wanted = run_well("wind", METRIC, *form).out
        expect_equal(run_well("wind", "-", *form, stdin=data).out, wanted)
        with folder() as place:
            expect_equal(run_well("wind", METRIC, *form, "-o", "it", cwd=place).out, b"")
            expect_equal((place / "it").read_bytes(), wanted)


def step_and_case():
    whole = limits_of(METRIC, "--step", "38deg")["raise"]
    expect_equal([row["angle_deg"] for row in whole["rows"]], [0, 38, 76])
    expect_equal(whole["limit_m_s"], limits_of(METRIC)["raise"]["limit_m_s"])
    expect_refused(run("wind", METRIC, "--case", "calm"), 2, "takes no --case")


def posted_is_told():
    """Each of raise, lower, hold whose limit lies below what is posted is told; what is out is none of it."""
    leaf = random_leaf(4, "ratio")
    limits = limits_of("-", stdin=written(leaf))
    three = sorted((limits[action]["limit_m_s"], action) for action in ("raise", "lower", "hold"))
    expect(all(limits[f"{action}, one {part} out"]["limit_m_s"] < three[0][0] - 0.01 for action, part in (
        ("raise", "motor"), ("lower", "motor"), ("hold", "brake"))), "nothing lies below the three", limits)
    for count, speed in enumerate([three[0][0] - 0.005, *(limit + 0.005 for limit, _ in three)]):
        text = written(leaf, posted_wind=f"{speed!r} m/s")
        result = run("wind", "-", "--json", stdin=text)
        expect_equal(result.status, int(count > 0), result)
        whole = json.loads(result.text)
        expect_equal(whole["posted"], {"speed_m_s": speed, "met": count == 0})
        told = [
            re.fullmatch(r"posted wind of (\S+) m/s: to (\w+) the leaf at (\S+) degree the limit is (\S+) m/s", words)
            for words in sentences(result)
        ]
        expect(all(told), result)
        expect_equal({words[2] for words in told}, {action for _, action in three[:count]}, result)
        for words in told:
            near_enough(float(words[1]), speed, 5e-4)
            near_enough(float(words[4]), limits[words[2]]["limit_m_s"], 5e-4)
            near_enough(float(words[3]), limits[words[2]]["angle_deg"], 5e-4)
        table = run("wind", "-", stdin=text).text
        expect_equal((": met with nothing out." in table, ": NOT met." in table), (count == 0, count > 0))
        expect("licensed engineer" in table.splitlines()[-1], "the table has no end")
    with folder() as place:
        for form in ((), ("--json",), ("--csv",)):
            to_output = run("wind", "-", *form, stdin=text)
            to_file = run("wind", "-", *form, "-o", "it", stdin=text, cwd=place)
            expect_equal((to_output.status, to_file.status, to_file.out), (1, 1, b""))
            expect_equal((place / "it").read_bytes(), to_output.out)
        drawn = run("wind", "-", "--plot", "it.gp", stdin=text, cwd=place)
        expect_equal((drawn.status, drawn.out, drawn.errors), (1, b"", result.errors))


def lacks(kind, words, *sections):
    with folder() as place:
        (place / "leaf.yaml").write_bytes(written(random_leaf(2, kind), **dict.fromkeys(sections)))
        result = run("wind", "leaf.yaml", "--json", cwd=place)
        expect_refused(result, 2, "leaf.yaml:1:1: ", *words)
        expect_equal(len(result.errors.splitlines()), 1, result)


def needs_no_more():
    """What the leaf has not got is not asked: brakes alone hold, a drive alone moves; nothing posted, nothing told."""
    leaf = random_leaf(2, "ratio")
    bare = dict.fromkeys(("holding", "cases", "travel", "duty", "posted_wind", "trunnion"))
    whole = answer("wind", "-", stdin=written(leaf, **bare, drive=None))
    expect_equal([limit["action"] for limit in whole["limits"]], ["hold", "hold, one brake out"])
    expect_equal(whole["posted"], None)
    whole = answer("wind", "-", stdin=written(leaf, **bare, motors=None))
    expect_equal([limit["action"] for limit in whole["limits"]], ["hold", "hold, one brake out"])
    one = {**leaf["motors"], "installed": 1, "running": 1}
    whole = answer("wind", "-", stdin=written(leaf, **bare, brakes=None, motors=one))
    expect_equal([limit["action"] for limit in whole["limits"]], ["raise", "lower"])
    expect("Posted" not in asked("wind", "-", stdin=written(leaf, **bare)).text, "nothing is posted")


@functools.cache
def random_answer(seed, kind):
    leaf = random_leaf(seed, kind)
    return leaf, answer("wind", "-", "--step", "0.25deg", stdin=written(leaf))


def lowest_is_lowest(seed, kind):
    """The limit over the whole travel beats every row, and is that of the rows around it."""
    _, whole = random_answer(seed, kind)
    for limit in whole["limits"]:
        speeds = [speed_of(row) for row in limit["rows"]]
        if limit["limit_m_s"] is None:
            expect_equal((min(speeds), limit["angle_deg"]), (math.inf, None), limit["action"])
            continue
        expect(limit["limit_m_s"] <= min(speeds) * (1 + 1e-10), limit["action"], limit["limit_m_s"], min(speeds))
        near = [speed_of(row) for row in limit["rows"] if abs(row["angle_deg"] - limit["angle_deg"]) <= 0.26]
        near_enough(limit["limit_m_s"], min(near), 1e-3, limit["action"])


def put_back(seed, kind):
    """With the limit as the wind of a case, the motors are just at what is allowed, the brakes at what is required."""
    leaf, whole = random_answer(seed, kind)
    limits, ask = of(whole), leaf["wind_limits"]
    tried = 0
    for action in ("raise", "lower", "hold"):
        speed = limits[action]["limit_m_s"]
        if not speed:
            continue
        wind = as_asked(ask, speed)
        if action == "hold":
            text = written(leaf, holding=[{"name": "limit", "wind": wind, "factor": ask["hold_factor"]}])
            factor = answer("brake", "-", stdin=text)["cases"][0]["factor"]
            near_enough(factor, ask["hold_factor"], 1e-9, action)
        else:
            same = {"friction": ask["friction"], "motor_limit": ask["motor_limit"]}
            cases = [{"name": side, **same, "wind": {**wind, "from": side}} for side in ("heel", "toe")]
            direction = "opening" if action == "raise" else "closing"
            rows = answer("drive", "-", stdin=written(leaf, cases=cases, duty=None))["cases"]
            near_enough(max(row["use"] for row in rows if row["direction"] == direction), 1, 1e-9, action)
        tried += 1
    expect(tried >= 2, "no limit was put back", limits)


def put_back_row(seed, kind):
    """Angle by angle as well: at an angle of the rows, curve has a motor at its limit in the wind of that row."""
    leaf, whole = random_answer(seed, kind)
    ask = leaf["wind_limits"]
    for action, direction in (("raise", "opening"), ("lower", "closing")):
        rows = [row for row in of(whole)[action]["rows"] if row["speed_m_s"]]
        for row in rows[:: max(1, len(rows) // 2)]:
            wind = as_asked(ask, row["speed_m_s"])
            cases = [
                {"name": side, "friction": ask["friction"], "wind": {**wind, "from": side}} for side in ("heel", "toe")
            ]
            curves = answer("curve", "-", "--step", "0.25deg", stdin=written(leaf, cases=cases))["cases"]
            at = [next(one for one in case["rows"] if one["angle_deg"] == row["angle_deg"]) for case in curves]
            if kind == "cylinder":
                asks = max(one[f"pressure_{direction}_Pa"] for one in at)
                allowed = ask["motor_limit"] * float(leaf["drive"]["cylinder"]["pressure"].split()[0]) * 1e5
            else:
                asks = max(abs(one[f"motor_{direction}_Nm"]) for one in at)
                allowed = ask["motor_limit"] * float(leaf["motors"]["power"].split()[0]) * 1e3 / (30 * math.pi)
            near_enough(asks, allowed, 1e-9, action, row)


def hold_by_hand(law):
    """One strip, brakes, and the balance of weigh: the pressure that the brakes hold at each angle."""
    leaf = random_leaf(1, "ratio")
    deck = {"name": "deck", "from": ["1 m", "0.5 m"], "to": ["15 m", "0.9 m"], "width": "6 m", "solidity": 0.8}
    limits = {"law": law, "coefficient": 1.3, "hold_factor": 1.4, "density": "1.2 kg/m3"}
    text = written(leaf, surfaces=[deck], wind_limits=limits)
    weigh = answer("weigh", "-", stdin=text)
    capacity, _ = capacities(leaf)
    length, slope = math.hypot(14, 0.4), math.atan2(0.4, 14)
    tried = 0
    for row in limits_of("-", "--step", "2deg", stdin=text)["hold"]["rows"]:
        angle = row["angle_deg"] * DEGREE
        area = 6 * 0.8 * length
        if law == "projected":
            arm = abs(math.sin(slope + angle)) * abs(8 * math.sin(angle) + 0.7 * math.cos(angle))
        else:
            arm = abs(8 * math.cos(slope) + 0.7 * math.sin(slope))
        left = capacity / 1.4 - abs(weigh["moment_Nm"] * math.cos(angle + weigh["angle_deg"] * DEGREE))
        speed = math.sqrt(2 * left / (1.3 * area * arm) / 1.2) if left > 0 else 0
        if speed > 100:
            expect_equal(row["speed_m_s"], None, row)
        else:
            near_enough(row["speed_m_s"], speed, 1e-10, row)
            tried += 1
    expect(tried >= 10, "hardly any row has a limit")


def monotone(seed, kind, action, change):
    """More allowed, or more brake, never means less wind; somewhere it means more."""
    leaf = random_leaf(seed, kind)
    before, risen = None, False
    for share in (0.6, 0.9, 1.2, 1.8, 2.7):
        rows = limits_of("-", "--step", "4deg", stdin=written(leaf, **change(leaf, share)))[action]["rows"]
        speeds = list(map(speed_of, rows))
        if before:
            expect(all(new >= old * (1 - 1e-12) for new, old in zip(speeds, before)), f"at {share}", speeds, before)
            risen = risen or any(new > old for new, old in zip(speeds, before))
        before = speeds
    expect(risen, "the limit never rises")


def motor_limit(leaf, share):
    return {"wind_limits": {**leaf["wind_limits"], "motor_limit": share}}


def brake_torque(leaf, share):
    brake = leaf["brakes"][0]
    return {"brakes": [{**brake, "torque": f"{float(brake['torque'].split()[0]) * share!r} N m"}, *leaf["brakes"][1:]]}


def hold_factor(leaf, share):
    return {"wind_limits": {**leaf["wind_limits"], "hold_factor": 1 / share}}


def one_out(seed):
    """One motor out is the leaf with so many running; one brake out is the leaf without its strongest."""
    leaf = random_leaf(seed, "strut")
    motors = {**leaf["motors"], "installed": 3}
    for running, left in ((3, 2), (2, 2), (1, 1)):
        limits = limits_of("-", "--step", "10deg", stdin=written(leaf, motors={**motors, "running": running}))
        fewer = limits_of("-", "--step", "10deg", stdin=written(leaf, motors={**motors, "running": left}))
        for action in ("raise", "lower"):
            expect_equal({**limits[f"{action}, one motor out"], "action": action}, fewer[action])
    alone = limits_of("-", stdin=written(leaf, motors={**motors, "installed": 1, "running": 1}))
    expect_equal([action for action in alone if "motor" in action], [])
    limits = limits_of("-", "--step", "10deg", stdin=written(leaf))
    first, second = leaf["brakes"]
    without = [{**first, "count": 1}, second] if of_one_brake(first) > of_one_brake(second) else [first]
    fewer = limits_of("-", "--step", "10deg", stdin=written(leaf, brakes=without))["hold"]
    got = limits["hold, one brake out"]
    for one, other in zip(got["rows"], fewer["rows"], strict=True):
        if one["speed_m_s"] is None or other["speed_m_s"] is None:
            expect_equal(one, other)
        else:
            near_enough(one["speed_m_s"], other["speed_m_s"], 1e-12)


def calm_fails():
    """Motors and brakes that calm air already overcomes have no wind at all: 0, not null."""
    leaf = random_leaf(1, "ratio")
    weak = [{**brake, "torque": "0.1 N m"} for brake in leaf["brakes"]]
    text = written(leaf, motors={**leaf["motors"], "power": "100 W"}, brakes=weak, posted_wind="1 m/s")
    whole = answer("wind", "-", stdin=text)
    for limit in whole["limits"]:
        expect_equal(limit["limit_m_s"], 0.0, limit["action"])
        expect(limit["angle_deg"] is not None and min(row["speed_m_s"] for row in limit["rows"]) == 0, limit["action"])
    expect_equal(whole["posted"]["met"], False)
    told = sentences(run("wind", "-", stdin=text))
    expect_equal(len(told), 3)
    expect(all(words.endswith("the limit is 0 m/s") for words in told), told)
    rows = table_after(run("wind", "-", stdin=text).text.split("over the whole travel:")[1], "m/s")[1]
    expect_equal([cells[1:6] for cells in rows], [["0.0"] * 4 + ["–"]] * 6)


def nothing_limits(text):
    """Null in JSON, empty in CSV, a dash in the table; the posted limit is met, and the leaf comes down."""
    whole = answer("wind", "-", "--step", "10deg", stdin=text)
    for limit in whole["limits"]:
        expect_equal((limit["limit_m_s"], limit["angle_deg"]), (None, None), limit["action"])
        expect_equal({row["speed_m_s"] for row in limit["rows"]}, {None})
    expect_equal((whole["posted"]["met"], whole["comes_down_again"]), (True, True))
    expect_equal({row["speed_m_s"] for row in records("wind", "-", stdin=text)}, {""})
    table = run_well("wind", "-", stdin=text).text
    rows = table_after(table.split("over the whole travel:")[1], "m/s")[1]
    expect_equal([cells[1:] for cells in rows], [["–"] * 5] * 6)
    expect("can be brought down again" in table, table)


STRONG = {
    "brakes": [{"name": "b", "count": 2, "torque": "9000 kN m", "ratio": 900, "delay": "0 s", "set_time": "0 s"}],
    "motors": {"installed": 2, "power": "9000 kW", "speed": "900 rpm"},
}


def comes_down(seed, kind):
    """The words say what both limits are: down again where lowering bears at least the wind that raising bears."""
    seen = set()
    leaf = random_leaf(seed, kind)
    for x in (-0.4, -0.2, 0, 0.2, 0.4):
        ballast = {"name": "ballast", "weight": "300 kN", "at": [f"{x!r} m", "0.05 m"]}
        text = written(leaf, parts=[*leaf["parts"], ballast])
        whole = answer("wind", "-", "--step", "90deg", stdin=text)
        raising, lowering = (speed_of(of(whole)[action]) for action in ("raise", "lower"))
        expect_equal(whole["comes_down_again"], lowering >= raising)
        table = run("wind", "-", stdin=text).text
        expect_equal(("can be brought down again in the same wind" in table, "may NOT come down again" in table),
                     (lowering >= raising, lowering < raising))
        with folder() as place:
            run("wind", "-", "--plot", "card.gp", stdin=text, cwd=place)
            card = (place / "card.gp").read_text(encoding="utf-8")
        expect_equal(("can be brought down in any wind" in card, "may not come down" in card),
                     (lowering >= raising, lowering < raising))
        seen.add(lowering >= raising)
    return seen


def comes_down_both_ways():
    seen = set().union(*(comes_down(seed, kind) for seed, kind in ((1, "ratio"), (2, "strut"), (3, "cylinder"))))
    expect_equal(seen, {True, False})


for example in WINDY:
    claim(f"{example.stem}: JSON has the keys of the contract, types right, null for no limit", keys_of, example)
    claim(f"{example.stem}: CSV is RFC 4180 and says what JSON says", csv_agrees, example)
    claim(f"{example.stem}: the tables are the JSON, rounded, with the caution", table_agrees, example,
          "mph" if example == US else "km/h")
for bound in BEAUFORT:
    for tenth in (bound, bound + 1):
        claim(f"a posted {tenth / 10} m/s in every unit and in Beaufort",
              posted_in_all_units, tenth / 10, f"{tenth / 10} m/s")
for bound in (13.84, 13.86, 32.64, 32.66):  # it is the rounded tenths that the bounds are held against
    claim(f"a posted {bound} m/s in every unit and in Beaufort", posted_in_all_units, bound, f"{bound} m/s")
claim("a posted 47 km/h in every unit", posted_in_all_units, 47 / 3.6, "47 km/h")
claim("a posted 39 mph in every unit", posted_in_all_units, 39 * 0.44704, "39 mph")
claim("a posted 21 knots in every unit", posted_in_all_units, 21 * 1852 / 3600, "21 knots")
claim("one wind in m/s, km/h, mph and knots is one wind", same_wind_in_every_unit)
claim("- reads standard input, -o writes the same", standard_input_and_file)
claim("--step sets the angles and not the limit; there is no --case", step_and_case)
claim("a posted wind over a limit: status 1, a sentence for each of raise, lower, hold, all whole", posted_is_told)
claim("no wind_limits is told", lacks, "ratio", ["section 'wind_limits'"], "wind_limits")
claim("neither motors nor brakes is told", lacks, "rack", ["'drive' and 'motors'", "'brakes'"], "motors", "brakes")
claim("neither drive nor brakes is told", lacks, "cylinder", ["'drive'", "'brakes'"], "drive", "brakes")
claim("wind asks for no section that it does not use", needs_no_more)
for number, sort in itertools.product(SEEDS, KINDS):
    claim(f"{sort} {number}: the limit over the travel is the lowest of all", lowest_is_lowest, number, sort)
    claim(f"{sort} {number}: the limit put back as a case gives use 1", put_back, number, sort)
for sort in KINDS:
    claim(f"{sort}: the limits of the rows put back as cases give use 1", put_back_row, 1, sort)
for wind_law in ("projected", "normal"):
    claim(f"{wind_law}: the wind that the brakes hold, by hand", hold_by_hand, wind_law)
for number, sort, what in itertools.product((1, 2), KINDS, ("raise", "lower")):
    claim(f"{sort} {number}: {what} grows with motor_limit", monotone, number, sort, what, motor_limit)
for number, what in itertools.product((1, 2), ("hold", "hold, one brake out")):
    claim(f"{number}: {what} grows with the torque of the brakes", monotone, number, "ratio", what, brake_torque)
    claim(f"{number}: {what} grows as hold_factor falls", monotone, number, "ratio", what, hold_factor)
for number in SEEDS:
    claim(f"{number}: with a motor or a brake out the limit is that of the leaf without it", one_out, number)
claim("where calm air fails the limit is 0", calm_fails)
claim("where nothing limits the limit is null", nothing_limits, written(random_leaf(1, "ratio"), **STRONG))
claim("without surfaces nothing limits", nothing_limits,
      written(wheel(surfaces=None, brakes=STRONG["brakes"], wind_limits={"law": "projected"}, posted_wind="20 m/s")))
claim("down again: the words say the truth of both limits", comes_down_both_ways)

if __name__ == "__main__":
    main()
