/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "characters.h"
#include "fields.h"

#define TEXT_MAX ((size_t)200)
#define WHOLE_MAX 1e6

/* True where a node is a scalar; what says what was expected. */
static bool is_scalar(dsc_reading *reading, const dsc_node *value, const char *key, const char *what)
{
    if (value->kind == DSC_SCALAR) {
        return true;
    }
    return dsc_fault(reading, value, key, "found %s: expected %s",
                     value->kind == DSC_SEQUENCE ? "a list" : "keys with values", what);
}

/* A control character, or another that cannot be seen, at a byte of a text. */
static bool fault_unseen(dsc_reading *reading, const dsc_node *value, const char *key, size_t at)
{
    size_t bytes = 0;
    const uint32_t point = dsc_character_at((const unsigned char *)value->text + at, value->length - at, &bytes);
    if (point < 0xA0) {
        return dsc_fault(reading, value, key,
                         "the text holds a control character: expected one line of printable text");
    }
    return dsc_fault(reading, value, key, "the text holds U+%04X, which cannot be seen: expected printable text",
                     (unsigned)point);
}

bool dsc_read_text(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    if (!is_scalar(reading, value, field->key, "a text")) {
        return false;
    }
    if (value->length == 0 || dsc_is_nothing(value)) {
        return dsc_fault(reading, value, field->key, "the text is empty: expected 1 to %zu bytes", TEXT_MAX);
    }
    if (value->length > TEXT_MAX) {
        return dsc_fault(reading, value, field->key, "the text has %zu bytes: expected at most %zu", value->length,
                         TEXT_MAX);
    }
    for (size_t i = 0; i < value->length; i++) {
        if (dsc_control_length(value->text + i, value->length - i) > 0) {
            return fault_unseen(reading, value, field->key, i);
        }
    }
    if (dsc_ends_blank(value->text, value->length)) {
        return dsc_fault(reading, value, field->key, "the text begins or ends with a blank: expected none there");
    }
    const char *copy = dsc_arena_text(reading->arena, value->text, value->length);
    if (!copy) {
        reading->status = TRN_NO_MEMORY;
        return false;
    }
    *(const char **)(void *)((char *)record + field->offset) = copy;
    return true;
}

/* Read a scalar by a rule; the words of a refusal become a fault. */
static bool read_by_rule(dsc_reading *reading, const dsc_node *value, const char *key, const dsc_rule *rule,
                         double *number)
{
    if (!is_scalar(reading, value, key, "a number with its unit in one value")) {
        return false;
    }
    bool good = false;
    char words[DSC_WORDS];
    size_t length = dsc_is_nothing(value) ? 0 : value->length;
    trn_status status = dsc_quantity_read(&reading->units, value->text, length, rule, number, &good, words);
    if (status != TRN_OK) {
        reading->status = status;
        return false;
    }
    return good || dsc_fault(reading, value, key, "%s", words);
}

bool dsc_read_quantity(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    void *target = (char *)record + field->offset;
    return read_by_rule(reading, value, field->key, field->spec, target);
}

bool dsc_read_whole(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    static const dsc_rule any = {DSC_COUNT, -HUGE_VAL, HUGE_VAL, false, ""};
    const dsc_whole *whole = field->spec;
    double number = 0;
    if (!read_by_rule(reading, value, field->key, &any, &number)) {
        return false;
    }
    char shown[DSC_EXCERPT];
    if (number < floor(number) || number > floor(number)) {
        return dsc_fault(reading, value, field->key, "\"%s\" is not whole: expected a whole number",
                         dsc_excerpt(shown, value->text, value->length));
    }
    if (number < whole->least || number > WHOLE_MAX) {
        return dsc_fault(reading, value, field->key, "\"%s\" is out of bounds: expected a whole number from %d to %.0f",
                         dsc_excerpt(shown, value->text, value->length), whole->least, WHOLE_MAX);
    }
    *(int *)(void *)((char *)record + field->offset) = (int)number;
    return true;
}

/* The place of a word in a list, its length where it is none of them. */
static size_t place_of_word(const char *text, const char *const *words, size_t count)
{
    size_t place = 0;
    while (place < count && strcmp(text, words[place]) != 0) {
        place++;
    }
    return place;
}

bool dsc_read_flag(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    /* The booleans of YAML 1.1, less its single letters; the even ones are true. */
    static const char *const words[] = {"true", "false", "True", "False", "TRUE", "FALSE", "yes", "no", "Yes",
                                        "No",   "YES",   "NO",   "on",    "off",  "On",    "Off", "ON", "OFF"};
    const size_t count = sizeof words / sizeof *words;
    if (!is_scalar(reading, value, field->key, "true or false")) {
        return false;
    }
    size_t place = place_of_word(value->text, words, count);
    if (place == count) {
        char shown[DSC_EXCERPT];
        return dsc_fault(reading, value, field->key, "\"%s\" is neither: expected true or false",
                         dsc_excerpt(shown, value->text, value->length));
    }
    *(bool *)(void *)((char *)record + field->offset) = place % 2 == 0;
    return true;
}

/* "a, b or c" */
static void list_words(const dsc_choice *choice, char *list, size_t room)
{
    size_t length = 0;
    for (size_t i = 0; i < choice->count && length < room; i++) {
        const char *joint = i == 0 ? "" : i + 1 == choice->count ? " or " : ", ";
        length += (size_t)snprintf(list + length, room - length, "%s%s", joint, choice->words[i]);
    }
}

bool dsc_read_choice(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    const dsc_choice *choice = field->spec;
    char list[192];
    list_words(choice, list, sizeof list);
    if (!is_scalar(reading, value, field->key, list)) {
        return false;
    }
    size_t place = place_of_word(value->text, choice->words, choice->count);
    if (place == choice->count) {
        char shown[DSC_EXCERPT];
        return dsc_fault(reading, value, field->key, "\"%s\" is not known: expected %s",
                         dsc_excerpt(shown, value->text, value->length), list);
    }
    /* An enum of these headers is as wide as an int. */
    int chosen = (int)place;
    memcpy((char *)record + field->offset, &chosen, sizeof chosen);
    return true;
}

const dsc_pair dsc_point_pair = {DSC_ANY(DSC_LENGTH), DSC_ANY(DSC_LENGTH), "[3 m, 0.5 m]"};

bool dsc_read_pair(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    const dsc_pair *pair = field->spec;
    double *numbers = (double *)(void *)((char *)record + field->offset);
    if (value->kind != DSC_SEQUENCE || value->count != 2) {
        return dsc_fault(reading, value, field->key, "found %s: expected two values such as %s",
                         value->kind == DSC_SEQUENCE  ? "a list of another length (decimals have a point, not a comma)"
                         : value->kind == DSC_MAPPING ? "keys with values"
                         : dsc_is_nothing(value)      ? "nothing"
                                                      : "a single value",
                         pair->example);
    }
    const dsc_item *first = value->items;
    bool first_good = read_by_rule(reading, first->value, field->key, pair->first, &numbers[0]);
    bool second_good = read_by_rule(reading, first->next->value, field->key, pair->second, &numbers[1]);
    return first_good && second_good;
}

bool dsc_check_ascending(dsc_reading *reading, const dsc_node *list, const char *key, const double *table)
{
    size_t index = 0;
    for (const dsc_item *item = list->items; item; item = item->next) {
        if (index > 0 && !(table[2 * index] > table[2 * index - 2])) {
            return dsc_fault(reading, item->value->items->value, key,
                             "the value is not above the one before it: expected an ascending table");
        }
        index++;
    }
    return true;
}
