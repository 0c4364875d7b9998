# SPDX-License-Identifier: GPL-3.0-or-later
"""Where the motors' own law gives less at the travel's speed than is allowed: drive, wind, explain and report say it."""

import re

from harness import METRIC, ROOT, claims, expect, expect_equal, folder, main, read_json, run
from machinery import near_enough
from webpage import Page, text_of

STRUT = (ROOT / "examples" / "strut.yaml").read_text(encoding="utf-8")
M_S = {"m/s": 1, "km/h": 1 / 3.6, "mph": 0.44704, "kn": 1852 / 3600}
MOVES = ["raise", "lower", "raise, one motor out", "lower, one motor out"]
ENOUGH = METRIC.read_text(encoding="utf-8")
# Drives of 1.0 times rated torque and a limit of 1.5.
SHORT = ENOUGH.replace("peak: 2.0, law", "peak: 1.0, law").replace("posted_wind: 47 km/h", "posted_wind: 105 km/h")


def told(command, leaf, *more):
    return run(command, "-", *more, stdin=leaf.encode())


def warnings(result):
    start = "trunnion: warning: "
    return [line.removeprefix(start) for line in result.errors.splitlines() if line.startswith(start)]


def limits_of(leaf):
    return {limit["action"]: limit for limit in read_json(told("wind", leaf, "--json").text)["limits"]}


@claims("drive warns where the shafts of a strut's motors turn too fast, though most torque is asked elsewhere")
def drive_of_a_strut():
    leaf = STRUT.replace("speed: 1.2 deg/s", "speed: 1.25 deg/s")
    expect(leaf != STRUT, "the example has another speed")
    result = told("drive", leaf, "--case", "calm", "--json")
    words = re.fullmatch(
        r"case 'calm', opening: (\S+) N m are asked of each motor at (\S+) degree and (\S+) rpm, "
        r"where its law gives 0 N m",
        *warnings(result),
    )
    asked, angle, rpm = map(float, words.groups())
    expect(abs(rpm - 1000) < 0.5, "not at synchronous speed", words[0])
    opening = read_json(result.text)["cases"][0]
    expect(abs(angle - opening["worst_angle_deg"]) > 5 and asked < opening["motor_Nm"], words[0], opening)
    row = read_json(told("curve", leaf, "--case", "calm", "--step", "0.01deg", "--json").text)["cases"][0]["rows"]
    nearest = min(row, key=lambda at: abs(at["angle_deg"] - angle))
    expect(abs(nearest["motor_opening_Nm"] - asked) < 0.01 * asked, nearest, words[0])


@claims("drive does not warn where the law gives enough at every angle")
def drive_that_follows():
    expect_equal(warnings(told("drive", STRUT.replace("speed: 1.2 deg/s", "speed: 0.9 deg/s"), "--case", "calm")), [])


@claims("wind: the limits are those of motor_limit, and beside them stands what the law is enough for")
def wind_by_law():
    with_enough, with_less = limits_of(ENOUGH), limits_of(SHORT)
    as_limited = limits_of(SHORT.replace("motor_limit: 1.5, hold_factor", "motor_limit: 1.0, hold_factor"))
    for action, limit in with_less.items():
        expect_equal(limit["limit_m_s"], with_enough[action]["limit_m_s"])
        expect_equal((action in MOVES, "by_law" in with_enough[action]), ("by_law" in limit, False))
        if action in MOVES:
            expect(limit["by_law"]["limit_m_s"] < limit["limit_m_s"], limit)
    for action in ("raise", "lower"):
        # Where the motors drive at the limit, it is that of 1.0 times rated torque.
        near_enough(with_less[action]["by_law"]["limit_m_s"], as_limited[action]["limit_m_s"], 1e-9)


@claims("wind: standard error, table and card say it, and that the posted limit is beyond the law")
def wind_is_told():
    limits = limits_of(SHORT)
    result = told("wind", SHORT)
    expect_equal(result.status, 0)
    expect_equal(warnings(result), [
        f"to {action} the leaf the motors' law gives less at the travel's speed than motor_limit x rated: enough up to "
        f"{limits[action]['by_law']['limit_m_s']:.4g} m/s, at {limits[action]['by_law']['angle_deg']:.4g} degree"
        for action in ("raise", "lower")
    ])
    lines = re.findall(r"\n  to (.*): up to (.*), at (\S+)°", result.text)
    expect_equal([action for action, _, _ in lines], MOVES)
    with folder() as place:
        run("wind", "-", "--plot", "card.gp", stdin=SHORT.encode(), cwd=place)
        card = (place / "card.gp").read_text(encoding="utf-8")
    for action, speeds, angle in lines:
        by_law = limits[action]["by_law"]
        words = ", ".join(f"{by_law['limit_m_s'] / size:.1f} {unit}" for unit, size in M_S.items())
        expect(speeds.startswith(words + ", Beaufort "), speeds, words)
        expect_equal(angle, f"{by_law['angle_deg']:.4g}")
        expect(f"to {action}: {speeds}" in card, action, card[:3000])
    expect("met with nothing out.\nWhat the motors' law gives is NOT enough up to it.\n" in result.text, result.text)
    expect("What the motors give is enough only up to:" in card, card[:3000])
    expect("It lies ABOVE a limit: do not rely on it." in card, card[:3000])
    for calmer in (SHORT.replace("posted_wind: 105 km/h", "posted_wind: 40 km/h"), ENOUGH):
        result = told("wind", calmer)
        expect("NOT enough" not in result.text and "met with nothing out" in result.text, result.text)
    expect("law" not in result.text and not warnings(result), result)


@claims("explain: the step of what the law gives stands where it is less, and there alone")
def explained():
    words = "motors' law: what it gives at the travel's speed: LESS than motor_limit × rated"
    expect(words in told("explain", SHORT, "--at", "60deg").text, "it is not told")
    expect(words not in told("explain", ENOUGH, "--at", "60deg").text, "it is told without need")


def reported_parts(leaf):
    page = Page(told("report", leaf).text)
    return text_of(page.by_id("drive")), text_of(page.by_id("wind"))


@claims("report: notes on the lines of the drive and on the wind card")
def reported():
    drive, wind = reported_parts(SHORT)
    expect("more torque is asked of a motor, at some angle, than its torque law" in drive, drive)
    for action in MOVES:
        words = f"to {action} the motors' law gives less at the travel's speed than 1.5 times rated torque"
        expect(words in wind, wind)
    expect("What the motors' law gives is not enough up to it." in wind, wind)
    _, wind = reported_parts(ENOUGH)
    expect("motors' law gives" not in wind, wind)


main()
