/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file motion_kinds.h
 * The kind of check that asks about an opening in time.
 */
#ifndef TRN_PUBLISHED_MOTION_KINDS_H
#define TRN_PUBLISHED_MOTION_KINDS_H

#include "machinery_kinds.h"

/* The motors that the lines of a check speak of: one torque at every speed, or points of a curve across the line. */
static trn_motors motors_of(const inputs *in)
{
    trn_motors motors = in->motors;
    motors.peak = 1;
    if (in->machinery.knot_count > 0) {
        motors.law = TRN_TORQUE_TABLE;
        motors.control = TRN_CONTROL_LINE;
        motors.table = in->machinery.knots;
        motors.table_count = in->machinery.knot_count;
    }
    if (in->machinery.motor_torque_Nm > 0) {
        motors.speed_rad_s = 1e9;
        motors.power_W = in->machinery.motor_torque_Nm * motors.speed_rad_s;
    }
    return motors;
}

static void add_run_results(const trn_run *run, double ratio, results *out)
{
    const trn_run_event *off = NULL;
    for (size_t i = 0; i < run->event_count && off == NULL; i++)
        off = run->events[i].kind == TRN_EVENT_POWER_OFF ? &run->events[i] : NULL;
    add_result(out, "time", TIME, run->time_s);
    add_result(out, "speed", ANGULAR_SPEED, run->switch_speed_rad_s);
    add_result(out, "shaft_speed", ANGULAR_SPEED, run->switch_speed_rad_s * ratio);
    add_result(out, "peak_torque", MOMENT, run->peak_motor_Nm);
    add_result(out, "shaft_power", POWER, run->peak_motor_Nm * run->switch_speed_rad_s * ratio);
    add_result(out, "lag", TIME, run->lag_s);
    add_result(out, "motor_work", ENERGY, run->work.motors_J);
    add_result(out, "brake_work", ENERGY, run->work.brakes_J);
    if (off != NULL) {
        add_result(out, "stop_time", TIME, run->end_time_s - off->time_s);
        add_result(out, "shaft_stop_run", ANGLE, (run->end_angle_rad - off->angle_rad) * ratio);
    }
}

/* An opening; the speed is that at the full switch. */
static void run_run(const inputs *in, const check *of, results *out)
{
    trn_motors motors = motors_of(in);
    trn_leaf leaf = in->leaf;
    trn_travel travel = in->travel;
    trn_run run;
    trn_error error;
    if (!in->machinery.has_drive || !leaf.travel)
        bail_out(of->file, of->line, "a run has a drive and a travel", of->name);
    if (!(travel.creep > 0))
        travel.creep = 1;
    if (!(travel.decelerate_in_s > 0))
        travel.decelerate_in_s = 1;
    travel.full_open_rad = in->machinery.full_open_rad;
    if (!(travel.near_open_rad > 0))
        travel.near_open_rad = travel.full_open_rad / 2;
    leaf.motors = &motors;
    leaf.travel = &travel;
    trn_run_setting setting = trn_default_run_setting(&leaf);
    setting.load_case = &in->load_case;
    setting.upsets = &in->machinery.upset;
    setting.upset_count = in->machinery.has_upset;
    setting.tolerance = 1e-12;
    need_ok(trn_leaf_run(&leaf, &setting, &run, &error), &error, of);
    add_run_results(&run, in->machinery.drive.ratio, out);
    trn_run_free(&run);
}

#endif
