/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wind card for the operator's cabin: one page, the limits in large type, the curves beneath. */
#include <math.h>

#include "present/caution.h"
#include "present/plot.h"
#include "wind.h"

#define COMES_DOWN_NOT "CAUTION: a raised leaf may not come down in the wind that let it rise."

/* A line of the card's text, its height a share of the page from below. */
static void text_at(FILE *script, double left, double height, int size, const char *alignment, const char *words)
{
    (void)fprintf(script, "set label at screen %.4f, screen %.4f %s font ',%d' ", left, height, alignment, size);
    plot_short_string(script, words, 140);
    (void)fputc('\n', script);
}

static void text_line(FILE *script, double height, int size, const char *words)
{
    text_at(script, 0.07, height, size, "left", words);
}

/* The last has the widest heading. */
static double column_of(size_t unit)
{
    return unit + 1 < WIND_UNITS ? 0.40 + 0.108 * (double)unit : 0.94;
}

static void name_line(const wind_result *of, FILE *script)
{
    (void)fputs("set label at screen 0.07, screen 0.922 left font ',16' ", script);
    plot_short_string(script, of->leaf->name, 46);
    (void)fputc('\n', script);
}

/* What a dash in the table says, where there is one. */
static void dash_line(const wind_result *of, FILE *script)
{
    char line[80];
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->actions[i].there && !isfinite(of->actions[i].lowest.speed_m_s)) {
            (void)snprintf(line, sizeof line, "A dash: %.0f m/s does not stop it.", TRN_WIND_HIGHEST);
            text_at(script, 0.07, 0.875, 9, "left", line);
            return;
        }
    }
}

/* The limits as a table; returns the height beneath it. */
static double action_lines(const wind_result *of, FILE *script, double height)
{
    char speed[DISPLAY_TEXT];
    for (size_t k = 0; k < WIND_UNITS; k++) {
        text_at(script, column_of(k), height, 11, "right", wind_units[k].name);
    }
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (!one->there) {
            continue;
        }
        const int size = one->whole ? 17 : 12;
        height -= one->whole ? 0.032 : 0.026;
        text_line(script, height, size, one->words);
        for (size_t k = 0; k < WIND_UNITS; k++) {
            text_at(script, column_of(k), height, size, "right",
                    wind_speed_text(one->lowest.speed_m_s, &wind_units[k], speed));
        }
    }
    return height - 0.042;
}

/* Where the motors cannot give what the limits take for granted; returns the height beneath. */
static double law_lines(const wind_result *of, FILE *script, double height)
{
    char speed[SPEED_TEXT];
    char line[SPEED_TEXT + 80];
    const double top = height;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (wind_is_short_of_law(one)) {
            if (height >= top) {
                text_line(script, height, 11, "What the motors give is enough only up to:");
                height -= 0.022;
            }
            (void)snprintf(line, sizeof line, "to %s: %s", one->words, wind_speed_words(one->by_law.speed_m_s, speed));
            text_line(script, height, 11, line);
            height -= 0.022;
        }
    }
    height -= height < top ? 0.012 : 0;
    return height;
}

static void write_rows(const wind_result *of, FILE *script)
{
    const double factor = of->shown.of[QUANTITY_WIND_SPEED].factor;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (!one->there) {
            continue;
        }
        (void)fprintf(script, "$action%zu << EOD\n", i);
        for (size_t k = 0; k < of->angles.count; k++) {
            if (isfinite(one->speeds_m_s[k])) {
                (void)fprintf(script, "%.8g %.8g\n", of->angles.degrees[k], one->speeds_m_s[k] * factor);
            } else {
                (void)fputs("\n", script);
            }
        }
        (void)fputs("EOD\n", script);
    }
}

/* Whether any angle has a limit: a curve without a point is none. */
static bool has_curve(const wind_result *of, const wind_action *one)
{
    for (size_t k = 0; k < of->angles.count && one->there; k++) {
        if (isfinite(one->speeds_m_s[k])) {
            return true;
        }
    }
    return false;
}

static void curves(const wind_result *of, FILE *script)
{
    static const int styles[WIND_ACTIONS] = {2, 3, 4, 2, 3, 4};
    static const int marks[WIND_ACTIONS] = {7, 5, 9, 6, 4, 8};
    const double posted = of->leaf->posted_wind_m_s * of->shown.of[QUANTITY_WIND_SPEED].factor;
    const char *separator = "plot ";
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (has_curve(of, &of->actions[i])) {
            (void)fprintf(script,
                          "%s$action%zu using 1:2 with linespoints linestyle %d dashtype %d pointtype %d "
                          "pointinterval %zu title '%s'",
                          separator, i, styles[i], of->actions[i].whole ? 1 : 2, marks[i], of->angles.count / 6 + 1,
                          of->actions[i].words);
            separator = ", \\\n ";
        }
    }
    if (posted > 0 || separator[0] == 'p') {
        (void)fprintf(script, "%s%.8g with lines linecolor rgb '#101010' linewidth 2 dashtype 4 title '%s'", separator,
                      posted, posted > 0 ? "posted limit" : "nothing limits the wind");
    }
    (void)fputc('\n', script);
}

/* The words under the limits; returns the height beneath them. */
static double verdict_lines(const wind_result *of, FILE *script, double height)
{
    char speed[SPEED_TEXT];
    char line[SPEED_TEXT + 80];
    if (of->actions[0].there) {
        text_line(script, height, 13,
                  of->comes_down ? "A raised leaf can be brought down in any wind in which it could be raised."
                                 : COMES_DOWN_NOT);
        height -= 0.030;
    }
    if (of->leaf->posted_wind_m_s > 0) {
        const bool met = wind_lowest_of_all(of) >= of->leaf->posted_wind_m_s;
        (void)snprintf(line, sizeof line, "Posted limit: %s", wind_speed_words(of->leaf->posted_wind_m_s, speed));
        text_line(script, height, 12, line);
        text_line(script, height - 0.024, 12,
                  met && wind_law_bears_posted(of) ? "It lies within the limits above, with nothing out."
                                                   : "It lies ABOVE a limit: do not rely on it.");
        height -= 0.054;
    }
    return height;
}

/* What the limits rest on; returns the height beneath. */
static double assumption_line(const wind_result *of, FILE *script, double height)
{
    static const char *const laws[] = {[TRN_WIND_PROJECTED] = "on the vertical projection",
                                       [TRN_WIND_NORMAL] = "square to the surfaces",
                                       [TRN_WIND_INCIDENCE] = "by a table over incidence"};
    const trn_wind_limits *limits = of->leaf->wind_limits;
    char line[200];
    (void)snprintf(line, sizeof line, "Speeds are of the gust at the leaf. Pressure %s, coefficient %.3g;",
                   laws[limits->wind.law], limits->wind.coefficient);
    text_line(script, height, 9, line);
    (void)snprintf(line, sizeof line, "motors at most %.3g × rated, brakes at least %.3g × demand.",
                   limits->motor_limit, limits->hold_factor);
    text_line(script, height - 0.016, 9, line);
    return height - 0.040;
}

/* Some four times the wind that matters; beyond it nobody operates. */
static const char *top_of_scale(const wind_result *of, char text[DISPLAY_TEXT])
{
    double lowest = HUGE_VAL;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->actions[i].there) {
            lowest = fmin(lowest, of->actions[i].lowest.speed_m_s);
        }
    }
    const double top = 4 * fmax(isfinite(lowest) ? lowest : 0, of->leaf->posted_wind_m_s);
    (void)snprintf(text, DISPLAY_TEXT, "%.3g", (top > 0 ? top : 25) * of->shown.of[QUANTITY_WIND_SPEED].factor);
    return text;
}

/* Letters have no room for the card's lines, which the table tells as well: the curves below the graver words. */
static void card_of_letters(const wind_result *of, FILE *script)
{
    (void)fputs("if (letters) unset label; set lmargin; set rmargin; set tmargin; set bmargin; "
                "set key below horizontal maxcols 2; set title ",
                script);
    plot_short_string(script, of->leaf->name, 46);
    (void)fputs(".additions", script);
    if (of->actions[0].there && !of->comes_down) {
        (void)fputs(".\"\\n" COMES_DOWN_NOT "\"", script);
    }
    (void)fputc('\n', script);
}

exit_status wind_card(const void *result, FILE *script)
{
    const wind_result *of = result;
    char top[DISPLAY_TEXT];
    write_rows(of, script);
    /* The card has the caution in full. */
    (void)fputs("unset label 999\n", script);
    text_line(script, 0.955, 20, "Wind card");
    name_line(of, script);
    text_line(script, 0.892, 12, "Highest wind from either side, the lowest over the whole travel");
    dash_line(of, script);
    const double beneath = law_lines(of, script, action_lines(of, script, 0.858));
    const double height = assumption_line(of, script, verdict_lines(of, script, beneath));
    text_line(script, 0.055, 9, CAUTION_FIRST);
    text_line(script, 0.037, 9, CAUTION_SECOND);
    (void)fprintf(script,
                  "set label substr(additions, 2, strlen(additions)) at screen 0.07, screen %.4f left font ',9'\n"
                  "set lmargin at screen 0.12\nset rmargin at screen 0.95\n"
                  "set tmargin at screen %.4f - 0.016 * addition_lines\n"
                  "set bmargin at screen 0.215\nset key at screen 0.5, screen 0.155 center top horizontal maxcols 3\n"
                  "set xrange [0:%.8g]\nset yrange [0:%s]\n"
                  "set xlabel 'opening angle, degrees'\nset ylabel 'highest wind, %s'\n",
                  height + 0.008, height, of->angles.degrees[of->angles.count - 1], top_of_scale(of, top),
                  of->shown.of[QUANTITY_WIND_SPEED].unit);
    card_of_letters(of, script);
    curves(of, script);
    return EXIT_DONE;
}
