/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle --sweep: one fault over all angles: where the leaf comes to rest, how hard, and whether it is held there. */
#include "cycle_sweep.h"

#include <math.h>
#include <stdlib.h>

#include "cycle_json.h"
#include "cycle_plot.h"
#include "cycle_words.h"
#include "deliver.h"
#include "message.h"
#include "present/csv.h"
#include "present/table.h"

/* A run takes about a millisecond. */
#define SWEEP_STEP_LEAST_DEG 0.01

double sweep_run_on_deg(const sweep_row *row)
{
    const double run_deg = degrees_of(row->run.end_angle_rad) - row->angle_deg;
    return row->direction == TRN_OPENING ? run_deg : -run_deg;
}

/* The event of the upset in question, or NULL. */
static const trn_run_event *find_upset(const trn_run *run, size_t upset)
{
    for (size_t i = 0; i < run->event_count; i++) {
        if (run->events[i].kind == TRN_EVENT_UPSET && run->events[i].which == upset) {
            return &run->events[i];
        }
    }
    return NULL;
}

/* The place of the swept fault among the upsets of a direction; their count where it is none of them. */
static size_t place_of_fault(const sweep *swept, const cycle_direction *one)
{
    size_t place = 0;
    while (place < one->upset_count && one->fault_of[place] != swept->fault) {
        place++;
    }
    return place;
}

static exit_status run_row(const sweep *swept, size_t upset, sweep_row *row)
{
    cycle_direction *one = &swept->of->of[row->direction];
    one->upsets[upset].angle_rad = radians_of(row->angle_deg);
    const trn_run_setting setting = cycle_setting(swept->of, row->direction, 0);
    const exit_status status = cycle_run(swept->of, &setting, &row->run);
    if (status == EXIT_DONE) {
        const trn_run_event *event = find_upset(&row->run, upset);
        row->happens = event != NULL;
        row->fault_s = event != NULL ? event->time_s : 0;
        row->rest_s = rest_s(&row->run);
        trn_run_free(&row->run);
    }
    return status;
}

static exit_status run_angles(sweep *swept, const angle_list *angles)
{
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE; k++) {
        const cycle_direction *one = &swept->of->of[k];
        const size_t upset = place_of_fault(swept, one);
        for (size_t i = 0; i < angles->count && upset < one->upset_count && status == EXIT_DONE; i++) {
            sweep_row *row = &swept->rows[swept->count++];
            *row = (sweep_row){.direction = (trn_direction)k, .angle_deg = angles->degrees[i]};
            status = run_row(swept, upset, row);
        }
    }
    return status;
}

exit_status sweep_make(const angle_list *angles, sweep *swept)
{
    const cycle *of = swept->of;
    while (of->faults[swept->fault].has_angle || !cycle_at_angle(of->faults[swept->fault].upset.kind)) {
        swept->fault++;
    }
    swept->rows = calloc(DIRECTIONS * angles->count, sizeof *swept->rows);
    return swept->rows != NULL ? run_angles(swept, angles) : fail_memory();
}

static void sweep_heading(const sweep *swept, FILE *stream)
{
    const cycle *of = swept->of;
    (void)fprintf(stream, "%s: a fault at every angle, case '%s'%s\n", of->leaf->name, of->load_case->name,
                  display_friction_note(of->leaf));
    print_upsets(of, stream);
}

static void sweep_columns(table *made, const display *shown)
{
    static const char *const words[] = {"direction", "fault at", "rests at",    "run on",      "after",
                                        "hardest",   "toe",      "brakes hold", "what happens"};
    const char *const units[] = {"",
                                 shown->of[QUANTITY_ANGLE].unit,
                                 shown->of[QUANTITY_ANGLE].unit,
                                 shown->of[QUANTITY_ANGLE].unit,
                                 shown->of[QUANTITY_TIME].unit,
                                 shown->of[QUANTITY_ACCELERATION].unit,
                                 shown->of[QUANTITY_TOE_SPEED].unit,
                                 "times",
                                 ""};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        table_cell(made, words[i]);
    }
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        table_cell(made, units[i]);
    }
}

static void sweep_cells(table *made, const cycle *of, const sweep_row *row)
{
    const display *shown = &of->shown;
    char verdict[RUN_WORDS];
    const trn_run *run = &row->run;
    char text[DISPLAY_TEXT];
    table_cell(made, direction_words[row->direction]);
    table_cell(made, display_text(shown, QUANTITY_ANGLE, radians_of(row->angle_deg), text));
    if (!row->happens) {
        for (int i = 0; i < 6; i++) {
            table_cell(made, "–");
        }
        table_cell(made, "the leaf does not pass that angle");
        return;
    }
    table_cell(made, display_text(shown, QUANTITY_ANGLE, run->end_angle_rad, text));
    table_cell(made, display_text(shown, QUANTITY_ANGLE, radians_of(sweep_run_on_deg(row)), text));
    table_cell(made, run_rests(run) ? display_text(shown, QUANTITY_TIME, row->rest_s - row->fault_s, text) : "–");
    table_cell(made, display_text(shown, QUANTITY_ACCELERATION, run->peak_deceleration_rad_s2, text));
    table_cell(made, run->seat.seated ? display_text(shown, QUANTITY_TOE_SPEED, run->seat.toe_speed_m_s, text) : "–");
    table_cell(made, run_rests(run) ? factor_words(run->hold_factor, text) : "–");
    table_cell(made, short_verdict(of, run, verdict));
}

/* The row of a direction in which something is largest; NULL without any. */
static const sweep_row *largest(const sweep *swept, trn_direction direction, double (*of_row)(const sweep_row *))
{
    const sweep_row *found = NULL;
    for (size_t i = 0; i < swept->count; i++) {
        const sweep_row *row = &swept->rows[i];
        if (row->happens && row->direction == direction && (found == NULL || of_row(row) > of_row(found))) {
            found = row;
        }
    }
    return found;
}

static double deceleration(const sweep_row *row)
{
    return row->run.peak_deceleration_rad_s2;
}

static double less_held(const sweep_row *row)
{
    return -row->run.hold_factor;
}

static void print_worst(const sweep *swept, trn_direction direction, FILE *stream)
{
    const display *shown = &swept->of->shown;
    const sweep_row *longest = largest(swept, direction, sweep_run_on_deg);
    char text[DISPLAY_TEXT];
    if (longest == NULL) {
        return;
    }
    const sweep_row *hardest = largest(swept, direction, deceleration);
    const sweep_row *least = largest(swept, direction, less_held);
    (void)fprintf(stream, "%s: it runs on longest from %.4g°, by %.3f°;",
                  direction == TRN_OPENING ? "\nOpening" : "Closing", longest->angle_deg, sweep_run_on_deg(longest));
    (void)fprintf(stream, " the hardest stop is from %.4g°, %s %s;", hardest->angle_deg,
                  display_text(shown, QUANTITY_ACCELERATION, hardest->run.peak_deceleration_rad_s2, text),
                  shown->of[QUANTITY_ACCELERATION].unit);
    if (isfinite(least->run.hold_factor)) {
        (void)fprintf(stream, " the brakes hold least from %.4g°, %s times.\n", least->angle_deg,
                      factor_words(least->run.hold_factor, text));
    } else {
        (void)fputs(" nothing needs to be held.\n", stream);
    }
}

static exit_status sweep_table(const void *result, FILE *stream)
{
    const sweep *swept = result;
    table made = table_make("lrrrrrrrl", 2);
    sweep_heading(swept, stream);
    (void)fputc('\n', stream);
    sweep_columns(&made, &swept->of->shown);
    for (size_t i = 0; i < swept->count; i++) {
        sweep_cells(&made, swept->of, &swept->rows[i]);
    }
    const exit_status status = table_print(&made, stream);
    print_worst(swept, TRN_OPENING, stream);
    print_worst(swept, TRN_CLOSING, stream);
    (void)fputs(
        "'after' is the time from the fault to rest, 'hardest' the largest deceleration with the power off, 'toe' "
        "its speed\nwhere it comes down on its shoes, 'brakes hold' what they hold over what is to be held there in "
        "the "
        "strongest wind\nof the run, no friction credited.\n",
        stream);
    print_holding_note(swept->of, stream);
    return status;
}

static exit_status sweep_csv(const void *result, FILE *stream)
{
    const sweep *swept = result;
    (void)fputs(
        "case,direction,fault_angle_deg,happens,end,end_angle_deg,run_on_deg,time_s,peak_deceleration_deg_s2,"
        "toe_speed_m_s,toe_force_N,ran_back_deg,past_end_deg,hold_factor,hold_wind_Pa,hold_demand_Nm,hold_capacity_Nm,"
        "safe,met\r\n",
        stream);
    for (size_t i = 0; i < swept->count; i++) {
        const sweep_row *row = &swept->rows[i];
        const trn_run *run = &row->run;
        const bool there = row->happens;
        csv_text(stream, swept->of->load_case->name, true);
        csv_text(stream, direction_words[row->direction], false);
        csv_number(stream, row->angle_deg, false);
        csv_text(stream, there ? "true" : "false", false);
        csv_text(stream, there ? end_name(run->end) : "", false);
        csv_number_if(stream, there, degrees_of(run->end_angle_rad));
        csv_number_if(stream, there, sweep_run_on_deg(row));
        csv_number_if(stream, there && run_rests(run), row->rest_s - row->fault_s);
        csv_number_if(stream, there, degrees_of(run->peak_deceleration_rad_s2));
        csv_number_if(stream, there && run->seat.seated, run->seat.toe_speed_m_s);
        csv_number_if(stream, there && run->seat.seated && run->seat.has_force, run->seat.toe_force_N);
        csv_number_if(stream, there, degrees_of(run->ran_back_rad));
        csv_number_if(stream, there, degrees_of(run->past_end_rad));
        csv_number_if(stream, there && has_factor(run), run->hold_factor);
        csv_number_if(stream, there && run_rests(run), run->hold_wind_Pa);
        csv_number_if(stream, there && run_rests(run), run->hold_demand_Nm);
        csv_number_if(stream, there && run_rests(run), run->hold_capacity_Nm);
        csv_text(stream, !there ? "" : trn_run_is_safe(run) ? "true" : "false", false);
        csv_text(stream, !there ? "" : cycle_met(swept->of, row->direction, run) ? "true" : "false", false);
        csv_end_line(stream);
    }
    return EXIT_DONE;
}

static json_t *row_json(const cycle *of, const sweep_row *row)
{
    const trn_run *run = &row->run;
    const bool there = row->happens;
    json_t *object = json_pack("{s:s, s:f, s:b}", "direction", direction_words[row->direction], "fault_angle_deg",
                               row->angle_deg, "happens", there);
    int failed = object == NULL;
    failed |= json_object_set_new(object, "end", there ? json_string(end_name(run->end)) : json_null());
    failed |= json_put(object, "end_angle_deg", there, degrees_of(run->end_angle_rad));
    failed |= json_put(object, "run_on_deg", there, sweep_run_on_deg(row));
    failed |= json_put(object, "time_s", there && run_rests(run), row->rest_s - row->fault_s);
    failed |= json_put(object, "peak_deceleration_deg_s2", there, degrees_of(run->peak_deceleration_rad_s2));
    failed |= put_hold(object, run, there);
    failed |= json_object_set_new(object, "safe", there ? json_boolean(trn_run_is_safe(run)) : json_null());
    failed |=
        json_object_set_new(object, "met", there ? json_boolean(cycle_met(of, row->direction, run)) : json_null());
    failed |= json_object_set_new(object, "seat", there ? seat_json(&run->seat) : json_null());
    return json_unless(failed, object);
}

static exit_status sweep_json(const void *result, FILE *stream)
{
    const sweep *swept = result;
    json_t *object = cycle_object(swept->of);
    json_t *rows = json_array();
    int failed = object == NULL || rows == NULL;
    for (size_t i = 0; i < swept->count && failed == 0; i++) {
        failed = json_array_append_new(rows, row_json(swept->of, &swept->rows[i]));
    }
    failed |= json_object_set_new(object, "fault", json_string(swept->of->asked->faults[swept->fault]));
    failed |= json_object_set_new(object, "sweep", json_unless(failed, rows));
    failed |= put_upsets(object, swept->of);
    return json_write(json_unless(failed, object), stream);
}

/* One sentence a direction: how many angles, and the first of them. */
static exit_status sweep_verdict(const sweep *swept, trn_direction direction)
{
    const cycle *of = swept->of;
    const sweep_row *first = NULL;
    size_t bad = 0;
    size_t all = 0;
    for (size_t i = 0; i < swept->count; i++) {
        const sweep_row *row = &swept->rows[i];
        if (row->happens && row->direction == direction) {
            const bool is_bad = !cycle_met(of, direction, &row->run);
            first = first == NULL && is_bad ? row : first;
            bad += is_bad;
            all++;
        }
    }
    if (first == NULL) {
        return EXIT_DONE;
    }
    char ended[RUN_WORDS];
    char held[RUN_WORDS];
    return not_met("case '%s', %s, '%s': at %zu of %zu angles the leaf does not end in a safe rest; from %.4g "
                   "degree it %s; %s",
                   of->load_case->name, direction_words[direction], of->asked->faults[swept->fault], bad, all,
                   first->angle_deg, end_words(of, &first->run, first->rest_s, direction, ended),
                   hold_words(of, &first->run, held));
}

static exit_status tell(const sweep *swept)
{
    static const presentation how = {sweep_table, sweep_csv, sweep_json, sweep_plot, {900, SWEEP_HEIGHT}};
    exit_status status = deliver(swept->of->asked, &how, swept);
    if (status == EXIT_DONE) {
        const exit_status opening = sweep_verdict(swept, TRN_OPENING);
        const exit_status closing = sweep_verdict(swept, TRN_CLOSING);
        status = opening != EXIT_DONE ? opening : closing;
    }
    return status;
}

exit_status cycle_sweep(cycle *of)
{
    const options *asked = of->asked;
    const bool coarse = asked->format == FORMAT_TABLE && asked->plot_file == NULL;
    const double step_deg = asked->step_given ? asked->step_deg : coarse ? 5 : 1;
    angle_list angles;
    sweep swept = {.of = of};
    if (step_deg < SWEEP_STEP_LEAST_DEG) {
        return fail(EXIT_BAD_INPUT,
                    "--step %g degree: expected %g degree or more for --sweep, which runs the leaf once for "
                    "each angle",
                    step_deg, SWEEP_STEP_LEAST_DEG);
    }
    exit_status status = angle_list_make(of->leaf->opens_to_rad, step_deg, &angles);
    if (status != EXIT_DONE) {
        return status;
    }
    status = sweep_make(&angles, &swept);
    if (status == EXIT_DONE) {
        status = tell(&swept);
    }
    free(swept.rows);
    angle_list_free(&angles);
    return status;
}
