/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle --switches: the nearest near switches, the margins of those given, and what a drift of one does. */
#include "cycle_switches.h"

#include <math.h>

#include "angles.h"
#include "cycle_json.h"
#include "cycle_plot.h"
#include "cycle_words.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/table.h"

const char *const switch_names[SWITCH_KINDS] = {
    [SWITCH_EARLY] = "early", [SWITCH_GIVEN] = "given", [SWITCH_LATE] = "late"};

double switch_at_rad(const switches *found, trn_direction direction, int kind)
{
    const double later_rad = radians_of(found->of->asked->drift_deg) * (kind - SWITCH_GIVEN);
    return found->places[direction].given_rad + (direction == TRN_OPENING ? later_rad : -later_rad);
}

const trn_run *switch_run(const switches *found, trn_direction direction, int kind)
{
    const trn_switch_place *place = &found->places[direction];
    return kind == SWITCH_EARLY ? &place->early : kind == SWITCH_GIVEN ? &place->given : &place->late;
}

static exit_status find(switches *found)
{
    cycle *of = found->of;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        const trn_run_setting setting = cycle_setting(of, (trn_direction)k, 0);
        trn_error error;
        if (trn_leaf_switch_place(of->leaf, &setting, radians_of(of->asked->drift_deg), &found->places[k], &error) !=
            TRN_OK) {
            return fail_leaf(of->asked, &error);
        }
    }
    return EXIT_DONE;
}

static void print_place(const switches *found, trn_direction direction, FILE *stream)
{
    const trn_switch_place *place = &found->places[direction];
    (void)fprintf(stream, "%s: ", direction == TRN_OPENING ? "Opening, near_open" : "Closing, near_closed");
    if (!place->possible) {
        (void)fprintf(stream, "given at %.2f°; at NO place would the leaf arrive at creep speed%s.\n",
                      degrees_of(place->given_rad),
                      run_by_curve(found->of) ? ": motors across the line do not obey a near switch" : "");
    } else if (place->margin_rad >= 0) {
        (void)fprintf(stream,
                      "given at %.2f°, nearest that still brings the leaf down to creep %.4f°: %.3f° to spare.\n",
                      degrees_of(place->given_rad), degrees_of(place->nearest_rad), degrees_of(place->margin_rad));
    } else {
        (void)fprintf(stream,
                      "given at %.2f°, nearest that still brings the leaf down to creep %.4f°: TOO LATE by %.3f°.\n",
                      degrees_of(place->given_rad), degrees_of(place->nearest_rad), -degrees_of(place->margin_rad));
    }
}

static void heading_cells(table *made, const display *shown)
{
    static const char *const words[] = {"direction", "switch", "at",     "time to full", "speed there", "at creep",
                                        "rests at",  "toe",    "energy", "toe force",    "brakes hold", "what happens"};
    const char *const units[] = {"",
                                 "",
                                 shown->of[QUANTITY_ANGLE].unit,
                                 shown->of[QUANTITY_TIME].unit,
                                 shown->of[QUANTITY_ANGULAR_SPEED].unit,
                                 "",
                                 shown->of[QUANTITY_ANGLE].unit,
                                 shown->of[QUANTITY_TOE_SPEED].unit,
                                 shown->of[QUANTITY_WORK].unit,
                                 shown->of[QUANTITY_FORCE].unit,
                                 "times",
                                 ""};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        table_cell(made, words[i]);
    }
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        table_cell(made, units[i]);
    }
}

static void cell_if(table *made, const display *shown, bool there, quantity what, double value)
{
    char text[DISPLAY_TEXT];
    table_cell(made, there ? display_text(shown, what, value, text) : "–");
}

static void switch_cells(const switches *found, table *made, trn_direction direction, int kind)
{
    const display *shown = &found->of->shown;
    const trn_run *run = switch_run(found, direction, kind);
    const trn_seat *seat = &run->seat;
    char text[DISPLAY_TEXT];
    char verdict[RUN_WORDS];
    table_cell(made, direction_words[direction]);
    table_cell(made, switch_names[kind]);
    cell_if(made, shown, true, QUANTITY_ANGLE, switch_at_rad(found, direction, kind));
    cell_if(made, shown, run->reached_switch, QUANTITY_TIME, run->time_s);
    cell_if(made, shown, run->reached_switch, QUANTITY_ANGULAR_SPEED, run->switch_speed_rad_s);
    table_cell(made, run->at_creep ? "yes" : "NO");
    cell_if(made, shown, true, QUANTITY_ANGLE, run->end_angle_rad);
    cell_if(made, shown, seat->seated, QUANTITY_TOE_SPEED, seat->toe_speed_m_s);
    cell_if(made, shown, seat->seated, QUANTITY_WORK, seat->energy_J);
    cell_if(made, shown, seat->seated && seat->has_force, QUANTITY_FORCE, seat->toe_force_N);
    table_cell(made, run_rests(run) ? factor_words(run->hold_factor, text) : "–");
    table_cell(made, short_verdict(found->of, run, verdict));
}

static exit_status switches_table(const void *result, FILE *stream)
{
    const switches *found = result;
    const cycle *of = found->of;
    table made = table_make("llrrrlrrrrrl", 2);
    (void)fprintf(stream, "%s: where the near switches may stand, case '%s'%s\n", of->leaf->name, of->load_case->name,
                  display_friction_note(of->leaf));
    print_upsets(of, stream);
    (void)fputc('\n', stream);
    print_place(found, TRN_OPENING, stream);
    print_place(found, TRN_CLOSING, stream);
    (void)fprintf(stream, "\nWith the switch as given, and drifted by %.4g° too early or too late:\n\n",
                  of->asked->drift_deg);
    heading_cells(&made, &of->shown);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        for (int kind = 0; kind < SWITCH_KINDS; kind++) {
            switch_cells(found, &made, (trn_direction)k, kind);
        }
    }
    const exit_status status = table_print(&made, stream);
    (void)fputs("\nA switch too early costs time at creep; one too late lets the leaf arrive too fast.\n", stream);
    return status;
}

static void csv_row(const switches *found, trn_direction direction, int kind, FILE *stream)
{
    const trn_switch_place *place = &found->places[direction];
    const trn_run *run = switch_run(found, direction, kind);
    csv_text(stream, found->of->load_case->name, true);
    csv_text(stream, direction_words[direction], false);
    csv_text(stream, switch_names[kind], false);
    csv_number(stream, degrees_of(switch_at_rad(found, direction, kind)), false);
    csv_number_if(stream, place->possible, degrees_of(place->nearest_rad));
    csv_number_if(stream, place->possible, degrees_of(place->margin_rad));
    csv_text(stream, end_name(run->end), false);
    csv_number_if(stream, run->reached_switch, run->time_s);
    csv_number_if(stream, run->reached_switch, degrees_of(run->switch_speed_rad_s));
    csv_text(stream, run->at_creep ? "true" : "false", false);
    csv_number(stream, degrees_of(run->end_angle_rad), false);
    csv_number_if(stream, run->seat.seated, run->seat.toe_speed_m_s);
    csv_number_if(stream, run->seat.seated, run->seat.energy_J);
    csv_number_if(stream, run->seat.seated && run->seat.has_force, run->seat.toe_force_N);
    csv_number_if(stream, has_factor(run), run->hold_factor);
    csv_end_line(stream);
}

static exit_status switches_csv(const void *result, FILE *stream)
{
    const switches *found = result;
    (void)fputs("case,direction,switch,near_switch_deg,nearest_deg,margin_deg,end,time_s,switch_speed_deg_s,at_creep,"
                "end_angle_deg,toe_speed_m_s,seat_energy_J,toe_force_N,hold_factor\r\n",
                stream);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        for (int kind = 0; kind < SWITCH_KINDS; kind++) {
            csv_row(found, (trn_direction)k, kind, stream);
        }
    }
    return EXIT_DONE;
}

static json_t *drifted_json(const switches *found, trn_direction direction, int kind)
{
    const trn_run *run = switch_run(found, direction, kind);
    json_t *object = json_pack("{s:f}", "near_switch_deg", degrees_of(switch_at_rad(found, direction, kind)));
    int failed = object == NULL;
    failed |= json_put(object, "time_s", run->reached_switch, run->time_s);
    failed |= put_end(object, found->of, direction, run);
    return json_unless(failed, object);
}

static json_t *place_json(const switches *found, trn_direction direction)
{
    const trn_switch_place *place = &found->places[direction];
    json_t *object = json_pack("{s:b, s:f}", "possible", place->possible, "given_deg", degrees_of(place->given_rad));
    int failed = object == NULL;
    failed |= json_put(object, "nearest_deg", place->possible, degrees_of(place->nearest_rad));
    failed |= json_put(object, "margin_deg", place->possible, degrees_of(place->margin_rad));
    for (int kind = 0; kind < SWITCH_KINDS; kind++) {
        failed |= json_object_set_new(object, switch_names[kind], drifted_json(found, direction, kind));
    }
    return json_unless(failed, object);
}

static exit_status switches_json(const void *result, FILE *stream)
{
    const switches *found = result;
    json_t *object = cycle_object(found->of);
    json_t *places = json_pack("{s:f}", "drift_deg", found->of->asked->drift_deg);
    int failed = object == NULL || places == NULL;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        failed |= json_object_set_new(places, direction_words[k], place_json(found, (trn_direction)k));
    }
    failed |= json_object_set_new(object, "switches", json_unless(failed, places));
    failed |= put_upsets(object, found->of);
    return json_write(json_unless(failed, object), stream);
}

static exit_status switches_verdict(const switches *found)
{
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        const trn_switch_place *place = &found->places[k];
        const char *name = k == TRN_OPENING ? "near_open" : "near_closed";
        const char *case_name = found->of->load_case->name;
        if (!place->possible) {
            status = not_met("case '%s', %s: at no place of %s does the leaf arrive at creep speed%s", case_name,
                             direction_words[k], name,
                             run_by_curve(found->of) ? ": motors across the line do not obey a near switch" : "");
        } else if (place->margin_rad < 0) {
            status = not_met("case '%s', %s: %s at %.4g degree is too late by %.3g degree: the leaf arrives at %.3g "
                             "degree/s",
                             case_name, direction_words[k], name, degrees_of(place->given_rad),
                             -degrees_of(place->margin_rad), degrees_of(place->given.switch_speed_rad_s));
        }
    }
    return status;
}

exit_status cycle_switches(cycle *of)
{
    static const presentation how = {
        switches_table, switches_csv, switches_json, switches_plot, {900, SWITCHES_HEIGHT}};
    switches found = {.of = of};
    exit_status status = find(&found);
    if (status == EXIT_DONE) {
        status = deliver(of->asked, &how, &found);
    }
    if (status == EXIT_DONE) {
        status = switches_verdict(&found);
    }
    for (size_t k = 0; k < DIRECTIONS; k++) {
        trn_run_free(&found.places[k].early);
        trn_run_free(&found.places[k].given);
        trn_run_free(&found.places[k].late);
    }
    return status;
}
