/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drive, motors, brakes, and the wind that they bear, in the steps of explain. */
#include <math.h>
#include <stdio.h>

#include "trunnion/holding.h"
#include "trunnion/ice.h"
#include "trunnion/rating.h"
#include "trunnion/windlimit.h"
#include "work.h"

static void work_drive_force(const scene *at, bool opening, const char *formula)
{
    const double demand = opening ? at->moments.opening_Nm : at->moments.closing_Nm;
    worked_step(at->made, opening ? "drive force, opening" : "drive force, closing", formula, QUANTITY_FORCE,
                opening ? at->moments.force_opening_N : at->moments.force_closing_N,
                opening ? "%s / (%s)" : "−(%s) / (%s)", show(at->made, QUANTITY_MOMENT, demand).text,
                show(at->made, QUANTITY_LENGTH, at->drive.arm_m).text);
}

/* A strut or cylinder: its length, its arm, and for a strut the ratio that comes of it. */
static void work_strut(const scene *at)
{
    const trn_drive *drive = at->loading->leaf->drive;
    worked_step(at->made, "s", "distance of its two ends", QUANTITY_LENGTH, at->drive.length_m, "%s", "");
    worked_step(at->made, "ds/dθ", "arm of its force about the trunnion", QUANTITY_LENGTH, at->drive.arm_m, "%s", "");
    if (drive->kind == TRN_DRIVE_STRUT) {
        worked_step(at->made, "i", "|ds/dθ| / pinion radius × turns per pinion turn", QUANTITY_RATIO, at->drive.ratio,
                    "%s / %s × %.8g", show(at->made, QUANTITY_LENGTH, fabs(at->drive.arm_m)).text,
                    show(at->made, QUANTITY_LENGTH, drive->strut.pinion_radius_m).text, drive->strut.ratio);
    }
    work_drive_force(at, true, "D / (ds/dθ), positive pushes");
    work_drive_force(at, false, "−D / (ds/dθ), positive pushes");
}

void work_drive_state(const scene *at)
{
    const trn_drive *drive = at->loading->leaf->drive;
    if (!at->moments.has_force) {
        return;
    }
    if (drive->kind == TRN_DRIVE_RATIO) {
        at->made->section = "Rack";
        work_drive_force(at, true, "D / pitch radius, along the pitch circle, positive opens");
        work_drive_force(at, false, "−D / pitch radius, along the pitch circle, positive opens");
    } else {
        at->made->section = drive->kind == TRN_DRIVE_STRUT ? "Operating strut" : "Cylinders";
        work_strut(at);
    }
}

static void work_motor_direction(const scene *at, bool opening)
{
    const double demand = opening ? at->moments.opening_Nm : at->moments.closing_Nm;
    const double torque = opening ? at->moments.motor_opening_Nm : at->moments.motor_closing_Nm;
    const trn_motors *motors = at->loading->leaf->motors;
    const double alpha = at->loading->acceleration_rad_s2;
    char rotors[160] = "";
    if (alpha > 0) {
        (void)snprintf(rotors, sizeof rotors, " + %d × %.6g kg m² × %.8g × %.6g rad/s²", motors->installed,
                       motors->inertia_kg_m2, at->drive.ratio, alpha);
    }
    const char *term = opening ? (demand < 0 ? "opening, the leaf overhauls" : "opening, the motors drive")
                               : (demand < 0 ? "closing, the leaf overhauls" : "closing, the motors drive");
    const char *formula = demand < 0 ? (alpha > 0 ? "(D η / i + Jm i α) / running" : "D η / i / running")
                                     : (alpha > 0 ? "(D / (i η) + Jm i α) / running" : "D / (i η) / running");
    worked_step(at->made, term, formula, QUANTITY_TORQUE, torque,
                demand < 0 ? "(%s × %.6g / %.8g%s) / %d" : "(%s / (%.6g × %.8g)%s) / %d",
                show(at->made, QUANTITY_MOMENT, demand).text, at->loading->leaf->drive->efficiency, at->drive.ratio,
                rotors, motors->running);
}

static void work_motor_limit(const scene *at, double limit, double allowed)
{
    const trn_motors *motors = at->loading->leaf->motors;
    worked_step(at->made, "allowed", "motor_limit P / ω", QUANTITY_TORQUE, allowed, "%.6g × %.8g W / %.8g rad/s", limit,
                motors->power_W, motors->speed_rad_s);
}

static void work_allowed(const scene *at)
{
    const double limit = at->loading->load_case->motor_limit;
    const double allowed = limit * trn_motor_rated_torque(at->loading->leaf->motors);
    const double most = fmax(fabs(at->moments.motor_opening_Nm), fabs(at->moments.motor_closing_Nm));
    work_motor_limit(at, limit, allowed);
    worked_step(at->made, "use", "the larger of both / allowed", QUANTITY_SHARE, most / allowed, "%s / %s",
                show(at->made, QUANTITY_TORQUE, most).text, show(at->made, QUANTITY_TORQUE, allowed).text);
}

static void work_pressure(const scene *at, bool opening)
{
    const trn_drive *drive = at->loading->leaf->drive;
    const trn_cylinder *cylinder = &drive->cylinder;
    const double force = opening ? at->moments.force_opening_N : at->moments.force_closing_N;
    const double demand = opening ? at->moments.opening_Nm : at->moments.closing_Nm;
    const char *formula =
        force >= 0 ? (demand >= 0 ? "S / (count × π/4 bore² × η)" : "S η / (count × π/4 bore²)")
                   : (demand >= 0 ? "|S| / (count × π/4 (bore² − rod²) × η)" : "|S| η / (count × π/4 (bore² − rod²))");
    worked_step(at->made, opening ? "pressure, opening" : "pressure, closing", formula, QUANTITY_OIL_PRESSURE,
                opening ? at->moments.pressure_opening_Pa : at->moments.pressure_closing_Pa,
                "%s, %d cylinders, bore %s, rod %s, η %.6g", show(at->made, QUANTITY_FORCE, fabs(force)).text,
                cylinder->count, show(at->made, QUANTITY_LENGTH, cylinder->bore_m).text,
                show(at->made, QUANTITY_LENGTH, cylinder->rod_m).text, drive->efficiency);
}

void work_motor(const scene *at)
{
    if (at->moments.has_motor) {
        at->made->section = "Torque of each running motor";
        work_motor_direction(at, true);
        work_motor_direction(at, false);
        work_allowed(at);
    }
    if (at->moments.has_pressure) {
        at->made->section = "Pressure in each cylinder";
        work_pressure(at, true);
        work_pressure(at, false);
    }
}

/* Moment of a holding's wind from the heel, N m. */
static double holding_wind(const scene *at, const trn_wind *wind)
{
    const trn_leaf *leaf = at->loading->leaf;
    return trn_wind_pressure(wind) *
           trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, wind, at->rotation).moment_Nm;
}

static void work_holding(const scene *at, const trn_holding *holding)
{
    const trn_leaf *leaf = at->loading->leaf;
    const double capacity = trn_brake_capacity(leaf);
    const double wind = holding_wind(at, &holding->wind);
    const trn_body ice = trn_ice_body(leaf->surfaces, leaf->surface_count, holding->ice_N_m2);
    double demand;
    if (trn_holding_demand(leaf, holding, &at->angle_rad, 1, &demand, NULL) != TRN_OK) {
        return;
    }
    const double rest = at->moments.balance_Nm + trn_body_moment(ice, at->rotation);
    const bool heel = holding->wind.from == TRN_WIND_FROM_HEEL ||
                      (holding->wind.from == TRN_WIND_FROM_ADVERSE && fabs(rest + wind) >= fabs(rest - wind));
    const double worse = heel ? wind : -wind;
    const double credited = fabs(rest + worse) - demand;
    worked_step(at->made, holding->name,
                heel ? "|balance + ice + wind from the heel| − credited friction"
                     : "|balance + ice + wind from the toe| − credited friction",
                QUANTITY_MOMENT, demand, "|%s + (%s) + (%s)| − (%s)",
                show(at->made, QUANTITY_MOMENT, at->moments.balance_Nm).text,
                show(at->made, QUANTITY_MOMENT, trn_body_moment(ice, at->rotation)).text,
                show(at->made, QUANTITY_MOMENT, worse).text, show(at->made, QUANTITY_MOMENT, credited).text);
    if (demand > 0) {
        worked_step(at->made, holding->name, "capacity / demand", QUANTITY_RATIO, capacity / demand, "%s / %s",
                    show(at->made, QUANTITY_MOMENT, capacity).text, show(at->made, QUANTITY_MOMENT, demand).text);
    }
}

void work_brakes(const scene *at)
{
    const trn_leaf *leaf = at->loading->leaf;
    if (leaf->brake_count == 0 || leaf->holding_count == 0) {
        return;
    }
    const display *shown = &at->made->shown;
    at->made->section = "Brakes: holding at this angle";
    for (size_t i = 0; i < leaf->brake_count; i++) {
        const trn_brake *brake = &leaf->brakes[i];
        worked_step(at->made, brake->name, "count × torque × turns per leaf turn", QUANTITY_MOMENT,
                    brake->count * brake->torque_Nm * brake->ratio, "%d × %.8g %s × %.8g", brake->count,
                    brake->torque_Nm * shown->of[QUANTITY_TORQUE].factor, shown->of[QUANTITY_TORQUE].unit,
                    brake->ratio);
    }
    worked_step(at->made, "capacity", "their sum", QUANTITY_MOMENT, trn_brake_capacity(leaf), "%s", "");
    for (size_t i = 0; i < leaf->holding_count; i++) {
        work_holding(at, &leaf->holdings[i]);
    }
}

/* The highest wind for an action, and what it brings about: the moment of the wind, and the speed of it. */
static void work_wind_limit(const scene *at, trn_action action, const char *words)
{
    const trn_leaf *leaf = at->loading->leaf;
    const trn_wind_question question = {.action = action,
                                        .motors_running = leaf->motors != NULL ? leaf->motors->running : 1};
    double speed;
    if (trn_wind_limits_at(leaf, question, &at->angle_rad, 1, &speed, NULL) != TRN_OK || !isfinite(speed)) {
        return;
    }
    trn_wind wind = leaf->wind_limits->wind;
    wind.speed_m_s = speed;
    const double q = 0.5 * wind.density_kg_m3 * speed * speed;
    const double moment = fabs(holding_wind(at, &wind));
    if (action == TRN_HOLD) {
        worked_step(at->made, words, "wind moment left: capacity / hold_factor − |balance|", QUANTITY_MOMENT, moment,
                    "%s / %.6g − |%s|", show(at->made, QUANTITY_MOMENT, trn_brake_capacity(leaf)).text,
                    leaf->wind_limits->hold_factor, show(at->made, QUANTITY_MOMENT, at->moments.balance_Nm).text);
    } else {
        worked_step(at->made, words, "wind moment with which the drive is just at motor_limit × rated", QUANTITY_MOMENT,
                    moment, "%s", "");
    }
    worked_step(at->made, words, "q: that moment over the moment of a unit of pressure", QUANTITY_PRESSURE, q, "%s",
                "");
    worked_step(at->made, words, "v = √(2 q / ρ)", QUANTITY_WIND_SPEED, speed, "√(2 × %s / %.6g kg/m³)",
                show(at->made, QUANTITY_PRESSURE, q).text, wind.density_kg_m3);
}

/* What a motor's law gives at the travel's speed, where the limits count on more. */
static void work_law_of_limits(const scene *at)
{
    const trn_leaf *leaf = at->loading->leaf;
    if (!at->moments.has_motor || leaf->travel == NULL) {
        return;
    }
    const double speed = at->drive.ratio * leaf->travel->speed_rad_s;
    const double given = trn_motor_torque(leaf->motors, speed);
    const double allowed = leaf->wind_limits->motor_limit * trn_motor_rated_torque(leaf->motors);
    if (given < allowed * (1 - 1e-9)) {
        work_motor_limit(at, leaf->wind_limits->motor_limit, allowed);
        worked_step(at->made, "motors' law", "what it gives at the travel's speed: LESS than motor_limit × rated",
                    QUANTITY_TORQUE, given, "%s", "");
    }
}

void work_wind_limits(const scene *at)
{
    if (at->loading->leaf->wind_limits == NULL) {
        return;
    }
    at->made->section = "Highest wind at this angle, from either side";
    work_law_of_limits(at);
    work_wind_limit(at, TRN_RAISE, "raise");
    work_wind_limit(at, TRN_LOWER, "lower");
    work_wind_limit(at, TRN_HOLD, "hold");
}
