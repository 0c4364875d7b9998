/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of spread: for each case a fan of the demands, and a tornado of what its governing quantity hangs on. */
#include <math.h>
#include <stdlib.h>

#include "message.h"
#include "present/plot.h"
#include "spread.h"

/* Bars of a tornado. */
enum { BARS = 10 };

/* 1 angle; of opening 2 to 5: 5, 50, 95 per cent and the limit; the same of closing 6 to 9; first order 10 to 13. */
static void fan_data(const spread_result *of, size_t index, FILE *script)
{
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    const size_t count = of->angles.count;
    (void)fprintf(script, "$fan%zu << EOD\n", index);
    for (size_t i = 0; i < count; i++) {
        (void)fprintf(script, "%.8g", of->angles.degrees[i]);
        for (size_t side = 0; side < 2; side++) {
            const trn_spread_row *row = &of->run->cases[index].rows[i + side * count];
            (void)fprintf(script, " %.8g %.8g %.8g %.8g", row->demand_Nm.p05 * factor, row->demand_Nm.p50 * factor,
                          row->demand_Nm.p95 * factor, row->limit_Nm * factor);
        }
        for (size_t side = 0; side < 2; side++) {
            const trn_spread_row *row = &of->run->cases[index].rows[i + side * count];
            const double reach = 1.6448536269514722 * row->first_sd_Nm;
            (void)fprintf(script, " %.8g %.8g", (row->first_mean_Nm - reach) * factor,
                          (row->first_mean_Nm + reach) * factor);
        }
        (void)fputc('\n', script);
    }
    (void)fputs("EOD\n", script);
}

/* 1 place from below, 2 and 3 the changes from what is expected. */
static size_t tornado_data(const spread_result *of, size_t index, const spread_share *order, FILE *script)
{
    const trn_spread_case *about = &of->run->cases[index];
    const double factor = about->has_limit ? 100 : of->shown.of[QUANTITY_MOMENT].factor;
    const size_t count = of->run->variable_count < BARS ? of->run->variable_count : BARS;
    (void)fprintf(script, "$tornado%zu << EOD\n", index);
    for (size_t i = 0; i < count; i++) {
        const trn_spread_effect *effect = &about->effects[order[i].variable];
        (void)fprintf(script, "%zu %.8g %.8g\n", count - i, (effect->low - about->governing_value) * factor,
                      (effect->high - about->governing_value) * factor);
    }
    (void)fputs("EOD\n", script);
    return count;
}

/* One legend stands for all: under the last panels. */
static bool is_last(const spread_result *of, size_t index)
{
    return index + 1 == of->run->case_count;
}

static void fan_panel(const spread_result *of, size_t index, FILE *script)
{
    const trn_spread_case *about = &of->run->cases[index];
    (void)fputs("set title ", script);
    plot_short_string(script, index == 0 ? of->leaf->name : "", 26);
    (void)fputs(index == 0 ? ".': '." : ".", script);
    plot_short_string(script, about->name, 23);
    (void)fprintf(
        script,
        "%s\nset xlabel 'opening angle, degrees'\nset ylabel 'demand at the leaf, %s'\nset xrange [0:%.8g]\n"
        "set yrange [*:*]\nset xtics auto\nset ytics auto font ',12'\n%s\n"
        "plot $fan%zu using 1:2:4 with filledcurves linecolor rgb '#1f5fa8' fillstyle transparent solid 0.3 "
        "noborder title 'opening, 5 to 95 %%', \\\n"
        " $fan%zu using 1:6:8 with filledcurves linecolor rgb '#c2571a' fillstyle transparent solid 0.3 "
        "noborder title 'closing, 5 to 95 %%', \\\n"
        " $fan%zu using 1:3 with lines linestyle 2 title 'opening, 50 %%', \\\n"
        " $fan%zu using 1:7 with lines linestyle 3 title 'closing, 50 %%', \\\n"
        " for [c=10:13] $fan%zu using 1:c with lines linecolor rgb '#101010' linewidth 0.8 dashtype 3 "
        "title (c == 10 ? 'first order, 5 and 95 %%' : ''), \\\n",
        index == 0 ? ".additions" : "", of->shown.of[QUANTITY_MOMENT].unit, of->angles.degrees[of->angles.count - 1],
        is_last(of, index) ? "set key at screen 0.27, screen key_at top center vertical maxcols auto maxrows 3 "
                             "samplen 2 width 0"
                           : "unset key",
        index, index, index, index, index);
    if (about->has_limit) {
        (void)fprintf(script, " $fan%zu using 1:5 with lines linestyle 1 dashtype 4 title 'allowed', \\\n", index);
    }
    (void)fputs(" 0 notitle linecolor rgb '#404040' linewidth 0.8\n", script);
}

static void tornado_panel(const spread_result *of, size_t index, const spread_share *order, size_t bars, FILE *script)
{
    const trn_spread_case *about = &of->run->cases[index];
    const double expected = about->governing_value * (about->has_limit ? 100 : of->shown.of[QUANTITY_MOMENT].factor);
    const char *unit = about->has_limit ? "% of allowed" : of->shown.of[QUANTITY_MOMENT].unit;
    (void)fprintf(script, "set title 'what matters, %s at %.4g°'\nset xlabel 'change from %.4g %s'\n",
                  spread_direction(about->rows[about->governing].direction),
                  of->angles.degrees[about->governing % of->angles.count], expected, unit);
    (void)fprintf(script, "%s\n",
                  is_last(of, index) ? "set key at screen 0.8, screen key_at top center vertical maxcols auto "
                                       "maxrows 2 samplen 2"
                                     : "unset key");
    (void)fprintf(script, "unset ylabel\nset yrange [0.4:%zu.6]\nset xrange [*:*]\nset ytics scale 0 font ',9' (",
                  bars);
    for (size_t i = 0; i < bars; i++) {
        (void)fputs(i == 0 ? "" : ", ", script);
        plot_tic_string(script, of->run->variables[order[i].variable], 36);
        (void)fprintf(script, " %zu", bars - i);
    }
    (void)fprintf(
        script,
        ")\nplot $tornado%zu using (0):1:(0):2:($1-0.36):($1+0.36) with boxxyerror linecolor rgb '#1f5fa8' "
        "fillstyle solid 0.85 noborder title 'at its 5 %%', \\\n"
        " $tornado%zu using (0):1:(0):3:($1-0.36):($1+0.36) with boxxyerror linecolor rgb '#c2571a' fillstyle "
        "pattern 4 border title 'at its 95 %%'\n",
        index, index);
}

/* Each holding: the demand from 5 to 95 per cent, its middle, and what the brakes may be asked to hold. */
static void holding_panel(const spread_result *of, FILE *script)
{
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    const size_t count = of->run->holding_count;
    (void)fputs("$holdings << EOD\n", script);
    for (size_t i = 0; i < count; i++) {
        const trn_spread_holding *one = &of->run->holdings[i];
        (void)fprintf(script, "%zu %.8g %.8g %.8g %.8g\n", count - i, one->demand_Nm.p05 * factor,
                      one->demand_Nm.p50 * factor, one->demand_Nm.p95 * factor,
                      one->capacity_Nm / one->required * factor);
    }
    (void)fprintf(
        script,
        "EOD\nset title 'holding: the demand at the worst angle'\nset xlabel '%s'\nunset ylabel\n"
        "set xrange [0:*]\nset yrange [0.4:%zu.6]\n"
        "set key outside right center vertical maxcols 1 maxrows auto samplen 2\nset ytics scale 0 font ',9' (",
        of->shown.of[QUANTITY_MOMENT].unit, count);
    for (size_t i = 0; i < count; i++) {
        (void)fputs(i == 0 ? "" : ", ", script);
        plot_tic_string(script, of->run->holdings[i].name, 10);
        (void)fprintf(script, " %zu", count - i);
    }
    (void)fputs(")\nplot $holdings using 3:1:2:4:($1-0.3):($1+0.3) with boxxyerror linecolor rgb '#1f5fa8' fillstyle "
                "transparent solid 0.3 noborder title 'demand, 5 to 95 %', \\\n"
                " $holdings using 3:1 with points pointtype 7 linecolor rgb '#1f5fa8' title 'demand, 50 %', \\\n"
                " $holdings using 5:1:(0):(0.36) with vectors nohead linecolor rgb '#101010' linewidth 2 title "
                "'capacity over required factor', \\\n"
                " $holdings using 5:1:(0):(-0.36) with vectors nohead linecolor rgb '#101010' linewidth 2 notitle\n",
                script);
}

exit_status spread_plot(const void *result, FILE *script)
{
    const spread_result *of = result;
    spread_share *order = calloc(of->run->variable_count, sizeof *order);
    if (order == NULL) {
        return fail_memory();
    }
    const double height = spread_height(of->run);
    (void)fprintf(
        script, "set multiplot layout %zu, 2 margins 0.095, 0.98, %.4f, %.4f spacing 0.25, %.4f\nkey_at = %.4f\n",
        of->run->case_count + (of->run->holding_count > 0), 148 / height, 1 - 42 / height, 124 / height, 80 / height);
    for (size_t i = 0; i < of->run->case_count; i++) {
        spread_order(of, &of->run->cases[i], order);
        fan_data(of, i, script);
        const size_t bars = tornado_data(of, i, order, script);
        fan_panel(of, i, script);
        (void)fputs("unset label\n", script); /* the caution stands there once */
        tornado_panel(of, i, order, bars, script);
    }
    if (of->run->holding_count > 0) {
        holding_panel(of, script);
    }
    (void)fputs("unset multiplot\n", script);
    free(order);
    return EXIT_DONE;
}
