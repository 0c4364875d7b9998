/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The emergency stop of holding.h. */
#include <math.h>

#include "support.h"
#include "trunnion/holding.h"
#include "trunnion/moments.h"

/* A leaf left to its brakes: no drive force, but the rotors turn with it. */
typedef struct coasting {
    const trn_leaf *leaf; /* with its drive */
    trn_leaf free_leaf;   /* without */
    trn_case still;
    trn_loading loading;
    trn_direction direction;
} coasting;

/* Run and speed are in the direction of travel, from the trip on. */
typedef struct motion {
    double run_rad;
    double speed_rad_s;
} motion;

static trn_status prepare(const trn_leaf *leaf, coasting *made, trn_error *error)
{
    made->leaf = leaf;
    made->free_leaf = *leaf;
    made->free_leaf.drive = NULL;
    made->still = trn_default_case();
    return trn_loading_prepare(&made->free_leaf, &made->still, &made->loading, error);
}

/* A moment, and another one of the same step of integration: where a brake's
   torque bends or jumps at the end of a step, the step's own side counts. */
typedef struct moment {
    double time_s;
    double within_s;
} moment;

static double brake_share(const trn_brake *brake, moment at)
{
    if (at.within_s < brake->delay_s) {
        return 0;
    }
    return at.within_s >= brake->delay_s + brake->set_time_s ? 1 : (at.time_s - brake->delay_s) / brake->set_time_s;
}

static double brakes_at_leaf(const trn_leaf *leaf, moment at)
{
    double sum = 0;
    for (size_t i = 0; i < leaf->brake_count; i++) {
        const trn_brake *brake = &leaf->brakes[i];
        sum += brake->count * brake->torque_Nm * brake->ratio * brake_share(brake, at);
    }
    return sum;
}

/* Inertia about the trunnion and its derivative over theta. */
typedef struct moving_inertia {
    double value_kg_m2;
    double slope_kg_m2; /* for each radian */
} moving_inertia;

static moving_inertia inertia_at(const coasting *of, double angle_rad)
{
    const trn_leaf *leaf = of->leaf;
    const trn_rotation rotation = trn_rotation_by(angle_rad);
    moving_inertia inertia = {.value_kg_m2 = of->loading.body.inertia_kg_m2};
    if (leaf->linked_counterweight != NULL) {
        const trn_link_state link = trn_link_at(leaf->linked_counterweight, rotation);
        inertia.value_kg_m2 += of->loading.counterweight.inertia_kg_m2 * link.rate * link.rate;
        inertia.slope_kg_m2 += 2 * of->loading.counterweight.inertia_kg_m2 * link.rate * link.rate_change_rad;
    }
    if (leaf->drive != NULL && leaf->motors != NULL && leaf->drive->kind != TRN_DRIVE_CYLINDER) {
        const trn_drive_state drive = trn_drive_at(leaf->drive, rotation);
        const double rotors = leaf->motors->installed * leaf->motors->inertia_kg_m2;
        inertia.value_kg_m2 += rotors * drive.ratio * drive.ratio;
        inertia.slope_kg_m2 += 2 * rotors * drive.ratio * drive.ratio_change;
    }
    return inertia;
}

static double acceleration(const coasting *of, double from_rad, moment when, motion at)
{
    const double sign = of->direction == TRN_OPENING ? 1 : -1;
    const double angle = from_rad + sign * at.run_rad;
    const trn_moments moments = trn_loading_moments(&of->loading, angle);
    const double resistance = of->direction == TRN_OPENING ? moments.opening_Nm : moments.closing_Nm;
    const moving_inertia inertia = inertia_at(of, angle);
    return -(resistance + brakes_at_leaf(of->leaf, when) +
             sign * inertia.slope_kg_m2 * at.speed_rad_s * at.speed_rad_s / 2) /
           inertia.value_kg_m2;
}

static motion moved(motion at, motion rate, double step)
{
    return (motion){at.run_rad + step * rate.run_rad, at.speed_rad_s + step * rate.speed_rad_s};
}

static motion rate_of(const coasting *of, double from_rad, moment when, motion at)
{
    return (motion){at.speed_rad_s, acceleration(of, from_rad, when, at)};
}

/* One step of the classic Runge-Kutta method. */
static motion advance(const coasting *of, double from_rad, double time_s, motion at, double step)
{
    const double middle = time_s + step / 2;
    const moment begins = {time_s, middle};
    const moment halfway = {middle, middle};
    const moment ends = {time_s + step, middle};
    const motion a = rate_of(of, from_rad, begins, at);
    const motion b = rate_of(of, from_rad, halfway, moved(at, a, step / 2));
    const motion c = rate_of(of, from_rad, halfway, moved(at, b, step / 2));
    const motion d = rate_of(of, from_rad, ends, moved(at, c, step));
    return (motion){at.run_rad + step / 6 * (a.run_rad + 2 * (b.run_rad + c.run_rad) + d.run_rad),
                    at.speed_rad_s + step / 6 * (a.speed_rad_s + 2 * (b.speed_rad_s + c.speed_rad_s) + d.speed_rad_s)};
}

/* The next time after now at which a brake's torque begins to rise or is whole. */
static double next_bend(const trn_leaf *leaf, double now_s)
{
    double next = HUGE_VAL;
    for (size_t i = 0; i < leaf->brake_count; i++) {
        const double begins = leaf->brakes[i].delay_s;
        const double ends = begins + leaf->brakes[i].set_time_s;
        next = begins > now_s ? fmin(next, begins) : next;
        next = ends > now_s ? fmin(next, ends) : next;
    }
    return next;
}

/* The share of a step after which the leaf stands still, by bisection on the speed. */
static double step_to_rest(const coasting *of, double from_rad, double time_s, motion at, double step)
{
    double low = 0;
    double high = step;
    for (int i = 0; i < 60; i++) {
        const double middle = (low + high) / 2;
        if (advance(of, from_rad, time_s, at, middle).speed_rad_s > 0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (low + high) / 2;
}

static void add_heat(const trn_leaf *leaf, double time_s, double step, motion before, motion after, double *heats_J)
{
    for (size_t i = 0; i < leaf->brake_count && heats_J != NULL; i++) {
        const trn_brake *brake = &leaf->brakes[i];
        /* Simpson's rule; the middle speed by the cubic through both ends. */
        const double middle =
            1.5 * (after.run_rad - before.run_rad) / step - (before.speed_rad_s + after.speed_rad_s) / 4;
        const double halfway = time_s + step / 2;
        const double power = brake_share(brake, (moment){time_s, halfway}) * before.speed_rad_s +
                             4 * brake_share(brake, (moment){halfway, halfway}) * middle +
                             brake_share(brake, (moment){time_s + step, halfway}) * after.speed_rad_s;
        heats_J[i] += brake->torque_Nm * brake->ratio * power * step / 6;
    }
}

static trn_stop run_to_rest(const coasting *of, double from_rad, double longest_step, double *heats_J)
{
    motion at = {.speed_rad_s = of->leaf->travel->speed_rad_s};
    trn_stop stop = {.direction = of->direction, .from_angle_rad = from_rad};
    for (size_t i = 0; i < of->leaf->brake_count && heats_J != NULL; i++) {
        heats_J[i] = 0;
    }
    while (!stop.stops && stop.time_s < 600 && at.run_rad < 360 * DEGREE) {
        const double bend = next_bend(of->leaf, stop.time_s);
        const bool to_bend = bend - stop.time_s <= longest_step;
        double step = to_bend ? bend - stop.time_s : longest_step;
        motion next = advance(of, from_rad, stop.time_s, at, step);
        stop.stops = !(next.speed_rad_s > 0);
        if (stop.stops) {
            step = step_to_rest(of, from_rad, stop.time_s, at, step);
            next = advance(of, from_rad, stop.time_s, at, step);
        }
        const double middle = stop.time_s + step / 2;
        const double before = -acceleration(of, from_rad, (moment){stop.time_s, middle}, at);
        const double after = -acceleration(of, from_rad, (moment){stop.time_s + step, middle}, next);
        add_heat(of->leaf, stop.time_s, step, at, next, heats_J);
        stop.time_s = to_bend && !stop.stops ? bend : stop.time_s + step;
        stop.peak_deceleration_rad_s2 = fmax(stop.peak_deceleration_rad_s2, fmax(before, after));
        at = next;
    }
    stop.run_rad = at.run_rad;
    const double end = from_rad + (of->direction == TRN_OPENING ? at.run_rad : -at.run_rad);
    stop.leaves_travel = end < 0 || end > of->leaf->opens_to_rad;
    return stop;
}

static const double fine_step_s = 1e-3;
static const double coarse_step_s = 2e-2;

static trn_status prepare_stop(const trn_leaf *leaf, coasting *made, trn_error *error)
{
    if (leaf->brake_count == 0 || leaf->travel == NULL) {
        return missing_section(error, leaf->travel == NULL ? "travel" : "brakes");
    }
    /* The rotors turn through the drive's ratio, which a dead point would make zero. */
    const trn_status status = trn_leaf_check_motion(leaf, error);
    return status == TRN_OK ? prepare(leaf, made, error) : status;
}

trn_status trn_leaf_stop(const trn_leaf *leaf, double from_angle_rad, trn_direction direction, trn_stop *stop,
                         double *heats_J, trn_error *error)
{
    coasting of = {0};
    const trn_status status = prepare_stop(leaf, &of, error);
    if (status == TRN_OK) {
        of.direction = direction;
        *stop = run_to_rest(&of, from_angle_rad, fine_step_s, heats_J);
    }
    return status;
}

/* The one that does not stop the leaf within its travel, or else the one that runs further. */
static bool is_worse(const trn_stop *one, const trn_stop *than)
{
    const bool fails = !one->stops || one->leaves_travel;
    const bool other_fails = !than->stops || than->leaves_travel;
    return fails == other_fails ? one->run_rad > than->run_rad : fails;
}

trn_status trn_leaf_worst_stop(const trn_leaf *leaf, trn_stop *stop, double *heats_J, trn_error *error)
{
    coasting of = {0};
    const trn_status status = prepare_stop(leaf, &of, error);
    if (status != TRN_OK) {
        return status;
    }
    trn_stop worst = {.stops = true, .run_rad = -1};
    /* Beyond the near switches the leaf no longer runs at full speed. */
    const double lowest = leaf->travel->near_closed_rad;
    const double highest = leaf->travel->near_open_rad;
    const int first = (int)floor(lowest / DEGREE + 1e-9);
    const int last = (int)ceil(highest / DEGREE - 1e-9);
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        of.direction = (trn_direction)direction;
        for (int degree = first; degree <= last; degree++) {
            const double angle = fmin(fmax(degree * DEGREE, lowest), highest);
            const trn_stop one = run_to_rest(&of, angle, coarse_step_s, NULL);
            worst = is_worse(&one, &worst) ? one : worst;
        }
    }
    of.direction = worst.direction;
    *stop = run_to_rest(&of, worst.from_angle_rad, fine_step_s, heats_J);
    return TRN_OK;
}
