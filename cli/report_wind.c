/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wind that the leaf can bear: the wind card. */
#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "report.h"
#include "report_text.h"

static void write_basis(html *page)
{
    static const basis rows[] = {
        {"raise, lower", "highest v with |T(v)| ≤ k T_r at every running motor, driving or overhauled",
         "equilibrium; k is given with the limits: from memory in general, check the clause"},
        {"hold", "highest v with C ≥ factor × D(v)", "statics"},
        {"pressure", "p = C ½ ρ v^2", "ρ = 1.25 kg/m³ unless given: recommended in EN 1991-1-4, 4.5"},
        {"up to Beaufort", "the highest number of which every wind lies within the limit",
         "WMO: upper bounds, ten-minute means at 10 m; the limits are those of the gust at the leaf"},
    };
    text_basis(page, rows, sizeof rows / sizeof rows[0]);
}

static void write_inputs(const report *of, html *page)
{
    static const char *const laws[] = {[TRN_WIND_PROJECTED] = "on the vertical projection",
                                       [TRN_WIND_NORMAL] = "square to the surfaces",
                                       [TRN_WIND_INCIDENCE] = "by a table over incidence"};
    const trn_wind_limits *limits = of->leaf->wind_limits;
    text_inputs(page, "Inputs of the limits");
    text_input(page, "pressure acts", "%s", laws[limits->wind.law]);
    text_input(page, "coefficient", "%.4g", limits->wind.coefficient);
    text_input(page, "motors at most", "%.4g times rated", limits->motor_limit);
    text_input(page, "brakes at least", "%.4g times the demand", limits->hold_factor);
    text_input(page, "friction", "%s", limits->friction == TRN_FRICTION_STARTING ? "starting" : "moving");
    html_end(page);
}

static void write_card(const report *of, html *page)
{
    char text[DISPLAY_TEXT];
    heading headings[WIND_UNITS + 2] = {{"To", "", false}};
    for (size_t i = 0; i < WIND_UNITS; i++) {
        headings[i + 1] = (heading){wind_units[i].name, "", true};
    }
    headings[WIND_UNITS + 1] = (heading){"Worst at", of->shown.of[QUANTITY_ANGLE].unit, true};
    text_table(page, "Highest wind from either side, the lowest over the whole travel", NULL, headings, WIND_UNITS + 2);
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->wind.actions[i];
        if (!one->there) {
            continue;
        }
        text_row(page, one->words);
        for (size_t k = 0; k < WIND_UNITS; k++) {
            text_number(page, wind_speed_text(one->lowest.speed_m_s, &wind_units[k], text));
        }
        text_number(page, isfinite(one->lowest.speed_m_s)
                              ? display_text(&of->shown, QUANTITY_ANGLE, one->lowest.angle_rad, text)
                              : "–");
        html_end(page);
    }
    text_table_end(page);
}

static void write_law(const report *of, html *page)
{
    char text[SPEED_TEXT];
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->wind.actions[i];
        if (wind_is_short_of_law(one)) {
            text_note(page, "Caution:",
                      "to %s the motors' law gives less at the travel's speed than %.4g times rated torque: it is "
                      "enough up to %s, at %s.",
                      one->words, of->leaf->wind_limits->motor_limit, wind_speed_words(one->by_law.speed_m_s, text),
                      amount_of(&of->shown, QUANTITY_ANGLE, one->by_law.angle_rad).text);
        }
    }
}

static void write_sentences(const report *of, html *page)
{
    char text[SPEED_TEXT];
    if (of->wind.actions[0].there && of->wind.comes_down) {
        text_paragraph(page, "A leaf that could be raised can be brought down again in the same wind.");
    } else if (of->wind.actions[0].there) {
        text_note(page, "Caution:",
                  "a leaf that was raised may not come down again in the wind that let it rise: on "
                  "the way down lowering fails in less wind.");
    }
    if (of->leaf->posted_wind_m_s > 0) {
        text_paragraph(page, "Posted limit: %s: %s.%s", wind_speed_words(of->leaf->posted_wind_m_s, text),
                       wind_lowest_of_all(&of->wind) >= of->leaf->posted_wind_m_s ? "met with nothing out" : "not met",
                       wind_law_bears_posted(&of->wind) ? "" : " What the motors' law gives is not enough up to it.");
    } else {
        text_paragraph(page, "No posted limit is described ('posted_wind' is missing).");
    }
    text_paragraph(page,
                   "Up to Beaufort: the highest number of which every wind lies within the limit. Beaufort counts "
                   "ten-minute means, the limits are those of the gust itself.");
    text_paragraph(page, "A dash: %.0f m/s does not stop it. 0: calm air already does.", TRN_WIND_HIGHEST);
}

static void write_angles(const report *of, html *page)
{
    heading headings[WIND_ACTIONS + 1] = {{"Angle", of->shown.of[QUANTITY_ANGLE].unit, true}};
    size_t count = 1;
    char text[DISPLAY_TEXT];
    const angle_list *angles = &of->wind.angles;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->wind.actions[i].there) {
            headings[count++] = (heading){of->wind.actions[i].words, of->shown.of[QUANTITY_WIND_SPEED].unit, true};
        }
    }
    text_table(page, "Highest wind, angle by angle", NULL, headings, count);
    for (size_t row = 0; row < angles->count; row++) {
        if (row % (size_t)(REPORT_TABLE_STEP_DEG / REPORT_STEP_DEG) != 0 && row + 1 < angles->count) {
            continue;
        }
        (void)snprintf(text, sizeof text, "%.10g", angles->degrees[row]);
        text_row_number(page, text);
        for (size_t i = 0; i < WIND_ACTIONS; i++) {
            const wind_action *one = &of->wind.actions[i];
            if (one->there) {
                text_number(page, isfinite(one->speeds_m_s[row])
                                      ? display_text(&of->shown, QUANTITY_WIND_SPEED, one->speeds_m_s[row], text)
                                      : "–");
            }
        }
        html_end(page);
    }
    text_table_end(page);
}

/* Some four times the wind that matters; beyond it nobody operates. */
static double top_of_scale(const report *of)
{
    double lowest = HUGE_VAL;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->wind.actions[i].there) {
            lowest = fmin(lowest, of->wind.actions[i].lowest.speed_m_s);
        }
    }
    const double top = 4 * fmax(isfinite(lowest) ? lowest : 0, of->leaf->posted_wind_m_s);
    return (top > 0 ? top : 25) * of->shown.of[QUANTITY_WIND_SPEED].factor;
}

static void draw_limits(report *of, html *page)
{
    const angle_list *angles = &of->wind.angles;
    const double factor = of->shown.of[QUANTITY_WIND_SPEED].factor;
    char words[64];
    chart drawn = {.id = "chart-wind",
                   .title = "Highest wind over the opening angle",
                   .x_words = "opening angle, degrees",
                   .height = 300,
                   .x = {.low = 0, .high = angles->degrees[angles->count - 1]},
                   .y = {.low = 0, .high = top_of_scale(of)}};
    double *values = calloc(angles->count, sizeof *values);
    if (values == NULL) {
        of->data_failed = 1;
        return;
    }
    (void)snprintf(words, sizeof words, "highest wind, %s", of->shown.of[QUANTITY_WIND_SPEED].unit);
    drawn.y_words = words;
    chart_round(&drawn);
    text_figure(page);
    chart_begin(&drawn, page,
                "The highest wind at which the leaf can be raised, lowered and held, with nothing out "
                "and with one motor or one brake out. The table has the numbers.");
    data_chart(of, &drawn, "angle");
    if (of->leaf->posted_wind_m_s > 0) {
        chart_level(&drawn, page, of->leaf->posted_wind_m_s * factor, "posted limit");
    }
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->wind.actions[i];
        char name[SERIES_NAME];
        if (!one->there) {
            continue;
        }
        (void)snprintf(name, sizeof name, "wind %s speed_m_s", one->words);
        data_series(of, name, one->speeds_m_s, angles->count);
        for (size_t k = 0; k < angles->count; k++) {
            values[k] = one->speeds_m_s[k] * factor;
        }
        chart_line(&drawn, page, angles->degrees, values, angles->count, (int)i, one->words);
        data_line(of, &drawn, name, factor, (int)i);
    }
    chart_end(&drawn, page);
    text_caption(page, "Highest wind at the leaf, angle by angle; lines end where they leave the scale.");
    free(values);
}

void report_wind(report *of, html *page)
{
    text_section(page, "wind", "Wind card");
    if (!of->has_wind.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_wind.missing);
        html_end(page);
        return;
    }
    write_card(of, page);
    write_law(of, page);
    write_sentences(of, page);
    draw_limits(of, page);
    write_angles(of, page);
    write_inputs(of, page);
    write_basis(page);
    html_end(page);
}
