/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the balance lies in its target, and which blocks would bring it there. */
#include <math.h>
#include <stdlib.h>

#include "report.h"
#include "report_text.h"

/* The field of the gauge of a window, in its units. */
#define GAUGE_LEFT 24.0
#define GAUGE_RIGHT 456.0

static void write_basis(html *page)
{
    static const basis rows[] = {
        {"a block", "A + w x,  B + w y", "statics"},
        {"plan", "whole blocks, none to the room of each pocket, fewest handled", "integer program, solved by GLPK"},
        {"target", "the windows of the description",
         "leaf heavy when closed, centre of gravity 20° to 50° above the horizontal: from memory, check the clause"},
    };
    text_basis(page, rows, sizeof rows / sizeof rows[0]);
}

/* Something at a place of the gauge. */
static void gauge_mark(html *page, double x, double y, const char *shape, const char *class_name, const char *words,
                       double words_y)
{
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2f%s", x, y, shape);
    html_attribute(page, "class", class_name);
    html_end(page);
    html_start(page, "text");
    html_attribute_f(page, "x", "%.2f", fmin(fmax(x, GAUGE_LEFT + 40), GAUGE_RIGHT - 40));
    html_attribute_f(page, "y", "%.2f", words_y);
    html_attribute(page, "class", "tick x");
    html_text(page, words);
    html_end(page);
}

/* A window as a band on a line, with the value now and that after the plan. */
static void draw_window(const report *of, html *page, size_t index, const target_window *window, double now,
                        const double *after)
{
    const display *shown = &of->shown;
    const double values[4] = {window->given.low, window->given.high, now, after != NULL ? *after : now};
    chart_scale scale = {HUGE_VAL, -HUGE_VAL, GAUGE_LEFT, GAUGE_RIGHT};
    char words[4 * DISPLAY_TEXT];
    chart_hold(&scale, values, 4);
    const double room = fmax((scale.high - scale.low) * 0.15, 1e-9);
    scale.low -= room;
    scale.high += room;
    const double low = chart_place(&scale, window->given.low);
    const double high = chart_place(&scale, window->given.high);
    html_start(page, "svg");
    html_attribute(page, "class", "chart gauge");
    html_attribute(page, "viewBox", "0 0 480 96");
    html_attribute(page, "role", "img");
    html_attribute_f(page, "aria-labelledby", "gauge-%zu", index);
    html_start(page, "title");
    html_attribute_f(page, "id", "gauge-%zu", index);
    html_text_f(page, "The window of %s, the value now%s", window->words,
                after == NULL            ? ""
                : of->plan.plan.feasible ? " and that after the plan"
                                         : " and that nearest to it");
    html_end(page);
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f 40H%.2fV56H%.2fZ", low, high, low);
    html_attribute(page, "class", "window");
    html_end(page);
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f 48H%.2f", GAUGE_LEFT, GAUGE_RIGHT);
    html_attribute(page, "class", "zero");
    html_end(page);
    (void)snprintf(words, sizeof words, "%s to %s", amount_of(shown, window->what, window->given.low).text,
                   amount_of(shown, window->what, window->given.high).text);
    gauge_mark(page, (low + high) / 2, 40, "v0", "window", words, 34);
    (void)snprintf(words, sizeof words, "now %s", amount_of(shown, window->what, now).text);
    gauge_mark(page, chart_place(&scale, now), 48, "m-6 8l6 -8l6 8z", "now", words, 74);
    if (after != NULL) {
        (void)snprintf(words, sizeof words, "%s %s", of->plan.plan.feasible ? "after the plan" : "no plan; nearest",
                       amount_of(shown, window->what, *after).text);
        gauge_mark(page, chart_place(&scale, *after), 48, "m-6 -6h12v12h-12z", "after", words, 90);
    }
    html_end(page);
}

static void value_row(const report *of, html *page, const char *words, quantity what, double now, double after)
{
    text_row(page, words);
    text_number(page, amount_of(&of->shown, what, now).text);
    if (of->has_plan) {
        text_number(page, amount_of(&of->shown, what, after).text);
    }
    html_end(page);
}

static void write_values(const report *of, html *page)
{
    const heading headings[] = {
        {"Balance", "", false},
        {"Now", "", true},
        {of->has_plan && !of->plan.plan.feasible ? "No plan: after the nearest moves" : "After the plan", "", true}};
    const trn_balance *now = &of->weighed.balance;
    const trn_balance *after = of->has_plan ? &of->plan.plan.after : now;
    text_table(page, "Balance in its target", NULL, headings, of->has_plan ? 3 : 2);
    value_row(of, page, "toe reaction", QUANTITY_FORCE, now->toe_reaction_N, after->toe_reaction_N);
    value_row(of, page, "angle α", QUANTITY_ANGLE, now->angle_rad, after->angle_rad);
    value_row(of, page, "closed moment A", QUANTITY_MOMENT, now->closed_moment_Nm, after->closed_moment_Nm);
    value_row(of, page, "moment B", QUANTITY_MOMENT, now->moment_Nm * sin(now->angle_rad),
              after->moment_Nm * sin(after->angle_rad));
    text_table_end(page);
}

static void write_moves(const report *of, html *page)
{
    static const heading headings[] = {
        {"Pocket", "", false}, {"Now", "blocks", true}, {"After", "blocks", true}, {"Change", "blocks", true}};
    text_table(page, of->plan.plan.feasible ? "Plan for the blocks" : "No plan: the nearest moves, no work order", NULL,
               headings, 4);
    for (size_t i = 0; i < of->plan.count; i++) {
        const trn_ballast_move *move = &of->plan.moves[i];
        char text[DISPLAY_TEXT];
        text_row_named(page, move->pocket->name);
        (void)snprintf(text, sizeof text, "%d", move->before);
        text_number(page, text);
        (void)snprintf(text, sizeof text, "%d", move->after);
        text_number(page, text);
        (void)snprintf(text, sizeof text, move->change == 0 ? "%d" : "%+d", move->change);
        text_number(page, text);
        html_end(page);
    }
    text_table_end(page);
}

/* That there is no plan, and what would help. */
static void write_no_plan(const report *of, html *page)
{
    const trn_ballast_obstacle *obstacle = &of->plan.plan.obstacle;
    char text[BALLAST_WORDS];
    text_note(page, "No plan:",
              "none %s: %s. The moves told come nearest, and are no work order: do not "
              "carry them out. They miss %s by %s.",
              ballast_no_plan(obstacle->cause), ballast_cause(obstacle->cause).words,
              ballast_bound(obstacle->bound).words, amount_of(&of->shown, QUANTITY_MOMENT, obstacle->miss_Nm).text);
    for (size_t i = 0; i < BALLAST_HELPS; i++) {
        const char *words = ballast_help(&of->plan, i, text);
        if (words != NULL) {
            text_paragraph(page, "%s", words);
        }
    }
}

static void write_outcome(const report *of, html *page)
{
    const trn_ballast_plan *plan = &of->plan.plan;
    char danger[BALLAST_WORDS];
    if (ballast_danger(&of->plan, danger) != NULL) {
        text_note(page, "DANGER:", "%s.", danger);
    }
    if (!plan->feasible) {
        write_no_plan(of, page);
    } else if (plan->blocks_handled == 0) {
        text_paragraph(page, "Nothing is to be done: the leaf is within its target.");
    } else {
        text_paragraph(page,
                       "%d %s to handle%s. The plan knows nothing of the bridge's width: share the blocks evenly "
                       "across it, among pockets at one place.",
                       plan->blocks_handled, plan->blocks_handled == 1 ? "block" : "blocks",
                       plan->gap_blocks == 0 ? ": no plan does with fewer"
                                             : "; the time limit ended the search, a plan with fewer is not ruled out");
    }
}

void report_target(report *of, html *page)
{
    target_window windows[TARGET_WINDOWS];
    text_section(page, "target", "Balance target");
    if (!of->has_target.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_target.missing);
        html_end(page);
        return;
    }
    const trn_balance *now = &of->weighed.balance;
    const trn_balance *after = &of->plan.plan.after;
    const bool by_moments = of->leaf->balance_target->by_moments;
    const double values[2] = {by_moments ? now->closed_moment_Nm : now->toe_reaction_N,
                              by_moments ? now->moment_Nm * sin(now->angle_rad) : now->angle_rad};
    const double planned[2] = {by_moments ? after->closed_moment_Nm : after->toe_reaction_N,
                               by_moments ? after->moment_Nm * sin(after->angle_rad) : after->angle_rad};
    ballast_windows(&of->plan, windows);
    if (of->has_plan) {
        write_outcome(of, page);
    }
    text_figure(page);
    for (size_t i = 0; i < TARGET_WINDOWS; i++) {
        draw_window(of, page, i, &windows[i], values[i], of->has_plan ? &planned[i] : NULL);
    }
    text_caption(page,
                 "The windows of the target (bands): %s above, %s below. The triangle is the leaf as "
                 "described%s.",
                 windows[0].words, windows[1].words,
                 !of->has_plan            ? ""
                 : of->plan.plan.feasible ? ", the square the leaf after the plan"
                                          : ", the square the leaf after the nearest moves, which are no plan");
    write_values(of, page);
    if (of->has_plan) {
        write_moves(of, page);
    } else {
        text_note(page, "No plan:", "the description lacks 'pockets' with loose blocks.");
    }
    write_basis(page);
    html_end(page);
}
