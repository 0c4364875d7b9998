/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A step of motion: as long as its error allows, to the next moment, or to what happens first. */
#include <math.h>

#include "../mechanics/search.h"
#include "run_parts.h"

/* What the stepper asks, and the last answer. */
typedef struct asked {
    const motion *moving;
    motion_now *last;
} asked;

static stepper_state rates(double time_s, const stepper_state *state, const void *context)
{
    const asked *by = context;
    const motion_now now = motion_at(by->moving, time_s, state->at[ANGLE], state->at[SPEED]);
    stepper_state rate;
    *by->last = now;
    rate.at[ANGLE] = state->at[SPEED];
    rate.at[SPEED] = now.acceleration_rad_s2;
    for (int i = 0; i < FLOWS; i++) {
        rate.at[FLOW + i] = now.flows[i];
    }
    return rate;
}

/* What can end a step. */
typedef enum happening {
    NOTHING,
    PASSES_MARK,
    COMES_TO_REST,
    CATCHES_UP,
    REACHES_LIMIT,
    REACHES_SPEED,
    MEETS_KNOT,
    CHANGES_SIDE,
    COMES_OFF_BUFFERS
} happening;

/* A step that was tried, and what is watched on it. */
typedef struct attempt {
    const run_state *of;
    stepper_state start_rates;
    bool stiff;
    stiff_slopes slopes;
    stepper_step step;
    run_span span;
    motion_now at[3]; /* start, middle, end of the span */
    mark next;
    double mark_s;         /* to it, where that is known beforehand; else infinite */
    double knots_rad_s[2]; /* of the torque's law, next below and above the shaft's speed at the start */
} attempt;

/* A damper that slows the leaf sooner than its springs move it; a swing on springs asks any method for short steps. */
static bool is_overdamped(const run_state *of)
{
    const trn_seating *seating = of->leaf->seating;
    const bool buffers = of->moving.on_buffers;
    const double spring =
        (buffers ? seating->buffer_stiffness_N_m : 0) + (of->run.seat.seated ? seating->shoe_stiffness_N_m : 0);
    const double damping = buffers ? seating->buffer_damping_N_s_m : 0;
    const double mass = motion_inertia(&of->moving, of->now.at[ANGLE]) / (of->leaf->toe_m * of->leaf->toe_m);
    return damping * damping > 4 * spring * mass;
}

/* Across the line the motors hold their speed as by a stiff damper. */
static bool is_stiff(const run_state *of)
{
    if (of->moving.mode == MODE_LINE) {
        return true;
    }
    return of->moving.mode != MODE_FOLLOW && of->leaf->seating != NULL && is_overdamped(of);
}

static void try_step(attempt *made, double length_s)
{
    const run_state *of = made->of;
    const asked by = {&of->moving, &made->at[2]};
    made->step = made->stiff ? stiff_take(rates, &by, of->time_s, &of->now, &made->start_rates, made->slopes, length_s)
                             : stepper_take(rates, &by, of->time_s, &of->now, &made->start_rates, length_s);
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
    const double tolerance = made->stiff ? stiff_tolerance(of->setting->tolerance) : of->setting->tolerance;
    double worst = 0;
    for (int i = 0; i < STEPPER_SIZE; i++) {
        const double size = fmax(of->scales[i], fmax(fabs(of->now.at[i]), fabs(made->step.end.at[i])));
        const double share = fabs(made->step.error.at[i]) / (tolerance * size);
        if (isnan(share)) {
            return share;
        }
        worst = fmax(worst, share);
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

/* By speeds and accelerations alone: beside the angle a very slow motion has no digits. */
static double speed_in(const run_span *span, double share)
{
    const double h = span->length_s;
    const double rise = span->speed_rad_s[1] - span->speed_rad_s[0];
    const double first = span->acceleration_rad_s2[0] * h;
    const double last = span->acceleration_rad_s2[1] * h;
    const double bend = 3 * rise - 2 * first - last;
    const double twist = first + last - 2 * rise;
    return span->speed_rad_s[0] + share * (first + share * (bend + share * twist));
}

static double to_rest(double share, const void *context)
{
    const attempt *made = context;
    return travel_sign(made->of->moving.sense) * speed_in(&made->span, share);
}

static double to_reference(double share, const void *context)
{
    const attempt *made = context;
    const motion *moving = &made->of->moving;
    const double speed = travel_sign(moving->commanded) * speed_in(&made->span, share);
    const double time = made->span.start_s + share * made->span.length_s;
    return moving->side * (straight_at(moving->reference, time) - speed);
}

/* Speed of the motors' shafts in the commanded direction. */
static double shaft_speed(const attempt *made, double share)
{
    const double angle = run_point_in(&made->span, share).angle_rad;
    const double ratio = trn_drive_at(made->of->leaf->drive, trn_rotation_by(angle)).ratio;
    return travel_sign(made->of->moving.commanded) * speed_in(&made->span, share) * ratio;
}

/* Across the line full speed is the motors' rated one. */
static double to_rated_speed(double share, const void *context)
{
    const attempt *made = context;
    return made->of->leaf->motors->speed_rad_s - shaft_speed(made, share);
}

static double to_knot_below(double share, const void *context)
{
    const attempt *made = context;
    return fabs(shaft_speed(made, share)) - made->knots_rad_s[0];
}

static double to_knot_above(double share, const void *context)
{
    const attempt *made = context;
    return made->knots_rad_s[1] - fabs(shaft_speed(made, share));
}

/* A knot at which the leaf is already lies behind it. */
static void offer_knot(attempt *made, double shaft_rad_s, double knot_rad_s)
{
    const double hair = 1e-12 * knot_rad_s;
    if (knot_rad_s < shaft_rad_s - hair) {
        made->knots_rad_s[0] = fmax(made->knots_rad_s[0], knot_rad_s);
    } else if (knot_rad_s > shaft_rad_s + hair) {
        made->knots_rad_s[1] = fmin(made->knots_rad_s[1], knot_rad_s);
    }
}

/* Where the torque's law bends: a step across a bend has no order. */
static void set_knots(attempt *made)
{
    const trn_motors *motors = made->of->leaf->motors;
    made->knots_rad_s[0] = -HUGE_VAL;
    made->knots_rad_s[1] = HUGE_VAL;
    if (made->of->leaf->drive->kind == TRN_DRIVE_CYLINDER || motors->law == TRN_TORQUE_INDUCTION) {
        return;
    }
    const double shaft = fabs(shaft_speed(made, 0));
    offer_knot(made, shaft, motors->speed_rad_s);
    for (size_t i = 0; i < motors->table_count; i++) {
        offer_knot(made, shaft, motors->table[i].speed_rad_s);
    }
}

/* What is watched: over 0, or 0, until it happens. */
typedef double (*watched_value)(const motion *moving, const motion_now *now);

static double margin(const motion *moving, const motion_now *now)
{
    (void)moving;
    return fmin(now->drive_limit_Nm - now->motor_Nm, now->motor_Nm + now->hold_limit_Nm);
}

/* Gear loss changes its side where the leaf begins to overhaul, and the torque bends there. */
static double on_its_side(const motion *moving, const motion_now *now)
{
    const double gears = fabs(moving->geared) > 0 ? moving->geared * now->net_Nm : HUGE_VAL;
    return fabs(moving->driving) > 0 ? fmin(gears, moving->driving * now->motor_Nm) : gears;
}

/* A damper only pushes: a toe that rises faster than the buffers follow comes off them. */
static double buffer_push(const motion *moving, const motion_now *now)
{
    (void)moving;
    return now->buffer_push_N;
}

static motion_now now_in(const attempt *made, double share)
{
    const run_point at = run_point_in(&made->span, share);
    return motion_at(&made->of->moving, at.time_s, at.angle_rad, at.speed_rad_s);
}

typedef struct watch {
    const attempt *made;
    watched_value value;
} watch;

static double watched_at(double share, const void *context)
{
    const watch *on = context;
    const motion_now now = now_in(on->made, share);
    return on->value(&on->made->of->moving, &now);
}

/* The first share at which a watched value falls below 0, also where it only grazes it; 2 where it does not. */
static double first_below(const attempt *made, watched_value value)
{
    const watch on = {made, value};
    const motion *moving = &made->of->moving;
    const double start = value(moving, &made->at[0]);
    const double middle = value(moving, &made->at[1]);
    const double end = value(moving, &made->at[2]);
    const double slope = end - start;
    const double bend = start - 2 * middle + end;
    const double vertex = 0.5 - slope / (4 * bend);
    double low = middle < 0 || middle < end ? 0.5 : 1;
    if (fmin(middle, end) >= 0) {
        /* The parabola through the three tells whether a look between them is worth its price. */
        const bool dips = bend > 0 && vertex > 0 && vertex < 1 && middle - slope * slope / (8 * bend) < 0;
        if (!dips || !(watched_at(vertex, &on) < 0)) {
            return 2;
        }
        low = vertex;
    }
    return start > 0 ? search_root(watched_at, &on, 0, low) : 0;
}

/* The zero between a share at which the value is over 0, or just leaves 0, and one at which it is below. */
static double zero_between(search_function watched, const attempt *made, double low, double high)
{
    if (watched(low, made) > 0) {
        return search_root(watched, made, low, high);
    }
    /* It starts level, may rise for a moment, and is below by the first look. */
    double after = high;
    for (int i = 0; i < 50; i++) {
        const double nearer = low + (after - low) / 2;
        if (watched(nearer, made) > 0) {
            return search_root(watched, made, nearer, after);
        }
        after = nearer;
    }
    return low;
}

/* The first share at which a watched value is 0, seen from a few points; 2 where it stays over 0. */
static double first_zero(search_function watched, const attempt *made, double least)
{
    static const double shares[] = {0.25, 0.5, 0.75, 1};
    double before = 0;
    for (int i = 0; i < 4; i++) {
        if (watched(shares[i], made) <= -least) {
            return zero_between(watched, made, before, shares[i]);
        }
        before = shares[i];
    }
    return 2;
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
    if (made->mark_s < HUGE_VAL) {
        consider(&first, PASSES_MARK, made->span.length_s < made->mark_s ? 2 : 1);
    } else if (made->next.kind != MARK_NONE) {
        consider(&first, PASSES_MARK, first_zero(to_mark, made, 0));
    }
    if (moving->mode != MODE_FOLLOW) {
        consider(&first, COMES_TO_REST, first_zero(to_rest, made, 0));
    }
    if (moving->mode == MODE_LIMIT) {
        /* The leaf starts level with its reference; it has caught up only when it is past it. */
        consider(&first, CATCHES_UP, first_zero(to_reference, made, RUN_HAIR * made->of->leaf->travel->speed_rad_s));
    }
    if (moving->mode == MODE_FOLLOW) {
        consider(&first, REACHES_LIMIT, first_below(made, margin));
    }
    if (fabs(moving->geared) > 0 || fabs(moving->driving) > 0) {
        consider(&first, CHANGES_SIDE, first_below(made, on_its_side));
    }
    if (moving->mode == MODE_LIMIT || moving->mode == MODE_LINE) {
        consider(&first, MEETS_KNOT, first_zero(to_knot_below, made, 0));
        consider(&first, MEETS_KNOT, first_zero(to_knot_above, made, 0));
    }
    if (moving->pressed) {
        consider(&first, COMES_OFF_BUFFERS, first_below(made, buffer_push));
    }
    if (moving->mode == MODE_LINE && !made->of->at_target) {
        consider(&first, REACHES_SPEED, first_zero(to_rated_speed, made, 0));
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
    if (found.share < 1) {
        try_step(made, length);
    }
    const bool exact = found.what == PASSES_MARK || found.what == COMES_TO_REST || found.what == CATCHES_UP;
    for (int i = 0; i < 4 && exact; i++) {
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
    run_keep_span(of, &made->span, made->at);
    /* A leaf that rounding has put beyond a mark steps back to it; time does not. */
    of->time_s = fmax(of->time_s, until_s);
    of->now = made->step.end;
    const double along = travel_sign(of->moving.commanded) * of->now.at[ANGLE];
    of->furthest = fmax(of->furthest, along);
    of->run.ran_back_rad = fmax(of->run.ran_back_rad, of->furthest - along);
    of->run.past_end_rad = fmax(of->run.past_end_rad, of->now.at[ANGLE] - of->leaf->opens_to_rad);
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
    case REACHES_SPEED:
        of->at_target = true;
        run_note(of, TRN_EVENT_FULL_SPEED, 0);
        break;
    case CHANGES_SIDE:
        of->side_changed_s = of->time_s;
        break;
    case COMES_OFF_BUFFERS:
        of->off_buffers_s = of->time_s;
        break;
    case MEETS_KNOT:
    case NOTHING:
        break;
    }
}

/* The shortest step that is still divided for its error. */
static const double shortest_s = 1e-9;

static trn_status shorten(run_state *of, attempt *made, double longest_s, trn_error *error)
{
    /* A travel of endless time has no endless step. */
    double length = fmin(fmin(of->step_s, longest_s), 1e300);
    /* What cut the step says nothing of its error. */
    double kept = length < of->step_s ? of->step_s : 0;
    for (;;) {
        of->trials++;
        try_step(made, length);
        const double wrong = error_of(made);
        const double factor = wrong > 0 ? fmin(5, fmax(0.2, 0.9 * pow(wrong, made->stiff ? -0.25 : -0.2))) : 5;
        if (wrong <= 1 || length <= shortest_s) {
            if (!isfinite(made->step.end.at[ANGLE]) || !isfinite(made->step.end.at[SPEED]) || isnan(wrong)) {
                trn_error_set(error, TRN_OUT_OF_DOMAIN,
                              "the motion cannot be computed beyond %.6g s: a number leaves what a double holds",
                              of->time_s);
                return TRN_OUT_OF_DOMAIN;
            }
            of->step_s = fmax(length * factor, wrong <= 1 ? kept : 0);
            return TRN_OK;
        }
        kept = 0;
        length *= isfinite(wrong) ? fmin(factor, 0.9) : 0.1;
    }
}

trn_status run_step(run_state *of, trn_error *error)
{
    const double moment = run_next_moment(of);
    attempt made = {.of = of, .next = run_next_mark(of)};
    made.mark_s = run_time_to_mark(of, made.next);
    const double to_moment = moment - of->time_s;
    const double longest = fmin(to_moment, made.mark_s);
    if (of->carried) {
        made.start_rates = of->carried_rates;
        made.at[0] = of->carried_now;
    } else {
        const asked by = {&of->moving, &made.at[0]};
        made.start_rates = rates(of->time_s, &of->now, &by);
    }
    run_hold_bends(of, &made.at[0]);
    made.stiff = is_stiff(of);
    if (made.stiff) {
        motion_now aside;
        const asked by = {&of->moving, &aside};
        made.slopes = stiff_find_slopes(rates, &by, of->time_s, &of->now, &made.start_rates);
    }
    const trn_status status = shorten(of, &made, longest, error);
    if (status != TRN_OK) {
        return status;
    }
    made.at[1] = now_in(&made, 0.5);
    set_knots(&made);
    const finding found = look(&made);
    if (found.what != NOTHING) {
        close_in(&made, found);
        made.at[1] = now_in(&made, 0.5);
    }
    const bool whole = found.what == NOTHING && made.span.length_s >= to_moment;
    commit(of, &made, whole ? moment : of->time_s + made.span.length_s);
    of->carried = found.what == NOTHING && !whole;
    of->carried_rates = made.step.end_rates;
    of->carried_now = made.at[2];
    run_release_bends(of);
    happen(of, &made, found.what);
    if (whole) {
        run_pass_moment(of);
    }
    return TRN_OK;
}
