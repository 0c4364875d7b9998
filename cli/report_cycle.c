/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An opening and a closing in time. */
#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "cycle_words.h"
#include "report.h"
#include "report_text.h"
#include "trunnion/motor.h"

static void write_basis(const report *of, html *page)
{
    const basis rows[] = {
        {"motion", "(J + J_P ψ′^2) θ″ + J_P ψ′ ψ″ θ′^2 = G − M − M_{wind} − M_{ice} + seat − sgn θ′ (F + brakes)",
         "equation of motion; Dormand and Prince (1980), order 5, events located to 1 ms or better"},
        {"drive", "G = (running motors − what their rotors take) i η", "divided by η where the leaf drives"},
        {"reference", "rest → speed → creep → full switch",
         "what 'travel' says; at the drive's limit the leaf falls behind its speed"},
        {"work", "motors = potential + kinetic + friction + gears + brakes + wind + seat", "energy"},
    };
    text_basis(page, rows, of->leaf->motors != NULL || of->cycle.by_cylinders ? 4 : 3);
}

static void write_inputs(const report *of, html *page)
{
    const trn_travel *travel = of->leaf->travel;
    const display *shown = &of->shown;
    text_inputs(page, "Inputs of the travel");
    text_input(page, "speed", "%s, reached in %s", amount_of(shown, QUANTITY_ANGULAR_SPEED, travel->speed_rad_s).text,
               amount_of(shown, QUANTITY_TIME, travel->accelerate_in_s).text);
    text_input(page, "near switches", "%s opening, %s closing",
               amount_of(shown, QUANTITY_ANGLE, travel->near_open_rad).text,
               amount_of(shown, QUANTITY_ANGLE, travel->near_closed_rad).text);
    text_input(page, "creep", "%s of the speed, reached in %s", amount_of(shown, QUANTITY_SHARE, travel->creep).text,
               amount_of(shown, QUANTITY_TIME, travel->decelerate_in_s).text);
    text_input(page, "shoes and buffers", "%s",
               of->leaf->seating != NULL ? "as 'seating' describes"
                                         : "rigid shoes, no buffers: no 'seating' is described");
    html_end(page);
}

static void write_seat(const report *of, html *page, const trn_seat *seat)
{
    const display *shown = &of->shown;
    if (!seat->seated) {
        return;
    }
    text_paragraph(page, "The toe comes down at %s with %s of energy; %s%s.",
                   amount_of(shown, QUANTITY_TOE_SPEED, seat->toe_speed_m_s).text,
                   amount_of(shown, QUANTITY_WORK, seat->energy_J).text,
                   seat->has_force ? "it presses with up to " : "with which force, a rigid shoe does not tell",
                   seat->has_force ? amount_of(shown, QUANTITY_FORCE, seat->toe_force_N).text : "");
}

static void write_answer(const report *of, html *page, trn_direction direction)
{
    const trn_run *run = &of->cycle.of[direction].run;
    char ended[RUN_WORDS];
    char held[RUN_WORDS];
    const bool line = !of->cycle.by_cylinders && of->leaf->motors->control == TRN_CONTROL_LINE;
    text_paragraph(page, "The leaf %s; %s.", end_words(&of->cycle, run, rest_s(run), direction, ended),
                   hold_words(&of->cycle, run, held));
    if (run->lag_s > 0) {
        text_note(page, "Note:",
                  "for %s the drive was at its limit: the load asked more than it gives, and the leaf "
                  "fell behind its speed.",
                  amount_of(&of->shown, QUANTITY_TIME, run->lag_s).text);
    }
    if (run->reached_switch && !run->at_creep && !line) {
        text_note(page, "Caution:", "it was not down to creep at the full switch, but at %s.",
                  amount_of(&of->shown, QUANTITY_ANGULAR_SPEED, run->switch_speed_rad_s).text);
    }
    write_seat(of, page, &run->seat);
}

/* A value of a row of the trace, in SI and degrees. */
typedef double row_value_of(const report *of, const trn_run_row *row);

static double row_angle(const report *of, const trn_run_row *row)
{
    (void)of;
    return degrees_of(row->angle_rad);
}

static double row_speed(const report *of, const trn_run_row *row)
{
    (void)of;
    return degrees_of(row->speed_rad_s);
}

static double row_effort(const report *of, const trn_run_row *row)
{
    return of->cycle.by_cylinders ? row->pressure_Pa : row->motor_Nm;
}

/* One of the three charts of a run, which stand under each other over one scale of time. */
typedef struct panel {
    const char *id;
    const char *kind;
    const char *key; /* of its series */
    const char *words;
    row_value_of *value;
    double factor;
    int style;
} panel;

static void mark_events(const chart *drawn, html *page, const trn_run *run)
{
    for (size_t i = 0; i < run->event_count && i < 40; i++) {
        char mark[16];
        (void)snprintf(mark, sizeof mark, "%zu", i + 1);
        chart_upright(drawn, page, run->events[i].time_s,
                      i == 0 || run->events[i].time_s - run->events[i - 1].time_s > (drawn->x.high - drawn->x.low) / 40
                          ? mark
                          : "");
    }
}

static void draw_panel(report *of, html *page, trn_direction direction, const panel *one, bool last)
{
    const trn_run *run = &of->cycle.of[direction].run;
    char id[64];
    char title[96];
    char name[SERIES_NAME];
    double *values = calloc(2 * run->row_count + 1, sizeof *values);
    if (values == NULL) {
        of->data_failed = 1;
        return;
    }
    double *times = values + run->row_count;
    (void)snprintf(id, sizeof id, "chart-%s-%s", direction_words[direction], one->id);
    (void)snprintf(title, sizeof title, "%s in time, %s", one->kind, direction_words[direction]);
    (void)snprintf(name, sizeof name, "%s %s", direction_words[direction], one->key);
    for (size_t i = 0; i < run->row_count; i++) {
        times[i] = run->rows[i].time_s;
        values[i] = one->value(of, &run->rows[i]);
    }
    data_series(of, name, values, run->row_count);
    for (size_t i = 0; i < run->row_count; i++) {
        values[i] *= one->factor;
    }
    chart drawn = {.id = id,
                   .title = title,
                   .x_words = "time, s",
                   .y_words = one->words,
                   .height = last ? 172 : 140,
                   .plain_x = !last,
                   .x = {.low = 0, .high = run->row_count > 0 ? times[run->row_count - 1] : 1}};
    chart_hold(&drawn.y, values, run->row_count);
    chart_round(&drawn);
    chart_begin(&drawn, page, "A line in time; numbers at its head are those of the table of events.");
    mark_events(&drawn, page, run);
    chart_line(&drawn, page, times, values, run->row_count, one->style, one->kind);
    chart_end(&drawn, page);
    data_chart(of, &drawn, direction_words[direction]);
    data_line(of, &drawn, name, one->factor, one->style);
    free(values);
}

static void draw_run(report *of, html *page, trn_direction direction)
{
    const quantity effort = of->cycle.by_cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    const trn_run *run = &of->cycle.of[direction].run;
    char words[64];
    char name[SERIES_NAME];
    (void)snprintf(words, sizeof words, "%s, %s", of->cycle.by_cylinders ? "pressure" : "torque",
                   of->shown.of[effort].unit);
    const panel panels[] = {{"angle", "angle", "angle_deg", "angle, °", row_angle, 1, 0},
                            {"speed", "speed", "speed_deg_s", "speed, °/s", row_speed, 1, 1},
                            {"effort", of->cycle.by_cylinders ? "pressure" : "motor torque",
                             of->cycle.by_cylinders ? "pressure_Pa" : "motor_Nm", words, row_effort,
                             of->shown.of[effort].factor, 2}};
    double *times = calloc(run->row_count + 1, sizeof *times);
    if (times == NULL) {
        of->data_failed = 1;
        return;
    }
    for (size_t i = 0; i < run->row_count; i++) {
        times[i] = run->rows[i].time_s;
    }
    (void)snprintf(name, sizeof name, "%s time_s", direction_words[direction]);
    data_series(of, name, times, run->row_count);
    free(times);
    text_figure(page);
    for (size_t i = 0; i < 3; i++) {
        draw_panel(of, page, direction, &panels[i], i == 2);
    }
    text_caption(page,
                 "%s in time: angle, speed and %s. Upright lines are events; their numbers are those of the "
                 "table.",
                 direction == TRN_OPENING ? "Opening" : "Closing",
                 of->cycle.by_cylinders ? "pressure in each cylinder" : "torque of each running motor");
}

static void write_events(const report *of, html *page, trn_direction direction)
{
    const display *shown = &of->shown;
    const trn_run *run = &of->cycle.of[direction].run;
    const heading headings[] = {{"No.", "", true},
                                {"Time", shown->of[QUANTITY_TIME].unit, true},
                                {"Angle", shown->of[QUANTITY_ANGLE].unit, true},
                                {"Speed", shown->of[QUANTITY_ANGULAR_SPEED].unit, true},
                                {"Event", "", false},
                                {"Detail", "", false}};
    char text[RUN_WORDS];
    text_table(page, direction == TRN_OPENING ? "Events of the opening" : "Events of the closing", NULL, headings, 6);
    for (size_t i = 0; i < run->event_count; i++) {
        const trn_run_event *event = &run->events[i];
        (void)snprintf(text, sizeof text, "%zu", i + 1);
        text_row_number(page, text);
        text_amount(page, shown, QUANTITY_TIME, event->time_s);
        text_amount(page, shown, QUANTITY_ANGLE, event->angle_rad);
        text_amount(page, shown, QUANTITY_ANGULAR_SPEED, event->speed_rad_s);
        text_cell(page, trn_event_words(event->kind));
        text_cell(page, event_detail(&of->cycle, direction, event, text));
        html_end(page);
    }
    text_table_end(page);
}

static void both(const report *of, html *page, const char *words, quantity what, const double values[DIRECTIONS])
{
    text_row(page, words);
    text_number(page, amount_of(&of->shown, what, values[TRN_OPENING]).text);
    text_number(page, amount_of(&of->shown, what, values[TRN_CLOSING]).text);
    html_end(page);
}

/* A number of both runs, in one line of the table. */
#define BOTH(member)                                                               \
    (const double[DIRECTIONS])                                                     \
    {                                                                              \
        of->cycle.of[TRN_OPENING].run.member, of->cycle.of[TRN_CLOSING].run.member \
    }

static void write_numbers(const report *of, html *page)
{
    static const heading headings[] = {{"Quantity", "", false}, {"Opening", "", true}, {"Closing", "", true}};
    const trn_run *runs[DIRECTIONS] = {&of->cycle.of[TRN_OPENING].run, &of->cycle.of[TRN_CLOSING].run};
    text_table(page, "Both runs in numbers", NULL, headings, 3);
    if (runs[TRN_OPENING]->reached_switch && runs[TRN_CLOSING]->reached_switch) {
        both(of, page, "time to the full switch", QUANTITY_TIME, BOTH(time_s));
        both(of, page, "speed there", QUANTITY_ANGULAR_SPEED, BOTH(switch_speed_rad_s));
    }
    both(of, page, "time until it rests and the brakes are set", QUANTITY_TIME, BOTH(end_time_s));
    both(of, page, "angle there", QUANTITY_ANGLE, BOTH(end_angle_rad));
    both(of, page, "hardest deceleration, power off", QUANTITY_ACCELERATION, BOTH(peak_deceleration_rad_s2));
    if (of->cycle.by_cylinders) {
        both(of, page, "highest pressure in a cylinder", QUANTITY_OIL_PRESSURE, BOTH(peak_pressure_Pa));
    } else {
        both(of, page, "torque of each motor that broke it away", QUANTITY_TORQUE, BOTH(break_away_Nm));
        both(of, page, "largest torque of each motor", QUANTITY_TORQUE, BOTH(peak_motor_Nm));
        both(of, page, "root mean square torque while on", QUANTITY_TORQUE, BOTH(rms_motor_Nm));
    }
    both(of, page, "given by the drive, less what it took", QUANTITY_WORK, BOTH(work.motors_J));
    both(of, page, "… to the rise of the weights", QUANTITY_WORK, BOTH(work.potential_J));
    both(of, page, "… lost in trunnions", QUANTITY_WORK, BOTH(work.friction_J));
    both(of, page, "… lost in gears, or between oil and leaf", QUANTITY_WORK, BOTH(work.gears_J));
    both(of, page, "… to heat in brakes, or at shut valves", QUANTITY_WORK, BOTH(work.brakes_J));
    both(of, page, "… against the wind", QUANTITY_WORK, BOTH(work.wind_J));
    both(of, page, "… to shoes and buffers", QUANTITY_WORK, BOTH(work.seat_J));
    both(of, page, "… still in motion at the end", QUANTITY_WORK, BOTH(work.kinetic_J));
    text_table_end(page);
}

void report_cycle(report *of, html *page)
{
    static const char *const titles[DIRECTIONS] = {"Opening", "Closing"};
    text_section(page, "cycle", "An opening and a closing in time");
    if (!of->has_cycle.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_cycle.missing);
        html_end(page);
        return;
    }
    html_start(page, "p");
    html_text(page, "From the release of the brakes to rest, in the circumstances of case ");
    html_name(page, of->cycle.load_case->name);
    html_text(page, ".");
    html_end(page);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        html_start(page, "section");
        html_attribute(page, "class", "case");
        text_heading(page, "h3", titles[k], NULL);
        write_answer(of, page, (trn_direction)k);
        draw_run(of, page, (trn_direction)k);
        write_events(of, page, (trn_direction)k);
        html_end(page);
    }
    write_numbers(of, page);
    report_faults(of, page);
    write_inputs(of, page);
    write_basis(of, page);
    html_end(page);
}
