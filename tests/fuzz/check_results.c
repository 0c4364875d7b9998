/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "checks.h"
#include "require.h"
#include "trunnion/balance.h"
#include "trunnion/moments.h"

#define ANGLES ((size_t)5)
/* Enough to meet every kind of case, few enough that many inputs are tried. */
#define CASES_MAX ((size_t)12)

static void check_parts(const trn_part *parts, size_t count)
{
    const trn_point trunnion = {0, 0};
    for (size_t i = 0; i < count; i++) {
        const trn_body body = trn_part_body(&parts[i], trunnion);
        const trn_point centroid = trn_part_centroid(&parts[i]);
        REQUIRE(isfinite(body.weight_N));
        REQUIRE(isfinite(body.a_Nm) && isfinite(body.b_Nm) && isfinite(body.inertia_kg_m2));
        REQUIRE(isfinite(centroid.x) && isfinite(centroid.y));
    }
}

static void check_balance(const trn_leaf *leaf)
{
    trn_leaf undriven = *leaf;
    undriven.drive = NULL;
    if (trn_leaf_check_motion(&undriven, NULL) != TRN_OK) {
        return;
    }
    const trn_balance balance = trn_leaf_balance(leaf);
    const double numbers[] = {balance.weight_N,         balance.mass_kg,   balance.centre.x,  balance.centre.y,
                              balance.closed_moment_Nm, balance.moment_Nm, balance.angle_rad, balance.inertia_kg_m2,
                              balance.toe_reaction_N,   balance.neutral_angle_rad};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        REQUIRE(isfinite(numbers[i]));
    }
    REQUIRE(!balance.has_neutral_angle ||
            (balance.neutral_angle_rad > 0 && balance.neutral_angle_rad < leaf->opens_to_rad));
}

static void check_moments(const trn_moments *at)
{
    const double numbers[] = {
        at->angle_rad,           at->balance_Nm,          at->wind_opening_Nm,    at->wind_closing_Nm,
        at->ice_Nm,              at->friction_opening_Nm, at->friction_closing_Nm, at->inertia_Nm,
        at->opening_Nm,          at->closing_Nm,          at->motor_opening_Nm,   at->motor_closing_Nm,
        at->reaction_opening_N,  at->reaction_closing_N};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        REQUIRE(isfinite(numbers[i]));
    }
    REQUIRE(at->friction_opening_Nm >= 0 && at->friction_closing_Nm >= 0);
    REQUIRE(at->reaction_opening_N >= 0 && at->reaction_closing_N >= 0);
}

static void check_curve(const trn_leaf *leaf, const trn_case *load_case)
{
    static const double shares[ANGLES] = {0, 0.13, 0.5, 0.91, 1};
    double angles_rad[ANGLES];
    trn_moments rows[ANGLES];
    trn_error error;
    for (size_t i = 0; i < ANGLES; i++) {
        angles_rad[i] = shares[i] * leaf->opens_to_rad;
    }
    const trn_status status = trn_leaf_curve(leaf, load_case, angles_rad, ANGLES, rows, &error);
    if (status != TRN_OK) {
        REQUIRE(error.status == status);
        check_message(error.text, sizeof error.text);
        return;
    }
    for (size_t i = 0; i < ANGLES; i++) {
        check_moments(&rows[i]);
    }
}

void check_results(const trn_leaf *leaf)
{
    check_parts(leaf->parts, leaf->part_count);
    if (leaf->linked_counterweight) {
        check_parts(leaf->linked_counterweight->parts, leaf->linked_counterweight->part_count);
    }
    check_balance(leaf);
    for (size_t i = 0; i < leaf->case_count && i < CASES_MAX; i++) {
        check_curve(leaf, &leaf->cases[i]);
    }
}
