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

const trn_moments *curves_of(const curves *all, size_t case_index)
{
    return all->rows + case_index * all->angles.count;
}

bool curves_column_is_empty(const column *of, const trn_moments *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (fabs(column_value(of, &rows[i])) > 0) {
            return !column_has(of, &rows[i]);
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
        empty[i] = curves_column_is_empty(&columns[i], rows, of->angles.count);
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
                table_cell(&made,
                           display_text(&of->shown, columns[i].what, column_value(&columns[i], &rows[row]), text));
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
        if (of->every_column || !column_absent(&columns[i], of->rows)) {
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
                if (column_has(&columns[i], &rows[row])) {
                    csv_number(stream, column_value(&columns[i], &rows[row]), false);
                } else if (of->every_column || !column_absent(&columns[i], &rows[row])) {
                    csv_nothing(stream, false);
                }
            }
            csv_end_line(stream);
        }
    }
    return EXIT_DONE;
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

exit_status curves_compute(const options *asked, double step_deg, curves *all)
{
    const exit_status status = angle_list_make(all->leaf->opens_to_rad, step_deg, &all->angles);
    if (status != EXIT_DONE) {
        return status;
    }
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

void curves_free(curves *all)
{
    free(all->rows);
    angle_list_free(&all->angles);
}

/* For people 5 degree steps fill a page; programs get every degree. */
static double step_for(const options *asked)
{
    return asked->step_given || asked->format_given || asked->plot_file != NULL ? asked->step_deg : 5;
}

static exit_status curve_of_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {curve_table, curve_csv, curve_json, curve_plot, {900, 860}};
    curves all = {.leaf = leaf,
                  .cases = leaf->cases,
                  .case_count = leaf->case_count,
                  .shown = display_for(leaf),
                  .every_column = asked->batch != NULL};
    exit_status status = EXIT_DONE;
    input_note_choice(asked, "case", NULL);
    if (asked->case_name != NULL) {
        all.case_count = 1;
        status = input_find_case(leaf, asked->leaf_file, asked->case_name, &all.cases);
    }
    if (status == EXIT_DONE) {
        status = curves_compute(asked, step_for(asked), &all);
    }
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &all);
    }
    curves_free(&all);
    return status;
}

exit_status command_curve(const options *asked)
{
    return input_with_leaf(asked, curve_of_leaf);
}
