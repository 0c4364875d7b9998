/* SPDX-License-Identifier: GPL-3.0-or-later */
/* measure: balance and friction from the record of a balance test, with uncertainty. */
#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "command.h"
#include "deliver.h"
#include "input.h"
#include "measure.h"
#include "measure_plot.h"
#include "message.h"
#include "present/csv.h"
#include "present/json.h"
#include "present/table.h"

/* An estimate as it is written: its key, its words, and how it is shown. */
typedef struct line {
    const char *key;
    const char *words;
    quantity what;
    bool in_degrees;
    bool there;
    trn_estimate estimate;
    bool is_described;
    double described;
} line;

enum { LINES = 7 };

static void list_lines(const measured *of, line lines[LINES])
{
    const trn_measurement *m = &of->found;
    const trn_balance *d = &of->described;
    const trn_journal *trunnion = of->leaf->trunnion;
    const line all[LINES] = {
        {"A_Nm", "closed moment A", QUANTITY_MOMENT, false, true, m->a_Nm, true, d->closed_moment_Nm},
        {"B_Nm", "moment B", QUANTITY_MOMENT, false, true, m->b_Nm, true, m->b_Nm.value - m->difference.b_Nm},
        {"moment_Nm", "moment W R", QUANTITY_MOMENT, false, true, m->moment_Nm, true, d->moment_Nm},
        {"angle_deg", "angle α", QUANTITY_ANGLE, true, true, m->angle_rad, true, d->angle_rad},
        {"toe_reaction_N", "toe reaction", QUANTITY_FORCE, false, true, m->toe_reaction_N, true, d->toe_reaction_N},
        {"friction_Nm", "friction F", QUANTITY_MOMENT, false, true, m->friction_Nm, false, 0},
        {"friction_coefficient", "friction coefficient", QUANTITY_RATIO, false, m->has_coefficient, m->coefficient,
         trunnion != NULL, trunnion != NULL ? trunnion->friction.moving : 0},
    };
    for (size_t i = 0; i < LINES; i++) {
        lines[i] = all[i];
    }
}

/* Value, standard uncertainty and the ends of the interval, in the order of estimate_endings. */
enum { PARTS = 4, ENTRIES = LINES * PARTS };
static const char *const estimate_endings[PARTS] = {"", "_sd", "_low95", "_high95"};

static double part_of(const line *of, size_t part)
{
    const double parts[PARTS] = {of->estimate.value, of->estimate.sd, of->estimate.low95, of->estimate.high95};
    return of->in_degrees ? degrees_of(parts[part]) : parts[part];
}

static void estimates_heading(table *made)
{
    static const char *const words[2][7] = {{"", "measured", "standard", "95 %", "95 %", "", "described"},
                                            {"", "", "uncertainty", "from", "to", "", ""}};
    for (size_t row = 0; row < 2; row++) {
        for (size_t i = 0; i < 7; i++) {
            table_cell(made, words[row][i]);
        }
    }
}

static exit_status estimates_table(const measured *of, FILE *stream)
{
    table made = table_make("lrrrrlr", 2);
    line lines[LINES];
    char text[DISPLAY_TEXT];
    list_lines(of, lines);
    estimates_heading(&made);
    for (size_t i = 0; i < LINES; i++) {
        const line *one = &lines[i];
        const double values[PARTS] = {one->estimate.value, one->estimate.sd, one->estimate.low95, one->estimate.high95};
        if (!one->there) {
            continue;
        }
        table_cell(&made, one->words);
        for (size_t k = 0; k < PARTS; k++) {
            table_cell(&made, display_text(&of->shown, one->what, values[k], text));
        }
        table_cell(&made, of->shown.of[one->what].unit);
        table_cell(&made, one->is_described ? display_text(&of->shown, one->what, one->described, text) : "");
    }
    return table_print(&made, stream);
}

static const char *const kind_words[] = {
    [TRN_RECORD_LEAF_TORQUE] = "torque at the leaf", [TRN_RECORD_MOTOR_TORQUE] = "motor torque",
    [TRN_RECORD_SHAFT_TORQUE] = "shaft torque",      [TRN_RECORD_SHAFT_STRAIN] = "shaft strain",
    [TRN_RECORD_MOTOR_POWER] = "motor power",
};

static void print_account(const measured *of, FILE *stream)
{
    const trn_measurement *m = &of->found;
    char scatter[DISPLAY_TEXT];
    char moment[DISPLAY_TEXT];
    char toe[DISPLAY_TEXT];
    (void)fprintf(stream,
                  "%zu readings of %s from %.6g to %.6g degree are used; %zu left out: %zu outside, %zu without "
                  "weight.\n",
                  m->used, kind_words[of->record->kind], degrees_of(m->from_rad), degrees_of(m->to_rad),
                  m->outside + m->rejected, m->outside, m->rejected);
    (void)fprintf(stream, "Fit: %s, friction %s. Scatter of the readings: %s %s, %.2g %% of W R.\n",
                  of->ordinary ? "least squares" : "robust (Tukey's bisquare)",
                  of->friction_by_reaction ? "in proportion to the reaction" : "the same at every angle",
                  display_text(&of->shown, QUANTITY_MOMENT, m->residual_sd_Nm, scatter),
                  of->shown.of[QUANTITY_MOMENT].unit, 100 * m->residual_sd_Nm / m->moment_Nm.value);
    (void)fprintf(stream, "Against the description: closed moment %s %s %s, which %s %s at the toe would make.\n",
                  display_text(&of->shown, QUANTITY_MOMENT, fabs(m->difference.a_Nm), moment),
                  of->shown.of[QUANTITY_MOMENT].unit, m->difference.a_Nm < 0 ? "less" : "more",
                  display_text(&of->shown, QUANTITY_FORCE, fabs(m->difference.toe_weight_N), toe),
                  of->shown.of[QUANTITY_FORCE].unit);
}

/* Whether a reading says from which side its wind came. */
static bool sides_are_known(const trn_record *record)
{
    for (size_t i = 0; i < record->count; i++) {
        if (record->readings[i].wind_from != TRN_WIND_FROM_ADVERSE) {
            return true;
        }
    }
    return false;
}

static void print_limits_of_test(const measured *of, FILE *stream)
{
    if (!of->record->has_wind) {
        (void)fputs("No wind is recorded: calm air is taken for granted.\n", stream);
    } else if (sides_are_known(of->record)) {
        (void)fputs("The recorded wind's moment, by wind_limits or on the projection, is taken off.\n", stream);
    } else {
        (void)fputs("The recorded wind is taken from the adverse side of EACH motion; a column 'wind side' (heel, toe) "
                    "would say.\n",
                    stream);
    }
    (void)fputs(
        "Standard uncertainty and 95 % hold the scatter of the readings alone: calibration and gear loss come on top.\n"
        "Measured torque means nothing without calm air and steady speed.\n",
        stream);
}

static exit_status measure_table(const void *result, FILE *stream)
{
    const measured *of = result;
    (void)fprintf(stream, "%s: balance and friction by test\n\n", of->leaf->name);
    const exit_status status = estimates_table(of, stream);
    (void)fputc('\n', stream);
    print_account(of, stream);
    print_limits_of_test(of, stream);
    for (size_t i = 0; i < of->found.warning_count; i++) {
        (void)fprintf(stream, "%sWarning: %s.\n", i == 0 ? "\n" : "", of->found.warnings[i].text);
    }
    return status;
}

/* The other numbers, by their keys. */
typedef struct number {
    const char *key;
    double value;
} number;

enum { NUMBERS = 3, DIFFERENCES = 4 };

static void list_numbers(const measured *of, number numbers[NUMBERS], number differences[DIFFERENCES])
{
    const trn_measurement *m = &of->found;
    numbers[0] = (number){"residual_sd_Nm", m->residual_sd_Nm};
    numbers[1] = (number){"from_deg", degrees_of(m->from_rad)};
    numbers[2] = (number){"to_deg", degrees_of(m->to_rad)};
    differences[0] = (number){"A_Nm", m->difference.a_Nm};
    differences[1] = (number){"B_Nm", m->difference.b_Nm};
    differences[2] = (number){"moment_Nm", m->difference.moment_Nm};
    differences[3] = (number){"toe_weight_N", m->difference.toe_weight_N};
}

typedef struct tally {
    const char *key;
    size_t count;
} tally;

enum { TALLIES = 4 };

static void list_tallies(const measured *of, tally tallies[TALLIES])
{
    const trn_measurement *m = &of->found;
    tallies[0] = (tally){"points_used", m->used};
    tallies[1] = (tally){"points_left_out", m->outside + m->rejected};
    tallies[2] = (tally){"points_outside", m->outside};
    tallies[3] = (tally){"points_rejected", m->rejected};
}

static void csv_heading(FILE *stream, const line *lines, const number *numbers, const number *differences,
                        const tally *tallies)
{
    (void)fputs("leaf", stream);
    for (size_t i = 0; i < LINES; i++) {
        for (size_t k = 0; k < PARTS; k++) {
            (void)fprintf(stream, ",%s%s", lines[i].key, estimate_endings[k]);
        }
    }
    for (size_t i = 0; i < NUMBERS; i++) {
        (void)fprintf(stream, ",%s", numbers[i].key);
    }
    for (size_t i = 0; i < TALLIES; i++) {
        (void)fprintf(stream, ",%s", tallies[i].key);
    }
    for (size_t i = 0; i < DIFFERENCES; i++) {
        (void)fprintf(stream, ",difference_%s", differences[i].key);
    }
    (void)fputs(",warnings\r\n", stream);
}

static void csv_warnings(FILE *stream, const trn_measurement *m)
{
    char all[TRN_WARNINGS_MAX * (TRN_ERROR_TEXT + 2)] = "";
    size_t length = 0;
    for (size_t i = 0; i < m->warning_count; i++) {
        length += (size_t)snprintf(all + length, sizeof all - length, "%s%s", i == 0 ? "" : "; ", m->warnings[i].text);
    }
    csv_text(stream, all, false);
}

static exit_status measure_csv(const void *result, FILE *stream)
{
    const measured *of = result;
    line lines[LINES];
    number numbers[NUMBERS];
    number differences[DIFFERENCES];
    tally tallies[TALLIES];
    list_lines(of, lines);
    list_numbers(of, numbers, differences);
    list_tallies(of, tallies);
    csv_heading(stream, lines, numbers, differences, tallies);
    csv_text(stream, of->leaf->name, true);
    for (size_t i = 0; i < ENTRIES; i++) {
        const line *one = &lines[i / PARTS];
        if (one->there) {
            csv_number(stream, part_of(one, i % PARTS), false);
        } else {
            csv_nothing(stream, false);
        }
    }
    for (size_t i = 0; i < NUMBERS; i++) {
        csv_number(stream, numbers[i].value, false);
    }
    for (size_t i = 0; i < TALLIES; i++) {
        (void)fprintf(stream, ",%zu", tallies[i].count);
    }
    for (size_t i = 0; i < DIFFERENCES; i++) {
        csv_number(stream, differences[i].value, false);
    }
    csv_warnings(stream, &of->found);
    csv_end_line(stream);
    return EXIT_DONE;
}

static json_t *warnings_json(const trn_measurement *m)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < m->warning_count && failed == 0; i++) {
        failed = json_array_append_new(list, json_string(m->warnings[i].text));
    }
    return json_unless(failed, list);
}

static int put_estimates(json_t *object, const measured *of)
{
    line lines[LINES];
    int failed = 0;
    list_lines(of, lines);
    for (size_t i = 0; i < ENTRIES; i++) {
        const line *one = &lines[i / PARTS];
        char key[64];
        (void)snprintf(key, sizeof key, "%s%s", one->key, estimate_endings[i % PARTS]);
        failed |= json_put(object, key, one->there, part_of(one, i % PARTS));
    }
    return failed;
}

static exit_status measure_json(const void *result, FILE *stream)
{
    const measured *of = result;
    number numbers[NUMBERS];
    number differences[DIFFERENCES];
    tally tallies[TALLIES];
    list_numbers(of, numbers, differences);
    list_tallies(of, tallies);
    json_t *object = json_pack("{s:s}", "leaf", of->leaf->name);
    json_t *difference = json_object();
    int failed = put_estimates(object, of);
    for (size_t i = 0; i < NUMBERS; i++) {
        failed |= json_put(object, numbers[i].key, true, numbers[i].value);
    }
    for (size_t i = 0; i < TALLIES; i++) {
        failed |= json_object_set_new(object, tallies[i].key, json_integer((json_int_t)tallies[i].count));
    }
    for (size_t i = 0; i < DIFFERENCES; i++) {
        failed |= json_put(difference, differences[i].key, true, differences[i].value);
    }
    failed |= json_object_set_new(object, "fit", json_string(of->ordinary ? "ordinary" : "robust"));
    failed |= json_object_set_new(object, "difference_from_description", difference);
    failed |= json_object_set_new(object, "warnings", warnings_json(&of->found));
    return json_write(json_unless(failed, object), stream);
}

static exit_status hold(const measured *of, const char *words, quantity what, double value, trn_window within)
{
    char got[DISPLAY_TEXT];
    char low[DISPLAY_TEXT];
    char high[DISPLAY_TEXT];
    if (value >= within.low && value <= within.high) {
        return EXIT_DONE;
    }
    return not_met("balance target: the measured %s is %s %s, outside %s to %s %s", words,
                   display_text(&of->shown, what, value, got), of->shown.of[what].unit,
                   display_text(&of->shown, what, within.low, low), display_text(&of->shown, what, within.high, high),
                   of->shown.of[what].unit);
}

static exit_status verdict(const measured *of)
{
    const trn_balance_target *target = of->leaf->balance_target;
    const trn_measurement *m = &of->found;
    for (size_t i = 0; i < m->warning_count; i++) {
        warn("%s", m->warnings[i].text);
    }
    if (target == NULL) {
        return EXIT_DONE;
    }
    exit_status first;
    exit_status second;
    if (target->by_moments) {
        first = hold(of, "closed moment A", QUANTITY_MOMENT, m->a_Nm.value, target->a_Nm);
        second = hold(of, "moment B", QUANTITY_MOMENT, m->b_Nm.value, target->b_Nm);
    } else {
        first = hold(of, "toe reaction", QUANTITY_FORCE, m->toe_reaction_N.value, target->toe_reaction_N);
        second = hold(of, "angle α", QUANTITY_ANGLE, m->angle_rad.value, target->angle_rad);
    }
    return first != EXIT_DONE ? first : second;
}

exit_status fail_measure(const options *asked, const trn_error *error)
{
    if (error->status != TRN_OUT_OF_DOMAIN) {
        return fail_leaf(asked, error);
    }
    return fail(EXIT_BAD_INPUT, "%s: %s", input_name(asked->record_file), error->text);
}

trn_measure_settings measure_settings(const options *asked)
{
    return (trn_measure_settings){.from_given = asked->from_given,
                                  .from_rad = radians_of(asked->from_deg),
                                  .to_given = asked->to_given,
                                  .to_rad = radians_of(asked->to_deg),
                                  .ordinary = asked->ordinary,
                                  .friction_by_reaction = asked->friction_by_reaction};
}

static exit_status measure_record(const options *asked, measured *of)
{
    static const presentation how = {measure_table, measure_csv, measure_json, measure_plot, {900, 820}};
    const trn_measure_settings settings = measure_settings(asked);
    trn_error error;
    if (trn_leaf_measure(of->leaf, of->record, &settings, of->readings, &of->found, &error) != TRN_OK) {
        return fail_measure(asked, &error);
    }
    of->described = trn_leaf_balance(of->leaf);
    const exit_status status = deliver(asked, &how, of);
    return status == EXIT_DONE ? verdict(of) : status;
}

static exit_status measure_leaf(const options *asked, const trn_leaf *leaf)
{
    trn_record record = {0};
    exit_status status = input_read_record(asked->record_file, &record);
    if (status != EXIT_DONE) {
        return status;
    }
    measured of = {.leaf = leaf,
                   .record = &record,
                   .shown = display_for(leaf),
                   .ordinary = asked->ordinary,
                   .friction_by_reaction = asked->friction_by_reaction,
                   .readings = malloc(record.count * sizeof *of.readings)};
    status = of.readings != NULL ? measure_record(asked, &of) : fail_memory();
    free(of.readings);
    trn_record_free(&record);
    return status;
}

exit_status command_measure(const options *asked)
{
    return input_with_leaf(asked, measure_leaf);
}
