/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/holding.h"

#include <math.h>

#include "bends.h"
#include "search.h"
#include "support.h"
#include "trunnion/moments.h"

static double at_leaf(const trn_brake *brake)
{
    return brake->torque_Nm * brake->ratio;
}

double trn_brake_capacity(const trn_leaf *leaf)
{
    double capacity = 0;
    for (size_t i = 0; i < leaf->brake_count; i++) {
        capacity += leaf->brakes[i].count * at_leaf(&leaf->brakes[i]);
    }
    return capacity;
}

double trn_brake_strongest(const trn_leaf *leaf)
{
    double strongest = 0;
    for (size_t i = 0; i < leaf->brake_count; i++) {
        strongest = fmax(strongest, at_leaf(&leaf->brakes[i]));
    }
    return strongest;
}

/* One side of the wind of a holding. The leaf has no drive: at rest it carries nothing. */
typedef struct side {
    trn_case load_case;
    trn_loading loading;
    bool counts; /* whether the holding has wind from this side */
} side;

/* A holding made ready: wind from the heel, and from the toe. */
typedef struct hold {
    trn_leaf leaf;
    side sides[2];
    double credit;
} hold;

static trn_status prepare_side(const trn_leaf *leaf, const trn_holding *holding, trn_wind_side from, side *made,
                               trn_error *error)
{
    made->load_case = trn_default_case();
    made->load_case.friction = TRN_FRICTION_STARTING;
    made->load_case.wind = holding->wind;
    made->load_case.wind.from = from;
    made->load_case.ice_N_m2 = holding->ice_N_m2;
    made->counts = holding->wind.from == TRN_WIND_FROM_ADVERSE || holding->wind.from == from;
    return trn_loading_prepare(leaf, &made->load_case, &made->loading, error);
}

static trn_status prepare(const trn_leaf *leaf, const trn_holding *holding, hold *made, trn_error *error)
{
    made->leaf = *leaf;
    made->leaf.drive = NULL;
    made->credit = holding->friction_credit;
    const trn_status status = prepare_side(&made->leaf, holding, TRN_WIND_FROM_HEEL, &made->sides[0], error);
    return status == TRN_OK ? prepare_side(&made->leaf, holding, TRN_WIND_FROM_TOE, &made->sides[1], error) : status;
}

/* Friction helps against the way in which the leaf would run. */
static double side_demand(const side *of, double credit, double angle_rad)
{
    const trn_moments at = trn_loading_moments(&of->loading, angle_rad);
    const double net = at.balance_Nm + at.ice_Nm + at.wind_opening_Nm;
    return fabs(net) - credit * (net > 0 ? at.friction_closing_Nm : at.friction_opening_Nm);
}

static double demand_at(double angle_rad, const void *context)
{
    const hold *held = context;
    double demand = 0;
    for (size_t i = 0; i < 2; i++) {
        if (held->sides[i].counts) {
            demand = fmax(demand, side_demand(&held->sides[i], held->credit, angle_rad));
        }
    }
    return demand;
}

trn_status trn_holding_demand(const trn_leaf *leaf, const trn_holding *holding, const double *angles_rad, size_t count,
                              double *demands_Nm, trn_error *error)
{
    hold held = {0};
    const trn_status status = prepare(leaf, holding, &held, error);
    if (status != TRN_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        demands_Nm[i] = demand_at(angles_rad[i], &held);
    }
    return TRN_OK;
}

static double factor_of(double capacity_Nm, double demand_Nm)
{
    return demand_Nm > 0 ? capacity_Nm / demand_Nm : HUGE_VAL;
}

trn_status trn_leaf_holding(const trn_leaf *leaf, const trn_holding *holding, trn_holding_rating *rating,
                            trn_error *error)
{
    hold held = {0};
    if (leaf->brake_count == 0) {
        return missing_section(error, "brakes");
    }
    const trn_status status = prepare(leaf, holding, &held, error);
    if (status != TRN_OK) {
        return status;
    }
    const wind_on_leaf blown = {leaf, trn_wind_pressure(&holding->wind) > 0 ? &holding->wind : NULL};
    const search_range travel = travel_in_steps(&blown, DEGREE / 4);
    const double angle = search_largest(demand_at, &held, &travel);
    const double demand = demand_at(angle, &held);
    const double capacity = trn_brake_capacity(leaf);
    const double factor = factor_of(capacity, demand);
    *rating = (trn_holding_rating){.worst_angle_rad = angle,
                                   .demand_Nm = demand,
                                   .capacity_Nm = capacity,
                                   .factor = factor,
                                   .factor_one_out = factor_of(capacity - trn_brake_strongest(leaf), demand),
                                   .required = holding->factor,
                                   .met = factor >= holding->factor};
    return TRN_OK;
}
