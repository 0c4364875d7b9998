/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of a run that is over. */
#include <math.h>

#include "run_parts.h"

static trn_run_end end_of(const run_state *of)
{
    if (!of->resting) {
        const double angle = of->now.at[ANGLE];
        const bool left = angle >= of->highest_rad || angle <= of->lowest_rad;
        return left ? TRN_END_LEFT : TRN_END_MOVING;
    }
    if (of->switch_passed) {
        return TRN_END_ARRIVED;
    }
    if (of->run.seat.seated) {
        return TRN_END_SEATED;
    }
    return of->power_on ? TRN_END_STALLED : TRN_END_STOPPED;
}

/* The steady wind of the case, or the strongest of the record. */
static double wind_to_hold(const run_state *of)
{
    const trn_wind *wind = &of->moving.load_case.wind;
    const trn_wind_record *record = of->moving.record;
    double pressure = record == NULL ? trn_wind_pressure(wind) : 0;
    for (size_t i = 0; record != NULL && i < record->count; i++) {
        pressure = fmax(pressure, trn_wind_pressure_at(wind, NULL, record, record->points[i].time_s));
    }
    return pressure;
}

static double brake_capacity(const run_state *of)
{
    double capacity = 0;
    for (size_t i = 0; i < of->leaf->brake_count; i++) {
        capacity += run_brakes_in(of, i) * of->leaf->brakes[i].torque_Nm * of->leaf->brakes[i].ratio;
    }
    return capacity;
}

/* Capacity over what is to be held, with the wind from the worse side that the case allows. */
static double hold_factor(const run_state *of)
{
    const trn_leaf *leaf = of->leaf;
    const trn_wind *wind = &of->moving.load_case.wind;
    const double angle = of->now.at[ANGLE];
    const pose at = pose_at(&of->moving.loading, angle);
    const double pressure = wind_to_hold(of);
    const double heel =
        pressure * trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, wind, at.rotation).moment_Nm;
    double least = HUGE_VAL;
    for (int side = 1; side >= -1; side -= 2) {
        const trn_wind_side from = side > 0 ? TRN_WIND_FROM_HEEL : TRN_WIND_FROM_TOE;
        if (wind->from != TRN_WIND_FROM_ADVERSE && wind->from != from) {
            continue;
        }
        const double load = at.balance_Nm + at.ice_Nm + side * heel;
        const bool carried = load > 0 && (angle <= 0 || of->run.seat.seated);
        const trn_direction runs = load > 0 ? TRN_CLOSING : TRN_OPENING;
        if (fabs(load) > 0 && !carried) {
            least = fmin(least, (brake_capacity(of) + motion_oil_grip(&of->moving, angle, runs)) / fabs(load));
        }
    }
    return least;
}

static trn_run_work work_of(const run_state *of)
{
    const double *flow = &of->now.at[FLOW];
    const double start = of->moving.commanded == TRN_OPENING ? 0 : of->leaf->opens_to_rad;
    const double angle = of->now.at[ANGLE];
    const double speed = of->now.at[SPEED];
    return (trn_run_work){.motors_J = flow[MOTORS],
                          .driving_J = flow[DRIVING],
                          .potential_J = motion_potential(&of->moving, angle) - motion_potential(&of->moving, start),
                          .kinetic_J = !(fabs(speed) > 0) ? 0 : motion_inertia(&of->moving, angle) * speed * speed / 2,
                          .friction_J = flow[FRICTION],
                          .gears_J = flow[GEARS],
                          .brakes_J = flow[BRAKES],
                          .wind_J = flow[WIND],
                          .seat_J = flow[SEAT]};
}

void run_conclude(run_state *of)
{
    trn_run *run = &of->run;
    const double powered = of->power_on ? of->time_s : of->power_off_s;
    run->end = end_of(of);
    run->end_time_s = of->time_s;
    run->end_angle_rad = of->now.at[ANGLE];
    run->end_speed_rad_s = of->now.at[SPEED];
    run->rms_motor_Nm = powered > 0 ? sqrt(of->now.at[FLOW + SQUARES] / powered) : 0;
    run->hold_factor = hold_factor(of);
    run->work = work_of(of);
    if (of->setting->sample_every_s > 0 && !of->no_memory) {
        const double last = run->row_count > 0 ? run->rows[run->row_count - 1].time_s : -1;
        if (of->time_s > last) {
            run_add_row(of, of->time_s, run->end_angle_rad, run->end_speed_rad_s);
        }
    }
}
