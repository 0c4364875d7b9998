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
    if (of->run.seat.seated && of->moving.commanded == TRN_OPENING) {
        return TRN_END_SEATED;
    }
    if (of->switch_passed) {
        return TRN_END_ARRIVED;
    }
    return of->power_on ? TRN_END_STALLED : TRN_END_STOPPED;
}

/* The case's wind or the strongest of the record, and on top of it the strongest gust. */
static double wind_to_hold(const run_state *of)
{
    trn_wind wind = of->moving.load_case.wind;
    const trn_wind_record *record = of->moving.record;
    for (size_t i = 0; record != NULL && i < record->count; i++) {
        const double value = record->points[i].value;
        wind.by_speed = record->by_speed;
        *(record->by_speed ? &wind.speed_m_s : &wind.pressure_Pa) =
            i == 0 ? value : fmax(value, record->by_speed ? wind.speed_m_s : wind.pressure_Pa);
    }
    double pressure = trn_wind_pressure(&wind);
    for (int i = 0; i < GUSTS_MAX; i++) {
        if (of->moving.gusts[i] != NULL) {
            const trn_gust gust = *of->moving.gusts[i];
            pressure = fmax(pressure, trn_wind_pressure_at(&wind, &gust, NULL, gust.start_s + gust.lasts_s / 2));
        }
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

/* What is to be held against what holds, with the wind from the worse side that the case allows. */
static void set_holding(run_state *of)
{
    const trn_leaf *leaf = of->leaf;
    const trn_wind *wind = &of->moving.load_case.wind;
    trn_run *run = &of->run;
    const double angle = of->now.at[ANGLE];
    pose at;
    pose_at(&of->moving.loading, angle, &at);
    run->hold_wind_Pa = wind_to_hold(of);
    run->hold_factor = HUGE_VAL;
    run->hold_capacity_Nm = brake_capacity(of);
    const double heel =
        run->hold_wind_Pa * trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, wind, at.rotation).moment_Nm;
    for (int side = 1; side >= -1; side -= 2) {
        const trn_wind_side from = side > 0 ? TRN_WIND_FROM_HEEL : TRN_WIND_FROM_TOE;
        if (wind->from != TRN_WIND_FROM_ADVERSE && wind->from != from) {
            continue;
        }
        const double load = at.balance_Nm + at.ice_Nm + side * heel;
        const bool carried = load > 0 && (angle <= 0 || run->seat.seated);
        const trn_direction runs = load > 0 ? TRN_CLOSING : TRN_OPENING;
        const double capacity = brake_capacity(of) + motion_oil_grip(&of->moving, angle, runs);
        if (fabs(load) > 0 && !carried && capacity / fabs(load) < run->hold_factor) {
            run->hold_factor = capacity / fabs(load);
            run->hold_demand_Nm = fabs(load);
            run->hold_capacity_Nm = capacity;
        }
    }
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

/* True where every number of a run is one; what is to be held may be nothing, and its factor infinite. */
static bool is_finite(const trn_run *run)
{
    const trn_run_work *work = &run->work;
    const double spent = fabs(work->friction_J) + fabs(work->gears_J) + fabs(work->brakes_J) + fabs(work->wind_J);
    const double kept = fabs(work->potential_J) + fabs(work->kinetic_J) + fabs(work->seat_J);
    const double given = fabs(work->motors_J) + fabs(work->driving_J);
    const double torques = run->peak_motor_Nm + fabs(run->break_away_Nm) + run->rms_motor_Nm + run->peak_pressure_Pa;
    const trn_seat *seat = &run->seat;
    return isfinite(spent) && isfinite(kept) && isfinite(given) && isfinite(torques) && !isnan(run->hold_factor) &&
           isfinite(seat->energy_J) && isfinite(seat->toe_force_N) && isfinite(run->peak_deceleration_rad_s2) &&
           isfinite(run->end_time_s) && isfinite(run->hold_demand_Nm);
}

trn_status run_conclude(run_state *of, trn_error *error)
{
    trn_run *run = &of->run;
    const double powered = of->power_on ? of->time_s : of->power_off_s;
    run->end = end_of(of);
    run->end_time_s = of->time_s;
    run->end_angle_rad = of->now.at[ANGLE];
    run->end_speed_rad_s = of->now.at[SPEED];
    run->rms_motor_Nm = powered > 0 ? sqrt(fmax(of->now.at[FLOW + SQUARES], 0) / powered) : 0;
    set_holding(of);
    run->work = work_of(of);
    if (of->setting->sample_every_s > 0 && !of->no_memory) {
        const double last = run->row_count > 0 ? run->rows[run->row_count - 1].time_s : -1;
        if (of->time_s > last && !(of->setting->sample_until_s > 0 && of->time_s > of->setting->sample_until_s)) {
            run_add_row(of, of->time_s, run->end_angle_rad, run->end_speed_rad_s);
        }
    }
    if (!is_finite(run)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "the motion cannot be computed: a number leaves what a double holds");
    }
    return TRN_OK;
}
