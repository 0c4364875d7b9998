# SPDX-License-Identifier: GPL-3.0-or-later
"""ballast from outside: plans that weigh agrees with, work orders, obstacles, records, time."""

import itertools
import math
import re
import time

from harness import (
    METRIC, ROOT, WRAP, claim, expect, expect_equal, expect_refused, folder, json_of, leaf_text, main, read_csv, read_json,
    run, run_well,
)
from webpage import Page, text_of

US = ROOT / "examples" / "us.yaml"
LINKED = ROOT / "examples" / "linked.yaml"
RECORD = ROOT / "examples" / "records" / "metric.csv"
OVERLAY = "overlay: 8 kg/m2 on deck"
HEAVY = "overlay: 35 kg/m2 on deck"
TOTALS = ["weight_N", "mass_kg", "x_m", "y_m", "closed_moment_Nm", "moment_Nm", "angle_deg", "inertia_kg_m2",
          "toe_reaction_N", "neutral_angle_deg"]
KEYS = ["leaf", "feasible", "moves", "blocks_handled", "gap_blocks", "before", "after", "closest", "measured", "obstacle"]
POCKETS = """\
pockets:
  - {name: upper, at: [-6 m, 1 m], block: 40 kg, blocks: 3, room: 9}
  - {name: lower, at: [-5 m, -1.3 m], block: 50 kg, blocks: 4, room: 8}
"""
BLOCKS = ((-6.0, 1.0, 40.0, 3), (-5.0, -1.3, 50.0, 4))
G0 = 9.80665


def plan_of(*arguments, status=0, **options):
    result = run("ballast", *arguments, "--json", **options)
    expect_equal(result.status, status, result)
    return read_json(result.text)


def keys_of_the_contract():
    plan = plan_of(METRIC, "--add", OVERLAY)
    expect_equal(list(plan), KEYS + ["additions"])
    expect_equal(list(plan["moves"][0]), ["pocket", "before", "after", "change"])
    expect_equal(list(plan["after"]), TOTALS)
    expect_equal(plan["blocks_handled"], sum(abs(move["change"]) for move in plan["moves"]))
    expect_equal([move["after"] - move["before"] for move in plan["moves"]], [move["change"] for move in plan["moves"]])
    expect_equal((plan["measured"], plan["obstacle"]), (None, None))


def weigh_agrees():
    """The moves put in as additions of blocks give the very totals that the plan tells."""
    plan = plan_of(METRIC, "--add", OVERLAY)
    additions = [word for number, move in enumerate(plan["moves"]) if move["change"]
                 for word in ("--add", f"move {number}: {move['change']:+d} in {move['pocket']}")]
    weighed = json_of("weigh", METRIC, "--add", OVERLAY, *additions)
    expect_equal({key: weighed[key] for key in TOTALS}, plan["after"])
    before = json_of("weigh", METRIC, "--add", OVERLAY)
    expect_equal({key: before[key] for key in TOTALS}, plan["before"])
    expect(4000 <= plan["after"]["toe_reaction_N"] <= 9000 and 20 <= plan["after"]["angle_deg"] <= 50, plan["after"])


def all_plans():
    """The 90 plans of a small leaf, worked here: blocks handled, toe reaction, angle in degrees."""
    for after in itertools.product(range(10), range(9)):
        a, b = 2000e3 * 0.1, 2000e3 * 0.05
        for count, (x, y, mass, _) in zip(after, BLOCKS):
            a += count * mass * G0 * x
            b += count * mass * G0 * y
        yield sum(abs(count - pocket[3]) for count, pocket in zip(after, BLOCKS)), a / 24, math.degrees(math.atan2(b, a))


def best_by_hand(window, angles):
    return min((handled for handled, toe, angle in all_plans()
                if window[0] <= toe <= window[1] and angles[0] <= angle <= angles[1]), default=None)


def small_leaf(window, angles):
    sections = POCKETS + f"balance_target: {{toe_reaction: [{window[0]} N, {window[1]} N], angle: [{angles[0]} deg, {angles[1]} deg]}}"
    return leaf_text(sections=sections)


def small_leaves():
    counts = set()
    for low, angle in itertools.product((6800, 7100, 7400, 7700, 8000), (25, 26.5, 28, 29.5)):
        window, angles = (low, low + 110), (angle, angle + 2)
        wanted = best_by_hand(window, angles)
        leaf = small_leaf(window, angles)
        plan = plan_of("-", status=0 if wanted is not None else 1, stdin=leaf)
        expect_equal(plan["feasible"], wanted is not None)
        if wanted is not None:
            expect_equal(plan["blocks_handled"], wanted, window, angles)
        counts.add(wanted)
    expect(len(counts) > 3, counts)


def nothing_to_do():
    text = run_well("ballast", METRIC).text
    expect("Nothing is to be done" in text, text)
    plan = plan_of(METRIC)
    expect_equal((plan["feasible"], plan["blocks_handled"], plan["before"]), (True, 0, plan["after"]))


def work_order():
    text = run_well("ballast", METRIC, "--add", OVERLAY).text
    plan = plan_of(METRIC, "--add", OVERLAY)
    for move in plan["moves"]:
        change = f"{move['change']:+d}" if move["change"] else "0"
        expect(re.search(rf"(?m)^{move['pocket']} +{move['before']} +{move['after']} +{re.escape(change)} ", text), text)
    expect(f"{plan['blocks_handled']} blocks to handle: no plan does with fewer." in text, text)
    expect(re.search(r"toe reaction +14\.78 +8\.9\d  kN +4\.00 to 9\.00", text), text)
    expect("Nearest bound: the upper bound of the toe reaction" in text, text)
    us = run_well("ballast", US).text
    expect("kip ft" in us and "kN" not in us, us)


def csv_of_moves():
    rows = read_csv(run_well("ballast", METRIC, "--add", OVERLAY, "--csv").text)
    expect_equal(rows[0], ["pocket", "before", "after", "change"])
    moves = plan_of(METRIC, "--add", OVERLAY)["moves"]
    expect_equal(rows[1:], [[move["pocket"], *(str(move[key]) for key in rows[0][1:])] for move in moves])


def no_room():
    result = run("ballast", METRIC, "--add", HEAVY)
    expect_equal(result.status, 1, result)
    expect("not met: no plan brings the leaf into its target" in result.errors and "not even fractions" in result.errors, result)
    for words in ("NO PLAN", "come nearest", "a new pocket with", "ones of 2 times their weight"):
        expect(words in result.text, words, result.text)
    plan = plan_of(METRIC, "--add", HEAVY, status=1)
    obstacle = plan["obstacle"]
    expect_equal((plan["feasible"], plan["closest"]), (False, None))
    expect_equal((obstacle["cause"], obstacle["bound"], obstacle["block_share"]), ("room", "toe_reaction_high", 2.0))
    expect_equal([move["after"] for move in plan["moves"]], [300, 200])
    miss = plan["after"]["closed_moment_Nm"] - 9000 * 24
    expect(abs(obstacle["miss_Nm"] - miss) <= 1e-6 * miss, obstacle, miss)
    pocket = obstacle["new_pocket"]
    expect(abs(pocket["weight_N"] * pocket["x_m"] - pocket["closed_moment_Nm"]) <= 1e-9 * miss, pocket)


def no_plan_first():
    """Whoever reads from the top learns first that this is no order to carry out."""
    text = run("ballast", METRIC, "--add", HEAVY).text
    expect(text.index("NO PLAN") < text.index("NO work order") < text.index("upper heel pocket"), text)
    expect("work order for the blocks" not in text and "DANGER" not in text, text)
    expect("by statics only" in text, text)
    page = Page(run("report", METRIC, "--add", HEAVY).text)
    words = text_of(page.by_id("target"))
    expect(words.index("No plan:") < words.index("the nearest moves, no work order") < words.index("upper heel"), words)
    for help in ("a new pocket with", "ones of 2 times their weight", "would have a plan"):
        expect(help in words, help, words)
    expect("Plan for the blocks" not in words and "tells what would help" not in words, words)


HEEL = POCKETS.replace("room: 9}", "room: 2000}")


def counterweight_heavy():
    """Moves that would let the closed leaf open by itself, whether its target asks for them or none is met."""
    heel = ("--add", "heel: 60 kN at [-6 m, 0 m]")
    for sections, added, status in (
        (HEEL + "balance_target: {toe_reaction: [-5 kN, -3 kN], angle: [90 deg, 180 deg]}", (), 0),
        (POCKETS + "balance_target: {toe_reaction: [4 kN, 9 kN], angle: [20 deg, 50 deg]}", heel, 1),
    ):
        leaf = leaf_text(sections=sections)
        plan = plan_of("-", *added, stdin=leaf, status=status)
        expect(plan["after"]["toe_reaction_N"] < 0, plan["after"])
        result = run("ballast", "-", *added, stdin=leaf)
        for text in (result.text, result.errors):
            expect("DANGER" in text and "COUNTERWEIGHT HEAVY" in text, result)
        expect(result.text.index("DANGER") < result.text.index("pocket "), result.text)
        words = text_of(Page(run("report", "-", *added, stdin=leaf).text).by_id("target"))
        expect(words.index("DANGER") < words.index("upper"), words)


def advice_holds():
    """The new pocket, put in as a weight a hair heavier, brings the leaf into its target after the moves told."""
    plan = plan_of(METRIC, "--add", HEAVY, status=1)
    pocket = plan["obstacle"]["new_pocket"]
    moves = [word for number, move in enumerate(plan["moves"]) if move["change"]
             for word in ("--add", f"move {number}: {move['change']:+d} in {move['pocket']}")]
    weight = f"new pocket: {pocket['weight_N'] * 1.000001:.9f} N at [{pocket['x_m']!r} m, {pocket['y_m']!r} m]"
    after = plan_of(METRIC, "--add", HEAVY, *moves, "--add", weight)
    expect_equal((after["feasible"], after["blocks_handled"]), (True, 0))


def widening_holds():
    """With the window told, rounded outwards, there is a plan; a little narrower there is none."""
    text = METRIC.read_text(encoding="utf-8")
    widened = plan_of(METRIC, "--add", HEAVY, status=1)["obstacle"]["one_window_wider"]
    high = widened["toe_reaction_N"][1]
    for share, status in ((1.0001, 0), (0.9999, 1)):
        leaf = text.replace("toe_reaction: [4 kN, 9 kN]", f"toe_reaction: [4 kN, {high * share:.6f} N]").encode()
        plan_of("-", "--add", HEAVY, status=status, stdin=leaf)


def widening_is_rounded_outwards():
    """What the table tells is wide enough, on either side, and by less than a step of its decimals."""
    text = METRIC.read_text(encoding="utf-8")
    for window, side in (("[4 kN, 9 kN]", 1), ("[60 kN, 70 kN]", 0)):
        leaf = text.replace("toe_reaction: [4 kN, 9 kN]", f"toe_reaction: {window}").encode()
        arguments = ("-", "--add", HEAVY)
        exact = plan_of(*arguments, status=1, stdin=leaf)["obstacle"]["one_window_wider"]["toe_reaction_N"]
        told = re.search(r"toe reaction from (\S+) to (\S+) kN would", run("ballast", *arguments, stdin=leaf).text)
        outwards = (float(told.group(side + 1)) * 1000 - exact[side]) * (1 if side else -1)
        expect(0 <= outwards < 10, told.group(), exact)


def whole_blocks():
    """A window in the widest gap between the toe reactions of all plans."""
    toes = sorted(toe for _, toe, _ in all_plans())
    gap, low = max((high - low, low) for low, high in itertools.pairwise(toes))
    obstacle = plan_of("-", status=1, stdin=small_leaf((low + 0.2 * gap, low + 0.8 * gap), (0, 89)))["obstacle"]
    expect_equal(obstacle["cause"], "whole blocks")


def target_excludes_itself():
    leaf = small_leaf((7000, 8000), (100, 120))
    result = run("ballast", "-", stdin=leaf)
    expect_equal(result.status, 1)
    expect("exclude each other" in result.errors, result)
    obstacle = plan_of("-", status=1, stdin=leaf)["obstacle"]
    expect_equal((obstacle["cause"], obstacle["new_pocket"], obstacle["block_share"]), ("target", None, None))


def linked_leaf():
    """The block of a linked counterweight tells on A by the link's rate."""
    text = LINKED.read_text(encoding="utf-8")
    now = json_of("weigh", LINKED)["toe_reaction_N"]
    one_more = json_of("weigh", LINKED, "--add", "b: +1 in box pocket")["toe_reaction_N"]
    step = one_more - now
    target = f"balance_target: {{toe_reaction: [{now + 7.5 * step:.3f} N, {now + 6.5 * step:.3f} N], angle: [-180 deg, 180 deg]}}"
    plan = plan_of("-", stdin=(text + target).encode())
    expect_equal([move["change"] for move in plan["moves"]], [7])


def missing(section, words):
    leaf = leaf_text(sections=section)
    expect_refused(run("ballast", "-", stdin=leaf), 2, "standard input:1:1: ", words)


def record_replaces_the_balance():
    measured = json_of("measure", METRIC, RECORD)
    plan = plan_of(METRIC, "--record", RECORD)
    for key in ("closed_moment_Nm", "A_Nm"), ("moment_Nm", "moment_Nm"), ("angle_deg", "angle_deg"):
        expect(abs(plan["before"][key[0]] - measured[key[1]]) <= 1e-9 * abs(measured[key[1]]), key, plan["before"])
    described = json_of("weigh", METRIC)
    for key in ("weight_N", "inertia_kg_m2"):
        expect(abs(plan["before"][key] - described[key]) <= 1e-9 * described[key], key)
    expect_equal(plan["measured"]["A_Nm_sd"], measured["A_Nm_sd"])
    expect("As measured: A 167.5" in run_well("ballast", METRIC, "--record", RECORD).text, "the table does not tell")


def additions_come_after_the_record():
    """They change the measured leaf by as much as the described one."""
    plain, added = json_of("weigh", METRIC), json_of("weigh", METRIC, "--add", OVERLAY)
    measured = plan_of(METRIC, "--record", RECORD)["before"]
    both = plan_of(METRIC, "--record", RECORD, "--add", OVERLAY)["before"]
    for key in ("closed_moment_Nm", "weight_N", "toe_reaction_N"):
        wanted = measured[key] + added[key] - plain[key]
        expect(abs(both[key] - wanted) <= 1e-9 * abs(wanted), key, both[key], wanted)
    result = run("ballast", METRIC, "--record", RECORD, "--add", "overlay: 8 kg/m on deck")
    expect_refused(result, 2, "--add 'overlay: 8 kg/m on deck': column 10: ")


def record_keeps_confidence():
    """A window that the measured value meets, but not its interval: blocks are moved, and both intervals fit then."""
    text = METRIC.read_text(encoding="utf-8")
    measured = json_of("measure", METRIC, RECORD)
    toe = measured["toe_reaction_N"]
    half = measured["toe_reaction_N_high95"] - toe
    low, high = toe - 0.4 * half, toe + 40 * half
    leaf = text.replace("toe_reaction: [4 kN, 9 kN]", f"toe_reaction: [{low:.6f} N, {high:.6f} N]").encode()
    plan = plan_of("-", "--record", RECORD, stdin=leaf)
    expect(plan["blocks_handled"] > 0, plan)
    after = plan["after"]["toe_reaction_N"]
    expect(low + half <= after * (1 + 1e-9) and after <= high - half, low, after, half)
    low, high = toe - 0.9 * half, toe + 0.9 * half
    leaf = text.replace("toe_reaction: [4 kN, 9 kN]", f"toe_reaction: [{low:.6f} N, {high:.6f} N]").encode()
    result = run("ballast", "-", "--record", RECORD, stdin=leaf)
    expect_equal(result.status, 1, result)
    expect("the measurement is too coarse" in result.errors, result)


def one_standard_input():
    expect_refused(run("ballast", "-", "--record", "-", stdin=leaf_text()), 2, "standard input")


NASTY = "pockets:\n" + "".join(
    f"  - {{name: pocket {i}, at: [{-7 + 0.37 * i + 0.011 * i * i:.4f} m, {-2 + 0.41 * (i * 5 % 12):.4f} m], "
    f"block: {40 + 0.37 * (i * 7 % 11):.3f} kg, blocks: {20 + i}, room: 60}}\n" for i in range(12)
) + "balance_target: {A: [{a} N m, {b} N m], B: [{c} N m, {d} N m]}\n"


def nasty_leaf():
    base = leaf_text(sections=NASTY.replace("{a}", "1").replace("{b}", "2").replace("{c}", "1").replace("{d}", "2"))
    now = json_of("weigh", "-", stdin=base)
    a = now["closed_moment_Nm"] + 9123.4
    b = now["moment_Nm"] * math.sin(math.radians(now["angle_deg"])) - 5432.1
    sections = NASTY
    for mark, value in zip("abcd", (a, a + 0.02, b, b + 0.02)):
        sections = sections.replace(f"{{{mark}}}", f"{value:.4f}")
    return leaf_text(sections=sections)


def time_limit():
    leaf = nasty_leaf()
    start = time.monotonic()
    plan = plan_of("-", "--seconds", "1.5", status=1, stdin=leaf)
    taken = time.monotonic() - start
    expect(taken < 2.5 or WRAP, f"{taken:.2f} s")
    expect_equal(plan["obstacle"]["cause"], "time")
    told = run("ballast", "-", "--seconds", "0.1", stdin=leaf)
    expect("NO PLAN that brings the leaf into its target was found\nthe time given was too short" in told.text, told)
    expect("not met: no plan that brings the leaf into its target was found: the time given" in told.errors, told)


def repeatable():
    for arguments in ((METRIC, "--add", OVERLAY), (METRIC, "--add", HEAVY), (METRIC, "--record", RECORD)):
        first = run("ballast", *arguments, "--json").out
        expect_equal(run("ballast", *arguments, "--json").out, first)


def plots():
    with folder() as place:
        for number, arguments in enumerate(((), ("--add", OVERLAY), ("--add", HEAVY))):
            run("ballast", METRIC, *arguments, "--plot", place / f"{number}.svg")
            drawn = (place / f"{number}.svg").read_text(encoding="utf-8")
            expect("before" in drawn and "after, " in drawn and "neutral after" in drawn, number)
            expect(("not on target" in drawn) == (number == 2), number)


def seconds_refused(text):
    expect_refused(run("ballast", METRIC, "--seconds", text), 2, f"--seconds {text}", "such as 30")


claim("JSON has the keys of the contract", keys_of_the_contract)
claim("weigh agrees with the totals after the moves", weigh_agrees)
claim("20 targets of a small leaf get the best of all 90 plans, worked here", small_leaves)
claim("a leaf on target is left alone, and told so", nothing_to_do)
claim("the table is a work order", work_order)
claim("CSV has the moves", csv_of_moves)
claim("too little room is told, with the nearest moves and what would help", no_room)
claim("where there is no plan, that is said first, in the table and the report, and no work order is given", no_plan_first)
claim("moves that make the closed leaf counterweight heavy carry a danger sign", counterweight_heavy)
claim("the new pocket advised brings the leaf into its target", advice_holds)
claim("the window told is the narrowest with a plan", widening_holds)
claim("the window told in the table is rounded outwards", widening_is_rounded_outwards)
claim("whole blocks that step over the target are told", whole_blocks)
claim("windows that exclude each other are told", target_excludes_itself)
claim("pockets of a linked counterweight are planned by the link's rate", linked_leaf)
claim("a leaf without pockets is refused", missing, "balance_target: {toe_reaction: [1 N, 2 N], angle: [0 deg, 1 deg]}", "'pockets'")
claim("a leaf without a target is refused", missing, POCKETS, "'balance_target'")
claim("a record replaces the balance of the description", record_replaces_the_balance)
claim("additions come after the record", additions_come_after_the_record)
claim("with a record the target is kept at 95 % confidence, or the measurement is too coarse", record_keeps_confidence)
claim("leaf and record cannot both be standard input", one_standard_input)
claim("the time limit is kept on a nasty leaf", time_limit)
claim("the same input gives the same bits", repeatable)
claim("the plot shows both curves and tells moves that miss", plots)
for word in ("0", "-1", "1x", "nan", "inf", "1e3", "", "1.2.3", "100000"):
    claim(f"--seconds '{word}' is refused", seconds_refused, word)

if __name__ == "__main__":
    main()
