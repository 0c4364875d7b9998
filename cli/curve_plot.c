/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of curve: the components of one case over the motor torque, or the pressure, of all cases. */
#include <math.h>

#include "curve.h"
#include "present/plot.h"
#include "row.h"
#include "trunnion/motor.h"

static double scale_of(const curves *of, quantity what)
{
    return of->shown.of[what].factor;
}

/* What the second panel shows: the torque of a motor, or the pressure in a cylinder. */
typedef struct effort {
    const char *title;
    const char *label;
    const char *rated_title;
    quantity what;
    double rated; /* SI */
    size_t opening;
    size_t closing;
} effort;

/* No drive, or none that is described far enough, has no second panel. */
static bool effort_of(const curves *of, effort *shown)
{
    if (of->rows[0].has_pressure) {
        *shown = (effort){"pressure in each cylinder",
                          "pressure",
                          "pump",
                          QUANTITY_OIL_PRESSURE,
                          of->leaf->drive->cylinder.pressure_Pa,
                          offsetof(trn_moments, pressure_opening_Pa),
                          offsetof(trn_moments, pressure_closing_Pa)};
        return true;
    }
    if (of->rows[0].has_motor) {
        *shown = (effort){"motor torque, each running motor",
                          "torque",
                          "rated",
                          QUANTITY_TORQUE,
                          trn_motor_rated_torque(of->leaf->motors),
                          offsetof(trn_moments, motor_opening_Nm),
                          offsetof(trn_moments, motor_closing_Nm)};
        return true;
    }
    return false;
}

/* The columns of a data block: 1 angle, 2 balance, 3 and 4 wind, 5 ice, 6 and
   7 friction, 8 inertia, 9 and 10 demand, 11 and 12 torque or pressure. */
static void write_data(const curves *of, const effort *second, FILE *script)
{
    const double moment = scale_of(of, QUANTITY_MOMENT);
    const double factor = second != NULL ? scale_of(of, second->what) : 0;
    for (size_t k = 0; k < of->case_count; k++) {
        const trn_moments *rows = curves_of(of, k);
        (void)fprintf(script, "$case%zu << EOD\n", k);
        for (size_t i = 0; i < of->angles.count; i++) {
            const trn_moments *m = &rows[i];
            (void)fprintf(script, "%.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g %.8g\n",
                          of->angles.degrees[i], m->balance_Nm * moment, m->wind_opening_Nm * moment,
                          m->wind_closing_Nm * moment, m->ice_Nm * moment, m->friction_opening_Nm * moment,
                          m->friction_closing_Nm * moment, m->inertia_Nm * moment, m->opening_Nm * moment,
                          m->closing_Nm * moment, second != NULL ? row_value(m, second->opening) * factor : 0,
                          second != NULL ? row_value(m, second->closing) * factor : 0);
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

/* In letters the legend takes so much of the width that the heading stands in the middle of the page. */
static void panel_heading(FILE *script, const char *title, const char *case_name, const char *ylabel, const char *unit)
{
    (void)fputs("set title ", script);
    plot_short_string(script, title, 36);
    if (case_name != NULL) {
        (void)fputs(".\"  —  case '\".", script);
        plot_short_string(script, case_name, 30);
        (void)fputs(".\"'\".additions", script);
    }
    (void)fprintf(script, " offset letters * 12, 0\nset xlabel 'opening angle, degrees'\nset ylabel '%s, %s'\n", ylabel,
                  unit);
}

/* Marks at wide intervals tell the lines apart where colour is lost; in letters a broken line has others than a full.
 */
static void marked_line(const curves *of, FILE *script, int style, int dash, size_t mark)
{
    static const int marks[] = {7, 5, 9, 11, 13, 6, 4, 8, 10, 12};
    const int letters_on = dash == 2 ? 13 : 0;
    const size_t interval = of->angles.count / 5 + 1;
    (void)fprintf(script,
                  "with linespoints linestyle %d dashtype %d pointtype %d + letters * %d pointsize 0.9 "
                  "pointinterval %zu",
                  style, dash, marks[mark % (sizeof marks / sizeof marks[0])], letters_on, interval);
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
            largest = fmax(largest, fabs(row_value(&rows[row], lines[i].offset)));
        }
        if (largest > 0) {
            (void)fprintf(script, ", \\\n $case%zu using 1:%d ", k, lines[i].column);
            marked_line(of, script, lines[i].style, lines[i].dash, i);
            (void)fprintf(script, " title '%s'", lines[i].title);
        }
    }
    (void)fprintf(
        script,
        ", \\\n $case%zu using 1:9 with lines linestyle 1 title 'opening demand: the sum'"
        ", \\\n $case%zu using 1:10 with lines linestyle 1 + letters * 7 dashtype 2 title 'closing demand: the sum'\n",
        k, k);
}

/* One level line with its name on it, and its twin below zero where a curve comes near that. */
static void level_line(FILE *script, double level, bool below)
{
    (void)fprintf(script, ", \\\n %.8g with lines linecolor rgb '#606060' linewidth 1.4 dashtype 4 notitle", level);
    if (below) {
        (void)fprintf(script, ", \\\n %.8g with lines linecolor rgb '#606060' linewidth 1.4 dashtype 4 notitle",
                      -level);
    }
}

static bool comes_below(const curves *of, const effort *shown, double level)
{
    for (size_t i = 0; i < of->case_count * of->angles.count; i++) {
        if (row_value(&of->rows[i], shown->opening) < level || row_value(&of->rows[i], shown->closing) < level) {
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

/* Rated torque, then each allowed torque that differs from it. */
static bool is_level(const curves *of, size_t case_index)
{
    return fabs(of->cases[case_index].motor_limit - 1) > 1e-12 && !limit_seen_before(of, case_index);
}

static void limit_labels(const curves *of, const effort *shown, FILE *script, double rated)
{
    static const char form[] = "set label at graph 0.015, first %.8g offset 0,0.45 font ',10' textcolor rgb '#404040' ";
    (void)fprintf(script, form, rated);
    (void)fprintf(script, "'%s %s'\n", shown->rated_title, shown->label);
    for (size_t k = 0; k < of->case_count; k++) {
        if (is_level(of, k)) {
            const double limit = of->cases[k].motor_limit;
            (void)fprintf(script, form, limit * rated);
            (void)fprintf(script, "'allowed: %.4g × %s'\n", limit, shown->rated_title);
        }
    }
}

static void limit_lines(const curves *of, const effort *shown, FILE *script, double rated)
{
    const bool below = comes_below(of, shown, -0.5 * shown->rated);
    level_line(script, rated, below);
    for (size_t k = 0; k < of->case_count; k++) {
        if (is_level(of, k)) {
            level_line(script, of->cases[k].motor_limit * rated, below);
        }
    }
}

/* In letters each direction of a case has a line of the legend, elsewhere the case has one. */
static void direction_title(FILE *script, const char *name, const char *direction, bool everywhere)
{
    (void)fputs(" title (letters ? ", script);
    plot_short_string(script, name, 15);
    (void)fprintf(script, ".', %s' : ", direction);
    plot_short_string(script, everywhere ? name : "", 24);
    (void)fputc(')', script);
}

static void effort_panel(const curves *of, const effort *shown, FILE *script)
{
    const double rated = shown->rated * scale_of(of, shown->what);
    panel_heading(script, shown->title, NULL, shown->label, of->shown.of[shown->what].unit);
    limit_labels(of, shown, script, rated);
    (void)fputs("plot 0 notitle linecolor rgb '#404040' linewidth 0.8", script);
    for (size_t k = 0; k < of->case_count; k++) {
        const int style = 1 + (int)((k + 1) % 8);
        (void)fprintf(script, ", \\\n $case%zu using 1:11 ", k);
        marked_line(of, script, style, 1, k);
        direction_title(script, of->cases[k].name, "opening", true);
        (void)fprintf(script, ", \\\n $case%zu using 1:12 ", k);
        marked_line(of, script, style, 2, k);
        direction_title(script, of->cases[k].name, "closing", false);
    }
    (void)fputs(", \\\n NaN with lines linestyle 8 dashtype 1 title (letters ? '' : 'full line: opening')"
                ", \\\n NaN with lines linestyle 8 dashtype 2 title (letters ? '' : 'broken line: closing')",
                script);
    limit_lines(of, shown, script, rated);
    (void)fputc('\n', script);
}

exit_status curve_plot(const void *result, FILE *script)
{
    const curves *of = result;
    effort second;
    const bool has_second = effort_of(of, &second);
    write_data(of, has_second ? &second : NULL, script);
    (void)fprintf(script, "set xrange [0:%.8g]\nset rmargin 35\nset lmargin 10\nset multiplot\n",
                  of->angles.degrees[of->angles.count - 1]);
    plot_panel(script, 0, has_second ? 2 : 1);
    components_panel(of, script);
    if (has_second) {
        plot_panel(script, 1, 2);
        effort_panel(of, &second, script);
    }
    (void)fputs("unset multiplot\n", script);
    return EXIT_DONE;
}
