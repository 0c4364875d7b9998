/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of ballast: the balance moment over the opening angle, before and after, with the neutral angles. */
#include "angles.h"
#include "ballast.h"
#include "present/plot.h"
#include "trunnion/moments.h"

static double moment_at(const trn_leaf *leaf, double angle_rad)
{
    const trn_loading still = {
        .leaf = leaf,
        .body = trn_leaf_body(leaf),
        .counterweight = leaf->linked_counterweight != NULL ? trn_link_body(leaf->linked_counterweight) : (trn_body){0},
    };
    return trn_loading_balance(&still, angle_rad);
}

static void neutral_point(FILE *script, const char *block, const trn_balance *balance)
{
    (void)fprintf(script, "$%s << EOD\n", block);
    if (balance->has_neutral_angle) {
        (void)fprintf(script, "%.8g 0\n", degrees_of(balance->neutral_angle_rad));
    }
    (void)fputs("EOD\n", script);
}

static void neutral_line(FILE *script, const char *block, const trn_balance *balance, const char *colour, int point)
{
    if (balance->has_neutral_angle) {
        (void)fprintf(script,
                      ", \\\n $%s using 1:2 with points pointtype %d pointsize 1.6 linewidth 2 linecolor rgb '%s' "
                      "title 'neutral %s: %.1f°'",
                      block, point, colour, block, degrees_of(balance->neutral_angle_rad));
    }
}

exit_status ballast_plot(const void *result, FILE *script)
{
    enum { STEPS = 120 };
    const ballast_result *of = result;
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    (void)fputs("$moments << EOD\n", script);
    for (int i = 0; i <= STEPS; i++) {
        const double angle = of->leaf->opens_to_rad * i / STEPS;
        (void)fprintf(script, "%.8g %.8g %.8g\n", degrees_of(angle), moment_at(of->leaf, angle) * factor,
                      moment_at(&of->after, angle) * factor);
    }
    (void)fputs("EOD\n", script);
    neutral_point(script, "before", &of->plan.before);
    neutral_point(script, "after", &of->plan.after);
    (void)fputs("set title ", script);
    plot_string(script, of->leaf->name);
    (void)fprintf(script,
                  ".': balance before and after%s'.additions\nset xlabel 'opening angle, degrees'\n"
                  "set ylabel 'balance moment (+ closes), %s'\nset xrange [0:%.8g]\n"
                  "set key below horizontal maxcols 2\nset bmargin 7.5\n"
                  "plot 0 notitle linecolor rgb '#404040' linewidth 0.8, \\\n"
                  " $moments using 1:2 with lines linestyle 2 dashtype 2 title 'before', \\\n"
                  " $moments using 1:3 with lines linestyle 1 title 'after, %d block%s handled'",
                  of->plan.feasible ? "" : " the nearest moves: not on target", of->shown.of[QUANTITY_MOMENT].unit,
                  degrees_of(of->leaf->opens_to_rad), of->plan.blocks_handled, of->plan.blocks_handled == 1 ? "" : "s");
    neutral_line(script, "before", &of->plan.before, "#1f5fa8", 6);
    neutral_line(script, "after", &of->plan.after, "#101010", 7);
    (void)fputc('\n', script);
    return EXIT_DONE;
}
