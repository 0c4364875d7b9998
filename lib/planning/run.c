/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/run.h"

#include <math.h>
#include <stdlib.h>

#include "../mechanics/support.h"
#include "run_parts.h"

const char *trn_event_words(trn_event_kind kind)
{
    static const char *const words[] = {
#define TRN_EVENT_WORDS(name, text) text,
        TRN_EVENT_LIST(TRN_EVENT_WORDS)
#undef TRN_EVENT_WORDS
    };
    return (size_t)kind < sizeof words / sizeof words[0] ? words[kind] : "unknown event";
}

const char *trn_upset_words(trn_upset_kind kind)
{
    static const char *const words[] = {
#define TRN_UPSET_WORDS(name, text) text,
        TRN_UPSET_LIST(TRN_UPSET_WORDS)
#undef TRN_UPSET_WORDS
    };
    return (size_t)kind < sizeof words / sizeof words[0] ? words[kind] : "unknown upset";
}

trn_run_setting trn_default_run_setting(const trn_leaf *leaf)
{
    return (trn_run_setting){
        .load_case = leaf->case_count > 0 ? &leaf->cases[0] : NULL, .direction = TRN_OPENING, .tolerance = 1e-10};
}

static trn_status check_sections(const trn_leaf *leaf, trn_error *error)
{
    if (leaf->drive == NULL) {
        return missing_section(error, "drive");
    }
    if (leaf->motors == NULL && leaf->drive->kind != TRN_DRIVE_CYLINDER) {
        return missing_section(error, "motors");
    }
    return leaf->travel == NULL ? missing_section(error, "travel") : TRN_OK;
}

/* How far beyond the travel the leaf is followed: to a mechanism's dead point at most, and not to where friction all
   but locks it. */
static double highest_angle(const run_state *of)
{
    const trn_leaf *leaf = of->leaf;
    const trn_loading *loading = &of->moving.loading;
    const double step = DEGREE / 4;
    const double beyond = leaf->opens_to_rad + 30 * DEGREE;
    double highest = beyond;
    double angle;
    if (leaf->linked_counterweight != NULL && trn_link_dead_point(leaf->linked_counterweight, beyond, &angle)) {
        highest = fmin(highest, fmax(angle - step, leaf->opens_to_rad));
    }
    if (trn_drive_dead_point(leaf->drive, beyond, &angle)) {
        highest = fmin(highest, fmax(angle - step, leaf->opens_to_rad));
    }
    pose at;
    pose_at(loading, leaf->opens_to_rad, &at);
    const double share = friction_share(loading, &at, TRN_FRICTION_STARTING);
    const double bound = fmax(0.5, (1 + share) / 2);
    const int steps = share > 0 ? (int)((highest - leaf->opens_to_rad) / step) : 0;
    for (int i = 1; i <= steps; i++) {
        pose_at(loading, leaf->opens_to_rad + i * step, &at);
        if (friction_share(loading, &at, TRN_FRICTION_STARTING) > bound) {
            return leaf->opens_to_rad + (i - 1) * step;
        }
    }
    return highest;
}

/* Sizes beside which an error is small: the travel, its speed, and what the start asks of the drive. */
static void set_scales(run_state *of)
{
    const trn_leaf *leaf = of->leaf;
    const bool cylinders = leaf->drive->kind == TRN_DRIVE_CYLINDER;
    const motion_now now = motion_at(&of->moving, 0, of->now.at[ANGLE], 0);
    const double torque = fmax(1e-3 * now.drive_limit_Nm, fabs(now.motor_Nm));
    const double turns = cylinders ? 1 : trn_drive_at(leaf->drive, trn_rotation_by(of->now.at[ANGLE])).ratio;
    const double each = torque / (cylinders ? 1 : leaf->motors->running);
    const trn_body body = of->moving.loading.body;
    /* A drive that gives nothing leaves the leaf to its weight. */
    const double moment = fmax(fmax(torque * turns, hypot(body.a_Nm, body.b_Nm)), 1e-200);
    of->scales[ANGLE] = leaf->opens_to_rad;
    of->scales[SPEED] = leaf->travel->speed_rad_s;
    for (int i = 0; i < FLOWS; i++) {
        of->scales[FLOW + i] = moment * leaf->opens_to_rad;
    }
    of->scales[FLOW + SQUARES] = fmax(each * each, 1e-200) * leaf->opens_to_rad / leaf->travel->speed_rad_s;
}

/* The brake that gives most at the leaf. */
static size_t strongest_brake(const trn_leaf *leaf)
{
    size_t strongest = leaf->brake_count;
    double most = 0;
    for (size_t i = 0; i < leaf->brake_count; i++) {
        const double torque = leaf->brakes[i].torque_Nm * leaf->brakes[i].ratio;
        if (torque > most) {
            most = torque;
            strongest = i;
        }
    }
    return strongest;
}

static void set_upsets(run_state *of)
{
    of->brake_out = of->leaf->brake_count;
    for (size_t i = 0; i < of->setting->upset_count; i++) {
        const trn_upset_kind kind = of->setting->upsets[i].kind;
        if (kind == TRN_UPSET_BRAKE_OUT) {
            of->brake_out = strongest_brake(of->leaf);
        }
        of->near_passed = of->near_passed || kind == TRN_UPSET_NEAR_SWITCH_MISSED;
        of->happened[i] = kind == TRN_UPSET_BRAKE_OUT || kind == TRN_UPSET_NEAR_SWITCH_MISSED;
    }
}

static void set_motion(run_state *of)
{
    const trn_travel *travel = of->leaf->travel;
    const bool line = of->leaf->drive->kind != TRN_DRIVE_CYLINDER && of->leaf->motors->control == TRN_CONTROL_LINE;
    const trn_seating *seating = of->leaf->seating;
    of->buffers_rad = seating != NULL ? asin(fmin(1, seating->buffer_stroke_m / of->leaf->toe_m)) : 0;
    of->moving.on_buffers = of->now.at[ANGLE] < of->buffers_rad;
    of->moving.record = of->setting->wind_record;
    of->moving.gusts[0] = of->setting->gust;
    of->moving.commanded = of->setting->direction;
    of->moving.sense = of->setting->direction;
    of->moving.mode = line ? MODE_LINE : MODE_FOLLOW;
    of->moving.side = 1;
    of->moving.running = of->leaf->motors != NULL ? of->leaf->motors->running : 0;
    of->moving.reference = (straight){.slope = trn_travel_acceleration(travel)};
    of->target_rad_s = travel->speed_rad_s;
    of->target_s = line ? HUGE_VAL : travel->accelerate_in_s;
}

static trn_status prepare(run_state *of, trn_error *error)
{
    const trn_leaf *leaf = of->leaf;
    const trn_run_setting *setting = of->setting;
    of->moving.load_case = setting->load_case != NULL ? *setting->load_case : trn_default_case();
    trn_status status = check_sections(leaf, error);
    status = status == TRN_OK ? trn_loading_prepare(leaf, &of->moving.load_case, &of->moving.loading, error) : status;
    if (status != TRN_OK) {
        return status;
    }
    of->highest_rad = highest_angle(of);
    of->lowest_rad = -5 * DEGREE;
    of->set = calloc(leaf->brake_count + 1, sizeof *of->set);
    of->happened = calloc(setting->upset_count + 1, sizeof *of->happened);
    if (of->set == NULL || of->happened == NULL || !run_find_bends(of)) {
        return trn_error_set(error, TRN_NO_MEMORY, "no memory for a run");
    }
    of->power_on = true;
    of->resting = true;
    of->side_changed_s = -1;
    of->off_buffers_s = -1;
    of->furthest = -HUGE_VAL;
    of->now.at[ANGLE] = setting->direction == TRN_OPENING ? 0 : leaf->opens_to_rad;
    set_motion(of);
    set_scales(of);
    set_upsets(of);
    return TRN_OK;
}

/* More trial steps and more events, at one moment and in all, than any motion of a real leaf has. */
enum { TRIALS_MAX = 30000, TRIALS_PER_KNOT = 16, EVENTS_AT_ONCE = 100, EVENTS_MAX = 900 };

/* A mark at the very place where the leaf is. */
static bool pass_mark_here(run_state *of)
{
    const mark here = run_next_mark(of);
    const bool at_it = here.kind != MARK_NONE && !(fabs(here.angle_rad - of->now.at[ANGLE]) > 0);
    if (!at_it || (of->resting && here.kind != MARK_UPSET)) {
        return false;
    }
    run_pass_mark(of, here);
    return true;
}

/* True where a run gets nowhere: its numbers are too far apart for a double. */
static bool is_stuck(run_state *of)
{
    of->events_at_once = of->time_s > of->checked_s ? 0 : of->events_at_once + 1;
    of->checked_s = of->time_s;
    const size_t upsets = of->setting->upset_count < 10000 ? of->setting->upset_count : 10000;
    return of->events_at_once > EVENTS_AT_ONCE + (int)upsets || of->run.event_count > EVENTS_MAX + upsets;
}

static trn_status go(run_state *of, trn_error *error)
{
    const trn_wind_record *record = of->setting->wind_record;
    const size_t most = TRIALS_MAX + (record != NULL ? TRIALS_PER_KNOT * record->count : 0);
    run_note(of, TRN_EVENT_BRAKES_RELEASED, 0);
    while (!of->ended && !of->no_memory && !of->too_many_rows && of->trials < most) {
        if (is_stuck(of)) {
            of->resting = false;
            break;
        }
        if (pass_mark_here(of)) {
            continue;
        }
        if (of->resting) {
            run_rest(of);
            continue;
        }
        const trn_status status = run_step(of, error);
        if (status != TRN_OK) {
            return status;
        }
    }
    return run_conclude(of, error);
}

/* What kept a run from being kept whole. */
static trn_status rows_status(const run_state *of, trn_error *error)
{
    if (of->no_memory) {
        return trn_error_set(error, TRN_NO_MEMORY, "no memory for a run");
    }
    return of->too_many_rows ? trn_error_set(error, TRN_OUT_OF_DOMAIN,
                                             "the trace of a run has over %d rows: expected a longer step between them",
                                             TRN_RUN_ROWS_MAX)
                             : TRN_OK;
}

trn_status trn_leaf_run(const trn_leaf *leaf, const trn_run_setting *setting, trn_run *run, trn_error *error)
{
    run_state of = {.leaf = leaf, .setting = setting};
    trn_status status = prepare(&of, error);
    status = status == TRN_OK ? go(&of, error) : status;
    if (status == TRN_OK || of.no_memory || of.too_many_rows) {
        status = rows_status(&of, error);
    }
    free(of.set);
    free(of.happened);
    free(of.bends_rad);
    if (status == TRN_OK) {
        *run = of.run;
    } else {
        trn_run_free(&of.run);
    }
    return status;
}

void trn_run_free(trn_run *run)
{
    free(run->rows);
    free(run->events);
    run->rows = NULL;
    run->events = NULL;
    run->row_count = 0;
    run->event_count = 0;
}

bool trn_run_is_safe(const trn_run *run)
{
    const bool rests = run->end == TRN_END_ARRIVED || run->end == TRN_END_STOPPED || run->end == TRN_END_SEATED;
    const bool stays = run->ran_back_rad <= TRN_RUN_BACK_MAX && run->past_end_rad <= TRN_RUN_PAST_END_MAX;
    return rests && stays && !run->slipped && run->hold_factor >= 1;
}

bool trn_run_seats_gently(const trn_run *run, const trn_travel *travel)
{
    /* A hair for what buffers and rounding do to a leaf at creep. */
    return !run->seat.seated || run->seat.speed_rad_s <= 1.001 * travel->creep * travel->speed_rad_s;
}
