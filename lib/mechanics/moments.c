/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/moments.h"

#include <math.h>

#include "trunnion/balance.h"
#include "trunnion/ice.h"

trn_status trn_loading_prepare(const trn_leaf *leaf, const trn_case *load_case, trn_loading *loading,
                               trn_error *error)
{
    if (load_case->accelerating && leaf->travel == NULL) {
        trn_error_set(error, TRN_MISSING_SECTION,
                      "case '%.80s' accelerates: the description needs the section 'travel'", load_case->name);
        return TRN_MISSING_SECTION;
    }
    *loading = (trn_loading){
        .leaf = leaf,
        .load_case = load_case,
        .body = trn_leaf_body(leaf),
        .ice = trn_ice_body(leaf->surfaces, leaf->surface_count, load_case->ice_N_m2),
        .pressure_Pa = trn_wind_pressure(&load_case->wind),
        .acceleration_rad_s2 = load_case->accelerating ? trn_travel_acceleration(leaf->travel) : 0,
    };
    return TRN_OK;
}

/* The wind from the heel, whole pressure; the side is one factor d. */
static trn_wind_action heel_wind(const trn_loading *loading, trn_rotation rotation)
{
    const trn_leaf *leaf = loading->leaf;
    if (!(loading->pressure_Pa > 0)) {
        return (trn_wind_action){0};
    }
    const trn_wind_action unit =
        trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, &loading->load_case->wind, rotation);
    return (trn_wind_action){.moment_Nm = unit.moment_Nm * loading->pressure_Pa,
                             .force = {unit.force.x * loading->pressure_Pa, unit.force.y * loading->pressure_Pa}};
}

static trn_wind_action from_side(trn_wind_action heel, const trn_loading *loading, trn_direction direction)
{
    const double sense = trn_wind_sense(loading->load_case->wind.from, direction);
    /* The zero keeps a wind that does nothing from reading -0. */
    return (trn_wind_action){.moment_Nm = 0 + sense * heel.moment_Nm,
                             .force = {0 + sense * heel.force.x, 0 + sense * heel.force.y}};
}

trn_wind_action trn_loading_wind(const trn_loading *loading, trn_direction direction, double angle_rad)
{
    return from_side(heel_wind(loading, trn_rotation_by(angle_rad)), loading, direction);
}

/* The pier carries all weight, the ice, and the wind's push down and across. */
static double reaction(const trn_loading *loading, trn_wind_action wind)
{
    return hypot(wind.force.x, loading->body.weight_N + loading->ice.weight_N - wind.force.y);
}

static double motor_torque(const trn_loading *loading, double demand_Nm)
{
    const trn_drive *drive = loading->leaf->drive;
    const trn_motors *motors = loading->leaf->motors;
    const double rotors_Nm =
        motors->installed * motors->inertia_kg_m2 * drive->ratio * loading->acceleration_rad_s2;
    return (trn_drive_torque(demand_Nm, drive->ratio, drive->efficiency) + rotors_Nm) / motors->running;
}

trn_moments trn_loading_moments(const trn_loading *loading, double angle_rad)
{
    const trn_rotation rotation = trn_rotation_by(angle_rad);
    const trn_wind_action heel = heel_wind(loading, rotation);
    const trn_wind_action opening = from_side(heel, loading, TRN_OPENING);
    const trn_wind_action closing = from_side(heel, loading, TRN_CLOSING);
    const trn_journal *journal = loading->leaf->trunnion;
    const trn_friction_state state = loading->load_case->friction;
    trn_moments at = {
        .angle_rad = angle_rad,
        .balance_Nm = trn_body_moment(loading->body, rotation),
        .wind_opening_Nm = opening.moment_Nm,
        .wind_closing_Nm = closing.moment_Nm,
        .ice_Nm = trn_body_moment(loading->ice, rotation),
        .inertia_Nm =
            (loading->body.inertia_kg_m2 + loading->ice.inertia_kg_m2) * loading->acceleration_rad_s2,
        .has_motor = loading->leaf->drive != NULL && loading->leaf->motors != NULL,
        .reaction_opening_N = reaction(loading, opening),
        .reaction_closing_N = reaction(loading, closing),
    };
    at.friction_opening_Nm = trn_journal_friction(journal, state, at.reaction_opening_N);
    at.friction_closing_Nm = trn_journal_friction(journal, state, at.reaction_closing_N);
    const double weights = at.balance_Nm + at.ice_Nm;
    at.opening_Nm = weights + at.wind_opening_Nm + at.friction_opening_Nm + at.inertia_Nm;
    at.closing_Nm = -weights - at.wind_closing_Nm + at.friction_closing_Nm + at.inertia_Nm;
    if (at.has_motor) {
        at.motor_opening_Nm = motor_torque(loading, at.opening_Nm);
        at.motor_closing_Nm = motor_torque(loading, at.closing_Nm);
    }
    return at;
}

trn_status trn_leaf_curve(const trn_leaf *leaf, const trn_case *load_case, const double *angles_rad, size_t count,
                          trn_moments *rows, trn_error *error)
{
    trn_loading loading;
    const trn_status status = trn_loading_prepare(leaf, load_case, &loading, error);
    if (status != TRN_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        rows[i] = trn_loading_moments(&loading, angles_rad[i]);
    }
    return TRN_OK;
}
