/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of cycle: for each direction angle and speed in time, the motors' torque in time, and speed over angle. */
#include <math.h>

#include "additions.h"
#include "angles.h"
#include "cycle_panels.h"
#include "cycle_words.h"
#include "present/plot.h"
#include "trunnion/motor.h"

void fit_axis(FILE *script, const char *axis, double least, double most)
{
    if (most > least) {
        (void)fprintf(script, "set %srange [*:*]\n", axis);
    } else {
        (void)fprintf(script, "set %srange [%.8g:%.8g]\n", axis, least - 1, most + 1);
    }
}

column_place column_of(bool alone, size_t index)
{
    if (alone) {
        return (column_place){.left = 0.08, .right = 0.92};
    }
    return (column_place){.left = 0.06 + 0.5 * (double)index, .right = 0.44 + 0.5 * (double)index};
}

/* 1 time, 2 angle, 3 speed, 4 torque or pressure, 5 and 6 the most of it either way, 7 wind. */
static void write_data(const panels *of)
{
    const trn_run *run = drawn_run(of);
    const bool cylinders = of->of->by_cylinders;
    const double effort = of->of->shown.of[cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE].factor;
    (void)fprintf(of->script, "$%s << EOD\n", direction_words[of->direction]);
    const double until_s = ready_s(run);
    for (size_t i = 0; i < run->row_count && run->rows[i].time_s <= until_s; i++) {
        const trn_run_row *row = &run->rows[i];
        const double most = cylinders ? of->of->leaf->drive->cylinder.pressure_Pa : row->limit_Nm;
        (void)fprintf(of->script, "%.8g %.8g %.8g %.8g %.8g %.8g %.8g\n", row->time_s, degrees_of(row->angle_rad),
                      degrees_of(row->speed_rad_s), (cylinders ? row->pressure_Pa : row->motor_Nm) * effort,
                      most * effort, -most * effort, row->wind_Pa * of->of->shown.of[QUANTITY_PRESSURE].factor);
    }
    (void)fprintf(of->script, "EOD\n$events_%s << EOD\n", direction_words[of->direction]);
    for (size_t i = 0; i < run->event_count; i++) {
        const trn_run_event *event = &run->events[i];
        (void)fprintf(of->script, "%.8g %.8g %.8g\n", event->time_s, degrees_of(event->angle_rad),
                      degrees_of(event->speed_rad_s));
    }
    (void)fputs("EOD\n", of->script);
}

/* Frame of a panel: row 0 is the highest; over the frame is room for a row of marks and the title. */
static void place_panel(const panels *of, int row, const char *title)
{
    const double top = of->top - of->height * row;
    (void)fprintf(of->script,
                  "set lmargin at screen %.4f\nset rmargin at screen %.4f\nset tmargin at screen %.4f\n"
                  "set bmargin at screen %.4f\nunset arrow\nunset key\nset tics font ',9'\n"
                  "set label '%s' at screen %.4f, screen %.4f left font ',9'\n",
                  of->place.left, of->place.right, top - share_of(of, 46), top - of->height + share_of(of, 46), title,
                  of->place.left, top - share_of(of, 16));
}

/* Labels are drawn with every panel from then on: the title, the caution and the events with one alone. */
static void clear_labels(const panels *of)
{
    (void)fputs("unset label\n", of->script);
}

static void time_axis(panels *of, double from_s)
{
    const double end_s = ready_s(drawn_run(of));
    of->from_s = from_s;
    of->to_s = end_s > from_s ? end_s : from_s + 1;
    (void)fprintf(of->script, "set xrange [%.8g:%.8g]\nset xlabel 'time, s' offset 0,0.7 font ',9'\n", of->from_s,
                  of->to_s);
}

static void motion_panel(panels *of)
{
    const char *name = direction_words[of->direction];
    place_panel(of, 0, "angle, degrees (full line, left); speed, °/s (broken line, right)");
    time_axis(of, 0);
    mark_events(of, true);
    fit_axis(of->script, "y", of->drawn.least_rad, of->drawn.most_rad);
    fit_axis(of->script, "y2", of->drawn.least_rad_s, of->drawn.most_rad_s);
    (void)fprintf(
        of->script,
        "set label '%s' at screen %.4f, screen %.4f center font ',12'\n"
        "set border 11\nset y2tics nomirror out\n"
        "plot $%s using 1:2 with lines linestyle 1, \\\n $%s using 1:3 axes x1y2 with lines linestyle 2 "
        "dashtype 2, \\\n $events_%s using 1:2 with points pointtype 7 pointsize 0.6 linecolor rgb '#101010'\n"
        "set border 3\nunset y2tics\n",
        of->direction == TRN_OPENING ? "Opening" : "Closing", (of->place.left + of->place.right) / 2,
        of->top + share_of(of, 14), name, name, name);
    clear_labels(of);
}

/* How high the curves reach from a time on; an axis of all but one value would be refused. */
static extent extent_from(const panels *of, double from_s)
{
    const trn_run *run = drawn_run(of);
    extent found = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL, 0, 0};
    for (size_t i = 0; i < run->row_count; i++) {
        const trn_run_row *row = &run->rows[i];
        if (row->time_s >= from_s && row->time_s <= of->to_s) {
            found.least_rad = fmin(found.least_rad, row->angle_rad);
            found.most_rad = fmax(found.most_rad, row->angle_rad);
            found.least_rad_s = fmin(found.least_rad_s, row->speed_rad_s);
            found.most_rad_s = fmax(found.most_rad_s, row->speed_rad_s);
        }
    }
    return found;
}

static void fit_degrees(const panels *of, const char *axis, double least_rad, double most_rad)
{
    const double least = degrees_of(least_rad);
    const double most = degrees_of(most_rad);
    fit_axis(of->script, axis, least, most - least > 1e-6 * fmax(fabs(most), fabs(least)) ? most : least);
}

/* The same as above it over the last seconds, in which most of the events lie. */
static void end_panel(panels *of)
{
    const char *name = direction_words[of->direction];
    const double end_s = ready_s(drawn_run(of));
    const double since_s = fmin(crowded_since_s(of), 0.98 * end_s);
    place_panel(of, 1, "the same over the last seconds");
    time_axis(of, fmax(since_s - 0.15 * (end_s - since_s), 0));
    mark_events(of, true);
    const extent found = extent_from(of, of->from_s);
    fit_degrees(of, "y", found.least_rad, found.most_rad);
    fit_degrees(of, "y2", found.least_rad_s, found.most_rad_s);
    (void)fprintf(of->script,
                  "set border 11\nset y2tics nomirror out\n"
                  "plot $%s using 1:2 with lines linestyle 1, \\\n $%s using 1:3 axes x1y2 with lines linestyle 2 "
                  "dashtype 2, \\\n $events_%s using 1:2 with points pointtype 7 pointsize 0.6 linecolor rgb "
                  "'#101010'\nset border 3\nunset y2tics\n",
                  name, name, name);
    clear_labels(of);
}

/* The wind of a run in which it changes. */
static void wind_panel(panels *of)
{
    const trn_run *run = drawn_run(of);
    const display *shown = &of->of->shown;
    const trn_run_row *peak = run->rows;
    char title[RUN_WORDS];
    char number[DISPLAY_TEXT];
    for (size_t i = 0; i < run->row_count && run->rows[i].time_s <= ready_s(run); i++) {
        peak = run->rows[i].wind_Pa > peak->wind_Pa ? &run->rows[i] : peak;
    }
    (void)snprintf(title, sizeof title, "wind, %s (%speak %s at %.2f s)", shown->of[QUANTITY_PRESSURE].unit,
                   of->of->wind.record.count > 0 ? "by the record; " : "gust as 1 - cosine; ",
                   display_text(shown, QUANTITY_PRESSURE, peak->wind_Pa, number), peak->time_s);
    place_panel(of, 4, title);
    time_axis(of, 0);
    mark_events(of, false);
    (void)fprintf(of->script, "set yrange [0:%.8g]\nplot $%s using 1:7 with lines linestyle 7\n",
                  fmax(1.1 * peak->wind_Pa * shown->of[QUANTITY_PRESSURE].factor, 1e-3),
                  direction_words[of->direction]);
    clear_labels(of);
}

static void effort_title(const cycle *runs, char text[RUN_WORDS])
{
    const quantity what = runs->by_cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    (void)snprintf(text, RUN_WORDS,
                   runs->by_cylinders ? "pressure in each cylinder, %s (broken: the most of the pump)"
                                      : "torque of each motor, %s (broken: the most, dotted: rated)",
                   runs->shown.of[what].unit);
}

static void effort_panel(panels *of)
{
    const cycle *runs = of->of;
    const char *name = direction_words[of->direction];
    char title[RUN_WORDS];
    effort_title(runs, title);
    place_panel(of, 2, title);
    time_axis(of, 0);
    mark_events(of, false);
    fit_axis(of->script, "y", of->drawn.least_effort, of->drawn.most_effort);
    (void)fprintf(of->script,
                  "plot 0 linecolor rgb '#404040' linewidth 0.8, \\\n $%s using 1:4 with lines linestyle 1, \\\n "
                  "$%s using 1:5 with lines linestyle 3 dashtype 2",
                  name, name);
    if (!runs->by_cylinders) {
        const double rated = trn_motor_rated_torque(runs->leaf->motors) * runs->shown.of[QUANTITY_TORQUE].factor;
        (void)fprintf(of->script, ", \\\n %.8g with lines linestyle 8 dashtype 3", rated);
        if (of->drawn.least_effort < 0) {
            (void)fprintf(of->script,
                          ", \\\n $%s using 1:6 with lines linestyle 3 dashtype 2, \\\n %.8g with lines linestyle 8 "
                          "dashtype 3",
                          name, -rated);
        }
    }
    (void)fputc('\n', of->script);
    clear_labels(of);
}

/* A line at an angle that means something, with its name. */
static void mark_angle(FILE *script, double angle_rad, const char *words)
{
    (void)fprintf(
        script,
        "set arrow from first %.8g, graph 0 to first %.8g, graph 1 nohead dashtype 4 linewidth 1 linecolor rgb "
        "'#8a5fb0'\nset label '%s' at first %.8g, graph 1.08 center font ',9'\n",
        degrees_of(angle_rad), degrees_of(angle_rad), words, degrees_of(angle_rad));
}

void mark_switches(FILE *script, const trn_travel *travel, double opens_to_rad, trn_direction direction)
{
    const bool opening = direction == TRN_OPENING;
    const double full_open_rad = travel->full_open_rad > 0 ? travel->full_open_rad : opens_to_rad;
    mark_angle(script, opening ? travel->near_open_rad : travel->near_closed_rad, "near");
    mark_angle(script, opening ? full_open_rad : travel->full_closed_rad, "full");
}

static void phase_panel(const panels *of)
{
    const trn_leaf *leaf = of->of->leaf;
    const char *name = direction_words[of->direction];
    place_panel(of, 3, "speed, °/s, over opening angle (near and full switch marked)");
    fit_axis(of->script, "y", of->drawn.least_rad_s, of->drawn.most_rad_s);
    mark_switches(of->script, leaf->travel, leaf->opens_to_rad, of->direction);
    (void)fprintf(of->script,
                  "set xrange [%.8g:%.8g]\nset xlabel 'opening angle, degrees' offset 0,0.7 font ',9'\n"
                  "plot 0 linecolor rgb '#404040' linewidth 0.8, \\\n $%s using 2:3 with lines linestyle 2, \\\n "
                  "$events_%s using 2:3 with points pointtype 7 pointsize 0.6 linecolor rgb '#101010'\n",
                  degrees_of(fmin(of->drawn.least_rad, 0)), degrees_of(fmax(of->drawn.most_rad, leaf->opens_to_rad)),
                  name, name);
    clear_labels(of);
}

/* The most faults in a title. */
enum { FAULTS_DRAWN = 4 };

size_t cycle_title_lines(const cycle *of)
{
    const size_t told = of->asked->fault_count <= FAULTS_DRAWN ? of->asked->fault_count : FAULTS_DRAWN + 1;
    return 1 + additions_drawn(of->asked) + told + of->has_gust + (of->asked->wind_record_file != NULL);
}

void cycle_title(const cycle *of, const char *what, FILE *script)
{
    plot_short_string(script, of->leaf->name, 34);
    (void)fprintf(script, ".': %s, case '.", what);
    plot_short_string(script, of->load_case->name, 24);
    (void)fputs(".additions", script);
    for (size_t i = 0; i < of->asked->fault_count && i < FAULTS_DRAWN; i++) {
        (void)fputs(".\"\\nfault: \".", script);
        plot_string(script, of->asked->faults[i]);
    }
    if (of->asked->fault_count > FAULTS_DRAWN) {
        (void)fprintf(script, ".\"\\nand %zu faults more\"", of->asked->fault_count - FAULTS_DRAWN);
    }
    if (of->has_gust) {
        (void)fputs(".\"\\ngust: \".", script);
        plot_string(script, of->asked->gust);
    }
    if (of->asked->wind_record_file != NULL) {
        /* The name of a file may hold anything, also the end of a line of the script. */
        (void)fputs(".\"\\nwind by a record\"", script);
    }
}

void cycle_page(const cycle *of, const char *what, int count, int height_pt, FILE *script)
{
    const double top = fmax(1 - (70.0 + 20.0 * (double)cycle_title_lines(of)) / height_pt, 0.5);
    (void)fprintf(script,
                  "set key at graph 1.02, graph 0.97 left top Left reverse samplen 3 width 0\n"
                  "set multiplot layout %d,1 margins 0.09,0.7,%.4f,%.4f spacing 0,%.4f title ",
                  count, 80.0 / height_pt, top, 105.0 / height_pt);
    cycle_title(of, what, script);
    (void)fputs(" font ',13'\n", script);
}

/* The ends of the curves of a direction. */
static void find_extent(panels *of)
{
    const trn_run *run = drawn_run(of);
    extent found = {.least_rad = HUGE_VAL, .most_rad = -HUGE_VAL};
    for (size_t i = 0; i < run->row_count; i++) {
        const trn_run_row *row = &run->rows[i];
        found.least_rad = fmin(found.least_rad, row->angle_rad);
        found.most_rad = fmax(found.most_rad, row->angle_rad);
        found.least_rad_s = fmin(found.least_rad_s, row->speed_rad_s);
        found.most_rad_s = fmax(found.most_rad_s, row->speed_rad_s);
        found.least_effort = fmin(found.least_effort, row->motor_Nm);
        found.most_effort = fmax(found.most_effort, fmax(fmax(row->motor_Nm, row->limit_Nm), row->pressure_Pa));
    }
    of->drawn = found;
}

int cycle_page_height(const cycle *of)
{
    return wind_changes(of) ? 1480 : 1240;
}

static void draw(panels *of)
{
    const bool alone = !(of->of->of[TRN_OPENING].asked && of->of->of[TRN_CLOSING].asked);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        of->direction = (trn_direction)k;
        if (of->of->of[k].asked) {
            write_data(of);
        }
    }
    (void)fputs("set multiplot\nset label ", of->script);
    cycle_title(of->of, "motion in time", of->script);
    (void)fprintf(of->script, " at screen 0.5, screen %.4f center font ',13'\n", 1 - share_of(of, 18));
    of->top = fmax(1 - share_of(of, 40 + 21 * (double)cycle_title_lines(of->of)), 0.55);
    of->height = (of->top - share_of(of, 225)) / of->count;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        of->direction = (trn_direction)k;
        if (of->of->of[k].asked) {
            of->place = column_of(alone, k);
            find_extent(of);
            list_events(of);
            motion_panel(of);
            end_panel(of);
            effort_panel(of);
            phase_panel(of);
            if (wind_changes(of->of)) {
                wind_panel(of);
            }
        }
    }
    (void)fputs("unset multiplot\n", of->script);
}

exit_status cycle_plot(const void *result, FILE *script)
{
    panels drawn = {.of = result, .script = script};
    drawn.page_pt = cycle_page_height(drawn.of);
    drawn.count = wind_changes(drawn.of) ? 5 : 4;
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE; k++) {
        const trn_run_setting setting = cycle_curve(drawn.of, (trn_direction)k, &drawn.of->of[k].run);
        status = drawn.of->of[k].asked ? cycle_run(drawn.of, &setting, &drawn.runs[k]) : EXIT_DONE;
    }
    if (status == EXIT_DONE) {
        draw(&drawn);
    }
    for (size_t k = 0; k < DIRECTIONS; k++) {
        trn_run_free(&drawn.runs[k]);
    }
    return status;
}
