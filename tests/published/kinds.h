/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file kinds.h
 * The kinds of check: which calls of the library answer, and the results that
 * they give. Mechanics; see quantities.h for units.
 */
#ifndef TRN_PUBLISHED_KINDS_H
#define TRN_PUBLISHED_KINDS_H

#include "inputs.h"

#define RESULTS_MAX 20

/* One result of the library, by name. */
typedef struct result {
    const char *name;
    dimension of;
    double si;
} result;

typedef struct results {
    result at[RESULTS_MAX];
    size_t count;
} results;

static void add_result(results *into, const char *name, dimension of, double si)
{
    into->at[into->count++] = (result){name, of, si};
}

/* A leaf at an angle: weight, centre, moments, inertia, reaction, friction. */
static void run_leaf(const inputs *in, const check *of, results *out)
{
    trn_balance balance = trn_leaf_balance(&in->leaf);
    trn_moments row;
    trn_error error;
    if (trn_leaf_curve(&in->leaf, &in->load_case, &in->angle_rad, 1, &row, &error) != TRN_OK)
        bail_out(of->file, of->line, "the library refuses the check", error.text);
    add_result(out, "weight", WEIGHT, balance.weight_N);
    add_result(out, "x", LENGTH, balance.centre.x);
    add_result(out, "y", LENGTH, balance.centre.y);
    add_result(out, "closed_moment", MOMENT, balance.closed_moment_Nm);
    add_result(out, "height_moment", MOMENT, trn_leaf_body(&in->leaf).b_Nm);
    add_result(out, "moment", MOMENT, row.balance_Nm);
    add_result(out, "inertia", INERTIA, balance.inertia_kg_m2);
    add_result(out, "toe_reaction", WEIGHT, balance.toe_reaction_N);
    add_result(out, "speeding_up", MOMENT, row.inertia_Nm);
    add_result(out, "reaction", WEIGHT, row.reaction_opening_N);
    add_result(out, "friction", MOMENT, row.friction_opening_Nm);
    /* Small swings of the leaf as a pendulum: inertia and imbalance in one figure. */
    add_result(out, "period", TIME, 2 * PI * sqrt(balance.inertia_kg_m2 / balance.moment_Nm));
}

static void run_area(const inputs *in, const check *of, results *out)
{
    if (!trn_polygon_is_simple(in->outline))
        bail_out(of->file, of->line, "the library does not take the outline as simple", of->name);
    trn_area area = trn_polygon_area(in->outline);
    add_result(out, "area", AREA, area.area_m2);
    add_result(out, "x", LENGTH, area.centroid.x);
    add_result(out, "y", LENGTH, area.centroid.y);
    add_result(out, "polar", POLAR_SECOND_MOMENT, area.polar_m4);
}

static void run_wind(const inputs *in, const check *of, results *out)
{
    trn_loading loading;
    trn_error error;
    if (trn_loading_prepare(&in->leaf, &in->load_case, &loading, &error) != TRN_OK)
        bail_out(of->file, of->line, "the library refuses the check", error.text);
    trn_wind_action action = trn_loading_wind(&loading, TRN_OPENING, in->angle_rad);
    add_result(out, "pressure", PRESSURE, trn_wind_pressure(&in->load_case.wind));
    add_result(out, "moment", MOMENT, action.moment_Nm);
    add_result(out, "along", WEIGHT, action.force.x);
    add_result(out, "down", WEIGHT, -action.force.y);
    /* Pressure goes with the square of the speed, and so does its factor. */
    add_result(out, "speed", SPEED,
               in->load_case.wind.speed_m_s * sqrt(trn_wind_height_factor(in->load_case.wind.profile, in->height_m)));
}

static void run_journal(const inputs *in, const check *of, results *out)
{
    (void)of;
    double handbook = trn_journal_friction(&in->journal, TRN_FRICTION_MOVING, in->load_N);
    double circle = in->load_N * in->journal.diameter_m / 2 * sin(atan(in->journal.friction.moving));
    add_result(out, "friction", MOMENT, handbook);
    add_result(out, "circle_gap", PURE, 1 - circle / handbook);
}

static void run_drive(const inputs *in, const check *of, results *out)
{
    (void)of;
    add_result(out, "torque", MOMENT, in->drive_torque_Nm);
}

static void run_motor(const inputs *in, const check *of, results *out)
{
    (void)of;
    add_result(out, "torque", MOMENT, trn_motor_rated_torque(&in->motors));
}

#endif
