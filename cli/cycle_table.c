/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of cycle: what happened, how it seats, whether it holds, where the work went. */
#include <math.h>

#include "angles.h"
#include "cycle_words.h"
#include "present/table.h"
#include "remedy.h"
#include "trunnion/motor.h"

static const char *const titles[DIRECTIONS] = {[TRN_OPENING] = "Opening", [TRN_CLOSING] = "Closing"};

void print_holding_note(const cycle *of, FILE *stream)
{
    if (of->leaf->holding_count > 0) {
        (void)fputs("The winds of the file's own 'holding' cases are not held here: 'trunnion brake' answers them.\n",
                    stream);
    }
}

static void print_heading(const cycle *of, FILE *stream)
{
    const bool both = of->of[TRN_OPENING].asked && of->of[TRN_CLOSING].asked;
    (void)fprintf(stream, "%s: %s in time, case '%s'%s\n", of->leaf->name,
                  both                        ? "an opening and a closing"
                  : of->of[TRN_OPENING].asked ? "an opening"
                                              : "a closing",
                  of->load_case->name, display_friction_note(of->leaf));
    print_upsets(of, stream);
}

static void print_seat(const cycle *of, const trn_seat *seat, FILE *stream)
{
    const display *shown = &of->shown;
    char speed[DISPLAY_TEXT];
    char energy[DISPLAY_TEXT];
    char force[DISPLAY_TEXT];
    (void)fprintf(stream, "  The toe comes down at %s %s with %s %s of energy",
                  display_text(shown, QUANTITY_TOE_SPEED, seat->toe_speed_m_s, speed),
                  shown->of[QUANTITY_TOE_SPEED].unit, display_text(shown, QUANTITY_WORK, seat->energy_J, energy),
                  shown->of[QUANTITY_WORK].unit);
    if (seat->has_force) {
        (void)fprintf(stream, "; it presses with up to %s %s",
                      display_text(shown, QUANTITY_FORCE, seat->toe_force_N, force), shown->of[QUANTITY_FORCE].unit);
    }
    if (seat->buffer_force_N > 0) {
        (void)fprintf(stream, ", on the buffers with up to %s %s",
                      display_text(shown, QUANTITY_FORCE, seat->buffer_force_N, force), shown->of[QUANTITY_FORCE].unit);
    }
    (void)fputs(".\n", stream);
    if (!seat->has_force) {
        (void)fputs("  How hard rigid shoes are struck cannot be told: give 'shoe_stiffness' in 'seating'.\n", stream);
    }
}

/* Whether another place of the near switch would bring the leaf down to creep. */
static bool switch_is_cause(const cycle *of, trn_direction direction)
{
    const cycle_direction *one = &of->of[direction];
    const trn_run_setting setting = cycle_setting(of, direction, 0);
    trn_switch_place place = {0};
    trn_error error;
    for (size_t i = 0; i < one->upset_count; i++) {
        if (!cycle_beside_switches(one->upsets[i].kind)) {
            return false;
        }
    }
    const trn_status status = trn_leaf_switch_place(of->leaf, &setting, 0, &place, &error);
    trn_run_free(&place.early);
    trn_run_free(&place.given);
    trn_run_free(&place.late);
    return status == TRN_OK && place.possible && place.margin_rad < 0;
}

static void print_answer(const cycle *of, trn_direction direction, FILE *stream)
{
    const trn_run *run = &of->of[direction].run;
    char words[RUN_WORDS];
    (void)fprintf(stream, "\n%s: the leaf %s;\n", titles[direction], end_words(of, run, rest_s(run), direction, words));
    (void)fprintf(stream, "  %s.\n", hold_words(of, run, words));
    if (run->lag_s > 0) {
        (void)fprintf(
            stream,
            "  For %.2f s the drive was at its limit: the load asked more than it gives, and the leaf fell behind its "
            "speed.\n",
            run->lag_s);
    }
    if (creep_words(of, run, words)[0] != '\0') {
        (void)fprintf(stream, "  %s%s.\n", words,
                      switch_is_cause(of, direction) ? ": see 'trunnion cycle --switches'" : "");
    }
    if (run->seat.seated) {
        print_seat(of, &run->seat, stream);
    }
    print_wind_notes(of, direction, stream);
    if (remedy_run(of, direction, run) != NULL) {
        (void)fprintf(stream, "  What would help: %s\n", remedy_run(of, direction, run));
    }
}

/* A row of numbers: what, the value of each direction, the unit. */
static void number_row(table *made, const cycle *of, const char *words, quantity what, const double values[DIRECTIONS],
                       const bool there[DIRECTIONS])
{
    char text[DISPLAY_TEXT];
    table_cell(made, words);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (of->of[k].asked) {
            table_cell(made, there == NULL || there[k] ? display_text(&of->shown, what, values[k], text) : "–");
        }
    }
    table_cell(made, of->shown.of[what].unit);
}

static void heading_row(table *made, const cycle *of, const char *words)
{
    table_cell(made, words);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (of->of[k].asked) {
            table_cell(made, direction_words[k]);
        }
    }
    table_cell(made, "");
}

static const char *columns_of(const cycle *of)
{
    return of->of[TRN_OPENING].asked && of->of[TRN_CLOSING].asked ? "lrrl" : "lrl";
}

/* A number of both runs, in one line of the table. */
#define BOTH(member)                                                   \
    (const double[DIRECTIONS])                                         \
    {                                                                  \
        of->of[TRN_OPENING].run.member, of->of[TRN_CLOSING].run.member \
    }

static void effort_rows(table *made, const cycle *of)
{
    if (of->by_cylinders) {
        number_row(made, of, "highest pressure in a cylinder", QUANTITY_OIL_PRESSURE, BOTH(peak_pressure_Pa), NULL);
        return;
    }
    const double rated_Nm = trn_motor_rated_torque(of->leaf->motors);
    const double shares[DIRECTIONS] = {of->of[TRN_OPENING].run.peak_motor_Nm / rated_Nm,
                                       of->of[TRN_CLOSING].run.peak_motor_Nm / rated_Nm};
    const double rms_shares[DIRECTIONS] = {of->of[TRN_OPENING].run.rms_motor_Nm / rated_Nm,
                                           of->of[TRN_CLOSING].run.rms_motor_Nm / rated_Nm};
    number_row(made, of, "torque of each motor that broke it away", QUANTITY_TORQUE, BOTH(break_away_Nm), NULL);
    number_row(made, of, "largest torque of each motor after that", QUANTITY_TORQUE, BOTH(peak_motor_Nm), NULL);
    number_row(made, of, "  of the rated torque", QUANTITY_SHARE, shares, NULL);
    number_row(made, of, "root mean square torque while on", QUANTITY_TORQUE, BOTH(rms_motor_Nm), NULL);
    number_row(made, of, "  of the rated torque", QUANTITY_SHARE, rms_shares, NULL);
}

static exit_status numbers_table(const cycle *of, FILE *stream)
{
    const bool reached[DIRECTIONS] = {of->of[TRN_OPENING].run.reached_switch, of->of[TRN_CLOSING].run.reached_switch};
    const bool rests[DIRECTIONS] = {run_rests(&of->of[TRN_OPENING].run), run_rests(&of->of[TRN_CLOSING].run)};
    const double ready[DIRECTIONS] = {ready_s(&of->of[TRN_OPENING].run), ready_s(&of->of[TRN_CLOSING].run)};
    const double since[DIRECTIONS] = {rest_s(&of->of[TRN_OPENING].run), rest_s(&of->of[TRN_CLOSING].run)};
    char text[DISPLAY_TEXT];
    table made = table_make(columns_of(of), 1);
    heading_row(&made, of, "in numbers");
    number_row(&made, of, "time to the full switch", QUANTITY_TIME, BOTH(time_s), reached);
    number_row(&made, of, "speed there", QUANTITY_ANGULAR_SPEED, BOTH(switch_speed_rad_s), reached);
    number_row(&made, of, "time to rest", QUANTITY_TIME, since, rests);
    number_row(&made, of, "time until it rests and the brakes are set", QUANTITY_TIME, ready, rests);
    number_row(&made, of, "angle at the end", QUANTITY_ANGLE, BOTH(end_angle_rad), NULL);
    number_row(&made, of, "hardest deceleration, power off", QUANTITY_ACCELERATION, BOTH(peak_deceleration_rad_s2),
               NULL);
    effort_rows(&made, of);
    number_row(&made, of, "time of the drive at its limit", QUANTITY_TIME, BOTH(lag_s), NULL);
    number_row(&made, of, "ran back", QUANTITY_ANGLE, BOTH(ran_back_rad), NULL);
    number_row(&made, of, "to be held at the end, no friction credited", QUANTITY_MOMENT, BOTH(hold_demand_Nm), rests);
    number_row(&made, of, "  in a wind of", QUANTITY_PRESSURE, BOTH(hold_wind_Pa), rests);
    number_row(&made, of, of->by_cylinders ? "brakes and shut valves hold" : "brakes hold", QUANTITY_MOMENT,
               BOTH(hold_capacity_Nm), rests);
    table_cell(&made, "brakes hold at the end");
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (of->of[k].asked) {
            table_cell(&made, rests[k] ? factor_words(of->of[k].run.hold_factor, text) : "–");
        }
    }
    table_cell(&made, "times");
    return table_print(&made, stream);
}

static exit_status work_table(const cycle *of, FILE *stream)
{
    table made = table_make(columns_of(of), 1);
    heading_row(&made, of, "where the work went");
    number_row(&made, of,
               of->by_cylinders ? "given by the oil, less what it took" : "given by the motors, less what they took",
               QUANTITY_WORK, BOTH(work.motors_J), NULL);
    number_row(&made, of, "  of it given", QUANTITY_WORK, BOTH(work.driving_J), NULL);
    number_row(&made, of, "to the rise of the weights", QUANTITY_WORK, BOTH(work.potential_J), NULL);
    number_row(&made, of, "in motion at the end", QUANTITY_WORK, BOTH(work.kinetic_J), NULL);
    number_row(&made, of, "lost in trunnions", QUANTITY_WORK, BOTH(work.friction_J), NULL);
    number_row(&made, of, of->by_cylinders ? "lost between oil and leaf" : "lost in gears", QUANTITY_WORK,
               BOTH(work.gears_J), NULL);
    number_row(&made, of, of->by_cylinders ? "to heat in brakes and shut valves" : "to heat in the brakes",
               QUANTITY_WORK, BOTH(work.brakes_J), NULL);
    number_row(&made, of, "against the wind", QUANTITY_WORK, BOTH(work.wind_J), NULL);
    number_row(&made, of, "to shoes and buffers", QUANTITY_WORK, BOTH(work.seat_J), NULL);
    return table_print(&made, stream);
}

static exit_status events_table(const cycle *of, trn_direction direction, FILE *stream)
{
    const trn_run *run = &of->of[direction].run;
    const quantity shown[] = {QUANTITY_TIME, QUANTITY_ANGLE, QUANTITY_ANGULAR_SPEED};
    char text[DISPLAY_TEXT];
    char detail[RUN_WORDS];
    table made = table_make("rrrll", 2);
    table_cell(&made, "time");
    table_cell(&made, "angle");
    table_cell(&made, "speed");
    table_cell(&made, direction_words[direction]);
    table_cell(&made, "");
    for (size_t i = 0; i < 3; i++) {
        table_cell(&made, of->shown.of[shown[i]].unit);
    }
    table_cell(&made, "");
    table_cell(&made, "");
    for (size_t i = 0; i < run->event_count; i++) {
        const trn_run_event *event = &run->events[i];
        const double values[] = {event->time_s, event->angle_rad, event->speed_rad_s};
        for (size_t k = 0; k < 3; k++) {
            table_cell(&made, display_text(&of->shown, shown[k], values[k], text));
        }
        table_cell(&made, trn_event_words(event->kind));
        table_cell(&made, event_detail(of, direction, event, detail));
    }
    return table_print(&made, stream);
}

/* The trace stands in a table only where its step was asked for. */
static exit_status trace_table(const cycle *of, trn_direction direction, FILE *stream)
{
    const trn_run *run = &of->of[direction].run;
    const quantity effort = of->by_cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    const quantity shown[] = {QUANTITY_TIME, QUANTITY_ANGLE, QUANTITY_ANGULAR_SPEED, effort, QUANTITY_PRESSURE};
    const char *const words[] = {"time", "angle", "speed", of->by_cylinders ? "pressure" : "motor torque", "wind"};
    char text[DISPLAY_TEXT];
    table made = table_make("rrrrr", 2);
    for (size_t i = 0; i < 5; i++) {
        table_cell(&made, words[i]);
    }
    for (size_t i = 0; i < 5; i++) {
        table_cell(&made, of->shown.of[shown[i]].unit);
    }
    for (size_t i = 0; i < run->row_count; i++) {
        const trn_run_row *row = &run->rows[i];
        const double values[] = {row->time_s, row->angle_rad, row->speed_rad_s,
                                 of->by_cylinders ? row->pressure_Pa : row->motor_Nm, row->wind_Pa};
        for (size_t k = 0; k < 5; k++) {
            table_cell(&made, display_text(&of->shown, shown[k], values[k], text));
        }
    }
    (void)fprintf(stream, "\nTrace, %s\n\n", direction_words[direction]);
    return table_print(&made, stream);
}

exit_status cycle_table(const void *result, FILE *stream)
{
    const cycle *of = result;
    print_heading(of, stream);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        if (of->of[k].asked) {
            print_answer(of, (trn_direction)k, stream);
        }
    }
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE; k++) {
        if (of->of[k].asked) {
            (void)fputc('\n', stream);
            status = events_table(of, (trn_direction)k, stream);
        }
    }
    (void)fputc('\n', stream);
    status = status == EXIT_DONE ? numbers_table(of, stream) : status;
    print_holding_note(of, stream);
    (void)fputc('\n', stream);
    status = status == EXIT_DONE ? work_table(of, stream) : status;
    (void)fputs("What was given equals the sum of what it went to. A speed above 0 opens.\n", stream);
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE && of->asked->every_given; k++) {
        status = of->of[k].asked ? trace_table(of, (trn_direction)k, stream) : status;
    }
    return status;
}
