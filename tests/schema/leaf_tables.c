/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The reader's tables of the leaf file as JSON on standard output: for each
 * key whether it is required, how it is read, what is asked of it and what its
 * place holds where it is not given. tests/cli/test_schema.py holds
 * cli/schemas/leaf.json against them.
 */
#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../../lib/describe/sections.h"

static const char *const kind_names[] = {
    [DSC_PURE] = "pure",
    [DSC_COUNT] = "whole",
    [DSC_LENGTH] = "length",
    [DSC_ANGLE] = "angle",
    [DSC_ANGULAR_SPEED] = "angular_speed",
    [DSC_WEIGHT] = "weight",
    [DSC_WEIGHT_PER_LENGTH] = "weight_per_length",
    [DSC_WEIGHT_PER_AREA] = "weight_per_area",
    [DSC_UNIT_WEIGHT] = "unit_weight",
    [DSC_FORCE] = "force",
    [DSC_STIFFNESS] = "stiffness",
    [DSC_DAMPING] = "damping",
    [DSC_PRESSURE] = "pressure",
    [DSC_SPEED] = "speed",
    [DSC_DENSITY] = "density",
    [DSC_TORQUE] = "torque",
    [DSC_POWER] = "power",
    [DSC_TIME] = "time",
    [DSC_INERTIA] = "inertia",
    [DSC_HEAT_CAPACITY] = "heat_capacity",
};

static json_t *form_json(const dsc_form *form);
static json_t *field_json(const dsc_field *field, const void *record);

static json_t *bound_json(double bound)
{
    return isfinite(bound) ? json_real(bound) : json_null();
}

static json_t *rule_json(const dsc_rule *rule)
{
    const bool is_named = (size_t)rule->kind < sizeof kind_names / sizeof *kind_names && kind_names[rule->kind];
    return json_pack("{s:s, s:o, s:o, s:b}", "kind",
                     is_named ? kind_names[rule->kind] : "a kind that leaf_tables.c lacks", "low",
                     bound_json(rule->low), "high", bound_json(rule->high), "over", rule->over);
}

static json_t *words_json(const dsc_choice *choice)
{
    json_t *list = json_array();
    for (size_t i = 0; i < choice->count; i++) {
        json_array_append_new(list, json_string(choice->words[i]));
    }
    return list;
}

/* What the place of a field holds before its key is read; record is NULL for the items of a list. */
static json_t *default_json(const dsc_field *field, const void *record)
{
    double number = 0;
    int whole = 0;
    bool flag = false;
    if (!record) {
        return json_null();
    }
    const char *place = (const char *)record + field->offset;
    if (field->read == dsc_read_quantity || field->read == dsc_read_efficiency) {
        memcpy(&number, place, sizeof number);
        return json_real(number);
    }
    if (field->read == dsc_read_flag) {
        memcpy(&flag, place, sizeof flag);
        return json_boolean(flag);
    }
    memcpy(&whole, place, sizeof whole);
    if (field->read == dsc_read_choice) {
        return json_string(((const dsc_choice *)field->spec)->words[whole]);
    }
    return json_integer(whole);
}

/* The kind of a reader and what its spec says; a reader that is not known here is only told as "other". */
static json_t *scalar_json(const dsc_field *field, const void *record)
{
    if (field->read == dsc_read_text) {
        return json_pack("{s:s}", "reader", "text");
    }
    if (field->read == dsc_read_quantity) {
        return json_pack("{s:s, s:o, s:o}", "reader", "quantity", "rule", rule_json(field->spec), "default",
                         default_json(field, record));
    }
    if (field->read == dsc_read_whole) {
        return json_pack("{s:s, s:i, s:o}", "reader", "whole", "least", ((const dsc_whole *)field->spec)->least,
                         "default", default_json(field, record));
    }
    if (field->read == dsc_read_flag) {
        return json_pack("{s:s, s:o}", "reader", "flag", "default", default_json(field, record));
    }
    if (field->read == dsc_read_choice) {
        return json_pack("{s:s, s:o, s:o}", "reader", "choice", "words", words_json(field->spec), "default",
                         default_json(field, record));
    }
    if (field->read == dsc_read_choice_from_1) {
        return json_pack("{s:s, s:o}", "reader", "choice", "words", words_json(field->spec));
    }
    if (field->read == dsc_read_efficiency) {
        return json_pack("{s:s}", "reader", "efficiency");
    }
    return json_pack("{s:s}", "reader", field->read == dsc_read_conditions ? "conditions" : "other");
}

static json_t *list_json(const dsc_list *list)
{
    return json_pack("{s:s, s:I, s:o, s:o}", "reader", "list", "least", (json_int_t)list->least, "most",
                     list->most < SIZE_MAX ? json_integer((json_int_t)list->most) : json_null(), "item",
                     field_json(&list->item, NULL));
}

static json_t *field_json(const dsc_field *field, const void *record)
{
    if (field->read == dsc_read_record || field->read == dsc_read_section) {
        return json_pack("{s:s, s:o}", "reader", "form", "form", form_json(field->spec));
    }
    if (field->read == dsc_read_list) {
        return list_json(field->spec);
    }
    if (field->read == dsc_read_pair || field->read == dsc_read_window) {
        const dsc_pair *pair = field->spec;
        return json_pack("{s:s, s:[o, o]}", "reader", "pair", "rules", rule_json(pair->first), rule_json(pair->second));
    }
    if (field->read == dsc_read_uncertainty) {
        return json_pack("{s:s, s:o}", "reader", "uncertainty", "form", form_json(&dsc_weight_uncertainty_form));
    }
    if (field->read == dsc_read_outline) {
        return json_pack("{s:s}", "reader", "outline");
    }
    return scalar_json(field, record);
}

static json_t *form_json(const dsc_form *form)
{
    json_t *fields = json_object();
    void *record = calloc(1, form->size);
    if (!record) {
        abort();
    }
    if (form->set_defaults) {
        form->set_defaults(record);
    }
    for (size_t i = 0; i < form->field_count; i++) {
        json_t *field = field_json(&form->fields[i], record);
        json_object_set_new(field, "required", json_boolean(form->fields[i].required));
        json_object_set_new(fields, form->fields[i].key, field);
    }
    free(record);
    return fields;
}

int main(void)
{
    json_t *tables = form_json(&dsc_leaf_form);
    const int failed = json_dumpf(tables, stdout, JSON_INDENT(1) | JSON_REAL_PRECISION(17));
    json_decref(tables);
    return failed == 0 && putchar('\n') != EOF && fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
