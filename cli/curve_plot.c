/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of curve: the components of one case over the motor torque of all cases. */
#include <math.h>

#include "curve.h"
#include "present/plot.h"
#include "trunnion/motor.h"

static double scale_of(const curves *of, quantity what)
{
    return of->shown.of[what].factor;
}

/* The columns of a data block: 1 angle, 2 balance, 3 and 4 wind, 5 ice, 6 and
   7 friction, 8 inertia, 9 and 10 demand, 11 and 12 motor. */
static void write_data(const curves *of, FILE *script)
{
    const double moment = scale_of(of, QUANTITY_MOMENT);
    const double torque = scale_of(of, QUANTITY_TORQUE);
    for (size_t k = 0; k < of->case_count; k++) {
        const trn_moments *rows = curves_of(of, k);
        (void)fprintf(script, "$case%zu << EOD\n", k);
        for (size_t i = 0; i < of->angles.count; i++) {
            const trn_moments *m = &rows[i];
            (void)fprintf(script, "%.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g\n",
                          of->angles.degrees[i], m->balance_Nm * moment, m->wind_opening_Nm * moment,
                          m->wind_closing_Nm * moment, m->ice_Nm * moment, m->friction_opening_Nm * moment,
                          m->friction_closing_Nm * moment, m->inertia_Nm * moment, m->opening_Nm * moment,
                          m->closing_Nm * moment, m->motor_opening_Nm * torque, m->motor_closing_Nm * torque);
        }
        (void)fputs("EOD\n", script);
    }
}

static double largest_demand(const trn_moments *rows, size_t count)
{
    double largest = 0;
    for (size_t i = 0; i < count; i++) {
        largest = fmax(largest, fmax(fabs(rows[i].opening_Nm), fabs(rows[i].closing_Nm)));
    }
    return largest;
}

/* The case that asks most of the drive is the one whose components are worth seeing. */
static size_t hardest_case(const curves *of)
{
    size_t hardest = 0;
    for (size_t k = 1; k < of->case_count; k++) {
        if (largest_demand(curves_of(of, k), of->angles.count) >
            largest_demand(curves_of(of, hardest), of->angles.count)) {
            hardest = k;
        }
    }
    return hardest;
}

static void panel_heading(FILE *script, const char *title, const char *case_name, const char *ylabel, const char *unit)
{
    (void)fputs("set title ", script);
    plot_string(script, title);
    if (case_name != NULL) {
        (void)fputs(".\"  —  case \".", script);
        plot_short_string(script, case_name, 40);
    }
    (void)fprintf(script, "\nset xlabel 'opening angle, degrees'\nset ylabel '%s, %s'\n", ylabel, unit);
}

static void components_panel(const curves *of, FILE *script)
{
    static const struct {
        int column;
        int style;
        int dash;
        const char *title;
        size_t offset;
    } lines[] = {
        {2, 2, 1, "balance (+ closes)", offsetof(trn_moments, balance_Nm)},
        {3, 3, 1, "wind, opening (+ closes)", offsetof(trn_moments, wind_opening_Nm)},
        {4, 3, 2, "wind, closing (+ closes)", offsetof(trn_moments, wind_closing_Nm)},
        {5, 7, 4, "ice (+ closes)", offsetof(trn_moments, ice_Nm)},
        {6, 4, 1, "friction, opening", offsetof(trn_moments, friction_opening_Nm)},
        {7, 4, 2, "friction, closing", offsetof(trn_moments, friction_closing_Nm)},
        {8, 5, 4, "inertia", offsetof(trn_moments, inertia_Nm)},
    };
    const size_t k = hardest_case(of);
    const trn_moments *rows = curves_of(of, k);
    panel_heading(script, of->leaf->name, of->cases[k].name, "moment", of->shown.of[QUANTITY_MOMENT].unit);
    (void)fputs("plot 0 notitle linecolor rgb '#404040' linewidth 0.8", script);
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        double largest = 0;
        for (size_t row = 0; row < of->angles.count; row++) {
            largest = fmax(largest, fabs(*(const double *)((const char *)&rows[row] + lines[i].offset)));
        }
        if (largest > 0) {
            (void)fprintf(script, ", \\\n $case%zu using 1:%d with lines linestyle %d dashtype %d title '%s'", k,
                          lines[i].column, lines[i].style, lines[i].dash, lines[i].title);
        }
    }
    (void)fprintf(script,
                  ", \\\n $case%zu using 1:9 with lines linestyle 1 title 'opening demand: the sum'"
                  ", \\\n $case%zu using 1:10 with lines linestyle 1 dashtype 2 title 'closing demand: the sum'\n",
                  k, k);
}

/* One level line, and its twin below zero where a curve comes near it. */
static void level_line(FILE *script, double level, const char *title, int dash, bool below)
{
    (void)fprintf(script, ", \\\n %.8g with lines linecolor rgb '#606060' linewidth 1.6 dashtype %d title '%s'", level,
                  dash, title);
    if (below) {
        (void)fprintf(script, ", \\\n %.8g with lines linecolor rgb '#606060' linewidth 1.6 dashtype %d notitle", -level,
                      dash);
    }
}

static bool comes_below(const curves *of, double level_Nm)
{
    for (size_t i = 0; i < of->case_count * of->angles.count; i++) {
        if (of->rows[i].motor_opening_Nm < level_Nm || of->rows[i].motor_closing_Nm < level_Nm) {
            return true;
        }
    }
    return false;
}

static bool limit_seen_before(const curves *of, size_t case_index)
{
    for (size_t k = 0; k < case_index; k++) {
        if (!(fabs(of->cases[k].motor_limit - of->cases[case_index].motor_limit) > 1e-12)) {
            return true;
        }
    }
    return false;
}

static void limit_lines(const curves *of, FILE *script)
{
    const double rated_Nm = trn_motor_rated_torque(of->leaf->motors);
    const double rated = rated_Nm * scale_of(of, QUANTITY_TORQUE);
    const bool below = comes_below(of, -0.5 * rated_Nm);
    char title[40];
    level_line(script, rated, "rated torque", 4, below);
    for (size_t k = 0; k < of->case_count; k++) {
        const double limit = of->cases[k].motor_limit;
        if (fabs(limit - 1) > 1e-12 && !limit_seen_before(of, k)) {
            (void)snprintf(title, sizeof title, "allowed: %.4g × rated", limit);
            level_line(script, limit * rated, title, 3, below);
        }
    }
}

static void motor_panel(const curves *of, FILE *script)
{
    panel_heading(script, "motor torque, each running motor", NULL, "torque", of->shown.of[QUANTITY_TORQUE].unit);
    (void)fputs("plot 0 notitle linecolor rgb '#404040' linewidth 0.8", script);
    for (size_t k = 0; k < of->case_count; k++) {
        const size_t style = 1 + (k + 1) % 8;
        for (int closing = 0; closing <= 1; closing++) {
            (void)fprintf(script, ", \\\n $case%zu using 1:%d with lines linestyle %zu dashtype %d title ", k,
                          11 + closing, style, 1 + closing);
            plot_short_string(script, of->cases[k].name, 22);
            (void)fprintf(script, ".', %s'", closing != 0 ? "closing" : "opening");
        }
    }
    limit_lines(of, script);
    (void)fputc('\n', script);
}

exit_status curve_plot(const void *result, FILE *script)
{
    const curves *of = result;
    const bool has_motor = of->rows[0].has_motor;
    write_data(of, script);
    (void)fprintf(script, "set xrange [0:%.8g]\nset rmargin 38\nset lmargin 10\nset multiplot layout %d,1\n",
                  of->angles.degrees[of->angles.count - 1], has_motor ? 2 : 1);
    components_panel(of, script);
    if (has_motor) {
        motor_panel(of, script);
    }
    (void)fputs("unset multiplot\n", script);
    return EXIT_DONE;
}
