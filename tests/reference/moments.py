# SPDX-License-Identifier: GPL-3.0-or-later
"""What `curve` answers: the moments at an angle, term by term."""

import math

import shapes
from equilibrium import Motion, ice_moment, stand, wind_and_ice
from located import angles
from terms import Term
from wind import length_between


def ice_parts(leaf, case):
    """The ice of every surface that takes it, as bars on its gross area."""
    strips = [surface for surface in leaf.surfaces if surface.ice] if case.ice else []
    weights = [case.ice * strip.width * length_between(strip.ends) for strip in strips]
    return [shapes.line("ice", weight, strip.ends, (0.0, 0.0)) for weight, strip in zip(weights, strips)]


def acceleration(leaf, case):
    if not case.accelerating:
        return 0.0
    if leaf.travel is None:
        raise ValueError(f"case {case.name!r} accelerates and the leaf has no travel")
    return leaf.travel.acceleration


def motor_torque(leaf, demand, alpha, angle, running=None, growing=0.0):
    """Of each running motor. The loss is on the side that gives the power; all motors' rotors are turned.

    growing is the speed squared where the leaf opens, less that where it closes: a ratio that grows speeds rotors up.
    """
    if leaf.drive is None or leaf.motors is None or leaf.drive.pressed:
        return None
    ratio, growth = leaf.drive.ratio_and_growth(angle)
    loss = leaf.drive.efficiency
    shaft = demand / (ratio * loss) if demand.value >= 0 else demand * (loss / ratio)
    return (shaft + Term(leaf.motors.inertia * (ratio * alpha + growth * growing))) / (running or leaf.motors.running)


def centrifugal(leaf, pose, sense, turning):
    """What a counterweight whose ratio changes asks of the leaf at a speed, whose square is turning."""
    if not pose.link:
        return Term(0.0)
    return leaf.linked.body.inertia() * (sense * pose.link.turn.first * pose.link.turn.second * turning)


def directed(leaf, case, ice, angle, sense, alpha, turning=0.0):
    """What depends on the direction of travel: wind's moment, equilibrium, demand."""
    sense_of_wind = case.wind.sense(sense > 0) if case.wind else 0
    pose = leaf.pose(angle)
    moment, load = wind_and_ice(leaf, case, ice, angle, sense_of_wind)
    standing = stand(leaf, pose, load, Motion(sense, case.state, alpha, turning))
    inertia = (pose.inertia + load.inertia) * alpha + centrifugal(leaf, pose, sense, turning)
    demand = (pose.balance + load.closing) * sense + standing.friction + inertia
    return moment, standing, demand, inertia


def machine_keys(leaf, opening, closing):
    """What rows have for a drive whose place is described, and for a linked counterweight."""
    keys, pair = {}, ((opening, "opening"), (closing, "closing"))
    if leaf.drive and leaf.drive.described:
        keys.update({f"force_{way}_N": standing.force for (_, standing, _, _), way in pair})
    if leaf.drive and leaf.drive.pressed:
        keys.update({f"pressure_{way}_Pa": leaf.drive.pressure(standing.force, demand)
                     for (_, standing, demand, _), way in pair})  # fmt: skip
    if leaf.linked:
        keys.update({f"link_{way}_N": standing.link for (_, standing, _, _), way in pair})
        keys.update({f"counterweight_reaction_{way}_N": standing.counterweight_reaction
                     for (_, standing, _, _), way in pair})  # fmt: skip
    return keys


def row(leaf, case, ice, angle):
    alpha = acceleration(leaf, case)
    opening, closing = (directed(leaf, case, ice, angle, sense, alpha) for sense in (1, -1))
    return {
        "angle_deg": Term(math.degrees(angle)),
        "balance_Nm": leaf.pose(angle).balance,
        "wind_opening_Nm": opening[0],
        "wind_closing_Nm": closing[0],
        "ice_Nm": ice_moment(ice, angle),
        "friction_opening_Nm": opening[1].friction,
        "friction_closing_Nm": closing[1].friction,
        "inertia_Nm": opening[3],
        "opening_Nm": opening[2],
        "closing_Nm": closing[2],
        "motor_opening_Nm": motor_torque(leaf, opening[2], alpha, angle),
        "motor_closing_Nm": motor_torque(leaf, closing[2], alpha, angle),
        "reaction_opening_N": opening[1].reaction,
        "reaction_closing_N": closing[1].reaction,
        **machine_keys(leaf, opening, closing),
    }


def curve(leaf, step=math.radians(1)):
    leaf.check()
    cases = []
    for case in leaf.cases:
        ice = ice_parts(leaf, case)
        rows = [row(leaf, case, ice, angle) for angle in angles(leaf.opens_to, step)]
        cases.append({"name": case.name, "rows": rows})
    return {"leaf": leaf.name, "cases": cases}
