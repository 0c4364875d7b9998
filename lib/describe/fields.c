/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fields.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "defaults.h"

static bool fault(dsc_reading *reading, const dsc_node *at, const char *key, const char *format, va_list arguments)
{
    if (!dsc_faults_want(reading->faults, at->place)) {
        reading->faults->more = true;
        return false;
    }
    char words[TRN_ERROR_TEXT];
    vsnprintf(words, sizeof words, format, arguments);
    dsc_faults_add(reading->faults, at->place, "%s%s%s", key ? key : "", key ? ": " : "", words);
    return false;
}

bool dsc_fault(dsc_reading *reading, const dsc_node *at, const char *key, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    bool good = fault(reading, at, key, format, arguments);
    va_end(arguments);
    return good;
}

bool dsc_missing(dsc_reading *reading, const dsc_node *mapping, const char *format, ...)
{
    if (reading->slip) {
        return false;
    }
    va_list arguments;
    va_start(arguments, format);
    bool good = fault(reading, mapping, NULL, format, arguments);
    va_end(arguments);
    return good;
}

void *dsc_take(dsc_reading *reading, size_t count, size_t size)
{
    void *taken = dsc_arena_take(reading->arena, count, size);
    if (!taken) {
        reading->status = TRN_NO_MEMORY;
    }
    return taken;
}

bool dsc_is_nothing(const dsc_node *node)
{
    static const char *const nulls[] = {"", "~", "null", "Null", "NULL"};
    if (node->kind != DSC_SCALAR || !node->plain) {
        return false;
    }
    for (size_t i = 0; i < sizeof nulls / sizeof *nulls; i++) {
        if (strcmp(node->text, nulls[i]) == 0) {
            return true;
        }
    }
    return false;
}

static size_t field_of(const dsc_form *form, const char *key)
{
    size_t index = 0;
    while (index < form->field_count && strcmp(form->fields[index].key, key) != 0) {
        index++;
    }
    return index;
}

/* A fault that names the nearest known key, or lists the known keys as far as there is room. */
static void unknown_key(dsc_reading *reading, const dsc_node *key, const dsc_form *form, dsc_seen *seen)
{
    if (!dsc_faults_want(reading->faults, key->place)) {
        reading->faults->more = true;
        return;
    }
    const char *keys[DSC_FIELDS_MAX];
    for (size_t i = 0; i < form->field_count; i++) {
        keys[i] = form->fields[i].key;
    }
    char shown[DSC_EXCERPT];
    dsc_excerpt(shown, key->text, key->length);
    const char *nearest = dsc_nearest(key->text, key->length, 1 + key->length / 4, keys, form->field_count);
    if (nearest) {
        seen[field_of(form, nearest)].meant = true;
        dsc_fault(reading, key, NULL, "unknown key \"%s\" in %s: did you mean \"%s\"?", shown, form->noun, nearest);
        return;
    }
    if (key->length > 0 && key->text[0] >= '0' && key->text[0] <= '9') {
        dsc_fault(reading, key, NULL, "unknown key \"%s\" in %s: decimals have a point, not a comma", shown,
                  form->noun);
        return;
    }
    char list[TRN_ERROR_TEXT] = "";
    size_t length = 0;
    for (size_t i = 0; i < form->field_count && length + strlen(keys[i]) + 2 < sizeof list; i++) {
        length += (size_t)snprintf(list + length, sizeof list - length, "%s%s", i > 0 ? ", " : "", keys[i]);
    }
    dsc_fault(reading, key, NULL, "unknown key \"%s\" in %s: expected one of %s", shown, form->noun, list);
}

/* Note one entry of a mapping; false, with a fault, where its key is not right. */
static bool note_item(dsc_reading *reading, const dsc_item *item, const dsc_form *form, dsc_seen *seen, bool *slip)
{
    const dsc_node *key = item->key;
    if (key->kind != DSC_SCALAR) {
        return dsc_fault(reading, key, NULL, "a key of %s is no plain text: expected a name such as %s", form->noun,
                         form->fields[0].key);
    }
    if (key->plain && strcmp(key->text, "<<") == 0) {
        return dsc_fault(reading, key, NULL, "merge keys (<<) are not read: expected the keys themselves");
    }
    size_t index = field_of(form, key->text);
    if (index == form->field_count) {
        unknown_key(reading, key, form, seen);
        *slip = true;
        return false;
    }
    if (seen[index].key) {
        return dsc_fault(reading, key, NULL, "key \"%s\" is given twice in %s: first in line %d", key->text, form->noun,
                         seen[index].key->place.line);
    }
    seen[index].key = key;
    seen[index].value = item->value;
    return true;
}

/* Note all entries of a mapping; missing keys are faults at the mapping's own place. */
static bool note_items(dsc_reading *reading, const dsc_node *node, const dsc_form *form, dsc_seen *seen, bool *slip)
{
    bool good = true;
    for (const dsc_item *item = node->items; item; item = item->next) {
        good = note_item(reading, item, form, seen, slip) && good;
    }
    for (size_t i = 0; i < form->field_count; i++) {
        if (form->fields[i].required && !seen[i].key && !seen[i].meant) {
            good = dsc_fault(reading, node, NULL, "key \"%s\" is missing: expected it in %s", form->fields[i].key,
                             form->noun);
        }
    }
    return good;
}

static const char *kind_found(const dsc_node *node)
{
    if (dsc_is_nothing(node)) {
        return "nothing";
    }
    static const char *const names[] = {
        [DSC_SCALAR] = "a single value", [DSC_SEQUENCE] = "a list", [DSC_MAPPING] = "keys with values"};
    return names[node->kind];
}

bool dsc_read_form(dsc_reading *reading, const dsc_node *node, const char *key, const dsc_form *form, void *record)
{
    if (node->kind != DSC_MAPPING) {
        return dsc_fault(reading, node, key, "found %s: expected keys with values, such as {%s: ...}", kind_found(node),
                         form->fields[0].key);
    }
    if (form->set_defaults) {
        form->set_defaults(record);
    }
    dsc_seen seen[DSC_FIELDS_MAX] = {{0}};
    bool slip = false;
    bool good = note_items(reading, node, form, seen, &slip);
    for (size_t i = 0; i < form->field_count && reading->status == TRN_OK; i++) {
        if (seen[i].value) {
            seen[i].good = form->fields[i].read(reading, seen[i].value, &form->fields[i], record);
            good = seen[i].good && good;
        }
    }
    if (form->check && reading->status == TRN_OK) {
        reading->slip = slip;
        good = form->check(reading, node, seen, record) && good;
    }
    if (good && reading->defaults) {
        dsc_defaults_note(reading, node, form, seen, record);
    }
    return good && reading->status == TRN_OK;
}

bool dsc_read_record(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    return dsc_read_form(reading, value, field->key, field->spec, (char *)record + field->offset);
}

/* Set a pointer in a record, of whatever type: all object pointers look alike here. */
static void set_pointer(void *record, size_t offset, const void *pointer)
{
    memcpy((char *)record + offset, &pointer, sizeof pointer);
}

bool dsc_read_section(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    const dsc_form *form = field->spec;
    void *section = dsc_take(reading, 1, form->size);
    if (!section) {
        return false;
    }
    set_pointer(record, field->offset, section);
    return dsc_read_form(reading, value, field->key, form, section);
}

/* True where a list has as many items as it may have. */
static bool count_is_right(dsc_reading *reading, const dsc_node *value, const char *key, const dsc_list *list)
{
    if (value->kind != DSC_SEQUENCE) {
        return dsc_fault(reading, value, key, "found %s: expected a list of %s", kind_found(value), list->nouns);
    }
    if (value->count < list->least) {
        return dsc_fault(reading, value, key, "the list of %s has %zu: expected at least %zu", list->nouns,
                         value->count, list->least);
    }
    if (value->count > list->most) {
        return dsc_fault(reading, value, key, "the list of %s has %zu: expected at most %zu", list->nouns, value->count,
                         list->most);
    }
    return true;
}

bool dsc_read_list(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    const dsc_list *list = field->spec;
    if (!count_is_right(reading, value, field->key, list)) {
        return false;
    }
    char *items = dsc_take(reading, value->count, list->item_size);
    if (!items) {
        return false;
    }
    bool good = true;
    size_t index = 0;
    for (const dsc_item *item = value->items; item && reading->status == TRN_OK; item = item->next) {
        good = list->item.read(reading, item->value, &list->item, items + index * list->item_size) && good;
        index++;
    }
    if (list->named) {
        good = dsc_check_names(reading, &value, 1) && good;
    }
    set_pointer(record, field->offset, items);
    memcpy((char *)record + list->count_offset, &value->count, sizeof value->count);
    return good;
}
