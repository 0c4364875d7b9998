/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments, holding, ratings and limits of measures.h. */
#include "exact_times.h"
#include "measures.h"

static void check_way(bounds &on, const trn_moments &got, const exact_way &want, bool opening)
{
    const char *function = "trn_loading_moments";
    on.check(function, "wind", opening ? got.wind_opening_Nm : got.wind_closing_Nm, want.wind);
    on.check(function, "friction", opening ? got.friction_opening_Nm : got.friction_closing_Nm, want.friction);
    on.check(function, "demand", opening ? got.opening_Nm : got.closing_Nm, want.demand);
    on.check(function, "reaction", opening ? got.reaction_opening_N : got.reaction_closing_N, want.reaction);
    if (got.has_motor)
        on.check(function, "motor", opening ? got.motor_opening_Nm : got.motor_closing_Nm, want.motor);
    if (got.has_force)
        on.check(function, "force", opening ? got.force_opening_N : got.force_closing_N, want.force);
    if (got.has_pressure)
        on.check(function, "pressure", opening ? got.pressure_opening_Pa : got.pressure_closing_Pa, want.pressure);
    if (got.has_link) {
        on.check(function, "link", opening ? got.link_opening_N : got.link_closing_N, want.link);
        on.check(function, "counterweight reaction",
                 opening ? got.counterweight_reaction_opening_N : got.counterweight_reaction_closing_N,
                 want.counterweight_reaction);
    }
}

void measure_moments(bounds &on, chance_leaf &with, double angle)
{
    const trn_leaf &leaf = with.leaf;
    trn_loading loading;
    if (trn_loading_prepare(&leaf, &with.load_case, &loading, NULL) != TRN_OK)
        return;
    const trn_moments got = trn_loading_moments(&loading, angle);
    const exact_way opening = way_of(leaf, with.load_case, TRN_OPENING, angle);
    const exact_way closing = way_of(leaf, with.load_case, TRN_CLOSING, angle);
    const exact acceleration = with.load_case.accelerating ? travel_acceleration(*leaf.travel) : exact(0);
    const exact inertia = inertia_at(leaf, with.load_case, angle);
    on.check("trn_loading_moments", "balance", got.balance_Nm, balance_at(leaf, angle));
    on.check("trn_loading_moments", "ice", got.ice_Nm, ice_moment(leaf, with.load_case.ice_N_m2, angle));
    on.check("trn_loading_moments", "inertia", got.inertia_Nm, inertia * acceleration);
    check_way(on, got, opening, true);
    check_way(on, got, closing, false);
    on.check("trn_loading_inertia", "inertia", trn_loading_inertia(&loading, angle), inertia);
    on.check("trn_loading_balance", "balance", trn_loading_balance(&loading, angle), balance_at(leaf, angle));
    const trn_wind_action wind = trn_loading_wind(&loading, TRN_CLOSING, angle);
    const exact sense = with.load_case.wind.from == TRN_WIND_FROM_HEEL ? 1 : -1;
    const exact_wind unit = wind_on(leaf, with.load_case.wind, angle);
    const exact pressure = sense * wind_pressure(with.load_case.wind);
    on.check("trn_loading_wind", "moment, force", wind.moment_Nm, pressure * unit.moment);
    on.check("trn_loading_wind", "moment, force", wind.force.x, pressure * unit.force.x);
    on.check("trn_loading_wind", "moment, force", wind.force.y, pressure * unit.force.y);
}

void measure_holding(bounds &on, chance_leaf &with, double angle)
{
    const trn_leaf &leaf = with.leaf;
    on.check("trn_brake_capacity", "capacity", trn_brake_capacity(&leaf), brake_capacity(leaf));
    on.check("trn_brake_strongest", "capacity", trn_brake_strongest(&leaf), brake_strongest(leaf));
    double demand = 0;
    trn_holding_rating rating;
    if (trn_holding_demand(&leaf, &with.holding, &angle, 1, &demand, NULL) != TRN_OK)
        return;
    on.check("trn_holding_demand", "demand", demand, holding_demand(leaf, with.holding, angle));
    if (trn_leaf_holding(&leaf, &with.holding, &rating, NULL) != TRN_OK || strikes_level(leaf, rating.worst_angle_rad))
        return;
    const exact worst = holding_demand(leaf, with.holding, rating.worst_angle_rad);
    on.check("trn_leaf_holding", "demand", rating.demand_Nm, worst);
    on.check("trn_leaf_holding", "capacity", rating.capacity_Nm, brake_capacity(leaf));
    if (!(worst.value > 0))
        return;
    on.check("trn_leaf_holding", "factor", rating.factor, brake_capacity(leaf) / worst);
    on.check("trn_leaf_holding", "factor one out", rating.factor_one_out,
             (brake_capacity(leaf) - brake_strongest(leaf)) / worst);
}

void measure_rating(bounds &on, chance_leaf &with)
{
    const char *function = "trn_leaf_rating";
    const trn_leaf &leaf = with.leaf;
    const trn_motors &motors = *leaf.motors;
    const trn_direction direction = chance(&with.state, 0.5) ? TRN_OPENING : TRN_CLOSING;
    trn_rating got;
    if (trn_leaf_rating(&leaf, &with.load_case, direction, motors.running, &got, NULL) != TRN_OK ||
        strikes_level(leaf, got.worst_angle_rad))
        return;
    const exact_way want = way_of(leaf, with.load_case, direction, got.worst_angle_rad);
    const exact limit = with.load_case.motor_limit;
    on.check(function, "demand, motor, force, pressure", got.leaf_Nm, want.demand);
    on.check(function, "demand, motor, force, pressure", got.motor_Nm, want.motor);
    on.check(function, "demand, motor, force, pressure", got.force_N, want.force);
    on.check(function, "demand, motor, force, pressure", got.pressure_Pa, want.pressure);
    if (leaf.drive->kind == TRN_DRIVE_CYLINDER) {
        on.check(function, "rated, allowed", got.allowed_Pa, limit * leaf.drive->cylinder.pressure_Pa);
        on.check(function, "use", got.use, want.pressure / (limit * leaf.drive->cylinder.pressure_Pa));
        return;
    }
    const exact speed = drive_at(*leaf.drive, got.worst_angle_rad).ratio * leaf.travel->speed_rad_s;
    on.check(function, "rated, allowed", got.rated_Nm, rated_torque(motors));
    on.check(function, "rated, allowed", got.allowed_Nm, limit * rated_torque(motors));
    on.check(function, "use", got.use, abs(want.motor) / (limit * rated_torque(motors)));
    on.check(function, "motor speed", got.motor_speed_rad_s, speed);
    on.check(function, "available", got.available_Nm, motor_torque(motors, speed));
    on.check(function, "power", got.power_W, want.motor * speed);
}

/* Limits so near to 0 or to the highest that is looked for that rounding decides between them say nothing. */
void measure_limits(bounds &on, chance_leaf &with, double angle)
{
    const trn_leaf &leaf = with.leaf;
    const trn_wind_question questions[] = {{TRN_RAISE, leaf.motors->running, false},
                                           {TRN_LOWER, leaf.motors->running, false},
                                           {TRN_HOLD, 1, false},
                                           {TRN_HOLD, 1, true}};
    for (const trn_wind_question &question : questions) {
        double got = 0;
        if (trn_wind_limits_at(&leaf, question, &angle, 1, &got, NULL) != TRN_OK)
            continue;
        const exact want = wind_limit(leaf, question, angle);
        if (!std::isfinite(magnitude(want)) || got < 1e-3 || std::fabs(got - TRN_WIND_HIGHEST) < 1e-6) {
            const bool none = got >= TRN_WIND_HIGHEST - 1e-6 && want.value >= TRN_WIND_HIGHEST - 1e-6;
            on.agree("trn_wind_limits_at", "none, or 0", none || (got < 1e-3 && want.value < 1.1e-3));
            continue;
        }
        on.check("trn_wind_limits_at", question.action == TRN_HOLD ? "speed, hold" : "speed, raise or lower", got,
                 want);
    }
}
