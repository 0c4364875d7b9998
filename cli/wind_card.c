/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wind card for the operator's cabin: one page, the limits in large type, the curves beneath. */
#include <math.h>

#include "present/caution.h"
#include "present/plot.h"
#include "wind.h"

/* Rows of the card's text, from the top of the page down, in shares of its height. */
static void text_line(FILE *script, double height, int size, const char *words)
{
    (void)fprintf(script, "set label at screen 0.07, screen %.4f font ',%d' ", height, size);
    plot_string(script, words);
    (void)fputc('\n', script);
}

static double action_lines(const wind_result *of, FILE *script, double height)
{
    char speed[SPEED_TEXT];
    char line[2 * SPEED_TEXT];
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (one->there) {
            text_line(script, height, one->whole ? 15 : 12, one->words);
            (void)snprintf(line, sizeof line, "%s", wind_speed_words(one->lowest.speed_m_s, speed));
            (void)fprintf(script, "set label at screen 0.36, screen %.4f font ',%d' ", height, one->whole ? 15 : 12);
            plot_string(script, line);
            (void)fputc('\n', script);
            height -= one->whole ? 0.030 : 0.024;
        }
    }
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

static void curves(const wind_result *of, FILE *script)
{
    static const int styles[WIND_ACTIONS] = {2, 3, 4, 2, 3, 4};
    static const int marks[WIND_ACTIONS] = {7, 5, 9, 6, 4, 8};
    const double posted = of->leaf->posted_wind_m_s * of->shown.of[QUANTITY_WIND_SPEED].factor;
    const char *separator = "plot ";
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->actions[i].there) {
            (void)fprintf(script,
                          "%s$action%zu using 1:2 with linespoints linestyle %d dashtype %d pointtype %d "
                          "pointinterval %zu title '%s'",
                          separator, i, styles[i], of->actions[i].whole ? 1 : 2, marks[i], of->angles.count / 6 + 1,
                          of->actions[i].words);
            separator = ", \\\n ";
        }
    }
    if (posted > 0) {
        (void)fprintf(script, "%s%.8g with lines linecolor rgb '#101010' linewidth 2 dashtype 4 title 'posted limit'",
                      separator, posted);
    }
    (void)fputc('\n', script);
}

exit_status wind_card(const void *result, FILE *script)
{
    const wind_result *of = result;
    char speed[SPEED_TEXT];
    char line[2 * SPEED_TEXT];
    write_rows(of, script);
    text_line(script, 0.955, 20, "Wind card");
    text_line(script, 0.922, 16, of->leaf->name);
    text_line(script, 0.890, 12, "Highest wind from either side, the lowest over the whole travel:");
    double height = action_lines(of, script, 0.852) - 0.010;
    if (of->actions[0].there) {
        text_line(script, height, 14,
                  wind_comes_down(of) ? "A raised leaf can be brought down in any wind in which it could be raised."
                                      : "CAUTION: a raised leaf may not come down again in the wind that let it rise.");
        height -= 0.030;
    }
    if (of->leaf->posted_wind_m_s > 0) {
        const bool met = wind_lowest_of_all(of) >= of->leaf->posted_wind_m_s;
        (void)snprintf(line, sizeof line, "Posted limit: %s: %s", wind_speed_words(of->leaf->posted_wind_m_s, speed),
                       met ? "within the limits above" : "ABOVE a limit, do not rely on it");
        text_line(script, height, 12, line);
        height -= 0.030;
    }
    text_line(script, 0.055, 9, CAUTION_FIRST);
    text_line(script, 0.037, 9, CAUTION_SECOND);
    (void)fprintf(script,
                  "set lmargin at screen 0.12\nset rmargin at screen 0.95\nset tmargin at screen %.4f\n"
                  "set bmargin at screen 0.20\nset key below horizontal maxcols 2\nset xrange [0:%.8g]\nset yrange [0:*]\n"
                  "set xlabel 'opening angle, degrees'\nset ylabel 'highest wind, %s'\n",
                  height - 0.01, of->angles.degrees[of->angles.count - 1], of->shown.of[QUANTITY_WIND_SPEED].unit);
    curves(of, script);
    return EXIT_DONE;
}
