/* SPDX-License-Identifier: GPL-3.0-or-later */
/* explain: one angle and case worked by hand. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "angles.h"
#include "command.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/json.h"
#include "row.h"
#include "worked.h"

typedef struct explanation {
    const trn_leaf *leaf;
    const trn_case *load_case;
    double angle_deg;
    trn_moments moments;
    worked work;
} explanation;

static bool begins_section(const worked *work, size_t index)
{
    return index == 0 || strcmp(work->steps[index].section, work->steps[index - 1].section) != 0;
}

static exit_status explain_table(const void *result, FILE *stream)
{
    const explanation *of = result;
    char text[DISPLAY_TEXT];
    int section = 0;
    (void)fprintf(
        stream,
        "%s: case '%s' at %.10g° worked by hand\n"
        "Moments are positive when they tend to close the leaf; demands are positive in the direction of travel.\n",
        of->leaf->name, of->load_case->name, of->angle_deg);
    for (size_t i = 0; i < of->work.count; i++) {
        const step *one = &of->work.steps[i];
        if (begins_section(&of->work, i)) {
            (void)fprintf(stream, "\n%d  %s\n", ++section, one->section);
        }
        (void)fprintf(stream, "   %s: %s", one->term, one->formula);
        if (one->numbers[0] != '\0') {
            (void)fprintf(stream, " = %s", one->numbers);
        }
        const char *unit = of->work.shown.of[one->what].unit;
        (void)fprintf(stream, " = %s%s%s\n", display_text(&of->work.shown, one->what, one->value, text),
                      unit[0] != '\0' ? " " : "", unit);
    }
    return EXIT_DONE;
}

/* The SI unit of a value, and its factor: angles stand in degrees. */
static const char *si_unit(quantity what)
{
    static const char *const units[QUANTITY_COUNT] = {
        [QUANTITY_LENGTH] = "m",
        [QUANTITY_FORCE] = "N",
        [QUANTITY_MOMENT] = "Nm",
        [QUANTITY_TORQUE] = "Nm",
        [QUANTITY_MASS] = "kg",
        [QUANTITY_INERTIA] = "kg_m2",
        [QUANTITY_ANGLE] = "deg",
        [QUANTITY_PRESSURE] = "N_m2",
        [QUANTITY_AREA] = "m2",
        [QUANTITY_RATIO] = "",
        [QUANTITY_SHARE] = "",
        [QUANTITY_OIL_PRESSURE] = "Pa",
        [QUANTITY_POWER] = "W",
        [QUANTITY_WIND_SPEED] = "m_s",
        [QUANTITY_TIME] = "s",
        [QUANTITY_HEAT] = "J",
        [QUANTITY_ACCELERATION] = "deg_s2",
    };
    return units[what];
}

static double si_value(const step *one)
{
    return one->what == QUANTITY_ANGLE || one->what == QUANTITY_ACCELERATION ? degrees_of(one->value) : one->value;
}

static exit_status explain_csv(const void *result, FILE *stream)
{
    const explanation *of = result;
    (void)fputs("case,angle_deg,section,term,formula,numbers,value,unit\r\n", stream);
    for (size_t i = 0; i < of->work.count; i++) {
        const step *one = &of->work.steps[i];
        csv_text(stream, of->load_case->name, true);
        csv_number(stream, of->angle_deg, false);
        csv_text(stream, one->section, false);
        csv_text(stream, one->term, false);
        csv_text(stream, one->formula, false);
        csv_text(stream, one->numbers, false);
        csv_number(stream, si_value(one), false);
        csv_text(stream, si_unit(one->what), false);
        csv_end_line(stream);
    }
    return EXIT_DONE;
}

static json_t *steps_json(const worked *work)
{
    json_t *steps = json_array();
    int failed = steps == NULL;
    for (size_t i = 0; i < work->count && failed == 0; i++) {
        const step *one = &work->steps[i];
        failed =
            json_array_append_new(steps, json_pack("{s:s, s:s, s:s, s:s, s:f, s:s}", "section", one->section, "term",
                                                   one->term, "formula", one->formula, "numbers", one->numbers, "value",
                                                   si_value(one), "unit", si_unit(one->what)));
    }
    return json_unless(failed, steps);
}

static exit_status explain_json(const void *result, FILE *stream)
{
    const explanation *of = result;
    json_t *object = json_pack("{s:s, s:s}", "leaf", of->leaf->name, "case", of->load_case->name);
    json_t *row = row_json(of->angle_deg, &of->moments);
    int failed = json_object_update(object, row);
    failed |= json_object_set_new(object, "steps", steps_json(&of->work));
    json_decref(row);
    return json_write(json_unless(failed, object), stream);
}

/* Bars: what each term adds to the demand of each direction. */
static exit_status explain_plot(const void *result, FILE *script)
{
    const explanation *of = result;
    const trn_moments *m = &of->moments;
    const double scale = of->work.shown.of[QUANTITY_MOMENT].factor;
    (void)fprintf(script,
                  "$terms << EOD\n\"balance\" %.10g %.10g\n\"wind\" %.10g %.10g\n\"ice\" %.10g %.10g\n"
                  "\"friction\" %.10g %.10g\n\"inertia\" %.10g %.10g\n\"demand\" %.10g %.10g\nEOD\nset title ",
                  m->balance_Nm * scale, -m->balance_Nm * scale, m->wind_opening_Nm * scale,
                  -m->wind_closing_Nm * scale, m->ice_Nm * scale, -m->ice_Nm * scale, m->friction_opening_Nm * scale,
                  m->friction_closing_Nm * scale, m->inertia_Nm * scale, m->inertia_Nm * scale, m->opening_Nm * scale,
                  m->closing_Nm * scale);
    plot_short_string(script, of->leaf->name, 33);
    (void)fputs(".\"  —  case '\".", script);
    plot_short_string(script, of->load_case->name, 27);
    (void)fprintf(script,
                  ".\"' at %.10g degrees\".additions\nset ylabel 'share of the demand, %s (+ resists the motion)'\n"
                  "set style data histograms\nset style histogram clustered gap 1\nset xtics scale 0\nset grid noxtics "
                  "ytics\nset key below horizontal maxcols 2\n"
                  "plot 0 notitle linecolor rgb '#404040' linewidth 0.8, \\\n"
                  " $terms using 2:xtic(1) title 'opening' linecolor rgb '#1f5fa8' fillstyle solid 0.85 noborder, \\\n"
                  " $terms using 3 title 'closing' linecolor rgb '#c2571a' fillstyle pattern 4 border\n",
                  of->angle_deg, of->work.shown.of[QUANTITY_MOMENT].unit);
    return EXIT_DONE;
}

static exit_status work(const options *asked, explanation *of)
{
    trn_loading loading;
    trn_error error;
    const double opens_to_deg = degrees_of(of->leaf->opens_to_rad);
    /* Fully open is the travel's own end, as in curve. */
    const bool at_end = fabs(of->angle_deg - opens_to_deg) <= 1e-12 * opens_to_deg;
    const double angle_rad = at_end ? of->leaf->opens_to_rad : radians_of(of->angle_deg);
    if (!at_end && of->angle_deg > opens_to_deg) {
        return fail(EXIT_BAD_INPUT, "--at %.10gdeg: the leaf opens to %.10g degree", of->angle_deg, opens_to_deg);
    }
    if (trn_loading_prepare(of->leaf, of->load_case, &loading, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    of->moments = trn_loading_moments(&loading, angle_rad);
    of->work = (worked){.shown = display_for(of->leaf)};
    work_moments(&of->work, &loading, angle_rad);
    return of->work.failed ? fail_memory() : EXIT_DONE;
}

static exit_status explain_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {explain_table, explain_csv, explain_json, explain_plot, {900, 520}};
    explanation of = {.leaf = leaf, .angle_deg = asked->at_deg};
    exit_status status = input_find_case(leaf, asked->leaf_file, asked->case_name, &of.load_case);
    if (status == EXIT_DONE) {
        input_note_choice(asked, "case", of.load_case->name);
        status = work(asked, &of);
    }
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &of);
    }
    worked_free(&of.work);
    return status;
}

exit_status command_explain(const options *asked)
{
    return input_with_leaf(asked, explain_leaf);
}
