/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/balance.h"

#include <gsl/gsl_math.h>
#include <math.h>

#include "bodies.h"
#include "search.h"

static const trn_point trunnion = {0, 0};

trn_body trn_leaf_body(const trn_leaf *leaf)
{
    body_sum total = {0};
    for (size_t i = 0; i < leaf->part_count; i++) {
        body_sum_add(&total, trn_part_body(&leaf->parts[i], trunnion));
    }
    for (size_t i = 0; i < leaf->pocket_count; i++) {
        body_sum_add(&total, trn_pocket_body(&leaf->pockets[i], trunnion));
    }
    return body_sum_whole(&total);
}

/* Both bodies of a leaf with a linked counterweight; the second is empty without one. */
typedef struct bodies {
    trn_body leaf;
    trn_body counterweight; /* about its own pivot */
    const trn_linked_counterweight *linked;
} bodies;

static bodies bodies_of(const trn_leaf *leaf)
{
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    return (bodies){.leaf = trn_leaf_body(leaf),
                    .counterweight = linked != NULL ? trn_link_body(linked) : (trn_body){0},
                    .linked = linked};
}

static double moment_at(double angle_rad, const void *context)
{
    const bodies *both = context;
    const trn_rotation rotation = trn_rotation_by(angle_rad);
    const double leaf = trn_body_moment(both->leaf, rotation);
    if (both->linked == NULL) {
        return leaf;
    }
    const trn_link_state link = trn_link_at(both->linked, rotation);
    return leaf + trn_body_moment(both->counterweight, link.rotation) * link.rate;
}

/* The moment and minus its slope, closed: for one rigid body these are A and B. */
static trn_body closed_body(const bodies *both)
{
    trn_body whole = both->leaf;
    if (both->linked != NULL) {
        const trn_body other = both->counterweight;
        const trn_link_state link = trn_link_at(both->linked, trn_rotation_by(0));
        whole.weight_N += other.weight_N;
        whole.a_Nm += link.rate * other.a_Nm;
        whole.b_Nm += link.rate * link.rate * other.b_Nm - link.rate_change_rad * other.a_Nm;
        whole.inertia_kg_m2 += link.rate * link.rate * other.inertia_kg_m2;
    }
    return whole;
}

static trn_point centre_of(const bodies *both, double weight_N)
{
    if (!(weight_N > 0)) {
        return trunnion;
    }
    const trn_point pivot = both->linked != NULL ? both->linked->pivot : trunnion;
    const trn_body other = both->counterweight;
    return (trn_point){(both->leaf.a_Nm + other.a_Nm + other.weight_N * pivot.x) / weight_N,
                       (both->leaf.b_Nm + other.b_Nm + other.weight_N * pivot.y) / weight_N};
}

/* The first change of sign between closed and open, or a negative angle. A
   quarter of a degree parts the changes of sign of any leaf that moves. */
static double neutral_angle(const bodies *both, double opens_to_rad)
{
    const size_t parts = (size_t)ceil(opens_to_rad * (720 / M_PI));
    double low = 0;
    double at_low = moment_at(low, both);
    for (size_t i = 1; i <= parts; i++) {
        const double high = i == parts ? opens_to_rad : opens_to_rad * (double)i / (double)parts;
        const double at_high = moment_at(high, both);
        if (at_low * at_high < 0) {
            return search_root(moment_at, both, low, high);
        }
        if (fabs(at_high) > 0) {
            low = high;
            at_low = at_high;
        }
    }
    return -1;
}

trn_balance trn_leaf_balance(const trn_leaf *leaf)
{
    const bodies both = bodies_of(leaf);
    const trn_body body = closed_body(&both);
    const double neutral = neutral_angle(&both, leaf->opens_to_rad);
    return (trn_balance){
        .weight_N = body.weight_N,
        .mass_kg = body.weight_N / TRN_STANDARD_GRAVITY,
        .centre = centre_of(&both, body.weight_N),
        .closed_moment_Nm = body.a_Nm,
        .moment_Nm = hypot(body.a_Nm, body.b_Nm),
        .angle_rad = atan2(body.b_Nm, body.a_Nm),
        .inertia_kg_m2 = body.inertia_kg_m2,
        .toe_reaction_N = body.a_Nm / leaf->toe_m,
        .has_neutral_angle = neutral > 0,
        .neutral_angle_rad = fmax(neutral, 0),
    };
}
