# SPDX-License-Identifier: GPL-3.0-or-later
"""That the comparison of the tool with the reference can fail, in TAP."""

import copy
import math

import reference
from agreement import Comparison, csv_faults, curve_records, weigh_records
from random_leaves import random_leaf
from tap import check, run
from terms import Term, plain

SEEDS = (11, 12, 13)


def agrees(got, want):
    comparison = Comparison()
    comparison.tree(got, want)
    return not comparison.faults


def places(tree):
    """Every container and key that hold a number."""
    for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
        if isinstance(value, (dict, list)):
            yield from places(value)
        elif isinstance(value, Term):
            yield tree, key


def results():
    for seed in SEEDS:
        leaf = reference.read(random_leaf(seed)[0])
        yield reference.weigh(leaf)
        yield reference.curve(leaf, 0.5)


def agrees_when_moved(want, holder, key, shift):
    """Whether the comparison lets one number pass that is off by shift."""
    got = plain(want)
    kept = holder[key]
    holder[key] = Term(kept.value + shift, kept.size)
    verdict = agrees(got, want)
    holder[key] = kept
    return verdict


@check("3e-9 of its size in any single number is found")
def _():
    each = [(want, *place) for want in results() for place in places(want)]
    return len(each) > 300 and not any(
        agrees_when_moved(want, holder, key, 3e-9 * (holder[key].size or 1)) for want, holder, key in each
    )


@check("3e-10 of its size passes in any single number, but nothing at all where it is 0 by having no terms")
def _():
    each = [(want, *place) for want in results() for place in places(want)]
    return all(
        agrees_when_moved(want, holder, key, 3e-10 * (holder[key].size or 1)) == (holder[key].size > 0)
        for want, holder, key in each
    )


@check("NaN, infinity, null, text and true in place of a number are found")
def _():
    want = reference.curve(reference.read(random_leaf(SEEDS[0])[0]), 0.5)
    for value in (math.nan, math.inf, None, "1", True):
        got = plain(want)
        got["cases"][0]["rows"][0]["balance_Nm"] = value
        if agrees(got, want):
            return False
    return agrees(plain(want), want)


@check("a number in place of null is found")
def _():
    return agrees({"neutral_angle_deg": None}, {"neutral_angle_deg": None}) and not agrees(
        {"neutral_angle_deg": 0.0}, {"neutral_angle_deg": None}
    )


@check("a missing row, a missing key, a strange key, another order and another name are found")
def _():
    want = reference.curve(reference.read(random_leaf(SEEDS[0])[0]), 0.5)
    short, lacking, strange, turned, renamed = (copy.deepcopy(plain(want)) for _ in range(5))
    short["cases"][0]["rows"].pop()
    del lacking["cases"][0]["rows"][0]["ice_Nm"]
    strange["cases"][0]["rows"][0]["snow_Nm"] = 0.0
    turned["leaf"] = turned.pop("leaf")
    renamed["cases"][0]["name"] += " "
    return not any(agrees(got, want) for got in (short, lacking, strange, turned, renamed))


@check("the CSV check finds one wrong bit, a lost row, a lost column, a bare line feed and rows of another length")
def _():
    records = [{"case": 'a, "b"', "x": 0.1, "y": None}, {"case": "c", "x": 2.0, "y": 1.0}]
    right = 'case,x,y\r\n"a, ""b""",0.1,\r\nc,2,1\r\n'
    wrong = [
        right.replace("0.1", "0.10000000000000002"),
        right.replace("c,2,1\r\n", ""),
        right.replace("case,x,y", "case,x,z"),
        right.replace("\r\n", "\n", 1),
        right[:-2] + "\n",
        right.replace("0.1,", "0.1,0"),
        right.replace("c,2,1", "c,2"),
        right.replace("c,2,1", "c,,1"),
        right.replace(",0.1,", ",0.1,0"),
    ]
    return not csv_faults(right, records) and all(csv_faults(text, records) for text in wrong)


@check("weigh's CSV has the totals, then of the parts what the JSON says of them and no more")
def _():
    part = {"name": "p", "weight_N": 10.0, "x_m": 3.0, "y_m": 4.0, "closed_moment_Nm": 30.0, "inertia_kg_m2": 7.0}
    whole = {"mass_kg": 1.0, "moment_Nm": 2.0, "angle_deg": 3.0, "toe_reaction_N": 4.0, "neutral_angle_deg": 5.0}
    records = weigh_records({"leaf": "l", "weight_N": 9.0, **whole, "parts": [part]})
    head = "leaf,name,weight_N,mass_kg,moment_Nm,angle_deg,toe_reaction_N,neutral_angle_deg\r\nl,,9,1,2,3,4,5\r\n"
    right = ["l", "p", "10", "", "", "", "", ""]
    if csv_faults(head + ",".join(right) + "\r\n", records):
        return False
    wrong = [[*right[:at], "1.5", *right[at + 1 :]] for at in range(len(right))]
    return all(csv_faults(head + ",".join(row) + "\r\n", records) for row in wrong)


@check("a row of the curve's CSV starts with its case")
def _():
    nested = curve_records({"cases": [{"name": "n", "rows": [{"x": 1.0}, {"x": 2.0}]}]})
    return nested == [{"case": "n", "x": 1.0}, {"case": "n", "x": 2.0}]


@check("a result at a worst angle is held to the worst: another angle passes only if it is as bad to 1e-6")
def _():
    leaf = reference.read(
        "{leaf: l, opens_to: 80 deg, toe: 9 m, parts: [{name: p, weight: 1 kN, at: [8 m, -6 m]}], "
        "drive: {ratio: 9, efficiency: 1}, motors: {installed: 1, power: 1 kW, speed: 9 rad/s}}"
    )
    want = reference.drive(leaf)
    worst = math.degrees(math.atan2(6, 8))
    for shift, passes in ((0.0, True), (0.01, True), (-0.01, True), (0.2, False), (-0.2, False)):
        got = plain(want)
        angle = math.radians(worst + shift)
        moment = 8000 * math.cos(angle) + 6000 * math.sin(angle)
        row = got["cases"][0]
        row.update(worst_angle_deg=worst + shift, leaf_Nm=moment, motor_Nm=moment / 9, use=moment / 1000)
        comparison = Comparison(1e-6)
        comparison.tree(got, want)
        if (not comparison.faults) != passes:
            return False
    return True


@check("the wider tolerance of what is searched for lets 3e-7 pass and finds 3e-6")
def _():
    verdicts = []
    for share in (3e-7, 3e-6):
        comparison = Comparison(1e-6)
        comparison.tree({"x": 1 + share}, {"x": Term(1.0)})
        verdicts.append(not comparison.faults)
    return verdicts == [True, False]


if __name__ == "__main__":
    run("reference comparison")
