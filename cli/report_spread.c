/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What uncertain inputs do to the demands. */
#include <math.h>
#include <stdlib.h>

#include "cycle_words.h"
#include "input.h"
#include "message.h"
#include "report.h"
#include "report_text.h"

/* Inputs that are told of each case; the others are of less effect. */
enum { INPUTS_SHOWN = 12 };

exit_status report_draw_spread(report *of)
{
    trn_spread_settings settings = spread_settings(of->asked);
    trn_error error;
    settings.cases = of->cases;
    settings.case_count = of->case_count;
    settings.angles_rad = of->curves.angles.radians;
    settings.angle_count = of->curves.angles.count;
    const trn_status made = trn_spread_new(of->leaf, &settings, &of->spread_run, &error);
    if (made == TRN_MISSING_SECTION) {
        of->has_spread.there = false;
        (void)snprintf(of->has_spread.missing, sizeof of->has_spread.missing,
                       "'uncertainty' in a part, and 'uncertainties'");
        return EXIT_DONE;
    }
    if (made != TRN_OK) {
        return fail_leaf(of->asked, &error);
    }
    const exit_status status = spread_finish(of->asked, of->spread_run);
    if (status == EXIT_DONE) {
        of->spread = (spread_result){.leaf = of->leaf,
                                     .cases = of->cases,
                                     .angles = of->curves.angles,
                                     .shown = of->shown,
                                     .seed = settings.seed,
                                     .run = trn_spread_result_of(of->spread_run)};
    }
    return status;
}

static void write_basis(html *page)
{
    static const basis rows[] = {
        {"first order", "u^2 = Σ (∂D/∂x_i)^2 u^2(x_i); what has one group is fully correlated",
         "JCGM 100:2008 (GUM), 5.1 and 5.2"},
        {"Monte Carlo", "quantiles of D over samples of all inputs", "JCGM 101:2008; this is the one to quote"},
        {"shares", "S and S_{tot}, of the variance of what governs", "Sobol's indices"},
    };
    text_basis(page, rows, sizeof rows / sizeof rows[0]);
}

/* One quantile of the demand over the angles. */
static void draw_quantile(report *of, html *page, chart *drawn, size_t case_index, trn_direction direction, int which)
{
    static const char *const keys[] = {"p05_Nm", "p50_Nm", "p95_Nm"};
    static const char *const labels[DIRECTIONS][3] = {{"opening 5 %", "opening 50 %", "opening 95 %"},
                                                      {"closing 5 %", "closing 50 %", "closing 95 %"}};
    const size_t count = of->spread.angles.count;
    const trn_spread_row *rows = of->spread.run->cases[case_index].rows + (size_t)direction * count;
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    const int style = (int)direction + (which == 1 ? 0 : which == 0 ? 3 : 5);
    char name[SERIES_NAME];
    double *values = calloc(count, sizeof *values);
    if (values == NULL) {
        of->data_failed = 1;
        return;
    }
    for (size_t i = 0; i < count; i++) {
        const trn_spread_values *one = &rows[i].demand_Nm;
        values[i] = which == 0 ? one->p05 : which == 1 ? one->p50 : one->p95;
    }
    (void)snprintf(name, sizeof name, "spread %zu %s %s", case_index, direction_words[direction], keys[which]);
    data_series(of, name, values, count);
    for (size_t i = 0; i < count; i++) {
        values[i] *= factor;
    }
    chart_line(drawn, page, of->spread.angles.degrees, values, count, style, labels[direction][which]);
    data_line(of, drawn, name, factor, style);
    free(values);
}

static void draw_case(report *of, html *page, size_t case_index)
{
    const trn_spread_case *about = &of->spread.run->cases[case_index];
    const size_t count = of->spread.angles.count;
    char id[48];
    char words[64];
    (void)snprintf(id, sizeof id, "chart-spread-%zu", case_index);
    (void)snprintf(words, sizeof words, "demand, %s", of->shown.of[QUANTITY_MOMENT].unit);
    chart drawn = {.id = id,
                   .title = "Demand at the leaf: half lie below the 50 % line, nine in ten between the outer two",
                   .x_words = "opening angle, degrees",
                   .y_words = words,
                   .height = 280,
                   .x = {.low = 0, .high = of->spread.angles.degrees[count - 1]}};
    for (size_t i = 0; i < DIRECTIONS * count; i++) {
        const double ends[] = {about->rows[i].demand_Nm.p05 * of->shown.of[QUANTITY_MOMENT].factor,
                               about->rows[i].demand_Nm.p95 * of->shown.of[QUANTITY_MOMENT].factor};
        chart_hold(&drawn.y, ends, 2);
    }
    chart_round(&drawn);
    text_figure(page);
    chart_begin(&drawn, page,
                "Three lines for each direction of travel over the opening angle: the demands that 5, 50 "
                "and 95 % of the samples lie below. The table has the numbers.");
    data_chart(of, &drawn, "angle");
    for (int k = 0; k < DIRECTIONS * 3; k++) {
        draw_quantile(of, page, &drawn, case_index, (trn_direction)(k / 3), k % 3);
    }
    chart_end(&drawn, page);
    text_caption(page, "%s.", drawn.title);
}

static void write_rows(const report *of, html *page, size_t case_index)
{
    const display *shown = &of->shown;
    const char *unit = shown->of[QUANTITY_MOMENT].unit;
    const heading headings[] = {{"Angle", shown->of[QUANTITY_ANGLE].unit, true},
                                {"Direction", "", false},
                                {"First order, mean", unit, true},
                                {"First order, sd", unit, true},
                                {"Mean", unit, true},
                                {"Sd", unit, true},
                                {"5 %", unit, true},
                                {"50 %", unit, true},
                                {"95 %", unit, true}};
    const trn_spread_case *about = &of->spread.run->cases[case_index];
    const size_t count = of->spread.angles.count;
    text_table(page, "Demand as samples have it, case", about->name, headings, 9);
    for (size_t i = 0; i < DIRECTIONS * count; i++) {
        const trn_spread_row *row = &about->rows[i];
        const double numbers[] = {row->first_mean_Nm, row->first_sd_Nm,   row->demand_Nm.mean, row->demand_Nm.sd,
                                  row->demand_Nm.p05, row->demand_Nm.p50, row->demand_Nm.p95};
        char text[DISPLAY_TEXT];
        if (i % count % (size_t)(2 * REPORT_TABLE_STEP_DEG) != 0 && i % count + 1 < count) {
            continue;
        }
        (void)snprintf(text, sizeof text, "%.10g", of->spread.angles.degrees[i % count]);
        text_row_number(page, text);
        text_cell(page, direction_words[row->direction]);
        for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
            text_amount(page, shown, QUANTITY_MOMENT, numbers[k]);
        }
        html_end(page);
    }
    text_table_end(page);
}

/* A probability in per cent; one that no sample met is below that of one sample. */
static void chance_cell(const report *of, html *page, double chance)
{
    char percent[SPREAD_PERCENT];
    char text[DISPLAY_TEXT];
    (void)snprintf(text, sizeof text, "%s%s", chance > 0 ? "" : "below ",
                   spread_percent(chance > 0 ? chance : 1 / (double)of->spread.run->samples, percent));
    text_number(page, text);
}

static void write_use(const report *of, html *page, const trn_spread_case *about)
{
    static const heading headings[] = {{"Direction", "", false},
                                       {"5 %", "%", true},
                                       {"50 %", "%", true},
                                       {"95 %", "%", true},
                                       {"Probability of being over it", "%", true}};
    if (!about->has_limit) {
        return;
    }
    text_table(page, "Share of what is allowed that the worst angle takes, case", about->name, headings, 5);
    for (int k = 0; k < DIRECTIONS; k++) {
        const trn_spread_side *side = &about->sides[k];
        text_row(page, direction_words[k]);
        text_amount(page, &of->shown, QUANTITY_SHARE, side->peak_use.p05);
        text_amount(page, &of->shown, QUANTITY_SHARE, side->peak_use.p50);
        text_amount(page, &of->shown, QUANTITY_SHARE, side->peak_use.p95);
        chance_cell(of, page, side->over_limit_probability);
        html_end(page);
    }
    text_table_end(page);
}

/* A share with its standard error; no minus sign stands before a zero. */
static const char *share_words(double share, double error, char text[DISPLAY_TEXT])
{
    (void)snprintf(text, DISPLAY_TEXT, "%.3f ± %.3f", fabs(share) < 0.0005 ? 0 : share, error);
    return text;
}

static void input_row(const report *of, html *page, const trn_spread_case *about, size_t variable)
{
    const trn_spread_effect *effect = &about->effects[variable];
    const quantity what = about->has_limit ? QUANTITY_SHARE : QUANTITY_MOMENT;
    char text[DISPLAY_TEXT];
    text_row_named(page, of->spread.run->variables[variable]);
    text_number(page, amount_of(&of->shown, what, effect->low).text);
    text_number(page, amount_of(&of->shown, what, effect->high).text);
    text_number(page, share_words(effect->sobol.first, effect->sobol.first_se, text));
    text_number(page, share_words(effect->sobol.total, effect->sobol.total_se, text));
    html_end(page);
}

static void write_inputs(report *of, html *page, const trn_spread_case *about)
{
    static const heading headings[] = {{"Input", "", false},
                                       {"At its 5 %", "", true},
                                       {"At its 95 %", "", true},
                                       {"Share alone", "", true},
                                       {"Share in all", "", true}};
    const size_t count = of->spread.run->variable_count;
    const trn_spread_row *governing = &about->rows[about->governing];
    spread_share *order = calloc(count, sizeof *order);
    if (order == NULL) {
        of->data_failed = 1;
        return;
    }
    spread_order(&of->spread, about, order);
    text_paragraph(page, "What matters is told of the %s, %s at %s.",
                   about->has_limit ? "share of what is allowed that is taken" : "demand at the leaf",
                   direction_words[governing->direction],
                   amount_of(&of->shown, QUANTITY_ANGLE, governing->angle_rad).text);
    text_table(page, "What matters, case", about->name, headings, 5);
    for (size_t i = 0; i < count && i < INPUTS_SHOWN; i++) {
        input_row(of, page, about, order[i].variable);
    }
    text_table_end(page);
    if (count > INPUTS_SHOWN) {
        text_paragraph(page, "And %zu more, each of less.", count - INPUTS_SHOWN);
    }
    free(order);
}

static void write_holdings(const report *of, html *page)
{
    const char *unit = of->shown.of[QUANTITY_MOMENT].unit;
    const heading headings[] = {{"Holding", "", false},
                                {"Capacity", unit, true},
                                {"Required", "", true},
                                {"5 %", unit, true},
                                {"50 %", unit, true},
                                {"95 %", unit, true},
                                {"Probability of not being held", "%", true}};
    if (of->spread.run->holding_count == 0) {
        return;
    }
    text_table(page, "Holding demand at the worst angle, as samples have it", NULL, headings, 7);
    for (size_t i = 0; i < of->spread.run->holding_count; i++) {
        const trn_spread_holding *one = &of->spread.run->holdings[i];
        char text[DISPLAY_TEXT];
        text_row_named(page, one->name);
        text_amount(page, &of->shown, QUANTITY_MOMENT, one->capacity_Nm);
        (void)snprintf(text, sizeof text, "%.2f", one->required);
        text_number(page, text);
        text_amount(page, &of->shown, QUANTITY_MOMENT, one->demand_Nm.p05);
        text_amount(page, &of->shown, QUANTITY_MOMENT, one->demand_Nm.p50);
        text_amount(page, &of->shown, QUANTITY_MOMENT, one->demand_Nm.p95);
        chance_cell(of, page, one->not_held_probability);
        html_end(page);
    }
    text_table_end(page);
}

void report_spread(report *of, html *page)
{
    text_section(page, "spread", "Spread by uncertain inputs");
    if (!of->has_spread.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_spread.missing);
        html_end(page);
        return;
    }
    const trn_spread_result *run = of->spread.run;
    text_paragraph(page,
                   "%llu samples of all that the description calls uncertain, seed %llu. Demands are at the "
                   "leaf, positive in the direction of travel. "
                   "The tables have every 10°, the charts every 1°. Told for information: chances are no requirement.",
                   (unsigned long long)run->samples, (unsigned long long)of->spread.seed);
    if (!run->within_tolerance) {
        text_note(page, "Caution:", "the samples do not reach the tolerance of every case.");
    }
    for (size_t i = 0; i < run->case_count; i++) {
        html_start(page, "section");
        html_attribute(page, "class", "case");
        text_heading(page, "h3", "Case", run->cases[i].name);
        draw_case(of, page, i);
        write_use(of, page, &run->cases[i]);
        write_inputs(of, page, &run->cases[i]);
        write_rows(of, page, i);
        html_end(page);
    }
    write_holdings(of, page);
    write_basis(page);
    html_end(page);
}
