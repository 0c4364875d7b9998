/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of measure: readings and fitted curves over what is left of them. */
#include "measure_plot.h"

#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "message.h"
#include "present/plot.h"

/* More marks than that hide each other. */
enum { MARKS_MAX = 4000, CURVE_POINTS = 240 };

/* Readings of one direction and one use. */
typedef struct series {
    trn_direction direction;
    trn_reading_use use;
} series;

enum { SERIES = 6 };
static const series all_series[SERIES] = {
    {TRN_OPENING, TRN_READING_USED},     {TRN_CLOSING, TRN_READING_USED},    {TRN_OPENING, TRN_READING_REJECTED},
    {TRN_CLOSING, TRN_READING_REJECTED}, {TRN_OPENING, TRN_READING_OUTSIDE}, {TRN_CLOSING, TRN_READING_OUTSIDE},
};

static bool belongs(const trn_measured_reading *reading, series to)
{
    return reading->direction == to.direction && reading->use == to.use && isfinite(reading->torque_Nm);
}

static size_t count_of(const measured *of, series one)
{
    size_t count = 0;
    for (size_t i = 0; i < of->record->count; i++) {
        count += belongs(&of->readings[i], one);
    }
    return count;
}

/* Largest residual of the readings that are used, with some room: the height of the lower panel. */
static double residual_height(const measured *of)
{
    double largest = 2 * of->found.residual_sd_Nm;
    for (size_t i = 0; i < of->record->count; i++) {
        if (of->readings[i].use == TRN_READING_USED) {
            largest = fmax(largest, fabs(of->readings[i].residual_Nm));
        }
    }
    return 1.2 * largest * of->shown.of[QUANTITY_MOMENT].factor;
}

/* Angle, torque less the wind's moment, what is left, at most as high as its panel. Where there are many, every so
   manieth. */
static void write_series(const measured *of, size_t which, FILE *script)
{
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    const double height = residual_height(of);
    const size_t step = count_of(of, all_series[which]) / MARKS_MAX + 1;
    size_t met = 0;
    (void)fprintf(script, "$series%zu << EOD\n", which);
    for (size_t i = 0; i < of->record->count; i++) {
        const trn_measured_reading *reading = &of->readings[i];
        if (belongs(reading, all_series[which]) && met++ % step == 0) {
            (void)fprintf(script, "%.8g %.8g %.8g\n", degrees_of(reading->angle_rad),
                          (reading->torque_Nm - reading->wind_Nm) * factor,
                          fmin(fmax(reading->residual_Nm * factor, -height), height));
        }
    }
    (void)fputs("EOD\n", script);
}

/* A reading in an order of its own. */
typedef struct placed {
    const trn_measured_reading *reading;
} placed;

static int by_angle(const void *a, const void *b)
{
    const double left = ((const placed *)a)->reading->angle_rad;
    const double right = ((const placed *)b)->reading->angle_rad;
    return (left > right) - (left < right);
}

/* The fitted curve of a direction, through its readings in the order of their angles. */
static exit_status write_curve(const measured *of, trn_direction direction, FILE *script)
{
    const double factor = of->shown.of[QUANTITY_MOMENT].factor;
    placed *order = malloc(of->record->count * sizeof *order);
    size_t count = 0;
    if (order == NULL) {
        return fail_memory();
    }
    for (size_t i = 0; i < of->record->count; i++) {
        const trn_measured_reading *reading = &of->readings[i];
        if (reading->direction == direction && reading->use != TRN_READING_OUTSIDE) {
            order[count++].reading = reading;
        }
    }
    qsort(order, count, sizeof *order, by_angle);
    (void)fprintf(script, "$fit%d << EOD\n", (int)direction);
    for (size_t i = 0; i < count; i++) {
        if (i % (count / CURVE_POINTS + 1) == 0 || i + 1 == count) {
            (void)fprintf(script, "%.8g %.8g\n", degrees_of(order[i].reading->angle_rad),
                          (order[i].reading->fitted_Nm - order[i].reading->wind_Nm) * factor);
        }
    }
    (void)fputs("EOD\n", script);
    free(order);
    return EXIT_DONE;
}

/* Filled marks for what is used, hollow ones for what is left out; up opens, down closes. */
static void marks(const measured *of, size_t which, int column, FILE *script)
{
    static const char *const words[SERIES] = {
        "opening", "closing", "opening, no weight", "closing, no weight", "opening, outside", "closing, outside",
    };
    const series one = all_series[which];
    const bool opening = one.direction == TRN_OPENING;
    const int type = (opening ? 8 : 10) + (one.use == TRN_READING_USED ? 1 : 0);
    const size_t count = count_of(of, one);
    if (count == 0) {
        return;
    }
    (void)fprintf(script, " $series%zu using 1:%d with points pointtype %d pointsize %s linecolor rgb '%s' ", which,
                  column, type, one.use == TRN_READING_REJECTED ? "1.1" : "0.7",
                  one.use == TRN_READING_OUTSIDE ? "#8a8a8a" : (opening ? "#1f5fa8" : "#c2571a"));
    (void)fprintf(script, "title '%s", words[which]);
    if (count > MARKS_MAX) {
        (void)fprintf(script, " (one mark for %zu)", count / MARKS_MAX + 1);
    }
    (void)fputs("', \\\n", script);
}

static void torque_panel(const measured *of, FILE *script)
{
    (void)fputs("set title ", script);
    plot_short_string(script, of->leaf->name, 46);
    (void)fprintf(script,
                  ".'  —  balance test'.additions\nset xlabel 'opening angle, degrees'\n"
                  "set ylabel 'torque at the leaf, + opens%s, %s'\n"
                  "plot",
                  of->record->has_wind ? ", wind removed" : "", of->shown.of[QUANTITY_MOMENT].unit);
    for (size_t i = 0; i < SERIES; i++) {
        marks(of, i, 2, script);
    }
    (void)fputs(" $fit0 using 1:2 with lines linestyle 1 linewidth 1.6 title 'fit M + F', \\\n"
                " $fit1 using 1:2 with lines linestyle 1 linewidth 1.6 dashtype 2 title 'fit M − F'\n",
                script);
}

static void residual_panel(const measured *of, FILE *script)
{
    const double height = residual_height(of) > 0 ? residual_height(of) : 1;
    const double scatter = of->found.residual_sd_Nm * of->shown.of[QUANTITY_MOMENT].factor;
    (void)fprintf(script,
                  "set title 'what is left: readings less the fit%s'\nset ylabel 'residual, %s'\n"
                  "set yrange [%.8g:%.8g]\nplot",
                  of->found.rejected > 0 ? " (those at the edge lie beyond)" : "", of->shown.of[QUANTITY_MOMENT].unit,
                  -height, height);
    for (size_t i = 0; i < SERIES; i++) {
        if (all_series[i].use != TRN_READING_OUTSIDE) {
            marks(of, i, 3, script);
        }
    }
    (void)fprintf(script,
                  " %.8g with lines linestyle 1 linewidth 1.2 dashtype 3 title '± standard deviation', \\\n"
                  " %.8g with lines linestyle 1 linewidth 1.2 dashtype 3 notitle\n",
                  scatter, -scatter);
}

exit_status measure_plot(const void *result, FILE *script)
{
    const measured *of = result;
    for (size_t i = 0; i < SERIES; i++) {
        write_series(of, i, script);
    }
    exit_status status = write_curve(of, TRN_OPENING, script);
    if (status == EXIT_DONE) {
        status = write_curve(of, TRN_CLOSING, script);
    }
    if (status == EXIT_DONE) {
        (void)fprintf(script,
                      "set xrange [*<0:%.8g<*]\nset rmargin 31\nset lmargin 11\n"
                      "set xzeroaxis linetype 1 linewidth 0.8 linecolor rgb '#404040'\n"
                      "set multiplot\n",
                      degrees_of(of->leaf->opens_to_rad));
        plot_panel(script, 0, 2);
        torque_panel(of, script);
        plot_panel(script, 1, 2);
        residual_panel(of, script);
        (void)fputs("unset multiplot\n", script);
    }
    return status;
}
