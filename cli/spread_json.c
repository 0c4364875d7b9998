/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of samples as JSON, and its rows as CSV. */
#include <stdlib.h>

#include "present/csv.h"
#include "present/json.h"
#include "spread.h"

/* The numbers of a row, in the order in which they are told. */
typedef struct row_field {
    const char *key;
    size_t offset;
} row_field;

static const row_field row_fields[] = {
    {"mean_Nm", offsetof(trn_spread_row, demand_Nm.mean)},
    {"sd_Nm", offsetof(trn_spread_row, demand_Nm.sd)},
    {"p05_Nm", offsetof(trn_spread_row, demand_Nm.p05)},
    {"p50_Nm", offsetof(trn_spread_row, demand_Nm.p50)},
    {"p95_Nm", offsetof(trn_spread_row, demand_Nm.p95)},
    {"error_Nm", offsetof(trn_spread_row, demand_Nm.error)},
    {"first_order_mean_Nm", offsetof(trn_spread_row, first_mean_Nm)},
    {"first_order_sd_Nm", offsetof(trn_spread_row, first_sd_Nm)},
};

enum { ROW_FIELDS = sizeof row_fields / sizeof *row_fields };

static double field_of(const trn_spread_row *row, size_t i)
{
    return *(const double *)(const void *)((const char *)row + row_fields[i].offset);
}

/* The angle as it was asked for, which its radians may miss by a rounding. */
static double angle_of(const spread_result *of, size_t row)
{
    return of->angles.degrees[row % of->angles.count];
}

exit_status spread_csv(const void *result, FILE *stream)
{
    const spread_result *of = result;
    (void)fputs("case,angle_deg,direction", stream);
    for (size_t i = 0; i < ROW_FIELDS; i++) {
        csv_text(stream, row_fields[i].key, false);
    }
    csv_end_line(stream);
    for (size_t c = 0; c < of->run->case_count; c++) {
        const trn_spread_case *about = &of->run->cases[c];
        for (size_t row = 0; row < 2 * of->angles.count; row++) {
            csv_text(stream, about->name, true);
            csv_number(stream, angle_of(of, row), false);
            csv_text(stream, spread_direction(about->rows[row].direction), false);
            for (size_t i = 0; i < ROW_FIELDS; i++) {
                csv_number(stream, field_of(&about->rows[row], i), false);
            }
            csv_end_line(stream);
        }
    }
    return EXIT_DONE;
}

static json_t *rows_json(const spread_result *of, const trn_spread_case *about)
{
    json_t *rows = json_array();
    int failed = rows == NULL;
    for (size_t i = 0; i < 2 * of->angles.count && failed == 0; i++) {
        const trn_spread_row *row = &about->rows[i];
        json_t *one =
            json_pack("{s:f, s:s}", "angle_deg", angle_of(of, i), "direction", spread_direction(row->direction));
        failed = one == NULL;
        for (size_t k = 0; k < ROW_FIELDS && failed == 0; k++) {
            failed = json_put(one, row_fields[k].key, true, field_of(row, k));
        }
        failed = failed != 0 ? failed : json_array_append(rows, one);
        json_decref(one);
    }
    return json_unless(failed, rows);
}

static json_t *side_json(const trn_spread_case *about, trn_direction direction)
{
    const trn_spread_side *side = &about->sides[direction];
    json_t *made = json_object();
    const bool there = about->has_limit;
    const int failed = made == NULL || json_put(made, "over_limit_probability", there, side->over_limit_probability) ||
                       json_put(made, "peak_use_mean", there, side->peak_use.mean) ||
                       json_put(made, "peak_use_sd", there, side->peak_use.sd) ||
                       json_put(made, "peak_use_p05", there, side->peak_use.p05) ||
                       json_put(made, "peak_use_p50", there, side->peak_use.p50) ||
                       json_put(made, "peak_use_p95", there, side->peak_use.p95) ||
                       json_put(made, "tolerance_Nm", true, side->tolerance_Nm) ||
                       json_put(made, "error_Nm", true, side->error_Nm);
    return json_unless(failed, made);
}

static json_t *inputs_json(const spread_result *of, const trn_spread_case *about)
{
    json_t *list = json_array();
    spread_share *order = calloc(of->run->variable_count, sizeof *order);
    int failed = list == NULL || order == NULL;
    if (failed == 0) {
        spread_order(of, about, order);
    }
    for (size_t i = 0; i < of->run->variable_count && failed == 0; i++) {
        const trn_spread_effect *effect = &about->effects[order[i].variable];
        failed = json_array_append_new(
            list, json_pack("{s:s, s:f, s:f, s:f, s:f, s:f, s:f, s:f}", "name", of->run->variables[order[i].variable],
                            "first_order", effect->first_order, "low", effect->low, "high", effect->high, "sobol_first",
                            effect->sobol.first, "sobol_first_se", effect->sobol.first_se, "sobol_total",
                            effect->sobol.total, "sobol_total_se", effect->sobol.total_se));
    }
    free(order);
    return json_unless(failed, list);
}

static json_t *case_json(const spread_result *of, size_t index)
{
    const trn_spread_case *about = &of->run->cases[index];
    json_t *made = json_pack("{s:s, s:o}", "name", about->name, "rows", rows_json(of, about));
    if (made == NULL) {
        return NULL;
    }
    const int failed =
        json_put(made, "over_limit_probability", about->has_limit, about->over_limit_probability) ||
        json_object_set_new(made, "opening", side_json(about, TRN_OPENING)) ||
        json_object_set_new(made, "closing", side_json(about, TRN_CLOSING)) ||
        json_object_set_new(made, "governing",
                            json_pack("{s:f, s:s, s:s, s:f}", "angle_deg", angle_of(of, about->governing), "direction",
                                      spread_direction(about->rows[about->governing].direction), "quantity",
                                      about->has_limit ? "use" : "demand_Nm", "value", about->governing_value)) ||
        json_object_set_new(made, "inputs", inputs_json(of, about));
    return json_unless(failed, made);
}

static json_t *holdings_json(const spread_result *of)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < of->run->holding_count && failed == 0; i++) {
        const trn_spread_holding *one = &of->run->holdings[i];
        failed = json_array_append_new(
            list, json_pack("{s:s, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f}", "name", one->name, "capacity_Nm",
                            one->capacity_Nm, "required", one->required, "mean_Nm", one->demand_Nm.mean, "sd_Nm",
                            one->demand_Nm.sd, "p05_Nm", one->demand_Nm.p05, "p50_Nm", one->demand_Nm.p50, "p95_Nm",
                            one->demand_Nm.p95, "not_held_probability", one->not_held_probability));
    }
    return json_unless(failed, list);
}

/* A seed may be larger than a JSON number can tell: it is a text then, as all digits count. */
static json_t *seed_json(uint64_t seed)
{
    char text[24];
    if (seed <= (UINT64_C(1) << 53)) {
        return json_integer((json_int_t)seed);
    }
    (void)snprintf(text, sizeof text, "%llu", (unsigned long long)seed);
    return json_string(text);
}

exit_status spread_json(const void *result, FILE *stream)
{
    const spread_result *of = result;
    json_t *cases = json_array();
    int failed = cases == NULL;
    for (size_t i = 0; i < of->run->case_count && failed == 0; i++) {
        failed = json_array_append_new(cases, case_json(of, i));
    }
    json_t *whole = json_pack("{s:s, s:I, s:o, s:b, s:o, s:o, s:I}", "leaf", of->leaf->name, "samples",
                              (json_int_t)of->run->samples, "seed", seed_json(of->seed), "within_tolerance",
                              of->run->within_tolerance, "cases", json_unless(failed, cases), "holding",
                              holdings_json(of), "sobol_samples", (json_int_t)of->run->sobol_samples);
    return json_write(whole, stream);
}
