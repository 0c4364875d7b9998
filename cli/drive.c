/* SPDX-License-Identifier: GPL-3.0-or-later */
/* drive: which case governs the motors, at which angle, with what margin; duty; one motor out. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "angles.h"
#include "command.h"
#include "cycle_words.h"
#include "deliver.h"
#include "drive_plot.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/json.h"
#include "present/table.h"
#include "remedy.h"

static exit_status rate_cases(const options *asked, const drive_result *of, int running, trn_rating *ratings)
{
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        trn_error error;
        if (trn_leaf_rating(of->leaf, &of->cases[i / DIRECTIONS], (trn_direction)(i % DIRECTIONS), running, &ratings[i],
                            &error) != TRN_OK) {
            return fail_leaf(asked, &error);
        }
    }
    return EXIT_DONE;
}

static bool by_cylinders(const trn_leaf *leaf)
{
    return leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_CYLINDER;
}

exit_status drive_compute(const options *asked, drive_result *of)
{
    of->all = calloc(of->case_count * DIRECTIONS, sizeof *of->all);
    of->one_out = calloc(of->case_count * DIRECTIONS, sizeof *of->one_out);
    if (of->all == NULL || of->one_out == NULL) {
        return fail_memory();
    }
    const trn_motors *motors = by_cylinders(of->leaf) ? NULL : of->leaf->motors;
    exit_status status = rate_cases(asked, of, motors != NULL ? motors->running : 1, of->all);
    of->left = motors != NULL ? trn_motors_left(motors) : 0;
    if (status == EXIT_DONE && of->left > 0) {
        status = rate_cases(asked, of, of->left, of->one_out);
    }
    of->has_duty = motors != NULL && of->leaf->duty != NULL;
    if (status == EXIT_DONE && of->has_duty) {
        trn_error error;
        if (trn_leaf_duty(of->leaf, &of->duty, &error) != TRN_OK) {
            return fail_leaf(asked, &error);
        }
    }
    return status;
}

void drive_free(drive_result *of)
{
    free(of->all);
    free(of->one_out);
}

static void table_heading(table *made, const display *shown, bool cylinders)
{
    const quantity asked = cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    const char *const words[] = {"case",
                                 "direction",
                                 "worst angle",
                                 "leaf demand",
                                 cylinders ? "pressure" : "motor torque",
                                 "allowed",
                                 "use",
                                 cylinders ? "force" : "shaft power",
                                 "met"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        table_cell(made, words[i]);
    }
    table_cell(made, "");
    table_cell(made, "");
    table_cell(made, shown->of[QUANTITY_ANGLE].unit);
    table_cell(made, shown->of[QUANTITY_MOMENT].unit);
    table_cell(made, shown->of[asked].unit);
    table_cell(made, shown->of[asked].unit);
    table_cell(made, "%");
    table_cell(made, shown->of[cylinders ? QUANTITY_FORCE : QUANTITY_POWER].unit);
    table_cell(made, "");
}

static exit_status ratings_table(const drive_result *of, const trn_rating *ratings, FILE *stream)
{
    const display *shown = &of->shown;
    const bool cylinders = by_cylinders(of->leaf);
    const quantity what = cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    char text[DISPLAY_TEXT];
    table made = table_make("llrrrrrrl", 2);
    table_heading(&made, shown, cylinders);
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        const trn_rating *one = &ratings[i];
        table_cell(&made, of->cases[i / DIRECTIONS].name);
        table_cell(&made, direction_words[i % DIRECTIONS]);
        table_cell(&made, display_text(shown, QUANTITY_ANGLE, one->worst_angle_rad, text));
        table_cell(&made, display_text(shown, QUANTITY_MOMENT, one->leaf_Nm, text));
        table_cell(&made, display_text(shown, what, cylinders ? one->pressure_Pa : one->motor_Nm, text));
        table_cell(&made, display_text(shown, what, cylinders ? one->allowed_Pa : one->allowed_Nm, text));
        table_cell(&made, display_text(shown, QUANTITY_SHARE, one->use, text));
        table_cell(&made, cylinders                  ? display_text(shown, QUANTITY_FORCE, one->force_N, text)
                          : of->leaf->travel == NULL ? "–"
                                                     : display_text(shown, QUANTITY_POWER, one->power_W, text));
        table_cell(&made, one->met ? "yes" : "NO");
    }
    return table_print(&made, stream);
}

/* Which case asks most of what is allowed, and what is left. */
static void print_governing(const drive_result *of, FILE *stream)
{
    size_t worst = 0;
    for (size_t i = 1; i < of->case_count * DIRECTIONS; i++) {
        worst = of->all[i].use > of->all[worst].use ? i : worst;
    }
    const trn_rating *one = &of->all[worst];
    (void)fprintf(stream, "\nGoverns: case '%s', %s, at %.4g°: use %.4g %%, margin %.4g %%.\n",
                  of->cases[worst / DIRECTIONS].name, direction_words[worst % DIRECTIONS],
                  degrees_of(one->worst_angle_rad), one->use * 100, (1 - one->use) * 100);
    (void)fputs("Use is the share of what a case allows that its worst angle takes.\n", stream);
}

double drive_needed_power(const drive_result *of, const trn_rating *ratings)
{
    double use = of->has_duty ? of->duty.use : 0;
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        use = fmax(use, ratings[i].use);
    }
    return use * of->leaf->motors->power_W;
}

static double next_size(const drive_result *of, double power_W)
{
    return trn_preferred_number(power_W * of->per_W) / of->per_W;
}

void drive_next_sizes(const drive_result *of, double sizes_W[DRIVE_SIZES])
{
    sizes_W[0] = next_size(of, drive_needed_power(of, of->all));
    for (int i = 1; i < DRIVE_SIZES; i++) {
        sizes_W[i] = next_size(of, sizes_W[i - 1] * 1.01);
    }
}

static void print_sizes(const drive_result *of, FILE *stream)
{
    double sizes[DRIVE_SIZES];
    char text[DISPLAY_TEXT];
    const char *unit = of->shown.of[QUANTITY_POWER].unit;
    if (!(drive_needed_power(of, of->all) > 0)) {
        return;
    }
    drive_next_sizes(of, sizes);
    (void)fprintf(stream,
                  "\nRated power needed of a motor of this rated speed and ratio, with %d running, for the cases "
                  "above%s: %s %s.\n"
                  "Numbers of the series R20 (ISO 3) from there on, not a maker's list:",
                  of->leaf->motors->running, of->has_duty ? " and the duty" : "",
                  display_text(&of->shown, QUANTITY_POWER, drive_needed_power(of, of->all), text), unit);
    for (int i = 0; i < DRIVE_SIZES; i++) {
        (void)fprintf(stream, "%s %.4g %s", i == 0 ? "" : ",", sizes[i] * of->shown.of[QUANTITY_POWER].factor, unit);
    }
    (void)fputc('\n', stream);
    if (of->left > 0) {
        (void)fprintf(stream, "With one motor out it would be %s %s.\n",
                      display_text(&of->shown, QUANTITY_POWER, drive_needed_power(of, of->one_out), text), unit);
    }
}

static void print_remedy(const drive_result *of, FILE *stream)
{
    char text[REMEDY_WORDS];
    if (remedy_drive(of, text) != NULL) {
        (void)fprintf(stream, "\nWhat would help: %s\n", text);
    }
}

/* What is allowed is a share of rated torque; the motor's own law may give less at the speed of the travel. */
static void warn_of_law(const drive_result *of)
{
    const double factor = of->shown.of[QUANTITY_TORQUE].factor;
    const char *unit = of->shown.of[QUANTITY_TORQUE].unit;
    for (size_t i = 0; i < of->case_count * DIRECTIONS && !by_cylinders(of->leaf); i++) {
        const trn_law_use *law = &of->all[i].law;
        /* Where the shaft comes to the end of the law, what it gives is zero but for rounding. */
        const double given = law->available_Nm > 1e-6 * law->motor_Nm ? law->available_Nm : 0;
        if (!law->met) {
            warn("case '%s', %s: %.4g %s are asked of each motor at %.4g degree and %.4g rpm, where its law gives %.4g "
                 "%s",
                 of->cases[i / DIRECTIONS].name, direction_words[i % DIRECTIONS], law->motor_Nm * factor, unit,
                 degrees_of(law->angle_rad), law->motor_speed_rad_s * 30 / 3.14159265358979323846,
                 given * factor, unit);
        }
    }
}

const char *drive_duty_case(const trn_leaf *leaf)
{
    return leaf->duty->case_name != NULL ? leaf->duty->case_name : leaf->cases[0].name;
}

static void print_duty(const drive_result *of, FILE *stream)
{
    const trn_duty_rating *duty = &of->duty;
    const display *shown = &of->shown;
    char rms[DISPLAY_TEXT];
    char rated[DISPLAY_TEXT];
    char use[DISPLAY_TEXT];
    (void)fprintf(stream,
                  "\nDuty, case '%s': rms torque %s %s over a period of %.4g s, of which %.4g s in motion; rated %s "
                  "%s, use %s %%: %s.\n",
                  drive_duty_case(of->leaf), display_text(shown, QUANTITY_TORQUE, duty->rms_Nm, rms),
                  shown->of[QUANTITY_TORQUE].unit, duty->period_s, duty->moving_s,
                  display_text(shown, QUANTITY_TORQUE, duty->rated_Nm, rated), shown->of[QUANTITY_TORQUE].unit,
                  display_text(shown, QUANTITY_SHARE, duty->use, use), duty->met ? "met" : "NOT met");
    const double quiet_hours = of->leaf->duty->hours_without_openings;
    if (quiet_hours > 0) {
        (void)fprintf(
            stream,
            "With %.4g hours of each day without openings: %.4g openings a day, rms torque over the whole day %s %s\n"
            "(for information: the duty is judged by the hours with openings).\n",
            quiet_hours, duty->openings_per_day, display_text(shown, QUANTITY_TORQUE, duty->day_rms_Nm, rms),
            shown->of[QUANTITY_TORQUE].unit);
    }
}

static exit_status drive_table(const void *result, FILE *stream)
{
    const drive_result *of = result;
    const trn_motors *motors = of->leaf->motors;
    if (by_cylinders(of->leaf)) {
        (void)fprintf(stream, "%s: what each case asks of the cylinders%s\n\n", of->leaf->name,
                      display_friction_note(of->leaf));
        const exit_status cylinders = ratings_table(of, of->all, stream);
        print_governing(of, stream);
        print_remedy(of, stream);
        return cylinders;
    }
    (void)fprintf(stream, "%s: what each case asks of each running motor, %d of %d running%s\n\n", of->leaf->name,
                  motors->running, motors->installed, display_friction_note(of->leaf));
    exit_status status = ratings_table(of, of->all, stream);
    print_governing(of, stream);
    if (status == EXIT_DONE && of->left > 0) {
        (void)fprintf(stream, "\nOne motor out, %d running (for information: no requirement):\n\n", of->left);
        status = ratings_table(of, of->one_out, stream);
    } else if (status == EXIT_DONE) {
        (void)fputs("\nOne motor out: none is left to move the leaf.\n", stream);
    }
    if (of->has_duty) {
        print_duty(of, stream);
    }
    print_remedy(of, stream);
    print_sizes(of, stream);
    return status;
}

static void csv_ratings(FILE *stream, const drive_result *of, const trn_rating *ratings, int out)
{
    const bool cylinders = by_cylinders(of->leaf);
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        const trn_rating *one = &ratings[i];
        csv_text(stream, of->cases[i / DIRECTIONS].name, true);
        (void)fprintf(stream, ",%d", out);
        csv_text(stream, direction_words[i % DIRECTIONS], false);
        csv_number(stream, degrees_of(one->worst_angle_rad), false);
        csv_number(stream, one->leaf_Nm, false);
        csv_number_if(stream, !cylinders, one->motor_Nm);
        csv_number_if(stream, !cylinders, one->rated_Nm);
        csv_number_if(stream, !cylinders, one->allowed_Nm);
        csv_number(stream, one->use, false);
        csv_text(stream, one->met ? "true" : "false", false);
        csv_number_if(stream, of->leaf->drive->kind != TRN_DRIVE_RATIO, one->force_N);
        csv_number_if(stream, cylinders, one->pressure_Pa);
        csv_number_if(stream, cylinders, one->allowed_Pa);
        csv_number_if(stream, !cylinders && of->leaf->travel != NULL, one->power_W);
        csv_end_line(stream);
    }
}

static exit_status drive_csv(const void *result, FILE *stream)
{
    const drive_result *of = result;
    (void)fputs(
        "case,motors_out,direction,worst_angle_deg,leaf_Nm,motor_Nm,rated_Nm,allowed_Nm,use,met,force_N,pressure_Pa,"
        "allowed_Pa,power_W\r\n",
        stream);
    csv_ratings(stream, of, of->all, 0);
    if (of->left > 0) {
        csv_ratings(stream, of, of->one_out, 1);
    }
    return EXIT_DONE;
}

static json_t *rating_json(const drive_result *of, const trn_rating *one, size_t index)
{
    const bool cylinders = by_cylinders(of->leaf);
    json_t *object = json_pack("{s:s, s:s, s:f, s:f}", "name", of->cases[index / DIRECTIONS].name, "direction",
                               direction_words[index % DIRECTIONS], "worst_angle_deg", degrees_of(one->worst_angle_rad),
                               "leaf_Nm", one->leaf_Nm);
    int failed = object == NULL;
    failed |= json_put(object, "motor_Nm", !cylinders, one->motor_Nm);
    failed |= json_put(object, "rated_Nm", !cylinders, one->rated_Nm);
    failed |= json_put(object, "allowed_Nm", !cylinders, one->allowed_Nm);
    if (of->leaf->drive->kind != TRN_DRIVE_RATIO) {
        failed |= json_put(object, "force_N", true, one->force_N);
    }
    if (cylinders) {
        failed |= json_put(object, "pressure_Pa", true, one->pressure_Pa);
        failed |= json_put(object, "allowed_Pa", true, one->allowed_Pa);
    } else {
        failed |= json_put(object, "power_W", of->leaf->travel != NULL, one->power_W);
    }
    failed |= json_put(object, "use", true, one->use);
    failed |= json_object_set_new(object, "met", json_boolean(one->met));
    return json_unless(failed, object);
}

static json_t *ratings_json(const drive_result *of, const trn_rating *ratings, size_t count)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < count && failed == 0; i++) {
        failed = json_array_append_new(list, rating_json(of, &ratings[i], i));
    }
    return json_unless(failed, list);
}

static json_t *sizes_json(const drive_result *of)
{
    double sizes[DRIVE_SIZES];
    if (by_cylinders(of->leaf) || !(drive_needed_power(of, of->all) > 0)) {
        return json_array();
    }
    drive_next_sizes(of, sizes);
    return json_pack("[f, f, f]", sizes[0], sizes[1], sizes[2]);
}

static json_t *duty_json(const drive_result *of)
{
    const trn_duty_rating *duty = &of->duty;
    return of->has_duty
               ? json_pack("{s:f, s:f, s:f, s:b, s:f, s:f, s:f, s:f}", "rms_Nm", duty->rms_Nm, "rated_Nm",
                           duty->rated_Nm, "use", duty->use, "met", duty->met, "period_s", duty->period_s, "moving_s",
                           duty->moving_s, "day_rms_Nm", duty->day_rms_Nm, "openings_per_day", duty->openings_per_day)
               : json_null();
}

static exit_status drive_json(const void *result, FILE *stream)
{
    const drive_result *of = result;
    const size_t count = of->case_count * DIRECTIONS;
    return json_write(json_pack("{s:s, s:o, s:o, s:o, s:o}", "leaf", of->leaf->name, "cases",
                                ratings_json(of, of->all, count), "one_motor_out",
                                ratings_json(of, of->one_out, of->left > 0 ? count : 0), "duty", duty_json(of),
                                "next_sizes_W", sizes_json(of)),
                      stream);
}

exit_status drive_verdict(const drive_result *of)
{
    exit_status status = EXIT_DONE;
    warn_of_law(of);
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        const trn_rating *one = &of->all[i];
        if (!one->met) {
            status = not_met("case '%s', %s: the %s at %.4g %% of what is allowed, at %.4g degree",
                             of->cases[i / DIRECTIONS].name, direction_words[i % DIRECTIONS],
                             by_cylinders(of->leaf) ? "cylinders are" : "motors are", one->use * 100,
                             degrees_of(one->worst_angle_rad));
        }
    }
    if (of->has_duty && !of->duty.met) {
        status = not_met("duty: the rms torque is %.4g %% of the rated torque", of->duty.use * 100);
    }
    return status;
}

/* The R20 sizes run in kilowatts, or in horsepower where the leaf is shown so; data do not change with what is shown.
 */
static double sizes_per_W(const options *asked, const trn_leaf *leaf)
{
    trn_leaf own = *leaf;
    own.units = asked->format == FORMAT_TABLE ? leaf->units : asked->own_units;
    return display_for(&own).of[QUANTITY_POWER].factor;
}

static exit_status drive_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {drive_table, drive_csv, drive_json, drive_plot, {900, 620}};
    drive_result of = {.leaf = leaf, .cases = leaf->cases, .case_count = leaf->case_count, .shown = display_for(leaf)};
    of.per_W = sizes_per_W(asked, leaf);
    exit_status status = EXIT_DONE;
    input_note_choice(asked, "case", NULL);
    if (asked->case_name != NULL) {
        of.case_count = 1;
        status = input_find_case(leaf, asked->leaf_file, asked->case_name, &of.cases);
    }
    if (status == EXIT_DONE) {
        status = drive_compute(asked, &of);
    }
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &of);
    }
    if (status == EXIT_DONE) {
        status = drive_verdict(&of);
    }
    drive_free(&of);
    return status;
}

exit_status command_drive(const options *asked)
{
    return input_with_leaf(asked, drive_leaf);
}
