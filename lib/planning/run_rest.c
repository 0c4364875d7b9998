/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A leaf at rest: whether it stays there. */
#include <math.h>

#include "run_parts.h"

static bool record_goes_on(const run_state *of)
{
    const trn_wind_record *record = of->moving.record;
    return record != NULL && record->count > 1 && of->time_s < record->points[record->count - 1].time_s;
}

static bool gust_blows(const run_state *of)
{
    for (int i = 0; i < GUSTS_MAX; i++) {
        const trn_gust *gust = of->moving.gusts[i];
        if (gust != NULL && of->time_s < gust->start_s + gust->lasts_s) {
            return true;
        }
    }
    return false;
}

static bool moves_at(const run_state *of, double time_s)
{
    run_state then = *of;
    trn_direction direction;
    then.time_s = time_s;
    return run_begins_to_move(&then, &direction);
}

/* The first time up to a moment at which the leaf moves, or that moment. */
static double first_move(const run_state *of, double moment)
{
    /* Between two knots of a record the wind only rises or only falls. */
    const int parts = gust_blows(of) ? 32 : 1;
    double before = of->time_s;
    for (int i = 1; i <= parts; i++) {
        const double part = i == parts ? moment : of->time_s + (moment - of->time_s) * i / parts;
        if (moves_at(of, part)) {
            double after = part;
            while (after - before > 1e-12 * fmax(1, after)) {
                const double middle = before + (after - before) / 2;
                *(moves_at(of, middle) ? &after : &before) = middle;
            }
            return after;
        }
        before = part;
    }
    return moment;
}

void run_rest(run_state *of)
{
    trn_direction direction;
    if (run_begins_to_move(of, &direction)) {
        run_start_moving(of, direction);
        return;
    }
    if (!of->announced) {
        run_note_rest(of);
    }
    const double moment = run_next_moment(of);
    if (!(moment < HUGE_VAL)) {
        of->ended = true;
        return;
    }
    const double until = record_goes_on(of) || gust_blows(of) ? first_move(of, moment) : moment;
    run_keep_rest(of, until);
    of->time_s = until;
    if (until >= moment) {
        run_pass_moment(of);
    }
}
