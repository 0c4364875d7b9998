/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the brakes hold and stop the leaf. */
#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "cycle_words.h"
#include "report.h"
#include "report_text.h"

static void write_basis(html *page)
{
    static const basis rows[] = {
        {"demand", "D = max |M + M_{wind} + M_{ice}|, wind from either side", "statics, no friction unless credited"},
        {"capacity", "C = Σ T_b i_b, no gear loss credited", "statics"},
        {"factor", "C / D ≥ required",
         "factors of 1.0 to 1.5 are common in movable-bridge codes: from memory, check the clause"},
        {"stop", "J θ″ + J′ θ′^2/2 = − M ∓ F ∓ brakes, torque ramping after its delay",
         "equation of motion, Runge-Kutta of fourth order"},
        {"heat", "Q = ∫ T_b ω_b dt, in one brake", "energy"},
    };
    text_basis(page, rows, sizeof rows / sizeof rows[0]);
}

static void write_inputs(const report *of, html *page)
{
    const display *shown = &of->shown;
    const heading headings[] = {{"Brakes", "", false},
                                {"Count", "", true},
                                {"Torque of one", shown->of[QUANTITY_TORQUE].unit, true},
                                {"Turns per leaf turn", "", true},
                                {"Delay", "s", true},
                                {"Sets in", "s", true},
                                {"Capacity at the leaf", shown->of[QUANTITY_MOMENT].unit, true}};
    text_table(page, "Brakes described", NULL, headings, 7);
    for (size_t i = 0; i < of->leaf->brake_count; i++) {
        const trn_brake *one = &of->leaf->brakes[i];
        char text[DISPLAY_TEXT];
        text_row_named(page, one->name);
        (void)snprintf(text, sizeof text, "%d", one->count);
        text_number(page, text);
        text_amount(page, shown, QUANTITY_TORQUE, one->torque_Nm);
        (void)snprintf(text, sizeof text, "%.6g", one->ratio);
        text_number(page, text);
        text_amount(page, shown, QUANTITY_TIME, one->delay_s);
        text_amount(page, shown, QUANTITY_TIME, one->set_time_s);
        text_amount(page, shown, QUANTITY_MOMENT, one->count * one->torque_Nm * one->ratio);
        html_end(page);
    }
    text_table_end(page);
}

static void write_holdings(const report *of, html *page)
{
    const display *shown = &of->shown;
    const heading headings[] = {{"Holding", "", false},
                                {"Wind", shown->of[QUANTITY_PRESSURE].unit, true},
                                {"Ice", shown->of[QUANTITY_PRESSURE].unit, true},
                                {"Worst angle", shown->of[QUANTITY_ANGLE].unit, true},
                                {"Demand", shown->of[QUANTITY_MOMENT].unit, true},
                                {"Capacity", shown->of[QUANTITY_MOMENT].unit, true},
                                {"Factor", "", true},
                                {"One brake out", "", true},
                                {"Required", "", true},
                                {"Verdict", "", false}};
    char text[DISPLAY_TEXT];
    text_table(page, "Holding the leaf at rest", NULL, headings, 10);
    for (size_t i = 0; i < of->brakes.count; i++) {
        const trn_holding *holding = &of->brakes.holdings[i];
        const trn_holding_rating *one = &of->brakes.ratings[i];
        text_row_named(page, holding->name);
        text_amount(page, shown, QUANTITY_PRESSURE, trn_wind_pressure(&holding->wind));
        text_amount(page, shown, QUANTITY_PRESSURE, holding->ice_N_m2);
        text_amount(page, shown, QUANTITY_ANGLE, one->worst_angle_rad);
        text_amount(page, shown, QUANTITY_MOMENT, one->demand_Nm);
        text_amount(page, shown, QUANTITY_MOMENT, one->capacity_Nm);
        text_number(page, brake_factor_text(one->factor, text));
        text_number(page, brake_factor_text(one->factor_one_out, text));
        text_number(page, brake_factor_text(one->required, text));
        text_verdict(page, one->met);
        html_end(page);
    }
    text_table_end(page);
}

/* The demand of each holding times its factor, under the capacities. */
static void draw_demands(report *of, html *page)
{
    const brake_result *brakes = &of->brakes;
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    const size_t count = brakes->angles.count;
    const double capacities[2] = {trn_brake_capacity(of->leaf) * factor,
                                  (trn_brake_capacity(of->leaf) - trn_brake_strongest(of->leaf)) * factor};
    char words[64];
    chart drawn = {.id = "chart-brakes",
                   .title = "What the brakes must hold over the opening angle",
                   .x_words = "opening angle, degrees",
                   .height = 300,
                   .x = {.low = 0, .high = brakes->angles.degrees[count - 1]}};
    double *values = calloc(brakes->count * count, sizeof *values);
    if (values == NULL) {
        of->data_failed = 1;
        return;
    }
    (void)snprintf(words, sizeof words, "demand × required, %s", of->shown.of[QUANTITY_MOMENT].unit);
    drawn.y_words = words;
    for (size_t i = 0; i < brakes->count; i++) {
        double *line = values + i * count;
        char name[SERIES_NAME];
        for (size_t k = 0; k < count; k++) {
            line[k] = brakes->demands_Nm[i * count + k] * brakes->holdings[i].factor;
        }
        (void)snprintf(name, sizeof name, "holding %zu required_Nm", i);
        data_series(of, name, line, count);
        for (size_t k = 0; k < count; k++) {
            line[k] *= factor;
        }
    }
    chart_hold(&drawn.y, values, brakes->count * count);
    chart_hold(&drawn.y, capacities, 2);
    chart_round(&drawn);
    text_figure(page);
    chart_begin(&drawn, page,
                "The demand of each holding times its required factor; where a line rises above the "
                "capacity, the brakes do not hold as required.");
    data_chart(of, &drawn, "angle");
    chart_level(&drawn, page, capacities[0], "capacity");
    chart_level(&drawn, page, capacities[1], "strongest out");
    for (size_t i = 0; i < brakes->count; i++) {
        char name[SERIES_NAME];
        (void)snprintf(name, sizeof name, "holding %zu required_Nm", i);
        chart_line(&drawn, page, brakes->angles.degrees, values + i * count, count, (int)(i % CHART_STYLES),
                   brakes->holdings[i].name);
        data_line(of, &drawn, name, factor, (int)(i % CHART_STYLES));
    }
    chart_end(&drawn, page);
    text_caption(page, "Demand of each holding, times its required factor, against the capacity of all brakes and of "
                       "all but the strongest one.");
    free(values);
}

static void write_heats(const report *of, html *page)
{
    html_start(page, "ul");
    for (size_t i = 0; i < of->leaf->brake_count; i++) {
        html_start(page, "li");
        html_text(page, "heat in each of ");
        html_name(page, of->leaf->brakes[i].name);
        html_text_f(page, ": %s", amount_of(&of->shown, QUANTITY_HEAT, of->brakes.heats_J[i]).text);
        if (of->leaf->brakes[i].heat_capacity_J_K > 0) {
            html_text_f(page, ", %.3g %s hotter",
                        brake_temperature_rise(&of->brakes, i) * of->shown.of[QUANTITY_WARMING].factor,
                        of->shown.of[QUANTITY_WARMING].unit);
        }
        html_end(page);
    }
    html_end(page);
}

static void write_stop(const report *of, html *page)
{
    const trn_stop *stop = &of->brakes.stop;
    text_heading(page, "h3", "Emergency stop", NULL);
    if (!of->brakes.has_stop) {
        text_note(page, "Not computed:", "the description lacks 'travel'.");
        return;
    }
    if (!brake_stops(stop)) {
        text_note(page, "Not met:",
                  "in still air, from %s while %s at full speed, the brakes do not stop the leaf "
                  "within its travel.",
                  amount_of(&of->shown, QUANTITY_ANGLE, stop->from_angle_rad).text, direction_words[stop->direction]);
        return;
    }
    text_paragraph(page,
                   "In still air, from %s while %s at full speed, the stop with the longest run: at rest after %.3f s "
                   "and %.3f°, with a peak deceleration of %.3f °/s².",
                   amount_of(&of->shown, QUANTITY_ANGLE, stop->from_angle_rad).text, direction_words[stop->direction],
                   stop->time_s, degrees_of(stop->run_rad), degrees_of(stop->peak_deceleration_rad_s2));
    write_heats(of, page);
}

static void note_of_strut(const report *of, html *page)
{
    if (of->leaf->drive != NULL && of->leaf->drive->kind == TRN_DRIVE_STRUT) {
        text_note(page, "Note:",
                  "a strut's ratio changes over the travel, that of a brake in the description does "
                  "not: give a brake on its shafts the least one.");
    }
}

void report_brakes(report *of, html *page)
{
    text_section(page, "brakes", "Brakes");
    if (!of->has_brakes.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_brakes.missing);
        html_end(page);
        return;
    }
    draw_demands(of, page);
    write_holdings(of, page);
    write_stop(of, page);
    text_note(page, "Caution:",
              "brake adequacy is not proved by a holding calculation alone. What presses the closed "
              "leaf onto its shoes is counted as a demand nevertheless. One brake out is told for "
              "information.");
    note_of_strut(of, page);
    write_inputs(of, page);
    write_basis(page);
    html_end(page);
}
