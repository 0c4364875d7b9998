/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Moments at one angle in two steps, for who asks at one angle for many winds.
 */
#ifndef POSE_H
#define POSE_H

#include "trunnion/moments.h"

/* What the position alone decides, before wind and direction of travel. */
typedef struct pose {
    double angle_rad;
    trn_rotation rotation;
    trn_link_state link;     /* all zero without a linked counterweight */
    double counterweight_Nm; /* moment of a linked counterweight about its own pivot, against psi */
    double balance_Nm;
    double inertia_kg_m2;
    trn_drive_state drive;
} pose;

pose pose_at(const trn_loading *loading, double angle_rad);

/* The action of a wind of 1 Pa from the heel, by the law of the case. */
trn_wind_action pose_unit_wind(const trn_loading *loading, trn_rotation rotation);

/* The moments with the loading's pressure. */
trn_moments pose_moments(const trn_loading *loading, const pose *at, trn_wind_action unit);

#endif
