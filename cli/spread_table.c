/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of samples as tables. */
#include <math.h>
#include <stdlib.h>

#include "present/table.h"
#include "spread.h"

/* Inputs that are told of each case; the others are said to be less. */
enum { INPUTS_SHOWN = 12 };

static void number_cell(table *made, const display *shown, quantity what, double value)
{
    char text[DISPLAY_TEXT];
    table_cell(made, display_text(shown, what, value, text));
}

static void plain_cell(table *made, const char *format, double value)
{
    char text[DISPLAY_TEXT];
    (void)snprintf(text, sizeof text, format, value);
    table_cell(made, text);
}

static void heading_rows(table *made, const display *shown)
{
    static const char *const lines[2][9] = {
        {"", "", "first order", "", "Monte Carlo", "", "", "", ""},
        {"angle", "direction", "mean", "sd", "mean", "sd", "5 %", "50 %", "95 %"},
    };
    for (size_t line = 0; line < 2; line++) {
        for (size_t i = 0; i < 9; i++) {
            table_cell(made, lines[line][i]);
        }
    }
    table_cell(made, shown->of[QUANTITY_ANGLE].unit);
    table_cell(made, "");
    for (size_t i = 2; i < 9; i++) {
        table_cell(made, shown->of[QUANTITY_MOMENT].unit);
    }
}

static exit_status rows_table(const spread_result *of, const trn_spread_case *about, FILE *stream)
{
    table made = table_make("rlrrrrrrr", 3);
    heading_rows(&made, &of->shown);
    for (size_t i = 0; i < 2 * of->angles.count; i++) {
        const trn_spread_row *row = &about->rows[i];
        const double numbers[] = {row->first_mean_Nm, row->first_sd_Nm,   row->demand_Nm.mean, row->demand_Nm.sd,
                                  row->demand_Nm.p05, row->demand_Nm.p50, row->demand_Nm.p95};
        plain_cell(&made, "%.10g", of->angles.degrees[i % of->angles.count]);
        table_cell(&made, spread_direction(row->direction));
        for (size_t k = 0; k < sizeof numbers / sizeof *numbers; k++) {
            number_cell(&made, &of->shown, QUANTITY_MOMENT, numbers[k]);
        }
    }
    return table_print(&made, stream);
}

/* A chance that no sample met is below one in so many. */
static const char *chance_text(const spread_result *of, double chance, char text[DISPLAY_TEXT])
{
    if (chance > 0) {
        char percent[SPREAD_PERCENT];
        (void)snprintf(text, DISPLAY_TEXT, "%s %%", spread_percent(chance, percent));
    } else {
        (void)snprintf(text, DISPLAY_TEXT, "below 1 in %llu", (unsigned long long)of->run->samples);
    }
    return text;
}

/* What of the motors (or cylinders) a case takes at its worst angle, and how often it is too much. */
static void tell_use(const spread_result *of, const trn_spread_case *about, FILE *stream)
{
    char text[DISPLAY_TEXT];
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        const trn_spread_side *side = &about->sides[direction];
        if (about->has_limit) {
            (void)fprintf(
                stream,
                "%s: takes %.0f %% of what is allowed at its worst angle, 5 to 95 %%: %.0f to %.0f %%; over it "
                "with a probability %s%s\n",
                spread_direction((trn_direction)direction), 100 * side->peak_use.p50, 100 * side->peak_use.p05,
                100 * side->peak_use.p95, side->over_limit_probability > 0 ? "of " : "",
                chance_text(of, side->over_limit_probability, text));
        }
        (void)fprintf(
            stream, "%s: the numbers of the table are good to ± %s %s", spread_direction((trn_direction)direction),
            display_text(&of->shown, QUANTITY_MOMENT, side->error_Nm, text), of->shown.of[QUANTITY_MOMENT].unit);
        (void)fprintf(stream, " (95 %%), the tolerance is %s %s\n",
                      display_text(&of->shown, QUANTITY_MOMENT, side->tolerance_Nm, text),
                      of->shown.of[QUANTITY_MOMENT].unit);
    }
}

static exit_status inputs_table(const spread_result *of, const trn_spread_case *about, FILE *stream)
{
    const size_t count = of->run->variable_count;
    spread_share *order = calloc(count, sizeof *order);
    table made = table_make("lrrrrr", 2);
    static const char *const heading[] = {"input", "at its 5 %", "at its 95 %", "one sd", "alone", "in all", "", "",
                                          "",      "",           "share",       "share"};
    if (order == NULL) {
        made.failed = true;
        return table_print(&made, stream);
    }
    spread_order(of, about, order);
    for (size_t i = 0; i < sizeof heading / sizeof *heading; i++) {
        table_cell(&made, heading[i]);
    }
    for (size_t i = 0; i < count && i < INPUTS_SHOWN; i++) {
        const trn_spread_effect *effect = &about->effects[order[i].variable];
        const double numbers[] = {effect->low, effect->high, effect->first_order};
        char share[DISPLAY_TEXT];
        table_cell(&made, of->run->variables[order[i].variable]);
        for (size_t k = 0; k < 3; k++) {
            if (about->has_limit) {
                plain_cell(&made, "%.2f %%", 100 * numbers[k]);
            } else {
                number_cell(&made, &of->shown, QUANTITY_MOMENT, numbers[k]);
            }
        }
        (void)snprintf(share, sizeof share, "%.3f ± %.3f", effect->sobol.first, effect->sobol.first_se);
        table_cell(&made, share);
        (void)snprintf(share, sizeof share, "%.3f ± %.3f", effect->sobol.total, effect->sobol.total_se);
        table_cell(&made, share);
    }
    free(order);
    exit_status status = table_print(&made, stream);
    if (count > INPUTS_SHOWN) {
        (void)fprintf(stream, "and %zu more, each of less\n", count - INPUTS_SHOWN);
    }
    return status;
}

static exit_status case_table(const spread_result *of, size_t index, FILE *stream)
{
    char text[DISPLAY_TEXT];
    const trn_spread_case *about = &of->run->cases[index];
    const trn_case *load_case = &of->cases[index];
    (void)fprintf(stream, "\ncase '%s': %s friction%s\n\n", about->name,
                  load_case->friction == TRN_FRICTION_STARTING ? "starting" : "moving",
                  load_case->accelerating ? ", accelerating" : "");
    exit_status status = rows_table(of, about, stream);
    (void)fputc('\n', stream);
    tell_use(of, about, stream);
    (void)fprintf(stream, "\nWhat matters, %s at %.4g degree: %s",
                  spread_direction(about->rows[about->governing].direction),
                  of->angles.degrees[about->governing % of->angles.count],
                  about->has_limit ? "share of what is allowed that is taken" : "demand at the leaf");
    if (about->has_limit) {
        (void)fprintf(stream, ", %.1f %% as expected\n\n", 100 * about->governing_value);
    } else {
        (void)fprintf(stream, ", %s %s as expected\n\n",
                      display_text(&of->shown, QUANTITY_MOMENT, about->rows[about->governing].first_mean_Nm, text),
                      of->shown.of[QUANTITY_MOMENT].unit);
    }
    return status == EXIT_DONE ? inputs_table(of, about, stream) : status;
}

static exit_status holdings_table(const spread_result *of, FILE *stream)
{
    static const char *const heading[] = {"holding", "capacity", "required", "5 %", "50 %", "95 %", "not held"};
    const char *unit = of->shown.of[QUANTITY_MOMENT].unit;
    const char *const units[] = {"", unit, "", unit, unit, unit, ""};
    char text[DISPLAY_TEXT];
    if (of->run->holding_count == 0) {
        return EXIT_DONE;
    }
    (void)fputs("\nHolding: demand at the worst angle against the brakes' capacity\n\n", stream);
    table made = table_make("lrrrrrr", 2);
    for (size_t i = 0; i < 7; i++) {
        table_cell(&made, heading[i]);
    }
    for (size_t i = 0; i < 7; i++) {
        table_cell(&made, units[i]);
    }
    for (size_t i = 0; i < of->run->holding_count; i++) {
        const trn_spread_holding *one = &of->run->holdings[i];
        table_cell(&made, one->name);
        number_cell(&made, &of->shown, QUANTITY_MOMENT, one->capacity_Nm);
        plain_cell(&made, "%.2f", one->required);
        number_cell(&made, &of->shown, QUANTITY_MOMENT, one->demand_Nm.p05);
        number_cell(&made, &of->shown, QUANTITY_MOMENT, one->demand_Nm.p50);
        number_cell(&made, &of->shown, QUANTITY_MOMENT, one->demand_Nm.p95);
        table_cell(&made, chance_text(of, one->not_held_probability, text));
    }
    return table_print(&made, stream);
}

/* Whether both ways give one answer: mean and sd of every row within the error of its samples. */
static bool ways_agree(const spread_result *of, const trn_spread_case *about)
{
    bool agree = true;
    for (size_t i = 0; i < 2 * of->angles.count; i++) {
        const trn_spread_row *row = &about->rows[i];
        const double error_Nm = row->demand_Nm.error + 1e-9 * fabs(row->demand_Nm.mean);
        agree &= fabs(row->first_mean_Nm - row->demand_Nm.mean) <= error_Nm &&
                 fabs(row->first_sd_Nm - row->demand_Nm.sd) <= error_Nm;
    }
    return agree;
}

/* Which of the two ways to quote, what the samples are good for, and what a chance is of. */
static void print_footer(const spread_result *of, FILE *stream)
{
    const trn_spread_case *differs = NULL;
    for (size_t i = 0; i < of->run->case_count && differs == NULL; i++) {
        differs = ways_agree(of, &of->run->cases[i]) ? NULL : &of->run->cases[i];
    }
    if (differs != NULL) {
        (void)fprintf(stream,
                      "\nFirst order and Monte Carlo differ by more than the error of the samples, in case '%s' first: "
                      "quote Monte Carlo there.\n",
                      differs->name);
    } else {
        (void)fputs("\nFirst order and Monte Carlo agree within the error of the samples: either may be quoted.\n",
                    stream);
    }
    if (!of->run->within_tolerance) {
        (void)fprintf(stream,
                      "%llu samples are too few for the tolerance: the last digits above are those of chance. Without "
                      "--samples as many are drawn as it takes.\n",
                      (unsigned long long)of->run->samples);
    }
    (void)fputs("A chance is that of passing the limit at any of the angles of the table: it depends on --step.\n",
                stream);
    char text[SPREAD_WORDS];
    for (size_t i = 0; spread_note(of, i, text) != NULL; i++) {
        (void)fprintf(stream, "NOTE: %s.\n", text);
    }
}

exit_status spread_table(const void *result, FILE *stream)
{
    const spread_result *of = result;
    exit_status status = EXIT_DONE;
    (void)fprintf(stream,
                  "%s: what uncertain inputs do to the demands%s\n"
                  "%llu samples, seed %llu. Demands are at the leaf, positive in the direction of travel.\n",
                  of->leaf->name, display_friction_note(of->leaf), (unsigned long long)of->run->samples,
                  (unsigned long long)of->seed);
    for (size_t i = 0; i < of->run->case_count && status == EXIT_DONE; i++) {
        status = case_table(of, i, stream);
    }
    status = status == EXIT_DONE ? holdings_table(of, stream) : status;
    print_footer(of, stream);
    return status;
}
