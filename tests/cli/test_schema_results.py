# SPDX-License-Identifier: GPL-3.0-or-later
"""The JSON Schemas of the results: every result obeys its schema, and every key of a schema is met in one."""

import atexit
import functools
import os
import re
import shutil
import tempfile

from harness import EXAMPLES, METRIC, ROOT, claim, expect, expect_equal, leaf_text, main, read_json, run
from schemas import NAMES, faults, keys_of, resolved, schema, values_at

RECORDS = ROOT / "examples" / "records"
SOUND = sorted((ROOT / "tests" / "cli" / "valid").glob("*.yaml"))
US = ROOT / "examples" / "us.yaml"
RESULTS = [name for name in NAMES if name != "leaf"]
WHAT_IFS = ("--add", "overlay: 8 kg/m2 on deck", "--add", "cable: 120 kg at [6 m, 0.9 m]")


@functools.lru_cache(maxsize=None)
def record_of_odd_name():
    """A record of wind whose name is no UTF-8, which JSON cannot say."""
    place = tempfile.mkdtemp(prefix="trunnion-")
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    return shutil.copy(RECORDS / "gusty.csv", os.path.join(place, os.fsdecode(b"gusty\xff.csv")))


# Options that keep the results short, and further runs of a command beside one on every leaf file.
SHORT = {
    "curve": ("--step", "40deg"),
    "wind": ("--step", "40deg"),
    "explain": ("--at", "40deg"),
    "ballast": ("--seconds", "5"),
    "cycle": ("--every", "20s"),
    "spread": ("--step", "40deg", "--samples", "512"),
}
FURTHER = {
    "explain": [
        (path, "--at", "12deg", "--case", name)
        for path, name in (
            (METRIC, "working wind"),
            (ROOT / "examples/cylinder.yaml", "hard wind"),
            (ROOT / "examples/linked.yaml", "calm"),
            (ROOT / "examples/strut.yaml", "calm"),
        )
    ],
    "measure": [
        ("-", RECORDS / "metric.csv", "--from", "9deg", "--to", "67deg"),
        (METRIC, RECORDS / "metric.csv"),
        (METRIC, RECORDS / "metric_burst.csv", "--ordinary"),
        (US, RECORDS / "us.csv", "--friction-by-reaction"),
    ],
    "cycle": [
        *(
            (METRIC, *words)
            for words in (
                ("--fault", "power lost at 40deg"),
                ("--fault", "emergency stop at 40deg closing"),
                ("--fault", "power lost at 30deg opening"),
                ("--fault", "motor out at 20deg", "--fault", "brake out"),
                ("--fault", "power lost", "--sweep", "--step", "10deg"),
                ("--switches",),
                ("--switches", "--drift", "9deg"),
                ("--operation",),
                ("--wind-record", record_of_odd_name(), "--every", "20s"),
                ("--gust", "12 m/s for 8 s at 20 s", "--wind-record", RECORDS / "gusty.csv", "--every", "20s"),
            )
        ),
        *(
            ("-", *words)
            for words in (
                ("--every", "20s"),
                ("--fault", "power lost", "--sweep", "--step", "20deg"),
                ("--switches",),
                ("--operation",),
            )
        ),
        *(
            (ROOT / "examples/cylinder.yaml", *words)
            for words in (("--fault", "power lost", "--sweep", "--step", "20deg"), ("--switches",))
        ),
    ],
    "spread": [(METRIC, "--case", "calm", "--step", "40deg", "--samples", "512", "--seed", "18446744073709551615")],
    "ballast": [
        (METRIC, "--record", RECORDS / "metric.csv"),
        (METRIC, "--add", "fault: -30 t at [20 m, 0 m]"),
        (US, "--add", "fault: 9 t at [15 m, 0 m]"),
    ],
}

TRAVEL = (
    "travel: {speed: 2 deg/s, accelerate_in: 2 s, creep: 20 %, decelerate_in: 2 s,"
    " near_open: 60 degree, near_closed: 10 degree}\n"
)
BRAKE = "brakes: [{name: b, torque: 3 kN m, ratio: 900, delay: 0 s, set_time: 0 s}]\n"
WEAK_BRAKE = "brakes: [{name: b, torque: 1 N m, ratio: 9, delay: 1 s, set_time: 1 s, heat_capacity: 20 kJ/K}]\n"
DRIVE = "drive: {ratio: 900, efficiency: 0.9}\nmotors: {installed: 2, power: 30 kW, speed: 900 rpm}\n"
POCKET = "pockets: [{name: p, at: [-5 m, 0 m], block: 400 N, blocks: 2, room: 4}]\n"
SECTIONS = {
    "no neutral angle, no trunnion": "",
    "brakes too weak to stop": WEAK_BRAKE + "holding: [{name: calm}]\n" + TRAVEL,
    "two motors, no travel": DRIVE,
    "an uncertain part and no drive": "uncertainties: [{of: x, on: span, sd: 20 mm}]\n",
    "brakes alone in wind": BRAKE + "wind_limits: {}\n",
    "a toe_reaction out of reach": POCKET
    + "balance_target: {toe_reaction: [9 kN, 9.1 kN], angle: [20 degree, 50 degree]}\n",
    "an angle out of reach": POCKET + "balance_target: {toe_reaction: [8 kN, 9 kN], angle: [30 degree, 40 degree]}\n",
    "windows beside each other": POCKET
    + "balance_target: {toe_reaction: [8 kN, 9 kN], angle: [100 degree, 120 degree]}\n",
    "an A out of reach": POCKET + "balance_target: {A: [250 kN m, 260 kN m], B: [90 kN m, 110 kN m]}\n",
    "a B out of reach": POCKET + "balance_target: {A: [150 kN m, 250 kN m], B: [-20 kN m, -10 kN m]}\n",
    "both out of reach": POCKET + "balance_target: {A: [900 kN m, 910 kN m], B: [-20 kN m, -10 kN m]}\n",
}
BALANCED = (
    "leaf: nothing to hold\nopens_to: 80 degree\ntoe: 9 m\n"
    "parts: [{name: all of it, weight: 9 t, at: [0 m, 0 m]}]\nholding: [{name: calm}]\n"
)
# A leaf that a gale stalls and carries away, and one for a record of another.
GALE = (
    DRIVE
    + TRAVEL
    + "surfaces: [{name: deck, from: [0 m, 0 m], to: [24 m, 0.2 m], width: 9 m}]\n"
    + "steps: [{name: raise, motion: raise}, {name: lower, motion: lower}]\n"
    + "cases: [{name: gale, wind: {pressure: 2 kPa}}]\n"
)
FROM_INPUT = {"cycle": GALE, "measure": SECTIONS["two motors, no travel"]}


def bodies():
    """Every leaf that is tried: a name and what is given to the tool, a path or a text."""
    yield from ((str(path.relative_to(ROOT)), path, None) for path in (*EXAMPLES, *SOUND))
    yield from ((f"a leaf with {words}", "-", leaf_text(sections=lines)) for words, lines in SECTIONS.items())
    yield "a balanced leaf", "-", (BALANCED + BRAKE).encode()


def runs_of(command):
    if command != "measure":
        # A report runs all commands: what the sound files try, the results of those have tried.
        tried = (body for body in bodies() if command != "report" or body[1] not in SOUND)
        yield from ((name, (leaf, *SHORT.get(command, ())), text) for name, leaf, text in tried)
    text = leaf_text(sections=FROM_INPUT.get(command, ""))
    yield from (
        (" ".join(map(str, words)), words, text if words[0] == "-" else None) for words in FURTHER.get(command, [])
    )
    if command != "measure":
        yield f"{METRIC.name} with what-ifs", (METRIC, *SHORT.get(command, ()), *WHAT_IFS), None


def block_of(page):
    """The numbers that a report carries, as a program finds them."""
    return re.search(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)[1]


@functools.lru_cache(maxsize=None)
def results_of(command):
    """The results of a command, each with the name of its run; a leaf that lacks a section has none."""
    found = []
    for name, words, text in runs_of(command):
        result = run(command, *words, *([] if command == "report" else ["--json"]), stdin=text)
        expect(
            result.status in (0, 1) or (result.status == 2 and "the description needs" in result.errors), name, result
        )
        if result.status != 2:
            found.append((name, read_json(block_of(result.text) if command == "report" else result.text)))
    return found


def obeys(command):
    results = results_of(command)
    expect(len(results) >= 3, f"only {len(results)} results")
    for name, value in results:
        found = faults(command, value)
        expect(not found, name, *found)


def seen(command):
    """What is met of each key of an object of the schema, wherever the object stands: its name, piece, values."""
    found = {}
    for path, owner, piece in keys_of(command):
        _, values = found.setdefault((owner, path[-1]), (piece, []))
        for _, result in results_of(command):
            values += values_at(result, path)
    return [(key, piece, values) for (_, key), (piece, values) in found.items()]


def every_key_is_met(command):
    """In some result; that no result has another key is for its schema to say, where no further one is allowed."""
    never = [key for key, _, values in seen(command) if not values and key not in ("additions", "file")]
    expect(not never, "in the schema, and in no result", *never)
    for path, _, piece in keys_of(command):
        if "properties" in (whole := resolved(command, piece)):
            expect(whole["additionalProperties"] is False, f"{path}: further keys are allowed")


def may_be_null(piece):
    return (
        "null" in piece.get("type", []) or {"type": "null"} in piece.get("anyOf", []) or None in piece.get("enum", [])
    )


def every_null_is_met(command):
    """Where a schema allows null, some result has it, and some has a value."""
    for key, piece, values in seen(command):
        if may_be_null(piece) and key != "file":
            expect_equal(
                {value is None for value in values},
                {True, False},
                f"{command}: {key}: whether null is met, whether a value is",
            )


def what_ifs_are_told(command):
    value = dict(results_of(command))[f"{METRIC.name} with what-ifs"]
    expect_equal(value["additions"], list(WHAT_IFS[1::2]))


def several_leaves_are_told(command):
    """Every element of the array obeys, and says which file it is of; one that cannot be read is null."""
    result = run(command, METRIC, "missing.yaml", METRIC.parent / "us.yaml", "--json")
    expect(result.status == 3, result)
    values = read_json(result.text)
    expect_equal([value and value["file"] for value in values], [str(METRIC), None, str(METRIC.parent / "us.yaml")])
    for value in (*values[::2], values):
        expect_equal(faults(command, value), [])
    alone = read_json(run(command, METRIC, "--json").text)
    for wrong in (values[:1], [values[0], alone], [values[0], values], [values[0], 3], [values[0], {}]):
        expect(faults(command, wrong), "an array that the tool never gives is taken", wrong)


def events_are_those_of_the_header():
    header = (ROOT / "include/trunnion/run.h").read_text(encoding="utf-8")
    told = re.findall(r'X\(TRN_EVENT_\w+, "([^"]+)"\)', header)
    expect(len(told) > 10, told)
    expect_equal(schema("cycle")["$defs"]["event"]["properties"]["event"]["enum"], told)


def totals_are_the_same():
    weigh = {
        key: piece for key, piece in schema("weigh")["properties"].items() if key not in ("leaf", "parts", "additions", "file")
    }
    expect_equal(schema("ballast")["$defs"]["totals"]["properties"], weigh)
    row = schema("curve")["$defs"]["row"]["properties"]
    expect_equal({key: schema("explain")["properties"].get(key) for key in row}, row)


def series_are_whole():
    """Every line and readout has its series; every series has a line; those of an angle have a value at each angle."""
    for name, block in results_of("report"):
        series = block["series"]
        used = {line["series"] for chart in block["charts"] for line in chart["lines"]}
        used |= {readout["series"] for readout in block["readouts"]}
        axes = {"angle_deg", "opening time_s", "closing time_s"}
        expect(used <= set(series), name, used - set(series))
        expect_equal({one for one in set(series) - used - axes if not one.startswith("case ")}, set(), name)
        for key, values in series.items():
            run_of = key.split(" ")[0]
            axis = f"{run_of} time_s" if run_of in ("opening", "closing") else "angle_deg"
            expect_equal(len(values), len(series[axis]), name, key)


for name in RESULTS:
    claim(f"every result of {name} obeys its schema", obeys, name)
    claim(f"every key of the schema of {name} is met in a result", every_key_is_met, name)
    claim(f"every null of the schema of {name} is met in a result, and a value too", every_null_is_met, name)
    if name != "measure":
        claim(f"{name} tells what-ifs as its schema says", what_ifs_are_told, name)
for name in ("weigh", "curve", "drive", "brake", "wind", "cycle"):
    claim(f"{name} of several leaves gives an array of what its schema says", several_leaves_are_told, name)
claim("every series of a report is of its length and is drawn", series_are_whole)
claim("the events of cycle are those of the header", events_are_those_of_the_header)
claim("what two results share, their schemas tell alike", totals_are_the_same)

if __name__ == "__main__":
    main()
