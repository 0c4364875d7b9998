# SPDX-License-Identifier: GPL-3.0-or-later
"""cycle from outside: an opening and a closing in time, in every form, against closed forms."""

import itertools
import math
import os
import re

from harness import EXAMPLES, METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, main, run, run_well
from machinery import (
    DEGREE, KINDS, WHEEL_INERTIA, answer, asked, near_enough, random_leaf, records, row_at, table_after, wheel, written,
)
from moving import (
    BRAKE_NM, CLIMB, CREEP, DIRECTIONS, EFFICIENCY, ENDS, EVENTS, FALL, HOLD_KEYS, INERTIA, NEAR_CLOSED, NEAR_OPEN, OPENS_TO,
    RATIO, ROTORS, SPEED, at_event, balanced, events_of, not_met, stopped, travel_time,
)
from pictures import is_script

CYLINDER = ROOT / "examples" / "cylinder.yaml"
RUN_KEYS = {
    "time_s", "peak_motor_Nm", "rms_motor_Nm", "energy_J", "trace", "reached_switch", "switch_speed_deg_s", "at_creep", "end",
    "rest_s", "ready_s", "end_time_s", "end_angle_deg", "end_speed_deg_s", "peak_deceleration_deg_s2", "seat",
    "break_away_Nm", "lag_s", "work",
} | HOLD_KEYS
WORK_KEYS = {
    "motors_J", "driving_J", "potential_J", "kinetic_J", "friction_J", "gears_J", "brakes_J", "wind_J", "seat_J",
}
ROW_KEYS = {"t_s", "angle_deg", "speed_deg_s", "motor_Nm", "limit_Nm", "wind_Pa"}
SEAT_KEYS = {"speed_deg_s", "toe_speed_m_s", "energy_J", "toe_force_N", "buffer_force_N"}
BOTH = answer("cycle", "-", stdin=balanced())


def run_shape(one, cylinders):
    expect_equal(set(one), RUN_KEYS | ({"peak_pressure_Pa"} if cylinders else set()))
    expect_equal(set(one["work"]), WORK_KEYS)
    expect(one["end"] in ENDS, one["end"])
    for key in ("peak_motor_Nm", "rms_motor_Nm", "break_away_Nm"):
        expect_equal(one[key] is None, cylinders, key)
    expect(one["seat"] is None or set(one["seat"]) == SEAT_KEYS, one["seat"])
    expect_equal(one["time_s"] is None, not one["reached_switch"])
    wanted = ROW_KEYS | ({"pressure_Pa"} if cylinders else set())
    expect(one["trace"] and len(one["trace"]) <= 200, f"{len(one['trace'])} rows")
    times = [row["t_s"] for row in one["trace"]]
    expect_equal(times, sorted(set(times)))
    for row in one["trace"]:
        expect_equal(set(row), wanted)
        expect_equal((row["motor_Nm"] is None, row["limit_Nm"] is None), (cylinders, cylinders))


def keys_of(path):
    whole = answer("cycle", path)
    expect_equal(list(whole), ["leaf", "case", "opening", "closing", "events", "faults"])
    expect_equal((whole["case"], whole["faults"]), (answer("curve", path, "--step", "90deg")["cases"][0]["name"], []))
    for direction in DIRECTIONS:
        run_shape(whole[direction], path == CYLINDER)
        of_run = events_of(whole, direction)
        expect_equal([of_run[0]["event"], of_run[0]["t_s"]], ["brakes released", 0])
        expect([event["t_s"] for event in of_run] == sorted(event["t_s"] for event in of_run), "not in order of time", of_run)
    for event in whole["events"]:
        more = {"brake set": {"brake"}, "fault": {"fault"}}.get(event["event"], set())
        expect_equal(set(event), {"t_s", "angle_deg", "event", "direction", "speed_deg_s"} | more)
        expect(event["event"] in EVENTS, event)


def work_is_whole(path):
    """What was given equals the sum of what it went to."""
    whole = answer("cycle", path)
    for direction in DIRECTIONS:
        work = whole[direction]["work"]
        spent = sum(work[key] for key in WORK_KEYS - {"motors_J", "driving_J"})
        largest = max(abs(value) for value in work.values())
        expect(abs(work["motors_J"] - spent) <= 1e-8 * largest, direction, work)
        expect_equal(whole[direction]["energy_J"], work["driving_J"])
        expect(work["driving_J"] >= max(work["motors_J"], 0), work)


def csv_agrees(path):
    whole = answer("cycle", path)
    rows = records("cycle", path)
    expect_equal(list(rows[0]), [
        "case", "direction", "t_s", "angle_deg", "speed_deg_s", "motor_Nm", "limit_Nm", "pressure_Pa", "wind_Pa"])
    traced = [(direction, row) for direction in DIRECTIONS for row in whole[direction]["trace"]]
    expect_equal(len(rows), len(traced))
    for record, (direction, row) in zip(rows, traced):
        expect_equal((record["case"], record["direction"]), (whole["case"], direction))
        for key in set(record) - {"case", "direction"}:
            wanted = row.get(key)
            expect_equal(None if record[key] == "" else float(record[key]), wanted, key)


def table_agrees(path):
    whole = answer("cycle", path)
    text = asked("cycle", path).text
    lines = text.splitlines()
    expect(whole["leaf"] in lines[0] and f"case '{whole['case']}'" in lines[0], lines[0])
    expect("Caution: " in lines[-2] and "licensed engineer" in lines[-1], "no caution ends the table", *lines[-4:])
    numbers = {cells[0]: cells[1:] for cells in table_after(text, "in numbers")[1]}
    for at, direction in enumerate(DIRECTIONS):
        one = whole[direction]
        expect_equal(numbers["time to the full switch"][at], "–" if one["time_s"] is None else f"{one['time_s']:.2f}")
        expect_equal(numbers["angle at the end"][at], f"{one['end_angle_deg'] + 0:.2f}".replace("-0.00", "0.00"))
        expect_equal(numbers["time of the drive at its limit"][at], f"{one['lag_s']:.2f}")
        held = "–" if one["end"] in ("left", "moving") else "none needed" if one["hold_factor"] is None else \
            f"{one['hold_factor']:.2f}" if one["hold_factor"] < 100 else "over 100"
        expect_equal(numbers["brakes hold at the end"][at], held)
    rows = [line for line in lines if re.match(r" *\d+\.\d\d +-?\d+\.\d\d +-?\d+\.\d{3}  \w", line)]
    expect_equal(len(rows), len(whole["events"]))
    for line, event in zip(rows, whole["events"]):
        expect(f"  {event['event']}" in line, line, event)
        near_enough(float(line.split()[0]), event["t_s"], 1, line) if event["t_s"] else None
        for more in ("brake", "fault"):
            expect(event.get(more, "") in line, line, event)


def trapezoid(direction):
    """The drive stays within its law: the times are those of the reference, to the microsecond."""
    one = BOTH[direction]
    expect_equal((one["end"], one["reached_switch"], one["at_creep"], one["safe"], one["lag_s"]),
                 ("arrived", True, True, True, 0))
    near_enough(one["time_s"], travel_time(), 1e-9)
    near_enough(one["switch_speed_deg_s"], CREEP, 1e-9)
    sign, start = (1, 0) if direction == "opening" else (-1, OPENS_TO)
    climbed = SPEED * CLIMB / 2
    at_near = CLIMB + (NEAR_OPEN - climbed) / SPEED
    fallen = FALL * (SPEED + CREEP) / 2
    near = NEAR_OPEN if direction == "opening" else NEAR_CLOSED
    for name, time, angle, speed in (
        ("broke away", 0, start, 0), ("full speed", CLIMB, start + sign * climbed, SPEED), ("near switch", at_near, near, SPEED),
        ("creep", at_near + FALL, near + sign * fallen, CREEP),
        ("full switch", travel_time(), OPENS_TO if direction == "opening" else 0, CREEP),
    ):
        event = at_event(BOTH, direction, name)
        for key, wanted in (("t_s", time), ("angle_deg", angle), ("speed_deg_s", sign * speed)):
            expect(abs(event[key] - wanted) <= 1e-8 * max(1, abs(wanted)), f"{name}: {key}", event, wanted)


def torque_and_energy(direction):
    """Only inertia asks for torque: leaf through gears and ratio, rotors at the shaft."""
    one = BOTH[direction]
    up, down = SPEED / CLIMB * DEGREE, (SPEED - CREEP) / FALL * DEGREE
    driving = (WHEEL_INERTIA * up / RATIO / EFFICIENCY + ROTORS * RATIO * up) / 2
    holding = (WHEEL_INERTIA * down / RATIO * EFFICIENCY + ROTORS * RATIO * down) / 2
    near_enough(one["peak_motor_Nm"], max(driving, holding), 1e-9)
    near_enough(one["break_away_Nm"] + 1, 1, 1e-9)
    squares = driving**2 * CLIMB + holding**2 * FALL
    near_enough(one["rms_motor_Nm"], math.sqrt(squares / travel_time()), 1e-7)
    top, end = SPEED * DEGREE, CREEP * DEGREE
    given = WHEEL_INERTIA * top**2 / 2 / EFFICIENCY + ROTORS * (RATIO * top) ** 2 / 2
    near_enough(one["energy_J"], given, 1e-7)
    taken = (WHEEL_INERTIA * EFFICIENCY + ROTORS * RATIO**2) * (top**2 - end**2) / 2
    near_enough(one["work"]["motors_J"], given - taken, 1e-6)
    lost = WHEEL_INERTIA * ((1 / EFFICIENCY - 1) * top**2 + (1 - EFFICIENCY) * (top**2 - end**2)) / 2
    near_enough(one["work"]["gears_J"], lost, 1e-6)
    near_enough(one["work"]["seat_J" if direction == "closing" else "brakes_J"], INERTIA * end**2 / 2, 1e-6)


def trace_is_the_reference():
    """At every row angle and speed are those of the trapezoid, the torque that of its slope."""
    for direction, sign, start in (("opening", 1, 0), ("closing", -1, OPENS_TO)):
        for row in BOTH[direction]["trace"]:
            if CLIMB < row["t_s"] < CLIMB + 30:
                angle = SPEED * (row["t_s"] - CLIMB / 2)
                wanted, speed, torque = start + sign * angle, SPEED, 0
            elif row["t_s"] <= CLIMB:
                wanted, speed = start + sign * SPEED / CLIMB * row["t_s"] ** 2 / 2, SPEED / CLIMB * row["t_s"]
                torque = BOTH[direction]["peak_motor_Nm"]
            else:
                continue
            if row["t_s"] in (0, CLIMB):
                continue
            expect(abs(row["angle_deg"] - wanted) < 1e-7, row, wanted)
            expect(abs(row["speed_deg_s"] - sign * speed) < 1e-7, row, speed)
            expect(abs(row["motor_Nm"] - torque) < 1e-6, row, torque)
            near_enough(row["limit_Nm"], 9e3 / (900 * 2 * math.pi / 60), 1e-9)


def stop_behind_the_switch():
    """Brakes that ramp up stop the wheel from creep: time and run in closed form."""
    time, run_deg, hardest = stopped(CREEP)
    one = BOTH["opening"]
    near_enough(one["rest_s"], one["time_s"] + time, 1e-8)
    near_enough(one["end_angle_deg"], OPENS_TO + run_deg, 1e-8)
    near_enough(one["peak_deceleration_deg_s2"], hardest, 1e-6)
    for key in ("ready_s", "end_time_s"):
        near_enough(one[key], one["time_s"] + 0.8, 1e-8)
    expect_equal((one["hold_factor"], one["end_speed_deg_s"]), (None, 0))


def seats(seating, stiffness):
    """The toe comes down at creep; a spring takes the energy with a force of sqrt(2 E k)."""
    whole = answer("cycle", "-", stdin=balanced(**({"seating": seating} if seating else {})))
    seat = whole["closing"]["seat"]
    near_enough(seat["speed_deg_s"], CREEP, 1e-9)
    near_enough(seat["toe_speed_m_s"], CREEP * DEGREE * 20, 1e-9)
    energy = INERTIA * (CREEP * DEGREE) ** 2 / 2
    near_enough(seat["energy_J"], energy, 1e-8)
    if stiffness is None:
        expect_equal(seat["toe_force_N"], None)
    else:
        near_enough(seat["toe_force_N"], math.sqrt(2 * energy * stiffness), 1e-4)
    expect_equal(whole["opening"]["seat"], None)
    text = asked("cycle", "-", stdin=balanced(**({"seating": seating} if seating else {}))).text
    expect(f"The toe comes down at {CREEP * DEGREE * 20:.4f} m/s" in text, text)
    expect(("give 'shoe_stiffness'" in text) == (stiffness is None), text)


def holds_in_wind():
    """The factor is the brakes' capacity over the wind of the case at the end, from the worse side."""
    leaf = balanced(cases=[{"name": "calm"}, {"name": "wind", "wind": {"pressure": "90 Pa"}}])
    one = answer("cycle", "-", "--case", "wind", stdin=leaf)["opening"]
    row = row_at(one["end_angle_deg"], leaf, "wind")
    expect(row["wind_opening_Nm"] > 1e3 and one["end_angle_deg"] < OPENS_TO, row)
    near_enough(one["hold_factor"], BRAKE_NM / row["wind_opening_Nm"], 1e-9)
    expect_equal(answer("cycle", "-", stdin=leaf)["opening"]["hold_factor"], None)


def one_case(path):
    names = [case["name"] for case in answer("curve", path, "--step", "90deg")["cases"]]
    for name in names:
        expect_equal(answer("cycle", path, "--case", name)["case"], name)
    expect_refused(run("cycle", path, "--case", "none such"), 2, "none such", *map(repr, names))


def every(step):
    """Rows at every multiple of the step and at the end, and the same run whatever the step."""
    whole = answer("cycle", "-", "--every", step, stdin=balanced())
    seconds = {"0.5s": 0.5, "250 ms": 0.25, "1 min": 60}[step]
    for direction in DIRECTIONS:
        times = [row["t_s"] for row in whole[direction]["trace"]]
        end = whole[direction]["end_time_s"]
        wanted = [i * seconds for i in range(math.floor(end / seconds) + 1)] + [end]
        expect(len(times) == len(wanted) and all(abs(a - b) < 1e-9 for a, b in zip(times, wanted)), times, wanted)
        expect_equal({**whole[direction], "trace": 0}, {**BOTH[direction], "trace": 0})


def trace_in_table():
    """The rows stand in the table where their step was asked for, and only there."""
    expect("Trace" not in asked("cycle", "-", stdin=balanced()).text, "a trace nobody asked for")
    text = asked("cycle", "-", "--every", "10s", stdin=balanced()).text
    for direction in DIRECTIONS:
        rows = table_after(text.split(f"Trace, {direction}\n")[1], "time")[1]
        traced = answer("cycle", "-", "--every", "10s", stdin=balanced())[direction]["trace"]
        expect_equal([cells[:2] for cells in rows], [[f"{row['t_s']:.2f}", f"{row['angle_deg'] + 0:.2f}"] for row in traced])


def gust_in_the_trace():
    """1 - cosine on top of the steady wind, from its start; by pressure and by speed."""
    for text, rise in (("90 Pa for 8 s at 20 s", 90), ("12 m/s for 8 s at 20 s", 0.5 * 1.25 * 144)):
        whole = answer("cycle", "-", "--gust", text, "--every", "1s", stdin=balanced())
        expect_equal(whole["gust"], text)
        for row in whole["opening"]["trace"]:
            share = (1 - math.cos(2 * math.pi * (row["t_s"] - 20) / 8)) / 2 if 20 <= row["t_s"] <= 28 else 0
            wanted = rise * (share if "Pa" in text else share**2)
            expect(abs(row["wind_Pa"] - wanted) < 1e-9 * rise, row, wanted)


def wind_record(from_input):
    data = b"time [s],pressure [Pa]\n0,10\n20,50\n40,50\n60,0\n"
    with folder() as place:
        (place / "leaf.yaml").write_bytes(balanced())
        (place / "wind.csv").write_bytes(data)
        name = "-" if from_input else "wind.csv"
        whole = answer("cycle", "leaf.yaml", "--wind-record", name, "--every", "1s", stdin=data if from_input else None,
                       cwd=place)
        expect_equal(whole["wind_record"], name)
        for row in whole["closing"]["trace"]:
            t = row["t_s"]
            wanted = 10 + 2 * t if t <= 20 else 50 if t <= 40 else max(0, 50 - 2.5 * (t - 40))
            expect(abs(row["wind_Pa"] - wanted) < 1e-9, row, wanted)
        text = asked("cycle", "leaf.yaml", "--wind-record", name, stdin=data if from_input else None, cwd=place).text
        expect(f"wind: by the record {'standard input' if from_input else name}," in text, text)
        for option in ("-o", "--plot"):
            (place / "wind.svg").symlink_to("wind.csv") if option == "--plot" else None
            target = "./wind.csv" if option == "-o" else "wind.svg"
            expect_refused(run("cycle", "leaf.yaml", "--wind-record", "wind.csv", option, target, cwd=place), 2,
                           "would overwrite what is read")
        expect_equal((place / "wind.csv").read_bytes(), data)


def odd_names_of_a_record():
    """Whatever the file's name is, it is never obeyed, and no form of the result breaks on it."""
    for name in (b"x\nsystem 'touch X'\n.csv", b"\xff\xfe.csv", b"'; !touch X; '", b"@GPVAL_TERM `touch X`"):
        with folder() as place:
            (place / os.fsdecode(name)).write_bytes(b"time [s],pressure [Pa]\n0,10\n")
            before = set(os.listdir(place))
            whole = answer("cycle", METRIC, "--wind-record", os.fsdecode(name), cwd=place)
            expect_equal(whole["wind_record"], None if b"\xff" in name else name.decode())
            asked("cycle", METRIC, "--wind-record", os.fsdecode(name), "--plot", "plot.gp", cwd=place)
            is_script((place / "plot.gp").read_bytes())
            expect_equal(set(os.listdir(place)) - before, {"plot.gp"})


def faulty_wind_record():
    for data, words in ((b"time [s],pressure [Pa]\n0,10\nx,50\n", "wind.csv:3:1: "), (b"", "wind.csv:1:1: ")):
        with folder() as place:
            (place / "wind.csv").write_bytes(data)
            expect_refused(run("cycle", METRIC, "--wind-record", "wind.csv", "-o", "out", cwd=place), 2, words)
            expect(not (place / "out").exists(), "something was written")
    expect_refused(run("cycle", METRIC, "--wind-record", "none.csv"), 3, "cannot open none.csv")


def stalls():
    """Too much wind for the motors: said with angle, time and reason, and the result is whole all the same."""
    leaf = balanced(cases=[{"name": "gale", "wind": {"pressure": "3 kPa"}}])
    result = not_met(leaf, "--json")
    one = answer("cycle", "-", stdin=leaf)["opening"]
    expect_equal((one["end"], one["time_s"], one["safe"]), ("stalled", None, False))
    sentence = result.errors.splitlines()[0]
    for word in ("case 'gale', opening", "stands still at", f"{one['end_angle_deg']:.2f} degree", "the power on",
                 "all that the drive gives does not move it"):
        expect(word in sentence, word, sentence)
    expect("drive at its limit" in [event["event"] for event in events_of(answer("cycle", "-", stdin=leaf), "opening")],
           "the limit is not told")


def runs_past_its_end():
    """Without brakes and friction nothing stops the leaf behind its switch."""
    leaf = written(wheel())
    result = not_met(leaf)
    expect("opening: the leaf ran past the end of its travel at 90.00 degree" in result.errors, result)
    expect("nothing described stops it there" in result.errors and "closing" not in result.errors, result)
    expect("NO" not in result.text.split("in numbers")[0] and "left the travel" in result.text, result.text)


def lags_and_arrives():
    """A drive at its limit that arrives all the same is told in the table, and is no failure."""
    leaf = balanced(motors={"installed": 2, "power": "200 W", "speed": "900 rpm", "inertia": "0.5 kg m2", "peak": 1.1})
    result = run_well("cycle", "-", stdin=leaf)
    one = answer("cycle", "-", stdin=leaf)["opening"]
    expect(one["lag_s"] > 0.1 and one["reached_switch"], one["lag_s"])
    expect(f"For {one['lag_s']:.2f} s the drive was at its limit" in result.text, result.text)
    expect("the load asks more: the leaf falls behind its speed" in result.text and "caught up" in result.text, result.text)
    expect(one["time_s"] > travel_time() + 0.05, one["time_s"])


def lacks(section):
    leaf = random_leaf(2, "ratio")
    bare = {key: None for key in (section, *(("duty",) if section in ("motors", "travel") else ()))}
    if section == "travel":
        bare["cases"] = [{"name": "calm"}]
    with folder() as place:
        (place / "leaf.yaml").write_bytes(written(leaf, **bare))
        result = run("cycle", "leaf.yaml", "--json", "-o", "out", cwd=place)
        expect_refused(result, 2, "leaf.yaml:1:1: ", f"'{section}'")
        expect(not (place / "out").exists(), "something was written")


def standard_input_and_file():
    data = METRIC.read_bytes()
    with folder() as place:
        for form in ((), ("--json",), ("--csv",)):
            wanted = run_well("cycle", METRIC, *form).out
            expect_equal(run_well("cycle", "-", *form, stdin=data).out, wanted)
            run_well("cycle", METRIC, *form, "-o", "it", cwd=place)
            expect_equal((place / "it").read_bytes(), wanted)


def random_leaves_end(seed, kind):
    """Whatever the leaf: an end of its list, its work whole, every number finite (JSON has no other)."""
    leaf = random_leaf(seed, kind)
    for case in leaf["cases"]:
        whole = answer("cycle", "-", "--case", case["name"], stdin=written(leaf))
        for direction in DIRECTIONS:
            one = whole[direction]
            run_shape(one, kind == "cylinder")
            work = one["work"]
            spent = sum(work[key] for key in WORK_KEYS - {"motors_J", "driving_J"})
            expect(abs(work["motors_J"] - spent) <= 1e-8 * max(map(abs, work.values())), direction, work)


def additions_count():
    """A what-if changes the run, and stands in heading and JSON."""
    added = ("--add", "ballast: 900 kg at [6 m, 0 m]")
    text = asked("cycle", "-", *added, stdin=balanced()).text
    expect_equal(text.splitlines()[1], "with ballast: 900 kg at [6 m, 0 m]")
    whole = answer("cycle", "-", *added, stdin=balanced())
    expect(whole["additions"] and whole["opening"]["energy_J"] > 1.1 * BOTH["opening"]["energy_J"], whole["opening"]["energy_J"])


for example in EXAMPLES:
    claim(f"{example.stem}: the keys and their types", keys_of, example)
    claim(f"{example.stem}: the work given is the work spent", work_is_whole, example)
    claim(f"{example.stem}: CSV holds the rows of the trace", csv_agrees, example)
    claim(f"{example.stem}: the table shows what JSON holds", table_agrees, example)
for way in DIRECTIONS:
    claim(f"{way}: times, angles and speeds are those of the trapezoid", trapezoid, way)
    claim(f"{way}: torque, root mean square and energy in closed form", torque_and_energy, way)
claim("the trace is the reference at every row", trace_is_the_reference)
claim("behind the switch the brakes stop the leaf as the closed form says", stop_behind_the_switch)
claim("rigid shoes: speed and energy, no force", seats, None, None)
claim("shoes as springs: the force by energy", seats, {"shoe_stiffness": "40 MN/m"}, 40e6)
claim("the brakes hold the wind of the case so many times", holds_in_wind)
claim("--case picks the case, and refuses another", one_case, METRIC)
for given in ("0.5s", "250 ms", "1 min"):
    claim(f"--every {given}: rows at its multiples", every, given)
claim("--every puts the trace into the table", trace_in_table)
claim("--gust: 1 - cosine by pressure and by speed", gust_in_the_trace)
claim("--wind-record: straight lines between its points", wind_record, False)
claim("--wind-record -: standard input", wind_record, True)
claim("names of records of wind that are odd", odd_names_of_a_record)
claim("a faulty record of wind is told by line and column", faulty_wind_record)
claim("a leaf that stalls is told with its reason", stalls)
claim("a leaf that nothing stops is told", runs_past_its_end)
claim("a drive at its limit that arrives is told, and is met", lags_and_arrives)
for missing in ("drive", "motors", "travel"):
    claim(f"no {missing}: refused, nothing written", lacks, missing)
claim("- and -o give what a file and standard output give", standard_input_and_file)
for number, sort in itertools.product((1, 2), KINDS):
    claim(f"random leaf {number}, {sort}: every case has a stated end", random_leaves_end, number, sort)
claim("--add counts", additions_count)

if __name__ == "__main__":
    main()
