/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of the switches: how the leaf comes in, with the switch as given and drifted. */
#include <math.h>

#include "angles.h"
#include "cycle_plot.h"
#include "cycle_switches.h"
#include "cycle_words.h"
#include "present/plot.h"

/* What is drawn of the travel before the switch: as much as lies behind it, and a little more. */
#define BEFORE 0.8
#define BEYOND 0.15

static exit_status write_curve(const switches *found, trn_direction direction, int kind, FILE *script)
{
    const cycle *of = found->of;
    trn_travel travel = *of->leaf->travel;
    trn_leaf leaf = *of->leaf;
    cycle drifted = *of;
    trn_run run = {0};
    const double sign = direction == TRN_OPENING ? 1 : -1;
    leaf.travel = &travel;
    drifted.leaf = &leaf;
    *(direction == TRN_OPENING ? &travel.near_open_rad : &travel.near_closed_rad) =
        switch_at_rad(found, direction, kind);
    const trn_run_setting setting = cycle_curve(&drifted, direction, switch_run(found, direction, kind));
    const exit_status status = cycle_run(&drifted, &setting, &run);
    (void)fprintf(script, "$%s_%s << EOD\n", direction_words[direction], switch_names[kind]);
    for (size_t i = 0; i < run.row_count; i++) {
        (void)fprintf(script, "%.8g %.8g\n", degrees_of(run.rows[i].angle_rad),
                      sign * degrees_of(run.rows[i].speed_rad_s));
    }
    (void)fputs("EOD\n", script);
    trn_run_free(&run);
    return status;
}

static double full_switch_rad(const trn_leaf *leaf, trn_direction direction)
{
    if (direction == TRN_CLOSING) {
        return leaf->travel->full_closed_rad;
    }
    return leaf->travel->full_open_rad > 0 ? leaf->travel->full_open_rad : leaf->opens_to_rad;
}

/* From before the switches that are drawn to where the leaf ends. */
static void set_range(const switches *found, trn_direction direction, FILE *script)
{
    const trn_switch_place *place = &found->places[direction];
    const double full_rad = full_switch_rad(found->of->leaf, direction);
    double span_rad = fabs(full_rad - switch_at_rad(found, direction, SWITCH_EARLY));
    if (place->possible) {
        span_rad = fmax(span_rad, fabs(full_rad - place->nearest_rad));
    }
    const double sign = direction == TRN_OPENING ? 1 : -1;
    (void)fprintf(script, "set xrange [%.8g:%.8g]\n", degrees_of(full_rad - sign * (1 + BEFORE) * span_rad),
                  degrees_of(full_rad + sign * BEYOND * span_rad));
}

static void panel(const switches *found, trn_direction direction, FILE *script)
{
    static const char *const looks[SWITCH_KINDS] = {
        [SWITCH_EARLY] = "linestyle 2 dashtype 2 pointtype 5",
        [SWITCH_GIVEN] = "linestyle 1 dashtype 1 pointtype 7",
        [SWITCH_LATE] = "linestyle 3 dashtype 4 pointtype 9",
    };
    const trn_switch_place *place = &found->places[direction];
    const char *name = direction_words[direction];
    set_range(found, direction, script);
    mark_switches(script, found->of->leaf->travel, found->of->leaf->opens_to_rad, direction);
    if (place->possible) {
        (void)fprintf(script,
                      "set arrow from first %.8g, graph 0 to first %.8g, graph 0.9 nohead linewidth 1.4 linecolor rgb "
                      "'#b00020'\nset label 'nearest' at first %.8g, graph 0.94 center font ',9' textcolor rgb "
                      "'#b00020'\n",
                      degrees_of(place->nearest_rad), degrees_of(place->nearest_rad), degrees_of(place->nearest_rad));
    }
    (void)fprintf(script,
                  "set title '%s: speed in its direction, °/s' offset 0,0.6\nplot %.8g with lines linestyle 8 dashtype "
                  "3 title 'full speed'",
                  direction == TRN_OPENING ? "opening" : "closing", degrees_of(found->of->leaf->travel->speed_rad_s));
    for (int kind = 0; kind < SWITCH_KINDS; kind++) {
        (void)fprintf(script,
                      ", \\\n $%s_%s using 1:2 with linespoints %s pointsize 0.9 pointinterval 40 title '%s: %.2f°'",
                      name, switch_names[kind], looks[kind], switch_names[kind],
                      degrees_of(switch_at_rad(found, direction, kind)));
    }
    (void)fputs("\nunset label\nunset arrow\n", script);
}

exit_status switches_plot(const void *result, FILE *script)
{
    const switches *found = result;
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        for (int kind = 0; kind < SWITCH_KINDS && status == EXIT_DONE; kind++) {
            status = write_curve(found, (trn_direction)k, kind, script);
        }
    }
    cycle_page(found->of, "coming in to the ends", 2, SWITCHES_HEIGHT, script);
    (void)fputs("set xlabel 'opening angle, degrees' offset 0,0.4\nset yrange [*:*]\n", script);
    panel(found, TRN_OPENING, script);
    panel(found, TRN_CLOSING, script);
    (void)fputs("unset multiplot\n", script);
    return status;
}
