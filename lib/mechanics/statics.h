/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The balance of forces on a leaf that turns in one direction, for the files
 * of lib: at an angle, a speed and an acceleration, what its trunnions carry
 * and what its drive has to give.
 */
#ifndef STATICS_H
#define STATICS_H

#include "trunnion/moments.h"

/* What the position alone decides, before wind and direction of travel. */
typedef struct pose {
    double angle_rad;
    trn_rotation rotation;
    trn_link_state link;     /* all zero without a linked counterweight */
    double counterweight_Nm; /* moment of a linked counterweight about its own pivot, against psi */
    double balance_Nm;
    double ice_Nm;
    double inertia_kg_m2; /* leaf, ice, and a linked counterweight's J psi'^2 */
    trn_drive_state drive;
} pose;

/* Filled where it stands: a run would spend an eighth of its time on copies of it. */
void pose_at(const trn_loading *loading, double angle_rad, pose *at);

/* The action of a wind of 1 Pa from the heel, by the law of the case. */
trn_wind_action pose_unit_wind(const trn_loading *loading, trn_rotation rotation);

/* How the leaf turns, in the direction of travel. */
typedef struct swing {
    trn_direction direction;
    trn_friction_state friction;
    double speed_rad_s;
    double acceleration_rad_s2;
} swing;

/* +1 opening, -1 closing. */
static inline double travel_sign(trn_direction direction)
{
    return direction == TRN_OPENING ? 1 : -1;
}

/* What the law of a motor gives at the travel's speed, at a ratio; its peak where no travel is described. */
double torque_by_law(const trn_leaf *leaf, double ratio);

/* The driving force on the leaf for each N m of demand, 1/m; side is the sign of the demand. */
trn_point drive_per_moment(const trn_drive_state *drive, trn_direction direction, double side);

/* A linked counterweight in a direction of travel: the pull of its link, and its own trunnion. */
typedef struct link_forces {
    trn_point on_leaf; /* force of the link on the leaf */
    double pull_N;
    double reaction_N;
    double friction_Nm; /* of its trunnion, as felt at the leaf */
} link_forces;

link_forces link_in_balance(const trn_loading *loading, const pose *at, swing moving);

/* The leaf in a direction of travel: what its trunnion carries and what its drive has to give. */
typedef struct leaf_forces {
    double reaction_N;
    double friction_Nm; /* both trunnions and drag */
    double demand_Nm;   /* in the direction of travel, inertia included */
} leaf_forces;

/* act: what acts on the leaf beside weight, ice, link and drive. */
leaf_forces leaf_in_balance(const trn_loading *loading, const pose *at, swing moving, const trn_wind_action *act,
                            const link_forces *link);

/* How much of a driving force the friction that it makes takes up, at the leaf's or the counterweight's trunnion; 1
 * locks. */
double friction_share(const trn_loading *loading, const pose *at, trn_friction_state state);

#endif
