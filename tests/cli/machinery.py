# SPDX-License-Identifier: GPL-3.0-or-later
"""Leaves with drives, motors and brakes, written at random or by hand, and what is asked of every answer about them."""

import math
import random
import re

from harness import Failed, expect, expect_equal, read_csv, read_json, run
from worked import FT, LBF, SHOWN

KINDS = ("ratio", "rack", "strut", "cylinder")
ROTATING = ("ratio", "rack", "strut")
DEGREE = math.pi / 180
UNITS = {**SHOWN, "kW": 1e3, "hp": 550 * FT * LBF, "°": 1, "%": 0.01, "m/s": 1, "kn": 1852 / 3600, "": 1}
TRAVEL = {
    "speed": "1.2 deg/s", "accelerate_in": "6 s", "creep": 0.15, "near_open": "52 degree", "near_closed": "8 degree",
    "decelerate_in": "5 s",
}


def flow(value):
    """YAML in flow style; a string stands as it is, so that a quantity stays a plain scalar."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(flow, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return value if isinstance(value, str) else repr(value)


def written(sections, **changes):
    """The bytes of a leaf file: its sections with changes, of which None takes a section away."""
    whole = {**sections, **changes}
    return "".join(f"{key}: {flow(value)}\n" for key, value in whole.items() if value is not None).encode()


def point(x, y):
    return [f"{x!r} m", f"{y!r} m"]


def random_drive(draw, kind):
    near = draw.uniform
    if kind == "strut":
        return {
            "strut": {
                "on_leaf": point(near(2.4, 2.8), near(1.2, 1.6)), "pinion": point(near(-4.8, -4.4), near(6, 6.4)),
                "pinion_radius": "0.28 m", "ratio": near(100, 130),
            },
            "efficiency": [0.96, 0.96, near(0.85, 1)],
        }
    if kind == "cylinder":
        return {
            "cylinder": {
                "on_leaf": point(near(2, 2.4), near(-0.6, -0.4)), "anchor": point(near(0.7, 1), near(-3.8, -3.4)),
                "bore": "200 mm", "rod": "130 mm", "count": draw.randint(1, 3), "pressure": f"{near(60, 150)!r} bar",
            },
            "efficiency": near(0.85, 1),
        }
    drive = {"ratio": near(900, 1600), "efficiency": [0.96, near(0.85, 1)]}
    if kind == "rack":
        drive["rack"] = {"radius": "2.9 m", "pinion": f"{near(-150, -90)!r} degree", "pressure_angle": "20 degree"}
    return drive


def random_wind(draw):
    law = draw.choice(("projected", "normal", "incidence"))
    wind = {"law": law}
    if law == "incidence":
        flat, steep = draw.uniform(0.6, 0.9), draw.uniform(1, 1.4)
        wind["normal_coefficient"] = [["0 degree", 0], ["20 degree", flat], ["90 degree", steep]]
    else:
        wind["coefficient"] = draw.uniform(0.8, 1.6)
    if draw.random() < 0.4:
        wind["profile"] = {"exponent": 0.16, "reference_height": "10 m", "trunnion_height": "9 m", "lowest": "2 m"}
    return wind


def random_leaf(seed, kind):
    """An invented leaf near its balance, with all that drive, brake and wind ask for: a dictionary of its sections."""
    draw = random.Random(f"{seed} {kind}")
    near = draw.uniform
    toe, weight, arm = near(14, 24), near(500, 1200), near(4.5, 6.5)
    span = weight * (toe - 2) / 2
    limits = {**random_wind(draw), "friction": draw.choice(("moving", "starting")), "motor_limit": near(0.9, 1.6),
              "hold_factor": near(1, 1.5)}
    installed = draw.randint(2, 3)
    return {
        "leaf": f"leaf {seed} {kind}", "opens_to": f"{near(60, 85)!r} degree", "toe": f"{toe!r} m",
        "parts": [
            {"name": "span", "weight": f"{weight!r} kN", "from": ["-2 m", "-0.5 m"], "to": point(toe, 0.1)},
            {"name": "counterweight", "weight": f"{span * near(0.96, 1.02) / arm!r} kN",
             "at": point(-arm, near(-0.5, 0.3)), "gyration": "1 m"},
        ],
        "surfaces": [
            {"name": "deck", "from": ["0.5 m", "0.8 m"], "to": point(toe, 0.8), "width": f"{near(5, 9)!r} m",
             "solidity": near(0.5, 1), "ice": True},
            {"name": "heel", "from": point(-arm - 1, 1), "to": ["-3.5 m", "0.7 m"], "width": "6 m"},
        ],
        "trunnion": {"journal_diameter": f"{near(300, 480)!r} mm", "friction": {"starting": 0.18, "moving": 0.12}},
        "drive": random_drive(draw, kind),
        "motors": {"installed": installed, "running": draw.randint(1, installed), "power": f"{near(30, 60)!r} kW",
                   "speed": "900 rpm", "inertia": "0.8 kg m2"},
        "brakes": [
            {"name": "motor brakes", "count": 2, "torque": f"{near(300, 700)!r} N m", "ratio": 1300, "delay": "0.3 s",
             "set_time": "0.5 s", "heat_capacity": "21 kJ/K"},
            {"name": "slow brake", "torque": f"{near(5, 11)!r} kN m", "ratio": 90, "delay": "0.8 s",
             "set_time": "0.9 s"},
        ],
        "travel": TRAVEL,
        "cases": [
            {"name": "calm"},
            {"name": "start", "friction": "starting", "accelerating": True, "motor_limit": 1.8},
            {"name": "wind", "wind": {"speed": f"{near(5, 15)!r} m/s", **random_wind(draw)}},
            {"name": "ice", "wind": {"pressure": "300 Pa", "law": "normal"}, "ice": "120 Pa", "motor_limit": 1.8},
        ],
        "holding": [
            {"name": "storm", "wind": {"speed": f"{near(15, 30)!r} m/s", **random_wind(draw)}, "ice": "60 Pa"},
            {"name": "credit", "wind": {"pressure": "700 Pa", "law": "normal"}, "factor": 1.2, "friction_credit": 0.4},
        ],
        "wind_limits": limits,
        "posted_wind": "47 km/h",
        "duty": {"openings_per_hour": 2, "hold_open": "5 min"},
    }


def wheel(**changes):
    """A leaf in perfect balance and without friction, all of it inertia: J = 400 kN / g0 x (3 m)2."""
    leaf = {
        "leaf": "wheel", "opens_to": "60 degree", "toe": "20 m",
        "parts": [{"name": "wheel", "weight": "400 kN", "at": ["0 m", "0 m"], "gyration": "3 m"}],
        "surfaces": [{"name": "deck", "from": ["0.5 m", "0.8 m"], "to": ["18 m", "0.8 m"], "width": "7 m"}],
        "drive": {"ratio": 1000, "efficiency": 0.8},
        "motors": {"installed": 2, "power": "9 kW", "speed": "900 rpm", "inertia": "0.5 kg m2"},
        "travel": TRAVEL,
    }
    return {**leaf, **changes}


def of_one_brake(brake):
    """What one brake of an entry holds at the leaf, N m."""
    value, unit = brake["torque"].split(" ", 1)
    return float(value) * {"N m": 1, "kN m": 1e3}[unit] * brake["ratio"]


def capacities(leaf):
    """Of all brakes, and of all but the strongest at the leaf."""
    whole = sum(of_one_brake(brake) * brake.get("count", 1) for brake in leaf["brakes"])
    return whole, whole - max(map(of_one_brake, leaf["brakes"]))


WHEEL_INERTIA = 400e3 / 9.80665 * 9


def sentences(result):
    """What standard error says is not met; every line of it is such a sentence."""
    lines = [line for line in result.errors.splitlines() if not line.startswith("trunnion: warning: ")]
    for line in lines:
        expect(line.startswith("trunnion: not met: "), "something else on standard error", result)
    return [line.removeprefix("trunnion: not met: ") for line in lines]


def asked(*arguments, **options):
    """A run that answers whole, whether all is met (status 0, silence) or not (1 and sentences)."""
    result = run(*arguments, **options)
    expect(result.status in (0, 1), "expected exit status 0 or 1", result)
    expect_equal(result.status, int(bool(sentences(result))), "status against sentences", result)
    sentences(result)
    return result


def answer(*arguments, **options):
    return read_json(asked(*arguments, "--json", **options).text)


def records(*arguments, **options):
    """The CSV to the letter of RFC 4180, a dictionary for each row."""
    text = asked(*arguments, "--csv", **options).text
    expect(text.endswith("\r\n") and "\n" not in text.replace("\r\n", ""), "a line does not end with CR LF", text[:600])
    header, *rows = read_csv(text)
    expect(rows and all(len(row) == len(header) for row in rows), "the rows differ in length", text[:600])
    expect_equal(len(set(header)), len(header), "a column stands twice", header)
    return [dict(zip(header, row)) for row in rows]


def same_in_csv(row, record, columns):
    """The record of these columns holds the same numbers, truths and nothings as the JSON object."""
    expect(set(columns) <= set(record), "columns are missing", sorted(set(columns) - set(record)))
    for key in set(record) & set(row):
        text, value = record[key], row[key]
        if value is None:
            expect_equal(text, "", key)
        elif isinstance(value, bool):
            expect_equal(text, str(value).lower(), key)
        else:
            expect_equal(float(text) if isinstance(value, float) else text, value, key)


def table_after(text, first):
    """The table whose heading starts with this word: unit and cells of each column, and the lines."""
    lines = text.splitlines()
    at = next(i for i, line in enumerate(lines) if re.match(rf"\s*{first}(\s\s|$)", line))
    rule = next(i for i in range(at, len(lines)) if re.fullmatch(r"-+", lines[i]))
    end = next((i for i in range(rule, len(lines)) if not lines[i].strip()), len(lines))
    return lines[at:rule], [re.split(r"\s{2,}", line.strip()) for line in lines[rule + 1:end]]


def shows(cell, value, unit):
    """The cell of a table is this number in this unit, rounded to the decimals that it shows."""
    decimals = len(cell.partition(".")[2])
    wanted = value / UNITS[unit]
    slack = 0.5000001 * 10.0**-decimals + 1e-12 * abs(wanted)
    expect(abs(float(cell) - wanted) <= slack, f"{cell} {unit} for {value!r}")


def near_enough(got, wanted, share, *about):
    if not abs(got - wanted) <= share * max(abs(got), abs(wanted)):
        raise Failed("\n".join(map(str, (*about, f"got      {got!r}", f"expected {wanted!r}"))))


def row_at(angle_deg, leaf, name):
    """The row of curve at an angle of the travel: both ends are always there, and every multiple of the step."""
    step = angle_deg if angle_deg > 0.02 else 1
    whole = answer("curve", "-", "--case", name, "--step", f"{step!r}deg", stdin=leaf)["cases"][0]["rows"]
    return min(whole, key=lambda row: abs(row["angle_deg"] - angle_deg))


def has_keys(thing, keys, more=()):
    """All of these keys; more may be there, others not."""
    expect(set(keys) <= set(thing), "keys are missing", sorted(set(keys) - set(thing)))
    expect(set(thing) <= set(keys) | set(more), "keys that nobody knows", sorted(set(thing) - set(keys) - set(more)))


def type_of(key):
    if key in ("name", "direction", "leaf", "action"):
        return str
    return bool if key in ("met", "stops", "comes_down_again") else float


def has_types(thing, nulls=()):
    for key, value in thing.items():
        if key in nulls:
            expect_equal(value, None, key)
        elif not isinstance(value, (list, dict)):
            expect(type(value) is type_of(key), f"{key} is {value!r}")
