# SPDX-License-Identifier: GPL-3.0-or-later
"""cycle --switches and --operation: where the near switches may stand, and the whole operation in time."""

import math

from harness import METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, main, run, run_well
from machinery import answer, asked, near_enough, records, sentences, shows, table_after, wheel, written
from moving import (
    BRAKE, CREEP, DIRECTIONS, FALL, HOLD_KEYS, NEAR_CLOSED, NEAR_OPEN, OPENS_TO, SPEED, STEPS, across, balanced, not_met, travel_time,
)

STRUT = ROOT / "examples" / "strut.yaml"
FALLEN = FALL * (SPEED + CREEP) / 2
FULL = {"opening": OPENS_TO, "closing": 0}
GIVEN = {"opening": NEAR_OPEN, "closing": NEAR_CLOSED}
LATER = {"opening": 1, "closing": -1}
SWITCH_COLUMNS = [
    "case", "direction", "switch", "near_switch_deg", "nearest_deg", "margin_deg", "end", "time_s", "switch_speed_deg_s",
    "at_creep", "end_angle_deg", "toe_speed_m_s", "seat_energy_J", "toe_force_N", "hold_factor",
]
DRIFTED_KEYS = {
    "near_switch_deg", "time_s", "reached_switch", "switch_speed_deg_s", "at_creep", "end", "rest_s", "ready_s", "end_time_s",
    "end_angle_deg", "end_speed_deg_s", "peak_deceleration_deg_s2", "seat",
} | HOLD_KEYS
NO_TRAVEL = wheel()["travel"]


def nearest(direction):
    """The reference needs so much to fall to creep, and the drive follows: nothing else counts."""
    whole = answer("cycle", "-", "--switches", stdin=balanced())
    expect_equal((list(whole), whole["switches"]["drift_deg"]), (["leaf", "case", "switches", "faults"], 1))
    place = whole["switches"][direction]
    expect_equal(set(place), {"possible", "given_deg", "nearest_deg", "margin_deg", "early", "given", "late"})
    expect_equal((place["possible"], place["given_deg"]), (True, GIVEN[direction]))
    expect(abs(place["nearest_deg"] - (FULL[direction] - LATER[direction] * FALLEN)) <= 2e-4, place)
    expect(abs(place["margin_deg"] - (8 - FALLEN)) <= 2e-4, place)


def drifts(drift):
    """Early and late are runs with the switch there: their time by the trapezoid."""
    whole = answer("cycle", "-", "--switches", "--drift", f"{drift!r}deg", stdin=balanced())["switches"]
    expect_equal(whole["drift_deg"], drift)
    for direction in DIRECTIONS:
        for name, moved in (("early", -drift), ("given", 0), ("late", drift)):
            one = whole[direction][name]
            expect_equal(set(one), DRIFTED_KEYS)
            near_enough(one["near_switch_deg"], GIVEN[direction] + LATER[direction] * moved, 1e-12)
            expect_equal((one["at_creep"], one["end"]), (True, "arrived"))
            near_enough(one["time_s"], travel_time(8 - moved), 1e-9)
            expect_equal(one["seat"] is None, direction == "opening")


def too_late():
    """A switch nearer than the nearest: how much, with which speed, and exit status 1."""
    leaf = balanced(travel={**NO_TRAVEL, "near_open": "58 degree"})
    place = answer("cycle", "-", "--switches", stdin=leaf)["switches"]["opening"]
    expect(abs(place["margin_deg"] + FALLEN - 2) <= 2e-4, place)
    speed = math.sqrt(SPEED**2 - 2 * (SPEED - CREEP) / FALL * 2)
    near_enough(place["given"]["switch_speed_deg_s"], speed, 1e-8)
    told = sentences(not_met(leaf, "--switches"))
    expect_equal(told, [f"case 'still air', opening: near_open at 58 degree is too late by {FALLEN - 2:.3g} degree: the leaf "
                        f"arrives at {speed:.3g} degree/s"])
    text = asked("cycle", "-", "--switches", stdin=leaf).text
    expect(f"TOO LATE by {FALLEN - 2:.3f}°" in text and f"{8 - FALLEN:.3f}° to spare" in text, text)


def nowhere():
    """Motors across the line obey no near switch."""
    whole = answer("cycle", "-", "--switches", stdin=across(STRUT))["switches"]
    for direction in DIRECTIONS:
        place = whole[direction]
        expect_equal((place["possible"], place["nearest_deg"], place["margin_deg"]), (False, None, None))
    result = not_met(across(STRUT), "--switches")
    expect_equal(len(sentences(result)), 2, result)
    expect("motors across the line do not obey a near switch" in result.errors, result)
    expect("at NO place would the leaf arrive at creep speed" in result.text, result.text)


def switch_forms():
    whole = answer("cycle", METRIC, "--switches")["switches"]
    rows = records("cycle", METRIC, "--switches")
    expect_equal((list(rows[0]), len(rows)), (SWITCH_COLUMNS, 6))
    cells = table_after(asked("cycle", METRIC, "--switches").text, "direction")[1]
    for at, (record, shown) in enumerate(zip(rows, cells, strict=True)):
        direction, name = DIRECTIONS[at // 3], ("early", "given", "late")[at % 3]
        one = whole[direction][name]
        expect_equal((record["direction"], record["switch"], shown[:2]), (direction, name, [direction, name]))
        wanted = {**one, **{key: whole[direction][key] for key in ("nearest_deg", "margin_deg")}}
        for key in SWITCH_COLUMNS[3:6] + ["time_s", "switch_speed_deg_s", "end_angle_deg", "hold_factor"]:
            expect_equal(None if record[key] == "" else float(record[key]), wanted[key], key)
        expect_equal((record["end"], record["at_creep"]), (one["end"], str(one["at_creep"]).lower()))
        seat = one["seat"] or {"toe_speed_m_s": None, "energy_J": None, "toe_force_N": None}
        for key, column in (("toe_speed_m_s", "toe_speed_m_s"), ("energy_J", "seat_energy_J"), ("toe_force_N", "toe_force_N")):
            expect_equal(None if record[column] == "" else float(record[column]), seat[key], column)
        for cell, key, unit in ((2, "near_switch_deg", "°"), (3, "time_s", ""), (4, "switch_speed_deg_s", "")):
            shows(shown[cell], one[key], unit)
        expect_equal(shown[5], "yes" if one["at_creep"] else "NO")


def beside_faults():
    """With a motor out the drive still finds its place; where a fault stops the leaf no place helps."""
    for text in ("motor out at 20deg", "brake out", "gust 30 Pa for 4 s at 50deg"):
        whole = answer("cycle", "-", "--switches", "--fault", text, stdin=balanced())
        expect_equal((whole["faults"], whole["switches"]["opening"]["possible"]), ([text], True))
    for text in ("power lost at 40deg", "near switch missed", "pedal released at 40deg", "emergency stop at 2deg"):
        expect_refused(run("cycle", METRIC, "--switches", "--fault", text), 2, f"--switches with --fault '{text}'")
    expect_refused(run("cycle", METRIC, "--switches", "--every", "1s"), 2, "--every", "--switches does not have")
    expect_refused(run("cycle", METRIC, "--switches", "--operation"), 2, "exclude each other")
    for text in ("0deg", "31deg", "1", "1 s"):
        expect_refused(run("cycle", METRIC, "--switches", "--drift", text), 2, f"--drift {text}: ")


def time_line():
    """Each step after the other; the leaf's own steps take as long as its runs until the brakes are set."""
    leaf = balanced(steps=STEPS)
    runs = answer("cycle", "-", stdin=leaf)
    whole = answer("cycle", "-", "--operation", stdin=leaf)
    expect_equal(list(whole), ["leaf", "case", "operation", "faults"])
    line = whole["operation"]
    expect_equal((line["raising_s"], line["lowering_s"]),
                 (runs["opening"]["ready_s"], runs["closing"]["ready_s"]))
    begins = 0
    for step, described in zip(line["steps"], STEPS, strict=True):
        takes = {"raise": line["raising_s"], "lower": line["lowering_s"]}.get(
            described.get("motion"), {"10 s": 10, "5 s": 5, "3 min": 180, "4 s": 4}.get(described.get("takes")))
        expect_equal((step["name"], step["motion"]), (described["name"], described.get("motion", "still")))
        near_enough(step["start_s"] + 1, begins + 1, 1e-12)
        near_enough(step["end_s"], begins + takes, 1e-12)
        expect_equal(step["road"], described.get("road"))
        for key in ("needs", "gives", "ends"):
            said = described.get(key, [])
            expect_equal(step[key], said if isinstance(said, list) else [said])
        begins = step["end_s"]
    near_enough(line["total_s"], begins, 1e-12)
    near_enough(line["road_closed_s"], begins - 10, 1e-12)


def wind_goes_on():
    """A record of wind that is longer than the run delays nothing."""
    with folder() as place:
        (place / "leaf.yaml").write_bytes(balanced(steps=STEPS))
        (place / "wind.csv").write_bytes(b"time [s],pressure [Pa]\n0,0\n900,0.1\n")
        line = answer("cycle", "leaf.yaml", "--operation", "--wind-record", "wind.csv", cwd=place)["operation"]
        near_enough(line["raising_s"], travel_time() + 0.8, 1e-6)
        one = answer("cycle", "leaf.yaml", "--wind-record", "wind.csv", cwd=place)["opening"]
        near_enough(one["ready_s"], line["raising_s"], 1e-12)
        near_enough(one["end_time_s"], 900, 1e-12)


def operation_forms():
    leaf = balanced(steps=STEPS, duty={"openings_per_hour": 2, "hold_open": "3 min"})
    line = answer("cycle", "-", "--operation", stdin=leaf)["operation"]
    rows = records("cycle", "-", "--operation", stdin=leaf)
    expect_equal(list(rows[0]), ["case", "step", "motion", "start_s", "end_s", "road"])
    text = asked("cycle", "-", "--operation", stdin=leaf).text
    cells = table_after(text, "begins")[1]
    for record, step, shown in zip(rows, line["steps"], cells, strict=True):
        expect_equal((record["step"], record["motion"], record["road"]), (step["name"], step["motion"], step["road"] or ""))
        expect_equal((float(record["start_s"]), float(record["end_s"])), (step["start_s"], step["end_s"]))
        expect_equal(shown[:4], [f"{step['start_s']:.2f}", f"{step['end_s']:.2f}", f"{step['end_s'] - step['start_s']:.2f}",
                                 step["name"]])
    expect(f"takes {line['total_s']:.1f} s" in text and f"closed for {line['road_closed_s']:.1f} s" in text, text)
    expect(f"closed {line['road_closed_s'] / 18:.1f} % of the time." in text, text)


def no_steps():
    with folder() as place:
        (place / "leaf.yaml").write_bytes(balanced())
        result = run("cycle", "leaf.yaml", "--operation", "-o", "out", cwd=place)
        expect_refused(result, 2, "leaf.yaml:1:1: ", "the section 'steps'")
        expect(not (place / "out").exists(), "something was written")


def does_not_arrive():
    """A leaf that does not arrive has no time line: said, nothing made up, in every form."""
    leaf = balanced(steps=STEPS, cases=[{"name": "gale", "wind": {"pressure": "3 kPa"}}])
    result = not_met(leaf, "--operation")
    expect("There is no time line" in result.text, result.text)
    expect("case 'gale', opening: the leaf stands still at" in result.errors, result)
    line = answer("cycle", "-", "--operation", stdin=leaf)["operation"]
    expect_equal({line[key] for key in ("total_s", "road_closed_s", "raising_s", "lowering_s")}, {None})
    expect_equal({step["start_s"] for step in line["steps"]}, {None})
    expect_equal({record["end_s"] for record in records("cycle", "-", "--operation", stdin=leaf)}, {""})


def operation_with_faults():
    """A fault that lets the leaf arrive leaves a time line, one that stops it does not."""
    leaf = balanced(steps=STEPS)
    line = answer("cycle", "-", "--operation", "--fault", "near switch missed opening", stdin=leaf)["operation"]
    near_enough(line["raising_s"], 3 + OPENS_TO / SPEED + 0.8, 0.02)
    near_enough(line["lowering_s"], travel_time() + 0.8, 1e-8)
    result = not_met(leaf, "--operation", "--fault", "power lost at 40deg closing")
    expect("closing: the leaf came to rest at" in result.errors and "opening" not in result.errors, result)
    one = answer("cycle", "-", "--fault", "power lost at 40deg closing", stdin=leaf)["closing"]
    expect(f"\nclosing, the leaf came to rest at {one['end_angle_deg']:.2f} degree after" in result.text, result.text)


def strong_enough():
    """With brakes all is met, silently."""
    run_well("cycle", "-", "--operation", stdin=written(wheel(brakes=[BRAKE], steps=STEPS)))
    run_well("cycle", "-", "--switches", stdin=balanced())


for way in DIRECTIONS:
    claim(f"{way}: the nearest near switch by the closed form", nearest, way)
for far in (1, 0.25, 2.5):
    claim(f"--drift {far}deg: early and late by the closed form", drifts, far)
claim("a near switch too late is told", too_late)
claim("no place for a near switch is told", nowhere)
claim("--switches in table, CSV and JSON", switch_forms)
claim("--switches beside faults and other options", beside_faults)
claim("--operation: one step after the other", time_line)
claim("--operation: the leaf is ready when it rests and its brakes are set", wind_goes_on)
claim("--operation in table, CSV and JSON", operation_forms)
claim("--operation without steps is refused", no_steps)
claim("--operation of a leaf that does not arrive", does_not_arrive)
claim("--operation with faults", operation_with_faults)
claim("what is met is met without a word", strong_enough)

if __name__ == "__main__":
    main()
