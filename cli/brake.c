/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brake: holding demand against brake capacity; one brake out; emergency stop from the worst angle. */
#include "brake.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/json.h"
#include "present/table.h"
#include "remedy.h"

bool brake_stops(const trn_stop *stop)
{
    return stop->stops && !stop->leaves_travel;
}

static exit_status rate(const options *asked, brake_result *of)
{
    trn_error error;
    for (size_t i = 0; i < of->count; i++) {
        if (trn_leaf_holding(of->leaf, &of->holdings[i], &of->ratings[i], &error) != TRN_OK ||
            trn_holding_demand(of->leaf, &of->holdings[i], of->angles.radians, of->angles.count,
                               of->demands_Nm + i * of->angles.count, &error) != TRN_OK) {
            return fail_leaf(asked, &error);
        }
    }
    of->has_stop = of->leaf->travel != NULL;
    if (of->has_stop && trn_leaf_worst_stop(of->leaf, &of->stop, of->heats_J, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    return EXIT_DONE;
}

exit_status brake_compute(const options *asked, brake_result *of)
{
    const exit_status status = angle_list_make(of->leaf->opens_to_rad, 1, &of->angles);
    if (status != EXIT_DONE) {
        return status;
    }
    of->ratings = calloc(of->count, sizeof *of->ratings);
    of->heats_J = calloc(of->leaf->brake_count + 1, sizeof *of->heats_J);
    of->demands_Nm = calloc(of->count * of->angles.count, sizeof *of->demands_Nm);
    const bool room = of->ratings != NULL && of->heats_J != NULL && of->demands_Nm != NULL;
    return room ? rate(asked, of) : fail_memory();
}

void brake_free(brake_result *of)
{
    free(of->ratings);
    free(of->heats_J);
    free(of->demands_Nm);
    angle_list_free(&of->angles);
}

const char *brake_factor_text(double factor, char text[DISPLAY_TEXT])
{
    (void)snprintf(text, DISPLAY_TEXT, isfinite(factor) ? "%.3f" : "none needed", factor);
    return text;
}

static exit_status holding_table(const brake_result *of, FILE *stream)
{
    const display *shown = &of->shown;
    static const char *const words[] = {"holding", "worst angle",   "demand",   "capacity",
                                        "factor",  "one brake out", "required", "met"};
    char text[DISPLAY_TEXT];
    table made = table_make("lrrrrrrl", 2);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        table_cell(&made, words[i]);
    }
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        table_cell(&made, i == 1             ? shown->of[QUANTITY_ANGLE].unit
                          : i == 2 || i == 3 ? shown->of[QUANTITY_MOMENT].unit
                                             : "");
    }
    for (size_t i = 0; i < of->count; i++) {
        const trn_holding_rating *one = &of->ratings[i];
        table_cell(&made, of->holdings[i].name);
        table_cell(&made, display_text(shown, QUANTITY_ANGLE, one->worst_angle_rad, text));
        table_cell(&made, display_text(shown, QUANTITY_MOMENT, one->demand_Nm, text));
        table_cell(&made, display_text(shown, QUANTITY_MOMENT, one->capacity_Nm, text));
        table_cell(&made, brake_factor_text(one->factor, text));
        table_cell(&made, brake_factor_text(one->factor_one_out, text));
        table_cell(&made, brake_factor_text(one->required, text));
        table_cell(&made, one->met ? "yes" : "NO");
    }
    return table_print(&made, stream);
}

double brake_temperature_rise(const brake_result *of, size_t index)
{
    return of->heats_J[index] / of->leaf->brakes[index].heat_capacity_J_K;
}

static void print_heats(const brake_result *of, FILE *stream)
{
    char text[DISPLAY_TEXT];
    for (size_t i = 0; i < of->leaf->brake_count; i++) {
        (void)fprintf(stream, "  heat in each of '%s': %s %s", of->leaf->brakes[i].name,
                      display_text(&of->shown, QUANTITY_HEAT, of->heats_J[i], text), of->shown.of[QUANTITY_HEAT].unit);
        if (of->leaf->brakes[i].heat_capacity_J_K > 0) {
            (void)fprintf(stream, ", %.3g %s hotter",
                          brake_temperature_rise(of, i) * of->shown.of[QUANTITY_WARMING].factor,
                          of->shown.of[QUANTITY_WARMING].unit);
        }
        (void)fputc('\n', stream);
    }
}

static void print_stop(const brake_result *of, FILE *stream)
{
    const trn_stop *stop = &of->stop;
    const char *direction = stop->direction == TRN_OPENING ? "opening" : "closing";
    if (!of->has_stop) {
        (void)fputs("\nEmergency stop: not computed, the description has no travel.\n", stream);
        return;
    }
    if (!brake_stops(stop)) {
        (void)fprintf(
            stream,
            "\nEmergency stop, still air, at full speed between the near switches: the brakes do NOT stop the "
            "leaf\nwithin its travel, for one from %.4g° while %s.\n",
            degrees_of(stop->from_angle_rad), direction);
        return;
    }
    (void)fprintf(stream,
                  "\nEmergency stop, still air, from %.4g° while %s, the longest run of a leaf at full speed\n"
                  "between its near switches:\n",
                  degrees_of(stop->from_angle_rad), direction);
    (void)fprintf(stream, "  %.3f s and %.3f° to rest, peak deceleration %.3f °/s²\n", stop->time_s,
                  degrees_of(stop->run_rad), degrees_of(stop->peak_deceleration_rad_s2));
    print_heats(of, stream);
}

static void print_remedies(const brake_result *of, FILE *stream)
{
    char text[REMEDY_WORDS];
    const char *const words[] = {remedy_holding(of, text), remedy_stop(of)};
    for (size_t i = 0; i < 2; i++) {
        if (words[i] != NULL) {
            (void)fprintf(stream, "\nWhat would help: %s\n", words[i]);
        }
    }
}

/* A strut's ratio changes over the travel, a brake's in the description does not. */
static void note_of_strut(const brake_result *of, FILE *stream)
{
    const trn_drive *drive = of->leaf->drive;
    if (drive == NULL || drive->kind != TRN_DRIVE_STRUT) {
        return;
    }
    double least = HUGE_VAL;
    double most = 0;
    for (size_t k = 0; k < of->angles.count; k++) {
        const double ratio = trn_drive_at(drive, trn_rotation_by(of->angles.radians[k])).ratio;
        least = fmin(least, ratio);
        most = fmax(most, ratio);
    }
    (void)fprintf(
        stream,
        "The strut's motors make %.4g to %.4g turns per leaf turn over the travel. A brake on their shafts holds\n"
        "with its ratio at the angle; the capacity above takes the one ratio that the description gives: give the "
        "least.\n",
        least, most);
}

static exit_status brake_table(const void *result, FILE *stream)
{
    const brake_result *of = result;
    (void)fprintf(stream, "%s: brakes at rest and in an emergency%s\n\n", of->leaf->name,
                  display_friction_note(of->leaf));
    const exit_status status = holding_table(of, stream);
    print_stop(of, stream);
    print_remedies(of, stream);
    (void)fputs("\nBrake adequacy is not proved by a holding calculation alone. What presses the closed leaf onto its "
                "shoes is\n"
                "counted as a demand nevertheless. One brake out is told for information.\n",
                stream);
    note_of_strut(of, stream);
    return status;
}

static exit_status brake_csv(const void *result, FILE *stream)
{
    const brake_result *of = result;
    (void)fputs("case,worst_angle_deg,demand_Nm,capacity_Nm,factor,factor_one_out,required,met\r\n", stream);
    for (size_t i = 0; i < of->count; i++) {
        const trn_holding_rating *one = &of->ratings[i];
        csv_text(stream, of->holdings[i].name, true);
        csv_number(stream, degrees_of(one->worst_angle_rad), false);
        csv_number(stream, one->demand_Nm, false);
        csv_number(stream, one->capacity_Nm, false);
        if (isfinite(one->factor)) {
            csv_number(stream, one->factor, false);
            csv_number(stream, one->factor_one_out, false);
        } else {
            csv_nothing(stream, false);
            csv_nothing(stream, false);
        }
        csv_number(stream, one->required, false);
        csv_text(stream, one->met ? "true" : "false", false);
        csv_end_line(stream);
    }
    return EXIT_DONE;
}

static json_t *holding_json(const char *name, const trn_holding_rating *one)
{
    json_t *object =
        json_pack("{s:s, s:f, s:f, s:f}", "name", name, "worst_angle_deg", degrees_of(one->worst_angle_rad),
                  "demand_Nm", one->demand_Nm, "capacity_Nm", one->capacity_Nm);
    int failed = object == NULL;
    failed |= json_put(object, "factor", isfinite(one->factor), one->factor);
    failed |= json_put(object, "factor_one_out", isfinite(one->factor_one_out), one->factor_one_out);
    failed |= json_put(object, "required", true, one->required);
    failed |= json_object_set_new(object, "met", json_boolean(one->met));
    return json_unless(failed, object);
}

static json_t *heats_json(const brake_result *of)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < of->leaf->brake_count && failed == 0; i++) {
        json_t *heat = json_pack("{s:s, s:f}", "name", of->leaf->brakes[i].name, "heat_J", of->heats_J[i]);
        if (of->leaf->brakes[i].heat_capacity_J_K > 0) {
            failed |= json_put(heat, "temperature_rise_K", true, brake_temperature_rise(of, i));
        }
        failed |= json_array_append_new(list, heat);
    }
    return json_unless(failed, list);
}

static json_t *stop_json(const brake_result *of)
{
    const trn_stop *stop = &of->stop;
    if (!of->has_stop) {
        return json_null();
    }
    json_t *object = json_pack("{s:f, s:s, s:b}", "from_angle_deg", degrees_of(stop->from_angle_rad), "direction",
                               stop->direction == TRN_OPENING ? "opening" : "closing", "stops", brake_stops(stop));
    int failed = object == NULL;
    failed |= json_put(object, "time_s", brake_stops(stop), stop->time_s);
    failed |= json_put(object, "run_deg", brake_stops(stop), degrees_of(stop->run_rad));
    failed |=
        json_put(object, "peak_deceleration_deg_s2", brake_stops(stop), degrees_of(stop->peak_deceleration_rad_s2));
    failed |= json_object_set_new(object, "heat_J", brake_stops(stop) ? heats_json(of) : json_null());
    return json_unless(failed, object);
}

static exit_status brake_json(const void *result, FILE *stream)
{
    const brake_result *of = result;
    json_t *cases = json_array();
    int failed = cases == NULL;
    for (size_t i = 0; i < of->count && failed == 0; i++) {
        failed = json_array_append_new(cases, holding_json(of->holdings[i].name, &of->ratings[i]));
    }
    return json_write(json_pack("{s:s, s:o, s:o}", "leaf", of->leaf->name, "cases", json_unless(failed, cases),
                                "emergency_stop", stop_json(of)),
                      stream);
}

static void capacity_line(FILE *script, double capacity, const char *title, int dash)
{
    (void)fprintf(script, ", \\\n %.8g with lines linecolor rgb '#101010' linewidth 2 dashtype %d title '%s'", capacity,
                  dash, title);
}

/* The demand of each holding over the angles, times its required factor, under the capacities. */
static exit_status brake_plot(const void *result, FILE *script)
{
    const brake_result *of = result;
    const double moment = of->shown.of[QUANTITY_MOMENT].factor;
    for (size_t i = 0; i < of->count; i++) {
        (void)fprintf(script, "$holding%zu << EOD\n", i);
        for (size_t k = 0; k < of->angles.count; k++) {
            (void)fprintf(script, "%.8g %.8g\n", of->angles.degrees[k],
                          of->demands_Nm[i * of->angles.count + k] * of->holdings[i].factor * moment);
        }
        (void)fputs("EOD\n", script);
    }
    (void)fputs("set title ", script);
    plot_short_string(script, of->leaf->name, 38);
    (void)fprintf(
        script,
        ".': what the brakes must hold'.additions\nset xlabel 'opening angle, degrees'\n"
        "set ylabel 'demand times required factor, %s'\nset yrange [0:*]\nset xrange [0:%.8g]\nset rmargin 36\n"
        "plot 0 notitle linecolor rgb '#404040'",
        of->shown.of[QUANTITY_MOMENT].unit, of->angles.degrees[of->angles.count - 1]);
    for (size_t i = 0; i < of->count; i++) {
        (void)fprintf(
            script,
            ", \\\n $holding%zu using 1:2 with linespoints linestyle %zu pointtype %zu pointinterval %zu title ", i,
            2 + i % 7, 4 + i % 10, of->angles.count / 5 + 1);
        plot_short_string(script, of->holdings[i].name, 24);
    }
    const double capacity = trn_brake_capacity(of->leaf);
    capacity_line(script, capacity * moment, "capacity, all brakes", 1);
    capacity_line(script, (capacity - trn_brake_strongest(of->leaf)) * moment, "capacity, strongest out", 4);
    (void)fputc('\n', script);
    return EXIT_DONE;
}

exit_status brake_verdict(const brake_result *of)
{
    exit_status status = EXIT_DONE;
    for (size_t i = 0; i < of->count; i++) {
        const trn_holding_rating *one = &of->ratings[i];
        if (!one->met) {
            status =
                not_met("holding '%s': the brakes hold %.4g times the demand at %.4g degree, %.4g times is required",
                        of->holdings[i].name, one->factor, degrees_of(one->worst_angle_rad), one->required);
        }
    }
    if (of->has_stop && !brake_stops(&of->stop)) {
        status = not_met("emergency stop: the brakes do not stop the leaf, for one from %.4g degree",
                         degrees_of(of->stop.from_angle_rad));
    }
    return status;
}

/* The holdings asked for: all, or the one of that name. */
static exit_status choose(const options *asked, brake_result *of)
{
    if (of->leaf->holding_count == 0) {
        const trn_error error = {TRN_MISSING_SECTION, "the description needs the section 'holding'"};
        return fail_leaf(asked, &error);
    }
    for (size_t i = 0; i < of->leaf->holding_count && asked->case_name != NULL; i++) {
        if (strcmp(of->leaf->holdings[i].name, asked->case_name) == 0) {
            of->holdings = &of->leaf->holdings[i];
            of->count = 1;
            return EXIT_DONE;
        }
    }
    return asked->case_name == NULL ? EXIT_DONE
                                    : fail(EXIT_BAD_INPUT, "%s has no holding '%s'; its first is '%s'",
                                           input_name(asked->leaf_file), asked->case_name, of->leaf->holdings[0].name);
}

static exit_status brake_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {brake_table, brake_csv, brake_json, brake_plot, {900, 520}};
    brake_result of = {
        .leaf = leaf, .holdings = leaf->holdings, .count = leaf->holding_count, .shown = display_for(leaf)};
    exit_status status = choose(asked, &of);
    if (status == EXIT_DONE) {
        input_note_choice(asked, "holding", NULL);
        status = brake_compute(asked, &of);
    }
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &of);
    }
    if (status == EXIT_DONE) {
        status = brake_verdict(&of);
    }
    brake_free(&of);
    return status;
}

exit_status command_brake(const options *asked)
{
    return input_with_leaf(asked, brake_leaf);
}
