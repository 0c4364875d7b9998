# SPDX-License-Identifier: GPL-3.0-or-later
"""cycle: what a run must do, and the words for what it did not: not held, too fast, run back, past its end, landed hard."""

import math
import re

from harness import METRIC, ROOT, claim, expect, expect_equal, folder, main
from machinery import DEGREE, answer, asked, near_enough, row_at, wheel, written
from moving import BRAKE, CREEP, DELAY, FALL, OPENS_TO, SPEED, across, balanced, not_met, stopped

STRUT = ROOT / "examples" / "strut.yaml"


def rests_and_is_not_held():
    """Friction alone keeps the leaf where it is: no brake holds it."""
    leaf = written(wheel(
        trunnion={"journal_diameter": "500 mm", "friction": {"starting": 0.5, "moving": 0.4}},
        motors={"installed": 2, "power": "90 kW", "speed": "900 rpm", "inertia": "0.5 kg m2"},
        cases=[{"name": "breeze", "wind": {"pressure": "20 Pa"}}]))
    result = not_met(leaf)
    one = answer("cycle", "-", stdin=leaf)["opening"]
    expect_equal((one["hold_factor"], one["hold_capacity_Nm"], one["hold_wind_Pa"], one["met"]), (0, 0, 20, False))
    near_enough(one["hold_demand_Nm"], row_at(one["end_angle_deg"], leaf, "breeze")["wind_opening_Nm"], 1e-3)
    expect(f"there the brakes do NOT hold: 0.0000 against {one['hold_demand_Nm'] / 1e3:.4f} kN m, 0.00 times, in a wind of "
           "20.00 N/m², no friction credited; it rests by friction only" in result.errors, result)
    swept = not_met(leaf, "--sweep", "--step", "30deg", "--fault", "power lost opening").text
    expect("rests by friction only, NOT HELD" in swept, swept)


def arrives_too_fast():
    """A near switch too late: said in the table, with the speed."""
    late = {**wheel()["travel"], "near_open": "58 degree"}
    result = not_met(balanced(travel=late))
    speed = math.sqrt(SPEED**2 - 2 * (SPEED - CREEP) / FALL * 2)
    words = f"It was NOT down to creep at the full switch, but at {speed:.3f} °/s"
    expect(words + ": see 'trunnion cycle --switches'.\n" in result.text, result.text)
    expect(words in result.errors and "closing" not in result.errors, result)
    one = answer("cycle", "-", stdin=balanced(travel=late))["opening"]
    expect_equal((one["safe"], one["met"], one["at_creep"]), (True, False, False))


def no_switch_helps():
    """A switch that is missed, or motors that no place lets come down to creep: no hint at --switches."""
    weak = balanced(motors={"installed": 2, "power": "2 W", "speed": "900 rpm", "inertia": "0.5 kg m2"},
                    cases=[{"name": "wind", "wind": {"pressure": "0.5 Pa", "from": "heel"}}])
    for text in (asked("cycle", "-", "--fault", "near switch missed opening", stdin=balanced()).text, not_met(weak).text):
        expect("NOT down to creep" in text and "--switches" not in text, text)


def lands_hard():
    """A closing near switch too late: the landing is told in the headline, on standard error and in the sweep's row."""
    leaf = balanced(travel={**wheel()["travel"], "near_closed": "2 degree"})
    speed = math.sqrt(SPEED**2 - 2 * (SPEED - CREEP) / FALL * 2)
    words = f"LANDED HARD at {speed * DEGREE * 20:.4f} m/s"
    result = not_met(leaf)
    expect(re.search(rf"\nClosing: the leaf .*, {words};\n", result.text), result.text)
    expect(words in result.errors and "opening" not in result.errors, result)
    missed = ("--fault", "near switch missed closing")
    hard = f"LANDED HARD at {SPEED * DEGREE * 20:.4f} m/s"
    expect(hard in not_met(balanced(), *missed).errors, "a fault excuses a hard landing")
    swept = not_met(balanced(), "--sweep", "--step", "60deg", *missed, "--fault", "gust 1 Pa for 1 s closing")
    expect(f"arrives, {hard}\n" in swept.text and hard in swept.errors, swept)


def runs_back():
    """Weak brakes and a wind against the leaf: it runs back further than 2 degrees, which is told in the same words."""
    leaf = written(wheel(cases=[{"name": "wind", "wind": {"pressure": "60 Pa"}}],
                         brakes=[{**BRAKE, "set_time": "6 s", "delay": "3 s"}]))
    result = not_met(leaf, "--fault", "power lost at 40deg opening")
    one = answer("cycle", "-", "--fault", "power lost at 40deg opening", stdin=leaf)["opening"]
    expect(one["ran_back_deg"] > 2 and one["hold_factor"] > 1 and not one["met"] and not one["safe"], one)
    words = f"RAN BACK by {one['ran_back_deg']:.2f}°"
    expect(re.search(rf"\nOpening: the leaf .*, {words};\n", result.text) and words in result.errors, result)
    swept = not_met(leaf, "--sweep", "--step", "40deg", "--fault", "power lost opening")
    expect(f"rests, {words}\n" in swept.text, swept.text)


def missing_the_near_switch(leaf):
    return answer("cycle", "-", "--fault", "near switch missed opening", stdin=leaf)["opening"]


def runs_past():
    """Brakes that trip at full speed at the end of the travel: a degree beyond it is allowed, more is told everywhere."""
    past = stopped(SPEED)[1]
    one = missing_the_near_switch(balanced())
    near_enough(one["past_end_deg"], past, 1e-6)
    expect(past < 1 and one["met"] and one["safe"], one)
    leaf = written(wheel(brakes=[{**BRAKE, "delay": "1 s"}]))
    past += SPEED * (1 - DELAY)
    one = missing_the_near_switch(leaf)
    near_enough(one["past_end_deg"], past, 1e-6)
    near_enough(one["end_angle_deg"], OPENS_TO + past, 1e-9)
    expect(past > 1 and one["end"] == "arrived" and not one["met"] and not one["safe"], one)
    words = f"RAN PAST its travel by {past:.2f}°"
    result = not_met(leaf, "--fault", "near switch missed opening")
    expect(re.search(rf"\nOpening: the leaf .*, {words};\n", result.text) and words in result.errors, result)
    swept = not_met(leaf, "--sweep", "--step", "60deg", "--fault", "near switch missed opening",
                    "--fault", "gust 1 Pa for 1 s opening")
    expect(f"arrives, {words}\n" in swept.text and words in swept.errors, swept)


def runs_out():
    """What nothing stops beyond its travel has words of its own."""
    leaf = written(wheel(brakes=[]))
    told = not_met(leaf, "--fault", "power lost at 40deg opening")
    expect("ran past the end of its travel at 90.00 degree" in told.text and "RAN PAST" not in told.text, told.text)
    one = answer("cycle", "-", "--fault", "power lost at 40deg opening", stdin=leaf)["opening"]
    expect_equal((one["end"], round(one["past_end_deg"], 9), one["met"]), ("left", 30, False))


def near_switch_without_power():
    """A leaf that runs over its near switch with the power off does not slow down for it; nor after a pedal's release."""
    texts = {"power lost at 51.9deg opening": "does nothing: the power is off",
             "pedal released at 51.9deg opening": "does nothing: it slows down to rest already"}
    for fault, words in texts.items():
        lines = asked("cycle", "-", "--fault", fault, stdin=balanced()).text.splitlines()
        told = [line for line in lines if "  near switch  " in line]
        expect(len(told) == 1 and told[0].endswith(words), fault, *lines)
    lines = asked("cycle", "-", stdin=balanced()).text.splitlines()
    expect_equal(sum("  near switch  " in line and line.endswith("slows down from here to creep") for line in lines), 2)


def strongest_wind_is_held():
    """What a gust brought is to be held after it has died down, and the words say so."""
    leaf = balanced(cases=[{"name": "wind", "wind": {"pressure": "90 Pa"}}])
    gust = ("--gust", "60 Pa for 4 s at 2 s")
    one = answer("cycle", "-", *gust, stdin=leaf)["opening"]
    near_enough(one["hold_wind_Pa"], 150, 1e-12)
    near_enough(one["hold_demand_Nm"], row_at(one["end_angle_deg"], leaf, "wind")["wind_opening_Nm"] * 150 / 90, 1e-9)
    near_enough(one["hold_factor"], one["hold_capacity_Nm"] / one["hold_demand_Nm"], 1e-12)
    text = asked("cycle", "-", *gust, stdin=leaf).text
    expect("in a wind of 150.00 N/m², the strongest of the run, no friction credited" in text, text)


def gusts_in_words():
    """Shape, peak in all and when; what comes after all has ended, and a record that ends before, are noted."""
    leaf = balanced(cases=[{"name": "wind", "wind": {"pressure": "40 Pa"}}])
    text = asked("cycle", "-", "--gust", "12 m/s for 8 s at 20 s", stdin=leaf).text
    peak = 0.625 * (8 + 12) ** 2
    expect("\n  it rises and falls as 1 - cosine, a speed on top of the case's wind; its peak, "
           f"{peak:.2f} N/m² in all, comes at 24.00 s\n" in text, text)
    text = asked("cycle", "-", "--fault", "gust 90 Pa for 6 s at 20deg", stdin=leaf).text
    expect("a pressure on top of the case's wind; its peak, 130.00 N/m² in all, comes 3.00 s after its start\n" in text, text)
    late = "The gust starts after all has ended"
    expect_equal(asked("cycle", "-", "--gust", "9 Pa for 8 s at 300 s", stdin=leaf).text.count(late), 2)
    expect(late not in asked("cycle", "-", "--gust", "9 Pa for 8 s at 30 s", stdin=leaf).text, "a gust in time is told to be late")
    with folder() as place:
        for end, times in ((40, 2), (400, 0)):
            (place / "wind.csv").write_text(f"time [s],pressure [Pa]\n0,10\n{end},25\n", encoding="utf-8")
            (place / "leaf.yaml").write_bytes(leaf)
            text = asked("cycle", "leaf.yaml", "--wind-record", "wind.csv", cwd=place).text
            words = f"The record of wind ends at {end}.00 s, before all has ended: its last value, 25.00 N/m², goes on."
            expect_equal(text.count(words), times, text)


def holding_cases_are_elsewhere():
    words = "'trunnion brake' answers them"
    expect(words in asked("cycle", METRIC).text, "the file's own holding cases are not told")
    expect(words not in asked("cycle", "-", stdin=balanced()).text, "a holding that there is not")


def across_the_line():
    """Motors that run by their curve: no reference, and so no creep to arrive at, which is said."""
    whole = answer("cycle", "-", stdin=across(STRUT))
    expect_equal({event["event"] for event in whole["events"]} & {"creep", "drive at its limit", "caught up"}, set())
    result = not_met(across(STRUT))
    expect("the motors run on by their own curve" in result.text, result.text)
    for told in (result.text, result.errors):
        expect_equal(told.count("motors across the line obey no near switch, and have no creep"), 2, told)
    expect("--switches" not in result.text, result.text)


claim("a leaf at rest that no brake holds is told", rests_and_is_not_held)
claim("a near switch too late is told with the speed, and is not met", arrives_too_fast)
claim("a leaf that no place of its switch slows down gets no hint", no_switch_helps)
claim("a hard landing is told in the same words everywhere, and is not met", lands_hard)
claim("a run-back is told in the same words everywhere, and is not met", runs_back)
claim("a leaf that rests far past its travel is told in the same words everywhere, and is not met", runs_past)
claim("a leaf that nothing stops past its travel is told so once", runs_out)
claim("a near switch without power does nothing", near_switch_without_power)
claim("the strongest wind of the run is to be held", strongest_wind_is_held)
claim("gusts and records are told in words", gusts_in_words)
claim("the file's own holding cases are answered by brake", holding_cases_are_elsewhere)
claim("motors across the line run by their curve", across_the_line)

if __name__ == "__main__":
    main()
