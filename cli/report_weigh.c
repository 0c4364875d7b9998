/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The weight of the leaf, item by item, and its balance. */
#include <stdlib.h>

#include "report.h"
#include "report_text.h"

static void write_basis(const report *of, html *page)
{
    const basis rows[] = {
        {"weight of a mass", "W = m g_0, g_0 = 9.80665 m/s^2", "exact, 3rd CGPM 1901"},
        {"balance moment", "M(θ) = Σ W (x cos θ − y sin θ) = A cos θ − B sin θ = W R cos(θ + α)", "statics"},
        {"closed", "A = Σ W x,  B = Σ W y,  W R = √(A^2 + B^2),  tan α = B/A", "statics"},
        {"toe reaction", "A / toe", "statics: from imbalance alone, closed"},
        {"inertia", "J = Σ (I + (W/g_0)(x^2 + y^2))", "statics; a bar has m L^2/12, a block is integrated (Green)"},
        {"linked counterweight", "M = Σ W (ξ cos ψ − η sin ψ) ψ′,  J = J_P ψ′^2",
         "virtual work; ψ from the four-bar of trunnion, link and pivot"},
    };
    text_basis(page, rows, of->leaf->linked_counterweight != NULL ? 6 : 5);
}

/* The amount by which a part's weight was given. */
static amount given_amount(const display *shown, const trn_part *part)
{
    char unit[DISPLAY_TEXT];
    amount made;
    double value = part->weight_N;
    const char *per = "";
    if (part->shape == TRN_SHAPE_BLOCK) {
        value = part->unit_weight_N_m3;
        per = "³";
    } else if (part->shape == TRN_SHAPE_SLAB) {
        value = part->weight_per_area_N_m2;
        per = "²";
    } else if (part->shape == TRN_SHAPE_BAR && !(part->weight_N > 0) && !(part->weight_N < 0)) {
        value = part->weight_per_length_N_m;
        per = "1";
    }
    const double length = shown->of[QUANTITY_LENGTH].factor;
    const int power = per[0] == '\0' ? 0 : per[0] == '1' ? 1 : per[1] == '\xB2' ? 2 : 3;
    for (int i = 0; i < power; i++) {
        value /= length;
    }
    (void)snprintf(unit, sizeof unit, "%s%s%s%s", shown->of[QUANTITY_FORCE].unit, power > 0 ? "/" : "",
                   power > 0 ? shown->of[QUANTITY_LENGTH].unit : "", power > 1 ? per : "");
    (void)snprintf(made.text, sizeof made.text, "%.4g %.16s", value * shown->of[QUANTITY_FORCE].factor, unit);
    return made;
}

/* Room for a range with units. */
enum { CERTAINTY_TEXT = 160 };

/* How certain the weight is: one standard deviation, or a range. */
static const char *certainty_words(const display *shown, const trn_distribution *of, char text[CERTAINTY_TEXT])
{
    const quantity what = of->relative ? QUANTITY_SHARE : QUANTITY_FORCE;
    if (of->by_range) {
        (void)snprintf(text, CERTAINTY_TEXT, "%s to %s", amount_of(shown, what, of->low).text,
                       amount_of(shown, what, of->high).text);
    } else {
        (void)snprintf(text, CERTAINTY_TEXT, "%s", of->sd > 0 ? amount_of(shown, what, of->sd).text : "–");
    }
    return text;
}

static void input_cells(const report *of, html *page, const trn_part *part)
{
    static const char *const shapes[] = {
        [TRN_SHAPE_POINT] = "point", [TRN_SHAPE_BAR] = "bar", [TRN_SHAPE_SLAB] = "slab", [TRN_SHAPE_BLOCK] = "block"};
    char text[DISPLAY_TEXT];
    char certainty[CERTAINTY_TEXT];
    text_cell(page, shapes[part->shape]);
    (void)snprintf(text, sizeof text, "%d", part->count);
    text_number(page, text);
    text_number(page, given_amount(&of->shown, part).text);
    text_number(page, part->width_m > 0 ? amount_of(&of->shown, QUANTITY_LENGTH, part->width_m).text : "–");
    text_number(page, certainty_words(&of->shown, &part->uncertainty, certainty));
}

static void pocket_cells(const report *of, html *page, const trn_pocket *pocket)
{
    char text[DISPLAY_TEXT];
    text_cell(page, "pocket of loose blocks");
    (void)snprintf(text, sizeof text, "%d of %d", pocket->blocks, pocket->room);
    text_number(page, text);
    (void)snprintf(text, sizeof text, "%.4g %s", pocket->block_N * of->shown.of[QUANTITY_FORCE].factor,
                   of->shown.of[QUANTITY_FORCE].unit);
    text_number(page, text);
    text_number(page, "–");
    text_number(page, "–");
}

static void result_cells(const report *of, html *page, const item *one)
{
    text_amount(page, &of->shown, QUANTITY_FORCE, one->body.weight_N);
    text_amount(page, &of->shown, QUANTITY_LENGTH, one->centroid.x);
    text_amount(page, &of->shown, QUANTITY_LENGTH, one->centroid.y);
    text_amount(page, &of->shown, QUANTITY_MOMENT, one->body.a_Nm);
    text_amount(page, &of->shown, QUANTITY_INERTIA, one->body.inertia_kg_m2);
}

/* The parts and pockets in the order of the account: those of the leaf, then those of a linked counterweight. */
static void all_rows(const report *of, html *page, void (*parts)(const report *, html *, const trn_part *),
                     void (*pockets)(const report *, html *, const trn_pocket *))
{
    const trn_leaf *leaf = of->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    const size_t own = leaf->part_count + leaf->pocket_count;
    for (size_t i = 0; i < of->weighed.count; i++) {
        char number[24];
        (void)snprintf(number, sizeof number, "%zu ", i + 1);
        html_start(page, "tr");
        html_start(page, "th");
        html_attribute(page, "scope", "row");
        html_element(page, "span", "item", number);
        html_name(page, of->weighed.items[i].name);
        html_end(page);
        const size_t k = i < own ? i : i - own;
        const size_t part_count = i < own ? leaf->part_count : linked->part_count;
        const trn_part *first_part = i < own ? leaf->parts : linked->parts;
        const trn_pocket *first_pocket = i < own ? leaf->pockets : linked->pockets;
        if (k < part_count) {
            parts(of, page, &first_part[k]);
        } else {
            pockets(of, page, &first_pocket[k - part_count]);
        }
        html_end(page);
    }
}

static void write_inputs(const report *of, html *page)
{
    static const heading headings[] = {{"Part", "", false}, {"Shape", "", false},
                                       {"Count", "", true}, {"Described weight, in these units", "", true},
                                       {"Width", "", true}, {"Uncertainty", "", true}};
    text_table(page, "What was described", NULL, headings, 6);
    all_rows(of, page, input_cells, pocket_cells);
    text_table_end(page);
}

static void write_results(const report *of, html *page)
{
    const display *shown = &of->shown;
    const heading headings[] = {{"Part", "", false},
                                {"Weight", shown->of[QUANTITY_FORCE].unit, true},
                                {"x", shown->of[QUANTITY_LENGTH].unit, true},
                                {"y", shown->of[QUANTITY_LENGTH].unit, true},
                                {"Closed moment", shown->of[QUANTITY_MOMENT].unit, true},
                                {"Inertia", shown->of[QUANTITY_INERTIA].unit, true}};
    const item whole = {"whole leaf",
                        {.weight_N = of->weighed.balance.weight_N,
                         .a_Nm = of->weighed.balance.closed_moment_Nm,
                         .inertia_kg_m2 = of->weighed.balance.inertia_kg_m2},
                        of->weighed.balance.centre};
    text_table(page, "What each part weighs, and where, closed", NULL, headings, 6);
    for (size_t i = 0; i < of->weighed.count; i++) {
        char number[24];
        (void)snprintf(number, sizeof number, "%zu ", i + 1);
        html_start(page, "tr");
        html_start(page, "th");
        html_attribute(page, "scope", "row");
        html_element(page, "span", "item", number);
        html_name(page, of->weighed.items[i].name);
        html_end(page);
        result_cells(of, page, &of->weighed.items[i]);
        html_end(page);
    }
    html_start(page, "tr");
    html_attribute(page, "class", "sum");
    html_start(page, "th");
    html_attribute(page, "scope", "row");
    html_text(page, whole.name);
    html_end(page);
    result_cells(of, page, &whole);
    html_end(page);
    text_table_end(page);
}

static void summary_row(const report *of, html *page, const char *words, quantity what, double value,
                        const char *remark)
{
    text_row(page, words);
    text_number(page, amount_of(&of->shown, what, value).text);
    text_cell(page, remark);
    html_end(page);
}

static void write_summary(const report *of, html *page)
{
    static const heading headings[] = {{"Whole leaf", "", false}, {"Value", "", true}, {"Meaning", "", false}};
    const trn_balance *balance = &of->weighed.balance;
    text_table(page, "Balance", NULL, headings, 3);
    summary_row(of, page, "weight W", QUANTITY_FORCE, balance->weight_N, "");
    summary_row(of, page, "mass", QUANTITY_MASS, balance->mass_kg, "");
    summary_row(of, page, "closed moment A", QUANTITY_MOMENT, balance->closed_moment_Nm,
                account_tendency(&of->weighed));
    summary_row(of, page, "moment W R", QUANTITY_MOMENT, balance->moment_Nm, "the largest that the imbalance can have");
    summary_row(of, page, "angle α", QUANTITY_ANGLE, balance->angle_rad,
                "of the centre of gravity above the horizontal, closed");
    summary_row(of, page, "toe reaction", QUANTITY_FORCE, balance->toe_reaction_N, "closed, from imbalance alone");
    if (balance->has_neutral_angle) {
        summary_row(of, page, "neutral angle", QUANTITY_ANGLE, balance->neutral_angle_rad,
                    balance->closed_moment_Nm > 0 ? "tends to close below it, to open above it"
                                                  : "tends to open below it, to close above it");
    } else {
        text_row(page, "neutral angle");
        text_number(page, "none");
        text_cell(page, "the moment keeps its sign over the whole travel");
        html_end(page);
    }
    summary_row(of, page, "inertia J", QUANTITY_INERTIA, balance->inertia_kg_m2, "about the trunnion, closed");
    text_table_end(page);
}

static void draw_balance(report *of, html *page)
{
    const curves *all = &of->curves;
    chart drawn = {.id = "chart-balance",
                   .title = "Balance moment over the opening angle",
                   .x_words = "opening angle, degrees",
                   .height = 250,
                   .x = {.low = 0, .high = all->angles.degrees[all->angles.count - 1]}};
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    char words[64];
    double *values = calloc(all->angles.count, sizeof *values);
    if (values == NULL) {
        of->data_failed = 1;
        return;
    }
    (void)snprintf(words, sizeof words, "moment, %s", of->shown.of[QUANTITY_MOMENT].unit);
    drawn.y_words = words;
    for (size_t i = 0; i < all->angles.count; i++) {
        values[i] = curves_of(all, 0)[i].balance_Nm;
    }
    data_series(of, "balance_Nm", values, all->angles.count);
    for (size_t i = 0; i < all->angles.count; i++) {
        values[i] *= factor;
    }
    chart_hold(&drawn.y, values, all->angles.count);
    chart_round(&drawn);
    text_figure(page);
    chart_begin(&drawn, page, "The balance moment M; above zero it tends to close the leaf, below zero to open it.");
    chart_line(&drawn, page, all->angles.degrees, values, all->angles.count, 0, "balance M");
    chart_end(&drawn, page);
    text_caption(page, "Balance moment M(θ). Above zero the leaf tends to close, below zero to open.");
    data_chart(of, &drawn, "angle");
    data_line(of, &drawn, "balance_Nm", factor, 0);
    data_readout(of, "balance_Nm", NULL, QUANTITY_MOMENT, "balance moment, positive closes");
    free(values);
}

void report_weigh(report *of, html *page)
{
    text_section(page, "weigh", "Weight and balance");
    write_summary(of, page);
    if (of->has_curves.there) {
        draw_balance(of, page);
    }
    write_results(of, page);
    write_inputs(of, page);
    if (of->leaf->linked_counterweight != NULL) {
        text_paragraph(page, "The counterweight has a trunnion of its own: its parts count with the share of their "
                             "moment and inertia that the link brings to the closed leaf.");
    }
    write_basis(of, page);
    html_end(page);
}
