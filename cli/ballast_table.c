/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan as a work order. */
#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "ballast.h"
#include "present/table.h"

static void whole_cell(table *made, const char *format, int number)
{
    char text[DISPLAY_TEXT];
    (void)snprintf(text, sizeof text, format, number);
    table_cell(made, text);
}

static void order_row(table *made, const ballast_result *of, const char *name, const int numbers[3], double weight_N)
{
    char text[DISPLAY_TEXT];
    table_cell(made, name);
    whole_cell(made, "%d", numbers[0]);
    whole_cell(made, "%d", numbers[1]);
    whole_cell(made, numbers[2] == 0 ? "%d" : "%+d", numbers[2]);
    table_cell(made, display_text(&of->shown, QUANTITY_FORCE, weight_N, text));
}

/* The order itself: what to do at each pocket. */
static exit_status order_table(const ballast_result *of, FILE *stream)
{
    static const char *const headings[] = {"pocket", "now", "after", "change", "weight moved", "", "", "", ""};
    table made = table_make("lrrrr", 2);
    int sums[3] = {0, 0, 0};
    double moved_N = 0;
    for (size_t i = 0; i < sizeof headings / sizeof headings[0]; i++) {
        table_cell(&made, headings[i]);
    }
    table_cell(&made, of->shown.of[QUANTITY_FORCE].unit);
    for (size_t i = 0; i < of->count; i++) {
        const trn_ballast_move *move = &of->moves[i];
        const int numbers[3] = {move->before, move->after, move->change};
        const double weight_N = abs(move->change) * move->pocket->block_N;
        order_row(&made, of, move->pocket->name, numbers, weight_N);
        for (size_t k = 0; k < 3; k++) {
            sums[k] += numbers[k];
        }
        moved_N += weight_N;
    }
    if (of->count > 1) {
        order_row(&made, of, "all pockets", sums, moved_N);
    }
    return table_print(&made, stream);
}

static void window_cell(table *made, const display *shown, const target_window *window)
{
    char low[DISPLAY_TEXT];
    char high[DISPLAY_TEXT];
    char text[2 * DISPLAY_TEXT + 8];
    if (window == NULL) {
        table_cell(made, "");
        return;
    }
    (void)snprintf(text, sizeof text, "%s to %s", display_text(shown, window->what, window->given.low, low),
                   display_text(shown, window->what, window->given.high, high));
    table_cell(made, text);
}

static void balance_row(table *made, const display *shown, const char *words, quantity what, const double values[2],
                        const target_window *window)
{
    char text[DISPLAY_TEXT];
    table_cell(made, words);
    table_cell(made, display_text(shown, what, values[0], text));
    table_cell(made, display_text(shown, what, values[1], text));
    table_cell(made, shown->of[what].unit);
    window_cell(made, shown, window);
}

static void neutral_row(table *made, const display *shown, const trn_balance *before, const trn_balance *after)
{
    const trn_balance *const both[] = {before, after};
    char text[DISPLAY_TEXT];
    table_cell(made, "neutral angle");
    for (size_t i = 0; i < 2; i++) {
        table_cell(made, both[i]->has_neutral_angle
                             ? display_text(shown, QUANTITY_ANGLE, both[i]->neutral_angle_rad, text)
                             : "none");
    }
    table_cell(made, shown->of[QUANTITY_ANGLE].unit);
    table_cell(made, "");
}

static exit_status balance_table(const ballast_result *of, FILE *stream)
{
    static const char *const headings[] = {"", "before", "after", "", "target"};
    const trn_balance *b = &of->plan.before;
    const trn_balance *a = &of->plan.after;
    const display *shown = &of->shown;
    const bool by_moments = of->leaf->balance_target->by_moments;
    target_window windows[TARGET_WINDOWS];
    table made = table_make("lrrll", 1);
    ballast_windows(of, windows);
    for (size_t i = 0; i < sizeof headings / sizeof headings[0]; i++) {
        table_cell(&made, headings[i]);
    }
    balance_row(&made, shown, "toe reaction", QUANTITY_FORCE, (double[]){b->toe_reaction_N, a->toe_reaction_N},
                by_moments ? NULL : &windows[0]);
    balance_row(&made, shown, "angle α", QUANTITY_ANGLE, (double[]){b->angle_rad, a->angle_rad},
                by_moments ? NULL : &windows[1]);
    balance_row(&made, shown, "closed moment A", QUANTITY_MOMENT, (double[]){b->closed_moment_Nm, a->closed_moment_Nm},
                by_moments ? &windows[0] : NULL);
    balance_row(&made, shown, "moment B", QUANTITY_MOMENT,
                (double[]){b->moment_Nm * sin(b->angle_rad), a->moment_Nm * sin(a->angle_rad)},
                by_moments ? &windows[1] : NULL);
    balance_row(&made, shown, "moment W R", QUANTITY_MOMENT, (double[]){b->moment_Nm, a->moment_Nm}, NULL);
    neutral_row(&made, shown, b, a);
    balance_row(&made, shown, "weight W", QUANTITY_FORCE, (double[]){b->weight_N, a->weight_N}, NULL);
    return table_print(&made, stream);
}

static void print_outcome(const ballast_result *of, FILE *stream)
{
    const trn_ballast_plan *plan = &of->plan;
    char text[DISPLAY_TEXT];
    if (plan->blocks_handled == 0) {
        (void)fputs("\nNothing is to be done: the leaf is within its target.\n", stream);
    } else if (plan->gap_blocks == 0) {
        (void)fprintf(stream, "\n%d block%s to handle: no plan does with fewer.\n", plan->blocks_handled,
                      plan->blocks_handled == 1 ? "" : "s");
    } else {
        (void)fprintf(stream,
                      "\n%d blocks to handle. The time limit ended the search: a plan with as few as %d is not ruled "
                      "out (--seconds).\n",
                      plan->blocks_handled, plan->blocks_handled - plan->gap_blocks);
    }
    if (plan->blocks_handled > 0) {
        (void)fputs(
            "The plan knows nothing of the bridge's width: share the blocks evenly across it, among pockets at\n"
            "one place.\n",
            stream);
    }
    (void)fprintf(stream, "Nearest bound: %s, %s %s away%s.\n", ballast_bound(plan->closest).words,
                  display_text(&of->shown, QUANTITY_MOMENT, plan->margin_Nm, text), of->shown.of[QUANTITY_MOMENT].unit,
                  of->measured != NULL ? ", beside what 95 % confidence takes" : "");
}

static void print_obstacle(const ballast_result *of, FILE *stream)
{
    const trn_ballast_obstacle *obstacle = &of->plan.obstacle;
    char text[DISPLAY_TEXT];
    char help[BALLAST_WORDS];
    (void)fprintf(stream, "\nThe moves above come nearest; they miss %s by %s %s%s.\n",
                  ballast_bound(obstacle->bound).words,
                  display_text(&of->shown, QUANTITY_MOMENT, obstacle->miss_Nm, text),
                  of->shown.of[QUANTITY_MOMENT].unit, of->measured != NULL ? ", 95 % confidence included" : "");
    for (size_t i = 0; i < BALLAST_HELPS; i++) {
        const char *words = ballast_help(of, i, help);
        if (words != NULL) {
            (void)fprintf(stream, "%s\n", words);
        }
    }
}

/* First of all whether this is an order to carry out. */
static void print_heading(const ballast_result *of, FILE *stream)
{
    const trn_ballast_cause cause = of->plan.obstacle.cause;
    char danger[BALLAST_WORDS];
    if (of->plan.feasible) {
        (void)fprintf(stream, "%s: work order for the blocks\n", of->leaf->name);
    } else {
        (void)fprintf(stream,
                      "%s: NO PLAN %s\n%s.\n"
                      "The table holds the moves that come nearest: NO work order, do not carry them out.\n",
                      of->leaf->name, ballast_no_plan(cause), ballast_cause(cause).words);
    }
    if (ballast_danger(of, danger) != NULL) {
        (void)fprintf(stream, "DANGER: %s.\n", danger);
    }
}

static void print_measured(const ballast_result *of, FILE *stream)
{
    const trn_measurement *m = of->measured;
    char texts[4][DISPLAY_TEXT];
    (void)fprintf(stream,
                  "As measured: A %s ± %s, B %s ± %s %s (95 %%); the target is kept at 95 %% confidence,\n"
                  "of the scatter alone: calibration and gear loss come on top.\n",
                  display_text(&of->shown, QUANTITY_MOMENT, m->a_Nm.value, texts[0]),
                  display_text(&of->shown, QUANTITY_MOMENT, m->student95 * m->a_Nm.sd, texts[1]),
                  display_text(&of->shown, QUANTITY_MOMENT, m->b_Nm.value, texts[2]),
                  display_text(&of->shown, QUANTITY_MOMENT, m->student95 * m->b_Nm.sd, texts[3]),
                  of->shown.of[QUANTITY_MOMENT].unit);
    for (size_t i = 0; i < m->warning_count; i++) {
        (void)fprintf(stream, "Warning: %s.\n", m->warnings[i].text);
    }
}

exit_status ballast_table(const void *result, FILE *stream)
{
    const ballast_result *of = result;
    print_heading(of, stream);
    if (of->measured != NULL) {
        print_measured(of, stream);
    }
    (void)fputc('\n', stream);
    exit_status status = order_table(of, stream);
    (void)fputc('\n', stream);
    if (status == EXIT_DONE) {
        status = balance_table(of, stream);
    }
    if (of->plan.feasible) {
        print_outcome(of, stream);
    } else {
        print_obstacle(of, stream);
    }
    return status;
}
