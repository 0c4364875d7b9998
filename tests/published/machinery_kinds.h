/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file machinery_kinds.h
 * The kinds of check that ask about drive, motors, brakes, duty and wind scale.
 */
#ifndef TRN_PUBLISHED_MACHINERY_KINDS_H
#define TRN_PUBLISHED_MACHINERY_KINDS_H

#include "kinds.h"

static void need_ok(trn_status status, const trn_error *error, const check *of)
{
    if (status != TRN_OK)
        bail_out(of->file, of->line, "the library refuses the check", error->text);
}

/* A leaf on its drive at an angle: the force of the drive, the trunnion, and the motor. */
static void run_machine(const inputs *in, const check *of, results *out)
{
    trn_moments row;
    trn_error error;
    if (!in->leaf.drive)
        bail_out(of->file, of->line, "a machine has a drive", of->name);
    need_ok(trn_leaf_curve(&in->leaf, &in->load_case, &in->angle_rad, 1, &row, &error), &error, of);
    trn_drive_state at = trn_drive_at(in->leaf.drive, trn_rotation_by(in->angle_rad));
    add_result(out, "length", LENGTH, at.length_m);
    add_result(out, "arm", LENGTH, at.arm_m);
    add_result(out, "force_opening", WEIGHT, row.force_opening_N);
    add_result(out, "force_closing", WEIGHT, row.force_closing_N);
    add_result(out, "reaction_opening", WEIGHT, row.reaction_opening_N);
    add_result(out, "reaction_closing", WEIGHT, row.reaction_closing_N);
    add_result(out, "motor_torque", MOMENT, row.motor_opening_Nm);
    if (in->leaf.motors) {
        trn_rating rating;
        need_ok(trn_leaf_rating(&in->leaf, &in->load_case, TRN_OPENING, 1, &rating, &error), &error, of);
        add_result(out, "motor_power", POWER, rating.power_W);
    }
}

static void run_induction(const inputs *in, const check *of, results *out)
{
    (void)of;
    trn_motors motors = in->motors;
    motors.law = TRN_TORQUE_INDUCTION;
    double slip = trn_motor_breakdown_slip(&motors);
    double rated = trn_motor_rated_torque(&motors);
    add_result(out, "breakdown_slip", PURE, slip);
    add_result(out, "breakdown_speed", ANGULAR_SPEED, motors.synchronous_rad_s * (1 - slip));
    add_result(out, "torque_over_rated", PURE, trn_motor_torque(&motors, in->machinery.shaft_speed_rad_s) / rated);
}

static void run_cylinder(const inputs *in, const check *of, results *out)
{
    (void)of;
    const trn_cylinder *cylinder = &in->machinery.drive.cylinder;
    add_result(out, "pressure_pushing", PRESSURE, trn_cylinder_pressure(cylinder, in->machinery.force_N));
    add_result(out, "pressure_pulling", PRESSURE, trn_cylinder_pressure(cylinder, -in->machinery.force_N));
}

static void run_stop(const inputs *in, const check *of, results *out)
{
    trn_stop stop;
    trn_error error;
    double heats[BRAKES_MAX];
    need_ok(trn_leaf_stop(&in->leaf, in->angle_rad, TRN_OPENING, &stop, heats, &error), &error, of);
    if (!stop.stops)
        bail_out(of->file, of->line, "the library does not stop the leaf", of->name);
    double heat = 0;
    for (size_t i = 0; i < in->leaf.brake_count; i++)
        heat += heats[i];
    add_result(out, "time", TIME, stop.time_s);
    add_result(out, "run", ANGLE, stop.run_rad);
    add_result(out, "shaft_run", ANGLE, stop.run_rad * in->machinery.brakes[0].ratio);
    add_result(out, "heat", ENERGY, heat);
}

static void run_duty(const inputs *in, const check *of, results *out)
{
    trn_duty_rating rating;
    trn_error error;
    need_ok(trn_leaf_duty(&in->leaf, &rating, &error), &error, of);
    add_result(out, "rms", MOMENT, rating.rms_Nm);
    add_result(out, "moving", TIME, rating.moving_s);
}

/* The speed that a gust adds to calm air, back from its pressure. */
static double gust_speed(const inputs *in, double time_s)
{
    trn_gust gust = in->machinery.gust;
    gust.by_speed = true;
    trn_wind calm = trn_default_wind();
    return sqrt(2 * trn_wind_pressure_at(&calm, &gust, NULL, time_s) / calm.density_kg_m3);
}

/* The extreme operating gust of IEC 61400-1 is our gust times a sine that makes it dip before and behind. */
static void run_gust(const inputs *in, const check *of, results *out)
{
    (void)of;
    enum { STEPS = 1000 };
    const double time_s = in->machinery.time_s;
    const double lasts_s = in->machinery.gust.lasts_s;
    const double rise = gust_speed(in, time_s);
    double sum = 0;
    for (int i = 0; i < STEPS; i++)
        sum += gust_speed(in, lasts_s * i / STEPS);
    add_result(out, "rise", SPEED, rise);
    add_result(out, "mean", SPEED, sum / STEPS);
    add_result(out, "operating_rise", SPEED, -0.74 * sin(3 * PI * time_s / lasts_s) * rise);
}

static void run_beaufort(const inputs *in, const check *of, results *out)
{
    (void)of;
    add_result(out, "number_from", PURE, trn_beaufort(in->machinery.wind_from_m_s));
    add_result(out, "number_to", PURE, trn_beaufort(in->machinery.wind_to_m_s));
}

#endif
