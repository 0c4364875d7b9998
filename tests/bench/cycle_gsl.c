/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cycle_gsl.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <string.h>

enum { ANGLE, SPEED, MOTORS, FRICTION, GEARS, SIZE };

/* What ends a step. */
enum { AT_MARK, AT_REST, AT_GEAR, AT_BUFFERS, OFF_BUFFERS, AT_SHOES, EVENTS };

typedef struct cycle {
    const trn_leaf *leaf;
    trn_body body;
    double sense;
    double friction_arm_m;
    double inertia_kg_m2; /* with the rotors */
    double rotors_kg_m2;  /* at the leaf */
    bool off;
    double tripped_s;
    double slope_rad_s2; /* of the reference, in the sense of travel */
    double mark_rad;
    double gear; /* +1 driving, -1 overhauled */
    bool on_buffers;
    bool on_shoes;
    gsl_odeiv2_step *step;
    gsl_odeiv2_control *control;
    gsl_odeiv2_evolve *evolve;
} cycle;

/* The state of the moment: what events and rates are made of. */
typedef struct loads {
    double height_m;
    double push_N;
    double seat_N;
    double friction_Nm;
    double demand_Nm; /* following */
    double brakes_Nm;
    double against_Nm; /* off */
} loads;

static double brakes_at(const cycle *of, double time)
{
    double sum = 0;
    for (size_t i = 0; of->off && i < of->leaf->brake_count; i++) {
        const trn_brake *brake = &of->leaf->brakes[i];
        const double share = (time - of->tripped_s - brake->delay_s) / brake->set_time_s;
        sum += brake->count * brake->torque_Nm * brake->ratio * fmin(fmax(share, 0), 1);
    }
    return sum;
}

static loads loads_at(const cycle *of, double time, const double *state)
{
    const trn_leaf *leaf = of->leaf;
    const trn_seating *seating = leaf->seating;
    const double cosine = cos(state[ANGLE]);
    const double sine = sin(state[ANGLE]);
    loads at = {.height_m = leaf->toe_m * sine};
    if (of->on_buffers) {
        at.push_N = seating->buffer_preload_N - seating->buffer_damping_N_s_m * state[SPEED] * leaf->toe_m * cosine +
                    seating->buffer_stiffness_N_m * (seating->buffer_stroke_m - at.height_m);
    }
    at.seat_N = at.push_N - (of->on_shoes ? seating->shoe_stiffness_N_m * at.height_m : 0);
    const double moment = of->body.a_Nm * cosine - of->body.b_Nm * sine - at.seat_N * leaf->toe_m * cosine;
    at.friction_Nm = of->friction_arm_m * fabs(of->body.weight_N - at.seat_N) + leaf->trunnion->drag_Nm;
    at.brakes_Nm = brakes_at(of, time);
    at.against_Nm = of->sense * moment + at.friction_Nm + at.brakes_Nm;
    at.demand_Nm = at.against_Nm + (of->inertia_kg_m2 - of->rotors_kg_m2) * of->slope_rad_s2;
    return at;
}

static int rates(double time, const double *state, double *rate, void *context)
{
    const cycle *of = context;
    const loads at = loads_at(of, time, state);
    const double run = of->sense * state[SPEED];
    rate[ANGLE] = state[SPEED];
    rate[FRICTION] = at.friction_Nm * run;
    rate[MOTORS] = 0;
    rate[GEARS] = 0;
    rate[SPEED] = -of->sense * at.against_Nm / of->inertia_kg_m2;
    if (!of->off) {
        const double loss = of->leaf->drive->efficiency;
        const double geared = of->gear > 0 ? at.demand_Nm / loss : at.demand_Nm * loss;
        rate[SPEED] = of->sense * of->slope_rad_s2;
        rate[MOTORS] = (geared + of->rotors_kg_m2 * of->slope_rad_s2) * run;
        rate[GEARS] = (geared - at.demand_Nm) * run;
    }
    return GSL_SUCCESS;
}

/* Over 0 before the event; 1 where it cannot happen. */
static double to_event(const cycle *of, int event, double time, const double *state)
{
    const loads at = loads_at(of, time, state);
    switch (event) {
    case AT_MARK:
        return of->off ? 1 : of->sense * (of->mark_rad - state[ANGLE]);
    case AT_REST:
        return of->off ? of->sense * state[SPEED] : 1;
    case AT_GEAR:
        return of->off ? 1 : of->gear * at.demand_Nm;
    case AT_BUFFERS:
        return of->on_buffers || of->sense > 0 || of->leaf->seating == NULL
                   ? 1
                   : at.height_m - of->leaf->seating->buffer_stroke_m;
    case OFF_BUFFERS:
        return of->on_buffers ? at.push_N : 1;
    default:
        return !of->off || of->on_shoes || of->sense > 0 || of->leaf->seating == NULL ? 1 : at.height_m;
    }
}

/* A step from a state that ends where an event is looked for. */
typedef struct stride {
    cycle *of;
    int event;
    double from_s;
    const double *from;
    double to[SIZE];
} stride;

static double after(double length, void *context)
{
    stride *by = context;
    double doubt[SIZE];
    const gsl_odeiv2_system system = {rates, NULL, SIZE, by->of};
    memcpy(by->to, by->from, sizeof by->to);
    if (length > 0)
        (void)gsl_odeiv2_step_apply(by->of->step, by->from_s, length, by->to, doubt, NULL, NULL, &system);
    return to_event(by->of, by->event, by->from_s + length, by->to);
}

static double find(stride *by, double length)
{
    gsl_function function = {after, by};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    (void)gsl_root_fsolver_set(solver, &function, 0, length);
    for (int i = 0; i < 60; i++) {
        (void)gsl_root_fsolver_iterate(solver);
        const double low = gsl_root_fsolver_x_lower(solver);
        const double high = gsl_root_fsolver_x_upper(solver);
        if (gsl_root_test_interval(low, high, 1e-13, 1e-13) == GSL_SUCCESS)
            break;
    }
    const double root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return root;
}

/* Steps until a moment or an event, which is told; EVENTS at the moment. */
static int run_until(cycle *of, double until, double *time, double *state)
{
    const gsl_odeiv2_system system = {rates, NULL, SIZE, of};
    double length = fmin(until - *time, 1);
    (void)gsl_odeiv2_evolve_reset(of->evolve);
    while (*time < until) {
        const double from_s = *time;
        double from[SIZE];
        memcpy(from, state, sizeof from);
        (void)gsl_odeiv2_evolve_apply(of->evolve, of->control, of->step, &system, time, until, &length, state);
        int first = EVENTS;
        double share = *time - from_s;
        for (int event = 0; event < EVENTS; event++) {
            if (to_event(of, event, *time, state) < 0 && to_event(of, event, from_s, from) > 0) {
                stride by = {.of = of, .event = event, .from_s = from_s, .from = from};
                const double there = find(&by, *time - from_s);
                first = first == EVENTS || there < share ? event : first;
                share = fmin(share, there);
            }
        }
        if (first < EVENTS) {
            stride by = {.of = of, .event = first, .from_s = from_s, .from = from};
            (void)after(share, &by);
            memcpy(state, by.to, sizeof by.to);
            *time = from_s + share;
            return first;
        }
    }
    return EVENTS;
}

/* After what makes the forces jump. */
static void find_gear(cycle *of, double time, const double *state)
{
    of->gear = loads_at(of, time, state).demand_Nm >= 0 ? 1 : -1;
}

/* Through what only bends the forces; what stops a stretch is told. */
static int follow(cycle *of, double until, double *time, double *state)
{
    for (;;) {
        const int event = run_until(of, until, time, state);
        if (event == AT_GEAR)
            of->gear = -of->gear;
        else if (event == AT_BUFFERS)
            of->on_buffers = true;
        else if (event == OFF_BUFFERS)
            of->on_buffers = false;
        else if (event == AT_SHOES)
            of->on_shoes = true;
        else
            return event;
        if (event != AT_GEAR)
            find_gear(of, *time, state);
    }
}

static void stretch(cycle *of, double slope, double lasts_s, double *time, double *state)
{
    of->slope_rad_s2 = slope;
    find_gear(of, *time, state);
    (void)follow(of, *time + lasts_s, time, state);
}

static void stop(cycle *of, double *time, double *state)
{
    enum { LATE = 600 };
    of->off = true;
    of->tripped_s = *time;
    /* Where the switch is at the shoes, both are met at once. */
    of->on_shoes = of->sense < 0 && of->leaf->seating != NULL && !(of->mark_rad > 0);
    for (int event = EVENTS; event == EVENTS && *time < of->tripped_s + LATE;) {
        double next = of->tripped_s + LATE;
        for (size_t i = 0; i < of->leaf->brake_count; i++) {
            const trn_brake *brake = &of->leaf->brakes[i];
            const double begins = of->tripped_s + brake->delay_s;
            next = begins > *time ? fmin(next, begins) : next;
            next = begins + brake->set_time_s > *time ? fmin(next, begins + brake->set_time_s) : next;
        }
        event = follow(of, next, time, state);
    }
}

gsl_answer gsl_cycle(const trn_leaf *leaf, trn_body body, trn_direction direction, double tolerance)
{
    enum { LATE = 600 };
    const bool opening = direction == TRN_OPENING;
    const trn_travel *travel = leaf->travel;
    const double full_open = travel->full_open_rad > 0 ? travel->full_open_rad : leaf->opens_to_rad;
    const double creep = travel->creep * travel->speed_rad_s;
    const double rotors =
        leaf->motors->installed * leaf->motors->inertia_kg_m2 * leaf->drive->ratio * leaf->drive->ratio;
    const double scales[SIZE] = {1, travel->speed_rad_s, 1e5, 1e5, 1e5};
    cycle of = {.leaf = leaf,
                .body = body,
                .sense = opening ? 1 : -1,
                .friction_arm_m = leaf->trunnion->friction.moving * leaf->trunnion->diameter_m / 2,
                .inertia_kg_m2 = body.inertia_kg_m2 + rotors,
                .rotors_kg_m2 = rotors,
                .mark_rad = opening ? travel->near_open_rad : travel->near_closed_rad,
                .on_buffers = opening && leaf->seating != NULL,
                .step = gsl_odeiv2_step_alloc(gsl_odeiv2_step_rk8pd, SIZE),
                .control = gsl_odeiv2_control_scaled_new(tolerance, tolerance, 1, 0, scales, SIZE),
                .evolve = gsl_odeiv2_evolve_alloc(SIZE)};
    double time = 0;
    double state[SIZE] = {opening ? 0 : leaf->opens_to_rad};
    stretch(&of, travel->speed_rad_s / travel->accelerate_in_s, travel->accelerate_in_s, &time, state);
    stretch(&of, 0, LATE, &time, state);
    of.mark_rad = opening ? full_open : travel->full_closed_rad;
    stretch(&of, -(travel->speed_rad_s - creep) / travel->decelerate_in_s, travel->decelerate_in_s, &time, state);
    stretch(&of, 0, LATE, &time, state);
    const double switched = time;
    stop(&of, &time, state);
    gsl_odeiv2_evolve_free(of.evolve);
    gsl_odeiv2_control_free(of.control);
    gsl_odeiv2_step_free(of.step);
    return (gsl_answer){switched, state[ANGLE], state[MOTORS], state[FRICTION], state[GEARS]};
}
