/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/balance.h"

#include <gsl/gsl_math.h>
#include <math.h>

static const trn_point trunnion = {0, 0};

trn_body trn_leaf_body(const trn_leaf *leaf)
{
    trn_body total = {0};
    for (size_t i = 0; i < leaf->part_count; i++) {
        total = trn_body_sum(total, trn_part_body(&leaf->parts[i], trunnion));
    }
    for (size_t i = 0; i < leaf->pocket_count; i++) {
        total = trn_body_sum(total, trn_pocket_body(&leaf->pockets[i], trunnion));
    }
    return total;
}

/* A cos - B sin is zero where tan = A/B: once in each half turn. */
static double zero_of_moment(trn_body body)
{
    const double angle = atan2(body.a_Nm, body.b_Nm);
    return angle < 0 ? angle + M_PI : angle;
}

trn_balance trn_leaf_balance(const trn_leaf *leaf)
{
    const trn_body body = trn_leaf_body(leaf);
    const bool weighs = body.weight_N > 0;
    const double zero = zero_of_moment(body);
    const bool in_travel = (fabs(body.a_Nm) > 0 || fabs(body.b_Nm) > 0) && zero > 0 && zero < leaf->opens_to_rad;
    return (trn_balance){
        .weight_N = body.weight_N,
        .mass_kg = body.weight_N / TRN_STANDARD_GRAVITY,
        .centre = {weighs ? body.a_Nm / body.weight_N : 0, weighs ? body.b_Nm / body.weight_N : 0},
        .closed_moment_Nm = body.a_Nm,
        .moment_Nm = hypot(body.a_Nm, body.b_Nm),
        .angle_rad = atan2(body.b_Nm, body.a_Nm),
        .inertia_kg_m2 = body.inertia_kg_m2,
        .toe_reaction_N = body.a_Nm / leaf->toe_m,
        .has_neutral_angle = in_travel,
        .neutral_angle_rad = in_travel ? zero : 0,
    };
}
