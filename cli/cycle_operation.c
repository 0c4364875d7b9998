/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle --operation: the whole operation in time, and how long the road is closed. */
#include "cycle_operation.h"

#include <math.h>
#include <stdlib.h>

#include "cycle_json.h"
#include "cycle_words.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/table.h"

static const char *motion_name(trn_step_motion motion)
{
    return motion == TRN_STEP_RAISES ? "raise" : motion == TRN_STEP_LOWERS ? "lower" : "still";
}

static const char *road_name(trn_step_road road)
{
    return road == TRN_ROAD_CLOSES ? "closes" : road == TRN_ROAD_OPENS ? "opens" : "";
}

/* A motion that does not arrive has no duration that the steps behind it could wait for. */
static bool arrives(const trn_run *run)
{
    return run->reached_switch && trn_run_is_safe(run);
}

static exit_status time_steps(operation *timed)
{
    const cycle *of = timed->of;
    trn_error error;
    timed->there = arrives(&of->of[TRN_OPENING].run) && arrives(&of->of[TRN_CLOSING].run);
    if (timed->there &&
        trn_operation_times(of->leaf->steps, of->leaf->step_count, ready_s(&of->of[TRN_OPENING].run),
                            ready_s(&of->of[TRN_CLOSING].run), timed->times, &timed->whole, &error) != TRN_OK) {
        return fail_leaf(of->asked, &error);
    }
    return EXIT_DONE;
}

static exit_status steps_table(const operation *timed, FILE *stream)
{
    const cycle *of = timed->of;
    const char *unit = of->shown.of[QUANTITY_TIME].unit;
    char text[DISPLAY_TEXT];
    table made = table_make("rrrll", 2);
    const char *const words[] = {"begins", "ends", "takes", "step", "road", unit, unit, unit, "", ""};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        table_cell(&made, words[i]);
    }
    for (size_t i = 0; i < of->leaf->step_count; i++) {
        const trn_step *step = &of->leaf->steps[i];
        const trn_step_time *time = &timed->times[i];
        table_cell(&made, display_text(&of->shown, QUANTITY_TIME, time->start_s, text));
        table_cell(&made, display_text(&of->shown, QUANTITY_TIME, time->end_s, text));
        table_cell(&made, display_text(&of->shown, QUANTITY_TIME, time->end_s - time->start_s, text));
        table_cell(&made, step->name);
        table_cell(&made, road_name(step->road));
    }
    return table_print(&made, stream);
}

/* Where the leaf went instead. */
static void print_why_not(const cycle *of, FILE *stream)
{
    char ended[RUN_WORDS];
    char held[RUN_WORDS];
    (void)fputs("There is no time line:\n", stream);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        const trn_run *run = &of->of[k].run;
        if (!arrives(run)) {
            (void)fprintf(stream, "%s, the leaf %s;\n  %s.\n", direction_words[k],
                          end_words(of, run, rest_s(run), (trn_direction)k, ended), hold_words(of, run, held));
        }
    }
    (void)fputs("'trunnion cycle' without --operation tells the rest.\n", stream);
}

static exit_status operation_table(const void *result, FILE *stream)
{
    const operation *timed = result;
    const cycle *of = timed->of;
    (void)fprintf(stream, "%s: one operation in time, the leaf moving as in case '%s'%s\n", of->leaf->name,
                  of->load_case->name, display_friction_note(of->leaf));
    print_upsets(of, stream);
    (void)fputc('\n', stream);
    if (!timed->there) {
        print_why_not(of, stream);
        return EXIT_DONE;
    }
    const exit_status status = steps_table(timed, stream);
    (void)fprintf(stream, "\nThe operation takes %.1f s (%.1f min); the road is closed for %.1f s (%.1f min) of it.\n",
                  timed->whole.total_s, timed->whole.total_s / 60, timed->whole.road_closed_s,
                  timed->whole.road_closed_s / 60);
    if (of->leaf->duty != NULL) {
        const double share = of->leaf->duty->openings_per_hour * timed->whole.road_closed_s / 3600;
        (void)fprintf(stream, "With %.4g openings an hour the road is closed %.1f %% of the time%s.\n",
                      of->leaf->duty->openings_per_hour, share * 100,
                      share > 1 ? ": more often than one operation after the other can be" : "");
    }
    (void)fputs("The leaf raises and lowers from the release of its brakes until it rests and they are set.\n", stream);
    return status;
}

static exit_status operation_csv(const void *result, FILE *stream)
{
    const operation *timed = result;
    const trn_leaf *leaf = timed->of->leaf;
    (void)fputs("case,step,motion,start_s,end_s,road\r\n", stream);
    for (size_t i = 0; i < leaf->step_count; i++) {
        csv_text(stream, timed->of->load_case->name, true);
        csv_text(stream, leaf->steps[i].name, false);
        csv_text(stream, motion_name(leaf->steps[i].motion), false);
        csv_number_if(stream, timed->there, timed->times[i].start_s);
        csv_number_if(stream, timed->there, timed->times[i].end_s);
        csv_text(stream, road_name(leaf->steps[i].road), false);
        csv_end_line(stream);
    }
    return EXIT_DONE;
}

static json_t *conditions_json(const trn_conditions *conditions)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < conditions->count && failed == 0; i++) {
        failed = json_array_append_new(list, json_string(conditions->names[i]));
    }
    return json_unless(failed, list);
}

static json_t *step_json(const operation *timed, size_t index)
{
    const trn_step *step = &timed->of->leaf->steps[index];
    json_t *object = json_pack("{s:s, s:s}", "name", step->name, "motion", motion_name(step->motion));
    int failed = object == NULL;
    failed |= json_put(object, "start_s", timed->there, timed->times[index].start_s);
    failed |= json_put(object, "end_s", timed->there, timed->times[index].end_s);
    failed |= json_object_set_new(object, "road",
                                  step->road == TRN_ROAD_UNCHANGED ? json_null() : json_string(road_name(step->road)));
    failed |= json_object_set_new(object, "needs", conditions_json(&step->needs));
    failed |= json_object_set_new(object, "gives", conditions_json(&step->gives));
    failed |= json_object_set_new(object, "ends", conditions_json(&step->ends));
    return json_unless(failed, object);
}

static exit_status operation_json(const void *result, FILE *stream)
{
    const operation *timed = result;
    const cycle *of = timed->of;
    json_t *object = cycle_object(of);
    json_t *whole = json_object();
    json_t *steps = json_array();
    int failed = object == NULL || whole == NULL || steps == NULL;
    for (size_t i = 0; i < of->leaf->step_count && failed == 0; i++) {
        failed = json_array_append_new(steps, step_json(timed, i));
    }
    failed |= json_put(whole, "total_s", timed->there, timed->whole.total_s);
    failed |= json_put(whole, "road_closed_s", timed->there, timed->whole.road_closed_s);
    failed |= json_put(whole, "raising_s", timed->there, ready_s(&of->of[TRN_OPENING].run));
    failed |= json_put(whole, "lowering_s", timed->there, ready_s(&of->of[TRN_CLOSING].run));
    failed |= json_object_set_new(whole, "steps", steps);
    failed |= json_object_set_new(object, "operation", whole);
    failed |= put_upsets(object, of);
    return json_write(json_unless(failed, object), stream);
}

static exit_status tell(operation *timed)
{
    static const presentation how = {operation_table, operation_csv, operation_json, operation_plot, {900, 640}};
    exit_status status = time_steps(timed);
    if (status == EXIT_DONE) {
        status = deliver(timed->of->asked, &how, timed);
    }
    return status == EXIT_DONE ? cycle_verdict(timed->of, true) : status;
}

exit_status cycle_operation(cycle *of)
{
    if (of->leaf->step_count == 0) {
        const trn_error error = {TRN_MISSING_SECTION, "the description needs the section 'steps'"};
        return fail_leaf(of->asked, &error);
    }
    operation timed = {.of = of, .times = calloc(of->leaf->step_count, sizeof *timed.times)};
    of->of[TRN_OPENING].asked = true;
    of->of[TRN_CLOSING].asked = true;
    exit_status status = timed.times != NULL ? cycle_run_all(of) : fail_memory();
    if (status == EXIT_DONE) {
        status = tell(&timed);
    }
    free(timed.times);
    return status;
}
