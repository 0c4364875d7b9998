/* SPDX-License-Identifier: GPL-3.0-or-later */
/* curve: moments and motor torque against opening angle, every case. */
#include "curve.h"

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

/* The columns of a row, in the order in which they are shown. */
typedef struct column {
    const char *key;     /* in JSON and CSV */
    const char *over;    /* heading of the table, first line */
    const char *under;   /* and second */
    quantity what;
    size_t offset;
    bool needs_motor;    /* nothing where the leaf has no drive or motors */
} column;

#define COLUMN(field, over, under, what, needs_motor)                          \
    {                                                                          \
        #field, over, under, what, offsetof(trn_moments, field), needs_motor \
    }

static const column columns[] = {
    COLUMN(balance_Nm, "", "balance", QUANTITY_MOMENT, false),
    COLUMN(wind_opening_Nm, "wind", "opening", QUANTITY_MOMENT, false),
    COLUMN(wind_closing_Nm, "wind", "closing", QUANTITY_MOMENT, false),
    COLUMN(ice_Nm, "", "ice", QUANTITY_MOMENT, false),
    COLUMN(friction_opening_Nm, "friction", "opening", QUANTITY_MOMENT, false),
    COLUMN(friction_closing_Nm, "friction", "closing", QUANTITY_MOMENT, false),
    COLUMN(inertia_Nm, "", "inertia", QUANTITY_MOMENT, false),
    COLUMN(opening_Nm, "demand", "opening", QUANTITY_MOMENT, false),
    COLUMN(closing_Nm, "demand", "closing", QUANTITY_MOMENT, false),
    COLUMN(motor_opening_Nm, "motor", "opening", QUANTITY_TORQUE, true),
    COLUMN(motor_closing_Nm, "motor", "closing", QUANTITY_TORQUE, true),
    COLUMN(reaction_opening_N, "reaction", "opening", QUANTITY_FORCE, false),
    COLUMN(reaction_closing_N, "reaction", "closing", QUANTITY_FORCE, false),
};

enum { COLUMN_COUNT = sizeof columns / sizeof columns[0] };

static double value_of(const column *of, const trn_moments *row)
{
    return curve_value(row, of->offset);
}

double curve_value(const trn_moments *row, size_t offset)
{
    double value;
    (void)memcpy(&value, (const char *)row + offset, sizeof value);
    return value;
}

const trn_moments *curves_of(const curves *all, size_t case_index)
{
    return all->rows + case_index * all->angles.count;
}

/* A column in which every row is zero, or that the leaf does not have, would only fill the page. */
static bool is_empty(const column *of, const trn_moments *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (fabs(value_of(of, &rows[i])) > 0) {
            return of->needs_motor && !rows[i].has_motor;
        }
    }
    return true;
}

static void case_heading(const curves *of, const trn_case *load_case, FILE *stream)
{
    (void)fprintf(stream, "case '%s': %s friction%s%s", load_case->name,
                  load_case->friction == TRN_FRICTION_STARTING ? "starting" : "moving",
                  load_case->accelerating ? ", accelerating" : "", of->leaf->trunnion == NULL ? " (none: frictionless, no trunnion described)" : "");
    (void)fputs("\n\n", stream);
}

static void table_heading(table *made, const curves *of, const bool *empty)
{
    for (int line = 0; line < 3; line++) {
        table_cell(made, line == 1 ? "angle" : line == 2 ? of->shown.of[QUANTITY_ANGLE].unit : "");
        for (size_t i = 0; i < COLUMN_COUNT; i++) {
            if (!empty[i]) {
                table_cell(made, line == 0   ? columns[i].over
                                 : line == 1 ? columns[i].under
                                             : of->shown.of[columns[i].what].unit);
            }
        }
    }
}

static exit_status case_table(const curves *of, size_t case_index, FILE *stream)
{
    bool empty[COLUMN_COUNT];
    char text[DISPLAY_TEXT];
    size_t kept = 0;
    const trn_moments *rows = curves_of(of, case_index);
    for (size_t i = 0; i < COLUMN_COUNT; i++) {
        empty[i] = is_empty(&columns[i], rows, of->angles.count);
        kept += !empty[i];
    }
    char alignment[COLUMN_COUNT + 2];
    (void)memset(alignment, 'r', 1 + kept);
    alignment[1 + kept] = '\0';
    table made = table_make(alignment, 3);
    table_heading(&made, of, empty);
    for (size_t row = 0; row < of->angles.count; row++) {
        (void)snprintf(text, sizeof text, "%.10g", of->angles.degrees[row]);
        table_cell(&made, text);
        for (size_t i = 0; i < COLUMN_COUNT; i++) {
            if (!empty[i]) {
                table_cell(&made, display_text(&of->shown, columns[i].what, value_of(&columns[i], &rows[row]), text));
            }
        }
    }
    return table_print(&made, stream);
}

static exit_status curve_table(const void *result, FILE *stream)
{
    const curves *of = result;
    exit_status status = EXIT_DONE;
    (void)fprintf(stream,
                  "%s: moments against opening angle\n"
                  "Balance, wind and ice: positive closes. Demand and motor torque: positive resists the motion, negative\n"
                  "is overhauling. Motor torque is that of each running motor. Columns of zeros are left out.\n",
                  of->leaf->name);
    for (size_t i = 0; i < of->case_count && status == EXIT_DONE; i++) {
        (void)fputc('\n', stream);
        case_heading(of, &of->cases[i], stream);
        status = case_table(of, i, stream);
    }
    return status;
}

static exit_status curve_csv(const void *result, FILE *stream)
{
    const curves *of = result;
    (void)fputs("case,angle_deg", stream);
    for (size_t i = 0; i < COLUMN_COUNT; i++) {
        (void)fprintf(stream, ",%s", columns[i].key);
    }
    csv_end_line(stream);
    for (size_t k = 0; k < of->case_count; k++) {
        const trn_moments *rows = curves_of(of, k);
        for (size_t row = 0; row < of->angles.count; row++) {
            csv_text(stream, of->cases[k].name, true);
            csv_number(stream, of->angles.degrees[row], false);
            for (size_t i = 0; i < COLUMN_COUNT; i++) {
                if (columns[i].needs_motor && !rows[row].has_motor) {
                    csv_nothing(stream, false);
                } else {
                    csv_number(stream, value_of(&columns[i], &rows[row]), false);
                }
            }
            csv_end_line(stream);
        }
    }
    return EXIT_DONE;
}

static json_t *row_json(double angle_deg, const trn_moments *row)
{
    json_t *object = json_pack("{s:f}", "angle_deg", angle_deg);
    int failed = object == NULL;
    for (size_t i = 0; i < COLUMN_COUNT; i++) {
        const bool nothing = columns[i].needs_motor && !row->has_motor;
        failed |= json_object_set_new(object, columns[i].key,
                                      nothing ? json_null() : json_real(value_of(&columns[i], row)));
    }
    if (failed != 0) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static json_t *case_json(const curves *of, size_t case_index)
{
    json_t *rows = json_array();
    int failed = rows == NULL;
    for (size_t row = 0; row < of->angles.count && failed == 0; row++) {
        failed = json_array_append_new(rows, row_json(of->angles.degrees[row], &curves_of(of, case_index)[row]));
    }
    if (failed != 0) {
        json_decref(rows);
        return NULL;
    }
    return json_pack("{s:s, s:o}", "name", of->cases[case_index].name, "rows", rows);
}

static exit_status curve_json(const void *result, FILE *stream)
{
    const curves *of = result;
    json_t *cases = json_array();
    int failed = cases == NULL;
    for (size_t i = 0; i < of->case_count && failed == 0; i++) {
        failed = json_array_append_new(cases, case_json(of, i));
    }
    if (failed != 0) {
        json_decref(cases);
        cases = NULL;
    }
    return json_write(json_pack("{s:s, s:o}", "leaf", of->leaf->name, "cases", cases), stream);
}

static exit_status compute(curves *all, const char *file)
{
    all->rows = malloc(all->case_count * all->angles.count * sizeof *all->rows);
    if (all->rows == NULL) {
        return fail_memory();
    }
    for (size_t i = 0; i < all->case_count; i++) {
        trn_error error;
        trn_moments *rows = all->rows + i * all->angles.count;
        if (trn_leaf_curve(all->leaf, &all->cases[i], all->angles.radians, all->angles.count, rows, &error) != TRN_OK) {
            return fail_description(file, error.text);
        }
    }
    return EXIT_DONE;
}

/* For people 5 degree steps fill a page; programs get every degree. */
static double step_for(const options *asked)
{
    return asked->step_given || asked->format_given || asked->plot_file != NULL ? asked->step_deg : 5;
}

static exit_status curve_of_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {curve_table, curve_csv, curve_json, curve_plot, {900, 860}};
    curves all = {.leaf = leaf, .cases = leaf->cases, .case_count = leaf->case_count, .shown = display_for(leaf)};
    exit_status status = EXIT_DONE;
    if (asked->case_name != NULL) {
        all.case_count = 1;
        status = input_find_case(leaf, asked->leaf_file, asked->case_name, &all.cases);
    }
    if (status == EXIT_DONE) {
        status = angle_list_make(leaf->opens_to_rad, step_for(asked), &all.angles);
    }
    if (status == EXIT_DONE) {
        status = compute(&all, asked->leaf_file);
    }
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &all);
    }
    free(all.rows);
    angle_list_free(&all.angles);
    return status;
}

exit_status command_curve(const options *asked)
{
    trn_description *description;
    exit_status status = input_read(asked->leaf_file, &description);
    if (status == EXIT_DONE) {
        status = curve_of_leaf(asked, trn_description_leaf(description));
        trn_description_free(description);
    }
    return status;
}
