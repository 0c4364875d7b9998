# SPDX-License-Identifier: GPL-3.0-or-later
"""cycle --fault and --sweep: where a leaf comes to rest when something goes wrong, and which words are refused."""

import math
import re

from harness import METRIC, ROOT, claim, expect, expect_equal, expect_refused, main, run, run_well
from machinery import answer, asked, near_enough, records, sentences, table_after, wheel, written
from moving import (
    BRAKE, CLIMB, CREEP, DIRECTIONS, FALL, HOLD_KEYS, NEAR_OPEN, OPENS_TO, SPEED, at_event, balanced, events_of, not_met,
    stopped, travel_time,
)

CYLINDER = ROOT / "examples" / "cylinder.yaml"
WHOLE_RUN = ("brake out", "near switch missed")
OF_ANGLE = ("power lost", "emergency stop", "pedal released", "motor out", "gust 12 m/s for 8 s")
SWEEP_COLUMNS = [
    "case", "direction", "fault_angle_deg", "happens", "end", "end_angle_deg", "run_on_deg", "time_s",
    "peak_deceleration_deg_s2", "toe_speed_m_s", "toe_force_N", "ran_back_deg", "past_end_deg", "hold_factor",
    "hold_wind_Pa", "hold_demand_Nm", "hold_capacity_Nm", "safe", "met",
]
SWEEP_KEYS = {
    "direction", "fault_angle_deg", "happens", "end", "end_angle_deg", "run_on_deg", "time_s", "peak_deceleration_deg_s2",
    "seat",
} | HOLD_KEYS


def faults(*texts):
    return [word for text in texts for word in ("--fault", text)]


def speed_at(direction, angle):
    """Speed and time of the reference when the wheel passes an angle, by the trapezoid."""
    gone = angle if direction == "opening" else OPENS_TO - angle
    climbed, fallen = SPEED * CLIMB / 2, FALL * (SPEED + CREEP) / 2
    rate = (SPEED - CREEP) / FALL
    if gone <= climbed:
        time = math.sqrt(2 * gone * CLIMB / SPEED)
        return SPEED * time / CLIMB, time
    at_near = CLIMB + (NEAR_OPEN - climbed) / SPEED
    if gone <= NEAR_OPEN:
        return SPEED, CLIMB + (gone - climbed) / SPEED
    if gone <= NEAR_OPEN + fallen:
        speed = math.sqrt(SPEED**2 - 2 * rate * (gone - NEAR_OPEN))
        return speed, at_near + (SPEED - speed) / rate
    return CREEP, at_near + FALL + (gone - NEAR_OPEN - fallen) / CREEP


def stops_as_computed(kind):
    """Power lost and emergency stop: delay, ramp and full brake stop the wheel where the closed form says."""
    whole = answer("cycle", "-", *faults(f"{kind} at 40deg"), stdin=balanced())
    for direction, sign in (("opening", 1), ("closing", -1)):
        one = whole[direction]
        speed, passes = speed_at(direction, 40)
        time, run_deg, hardest = stopped(speed)
        expect_equal((one["end"], one["time_s"], one["safe"]), ("stopped", None, True))
        near_enough(one["rest_s"], passes + time, 1e-8)
        near_enough(one["end_angle_deg"], 40 + sign * run_deg, 1e-8)
        near_enough(one["peak_deceleration_deg_s2"], hardest, 1e-6)
        event = at_event(whole, direction, "fault")
        expect_equal(event["fault"], f"{kind} at 40deg")
        near_enough(event["t_s"], passes, 1e-9)
        near_enough(event["angle_deg"], 40, 1e-12)
        expect_equal(at_event(whole, direction, "brake set")["brake"], "brake")


def pedal_released():
    """A controlled stop: the speed falls to rest as fast as it falls to creep, then the power goes off."""
    whole = answer("cycle", "-", *faults("pedal released at 30deg opening"), stdin=balanced())
    one = whole["opening"]
    rate = (SPEED - CREEP) / FALL
    near_enough(one["end_angle_deg"], 30 + SPEED**2 / (2 * rate), 1e-8)
    near_enough(at_event(whole, "opening", "power off")["t_s"], speed_at("opening", 30)[1] + SPEED / rate, 1e-8)


def motor_out():
    """With one of two motors out the other gives twice the torque, and with both nothing changes in time."""
    text = faults("motor out at 0.5deg opening", "motor out at 59.5deg closing")
    whole = answer("cycle", "-", *text, stdin=balanced())
    before = answer("cycle", "-", stdin=balanced())
    for direction in DIRECTIONS:
        near_enough(whole[direction]["time_s"], travel_time(), 1e-9)
        near_enough(whole[direction]["peak_motor_Nm"], 2 * before[direction]["peak_motor_Nm"], 1e-9)


def near_switch_missed():
    """No creep: the wheel reaches its switch at full speed and is stopped behind it."""
    whole = answer("cycle", "-", *faults("near switch missed opening"), stdin=balanced())
    one = whole["opening"]
    time, run_deg, _ = stopped(SPEED)
    near_enough(one["time_s"], CLIMB / 2 + OPENS_TO / SPEED, 1e-9)
    near_enough(one["end_angle_deg"], OPENS_TO + run_deg, 1e-8)
    near_enough(one["rest_s"], one["time_s"] + time, 1e-8)
    expect_equal((one["at_creep"], whole["closing"]), (False, None))


def brake_out():
    """The stronger of two does not set: the weaker stops the wheel alone, and is the only one that is told."""
    weak = {**BRAKE, "name": "weak", "torque": "40 N m"}
    leaf = written(wheel(brakes=[BRAKE, weak]))
    alone = written(wheel(brakes=[weak]))
    text = faults("brake out", "power lost at 40deg")
    for direction in DIRECTIONS:
        one = answer("cycle", "-", *text, stdin=leaf)
        wanted = answer("cycle", "-", *faults("power lost at 40deg"), stdin=alone)[direction]
        near_enough(one[direction]["end_angle_deg"], wanted["end_angle_deg"], 1e-9)
        expect_equal([event["brake"] for event in events_of(one, direction, "brake set")], ["weak"])
    expect_equal(one["faults"], ["brake out", "power lost at 40deg"])


def gust_at_an_angle():
    """The gust begins when the leaf passes the angle."""
    text = "gust 90 Pa for 8 s at 30deg opening"
    whole = answer("cycle", "-", "--every", "0.5s", *faults(text), stdin=balanced())
    starts = at_event(whole, "opening", "fault")["t_s"]
    near_enough(starts, speed_at("opening", 30)[1], 1e-9)
    for row in whole["opening"]["trace"]:
        share = (1 - math.cos(2 * math.pi * (row["t_s"] - starts) / 8)) / 2 if 0 <= row["t_s"] - starts <= 8 else 0
        expect(abs(row["wind_Pa"] - 90 * share) < 1e-6, row)


def one_direction(kind):
    """A fault of one direction: only that is run, in every form."""
    for direction, other in (DIRECTIONS, DIRECTIONS[::-1]):
        text = faults(f"{kind} at 40deg {direction}")
        whole = answer("cycle", "-", *text, stdin=balanced())
        expect_equal(whole[other], None)
        expect_equal({event["direction"] for event in whole["events"]}, {direction})
        expect_equal({row["direction"] for row in records("cycle", "-", *text, stdin=balanced())}, {direction})
        shown = asked("cycle", "-", *text, stdin=balanced()).text
        expect(f"\n{other.capitalize()}: " not in shown and f"\n{direction.capitalize()}: the leaf" in shown, shown)
        expect(f"fault: {kind} at 40deg {direction}\n" in shown, shown)


def each_fault_in_its_direction():
    """Faults of both directions, in any order: every run has its own, and names it."""
    texts = ("power lost at 30deg closing", "brake out", "emergency stop at 20deg opening")
    leaf = written(wheel(brakes=[BRAKE, {**BRAKE, "name": "weak", "torque": "40 N m"}]))
    whole = answer("cycle", "-", *faults(*texts), stdin=leaf)
    expect_equal(whole["faults"], list(texts))
    for direction, wanted in (("opening", texts[2]), ("closing", texts[0])):
        expect_equal([event["fault"] for event in events_of(whole, direction, "fault")], [wanted])
        shown = asked("cycle", "-", *faults(*texts), stdin=leaf).text
        expect(re.search(rf"  fault +{wanted}\n", shown), wanted, shown)


def rest_is_enough():
    """With a fault the leaf need not arrive: it must rest and be held. What does not rest is told."""
    run_well("cycle", "-", *faults("power lost at 40deg"), stdin=balanced())
    result = not_met(written(wheel()), *faults("power lost at 40deg"))
    told = sentences(result)
    expect(len(told) == 2 or "closing" not in result.errors, result)
    expect("case 'still air', opening: the leaf ran past the end of its travel" in told[0], told)


def swept_as_one_by_one():
    """Each row of the sweep is the run with that fault at that angle; the wheel's closed form again."""
    whole = answer("cycle", "-", "--sweep", "--step", "4deg", *faults("power lost"), stdin=balanced())
    expect_equal((whole["fault"], list(whole)), ("power lost", ["leaf", "case", "fault", "sweep", "faults"]))
    rows = whole["sweep"]
    expect_equal([(row["direction"], row["fault_angle_deg"]) for row in rows],
                 [(direction, 4.0 * i) for direction in DIRECTIONS for i in range(16)])
    for row in rows:
        expect_equal(set(row), SWEEP_KEYS)
        speed, passes = speed_at(row["direction"], row["fault_angle_deg"])
        time, run_deg, hardest = stopped(speed)
        if speed == 0 or row["fault_angle_deg"] == 0:
            continue
        reaches_shoes = row["direction"] == "closing" and run_deg > row["fault_angle_deg"]
        expect(not reaches_shoes, row)
        for key, wanted in (("run_on_deg", run_deg), ("time_s", time), ("peak_deceleration_deg_s2", hardest)):
            near_enough(row[key], wanted, 1e-5, row, key)
        single = answer("cycle", "-", *faults(f"power lost at {row['fault_angle_deg']!r}deg"), stdin=balanced())
        one = single[row["direction"]]
        expect_equal((row["end"], row["safe"]), (one["end"], one["safe"]))
        near_enough(row["end_angle_deg"], one["end_angle_deg"], 1e-12)
        near_enough(row["time_s"], one["rest_s"] - passes, 1e-6)


def sweep_forms():
    """CSV and table hold the rows of JSON; the table every 5 degrees unless --step says otherwise."""
    text = ["--sweep", *faults("emergency stop", "brake out")]
    whole = answer("cycle", METRIC, *text)
    expect_equal(whole["faults"], ["emergency stop", "brake out"])
    rows = records("cycle", METRIC, *text)
    expect_equal((list(rows[0]), len(rows)), (SWEEP_COLUMNS, len(whole["sweep"])))
    expect_equal(len(rows), 2 * 77)
    for record, row in zip(rows, whole["sweep"]):
        for key in SWEEP_KEYS - {"direction", "seat", "end", "happens", "safe", "met"}:
            expect_equal(None if record[key] == "" else float(record[key]), row[key], key)
        expect_equal([record[key] for key in ("direction", "end", "happens", "safe", "met")],
                     [row["direction"], row["end"], *(str(row[key]).lower() for key in ("happens", "safe", "met"))])
    shown = asked("cycle", METRIC, *text).text
    cells = table_after(shown, "direction")[1]
    expect_equal([row[1] for row in cells], [f"{i * 5:.2f}" if i < 16 else "76.00" for _ in range(2) for i in range(17)])
    wanted = {(row["direction"], f"{row['fault_angle_deg']:.2f}"): row for row in whole["sweep"]}
    for row in cells:
        one = wanted[row[0], row[1]]
        expect_equal(row[2:4], [f"{one['end_angle_deg']:.2f}", f"{abs(one['run_on_deg']):.2f}"], row)
    expect("fault: emergency stop\nfault: brake out\n" in shown and "Opening: it runs on longest from" in shown, shown)
    finer = asked("cycle", METRIC, *text, "--step", "19deg").text
    expect_equal(len(table_after(finer, "direction")[1]), 10)


def sweep_of_one_direction():
    rows = answer("cycle", "-", "--sweep", "--step", "10deg", *faults("power lost closing"), stdin=balanced())["sweep"]
    expect_equal({row["direction"] for row in rows}, {"closing"})


def not_passed():
    """A leaf that ends before the angle: the fault does not happen, and nothing is made up for it."""
    leaf = balanced(travel={**wheel()["travel"], "full_open": "55 degree"})
    rows = answer("cycle", "-", "--sweep", "--step", "10deg", *faults("power lost opening"), stdin=leaf)["sweep"]
    last = rows[-1]
    expect_equal((last["fault_angle_deg"], last["happens"]), (60, False))
    expect_equal({last[key] for key in ("end", "end_angle_deg", "run_on_deg", "time_s", "safe", "seat", "hold_factor")}, {None})
    shown = asked("cycle", "-", "--sweep", "--step", "10deg", *faults("power lost opening"), stdin=leaf).text
    expect("the leaf does not pass that angle" in shown, shown)
    record = records("cycle", "-", "--sweep", "--step", "10deg", *faults("power lost opening"), stdin=leaf)[-1]
    expect_equal([record[key] for key in SWEEP_COLUMNS[3:]], ["false"] + [""] * (len(SWEEP_COLUMNS) - 4))


def sweep_not_met():
    """One sentence a direction: how many angles, the first of them, and why."""
    leaf = written(wheel())
    result = not_met(leaf, "--sweep", "--step", "10deg", *faults("power lost opening"))
    told = sentences(result)
    rows = answer("cycle", "-", "--sweep", "--step", "10deg", *faults("power lost opening"), stdin=leaf)["sweep"]
    bad = [row for row in rows if not row["met"]]
    expect(bad and len(told) == 1, told)
    expect(f"at {len(bad)} of {len(rows)} angles" in told[0], told)
    expect(f"from {bad[0]['fault_angle_deg']:.4g} degree it ran past the end of its travel" in told[0], told)
    expect("RUNS PAST" in result.text, result.text)


OF = ("cycle", str(METRIC))
REFUSED = {
    "a fault of no kind": (faults("power cut at 40deg"), ("--fault 'power cut at 40deg': column 1: ",)),
    "an empty fault": (faults(""), ("--fault '': column 1: ",)),
    "an angle beyond the travel": (faults("power lost at 77deg"), ("expected an angle within the travel, 0 to 76 degree",)),
    "an angle beyond any travel": (faults("power lost at 121deg"), ("column 15: ",)),
    "an angle without a unit": (faults("power lost at 40"), ("column 15: ", "unit")),
    "no angle": (faults("power lost"), ("'power lost at 40deg'", "--sweep")),
    "no angle, of one direction": (faults("power lost closing"), ("'power lost at 40deg'", "--sweep")),
    "no angle of a gust": (faults("gust 12 m/s for 8 s"), ("'gust 12 m/s for 8 s at 40deg'", "--sweep")),
    "an angle of what is of the whole run": (faults("brake out at 40deg"), ("column 1",)),
    "--sweep without a fault": (["--sweep"], ("--sweep needs a fault without its angle",)),
    "--sweep with an angle": (["--sweep", *faults("power lost at 40deg")], ("leave 'at ...' out",)),
    "--sweep of what has no angle": (
        ["--sweep", *faults("brake out")],
        ("--fault 'brake out': that is of the whole run", "give beside it the fault to be swept, such as --fault 'power lost'")),
    "--sweep of two": (["--sweep", *faults("power lost", "motor out")], ("2 are given without theirs",)),
    "--sweep with --switches": (["--sweep", "--switches", *faults("power lost")], ("exclude each other",)),
    "--sweep with --operation": (["--sweep", "--operation", *faults("power lost")], ("exclude each other",)),
    "--sweep with --every": (["--sweep", "--every", "1s", *faults("power lost")], ("--every", "--sweep does not have")),
    "--step without --sweep": (["--step", "1deg"], ("--step is the step between the angles of --sweep", "--every")),
    "--sweep in steps too fine": (["--sweep", "--step", "0.001deg", *faults("power lost")], ("0.01 degree or more",)),
    "--drift without --switches": (["--drift", "1deg"], ("--drift", "--switches")),
    "--every 0s": (["--every", "0s"], ("--every 0s: expected a time from 0.001 to 3600 s",)),
    "--every 1, no unit": (["--every", "1"], ("--every 1: ", "unit")),
    "--every 1deg": (["--every", "1deg"], ("--every 1deg: ", "time")),
    "--every nan s": (["--every", "nan s"], ("--every nan s: ",)),
    "--gust of nothing": (["--gust", ""], ("--gust '': column 1: ",)),
    "--gust without a duration": (["--gust", "12 m/s"], ("--gust '12 m/s': column",)),
    "more than 16 faults": (faults(*["power lost at 1deg"] * 17), ("at most 16 faults",)),
    "an unknown case": (["--case", "none such"], ("none such", "'calm'")),
}


def refused(arguments, words):
    expect_refused(run(*OF, *arguments), 2, *words)


def only_one_standard_input():
    expect_refused(run("cycle", "-", "--wind-record", "-", stdin=balanced()), 2, "only one of", "standard input")


def not_for_others():
    """Its help tells its options; other commands do not take them."""
    told = run_well("cycle", "--help").text
    for option in (["--fault", "brake out"], ["--sweep"], ["--gust", "1 Pa for 1 s"], ["--wind-record", "x"], ["--every", "1s"],
                   ["--switches"], ["--drift", "1deg"], ["--operation"]):
        expect(re.search(rf"(?m)^  {option[0]} ", told + " ") or f"  {option[0]} FILE\n" in told, option[0], told)
        expect_refused(run("curve", METRIC, *option), 2, f"takes no {option[0]}")


def cylinders_have_no_motors():
    expect_refused(run("cycle", CYLINDER, *faults("motor out at 40deg")), 2, "cylinders move this leaf, no motors")
    whole = answer("cycle", CYLINDER, *faults("power lost at 40deg"))
    expect_equal({whole[direction]["end"] for direction in DIRECTIONS}, {"stopped"})


for sort in ("power lost", "emergency stop"):
    claim(f"{sort}: rest, time and deceleration in closed form", stops_as_computed, sort)
claim("pedal released: the speed falls as to creep", pedal_released)
claim("motor out: the other motor gives twice", motor_out)
claim("near switch missed: the switch at full speed", near_switch_missed)
claim("brake out: the strongest does not set", brake_out)
claim("a gust begins at its angle", gust_at_an_angle)
for sort in OF_ANGLE:
    claim(f"{sort}, of one direction", one_direction, sort)
claim("each fault in its direction", each_fault_in_its_direction)
claim("with a fault a held rest is enough", rest_is_enough)
claim("--sweep is each angle for itself, and the closed form", swept_as_one_by_one)
claim("--sweep in table, CSV and JSON", sweep_forms)
claim("--sweep of one direction", sweep_of_one_direction)
claim("--sweep: an angle that the leaf does not pass", not_passed)
claim("--sweep: what does not rest is told", sweep_not_met)
for about, (given, told_so) in REFUSED.items():
    claim(f"{about}: refused in words that help", refused, given, told_so)
claim("leaf and record of wind cannot both be standard input", only_one_standard_input)
claim("other commands take none of these options", not_for_others)
claim("cylinders: no motor can be out", cylinders_have_no_motors)

if __name__ == "__main__":
    main()
