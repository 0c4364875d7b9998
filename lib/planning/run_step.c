/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A step of motion: as long as its error allows, to the next moment, or to what happens first. */
#include <math.h>

#include "run_parts.h"
#include "search.h"

static stepper_state rates(double time_s, const stepper_state *state, const void *context)
{
    const motion_now now = motion_at(context, time_s, state->at[ANGLE], state->at[SPEED]);
    stepper_state rate;
    rate.at[ANGLE] = state->at[SPEED];
    rate.at[SPEED] = now.acceleration_rad_s2;
    for (int i = 0; i < FLOWS; i++) {
        rate.at[FLOW + i] = now.flows[i];
    }
    return rate;
}

/* What can end a step. */
typedef enum happening { NOTHING, PASSES_MARK, COMES_TO_REST, CATCHES_UP, REACHES_LIMIT } happening;

/* A step that was tried, and what is watched on it. */
typedef struct attempt {
    const run_state *of;
    stepper_state start_rates;
    stepper_step step;
    run_span span;
    mark next;
} attempt;

static void try_step(attempt *made, double length_s)
{
    const run_state *of = made->of;
    made->step = stepper_take(rates, &of->moving, of->time_s, &of->now, &made->start_rates, length_s);
    made->span = (run_span){
        .start_s = of->time_s,
        .length_s = length_s,
        .angle_rad = {of->now.at[ANGLE], made->step.end.at[ANGLE]},
        .speed_rad_s = {of->now.at[SPEED], made->step.end.at[SPEED]},
        .acceleration_rad_s2 = {made->start_rates.at[SPEED], made->step.end_rates.at[SPEED]},
    };
}

/* Over 1: more than the tolerance allows. */
static double error_of(const attempt *made)
{
    const run_state *of = made->of;
    double worst = 0;
    for (int i = 0; i < STEPPER_SIZE; i++) {
        const double size = fmax(of->scales[i], fmax(fabs(of->now.at[i]), fabs(made->step.end.at[i])));
        const double share = fabs(made->step.error.at[i]) / (of->setting->tolerance * size);
        /* Not fmax, which would lose a NaN. */
        worst = share <= worst ? worst : share;
    }
    return worst;
}

/* Each is over 0 before, and 0 or less from where it happens on; share of the span. */
static double to_mark(double share, const void *context)
{
    const attempt *made = context;
    const run_point at = run_point_in(&made->span, share);
    return travel_sign(made->of->moving.sense) * (made->next.angle_rad - at.angle_rad);
}

static double to_rest(double share, const void *context)
{
    const attempt *made = context;
    return travel_sign(made->of->moving.sense) * run_point_in(&made->span, share).speed_rad_s;
}

static double to_reference(double share, const void *context)
{
    const attempt *made = context;
    const motion *moving = &made->of->moving;
    const run_point at = run_point_in(&made->span, share);
    const double speed = travel_sign(moving->commanded) * at.speed_rad_s;
    return moving->side * (straight_at(moving->reference, at.time_s) - speed);
}

static double to_limit(double share, const void *context)
{
    const attempt *made = context;
    const run_point at = run_point_in(&made->span, share);
    const motion_now now = motion_at(&made->of->moving, at.time_s, at.angle_rad, at.speed_rad_s);
    return fmin(now.drive_limit_Nm - now.motor_Nm, now.motor_Nm + now.hold_limit_Nm);
}

/* The first share at which a watched value is 0, seen from a few points; 2 where it stays over 0. */
static double first_zero(search_function watched, const attempt *made, double least)
{
    static const double shares[] = {0.25, 0.5, 0.75, 1};
    double before = 0;
    for (int i = 0; i < 4; i++) {
        if (watched(shares[i], made) <= -least) {
            return watched(before, made) > 0 ? search_root(watched, made, before, shares[i]) : before;
        }
        before = shares[i];
    }
    return 2;
}

/* As the one before, also where the value only dips below 0 between two points. */
static double first_dip(search_function watched, const attempt *made)
{
    const double start = watched(0, made);
    const double middle = watched(0.5, made);
    const double end = watched(1, made);
    const double slope = end - start;
    const double bend = start - 2 * middle + end;
    double low = middle < end ? 0.5 : 1;
    const double vertex = 0.5 - slope / (4 * bend);
    if (bend > 0 && vertex > 0 && vertex < 1 && watched(vertex, made) < fmin(middle, end)) {
        low = vertex;
    }
    if (middle < 0 && low > 0.5) {
        low = 0.5;
    }
    if (!(watched(low, made) < 0)) {
        return 2;
    }
    return start > 0 ? search_root(watched, made, 0, low) : 0;
}

typedef struct finding {
    happening what;
    double share;
} finding;

static void consider(finding *first, happening what, double share)
{
    if (share < first->share) {
        *first = (finding){what, share};
    }
}

/* What happens first on a step that was tried. */
static finding look(const attempt *made)
{
    const motion *moving = &made->of->moving;
    finding first = {NOTHING, 2};
    if (made->next.kind != MARK_NONE) {
        consider(&first, PASSES_MARK, first_zero(to_mark, made, 0));
    }
    if (moving->mode != MODE_FOLLOW) {
        consider(&first, COMES_TO_REST, first_zero(to_rest, made, 0));
    }
    if (moving->mode == MODE_LIMIT) {
        /* The leaf starts level with its reference; it has caught up only when it is past it. */
        consider(&first, CATCHES_UP, first_zero(to_reference, made, 1e-14 * made->of->leaf->travel->speed_rad_s));
    }
    if (moving->mode == MODE_FOLLOW) {
        consider(&first, REACHES_LIMIT, first_dip(to_limit, made));
    }
    return first;
}

/* How much longer a step must be for what was found to lie at its end. */
static double lacking(const attempt *made, happening what)
{
    const double sign = travel_sign(made->of->moving.sense);
    const double speed = sign * made->span.speed_rad_s[1];
    if (what == PASSES_MARK) {
        return to_mark(1, made) / speed;
    }
    if (what == COMES_TO_REST) {
        return speed / (-sign * made->span.acceleration_rad_s2[1]);
    }
    const motion *moving = &made->of->moving;
    const double gaining = travel_sign(moving->commanded) * made->span.acceleration_rad_s2[1] - moving->reference.slope;
    return to_reference(1, made) / (moving->side * gaining);
}

/* Step to what was found: from the polynomial's place by Newton on the steps themselves. */
static void close_in(attempt *made, finding found)
{
    double length = found.share * made->span.length_s;
    try_step(made, length);
    for (int i = 0; i < 4 && found.what != REACHES_LIMIT; i++) {
        const double more = lacking(made, found.what);
        if (!(fabs(more) > 1e-14 * made->of->time_s + 1e-15) || !(fabs(more) < 0.1 * length)) {
            return;
        }
        length += more;
        try_step(made, length);
    }
}

static void commit(run_state *of, const attempt *made, double until_s)
{
    run_keep_span(of, &made->span);
    of->time_s = until_s;
    of->now = made->step.end;
}

static void happen(run_state *of, const attempt *made, happening what)
{
    switch (what) {
    case PASSES_MARK:
        of->now.at[ANGLE] = made->next.angle_rad;
        run_pass_mark(of, made->next);
        break;
    case COMES_TO_REST:
        of->now.at[SPEED] = 0;
        run_come_to_rest(of);
        break;
    case CATCHES_UP:
        of->now.at[SPEED] = travel_sign(of->moving.commanded) * straight_at(of->moving.reference, of->time_s);
        run_catch_up(of);
        break;
    case REACHES_LIMIT:
        run_reach_limit(of);
        break;
    case NOTHING:
        break;
    }
}

/* The shortest step that is still divided for its error. */
static const double shortest_s = 1e-9;

static trn_status shorten(run_state *of, attempt *made, double longest_s, trn_error *error)
{
    double length = fmin(of->step_s, longest_s);
    for (;;) {
        try_step(made, length);
        const double wrong = error_of(made);
        const double factor = wrong > 0 ? fmin(5, fmax(0.2, 0.9 * pow(wrong, -0.2))) : 5;
        if (wrong <= 1 || length <= shortest_s) {
            if (!isfinite(made->step.end.at[ANGLE]) || !isfinite(made->step.end.at[SPEED]) || isnan(wrong)) {
                trn_error_set(error, TRN_OUT_OF_DOMAIN,
                              "the motion cannot be computed beyond %.6g s: a number leaves what a double holds",
                              of->time_s);
                return TRN_OUT_OF_DOMAIN;
            }
            of->step_s = fmax(length * factor, length < of->step_s && wrong <= 1 ? of->step_s : 0);
            return TRN_OK;
        }
        of->step_s = length;
        length *= isfinite(wrong) ? fmin(factor, 0.9) : 0.1;
    }
}

trn_status run_step(run_state *of, trn_error *error)
{
    const double moment = run_next_moment(of);
    const double longest = moment - of->time_s;
    attempt made = {.of = of, .next = run_next_mark(of)};
    made.start_rates = rates(of->time_s, &of->now, &of->moving);
    const trn_status status = shorten(of, &made, longest, error);
    if (status != TRN_OK) {
        return status;
    }
    of->steps++;
    const finding found = look(&made);
    if (found.what != NOTHING) {
        close_in(&made, found);
    }
    const bool whole = found.what == NOTHING && made.span.length_s >= longest;
    commit(of, &made, whole ? moment : of->time_s + made.span.length_s);
    happen(of, &made, found.what);
    if (whole) {
        run_pass_moment(of);
    }
    return TRN_OK;
}
