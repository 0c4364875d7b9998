# SPDX-License-Identifier: GPL-3.0-or-later
"""The reference held against hand calculations and published values, in TAP.

A second opinion must be right by itself. Each test is a leaf small enough to work out in its
comment. Sources: UP1 is OpenStax University Physics 1; HIB Hibbeler & Gupta, Engineering
Mechanics; KG Khurmi & Gupta, Theory of Machines; SUB Subramanya, 1000 Solved Problems; FOX Fox &
McDonald, Fluid Mechanics; ES Baker & Haynes, Engineering Statics; EM is US Army Corps of
Engineers EM 1110-2-2107 (2022), Appendix F.
"""

import math

import reference
import self_machinery  # noqa: F401, its checks run with these
from located import angles
from tap import check, run
from terms import plain
from units import QuantityError, quantity

EXACT = 1e-13
G0 = 9.80665

POINT = "parts: [{name: p, weight: 1000 kg, at: [3 m, 4 m], gyration: 2 m}]"
STRIP = "surfaces: [{name: s, from: [2 m, 0 m], to: [6 m, 0 m], width: 1 m, ice: true}]"


def leaf_of(*sections, opens_to="90 degree"):
    return reference.read("\n".join(["leaf: hand", f"opens_to: {opens_to}", "toe: 24 m", *sections]))


def weigh(*sections):
    return plain(reference.weigh(leaf_of(*sections)))


def row_at(degrees, *sections):
    """The only case's row at an angle."""
    leaf = leaf_of(*sections, opens_to=f"{max(degrees, 1)} degree")
    rows = reference.curve(leaf, math.radians(max(degrees, 1)))["cases"][0]["rows"]
    return plain(rows[-1] if degrees else rows[0])


def close(got, want, tolerance=EXACT):
    return abs(got - want) <= tolerance * abs(want)


@check("a mass point: 3-4-5, A = 3 W, B = 4 W, J = m (25 + 4), neutral at 90 degrees less alpha")
def _():
    w = weigh(POINT)
    alpha = math.degrees(math.asin(0.8))
    return (
        close(w["closed_moment_Nm"], 3000 * G0) and close(w["moment_Nm"], 5000 * G0)
        and close(w["angle_deg"], alpha) and close(w["neutral_angle_deg"], 90 - alpha)
        and close(w["inertia_kg_m2"], 29000) and close(w["toe_reaction_N"], 125 * G0)
    )  # fmt: skip


@check("a leaf heavy over the whole travel has no neutral angle")
def _():
    return weigh("parts: [{name: p, weight: 1 t, at: [3 m, -4 m]}]")["neutral_angle_deg"] is None


@check("a bar of 12 kN from -2 m to 10 m: x 4 m, J = W/g (144/12 + 16), by weight and by weight per length")
def _():
    forms = ["weight: 12 kN", "weight_per_length: 1 kN/m"]
    each = [weigh(f"parts: [{{name: b, {form}, from: [-2 m, 0 m], to: [10 m, 0 m]}}]") for form in forms]
    return all(close(w["inertia_kg_m2"], 12000 / G0 * 28) and close(w["x_m"], 4) for w in each)


@check("a slab of 100 kg/m2, 3 m wide, along 3-4-5, twice: weight 3000 kg in all")
def _():
    w = weigh("parts: [{name: s, weight_per_area: 100 kg/m2, width: 3 m, from: [0 m, 0 m], to: [3 m, 4 m], count: 2}]")
    return close(w["mass_kg"], 3000) and close(w["y_m"], 2) and close(w["inertia_kg_m2"], 3000 * 25 / 3)


@check("composite outline with a corner cut out: centroid (-0.348, 1.22) m (HIB Ex 9.10)")
def _():
    outline = "[[3 m, 0 m], [0 m, 3 m], [-2 m, 3 m], [-2 m, 1 m], [-3 m, 1 m], [-3 m, 0 m]]"
    w = weigh(f"parts: [{{name: b, unit_weight: 1 kN/m3, width: 1 m, outline: {outline}}}]")
    return close(w["x_m"], -4 / 11.5) and close(w["y_m"], 14 / 11.5) and close(w["weight_N"], 11500)


@check("the same with the corner as a void of the block's width; half the width takes half of it away")
def _():
    block = "outline: [[3 m, 0 m], [0 m, 3 m], [-3 m, 3 m], [-3 m, 0 m]]"
    void = "outline: [[-3 m, 1 m], [-3 m, 3 m], [-2 m, 3 m], [-2 m, 1 m]]"
    whole, half = (
        weigh(f"parts: [{{name: b, unit_weight: 1 kN/m3, width: 2 m, {block}, voids: [{{width: {wide} m, {void}}}]}}]")
        for wide in (2, 1)
    )
    return close(whole["x_m"], -4 / 11.5) and close(half["weight_N"], 25000) and close(half["x_m"], -6.5 / 12.5)


@check("a rectangle of 4 m by 2 m centred at (5, 1): J = m ((16 + 4)/12 + 26); a triangle m (b2 + h2)/18 + m r2")
def _():
    form = "parts: [{{name: b, unit_weight: 10 kg/m3, width: 1 m, outline: {}}}]"
    box = weigh(form.format("[[3 m, 0 m], [3 m, 2 m], [7 m, 2 m], [7 m, 0 m]]"))
    corner = weigh(form.format("[[0 m, 0 m], [6 m, 0 m], [0 m, 3 m]]"))  # centroid (2, 1), 90 kg
    return close(box["inertia_kg_m2"], 80 * (20 / 12 + 26)) and close(corner["inertia_kg_m2"], 90 * (45 / 18 + 5))


@check("a U on its side: slices cross four sides; area 7, from three rectangles; two of them weigh twice as much")
def _():
    corners = [(0, 0), (0, 3), (3, 3), (3, 2), (1, 2), (1, 1), (3, 1), (3, 0)]
    outline = ", ".join(f"[{x} m, {y} m]" for x, y in corners)
    w = weigh(f"parts: [{{name: u, unit_weight: 1 kg/m3, width: 1 m, outline: [{outline}], count: 2}}]")
    # back 1 x 3 at (0.5, 1.5); arms 2 x 1 at (2, 0.5) and (2, 2.5): J = sum of m ((a2 + b2)/12 + r2)
    inertia = 3 * (10 / 12 + 2.5) + 2 * (5 / 12 + 4.25) + 2 * (5 / 12 + 10.25)
    return close(w["mass_kg"], 14) and close(w["x_m"], 9.5 / 7) and close(w["inertia_kg_m2"], 2 * inertia)


@check("rod and sphere about the rod's end: 0.673 kg m2 (UP1 Ex 10.12)")
def _():
    rod = "{name: rod, weight: 2 kg, from: [0 m, 0 m], to: [0.5 m, 0 m]}"
    sphere = f"{{name: sphere, weight: 1 kg, at: [0.7 m, 0 m], gyration: {0.2 * math.sqrt(0.4):.17g} m}}"
    return close(weigh(f"parts: [{rod}, {sphere}]")["inertia_kg_m2"], 0.673, 0.0005 / 0.673)


@check("two rods as a T about the free end: 14.167 kg m2, centre 0.75 m out (HIB Ex 17.4)")
def _():
    rods = "{name: a, weight: 10 kg, from: [0 m, 0 m], to: [0 m, -1 m]}, "
    rods += "{name: b, weight: 10 kg, from: [-0.5 m, -1 m], to: [0.5 m, -1 m]}"
    w = weigh(f"parts: [{rods}]")
    return close(w["inertia_kg_m2"], 14.167, 1e-4) and close(w["y_m"], -0.75)


@check("weights 50, 10, 30 N at 0, 1.2, 2 m: 90 N at 0.8 m, 72 N m (ES ch 7)")
def _():
    points = ", ".join(f"{{name: p{x}, weight: {w} N, at: [{x} m, 0 m]}}" for w, x in ((50, 0), (10, 1.2), (30, 2)))
    w = weigh(f"parts: [{points}]")
    return close(w["x_m"], 0.8) and close(w["closed_moment_Nm"], 72) and close(w["weight_N"], 90)


@check("a pocket's blocks are a part after the parts: 40 of 45 kg at (-7.6, 0.4), no gyration")
def _():
    w = weigh(POINT, "pockets: [{name: k, at: [-7.6 m, 0.4 m], block: 45 kg, blocks: 40, room: 90}]")
    k = w["parts"][1]
    return k["name"] == "k" and close(k["weight_N"], 1800 * G0) and close(k["inertia_kg_m2"], 1800 * (7.6**2 + 0.16))


@check("balance at 30 degrees: W (3 cos - 4 sin)")
def _():
    return close(row_at(30, POINT)["balance_Nm"], 1000 * G0 * (3 * math.sqrt(3) / 2 - 2))


TRAVEL = "travel: {speed: 1 rad/s, accelerate_in: 2 s, creep: 0.1, near_open: 1 deg, "
TRAVEL += "near_closed: 1 deg, decelerate_in: 1 s}"
WIND = "cases: [{{name: w, wind: {{{}}}}}]"


@check("a chimney of 2.5 m by 50 m, C 0.33, 80 km/h, 1.2 kg/m3: 305.6 kN m (SUB Ex 9.13)")
def _():
    tower = "surfaces: [{name: c, from: [0 m, 0 m], to: [0 m, 50 m], width: 2.5 m}]"
    r = row_at(0, POINT, tower, WIND.format("speed: 80 km/h, coefficient: 0.33, density: 1.2 kg/m3"))
    return (
        close(r["wind_opening_Nm"], 305.6e3, 2e-4) and close(r["wind_closing_Nm"], -305.6e3, 2e-4)
        and close(r["opening_Nm"], 3000 * G0 + r["wind_opening_Nm"])
        and close(r["closing_Nm"], -3000 * G0 - r["wind_closing_Nm"])
    )  # fmt: skip


@check("a chimney of 1 m by 25 m, C 0.35, 50 km/h, 1.23 kg/m3: 12 975.6 N m (FOX Ex 9.6)")
def _():
    tower = "surfaces: [{name: c, from: [0 m, 0 m], to: [0 m, 25 m], width: 1 m}]"
    r = row_at(0, POINT, tower, WIND.format("speed: 50 km/h, coefficient: 0.35, density: 1.23 kg/m3, from: heel"))
    return close(r["wind_opening_Nm"], 12975.6, 1e-5) and r["wind_closing_Nm"] == r["wind_opening_Nm"]


@check("projected at 30 degrees on a deck from 2 m to 6 m: F = 100 x 4 x 1/2, at height 2 m")
def _():
    r = row_at(30, POINT, STRIP, WIND.format("pressure: 100 Pa, from: heel"))
    return close(r["wind_opening_Nm"], 400) and close(r["reaction_opening_N"], math.hypot(200, 1000 * G0))


@check("normal at 30 degrees: F = 100 x 4 on an arm of 4 m; it bears down with cos 30; from the toe it lifts")
def _():
    law = "pressure: 100 Pa, law: normal, from: "
    heel, toe = (row_at(30, POINT, STRIP, WIND.format(law + side)) for side in ("heel", "toe"))
    cosine = math.sqrt(3) / 2
    return (
        close(heel["wind_opening_Nm"], 1600) and close(toe["wind_closing_Nm"], -1600)
        and close(heel["reaction_opening_N"], math.hypot(200, 1000 * G0 + 400 * cosine))
        and close(toe["reaction_opening_N"], math.hypot(200, 1000 * G0 - 400 * cosine))
    )  # fmt: skip


@check("incidence: 30 of 90 degrees on the way to 1.2 gives 0.4; ends held; sloping down it pushes the other way")
def _():
    law = "pressure: 100 Pa, law: incidence, from: heel, normal_coefficient: "
    to_zero = WIND.format(law + "[[0 deg, 0], [90 deg, 1.2]]")
    straight = row_at(30, POINT, STRIP, to_zero)
    held = row_at(30, POINT, STRIP, WIND.format(law + "[[40 deg, 0.7], [90 deg, 1.2]]"))
    # At -45 degrees, 4 sqrt 2 long, on an arm of 2 sqrt 2.
    down = row_at(0, POINT, "surfaces: [{name: s, from: [0 m, 0 m], to: [4 m, -4 m], width: 1 m}]", to_zero)
    return (
        close(straight["wind_opening_Nm"], 640) and close(held["wind_opening_Nm"], 1120)
        and close(down["wind_opening_Nm"], -0.6 * 100 * 16)
    )  # fmt: skip


@check("incidence on a level strip: the sign of sin 0 is 0, closed and for an upright strip at 90 degrees")
def _():
    law = WIND.format("pressure: 100 Pa, law: incidence, normal_coefficient: [[0 deg, 0.5], [90 deg, 1.2]]")
    upright = "surfaces: [{name: s, from: [2 m, 1 m], to: [2 m, 5 m], width: 1 m}]"
    closed, raised = row_at(0, POINT, STRIP, law), row_at(90, POINT, upright, law)
    return closed["wind_opening_Nm"] == 0 and raised["wind_opening_Nm"] == 0 and raised["wind_closing_Nm"] == 0


@check("profile with exponent 1/2 is z/10: upright strip of 10 m, lowest 4 m: 2000/10 (4 x 16/2 + (1000 - 64)/3)")
def _():
    tower = "surfaces: [{name: c, from: [0 m, 0 m], to: [0 m, 10 m], width: 2 m, solidity: 50 %}]"
    profile = "profile: {exponent: 0.5, reference_height: 10 m, trunnion_height: 0 m, lowest: 4 m}"
    r = row_at(0, POINT, tower, WIND.format(f"pressure: 2 kPa, {profile}"))
    return close(r["wind_opening_Nm"], 68800, 1e-11)


@check("a strip that takes no wind has none; ice does not ask for solidity")
def _():
    quiet = STRIP.replace("ice: true", "ice: yes, wind: false, solidity: 0.5")
    r = row_at(60, POINT, quiet, "cases: [{name: w, ice: 500 N/m2, wind: {pressure: 1 kPa}}]")
    return r["wind_opening_Nm"] == 0 and close(r["ice_Nm"], 2000 * 4 * 0.5, 1e-12)


@check("ice of mass per area: 51 kg/m2 on 4 m2 adds to the reaction and to the inertia")
def _():
    travel = TRAVEL
    r = row_at(0, POINT, STRIP, travel, "cases: [{name: w, ice: 51 kg/m2, accelerating: true}]")
    return (
        close(r["inertia_Nm"], (29000 + 204 * (16 / 12 + 16)) / 2) and close(r["reaction_opening_N"], 1204 * G0)
        and close(r["opening_Nm"], (3000 + 816) * G0 + r["inertia_Nm"])
        and close(r["closing_Nm"], r["inertia_Nm"] - (3000 + 816) * G0)
    )  # fmt: skip


@check("a shaft of 60 mm under 2000 N, coefficient 0.03: 1.8 N m (KG Ex 10.15); drag adds; starting takes the other")
def _():
    load = "parts: [{name: p, weight: 2 kN, at: [1 m, 0 m]}]"
    shaft = "trunnion: {{journal_diameter: 60 mm, friction: {{starting: 0.06, moving: 3 %}}, drag: {}}}"
    plain_shaft = row_at(0, load, shaft.format("0 N m"))
    dragged = row_at(0, load, shaft.format("0.2 N m"), "cases: [{name: s, friction: starting}]")
    return close(plain_shaft["friction_opening_Nm"], 1.8) and close(dragged["friction_closing_Nm"], 3.8)


@check("reaction of 1336 and 363 kip, coefficient 0.3, radius 0.5 ft: 207.7 kip ft (EM)")
def _():
    load = "parts: [{name: p, weight: 363 kip, at: [1 ft, 0 ft]}]"
    wall = "surfaces: [{name: w, from: [0 ft, 0 ft], to: [0 ft, 1000 ft], width: 1 ft}]"
    pin = "trunnion: {journal_diameter: 1 ft, friction: {starting: 0.3, moving: 0.3}}"
    r = row_at(0, load, wall, pin, WIND.format("pressure: 1336 lbf/ft2"))
    return close(r["friction_opening_Nm"] / quantity("1 kip ft", "torque"), 207.7, 0.05 / 207.7)


@check("gears of 3.8 at 0.9: 1710 N m at the leaf is 500 N m at the motor; overhauled it gives 1710 x 0.9 / 3.8")
def _():
    load = "parts: [{name: p, weight: 1710 N, at: [1 m, 0 m]}]"
    r = row_at(0, load, "drive: {ratio: 3.8, efficiency: 0.9}", "motors: {installed: 1}")
    return close(r["motor_opening_Nm"], 500) and close(r["motor_closing_Nm"], -405)


@check("three motors, two running: all three rotors are turned, two share the torque")
def _():
    machine = ["drive: {ratio: 10, efficiency: [0.8, 0.5]}", "motors: {installed: 3, running: 2, inertia: 0.1 kg m2}"]
    travel = TRAVEL
    r = row_at(0, POINT, *machine, travel, "cases: [{name: a, accelerating: true}]")
    opening, rotors = 3000 * G0 + 14500, 0.3 * 10 * 0.5
    closing = 14500 - 3000 * G0
    return close(r["motor_opening_Nm"], (opening / 4 + rotors) / 2) and close(
        r["motor_closing_Nm"], (closing * 0.4 / 10 + rotors) / 2
    )


@check("no drive or no motors: null; no cases: still air; no trunnion: no friction")
def _():
    leaf = reference.curve(leaf_of(POINT, "motors: {installed: 1}"))
    r = plain(leaf["cases"][0]["rows"][0])
    return leaf["cases"][0]["name"] == "still air" and r["motor_opening_Nm"] is None and r["friction_opening_Nm"] == 0


@check("angles: 0, step, 2 step … and the end once")
def _():
    degree = math.radians(1)
    return (
        len(angles(76 * degree, degree)) == 77
        and angles(20 * degree, 7.5 * degree)[1:] == [7.5 * degree, 15 * degree, 20 * degree]
        and angles(20 * degree, 200 * degree) == [0, 20 * degree]
    )


@check("units by definition (NIST SP 811 B.8) and in every spelling of a product")
def _():
    wanted = [
        ("1 kip", "weight", 4448.2216152605), ("1 lb", "weight", 4.4482216152605), ("1 t", "weight", 9806.65),
        ("1psf", "pressure", 47.88025898033584), ("1 hp", "power", 745.69987158227022), ("1 mph", "speed", 0.44704),
        ("1 pcf", "density", 16.018463373960142), ("1 lb ft2", "inertia", 0.0421401100938048),
        ("1 slug.ft^2", "inertia", 1.3558179483314004), ("47 km/h", "speed", 47 / 3.6),
        ("30 rpm", "angular speed", math.pi), ("180°", "angle", math.pi), ("5 kN·m", "torque", 5000),
        ("1e1N m-2", "pressure", 10), ("15 %", "number", 0.15), ("+.5E+1 kg/m/m", "weight per area", 5 * G0),
        ("1 ton", "weight", 8896.443230521),
    ]  # fmt: skip
    return all(close(quantity(text, kind), value, 1e-15) for text, kind, value in wanted)


@check("a quantity of the wrong kind is refused")
def _():
    for text, kind in (("5 m", "angle"), ("5", "length"), ("5 kg/m2", "pressure"), ("5 qx", "length"), ("m", "length")):
        try:
            quantity(text, kind)
            return False
        except QuantityError:
            continue
    return True


if __name__ == "__main__":
    run("reference by hand")
