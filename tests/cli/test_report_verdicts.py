# SPDX-License-Identifier: GPL-3.0-or-later
"""The report's first table: a line that is not met says what failed, what is asked there, by how much."""

from harness import METRIC, claims, expect, expect_equal, main, read_json, run
from webpage import Page, text_of

SMALL = """\
leaf: small
opens_to: 80 degree
toe: 1 m
parts: [{name: span, weight: 10 N, at: [1 m, 0 m]}, {name: heel, weight: 9 N, at: [-1 m, 0 m]}]
trunnion: {journal_diameter: 20 mm, friction: {starting: 0.15, moving: 0.10}}
drive: {ratio: 50, efficiency: 0.8}
motors: {installed: 2, power: 5 W, speed: 1000 rpm}
travel: {speed: 5 deg/s, accelerate_in: 1 s, creep: 20 %, near_open: 70 degree, near_closed: 10 degree, decelerate_in: 1 s}
"""
LATE = "brakes: [{name: late, torque: 0.03 N m, ratio: 50, delay: 2 s, set_time: 0.1 s}]\n"


def verdict_rows(text):
    return Page(text).tables()["Every requirement of the description"].rows


def arrivals(leaf):
    """The lines of an opening and a closing: verdict, found, limit, margin."""
    rows = verdict_rows(run("report", "-", stdin=leaf.encode()).text)
    return {row[0].split()[1]: row[1:] for row in rows if " arrives and is held" in row[0]}


def runs_of(leaf):
    return read_json(run("cycle", "-", "--json", stdin=leaf.encode()).text)


@claims("a leaf that runs back while its brakes set: how far, how far it may, what is over")
def runs_back():
    verdict, found, limit, margin = arrivals(SMALL + LATE)["opening"]
    expect_equal(verdict, "✗ not met")
    expect(found.startswith("RAN BACK by 10.9") and "hold" not in found, found)
    expect_equal(limit, "run back at most 2.00°")
    expect(margin.startswith("−8.9"), margin)


@claims("a leaf that rests past its travel: how far, how far it may, what is over")
def runs_past():
    leaf = SMALL.replace("weight: 9 N", "weight: 10 N").replace("creep: 20 %", "creep: 80 %") + LATE
    verdict, found, limit, margin = arrivals(leaf)["opening"]
    past = runs_of(leaf)["opening"]["past_end_deg"]
    expect(past > 1.1, past)
    expect_equal((verdict, found), ("✗ not met", f"RAN PAST its travel by {past:.2f}°"))
    expect_equal((limit, margin), ("past its travel at most 1.00°", f"−{past - 1:.2f}°"))


@claims("a leaf without brakes that comes down: back, hard, slipped; no word of brakes that hold")
def comes_down():
    verdict, found, limit, margin = arrivals(SMALL)["opening"]
    expect_equal(verdict, "✗ not met")
    expect_equal([part.split()[0] for part in found.split("; ")], ["RAN", "LANDED", "SLIPPED"])
    expect("no brakes to hold it" in found and "brakes give" not in found, found)
    expect_equal([len(cell.split("; ")) for cell in (limit, margin)], [3, 3])


@claims("a full switch that is passed above creep, as by motors across the line, names both speeds")
def not_at_creep():
    leaf = SMALL.replace("speed: 1000 rpm", "speed: 40 rpm, law: induction, synchronous: 42 rpm, breakdown: 2")
    run_of = runs_of(leaf)["opening"]
    verdict, found, limit, _ = arrivals(leaf)["opening"]
    expect(run_of["switch_speed_deg_s"] > 1.1, run_of["switch_speed_deg_s"])
    expect_equal(verdict, "✗ not met")
    expect("NOT AT CREEP" in found and "creep, 1.00" in limit, found, limit)


@claims("brakes that are too weak: how many times of what is to be held they give, 1.00 asked")
def not_held():
    brake = "brakes: [{name: weak, torque: 0.0001 N m, ratio: 50, delay: 0.1 s, set_time: 0.1 s}]\n"
    leaf = SMALL.replace("weight: 9 N", "weight: 9.9 N") + brake
    verdict, found, limit, margin = arrivals(leaf)["opening"]
    expect_equal(verdict, "✗ not met")
    factor = runs_of(leaf)["opening"]["hold_factor"]
    expect_equal(found, f"NOT HELD: brakes give {factor:.2f} times what is to be held")
    expect_equal(limit, "1.00 times what is to be held")
    expect_equal(margin, f"−{100 - 100 * factor:.1f} %")


@claims("what is met tells all that is asked; where nothing is to be held it does not say that brakes hold")
def met_rows():
    bare = arrivals(SMALL.replace("weight: 9 N", "weight: 9.999 N"))["closing"]
    expect_equal(bare[0], "✓ met")
    expect("nothing needs to be held" in bare[1] and "brakes" not in bare[1], bare)
    for words in ("creep", "landing", "run back at most 2.00°", "past its travel at most 1.00°", "1.00 times what is to be held"):
        expect(words in bare[2], words, bare)


@claims("a margin beyond reading is told as over 100 times what is asked")
def vast_margin():
    holding = "holding: [{name: still, factor: 0.001}]\n"
    strong = LATE.replace("0.03 N m", "3 N m").replace("delay: 2 s", "delay: 0.1 s")
    rows = verdict_rows(run("report", "-", stdin=(SMALL + strong + holding).encode()).text)
    margins = [row[4] for row in rows if row[0].startswith("The brakes hold")]
    expect_equal(margins, ["over 100 times what is asked"])
    told = run("cycle", "-", stdin=(SMALL + strong).encode()).text
    expect("over 100 times" in told and "e+" not in told, told)


@claims("where the leaf is not stopped, its angle is told as one of those")
def no_stop():
    leaf = SMALL + LATE + "holding: [{name: still}]\n"
    rows = [row for row in verdict_rows(run("report", "-", stdin=leaf.encode()).text) if "stop the moving" in row[0]]
    expect_equal((len(rows), rows[0][1]), (1, "✗ not met"))
    expect(rows[0][2].startswith("no stop, for one from "), rows)
    text = run("brake", "-", stdin=leaf.encode()).text
    expect("do NOT stop" in text and "the longest run" not in text, text)


@claims("the page says what is drawn beside its place, in which units weights stand, what 'up to Beaufort' is")
def plain_words():
    made = Page(run("report", METRIC).text)
    expect("drawn a little beside their place" in text_of(made.by_id("side")))
    expect("Described weight, in these units" in made.tables()["What was described"].words)
    wind = text_of(made.by_id("wind"))
    expect("up to Beaufort" in wind and "Beaufort counts ten-minute means" in wind, wind)
    expect("Use is the share of what a case allows" in text_of(made.by_id("drive")))


main()
