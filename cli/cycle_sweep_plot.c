/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of a sweep: where the leaf rests, how far it ran on, whether it is held, over the angle of the fault. */
#include <math.h>

#include "cycle_plot.h"
#include "cycle_sweep.h"
#include "cycle_words.h"
#include "present/plot.h"

/* Factors beyond are drawn at the top edge: what holds ten times holds. */
#define FACTOR_DRAWN 10.0
enum { FACTOR_COLUMN = 4 };

/* 1 fault, 2 run on, 3 deceleration, 4 factor where the rest is safe, 5 run on and 6 the place of a cross where not. */
static void write_rows(const sweep *swept, trn_direction direction, FILE *script)
{
    const double hard = swept->of->shown.of[QUANTITY_ACCELERATION].factor;
    (void)fprintf(script, "$%s << EOD\n", direction_words[direction]);
    for (size_t i = 0; i < swept->count; i++) {
        const sweep_row *row = &swept->rows[i];
        if (row->direction != direction || !row->happens) {
            continue;
        }
        const double run_on_deg = sweep_run_on_deg(row);
        (void)fprintf(script, "%.8g %.8g %.8g ", row->angle_deg, run_on_deg, row->run.peak_deceleration_rad_s2 * hard);
        if (cycle_met(swept->of, direction, &row->run)) {
            (void)fprintf(script, "%.8g NaN NaN\n", fmin(row->run.hold_factor, FACTOR_DRAWN));
        } else {
            (void)fprintf(script, "NaN %.8g 0\n", run_on_deg);
        }
    }
    (void)fputs("EOD\n", script);
}

/* Which rows are meant. */
typedef enum row_kind { ROWS_ALL, ROWS_MET, ROWS_BAD } row_kind;

static bool any_row(const sweep *swept, trn_direction direction, row_kind kind)
{
    for (size_t i = 0; i < swept->count; i++) {
        const sweep_row *row = &swept->rows[i];
        if (row->direction == direction && row->happens &&
            (kind == ROWS_ALL || (kind == ROWS_MET) == cycle_met(swept->of, direction, &row->run))) {
            return true;
        }
    }
    return false;
}

/* Marks beside colour and dash; some ten of them along a line. */
static void curves(const sweep *swept, int column, FILE *script)
{
    static const char *const looks[DIRECTIONS] = {
        [TRN_OPENING] = "linestyle 2 dashtype 1 pointtype 7", [TRN_CLOSING] = "linestyle 3 dashtype 2 pointtype 4"};
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (any_row(swept, (trn_direction)k, column == FACTOR_COLUMN ? ROWS_MET : ROWS_ALL)) {
            (void)fprintf(script,
                          ", \\\n $%s using 1:%d with linespoints %s pointsize 0.8 pointinterval %zu title '%s'",
                          direction_words[k], column, looks[k], swept->count / 20 + 1, direction_words[k]);
        }
    }
}

static void bad_marks(const sweep *swept, int column, FILE *script)
{
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (any_row(swept, (trn_direction)k, ROWS_BAD)) {
            (void)fprintf(
                script,
                ", \\\n $%s using 1:%d with points pointtype 2 pointsize 1.4 linewidth 2 linecolor rgb '#b00020' "
                "title '%s: NOT SAFE'",
                direction_words[k], column, direction_words[k]);
        }
    }
}

static void fit_run_on(const sweep *swept, FILE *script)
{
    double least = 0;
    double most = 0;
    for (size_t i = 0; i < swept->count; i++) {
        const double run_on = swept->rows[i].happens ? sweep_run_on_deg(&swept->rows[i]) : 0;
        least = fmin(least, run_on);
        most = fmax(most, run_on);
    }
    fit_axis(script, "y", least, most);
}

static bool decelerates(const sweep *swept)
{
    bool any = false;
    for (size_t i = 0; i < swept->count; i++) {
        any |= swept->rows[i].happens && swept->rows[i].run.peak_deceleration_rad_s2 > 0;
    }
    return any;
}

exit_status sweep_plot(const void *result, FILE *script)
{
    const sweep *swept = result;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        write_rows(swept, (trn_direction)k, script);
    }
    cycle_page(swept->of, "a fault at every angle", 3, SWEEP_HEIGHT, script);
    (void)fprintf(script, "set xrange [0:%.8g]\nset xlabel 'angle of the fault, degrees' offset 0,0.5\n",
                  degrees_of(swept->of->leaf->opens_to_rad));
    fit_run_on(swept, script);
    (void)fputs("set title 'how far it runs on from the fault in its direction of travel, degrees'\n"
                "plot 0 linecolor rgb '#404040' linewidth 0.8 notitle",
                script);
    curves(swept, 2, script);
    bad_marks(swept, 5, script);
    (void)fprintf(script,
                  "\nunset label\nset title 'hardest deceleration with the power off, %s'\nset yrange [0:%s]\n"
                  "plot 0 linecolor rgb '#404040' linewidth 0.8 notitle",
                  swept->of->shown.of[QUANTITY_ACCELERATION].unit, decelerates(swept) ? "*" : "1");
    curves(swept, 3, script);
    (void)fprintf(script,
                  "\nset title 'what the brakes hold over what is to be held (10: and more; nothing where not safe)'\n"
                  "set yrange [0:%g]\nplot 1 with lines linecolor rgb '#b00020' linewidth 2 dashtype 4 title 'not held "
                  "below'",
                  FACTOR_DRAWN * 1.05);
    curves(swept, FACTOR_COLUMN, script);
    bad_marks(swept, 6, script);
    (void)fputs("\nunset multiplot\n", script);
    return EXIT_DONE;
}
