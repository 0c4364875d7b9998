# SPDX-License-Identifier: GPL-3.0-or-later
"""Time and memory of the tool on inputs of two sizes, one four times the other: both grow in proportion.

    growth.py TOOL [WORD...]      only the inputs whose names are given

Processor time is measured, which other work on the machine disturbs less than time of the day; four times the input may
take RATIO times as long before it counts as more than in proportion, and less than FLOOR seconds are not judged. What is
kept of an element is the difference of the two peaks of memory over the difference of the sizes. One TAP line a command.
"""

import os
import pathlib
import resource
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[1]
METRIC = str(ROOT / "examples" / "metric.yaml")
RECORD = str(ROOT / "examples" / "records" / "metric.csv")
RATIO, FLOOR, SECONDS = 7.0, 0.15, 300

HEAD = "leaf: grown, invented\nopens_to: 76 degree\ntoe: 20 m\n"
MACHINERY = """\
drive: {ratio: 1200, efficiency: 0.9}
motors: {installed: 2, power: 22 kW, speed: 870 rpm, inertia: 1 kg m2, peak: 2}
travel: {speed: 1.1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 68 degree, near_closed: 7 degree, decelerate_in: 6 s}
wind_limits: {law: projected, coefficient: 1.2}
trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}}
"""
BRAKES = "brakes: [{name: brakes, count: 2, torque: 400 N m, ratio: 1200, delay: 0.3 s, set_time: 0.5 s}]\n"
HOLDING = "holding: [{name: still, wind: {pressure: 20 Pa}}]\n"
DECK = "surfaces: [{name: deck, from: [0 m, 0.8 m], to: [20 m, 0.8 m], width: 8 m}]\n"
MOVED = MACHINERY + BRAKES + HOLDING


def section(name, lines):
    return f"{name}:\n" + "".join(f"  - {{{line}}}\n" for line in lines)


def parts(count, more=""):
    return section("parts", (f"name: part {i}, weight: {1 + i % 7} kN, at: [{i % 40 / 2 - 9} m, {i % 5 / 10} m]"
                             + more.format(i) for i in range(count)))


def leaf_of_parts(count):
    return HEAD + parts(count) + MOVED


def leaf_of_doubts(count):
    return HEAD + parts(count, ", uncertainty: 2 %") + MOVED


def leaf_of_groups(count):
    return HEAD + parts(count, ", uncertainty: {{sd: 2 %, group: batch {}}}") + MOVED


def leaf_of_surfaces(count):
    strips = (f"name: strip {i}, from: [{i % 40 / 2} m, 0.8 m], to: [{i % 40 / 2 + 1} m, 0.9 m], width: 1 m" for i in range(count))
    return HEAD + parts(3) + section("surfaces", strips) + "cases: [{name: windy, wind: {pressure: 1 Pa, law: normal}}]\n" + MOVED


def leaf_of_cases(count):
    cases = (f"name: case {i}, wind: {{pressure: {i % 99} Pa}}" for i in range(count))
    return HEAD + parts(3) + DECK + section("cases", cases) + MOVED


def leaf_of_holdings(count):
    return HEAD + parts(3) + DECK + section("holding", (f"name: hold {i}, wind: {{pressure: {i % 99} Pa}}" for i in range(count))) + \
        MACHINERY + BRAKES


def leaf_of_pockets(count):
    pockets = (f"name: pocket {i}, at: [{-4 - i % 9 / 10} m, 0 m], block: 40 kg, blocks: 1, room: 2" for i in range(count))
    return HEAD + parts(3) + section("pockets", pockets) + MOVED


def leaf_of_brakes(count):
    brakes = (f"name: brake {i}, torque: 1 N m, ratio: 1200, delay: {i % 9 / 10} s, set_time: 0.5 s" for i in range(count))
    return HEAD + parts(3) + section("brakes", brakes) + MACHINERY + HOLDING


def leaf_of_incidences(count):
    table = ", ".join(f"[{90 * i / (count - 1):.9f} degree, {1 + i % 2}]" for i in range(count))
    return HEAD + parts(3) + DECK + MOVED + \
        f"cases: [{{name: windy, wind: {{pressure: 9 Pa, law: incidence, normal_coefficient: [{table}]}}}}]\n"


def leaf_of_twins(count):
    return HEAD + section("parts", ("name: part, weight: 1 kN, at: [1 m, 0 m]" for _ in range(count)))


def leaf_of_unknown_keys(count):
    return HEAD + parts(3) + "".join(f"unknown {i}: 1\n" for i in range(count))


def record(count):
    return "angle [degree],direction,leaf torque [kN m]\n" + "".join(
        f"{8 + 58 * (i // 2 % 1000) / 1000},{('opening', 'closing')[i % 2]},{(100, 60)[i % 2] + i % 7}\n" for i in range(count))


def wind(count):
    return "time [s],speed [m/s]\n" + "".join(f"{i / 1000:.3f},{5 + i % 9}\n" for i in range(count))


# Of each input: who writes it, its larger size, the most bytes an element keeps, and the commands, @ for its file.
INPUTS = {
    "parts": (leaf_of_parts, 100000, 2000, ["weigh @", "curve @ --step 10deg", "explain @", "drive @", "brake @", "wind @ --step 20deg",
                                            "cycle @", "report @", f"measure @ {RECORD}"]),
    "doubts": (leaf_of_doubts, 100000, 24000, ["weigh @", "spread @ --samples 1000 --step 38deg --threads 1"]),
    "groups": (leaf_of_groups, 40000, 24000, ["spread @ --samples 1000 --step 38deg --threads 1"]),
    "surfaces": (leaf_of_surfaces, 80000, 2500, ["weigh @", "curve @ --step 38deg", "drive @", "brake @", "explain @"]),
    "fewer surfaces": (leaf_of_surfaces, 4000, 3000, ["wind @ --step 38deg", "cycle @", "report @"]),
    "cases": (leaf_of_cases, 10000, 12000, ["curve @ --step 38deg", "drive @"]),
    "fewer cases": (leaf_of_cases, 2000, 200000, ["report @"]),
    "holdings": (leaf_of_holdings, 10000, 3000, ["brake @"]),
    "pockets": (leaf_of_pockets, 80000, 2500, ["weigh @", "curve @ --step 38deg"]),
    "brakes": (leaf_of_brakes, 4000, 4000, ["brake @", "cycle @"]),
    "incidences": (leaf_of_incidences, 40000, 2000, ["curve @", "wind @ --step 20deg", "cycle @"]),
    "twins": (leaf_of_twins, 100000, 2000, ["weigh @"]),
    "unknown keys": (leaf_of_unknown_keys, 100000, 1000, ["weigh @"]),
    "record": (record, 1000000, 500, [f"measure {METRIC} @", f"measure {METRIC} @ --ordinary --json"]),
    "wind": (wind, 1000000, 200, [f"cycle {METRIC} --wind-record @"]),
}


def spend(tool, words):
    """Processor time, peak of memory in bytes, and exit status of a run whose results go nowhere."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        nothing = os.open(os.devnull, os.O_RDWR)
        for stream in range(3):
            os.dup2(nothing, stream)
        os.execv(tool, [tool, *words])
    _, status, used = os.wait4(child, 0)
    return used.ru_utime + used.ru_stime, used.ru_maxrss * 1024, os.waitstatus_to_exitcode(status)


def judge(tool, name, command, files, sizes, most):
    """Two runs of a command; the second pair counts where the first was unlucky."""
    for _ in range(2):
        spent = [spend(tool, [str(file) if word == "@" else word for word in command.split()]) for file in files]
        kept = (spent[1][1] - spent[0][1]) / (sizes[1] - sizes[0])
        slow = spent[1][0] > FLOOR and spent[1][0] > RATIO * max(spent[0][0], FLOOR / 4)
        bad = slow or kept > most or spent[0][2] != spent[1][2] or spent[0][2] not in (0, 1, 2)
        if not bad:
            break
    words = command.replace(METRIC, "metric.yaml").replace(RECORD, "metric.csv").replace("@", "FILE")
    print(f"{'not ok' if bad else 'ok'} - {name}, {sizes[0]} and {sizes[1]}: {words}: {spent[0][0]:.2f} and {spent[1][0]:.2f} s, "
          f"{max(kept, 0):.0f} bytes each, status {spent[1][2]}", flush=True)
    return bad


def main():
    tool, only = os.path.abspath(sys.argv[1]), sys.argv[2:]
    bad = 0
    for name, (write, size, most, commands) in INPUTS.items():
        if only and name not in only:
            continue
        sizes = (size // 4, size)
        with tempfile.TemporaryDirectory(prefix="trunnion-") as folder:
            files = [pathlib.Path(folder) / f"grown-{count}" for count in sizes]
            for file, count in zip(files, sizes, strict=True):
                file.write_text(write(count), encoding="utf-8")
            bad += sum(judge(tool, name, command, files, sizes, most) for command in commands)
    return bad > 0


if __name__ == "__main__":
    sys.exit(main())
