/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan's warning, and what would help where there is no plan: sentences of the work order and of the report. */
#include <math.h>

#include "ballast.h"

/* A bound that was moved, rounded outwards to the decimals shown, so that what is read off is wide enough. */
static double rounded_out(const display *shown, quantity what, double value, double given)
{
    const double step = pow(10, -shown->of[what].decimals) / shown->of[what].factor;
    return value < given ? floor(value / step) * step : value > given ? ceil(value / step) * step : value;
}

static const char *widened(const ballast_result *of, const target_window *window, bool may_open,
                           char text[BALLAST_WORDS])
{
    const display *shown = &of->shown;
    char low[DISPLAY_TEXT];
    char high[DISPLAY_TEXT];
    (void)snprintf(text, BALLAST_WORDS, "With the other window as it is, %s from %s to %s %s would have a plan%s.",
                   window->words,
                   display_text(shown, window->what,
                                rounded_out(shown, window->what, window->widened.low, window->given.low), low),
                   display_text(shown, window->what,
                                rounded_out(shown, window->what, window->widened.high, window->given.high), high),
                   shown->of[window->what].unit, may_open ? ": below 0 the closed leaf is COUNTERWEIGHT HEAVY" : "");
    return text;
}

static const char *new_pocket(const ballast_result *of, char text[BALLAST_WORDS])
{
    const trn_ballast_obstacle *obstacle = &of->plan.obstacle;
    const display *shown = &of->shown;
    char texts[5][DISPLAY_TEXT];
    (void)snprintf(text, BALLAST_WORDS,
                   "After these moves A lacks %s and B %s %s: a new pocket with %s %s at [%s, %s] %s would bring them. "
                   "That is a centre of gravity by statics only: whether anything can stand there is not known.",
                   display_text(shown, QUANTITY_MOMENT, obstacle->lacking_a_Nm, texts[0]),
                   display_text(shown, QUANTITY_MOMENT, obstacle->lacking_b_Nm, texts[1]),
                   shown->of[QUANTITY_MOMENT].unit, display_text(shown, QUANTITY_FORCE, obstacle->weight_N, texts[2]),
                   shown->of[QUANTITY_FORCE].unit, display_text(shown, QUANTITY_LENGTH, obstacle->at.x, texts[3]),
                   display_text(shown, QUANTITY_LENGTH, obstacle->at.y, texts[4]), shown->of[QUANTITY_LENGTH].unit);
    return text;
}

const char *ballast_help(const ballast_result *of, size_t index, char text[BALLAST_WORDS])
{
    const trn_ballast_obstacle *obstacle = &of->plan.obstacle;
    target_window windows[TARGET_WINDOWS];
    ballast_windows(of, windows);
    if (of->plan.feasible) {
        return NULL;
    }
    if (index < TARGET_WINDOWS) {
        return windows[index].is_widened ? widened(of, &windows[index], index == 0 && windows[0].widened.low < 0, text)
                                         : NULL;
    }
    if (index == TARGET_WINDOWS) {
        return obstacle->weight_N > 0 ? new_pocket(of, text) : NULL;
    }
    (void)snprintf(text, BALLAST_WORDS, "All loose blocks exchanged for ones of %g times their weight (%s) would do.",
                   obstacle->block_share,
                   obstacle->block_share < 1 ? "as many more of them as fill the same room" : "as many to a pocket");
    return obstacle->has_block_share ? text : NULL;
}

const char *ballast_danger(const ballast_result *of, char text[BALLAST_WORDS])
{
    char toe[DISPLAY_TEXT];
    const trn_balance *after = &of->plan.after;
    if (of->plan.blocks_handled == 0 || !(after->closed_moment_Nm < 0)) {
        return NULL;
    }
    (void)snprintf(text, BALLAST_WORDS,
                   "after these moves the closed leaf is COUNTERWEIGHT HEAVY, toe reaction %s %s: nothing but brakes, "
                   "locks and friction keeps it from opening by itself",
                   display_text(&of->shown, QUANTITY_FORCE, after->toe_reaction_N, toe),
                   of->shown.of[QUANTITY_FORCE].unit);
    return text;
}
