/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file oracle_events.h
 * What happens in a run of oracle_run.h, and what follows from it.
 *
 * Source: the design pages "Motion", "Drive", "Brakes" and what run.h promises.
 */
#ifndef TRN_TEST_ORACLE_EVENTS_H
#define TRN_TEST_ORACLE_EVENTS_H

#include <sundials/sundials_context.h>
#include <sundials/sundials_nonlinearsolver.h>

#include "oracle_motion.h"

enum { ORACLE_EVENTS = 128 };

typedef struct oracle_run {
    oracle_motion in;
    SUNContext sundials;
    SUNNonlinearSolver solver;
    N_Vector state;
    realtype *at; /* what is in state */
    void *cvode;
    int looks; /* within a step of CVODE, for peaks */
    double time_s;
    trn_run_event events[ORACLE_EVENTS];
    size_t event_count;
    long evaluations;
    bool ended;
    trn_run_end end;
    double switch_time_s;
    double switch_speed_rad_s;
    double power_off_s;
    double rest_s; /* when it came to its last rest */
    double peak_motor_Nm;
    double break_away_Nm;
    double peak_deceleration;
    double lag_s;
    double toe_force_N;
    double buffer_force_N;
    trn_seat seat;
} oracle_run;

static inline void oracle_event(oracle_run *run, trn_event_kind kind, size_t which)
{
    if (run->event_count == ORACLE_EVENTS)
        fail_msg("the oracle has too many events");
    run->events[run->event_count++] = (trn_run_event){kind, run->time_s, run->at[AT_ANGLE],
                                                      run->in.mode == ORACLE_RESTS ? 0.0 : run->at[AT_SPEED], which};
}

/* The larger of what the drive gave and the leaf lost, at a moment. */
static inline void oracle_note(oracle_run *run, double time, double angle, double speed)
{
    const oracle_motion *in = &run->in;
    const oracle_balance now = oracle_balance_at(in, time, angle, speed);
    if (in->mode == ORACLE_OFF && !(now.seat > 1e-9 * (fabs(now.against) + now.friction)))
        run->peak_deceleration = fmax(run->peak_deceleration, -now.acceleration * in->sense * in->of.travel_sign);
    else if (oracle_has_power(in) && in->running > 0)
        run->peak_motor_Nm = fmax(run->peak_motor_Nm, fabs(now.torque) / in->running);
    if (in->sense > 0)
        return;
    const oracle_seat on = oracle_seat_force(&in->of, angle, speed);
    run->toe_force_N = fmax(run->toe_force_N, on.buffers_N + on.shoes_N);
    run->buffer_force_N = fmax(run->buffer_force_N, on.buffers_N);
}

static inline void oracle_finish(oracle_run *run, trn_run_end end)
{
    oracle_note(run, run->time_s, run->at[AT_ANGLE], run->at[AT_SPEED]);
    run->ended = true;
    run->end = end;
}

static inline bool oracle_wind_changes(const oracle_run *run)
{
    const oracle_motion *in = &run->in;
    double last = 0;
    for (size_t i = 0; i < in->gust_count; i++)
        last = fmax(last, in->gusts[i].start_s + in->gusts[i].lasts_s);
    if (in->setting->wind_record != NULL)
        last = fmax(last, in->setting->wind_record->points[in->setting->wind_record->count - 1].time_s);
    return run->time_s < last - 1e-9;
}

/* Change of what the motion is. */

static inline void oracle_aim(oracle_run *run, double target, double rate)
{
    oracle_reference *by = &run->in.reference;
    const double now = oracle_reference_at(by, run->time_s);
    *by = (oracle_reference){run->time_s, now, target, target < now ? -rate : rate, run->time_s};
    if (target != now)
        by->until_s += fabs(target - now) / rate;
    else
        by->rate_rad_s2 = 0;
}

static inline void oracle_power_off(oracle_run *run)
{
    if (!oracle_has_power(&run->in))
        return;
    oracle_event(run, TRN_EVENT_POWER_OFF, 0);
    run->in.trip_s = run->time_s;
    run->power_off_s = run->time_s;
    if (run->in.mode != ORACLE_RESTS)
        run->in.mode = ORACLE_OFF;
}

/* Told once until it has caught up, also where the leaf rests in between. */
static inline void oracle_lag(oracle_run *run)
{
    if (!run->in.lags)
        oracle_event(run, TRN_EVENT_DRIVE_AT_LIMIT, 0);
    run->in.lags = true;
}

/* A leaf that shall follow: does the torque for it lie within the law? */
static inline void oracle_follow_or_lag(oracle_run *run)
{
    oracle_motion *in = &run->in;
    in->mode = ORACLE_FOLLOWS;
    const oracle_balance needs = oracle_balance_at(in, run->time_s, run->at[AT_ANGLE], run->at[AT_SPEED]);
    const double sign = needs.torque > 0 ? 1.0 : -1.0;
    if (fabs(needs.torque) <= oracle_limit(in, sign, run->at[AT_SPEED]))
        return;
    in->mode = ORACLE_AT_LIMIT;
    in->limit_sign = sign;
    oracle_lag(run);
}

static inline void oracle_set_off(oracle_run *run, double sense)
{
    oracle_motion *in = &run->in;
    const bool forward = sense == in->of.travel_sign;
    const oracle_balance at = oracle_loads(in, run->time_s, run->at[AT_ANGLE], 0.0);
    const double demand = at.against + at.friction;
    const bool line = in->of.leaf->motors->control == TRN_CONTROL_LINE;
    in->sense = sense;
    in->announced = false;
    oracle_event(run, forward ? TRN_EVENT_BROKE_AWAY : TRN_EVENT_RAN_BACK, 0);
    if (forward && oracle_has_power(in) && in->running > 0) {
        const double geared = demand > 0 ? demand / in->of.efficiency : demand * in->of.efficiency;
        run->break_away_Nm = line ? oracle_law(in->of.leaf->motors, 0.0) : geared / in->of.ratio / in->running;
    }
    if (!oracle_has_power(in)) {
        in->mode = ORACLE_OFF;
    } else if (line) {
        in->mode = ORACLE_ON_LINE;
    } else if (forward && !(oracle_reference_at(&in->reference, run->time_s) > 0)) {
        oracle_follow_or_lag(run);
    } else {
        in->mode = ORACLE_AT_LIMIT;
        in->limit_sign = 1.0;
        oracle_lag(run);
    }
}

static inline bool oracle_brakes_set_later(const oracle_run *run)
{
    const oracle_motion *in = &run->in;
    for (size_t i = 0; !oracle_has_power(in) && i < in->of.leaf->brake_count; i++) {
        const trn_brake *brake = &in->of.leaf->brakes[i];
        if (oracle_brakes_in(in, i) > 0 && in->trip_s + brake->delay_s + brake->set_time_s > run->time_s)
            return true;
    }
    return false;
}

static inline trn_run_end oracle_end_at_rest(const oracle_run *run)
{
    if (run->in.passed_full)
        return TRN_END_ARRIVED;
    if (run->seat.seated)
        return TRN_END_SEATED;
    return oracle_has_power(&run->in) ? TRN_END_STALLED : TRN_END_STOPPED;
}

/* At rest: off again, or to the end. */
static inline void oracle_rest(oracle_run *run)
{
    oracle_motion *in = &run->in;
    in->mode = ORACLE_RESTS;
    run->at[AT_SPEED] = 0;
    if (in->pedal_up)
        oracle_power_off(run);
    const oracle_urge urge = oracle_urge_at(in, run->time_s, run->at[AT_ANGLE]);
    if (urge.forward > 0) {
        oracle_set_off(run, in->of.travel_sign);
    } else if (urge.backward > 0) {
        oracle_set_off(run, -in->of.travel_sign);
    } else {
        if (!in->announced) {
            in->announced = true;
            run->rest_s = run->time_s;
            oracle_event(run, oracle_has_power(in) ? TRN_EVENT_STALLED : TRN_EVENT_STOPPED, 0);
        }
        if (!oracle_wind_changes(run) && !oracle_brakes_set_later(run))
            oracle_finish(run, oracle_end_at_rest(run));
    }
}

static inline void oracle_upset(oracle_run *run, size_t which)
{
    oracle_motion *in = &run->in;
    const trn_upset *upset = &in->setting->upsets[which];
    const trn_travel *travel = in->of.leaf->travel;
    in->upset_done[which] = true;
    oracle_event(run, TRN_EVENT_UPSET, which);
    switch (upset->kind) {
    case TRN_UPSET_POWER_LOST:
    case TRN_UPSET_EMERGENCY_STOP:
        oracle_power_off(run);
        break;
    case TRN_UPSET_PEDAL_RELEASED:
        if (in->mode == ORACLE_ON_LINE) {
            oracle_power_off(run);
        } else if (oracle_has_power(in)) {
            in->pedal_up = true;
            oracle_aim(run, 0.0, travel->speed_rad_s * (1 - travel->creep) / travel->decelerate_in_s);
        }
        break;
    case TRN_UPSET_MOTOR_OUT:
        in->running--;
        break;
    case TRN_UPSET_GUST:
        in->gusts[in->gust_count] = upset->gust;
        in->gusts[in->gust_count++].start_s = run->time_s;
        break;
    case TRN_UPSET_BRAKE_OUT:
    case TRN_UPSET_NEAR_SWITCH_MISSED:
        break;
    }
}

static inline void oracle_meet_shoes(oracle_run *run)
{
    oracle_motion *in = &run->in;
    if (in->sense > 0)
        return;
    const oracle_leaf *of = &in->of;
    const double speed = run->at[AT_SPEED];
    const double inertia = of->leaf_inertia + of->rotor_inertia * of->ratio * of->ratio;
    const trn_seating *seating = of->leaf->seating;
    if (!run->seat.seated) {
        in->seated = true;
        run->seat = (trn_seat){.seated = true,
                               .has_force = seating != NULL && seating->shoe_stiffness_N_m > 0,
                               .speed_rad_s = -speed,
                               .toe_speed_m_s = -speed * of->leaf->toe_m,
                               .energy_J = inertia * speed * speed / 2};
        oracle_event(run, TRN_EVENT_SEATED, 0);
    }
    if (!run->seat.has_force) {
        run->at[AT_SEAT] += inertia * speed * speed / 2;
        run->at[AT_SPEED] = 0;
        run->rest_s = run->time_s;
        in->announced = true;
        in->mode = ORACLE_RESTS;
    }
}

static inline void oracle_pass_near(oracle_run *run)
{
    const trn_travel *travel = run->in.of.leaf->travel;
    run->in.passed_near = true;
    oracle_event(run, TRN_EVENT_NEAR_SWITCH, 0);
    if (run->in.mode == ORACLE_ON_LINE || run->in.pedal_up || !oracle_has_power(&run->in))
        return;
    run->in.creeping = true;
    const double creep = travel->creep * travel->speed_rad_s;
    const double now = oracle_reference_at(&run->in.reference, run->time_s);
    oracle_aim(run, creep,
               now > creep ? travel->speed_rad_s * (1 - travel->creep) / travel->decelerate_in_s
                           : travel->speed_rad_s / travel->accelerate_in_s);
}

static inline void oracle_pass_full(oracle_run *run)
{
    if (run->in.passed_full)
        return;
    run->in.passed_full = true;
    run->switch_time_s = run->time_s;
    run->switch_speed_rad_s = run->at[AT_SPEED] * run->in.of.travel_sign;
    oracle_event(run, TRN_EVENT_FULL_SWITCH, 0);
    oracle_power_off(run);
}

/* A leaf that follows is at the speed that its reference ends at. */
static inline void oracle_reach_target(oracle_run *run)
{
    oracle_motion *in = &run->in;
    if (in->mode != ORACLE_FOLLOWS || run->time_s < in->reference.until_s ||
        in->at_target == in->reference.target_rad_s)
        return;
    run->at[AT_SPEED] = in->of.travel_sign * in->reference.target_rad_s;
    in->at_target = in->reference.target_rad_s;
    if (in->pedal_up)
        oracle_rest(run);
    else
        oracle_event(run, in->creeping ? TRN_EVENT_CREEP : TRN_EVENT_FULL_SPEED, 0);
}

/* What the roots that were found do; CVODE tells them all at once. */
static inline void oracle_answer_places(oracle_run *run, const int *found)
{
    oracle_motion *in = &run->in;
    if (found[ROOT_NEAR])
        oracle_pass_near(run);
    if (found[ROOT_FULL])
        oracle_pass_full(run);
    for (size_t i = 0; i < in->setting->upset_count && !run->ended; i++)
        if (found[ROOT_UPSET + i])
            oracle_upset(run, i);
    if (found[ROOT_BUFFER] && in->sense < 0)
        oracle_event(run, TRN_EVENT_BUFFER_MET, 0);
    if (found[ROOT_SHOE] && in->sense < 0) {
        if (in->of.travel_sign < 0 && !(oracle_full_angle(in) > 0))
            oracle_pass_full(run);
        oracle_meet_shoes(run);
    }
    if (found[ROOT_FAR] && in->sense > 0) {
        oracle_event(run, TRN_EVENT_LEFT_TRAVEL, 0);
        oracle_finish(run, TRN_END_LEFT);
    }
}

static inline void oracle_answer(oracle_run *run, const int *found)
{
    oracle_motion *in = &run->in;
    oracle_answer_places(run, found);
    if (run->ended)
        return;
    if (found[ROOT_FORWARD] || found[ROOT_BACKWARD])
        oracle_set_off(run, found[ROOT_FORWARD] ? in->of.travel_sign : -in->of.travel_sign);
    if (found[ROOT_OVER] || found[ROOT_UNDER]) {
        in->mode = ORACLE_AT_LIMIT;
        in->limit_sign = found[ROOT_OVER] ? 1.0 : -1.0;
        oracle_lag(run);
    }
    if (found[ROOT_RATED]) {
        in->at_rated = true;
        oracle_event(run, TRN_EVENT_FULL_SPEED, 0);
    }
    const bool shall_rest = in->pedal_up && run->time_s >= in->reference.until_s;
    if (found[ROOT_REST] || (found[ROOT_CATCH] && shall_rest)) {
        oracle_rest(run);
    } else if (found[ROOT_CATCH] && in->mode == ORACLE_AT_LIMIT) {
        run->at[AT_SPEED] = in->of.travel_sign * oracle_reference_at(&in->reference, run->time_s);
        in->lags = false;
        oracle_event(run, TRN_EVENT_CAUGHT_UP, 0);
        oracle_follow_or_lag(run);
        oracle_reach_target(run);
    }
}

/* What the clock does at a moment. */
static inline void oracle_strike(oracle_run *run)
{
    oracle_motion *in = &run->in;
    if (oracle_has_power(in))
        oracle_reach_target(run);
    for (size_t i = 0; !oracle_has_power(in) && i < in->of.leaf->brake_count; i++) {
        const trn_brake *brake = &in->of.leaf->brakes[i];
        if (run->time_s == in->trip_s + brake->delay_s + brake->set_time_s && oracle_brakes_in(in, i) > 0)
            oracle_event(run, TRN_EVENT_BRAKE_SET, i);
    }
}

#endif
