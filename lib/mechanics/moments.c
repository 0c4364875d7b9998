/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/moments.h"

#include <math.h>

#include "statics.h"
#include "support.h"
#include "trunnion/balance.h"
#include "trunnion/ice.h"

double trn_loading_inertia(const trn_loading *loading, double angle_rad)
{
    return pose_at(loading, angle_rad).inertia_kg_m2;
}

double trn_loading_balance(const trn_loading *loading, double angle_rad)
{
    return pose_at(loading, angle_rad).balance_Nm;
}

trn_wind_action pose_unit_wind(const trn_loading *loading, trn_rotation rotation)
{
    const trn_leaf *leaf = loading->leaf;
    return trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, &loading->load_case->wind, rotation);
}

/* In calm air no surface need be looked at. */
static trn_wind_action unit_wind_where_any(const trn_loading *loading, trn_rotation rotation)
{
    return fabs(loading->pressure_Pa) > 0 ? pose_unit_wind(loading, rotation) : (trn_wind_action){0};
}

/* The wind from the heel, whole pressure; the side is one factor d. */
static trn_wind_action heel_wind(const trn_loading *loading, trn_wind_action unit)
{
    if (!(fabs(loading->pressure_Pa) > 0)) {
        return (trn_wind_action){0};
    }
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
    const trn_wind_action unit = unit_wind_where_any(loading, trn_rotation_by(angle_rad));
    return from_side(heel_wind(loading, unit), loading, direction);
}

static double motor_torque(const trn_loading *loading, const pose *at, double demand_Nm)
{
    const trn_motors *motors = loading->leaf->motors;
    const double rotors_Nm = motors->installed * motors->inertia_kg_m2 * at->drive.ratio * loading->acceleration_rad_s2;
    return (trn_drive_torque(demand_Nm, at->drive.ratio, loading->leaf->drive->efficiency) + rotors_Nm) /
           motors->running;
}

/* Gear loss acts on the pressure as it does on a torque: with the motion's resistance, against overhauling. */
static double pressure(const trn_loading *loading, double force_N, double demand_Nm)
{
    const trn_drive *drive = loading->leaf->drive;
    const double lossless = trn_cylinder_pressure(&drive->cylinder, force_N);
    return demand_Nm >= 0 ? lossless / drive->efficiency : lossless * drive->efficiency;
}

static void add_drive(const trn_loading *loading, const pose *at, trn_moments *moments)
{
    const trn_drive *drive = loading->leaf->drive;
    if (drive == NULL) {
        return;
    }
    moments->has_motor = loading->leaf->motors != NULL && drive->kind != TRN_DRIVE_CYLINDER;
    if (moments->has_motor) {
        moments->motor_opening_Nm = motor_torque(loading, at, moments->opening_Nm);
        moments->motor_closing_Nm = motor_torque(loading, at, moments->closing_Nm);
    }
    moments->has_force = fabs(at->drive.arm_m) > 0;
    if (moments->has_force) {
        moments->force_opening_N = moments->opening_Nm / at->drive.arm_m;
        moments->force_closing_N = -moments->closing_Nm / at->drive.arm_m;
    }
    moments->has_pressure = drive->kind == TRN_DRIVE_CYLINDER;
    if (moments->has_pressure) {
        moments->pressure_opening_Pa = pressure(loading, moments->force_opening_N, moments->opening_Nm);
        moments->pressure_closing_Pa = pressure(loading, moments->force_closing_N, moments->closing_Nm);
    }
}

/* The case's own: at no speed, with the travel's acceleration where it asks for it. */
static swing swing_of(const trn_loading *loading, trn_direction direction)
{
    return (swing){.direction = direction,
                   .friction = loading->load_case->friction,
                   .acceleration_rad_s2 = loading->acceleration_rad_s2};
}

trn_moments trn_loading_moments(const trn_loading *loading, double angle_rad)
{
    const pose at = pose_at(loading, angle_rad);
    const trn_wind_action unit = unit_wind_where_any(loading, at.rotation);
    const trn_wind_action heel = heel_wind(loading, unit);
    const trn_wind_action wind_opening = from_side(heel, loading, TRN_OPENING);
    const trn_wind_action wind_closing = from_side(heel, loading, TRN_CLOSING);
    const swing raised = swing_of(loading, TRN_OPENING);
    const swing lowered = swing_of(loading, TRN_CLOSING);
    const link_forces link_opening = link_in_balance(loading, &at, raised);
    const link_forces link_closing = link_in_balance(loading, &at, lowered);
    const leaf_forces opening = leaf_in_balance(loading, &at, raised, &wind_opening, &link_opening);
    const leaf_forces closing = leaf_in_balance(loading, &at, lowered, &wind_closing, &link_closing);
    trn_moments moments = {
        .angle_rad = at.angle_rad,
        .balance_Nm = at.balance_Nm,
        .wind_opening_Nm = wind_opening.moment_Nm,
        .wind_closing_Nm = wind_closing.moment_Nm,
        .ice_Nm = at.ice_Nm,
        .friction_opening_Nm = opening.friction_Nm,
        .friction_closing_Nm = closing.friction_Nm,
        .inertia_Nm = at.inertia_kg_m2 * loading->acceleration_rad_s2,
        .opening_Nm = opening.demand_Nm,
        .closing_Nm = closing.demand_Nm,
        .reaction_opening_N = opening.reaction_N,
        .reaction_closing_N = closing.reaction_N,
        .has_link = loading->leaf->linked_counterweight != NULL,
        .link_opening_N = link_opening.pull_N,
        .link_closing_N = link_closing.pull_N,
        .counterweight_reaction_opening_N = link_opening.reaction_N,
        .counterweight_reaction_closing_N = link_closing.reaction_N,
    };
    add_drive(loading, &at, &moments);
    return moments;
}

/* Bars of too different lengths leave no digits for the four-bar: its link would not keep its length. */
static bool four_bar_keeps_digits(const trn_linked_counterweight *linked, double opens_to_rad)
{
    const double link = trn_point_distance(linked->pin_on_leaf, linked->pin_on_counterweight);
    const int parts = (int)ceil(opens_to_rad / DEGREE);
    for (int i = 0; i <= parts; i++) {
        const trn_link_state state = trn_link_at(linked, trn_rotation_by(fmin(i * DEGREE, opens_to_rad)));
        const double length = trn_point_distance(state.pin_on_leaf, state.pin_on_counterweight);
        if (!isfinite(state.rate) || !isfinite(state.rate_change_rad) || !(fabs(length - link) <= 1e-9 * link)) {
            return false;
        }
    }
    return true;
}

trn_status trn_leaf_check_motion(const trn_leaf *leaf, trn_error *error)
{
    double angle;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    if (linked != NULL && trn_link_dead_point(linked, leaf->opens_to_rad, &angle)) {
        trn_error_set(error, TRN_DEAD_POINT,
                      "linked_counterweight: dead point at %.4g degree, where link and counterweight arm are in line",
                      angle / DEGREE);
        return TRN_DEAD_POINT;
    }
    if (linked != NULL && !four_bar_keeps_digits(linked, leaf->opens_to_rad)) {
        trn_error_set(error, TRN_DEAD_POINT,
                      "linked_counterweight: its bars differ too much in length for the four-bar to be computed");
        return TRN_DEAD_POINT;
    }
    if (leaf->drive != NULL && trn_drive_dead_point(leaf->drive, leaf->opens_to_rad, &angle)) {
        trn_error_set(error, TRN_DEAD_POINT,
                      "drive: dead point at %.4g degree, where the line of its force passes through the trunnion",
                      angle / DEGREE);
        return TRN_DEAD_POINT;
    }
    return TRN_OK;
}

/* True where friction locks the leaf's or the counterweight's trunnion at an angle. */
static bool locks_at(const trn_loading *loading, double angle_rad)
{
    const pose at = pose_at(loading, angle_rad);
    return friction_share(loading, &at, loading->load_case->friction) >= 1;
}

/* Arms shrink towards dead points beyond the travel; a sixteenth of a degree
   is fine enough to meet the first angle at which friction locks. */
static trn_status check_locking(const trn_loading *loading, trn_error *error)
{
    const double step = DEGREE / 16;
    const int count = (int)ceil(loading->leaf->opens_to_rad / step);
    for (int i = 0; i <= count; i++) {
        const double angle = fmin(i * step, loading->leaf->opens_to_rad);
        if (locks_at(loading, angle)) {
            trn_error_set(error, TRN_LOCKED,
                          "friction locks the leaf at %.4g degree: the driving force passes within the friction circle "
                          "of the trunnion",
                          angle / DEGREE);
            return TRN_LOCKED;
        }
    }
    return TRN_OK;
}

static trn_status check_mechanism(const trn_loading *loading, trn_error *error)
{
    const trn_leaf *leaf = loading->leaf;
    const bool moves_by_arms = leaf->linked_counterweight != NULL ||
                               (leaf->drive != NULL && leaf->drive->kind != TRN_DRIVE_RATIO) ||
                               (leaf->drive != NULL && leaf->drive->rack.radius_m > 0);
    if (!moves_by_arms) {
        return TRN_OK;
    }
    const trn_status status = trn_leaf_check_motion(leaf, error);
    return status == TRN_OK ? check_locking(loading, error) : status;
}

trn_status trn_loading_prepare(const trn_leaf *leaf, const trn_case *load_case, trn_loading *loading, trn_error *error)
{
    if (load_case->accelerating && leaf->travel == NULL) {
        trn_error_set(error, TRN_MISSING_SECTION, "case '%s' accelerates: the description needs the section 'travel'",
                      load_case->name);
        return TRN_MISSING_SECTION;
    }
    const trn_loading summed = {
        .leaf = leaf,
        .load_case = load_case,
        .body = trn_leaf_body(leaf),
        .ice = trn_ice_body(leaf->surfaces, leaf->surface_count, load_case->ice_N_m2),
        .counterweight = leaf->linked_counterweight != NULL ? trn_link_body(leaf->linked_counterweight) : (trn_body){0},
        .pressure_Pa = trn_wind_pressure(&load_case->wind),
        .acceleration_rad_s2 = load_case->accelerating ? trn_travel_acceleration(leaf->travel) : 0,
    };
    const trn_status status = check_mechanism(&summed, error);
    if (status == TRN_OK) {
        *loading = summed;
    }
    return status;
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
