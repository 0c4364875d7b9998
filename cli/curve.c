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

/* What a column needs of the leaf: without motors a motor's torque is null, the other needs leave the column out. */
typedef enum column_need { NEEDS_NOTHING, NEEDS_MOTOR, NEEDS_FORCE, NEEDS_PRESSURE, NEEDS_LINK } column_need;

/* The columns of a row, in the order in which they are shown. */
typedef struct column {
    const char *key;   /* in JSON and CSV */
    const char *over;  /* heading of the table, first line */
    const char *under; /* and second */
    quantity what;
    size_t offset;
    column_need need; /* what the leaf must have */
} column;

#define COLUMN(field, over, under, what, need)                        \
    {                                                                 \
#field, over, under, what, offsetof(trn_moments, field), need \
    }

static const column columns[] = {
    COLUMN(balance_Nm, "", "balance", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(wind_opening_Nm, "wind", "opening", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(wind_closing_Nm, "wind", "closing", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(ice_Nm, "", "ice", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(friction_opening_Nm, "friction", "opening", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(friction_closing_Nm, "friction", "closing", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(inertia_Nm, "", "inertia", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(opening_Nm, "demand", "opening", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(closing_Nm, "demand", "closing", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(motor_opening_Nm, "motor", "opening", QUANTITY_TORQUE, NEEDS_MOTOR),
    COLUMN(motor_closing_Nm, "motor", "closing", QUANTITY_TORQUE, NEEDS_MOTOR),
    COLUMN(reaction_opening_N, "reaction", "opening", QUANTITY_FORCE, NEEDS_NOTHING),
    COLUMN(reaction_closing_N, "reaction", "closing", QUANTITY_FORCE, NEEDS_NOTHING),
    COLUMN(force_opening_N, "drive force", "opening", QUANTITY_FORCE, NEEDS_FORCE),
    COLUMN(force_closing_N, "drive force", "closing", QUANTITY_FORCE, NEEDS_FORCE),
    COLUMN(pressure_opening_Pa, "pressure", "opening", QUANTITY_OIL_PRESSURE, NEEDS_PRESSURE),
    COLUMN(pressure_closing_Pa, "pressure", "closing", QUANTITY_OIL_PRESSURE, NEEDS_PRESSURE),
    COLUMN(link_opening_N, "link", "opening", QUANTITY_FORCE, NEEDS_LINK),
    COLUMN(link_closing_N, "link", "closing", QUANTITY_FORCE, NEEDS_LINK),
    COLUMN(counterweight_reaction_opening_N, "cw reaction", "opening", QUANTITY_FORCE, NEEDS_LINK),
    COLUMN(counterweight_reaction_closing_N, "cw reaction", "closing", QUANTITY_FORCE, NEEDS_LINK),
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

static bool has(const column *of, const trn_moments *row)
{
    switch (of->need) {
    case NEEDS_MOTOR:
        return row->has_motor;
    case NEEDS_FORCE:
        return row->has_force;
    case NEEDS_PRESSURE:
        return row->has_pressure;
    case NEEDS_LINK:
        return row->has_link;
    default:
        return true;
    }
}

/* A column that leaves of this kind do not have at all; a motor's torque is then null, but there. */
static bool is_absent(const column *of, const trn_moments *row)
{
    return of->need != NEEDS_MOTOR && !has(of, row);
}

/* A column in which every row is zero, or that the leaf does not have, would only fill the page. */
static bool is_empty(const column *of, const trn_moments *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (fabs(value_of(of, &rows[i])) > 0) {
            return !has(of, &rows[i]);
        }
    }
    return true;
}

static void case_heading(const curves *of, const trn_case *load_case, FILE *stream)
{
    (void)fprintf(stream, "case '%s': %s friction%s%s", load_case->name,
                  load_case->friction == TRN_FRICTION_STARTING ? "starting" : "moving",
                  load_case->accelerating ? ", accelerating" : "",
                  of->leaf->trunnion == NULL ? " (none: frictionless, no trunnion described)" : "");
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
    (void)fprintf(
        stream,
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
        if (!is_absent(&columns[i], of->rows)) {
            (void)fprintf(stream, ",%s", columns[i].key);
        }
    }
    csv_end_line(stream);
    for (size_t k = 0; k < of->case_count; k++) {
        const trn_moments *rows = curves_of(of, k);
        for (size_t row = 0; row < of->angles.count; row++) {
            csv_text(stream, of->cases[k].name, true);
            csv_number(stream, of->angles.degrees[row], false);
            for (size_t i = 0; i < COLUMN_COUNT; i++) {
                if (has(&columns[i], &rows[row])) {
                    csv_number(stream, value_of(&columns[i], &rows[row]), false);
                } else if (!is_absent(&columns[i], &rows[row])) {
                    csv_nothing(stream, false);
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
        if (!is_absent(&columns[i], row)) {
            failed |= json_object_set_new(object, columns[i].key,
                                          has(&columns[i], row) ? json_real(value_of(&columns[i], row)) : json_null());
        }
    }
    return json_unless(failed, object);
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

static exit_status compute(const options *asked, curves *all)
{
    all->rows = malloc(all->case_count * all->angles.count * sizeof *all->rows);
    if (all->rows == NULL) {
        return fail_memory();
    }
    for (size_t i = 0; i < all->case_count; i++) {
        trn_error error;
        trn_moments *rows = all->rows + i * all->angles.count;
        if (trn_leaf_curve(all->leaf, &all->cases[i], all->angles.radians, all->angles.count, rows, &error) != TRN_OK) {
            return fail_leaf(asked, &error);
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
        status = compute(asked, &all);
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
    return input_with_leaf(asked, curve_of_leaf);
}
