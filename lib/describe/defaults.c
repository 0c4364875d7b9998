/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "defaults.h"

#include <stdio.h>
#include <string.h>

static const char *const si_units[] = {
    [DSC_PURE] = "",
    [DSC_COUNT] = "",
    [DSC_LENGTH] = " m",
    [DSC_ANGLE] = " rad",
    [DSC_ANGULAR_SPEED] = " rad/s",
    [DSC_WEIGHT] = " N",
    [DSC_WEIGHT_PER_LENGTH] = " N/m",
    [DSC_WEIGHT_PER_AREA] = " N/m2",
    [DSC_UNIT_WEIGHT] = " N/m3",
    [DSC_FORCE] = " N",
    [DSC_STIFFNESS] = " N/m",
    [DSC_DAMPING] = " N s/m",
    [DSC_PRESSURE] = " Pa",
    [DSC_SPEED] = " m/s",
    [DSC_DENSITY] = " kg/m3",
    [DSC_TORQUE] = " N m",
    [DSC_POWER] = " W",
    [DSC_TIME] = " s",
    [DSC_INERTIA] = " kg m2",
    [DSC_HEAT_CAPACITY] = " J/K",
};

/* Where 0 says more than that there is nothing of the kind: someone may have forgotten it. */
static bool is_told_at_0(const char *key)
{
    static const char *const keys[] = {"gyration",   "drag",    "inertia", "ice",       "friction_credit",
                                       "bore",       "damping", "preload", "stiffness", "hours_without_openings",
                                       "full_closed"};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        if (strcmp(keys[i], key) == 0) {
            return true;
        }
    }
    return false;
}

/* The value in words; false where the field holds none that is worth a word. */
static bool put_value(const dsc_field *field, const void *record, char value[TRN_DEFAULT_VALUE])
{
    const char *place = (const char *)record + field->offset;
    double number = 0;
    int whole = 0;
    bool flag = false;
    if (field->read == dsc_read_quantity) {
        memcpy(&number, place, sizeof number);
        snprintf(value, TRN_DEFAULT_VALUE, "%.6g%s", number, si_units[((const dsc_rule *)field->spec)->kind]);
        return number < 0 || number > 0 || is_told_at_0(field->key);
    }
    if (field->read == dsc_read_flag) {
        memcpy(&flag, place, sizeof flag);
        snprintf(value, TRN_DEFAULT_VALUE, "%s", flag ? "true" : "false");
        return true;
    }
    if (field->read != dsc_read_choice && field->read != dsc_read_whole) {
        return false;
    }
    memcpy(&whole, place, sizeof whole);
    if (field->read == dsc_read_choice) {
        snprintf(value, TRN_DEFAULT_VALUE, "%s", ((const dsc_choice *)field->spec)->words[whole]);
        return true;
    }
    snprintf(value, TRN_DEFAULT_VALUE, "%d", whole);
    return whole != 0;
}

/* Twice the room in the arena; what is left behind there is little. */
static bool make_room(dsc_reading *reading, dsc_defaults *all)
{
    if (all->count < all->room) {
        return true;
    }
    const size_t room = 2 * all->room + 16;
    trn_taken_default *taken = dsc_take(reading, room, sizeof *taken);
    if (!taken) {
        return false;
    }
    if (all->count > 0) {
        memcpy(taken, all->taken, all->count * sizeof *taken);
    }
    all->taken = taken;
    all->room = room;
    return true;
}

static void note_one(dsc_reading *reading, const dsc_node *mapping, const dsc_form *form, const dsc_field *field,
                     const char *value)
{
    dsc_defaults *all = reading->defaults;
    for (size_t i = 0; i < all->count; i++) {
        trn_taken_default *one = &all->taken[i];
        /* Noun and key are the tables' own texts: the same ones, not only alike. */
        if (one->of == form->noun && one->key == field->key && strcmp(one->value, value) == 0) {
            one->times++;
            return;
        }
    }
    if (!make_room(reading, all)) {
        return;
    }
    trn_taken_default *taken = &all->taken[all->count];
    *taken = (trn_taken_default){.of = form->noun, .key = field->key, .line = mapping->place.line, .times = 1};
    snprintf(taken->value, sizeof taken->value, "%s", value);
    all->count++;
}

/* What a field that was not found stands for, in words; false where there is nothing to tell. */
static bool stands_for(const dsc_form *form, size_t field, const dsc_seen *seen, const void *record,
                       char value[TRN_DEFAULT_VALUE])
{
    const char *without = form->without ? form->without(field) : NULL;
    if (seen[field].key || form->fields[field].required || (form->takes_default && !form->takes_default(seen, field))) {
        return false;
    }
    if (without) {
        snprintf(value, TRN_DEFAULT_VALUE, "%s", without);
        return true;
    }
    return put_value(&form->fields[field], record, value);
}

void dsc_defaults_note(dsc_reading *reading, const dsc_node *mapping, const dsc_form *form, const dsc_seen *seen,
                       const void *record)
{
    char value[TRN_DEFAULT_VALUE];
    for (size_t i = 0; i < form->field_count && reading->status == TRN_OK; i++) {
        if (stands_for(form, i, seen, record, value)) {
            note_one(reading, mapping, form, &form->fields[i], value);
        }
    }
}
