/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballast: which blocks to move to bring the leaf into its target. */
#include "ballast.h"

#include <math.h>
#include <stdlib.h>

#include "additions.h"
#include "command.h"
#include "deliver.h"
#include "input.h"
#include "measure.h"
#include "message.h"
#include "present/csv.h"

bound_words ballast_bound(trn_ballast_bound bound)
{
    static const bound_words all[] = {
        [TRN_BOUND_TOE_LOW] = {"toe_reaction_low", "the lower bound of the toe reaction"},
        [TRN_BOUND_TOE_HIGH] = {"toe_reaction_high", "the upper bound of the toe reaction"},
        [TRN_BOUND_ANGLE_LOW] = {"angle_low", "the lower bound of the angle"},
        [TRN_BOUND_ANGLE_HIGH] = {"angle_high", "the upper bound of the angle"},
        [TRN_BOUND_A_LOW] = {"A_low", "the lower bound of A"},
        [TRN_BOUND_A_HIGH] = {"A_high", "the upper bound of A"},
        [TRN_BOUND_B_LOW] = {"B_low", "the lower bound of B"},
        [TRN_BOUND_B_HIGH] = {"B_high", "the upper bound of B"},
    };
    return all[bound];
}

cause_words ballast_cause(trn_ballast_cause cause)
{
    static const cause_words all[] = {
        [TRN_CAUSE_ROOM] = {"room", "the pockets are too full, too empty, or in the wrong place: not even fractions of "
                                    "blocks would do"},
        [TRN_CAUSE_WHOLE_BLOCKS] = {"whole blocks", "whole blocks step over the target; fractions of blocks would do"},
        [TRN_CAUSE_TARGET] = {"target", "the windows of the target exclude each other"},
        [TRN_CAUSE_MEASUREMENT] = {"measurement", "the measurement is too coarse: no balance at all is within the "
                                                  "target at 95 % confidence"},
        [TRN_CAUSE_TIME] = {"time", "the time given was too short to tell whether there is one; try --seconds"},
    };
    return all[cause];
}

const char *ballast_no_plan(trn_ballast_cause cause)
{
    return cause == TRN_CAUSE_TIME ? "that brings the leaf into its target was found"
                                   : "brings the leaf into its target";
}

void ballast_windows(const ballast_result *of, target_window windows[TARGET_WINDOWS])
{
    const trn_balance_target *target = of->leaf->balance_target;
    const trn_ballast_obstacle *obstacle = &of->plan.obstacle;
    const bool open = !of->plan.feasible;
    windows[0] = target->by_moments
                     ? (target_window){.key = "A_Nm", .words = "A", .what = QUANTITY_MOMENT, .given = target->a_Nm}
                     : (target_window){.key = "toe_reaction_N",
                                       .words = "toe reaction",
                                       .what = QUANTITY_FORCE,
                                       .given = target->toe_reaction_N};
    windows[1] = target->by_moments
                     ? (target_window){.key = "B_Nm", .words = "B", .what = QUANTITY_MOMENT, .given = target->b_Nm}
                     : (target_window){.key = "angle_deg",
                                       .words = "angle α",
                                       .what = QUANTITY_ANGLE,
                                       .in_degrees = true,
                                       .given = target->angle_rad};
    windows[0].is_widened = open && obstacle->has_first;
    windows[0].widened = obstacle->first;
    windows[1].is_widened = open && obstacle->has_second;
    windows[1].widened = obstacle->second;
}

static exit_status ballast_csv(const void *result, FILE *stream)
{
    const ballast_result *of = result;
    (void)fputs("pocket,before,after,change\r\n", stream);
    for (size_t i = 0; i < of->count; i++) {
        const trn_ballast_move *move = &of->moves[i];
        csv_text(stream, move->pocket->name, true);
        (void)fprintf(stream, ",%d,%d,%d", move->before, move->after, move->change);
        csv_end_line(stream);
    }
    return EXIT_DONE;
}

static exit_status verdict(const ballast_result *of)
{
    char danger[BALLAST_WORDS];
    if (ballast_danger(of, danger) != NULL) {
        warn("DANGER: %s", danger);
    }
    if (of->plan.feasible) {
        return EXIT_DONE;
    }
    const trn_ballast_cause cause = of->plan.obstacle.cause;
    return not_met("no plan %s: %s", ballast_no_plan(cause), ballast_cause(cause).words);
}

exit_status ballast_compute(const options *asked, const trn_moment_covariance *covariance, ballast_result *of)
{
    trn_ballast_settings settings = trn_default_ballast_settings();
    trn_error error;
    settings.seconds = asked->seconds > 0 ? asked->seconds : settings.seconds;
    settings.measured = covariance;
    of->count = trn_leaf_pocket_total(of->leaf);
    /* One more, so that a leaf without pockets is refused in words and not by an empty array. */
    of->moves = calloc(of->count + 1, sizeof *of->moves);
    of->room.pockets = calloc(of->count + 1, sizeof *of->room.pockets);
    if (of->moves == NULL || of->room.pockets == NULL) {
        return fail_memory();
    }
    if (trn_leaf_ballast(of->leaf, &settings, of->moves, &of->plan, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    of->shown = display_for(of->leaf);
    of->after = trn_leaf_after_moves(of->leaf, of->moves, &of->room);
    return EXIT_DONE;
}

void ballast_free(ballast_result *of)
{
    free(of->moves);
    free(of->room.pockets);
}

static exit_status tell(const options *asked, const ballast_result *of)
{
    static const presentation how = {ballast_table, ballast_csv, ballast_json, ballast_plot, {900, 560}};
    for (size_t i = 0; of->measured != NULL && i < of->measured->warning_count; i++) {
        warn("%s", of->measured->warnings[i].text);
    }
    const exit_status status = deliver(asked, &how, of);
    return status == EXIT_DONE ? verdict(of) : status;
}

static exit_status plan_leaf(const options *asked, const trn_leaf *leaf, const trn_measurement *measured,
                             const trn_moment_covariance *covariance)
{
    ballast_result of = {.leaf = leaf, .measured = measured};
    exit_status status = ballast_compute(asked, covariance, &of);
    if (status == EXIT_DONE) {
        status = tell(asked, &of);
    }
    ballast_free(&of);
    return status;
}

/* The bounds are held by 1.96 standard deviations; with few readings Student's t asks for more. */
static trn_moment_covariance covariance_of(const trn_measurement *measured)
{
    const double wider = measured->student95 / TRN_NORMAL_975;
    return (trn_moment_covariance){.aa = measured->covariance[0][0] * wider * wider,
                                   .ab = measured->covariance[0][1] * wider * wider,
                                   .bb = measured->covariance[1][1] * wider * wider};
}

/* The leaf differs from its description by as much as the measured one did, also with additions since. */
static exit_status plan_measured(const options *asked, const trn_leaf *leaf, const trn_measurement *measured)
{
    trn_part *parts = malloc((leaf->part_count + TRN_CORRECTION_PARTS) * sizeof *parts);
    if (parts == NULL) {
        return fail_memory();
    }
    const trn_balance described = trn_leaf_balance(leaf);
    const trn_leaf corrected =
        trn_leaf_correct(leaf, described.closed_moment_Nm + measured->difference.a_Nm,
                         described.moment_Nm * sin(described.angle_rad) + measured->difference.b_Nm, parts);
    const trn_moment_covariance covariance = covariance_of(measured);
    const exit_status status = plan_leaf(asked, &corrected, measured, &covariance);
    free(parts);
    return status;
}

static exit_status measure(const options *asked, const trn_leaf *leaf, trn_measurement *measured)
{
    const trn_measure_settings settings = measure_settings(asked);
    trn_record record = {0};
    trn_error error;
    exit_status status = input_read_record(asked->record_file, &record);
    if (status != EXIT_DONE) {
        return status;
    }
    if (trn_leaf_measure(leaf, &record, &settings, NULL, measured, &error) != TRN_OK) {
        status = fail_measure(asked, &error);
    }
    trn_record_free(&record);
    return status;
}

/* No blocks are moved on the word of a record that no leaf can have made. */
static exit_status refuse_absurd(const options *asked, const trn_measurement *measured)
{
    if (!(measured->friction_Nm.value >= 0) || measured->residual_sd_Nm > 0.3 * measured->moment_Nm.value) {
        return fail(
            EXIT_BAD_INPUT,
            "%s: no plan is made on this record: %s; see 'trunnion measure', and whether positive opens in both "
            "directions",
            input_name(asked->record_file),
            measured->friction_Nm.value >= 0 ? "its readings scatter by more than 30 % of the moment"
                                             : "its friction comes out negative");
    }
    return EXIT_DONE;
}

/* The record is that of the leaf without the additions: they are what comes after it. */
static exit_status plan_by_record(const options *asked)
{
    trn_description *description = NULL;
    trn_measurement measured;
    exit_status status = input_read(asked, &description);
    if (status != EXIT_DONE) {
        return status;
    }
    status = measure(asked, trn_description_leaf(description), &measured);
    if (status == EXIT_DONE) {
        status = refuse_absurd(asked, &measured);
    }
    if (status == EXIT_DONE) {
        status = additions_apply(asked, description);
    }
    if (status == EXIT_DONE) {
        const trn_leaf leaf = input_leaf(asked, description);
        options named = *asked;
        named.leaf_name = leaf.name;
        status = plan_measured(&named, &leaf, &measured);
    }
    trn_description_free(description);
    return status;
}

static exit_status plan_described(const options *asked, const trn_leaf *leaf)
{
    return plan_leaf(asked, leaf, NULL, NULL);
}

exit_status command_ballast(const options *asked)
{
    return asked->record_file != NULL ? plan_by_record(asked) : input_with_leaf(asked, plan_described);
}
