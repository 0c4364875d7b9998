/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The balance of forces on leaf and linked counterweight, of exact_loads.h. */
#include "exact_loads.h"

namespace
{

/* What a linked counterweight does to the leaf. */
struct pull {
    exact_point on_leaf;
    exact pull;
    exact reaction;
    exact friction; /* as felt at the leaf */
};

/* Moments about the counterweight's own trunnion: the pull turns it against its weight, its inertia, its friction. */
pull pull_of(const trn_leaf &leaf, trn_friction_state state, const exact &acceleration, int way, double angle)
{
    const trn_linked_counterweight *linked = leaf.linked_counterweight;
    if (linked == NULL)
        return {{0, 0}, 0, 0, 0};
    const exact_body body = link_body(*linked);
    const exact_link at = link_at(*linked, angle);
    const exact moment = body.a * at.cosine - body.b * at.sine;
    const int turns = way * at.rate.value >= 0 ? 1 : -1;
    const exact arm = friction_arm(&linked->journal, state);
    /* psi'' theta'^2 is 0: a case has no speed. */
    const exact overcome = turns * moment + turns * (way * at.rate * acceleration) * body.inertia;
    const exact_point per_moment = {turns / at.arm * at.along.x, turns / at.arm * at.along.y};
    const exact_point without = exact_point{0, -body.weight} + overcome * per_moment;
    const exact reaction = reaction_of(without, per_moment, arm);
    const exact force = turns / at.arm * (overcome + arm * reaction);
    return {{-force * at.along.x, -force * at.along.y}, force, reaction, arm * reaction * abs(at.rate)};
}

exact_point per_moment_of(const exact_drive &drive, int way, int side)
{
    if (!(magnitude(drive.arm) > 0))
        return {0, 0};
    return {way / drive.arm * drive.along.x + side / abs(drive.arm) * drive.spread.x,
            way / drive.arm * drive.along.y + side / abs(drive.arm) * drive.spread.y};
}

void add_machinery(const trn_leaf &leaf, const exact_drive &drive, const exact &acceleration, int way, exact_way &made)
{
    const bool cylinders = leaf.drive->kind == TRN_DRIVE_CYLINDER;
    if (magnitude(drive.arm) > 0)
        made.force = way * made.demand / drive.arm;
    if (cylinders) {
        const exact lossless = cylinder_pressure(leaf.drive->cylinder, made.force);
        made.pressure = made.demand.value >= 0 ? lossless / leaf.drive->efficiency : lossless * leaf.drive->efficiency;
        return;
    }
    if (leaf.motors == NULL)
        return;
    const exact rotors = leaf.motors->installed * exact(leaf.motors->inertia_kg_m2) * drive.ratio * acceleration;
    made.motor = (drive_torque(made.demand, drive.ratio, leaf.drive->efficiency) + rotors) / leaf.motors->running;
}

} // namespace

exact_way way_of(const trn_leaf &leaf, const trn_case &load_case, trn_direction direction, double angle)
{
    const int way = direction == TRN_OPENING ? 1 : -1;
    const int sense = load_case.wind.from == TRN_WIND_FROM_ADVERSE ? way
                      : load_case.wind.from == TRN_WIND_FROM_HEEL  ? 1
                                                                   : -1;
    const exact acceleration = load_case.accelerating ? travel_acceleration(*leaf.travel) : exact(0);
    const exact_wind unit = wind_on(leaf, load_case.wind, angle);
    const exact pressure = sense * wind_pressure(load_case.wind);
    const pull link = pull_of(leaf, load_case.friction, acceleration, way, angle);
    const exact_drive drive =
        leaf.drive != NULL ? drive_at(*leaf.drive, angle) : exact_drive{0, 0, 0, 0, {0, 0}, {0, 0}};
    const exact arm = friction_arm(leaf.trunnion, load_case.friction);
    const exact drag = leaf.trunnion != NULL ? leaf.trunnion->drag_Nm : 0;
    const exact wind = pressure * unit.moment;
    const exact rest = way * (balance_at(leaf, angle) + ice_moment(leaf, load_case.ice_N_m2, angle) + wind) +
                       link.friction + inertia_at(leaf, load_case, angle) * acceleration;
    const exact weight = leaf_body(leaf).weight + ice_body(leaf, load_case.ice_N_m2).weight;
    const exact_point others = pressure * unit.force + link.on_leaf - exact_point{0, weight};
    exact_point v = per_moment_of(drive, way, 1);
    exact reaction = reaction_of(others + (rest + drag) * v, v, arm);
    if ((rest + drag + arm * reaction).value < 0) {
        v = per_moment_of(drive, way, -1);
        reaction = reaction_of(others + (rest + drag) * v, v, arm);
    }
    const exact friction = arm * reaction + drag;
    exact_way made = {wind, friction + link.friction, rest + friction, 0, reaction, 0, 0, link.pull, link.reaction};
    if (leaf.drive != NULL)
        add_machinery(leaf, drive, acceleration, way, made);
    return made;
}
