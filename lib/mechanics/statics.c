/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "statics.h"

#include <math.h>

static const trn_link_state no_link;

void pose_at(const trn_loading *loading, double angle_rad, pose *at)
{
    const trn_leaf *leaf = loading->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    const trn_rotation rotation = trn_rotation_by(angle_rad);
    at->angle_rad = angle_rad;
    at->rotation = rotation;
    at->link = linked != NULL ? trn_link_at(linked, rotation) : no_link;
    at->counterweight_Nm = linked != NULL ? trn_body_moment(loading->counterweight, at->link.rotation) : 0;
    at->balance_Nm = trn_body_moment(loading->body, rotation) + at->counterweight_Nm * at->link.rate;
    at->ice_Nm = trn_body_moment(loading->ice, rotation);
    at->inertia_kg_m2 = loading->body.inertia_kg_m2 + loading->ice.inertia_kg_m2 +
                        loading->counterweight.inertia_kg_m2 * at->link.rate * at->link.rate;
    at->drive = leaf->drive != NULL ? trn_drive_at(leaf->drive, rotation) : (trn_drive_state){0};
}

link_forces link_in_balance(const trn_loading *loading, const pose *at, swing moving)
{
    const trn_linked_counterweight *linked = loading->leaf->linked_counterweight;
    if (linked == NULL) {
        return (link_forces){0};
    }
    const double sign = travel_sign(moving.direction);
    const double turning = sign * at->link.rate;
    const double sense = turning >= 0 ? 1 : -1;
    const double arm = turning > 0 || turning < 0 ? trn_journal_friction_arm(&linked->journal, moving.friction) : 0;
    const double swinging =
        turning * moving.acceleration_rad_s2 + at->link.rate_change_rad * moving.speed_rad_s * moving.speed_rad_s;
    const double inertia = loading->counterweight.inertia_kg_m2 * swinging;
    const double factor = sense / at->link.arm_m;
    const trn_journal_load load = {.others = {0, -loading->counterweight.weight_N},
                                   .moment_Nm = sense * (at->counterweight_Nm + inertia),
                                   .per_moment = {factor * at->link.along.x, factor * at->link.along.y}};
    const double reaction = trn_journal_reaction(load, arm);
    const double pull = factor * (load.moment_Nm + arm * reaction);
    return (link_forces){.on_leaf = {-pull * at->link.along.x, -pull * at->link.along.y},
                         .pull_N = pull,
                         .reaction_N = reaction,
                         .friction_Nm = arm * reaction * fabs(at->link.rate)};
}

/* What a linked counterweight whose ratio changes asks of the leaf at speed: J psi' psi'' omega^2, positive closes. */
static double centrifugal(const trn_loading *loading, const pose *at, swing moving)
{
    return loading->counterweight.inertia_kg_m2 * at->link.rate * at->link.rate_change_rad * moving.speed_rad_s *
           moving.speed_rad_s;
}

double torque_by_law(const trn_leaf *leaf, double ratio)
{
    return leaf->travel != NULL ? trn_motor_torque(leaf->motors, ratio * leaf->travel->speed_rad_s)
                                : trn_motor_peak_torque(leaf->motors);
}

/* The driving force on the leaf for each N m of demand; side is the sign of the demand. */
trn_point drive_per_moment(const trn_drive_state *drive, trn_direction direction, double side)
{
    if (!(fabs(drive->arm_m) > 0)) {
        return (trn_point){0, 0};
    }
    const double along = travel_sign(direction) / drive->arm_m;
    const double spread = side / fabs(drive->arm_m);
    return (trn_point){along * drive->along.x + spread * drive->spread.x,
                       along * drive->along.y + spread * drive->spread.y};
}

leaf_forces leaf_in_balance(const trn_loading *loading, const pose *at, swing moving, const trn_wind_action *act,
                            const link_forces *link)
{
    const trn_journal *journal = loading->leaf->trunnion;
    const double arm = trn_journal_friction_arm(journal, moving.friction);
    const double drag = journal == NULL ? 0 : journal->drag_Nm;
    const double sign = travel_sign(moving.direction);
    const double loads = at->balance_Nm + at->ice_Nm + act->moment_Nm;
    const double inertia = at->inertia_kg_m2 * moving.acceleration_rad_s2 + sign * centrifugal(loading, at, moving);
    const double rest = sign * loads + link->friction_Nm + inertia;
    trn_journal_load load = {
        .others = {act->force.x + link->on_leaf.x,
                   act->force.y + link->on_leaf.y - loading->body.weight_N - loading->ice.weight_N},
        .moment_Nm = rest + drag,
        .per_moment = drive_per_moment(&at->drive, moving.direction, 1)};
    const bool placed = fabs(at->drive.arm_m) > 0;
    double reaction = placed ? trn_journal_reaction(load, arm) : hypot(load.others.x, load.others.y);
    if (placed && load.moment_Nm + arm * reaction < 0) {
        load.per_moment = drive_per_moment(&at->drive, moving.direction, -1);
        reaction = trn_journal_reaction(load, arm);
    }
    const double friction = arm * reaction + drag;
    return (leaf_forces){
        .reaction_N = reaction, .friction_Nm = friction + link->friction_Nm, .demand_Nm = rest + friction};
}

double friction_share(const trn_loading *loading, const pose *at, trn_friction_state state)
{
    const trn_linked_counterweight *linked = loading->leaf->linked_counterweight;
    const trn_point force = drive_per_moment(&at->drive, TRN_OPENING, 1);
    const double leaf = trn_journal_friction_arm(loading->leaf->trunnion, state) * hypot(force.x, force.y);
    if (linked == NULL) {
        return leaf;
    }
    return fmax(leaf, trn_journal_friction_arm(&linked->journal, state) / fabs(at->link.arm_m));
}
