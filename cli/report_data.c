/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the script of the page works with: numbers in SI and degrees, and the scales of the charts. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "message.h"
#include "present/json.h"
#include "report.h"
#include "trunnion/version.h"

/* The member of an object that is an object or array itself, made where it is not there yet. */
static json_t *member(json_t *object, const char *key, bool list)
{
    json_t *found = json_object_get(object, key);
    if (found == NULL && json_object_set_new(object, key, list ? json_array() : json_object()) == 0) {
        found = json_object_get(object, key);
    }
    return found;
}

exit_status data_begin(report *of)
{
    of->data = json_pack("{s:s, s:s, s:s, s:{}, s:[], s:[]}", "leaf", of->leaf->name, "version", TRN_VERSION, "sha256",
                         of->checksum, "series", "charts", "readouts");
    for (size_t i = 0; i < of->asked->addition_count; i++) {
        json_t *text = json_string(of->asked->additions[i]);
        of->data_failed |= json_array_append_new(member(of->data, "additions", true), text);
    }
    return of->data != NULL ? EXIT_DONE : fail_memory();
}

void data_series(report *of, const char *name, const double *values, size_t count)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < count && failed == 0; i++) {
        failed = json_array_append_new(list, isfinite(values[i]) ? json_real(values[i]) : json_null());
    }
    of->data_failed |= failed;
    of->data_failed |= json_object_set_new(member(of->data, "series", false), name, json_unless(failed, list));
}

static json_t *scale_json(const chart_scale *scale)
{
    return json_pack("[f, f, f, f]", scale->low, scale->high, scale->from, scale->to);
}

void data_chart(report *of, const chart *drawn, const char *axis)
{
    json_t *object = json_pack("{s:s, s:s, s:o, s:o, s:[]}", "id", drawn->id, "axis", axis, "x", scale_json(&drawn->x),
                               "y", scale_json(&drawn->y), "lines");
    of->data_failed |= json_array_append_new(member(of->data, "charts", true), object);
}

void data_line(report *of, const chart *drawn, const char *series, double factor, int style)
{
    json_t *charts = member(of->data, "charts", true);
    json_t *last = json_array_get(charts, json_array_size(charts) - 1);
    (void)drawn;
    of->data_failed |=
        json_array_append_new(json_object_get(last, "lines"), json_pack("{s:s, s:f, s:i}", "series", series, "factor",
                                                                        factor, "style", style % CHART_STYLES));
}

void data_readout(report *of, const char *series, const char *case_name, quantity what, const char *words)
{
    json_t *object = json_pack("{s:s, s:s?, s:s, s:s, s:f, s:i}", "series", series, "case", case_name, "words", words,
                               "unit", of->shown.of[what].unit, "factor", of->shown.of[what].factor, "decimals",
                               of->shown.of[what].decimals);
    of->data_failed |= json_array_append_new(member(of->data, "readouts", true), object);
}

void data_write(report *of, html *page)
{
    char *text = of->data_failed == 0 ? json_dumps(of->data, JSON_COMPACT | JSON_REAL_PRECISION(17)) : NULL;
    html_start(page, "script");
    html_attribute(page, "type", "application/json");
    html_attribute(page, "id", "data");
    if (text != NULL) {
        html_json(page, text, strlen(text));
    } else {
        of->data_failed = 1;
    }
    html_end(page);
    free(text);
}
