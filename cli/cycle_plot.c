/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of cycle: for each direction angle and speed in time, the motors' torque in time, and speed over angle. */
#include "cycle_plot.h"

#include <math.h>
#include <string.h>

#include "angles.h"
#include "cycle_words.h"
#include "present/plot.h"
#include "trunnion/motor.h"

/* Points of a curve; the runs are made again for them, however coarse the trace that was asked for is. */
#define CURVE_POINTS 1000

/* The most events that are told under the panels of a direction. */
enum { EVENTS_DRAWN = 14 };

/* Between what values the curves of a direction run. */
typedef struct extent {
    double least_rad;
    double most_rad;
    double least_rad_s;
    double most_rad_s;
    double least_effort; /* torque; below 0 where the motors hold the leaf back */
    double most_effort;
} extent;

typedef struct panels {
    const cycle *of;
    FILE *script;
    trn_run runs[DIRECTIONS];
    trn_direction direction; /* that is being drawn */
    column_place place;
    extent drawn;
    double top;    /* of the panels, share of the page */
    double height; /* of each, with its labels */
} panels;

void fit_axis(FILE *script, const char *axis, double least, double most)
{
    if (most > least) {
        (void)fprintf(script, "set %srange [*:*]\n", axis);
    } else {
        (void)fprintf(script, "set %srange [%.8g:%.8g]\n", axis, least - 1, most + 1);
    }
}

static const trn_run *drawn_run(const panels *of)
{
    return &of->runs[of->direction];
}

column_place column_of(bool alone, size_t index)
{
    if (alone) {
        return (column_place){.left = 0.08, .right = 0.92};
    }
    return (column_place){.left = 0.06 + 0.5 * (double)index, .right = 0.45 + 0.5 * (double)index};
}

/* 1 time, 2 angle, 3 speed, 4 torque or pressure, 5 and 6 the most of it either way. */
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
        (void)fprintf(of->script, "%.8g %.8g %.8g %.8g %.8g %.8g\n", row->time_s, degrees_of(row->angle_rad),
                      degrees_of(row->speed_rad_s), (cylinders ? row->pressure_Pa : row->motor_Nm) * effort,
                      most * effort, -most * effort);
    }
    (void)fprintf(of->script, "EOD\n$events_%s << EOD\n", direction_words[of->direction]);
    for (size_t i = 0; i < run->event_count; i++) {
        const trn_run_event *event = &run->events[i];
        (void)fprintf(of->script, "%.8g %.8g %.8g\n", event->time_s, degrees_of(event->angle_rad),
                      degrees_of(event->speed_rad_s));
    }
    (void)fputs("EOD\n", of->script);
}

static size_t events_drawn(const trn_run *run)
{
    return run->event_count < EVENTS_DRAWN ? run->event_count : EVENTS_DRAWN;
}

/* Events too near to each other in time for numbers of their own. */
typedef struct group {
    size_t first;
    size_t last;
    double time_s;
    double half_width_s;
} group;

static group joined(const panels *of, size_t first, size_t last)
{
    const trn_run *run = drawn_run(of);
    const double letter_s = ready_s(run) * 9.0 / (900 * (of->place.right - of->place.left));
    const int letters =
        (last > first ? 1 + snprintf(NULL, 0, "%zu", first + 1) : 0) + snprintf(NULL, 0, "%zu", last + 1);
    return (group){first, last, (run->events[first].time_s + run->events[last].time_s) / 2,
                   letter_s * (letters + 1) / 2};
}

static size_t group_events(const panels *of, group groups[EVENTS_DRAWN])
{
    const size_t events = events_drawn(drawn_run(of));
    size_t count = 0;
    for (size_t i = 0; i < events; i++) {
        group one = joined(of, i, i);
        while (count > 0 && groups[count - 1].time_s + groups[count - 1].half_width_s > one.time_s - one.half_width_s) {
            one = joined(of, groups[--count].first, one.last);
        }
        groups[count++] = one;
    }
    return count;
}

/* A line up through the panel at each event, and its number above. */
static void mark_events(const panels *of, bool numbers)
{
    const trn_run *run = drawn_run(of);
    group groups[EVENTS_DRAWN];
    for (size_t i = 0; i < events_drawn(run); i++) {
        (void)fprintf(of->script,
                      "set arrow from first %.8g, graph 0 to first %.8g, graph 1 nohead dashtype 3 linewidth 0.8 "
                      "linecolor rgb '#606060'\n",
                      run->events[i].time_s, run->events[i].time_s);
    }
    const size_t count = numbers ? group_events(of, groups) : 0;
    for (size_t i = 0; i < count; i++) {
        (void)fprintf(of->script, "set label '%zu", groups[i].first + 1);
        if (groups[i].last > groups[i].first) {
            (void)fprintf(of->script, "–%zu", groups[i].last + 1);
        }
        (void)fprintf(of->script, "' at first %.8g, graph 1.08 center font ',9'\n", groups[i].time_s);
    }
}

/* Frame of a panel: row 0 is the highest; over the frame is room for a row of marks and the title. */
static void place_panel(const panels *of, int row, const char *title)
{
    const double top = of->top - of->height * row;
    (void)fprintf(of->script,
                  "set lmargin at screen %.4f\nset rmargin at screen %.4f\nset tmargin at screen %.4f\n"
                  "set bmargin at screen %.4f\nunset arrow\nunset key\nset tics font ',9'\n"
                  "set label '%s' at screen %.4f, screen %.4f left font ',9'\n",
                  of->place.left, of->place.right, top - 0.046, top - of->height + 0.046, title, of->place.left,
                  top - 0.016);
}

/* Labels are drawn with every panel from then on: the title, the caution and the events with one alone. */
static void clear_labels(const panels *of)
{
    (void)fputs("unset label\n", of->script);
}

static void time_axis(const panels *of)
{
    const double end_s = ready_s(drawn_run(of));
    (void)fprintf(of->script, "set xrange [0:%.8g]\nset xlabel 'time, s' offset 0,0.7 font ',9'\n",
                  end_s > 0 ? end_s : 1);
}

static void motion_panel(const panels *of)
{
    const char *name = direction_words[of->direction];
    place_panel(of, 0, "angle, degrees (full line, left); speed, °/s (broken line, right)");
    time_axis(of);
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
        of->direction == TRN_OPENING ? "Opening" : "Closing", (of->place.left + of->place.right) / 2, of->top + 0.014,
        name, name, name);
    clear_labels(of);
}

static void effort_title(const cycle *runs, char text[RUN_WORDS])
{
    const quantity what = runs->by_cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    (void)snprintf(text, RUN_WORDS,
                   runs->by_cylinders ? "pressure in each cylinder, %s (broken: the most of the pump)"
                                      : "motor torque, %s (broken: most of its law, dotted: rated)",
                   runs->shown.of[what].unit);
}

static void effort_panel(const panels *of)
{
    const cycle *runs = of->of;
    const char *name = direction_words[of->direction];
    char title[RUN_WORDS];
    effort_title(runs, title);
    place_panel(of, 1, title);
    time_axis(of);
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
    place_panel(of, 2, "speed, °/s, over opening angle (near and full switch marked)");
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

/* How many letters of an event and its detail have room in the column. */
static size_t event_letters(const panels *of)
{
    return (size_t)(132 * (of->place.right - of->place.left));
}

/* Number, time, angle, name and detail of each event, under the panels. */
static void list_events(const panels *of)
{
    const trn_run *run = drawn_run(of);
    const double pitch = 0.0125;
    const double top = of->top - 3 * of->height - 0.012;
    for (size_t i = 0; i < events_drawn(run); i++) {
        const trn_run_event *event = &run->events[i];
        char detail[RUN_WORDS];
        char angle[DISPLAY_TEXT];
        const double y = top - pitch * (double)i;
        const char *more = event_detail(of->of, of->direction, event, detail);
        (void)fprintf(of->script, "set label '%zu' at screen %.4f, screen %.4f right font ',8'\n", i + 1,
                      of->place.left - 0.025, y);
        (void)fprintf(of->script, "set label '%.2f s' at screen %.4f, screen %.4f right font ',8'\n", event->time_s,
                      of->place.left + 0.035, y);
        (void)fprintf(of->script, "set label '%s°' at screen %.4f, screen %.4f right font ',8'\n",
                      display_text(&of->of->shown, QUANTITY_ANGLE, event->angle_rad, angle), of->place.left + 0.09, y);
        (void)fprintf(of->script, "set label '%s%s'.", trn_event_words(event->kind), more[0] != '\0' ? ": " : "");
        plot_short_string(of->script, more, event_letters(of) - strlen(trn_event_words(event->kind)));
        (void)fprintf(of->script, " at screen %.4f, screen %.4f left font ',8'\n", of->place.left + 0.1, y);
    }
    if (run->event_count > EVENTS_DRAWN) {
        (void)fprintf(of->script, "set label 'and %zu more' at screen %.4f, screen %.4f left font ',8'\n",
                      run->event_count - EVENTS_DRAWN, of->place.left + 0.1, top - pitch * EVENTS_DRAWN);
    }
}

/* The most faults in a title. */
enum { FAULTS_DRAWN = 4 };

size_t cycle_title_lines(const cycle *of)
{
    const size_t told = of->asked->fault_count <= FAULTS_DRAWN ? of->asked->fault_count : FAULTS_DRAWN + 1;
    return 1 + of->asked->addition_count + told + of->has_gust + (of->asked->wind_record_file != NULL);
}

void cycle_title(const cycle *of, const char *what, FILE *script)
{
    plot_short_string(script, of->leaf->name, 46);
    (void)fprintf(script, ".': %s, case '.", what);
    plot_short_string(script, of->load_case->name, 34);
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
    (void)fputs(" at screen 0.5, screen 0.982 center font ',13'\n", of->script);
    of->top = fmax(0.96 - 0.021 * (double)cycle_title_lines(of->of), 0.55);
    of->height = (of->top - 0.225) / 3;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        of->direction = (trn_direction)k;
        if (of->of->of[k].asked) {
            of->place = column_of(alone, k);
            find_extent(of);
            list_events(of);
            motion_panel(of);
            effort_panel(of);
            phase_panel(of);
        }
    }
    (void)fputs("unset multiplot\n", of->script);
}

exit_status cycle_plot(const void *result, FILE *script)
{
    panels drawn = {.of = result, .script = script};
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE; k++) {
        const trn_run_setting setting =
            cycle_setting(drawn.of, (trn_direction)k, fmax(ready_s(&drawn.of->of[k].run) / CURVE_POINTS, 1e-6));
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
