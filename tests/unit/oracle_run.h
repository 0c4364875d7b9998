/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file oracle_run.h
 * A whole opening or closing by SUNDIALS CVODE with its root finding: each
 * stretch of one way of moving is integrated by itself, from event to event.
 */
#ifndef TRN_TEST_ORACLE_RUN_H
#define TRN_TEST_ORACLE_RUN_H

#include <cvode/cvode.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include "oracle_events.h"

enum { ORACLE_STRETCHES = 4000 };

static inline void oracle_check(int flag, const char *what)
{
    if (flag < 0)
        fail_msg("CVODE: %s gives %d", what, flag);
}

/* Within the step that CVODE has just made. */
static inline void oracle_note_step(oracle_run *run, double from, N_Vector room)
{
    for (int i = 1; i <= run->looks; i++) {
        const double time = from + (run->time_s - from) * i / run->looks;
        double last = 0;
        oracle_check(CVodeGetLastStep(run->cvode, &last), "last step");
        if (!(last > 0))
            continue;
        oracle_check(CVodeGetDky(run->cvode, time, 0, room), "dense output");
        const realtype *at = N_VGetArrayPointer(room);
        oracle_note(run, time, at[AT_ANGLE], at[AT_SPEED]);
    }
}

/* The next moment after now at which something is switched by the clock. */
static inline void oracle_sooner(const oracle_run *run, double moment, double *next)
{
    if (moment > run->time_s + 1e-11 * fmax(1.0, run->time_s) && moment < *next)
        *next = moment;
}

static inline double oracle_next_moment(const oracle_run *run)
{
    const oracle_motion *in = &run->in;
    double next = run->time_s + 20.0;
    if (oracle_has_power(in))
        oracle_sooner(run, in->reference.until_s, &next);
    for (size_t i = 0; !oracle_has_power(in) && i < in->of.leaf->brake_count; i++) {
        const trn_brake *brake = &in->of.leaf->brakes[i];
        oracle_sooner(run, in->trip_s + brake->delay_s, &next);
        oracle_sooner(run, in->trip_s + brake->delay_s + brake->set_time_s, &next);
    }
    for (size_t i = 0; i < in->gust_count; i++) {
        oracle_sooner(run, in->gusts[i].start_s, &next);
        oracle_sooner(run, in->gusts[i].start_s + in->gusts[i].lasts_s, &next);
    }
    const trn_wind_record *record = in->setting->wind_record;
    for (size_t i = 0; record != NULL && i < record->count; i++)
        oracle_sooner(run, record->points[i].time_s, &next);
    return next;
}

/* From now to the next event; true where roots were found. */
static inline bool oracle_stretch(oracle_run *run, int *found, N_Vector room)
{
    oracle_motion *in = &run->in;
    in->begins_s = run->time_s;
    in->ends_s = oracle_next_moment(run);
    oracle_check(CVodeReInit(run->cvode, run->time_s, run->state), "restart");
    oracle_check(CVodeSetStopTime(run->cvode, in->ends_s), "stop time");
    /* At rest nothing holds CVODE back from stepping over a gust. */
    oracle_check(CVodeSetMaxStep(run->cvode, in->mode == ORACLE_RESTS ? 0.02 : 0.0), "longest step");
    oracle_note(run, run->time_s, run->at[AT_ANGLE], run->at[AT_SPEED]);
    const double began = run->time_s;
    int flag = CV_SUCCESS;
    while (flag == CV_SUCCESS) {
        const double from = run->time_s;
        flag = CVode(run->cvode, in->ends_s, run->state, &run->time_s, CV_ONE_STEP);
        oracle_check(flag, "step");
        oracle_note_step(run, from, room);
    }
    long evaluations = 0;
    oracle_check(CVodeGetNumRhsEvals(run->cvode, &evaluations), "count");
    run->evaluations += evaluations;
    in->begins_s = run->time_s; /* what is decided now is decided for what comes */
    in->ends_s = HUGE_VAL;
    if (in->mode == ORACLE_AT_LIMIT || (in->mode == ORACLE_RESTS && oracle_has_power(in)))
        run->lag_s += run->time_s - began;
    memset(found, 0, ROOTS * sizeof *found);
    if (flag == CV_ROOT_RETURN)
        oracle_check(CVodeGetRootInfo(run->cvode, found), "roots");
    return flag == CV_ROOT_RETURN;
}

static inline void oracle_continue(oracle_run *run, N_Vector room)
{
    int found[ROOTS];
    if (oracle_stretch(run, found, room))
        oracle_answer(run, found);
    else
        oracle_strike(run);
    if (run->ended)
        return;
    oracle_motion *in = &run->in;
    if (in->mode == ORACLE_FOLLOWS)
        oracle_follow_or_lag(run);
    if (in->mode == ORACLE_RESTS)
        oracle_rest(run);
    if (!run->ended && in->mode != ORACLE_RESTS && run->time_s > run->power_off_s + 600)
        oracle_finish(run, TRN_END_MOVING);
}

static inline void oracle_begin(oracle_run *run, const trn_leaf *leaf, const trn_run_setting *setting)
{
    oracle_motion *in = &run->in;
    const trn_travel *travel = leaf->travel;
    *in = (oracle_motion){.of = oracle_of(leaf, setting->load_case, setting->direction),
                          .setting = setting,
                          .running = leaf->motors->running,
                          .sense = setting->direction == TRN_OPENING ? 1.0 : -1.0,
                          .trip_s = HUGE_VAL,
                          .at_target = -1.0,
                          .ends_s = HUGE_VAL,
                          .reference = {0, 0, travel->speed_rad_s, travel->speed_rad_s / travel->accelerate_in_s,
                                        travel->accelerate_in_s}};
    run->power_off_s = HUGE_VAL;
    for (size_t i = 0; i < setting->upset_count; i++) {
        const trn_upset_kind kind = setting->upsets[i].kind;
        in->brake_out = in->brake_out || kind == TRN_UPSET_BRAKE_OUT;
        in->passed_near = in->passed_near || kind == TRN_UPSET_NEAR_SWITCH_MISSED;
        in->upset_done[i] = kind == TRN_UPSET_BRAKE_OUT || kind == TRN_UPSET_NEAR_SWITCH_MISSED;
    }
    if (setting->gust != NULL)
        in->gusts[in->gust_count++] = *setting->gust;
    run->at[AT_ANGLE] = setting->direction == TRN_OPENING ? 0.0 : leaf->opens_to_rad;
    oracle_event(run, TRN_EVENT_BRAKES_RELEASED, 0);
    oracle_rest(run);
}

static inline void oracle_equip(oracle_run *run)
{
    oracle_check(SUNContext_Create(NULL, &run->sundials), "context");
    run->state = N_VNew_Serial(STATES, run->sundials);
    N_VConst(0.0, run->state);
    run->at = N_VGetArrayPointer(run->state);
    run->cvode = CVodeCreate(CV_ADAMS, run->sundials);
    oracle_check(CVodeInit(run->cvode, oracle_rates, 0.0, run->state), "init");
    oracle_check(CVodeSetUserData(run->cvode, &run->in), "user data");
    run->solver = SUNNonlinSol_FixedPoint(run->state, 0, run->sundials);
    oracle_check(CVodeSetNonlinearSolver(run->cvode, run->solver), "solver");
    oracle_check(CVodeRootInit(run->cvode, ROOTS, oracle_roots), "roots");
    oracle_check(CVodeSetNoInactiveRootWarn(run->cvode), "no warning");
    oracle_check(CVodeSetMaxNumSteps(run->cvode, 1000000), "steps");
}

/* Angles to the relative tolerance of a radian, works to that of the largest work that a run may show. */
static inline void oracle_be_exact(oracle_run *run, N_Vector room, double relative)
{
    const oracle_leaf *of = &run->in.of;
    const double speed = of->leaf->travel->speed_rad_s;
    const double work = hypot(of->a_Nm, of->b_Nm) + of->leaf_inertia * speed * speed;
    realtype *to = N_VGetArrayPointer(room);
    for (int i = 0; i < STATES; i++)
        to[i] = relative * work;
    to[AT_ANGLE] = relative;
    to[AT_SPEED] = relative * speed;
    to[AT_SQUARES] = relative;
    oracle_check(CVodeSVtolerances(run->cvode, relative, room), "tolerances");
}

/* A run to a relative tolerance of each step, with so many looks for peaks within it. */
static inline void oracle_make_run(oracle_run *run, const trn_leaf *leaf, const trn_run_setting *setting,
                                   double relative, int looks)
{
    *run = (oracle_run){.looks = looks};
    oracle_equip(run);
    N_Vector room = N_VClone(run->state);
    oracle_begin(run, leaf, setting);
    oracle_be_exact(run, room, relative);
    for (int i = 0; !run->ended; i++) {
        if (i == ORACLE_STRETCHES)
            fail_msg("the oracle does not come to an end");
        oracle_continue(run, room);
    }
    N_VDestroy(room);
}

static inline void oracle_free(oracle_run *run)
{
    CVodeFree(&run->cvode);
    SUNNonlinSolFree(run->solver);
    N_VDestroy(run->state);
    SUNContext_Free(&run->sundials);
}

#endif
