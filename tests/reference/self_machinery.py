# SPDX-License-Identifier: GPL-3.0-or-later
"""Hand calculations for linked counterweights, struts, cylinders, racks, ratings, brakes and wind limits.

Run by self_test.py. Every leaf is small enough to work out in the comment or the title.
"""

import math

import reference
from linkage import FourBar, Stuck
from moments import directed, ice_parts
from random_leaves import random_leaf
from tap import check
from terms import plain

TIGHT = 1e-12
SEARCHED = 1e-8
LOAD = "parts: [{name: p, weight: 1 kN, at: [6 m, 0 m]}]"


def leaf_of(*sections, opens_to="60 degree"):
    return reference.read("\n".join(["leaf: hand", f"opens_to: {opens_to}", "toe: 24 m", *sections]))


def rows_of(*sections, opens_to="60 degree", step=60):
    return plain(reference.curve(leaf_of(*sections, opens_to=opens_to), math.radians(step)))["cases"][0]["rows"]


def closed(*sections):
    return rows_of(*sections)[0]


def close(got, want, tolerance=TIGHT):
    return abs(got - want) <= tolerance * abs(want)


def linked(pivot, leaf_pin, pin, block, journal=""):
    points = zip(("pivot", "pin_on_leaf", "pin_on_counterweight"), (pivot, leaf_pin, pin))
    text = ", ".join(f"{key}: [{x} m, {y} m]" for key, (x, y) in points)
    return f"linked_counterweight: {{{text}{journal}, parts: [{block}]}}"


@check("a parallelogram link gives the fixed counterweight's curve, weigh's moments and its inertia")
def _():
    travel = "travel: {speed: 1 rad/s, accelerate_in: 2 s, creep: 1, near_open: 40 deg, near_closed: 9 deg, "
    travel += "decelerate_in: 1 s}"
    case = "cases: [{name: a, accelerating: true}]"
    hung = linked((-4, 3), (-3, -1), (-7, 2), "{name: b, weight: 2 kN, at: [-7.5 m, 3.5 m], gyration: 2 m}")
    fixed = "  - {name: b, weight: 2 kN, at: [-3.5 m, 0.5 m], gyration: 2 m}"
    parts = "parts:\n  - {name: p, weight: 1 kN, at: [6 m, 0 m]}"
    one, other = leaf_of(parts, hung, travel, case), leaf_of(parts + "\n" + fixed, travel, case)
    weighed, wanted = plain(reference.weigh(one)), plain(reference.weigh(other))
    same = ("closed_moment_Nm", "moment_Nm", "angle_deg", "inertia_kg_m2")
    if not all(close(weighed[key], wanted[key]) for key in same):
        return False
    pairs = zip(*(plain(reference.curve(leaf, math.radians(7)))["cases"][0]["rows"] for leaf in (one, other)))
    return all(abs(a[key] - b[key]) < 1e-8 for a, b in pairs for key in ("balance_Nm", "inertia_Nm", "opening_Nm"))


# Link from (-2, 0) to (-6, 4), counterweight pin 1 m behind the pivot (-5, 4): the leaf's pin falls with 2 m/rad along
# the link's direction times cos 45, so does the counterweight's with 1 m: psi' = 2. The block's 3 kN m about the
# pivot push the link with 3 kN m / (1 m cos 45).
TWICE = ((-5, 4), (-2, 0), (-6, 4), "{name: b, weight: 1 kN, at: [-8 m, 4 m]}")


@check("a link that doubles the rotation: share 2 W x, inertia 4 J, link force, both reactions")
def _():
    row = rows_of(LOAD, linked(*TWICE), opens_to="20 degree")[0]
    weighed = plain(reference.weigh(leaf_of(LOAD, linked(*TWICE), opens_to="20 degree")))
    return (
        abs(row["balance_Nm"]) < 1e-9
        and close(row["link_opening_N"], -3000 * math.sqrt(2))
        # the link presses the leaf with (3000, -3000), the counterweight with (-3000, 3000)
        and close(row["reaction_opening_N"], math.hypot(3000, 4000))
        and close(row["counterweight_reaction_closing_N"], math.hypot(3000, 2000))
        and close(weighed["inertia_kg_m2"], 1000 / 9.80665 * (36 + 4 * 9))
        and close(weighed["parts"][1]["closed_moment_Nm"], -6000)
        and close(weighed["x_m"], -1) and close(weighed["y_m"], 2)
    )  # fmt: skip


@check("friction of the counterweight's trunnion enters its link and, twice over, the leaf's friction")
def _():
    # A long lever makes it a small friction: F = 0.1 x 0.05 m x N, N = hypot(T/r2, 1000 + T/r2), T/r2 = -(3000 -+ F).
    journal = ", journal_diameter: 100 mm, friction: {starting: 0.1, moving: 0.1}"
    row = rows_of(LOAD, linked(*TWICE, journal), opens_to="20 degree")[0]
    for way, sense in (("opening", 1), ("closing", -1)):
        push = -row[f"link_{way}_N"] / math.sqrt(2)
        friction = 0.005 * row[f"counterweight_reaction_{way}_N"]
        if not (
            close(push, 3000 - sense * friction)
            and close(row[f"counterweight_reaction_{way}_N"], math.hypot(push, push - 1000))
            and close(row[f"friction_{way}_Nm"], 2 * friction)
        ):
            return False
    return True


@check("derivatives of the rotation: of first order against second, by central differences of fourth order")
def _():
    bar, h = FourBar((-9, 6), (-5, 1), (-13.5, 7.2)), 2.5e-4
    for degrees in (-5, 0, 20, 50, 76):
        angle = math.radians(degrees)
        turns = [bar.rotation(angle + k * h) for k in (-2, -1, 1, 2)]
        slopes = [
            (a - 8 * b + 8 * c - d) / (12 * h)
            for a, b, c, d in ([turn.value for turn in turns], [turn.first for turn in turns])
        ]
        here = bar.rotation(angle)
        if not (close(here.first, slopes[0], 1e-9) and close(here.second, slopes[1], 1e-9)):
            return False
    return True


@check("a link that comes into line with the counterweight's arm is a dead point; so is a strut through the trunnion")
def _():
    straight = linked((-5, 4), (-2, 0), (-5.5, 3), "{name: b, weight: 1 kN, at: [-8 m, 4 m]}")
    through = "drive: {strut: {on_leaf: [3 m, 0 m], pinion: [3 m, 3 m], pinion_radius: 1 m, ratio: 1}, efficiency: 1}"
    for section in (straight, through):
        try:
            rows_of(LOAD, section, opens_to="90 degree")
            return False
        except Stuck:
            continue
    return True


@check("equilibrium of forces gives the demand of virtual work, friction included, on random leaves")
def _():
    seen = 0
    for seed in range(1, 40):
        leaf = reference.read(random_leaf(seed)[0])
        try:
            leaf.check()
            for case in leaf.cases if leaf.linked else []:
                ice = ice_parts(leaf, case)
                for sense, angle in ((1, 0.3 * leaf.opens_to), (-1, 0.8 * leaf.opens_to)):
                    _, standing, demand, _ = directed(leaf, case, ice, angle, sense, 0.01)
                    if abs(standing.demand.value - demand.value) > TIGHT * (demand.size + standing.demand.size):
                        return False
                    seen += 1
        except Stuck:
            continue
    return seen > 20


# Pin at (3, 0), fixed point 4 m above the trunnion: 5 m long; the pin rises with 3 m/rad, of which 4/5 along
# the line: ds/dtheta = -2.4 m. The pull for 6 kN m is 2.5 kN along (-0.6, 0.8).
ABOVE = "on_leaf: [3 m, 0 m], {}: [0 m, 4 m]"


@check("a strut that pulls: force -2.5 kN, ratio 2.4/0.4 x 180, reaction (1500, -1000)")
def _():
    strut = f"drive: {{strut: {{{ABOVE.format('pinion')}, pinion_radius: 0.4 m, ratio: 180}}, efficiency: 0.5}}"
    row = closed(LOAD, strut, "motors: {installed: 2, power: 1 kW, speed: 10 rad/s}")
    return (
        close(row["force_opening_N"], -2500) and close(row["force_closing_N"], -2500)
        and close(row["motor_opening_Nm"], 6000 / 1080 / 0.5 / 2) and close(row["motor_closing_Nm"], -6000 / 1080 / 4)
        and close(row["reaction_opening_N"], math.hypot(1500, 1000))
    )  # fmt: skip


@check("cylinders: bore when pushing, less the rod when pulling; the loss raises the pressure, or lowers it overhauled")
def _():
    form = "drive: {{cylinder: {{{}, bore: 200 mm, rod: 120 mm, count: 2, pressure: 9 bar}}, efficiency: 0.8}}"
    pull = closed(LOAD, form.format(ABOVE.format("anchor")))
    push = closed(LOAD, form.format("on_leaf: [3 m, 0 m], anchor: [0 m, -4 m]"))
    bore, ring = 2 * math.pi * 0.01, 2 * math.pi * 0.0064
    return (
        close(push["force_opening_N"], 2500) and close(push["pressure_opening_Pa"], 2500 / bore / 0.8)
        and close(push["pressure_closing_Pa"], 2500 / bore * 0.8) and push["motor_opening_Nm"] is None
        and close(pull["pressure_opening_Pa"], 2500 / ring / 0.8) and close(pull["force_closing_N"], -2500)
    )  # fmt: skip


@check("a rack below the trunnion: 3 kN forward, and three quarters of it towards the trunnion either way")
def _():
    rack = "rack: {radius: 2 m, pinion: -90 degree, pressure_angle: 0.6435011087932844 rad}"
    row = closed(LOAD, f"drive: {{ratio: 10, efficiency: 1, {rack}}}")
    return close(row["force_opening_N"], 3000) and close(row["reaction_closing_N"], math.hypot(3000, 1000 - 2250))


RACK = "drive: {{ratio: 10, efficiency: 1, rack: {{radius: 2 m, pinion: {} degree, pressure_angle: 0 degree}}}}"
PIN = "trunnion: {{journal_diameter: {} m, friction: {{starting: 0.5, moving: 0.5}}}}"


@check("friction circle: a tooth ahead takes weight off the trunnion, W (a+k)/(R+k); one behind adds, W (a+k)/(R-k)")
def _():
    # 1 kN at a = 1 m, R = 2 m, k = 0.5 x d/2: the tooth's force stays below the weight while k < 1 m.
    load = "parts: [{name: p, weight: 1 kN, at: [1 m, 0 m]}]"
    for diameter in (0.4, 1.6, 3.6):
        k = diameter / 4
        ahead, behind = (closed(load, RACK.format(at), PIN.format(diameter)) for at in (0, 180))
        if not (
            close(ahead["force_opening_N"], 1000 * (1 + k) / (2 + k))
            and close(ahead["force_closing_N"], 1000 * (1 - k) / (2 - k))
            and close(behind["force_opening_N"], 1000 * (1 + k) / (2 - k))
            and close(behind["force_closing_N"], 1000 * (1 - k) / (2 + k))
            and close(behind["friction_opening_Nm"], k * behind["reaction_opening_N"])
        ):
            return False
    return True


@check("friction circle: it locks from where its radius is the rack's")
def _():
    try:
        closed(LOAD, RACK.format(180), PIN.format(8))
    except Stuck:
        return bool(closed(LOAD, RACK.format(180), PIN.format(7)))
    return False


# What follows turns a body without balance: 1000 kg m2 about the trunnion.
BALANCED = "parts: [{name: p, weight: 1000 kg, at: [0.000000000001 m, 0 m], gyration: 1 m}]"
MACHINE = "drive: {ratio: 100, efficiency: 0.5}"
MOTORS = "motors: {installed: 2, running: 1, power: 1 kW, speed: 100 rad/s, inertia: 0.05 kg m2}"
# 0.1 rad/s reached in 2 s and 0.1 rad; down to 0.02 rad/s in 4 s and 0.24 rad.
TRAVEL = "travel: {speed: 0.1 rad/s, accelerate_in: 2 s, creep: 0.2, near_open: 0.6 rad, "
TRAVEL += "near_closed: 0.3 rad, decelerate_in: 4 s}"


@check("duty of inertia alone: leaf's torque through gears and rotors' torque, four phases, over the period")
def _():
    often = "duty: {openings_per_hour: 60}"
    result = plain(reference.drive(leaf_of(BALANCED, MACHINE, MOTORS, TRAVEL, often, opens_to="1 rad")))
    climb = 1000 * 0.05 / 100 / 0.5 + 0.1 * 100 * 0.05
    fall = -1000 * 0.02 / 100 * 0.5 - 0.1 * 100 * 0.02
    creeps = [(1 - 0.6 - 0.24) / 0.02, (0.3 - 0.24) / 0.02]
    moving = 2 * (2 + 4) + 5 + 6 + sum(creeps)
    rms = math.sqrt(2 * (2 * climb**2 + 4 * fall**2) / 60)
    duty = result["duty"]
    return close(duty["rms_Nm"], rms, 1e-7) and close(duty["moving_s"], moving, 1e-9) and close(duty["rated_Nm"], 10)


@check("worst angle between rows: W R cos(theta + alpha) with alpha = -30.3 degree is largest at 30.3 degree")
def _():
    alpha = math.radians(30.3)
    point = f"[{10 * math.cos(alpha)!r} m, {-10 * math.sin(alpha)!r} m]"
    both = MOTORS.replace("running: 1, ", "")
    result = plain(reference.drive(leaf_of(f"parts: [{{name: p, weight: 1 kN, at: {point}}}]", MACHINE, both)))
    row, out = result["cases"][0], result["one_motor_out"][0]
    return (
        abs(row["worst_angle_deg"] - 30.3) < 1e-4 and close(row["motor_Nm"], 100, SEARCHED) and row["met"] is False
        and close(row["use"], 10, SEARCHED) and close(out["motor_Nm"], 200, SEARCHED)
        and close(result["next_sizes_W"][0], 10000) and close(result["next_sizes_W"][2], 12500)
    )  # fmt: skip


@check("an emergency stop: full speed in the delay, a ramp, then constant torque; the heat is the kinetic energy")
def _():
    # 1000 + 0.1 x 100^2 = 2000 kg m2 at 0.1 rad/s; 2 brakes of 1 N m x 25 + 1 of 2 N m x 25: 100 N m.
    brakes = "brakes: [{name: a, count: 2, torque: 1 N m, ratio: 25, delay: 1 s, set_time: 1 s}, "
    brakes += "{name: b, torque: 2 N m, ratio: 25, delay: 1 s, set_time: 1 s, heat_capacity: 1 J/K}]"
    hold = "holding: [{name: h}]"
    leaf = leaf_of(BALANCED, MACHINE, MOTORS, TRAVEL, brakes, hold, opens_to="1 rad")
    stop = plain(reference.brake(leaf))["emergency_stop"]
    # ramp: speed falls by 0.05 x 1/2 = 0.025, run 0.1 - 0.05/6; then 0.075 at 0.05 rad/s2: 1.5 s, 0.05625 rad
    run = 0.1 + 0.1 - 0.05 / 6 + 0.05625
    heat = [each["heat_J"] for each in stop["heat_J"]]
    return (
        close(stop["time_s"], 3.5, 1e-7) and close(math.radians(stop["run_deg"]), run, 1e-7)
        and close(math.radians(stop["peak_deceleration_deg_s2"]), 0.05, 1e-7)
        and close(heat[0], 2.5, 1e-7) and close(heat[1], 5, 1e-7) and stop["heat_J"][1]["temperature_rise_K"] == heat[1]
    )  # fmt: skip


TOWER = "surfaces: [{name: t, from: [0 m, 0 m], to: [0 m, 10 m], width: 2 m}]"


@check("holding: 6 kN m and 10 kN m of wind from either side, or from the toe alone; one brake out; credit")
def _():
    wind = "wind: {{pressure: 100 Pa{}}}"
    each = ["", ", from: toe"]
    rows = [f"{{name: h{k}, {wind.format(side)}, factor: 1.2}}" for k, side in enumerate(each)]
    rows.append(f"{{name: h2, {wind.format('')}, friction_credit: 0.5}}")
    brakes = "brakes: [{name: a, count: 2, torque: 80 N m, ratio: 100, delay: 0 s, set_time: 1 s}]"
    leaf = leaf_of(LOAD, TOWER, brakes, PIN.format(0.4), f"holding: [{', '.join(rows)}]", opens_to="0.001 degree")
    both, toe, credit = plain(reference.brake(leaf))["cases"]
    friction = 0.5 * 0.2 * math.hypot(2000, 1000)
    return (
        close(both["demand_Nm"], 16000, 1e-8) and close(both["factor"], 1, 1e-8) and not both["met"]
        and close(both["factor_one_out"], 0.5, 1e-8) and close(toe["demand_Nm"], 4000, 1e-4) and toe["met"]
        and close(credit["demand_Nm"], 16000 - friction / 2, 1e-8)
    )  # fmt: skip


@check("wind limits: the speeds at which motors or brakes are just used up; put back as a case, the use is 1")
def _():
    machine = ["drive: {ratio: 100, efficiency: 0.5}", "motors: {installed: 2, power: 30 kW, speed: 100 rad/s}"]
    brakes = "brakes: [{name: a, count: 2, torque: 100 N m, ratio: 100, delay: 0 s, set_time: 1 s}]"
    limits = "wind_limits: {law: projected, coefficient: 1.6, density: 1.25 kg/m3, motor_limit: 1.1, hold_factor: 1.25}"
    sections = [LOAD, TOWER, *machine, brakes, limits, "posted_wind: 10 m/s"]
    result = plain(reference.wind(leaf_of(*sections, opens_to="0.001 degree")))
    got = {each["action"]: each["limit_m_s"] for each in result["limits"]}
    # pressure v2 on 20 m2 at 5 m: 100 v2. Raise: 6000 + 100 v2 = 2 x 300 x 1.1 x 50; lower: 100 v2 - 6000 as much (what
    # overhauls comes later). Hold: 20000 = 1.25 (6000 + 100 v2); with one brake out half of it.
    held = [math.sqrt((able / 1.25 - 6000) / 100) for able in (20000, 10000)]
    back = f"cases: [{{name: c, motor_limit: 1.1, wind: {{speed: {got['raise']!r} m/s, coefficient: 1.6}}}}]"
    use = plain(reference.drive(leaf_of(LOAD, TOWER, *machine, back, opens_to="0.001 degree")))["cases"][0]["use"]
    return (
        close(got["raise"], math.sqrt(270), 1e-6) and close(got["lower"], math.sqrt(390), 1e-4)
        and close(got["hold"], held[0], 1e-6) and close(got["hold, one brake out"], held[1], 1e-6)
        and close(got["raise, one motor out"], math.sqrt(105), 1e-6) and close(use, 1, 1e-9)
        and result["posted"]["met"] is True
    )  # fmt: skip
