/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The verdict on a run: where it is not met, what failed, what is asked there, by how much. */
#include <math.h>
#include <string.h>

#include "cycle_words.h"
#include "report.h"
#include "report_text.h"

/* Behind what a cell says already. */
static void also(char *cell, size_t size, const char *text)
{
    const size_t length = strlen(cell);
    (void)snprintf(cell + length, size - length, "%s%s", length > 0 ? "; " : "", text);
}

static void fails(verdict *one, const char *found, const char *limit, const char *margin)
{
    also(one->found, sizeof one->found, found);
    also(one->limit, sizeof one->limit, limit);
    also(one->margin, sizeof one->margin, margin);
}

/* A value that is over the most allowed. */
static void passes_limit(const report *of, verdict *one, quantity what, const double values[2],
                         const char *const words[2])
{
    char found[160];
    char limit[160];
    (void)snprintf(found, sizeof found, "%s %s", words[0], amount_of(&of->shown, what, values[0]).text);
    (void)snprintf(limit, sizeof limit, "%s %s", words[1], amount_of(&of->shown, what, values[1]).text);
    fails(one, found, limit, amount_of(&of->shown, what, values[1] - values[0]).text);
}

static bool ends_well(const trn_run *run)
{
    return run->reached_switch && run_rests(run) && run->end != TRN_END_STALLED;
}

static void judge_end(const report *of, const trn_run *run, verdict *one)
{
    static const char *const words[] = {
        [TRN_END_ARRIVED] = "rests at",
        [TRN_END_STOPPED] = "stops short of its switch, at",
        [TRN_END_STALLED] = "STALLS at",
        [TRN_END_SEATED] = "comes back onto its shoes, at",
        [TRN_END_LEFT] = "RUNS PAST its travel, at",
        [TRN_END_MOVING] = "NO REST FOUND, at",
    };
    char found[160];
    (void)snprintf(found, sizeof found, "%s %s", words[run->end],
                   amount_of(&of->shown, QUANTITY_ANGLE, run->end_angle_rad).text);
    fails(one, found, "at rest beyond its full switch", "–");
}

/* What holds the leaf with the power off. */
static const char *holders(const report *of)
{
    return of->cycle.by_cylinders ? "brakes and shut valves" : "brakes";
}

static void judge_slip(const report *of, verdict *one)
{
    char found[160];
    const bool bare = of->leaf->brake_count == 0 && !of->cycle.by_cylinders;
    (void)snprintf(found, sizeof found, "SLIPPED from rest, %s%s", bare ? "no brakes to hold it" : "set ",
                   bare ? "" : holders(of));
    fails(one, found, "no slip", "–");
}

static void judge_holding(const report *of, const trn_run *run, verdict *one)
{
    char found[160];
    char margin[DISPLAY_TEXT];
    (void)snprintf(found, sizeof found, "NOT HELD: %s give %.2f times what is to be held", holders(of),
                   run->hold_factor);
    (void)snprintf(margin, sizeof margin, "%+.1f %%", (run->hold_factor - 1) * 100);
    fails(one, found, "1.00 times what is to be held", margin);
}

static void tell_met(const report *of, const trn_run *run, verdict *one)
{
    char text[DISPLAY_TEXT];
    const amount after = amount_of(&of->shown, QUANTITY_TIME, run->time_s);
    if (isfinite(run->hold_factor)) {
        (void)snprintf(one->found, sizeof one->found, "after %s; %s give %s times what is to be held", after.text,
                       holders(of), factor_words(run->hold_factor, text));
        verdict_margin(one, run->hold_factor - 1);
    } else {
        (void)snprintf(one->found, sizeof one->found, "after %s; nothing needs to be held there", after.text);
        verdict_margin(one, HUGE_VAL);
    }
    (void)snprintf(
        one->limit, sizeof one->limit,
        "full switch at creep, landing no faster, run back at most %s, past its travel at most %s, 1.00 times "
        "what is to be held",
        amount_of(&of->shown, QUANTITY_ANGLE, TRN_RUN_BACK_MAX).text,
        amount_of(&of->shown, QUANTITY_ANGLE, TRN_RUN_PAST_END_MAX).text);
}

void report_judge_arrival(const report *of, const trn_run *run, verdict *one)
{
    const trn_travel *travel = of->leaf->travel;
    const double creep_rad_s = travel->creep * travel->speed_rad_s;
    if (one->met) {
        tell_met(of, run, one);
        return;
    }
    if (!ends_well(run)) {
        judge_end(of, run, one);
    }
    if (run->ran_back_rad > TRN_RUN_BACK_MAX) {
        passes_limit(of, one, QUANTITY_ANGLE, (const double[]){run->ran_back_rad, TRN_RUN_BACK_MAX},
                     (const char *const[]){"RAN BACK by", "run back at most"});
    }
    if (run_rests(run) && run->past_end_rad > TRN_RUN_PAST_END_MAX) {
        passes_limit(of, one, QUANTITY_ANGLE, (const double[]){run->past_end_rad, TRN_RUN_PAST_END_MAX},
                     (const char *const[]){"RAN PAST its travel by", "past its travel at most"});
    }
    if (!trn_run_seats_gently(run, travel)) {
        passes_limit(of, one, QUANTITY_TOE_SPEED,
                     (const double[]){run->seat.toe_speed_m_s, creep_rad_s * of->leaf->toe_m},
                     (const char *const[]){"LANDED HARD, toe at", "toe at most, as at creep,"});
    }
    if (run->slipped) {
        judge_slip(of, one);
    }
    if (run_rests(run) && run->hold_factor < 1) {
        judge_holding(of, run, one);
    }
    if (run->reached_switch && !run->at_creep) {
        passes_limit(of, one, QUANTITY_ANGULAR_SPEED, (const double[]){run->switch_speed_rad_s, creep_rad_s},
                     (const char *const[]){"NOT AT CREEP, at the full switch", "creep,"});
    }
}
