/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments that are known beforehand: ends of ramps, brakes, gusts, knots of the wind. */
#include <math.h>

#include "run_parts.h"

int run_brakes_in(const run_state *of, size_t group)
{
    return of->leaf->brakes[group].count - (group == of->brake_out ? 1 : 0);
}

static double begins_to_set(const run_state *of, const trn_brake *brake)
{
    return of->tripped_s + brake->delay_s;
}

static double has_set(const run_state *of, const trn_brake *brake)
{
    return begins_to_set(of, brake) + brake->set_time_s;
}

static void refresh_brakes(run_state *of)
{
    straight sum = {.start_s = of->time_s};
    for (size_t i = 0; i < of->leaf->brake_count && of->tripped; i++) {
        const trn_brake *brake = &of->leaf->brakes[i];
        const double whole = run_brakes_in(of, i) * brake->torque_Nm * brake->ratio;
        const double begins = begins_to_set(of, brake);
        if (of->time_s >= has_set(of, brake)) {
            sum.value += whole;
        } else if (of->time_s >= begins) {
            sum.value += whole * (of->time_s - begins) / brake->set_time_s;
            sum.slope += whole / brake->set_time_s;
        }
    }
    of->moving.brakes = sum;
}

static void note_brakes_set(run_state *of)
{
    for (size_t i = 0; i < of->leaf->brake_count && of->tripped; i++) {
        if (!of->set[i] && of->time_s >= has_set(of, &of->leaf->brakes[i])) {
            of->set[i] = true;
            if (run_brakes_in(of, i) > 0) {
                run_note(of, TRN_EVENT_BRAKE_SET, i);
            }
        }
    }
}

static double later(const run_state *of, double moment, double next)
{
    return moment > of->time_s ? fmin(moment, next) : next;
}

/* The knots of a record ascend, so that the next one is found by halving. */
static double next_knot(const run_state *of, const trn_wind_record *record)
{
    size_t low = 0;
    size_t high = record->count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (record->points[middle].time_s > of->time_s) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low < record->count ? record->points[low].time_s : HUGE_VAL;
}

/* A leaf that still moves so long after its power went off is given up. */
static const double patience_s = 600;

double run_next_moment(const run_state *of)
{
    double next = HUGE_VAL;
    if (!of->resting) {
        next = later(of, of->power_on ? of->target_s : of->power_off_s + patience_s, next);
    }
    for (size_t i = 0; i < of->leaf->brake_count && of->tripped; i++) {
        next = later(of, begins_to_set(of, &of->leaf->brakes[i]), next);
        next = later(of, has_set(of, &of->leaf->brakes[i]), next);
    }
    for (int i = 0; i < GUSTS_MAX; i++) {
        const trn_gust *gust = of->moving.gusts[i];
        if (gust != NULL) {
            next = later(of, gust->start_s, next);
            next = later(of, gust->start_s + gust->lasts_s, next);
        }
    }
    return of->moving.record != NULL ? fmin(next, next_knot(of, of->moving.record)) : next;
}

void run_reach_target(run_state *of)
{
    if (!of->power_on || of->time_s < of->target_s) {
        return;
    }
    of->moving.reference = (straight){.start_s = of->time_s, .value = of->target_rad_s};
    of->target_s = HUGE_VAL;
    if (of->resting || of->moving.mode != MODE_FOLLOW) {
        return;
    }
    if (of->pedal_up) {
        run_come_to_rest(of);
        return;
    }
    /* To the last bit, so that what was integrated does not count as a lag. */
    of->now.at[SPEED] = travel_sign(of->moving.commanded) * of->target_rad_s;
    run_arrive_at_target(of);
}

void run_pass_moment(run_state *of)
{
    run_reach_target(of);
    note_brakes_set(of);
    refresh_brakes(of);
    if (!of->power_on && !of->resting && of->time_s >= of->power_off_s + patience_s) {
        of->ended = true;
    }
    if (!of->resting) {
        run_choose_mode(of);
    }
}
