/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>

#include "sections.h"
#include "trunnion/leaf.h"

enum { INSTALLED, RUNNING, POWER, SPEED, INERTIA, LAW, CONTROL, PEAK, SYNCHRONOUS, BREAKDOWN, TABLE };

static const char *const law_words[] = {
    [TRN_TORQUE_CONSTANT] = "constant", [TRN_TORQUE_INDUCTION] = "induction", [TRN_TORQUE_TABLE] = "table"};
static const dsc_choice laws = {law_words, sizeof law_words / sizeof *law_words};

static const char *const control_words[] = {[TRN_CONTROL_REFERENCE] = "reference", [TRN_CONTROL_LINE] = "line"};
static const dsc_choice controls = {control_words, sizeof control_words / sizeof *control_words};

static const dsc_pair torque_pair = {
    DSC_0_OR_MORE(DSC_ANGULAR_SPEED),
    DSC_0_OR_MORE(DSC_TORQUE),
    "[870 rpm, 329 N m]",
};

static const dsc_list torque_table = {
    .item = {"table", true, dsc_read_pair, 0, &torque_pair},
    .item_size = sizeof(trn_torque_point),
    .count_offset = offsetof(trn_motors, table_count),
    .least = 2,
    .most = SIZE_MAX,
    .nouns = "points",
};

static const dsc_field motor_fields[] = {
    [INSTALLED] = {"installed", true, dsc_read_whole, offsetof(trn_motors, installed), DSC_WHOLE_FROM(1)},
    [RUNNING] = {"running", false, dsc_read_whole, offsetof(trn_motors, running), DSC_WHOLE_FROM(1)},
    [POWER] = {"power", true, dsc_read_quantity, offsetof(trn_motors, power_W), DSC_OVER_0(DSC_POWER)},
    [SPEED] = {"speed", true, dsc_read_quantity, offsetof(trn_motors, speed_rad_s), DSC_OVER_0(DSC_ANGULAR_SPEED)},
    [INERTIA] = {"inertia", false, dsc_read_quantity, offsetof(trn_motors, inertia_kg_m2), DSC_0_OR_MORE(DSC_INERTIA)},
    [LAW] = {"law", false, dsc_read_choice, offsetof(trn_motors, law), &laws},
    [CONTROL] = {"control", false, dsc_read_choice, offsetof(trn_motors, control), &controls},
    [PEAK] = {"peak", false, dsc_read_quantity, offsetof(trn_motors, peak), DSC_1_OR_MORE(DSC_PURE)},
    [SYNCHRONOUS] = {"synchronous", false, dsc_read_quantity, offsetof(trn_motors, synchronous_rad_s),
                     DSC_OVER_0(DSC_ANGULAR_SPEED)},
    [BREAKDOWN] = {"breakdown", false, dsc_read_quantity, offsetof(trn_motors, breakdown), DSC_1_OR_MORE(DSC_PURE)},
    [TABLE] = {"table", false, dsc_read_list, offsetof(trn_motors, table), &torque_table},
};

/* The law that each key from PEAK on belongs to, and whether that law needs it. */
static const struct {
    trn_torque_law law;
    bool required;
} belongs[] = {
    [PEAK] = {TRN_TORQUE_CONSTANT, false},
    [SYNCHRONOUS] = {TRN_TORQUE_INDUCTION, true},
    [BREAKDOWN] = {TRN_TORQUE_INDUCTION, true},
    [TABLE] = {TRN_TORQUE_TABLE, true},
};

static void motors_defaults(void *record)
{
    *(trn_motors *)record = (trn_motors){.peak = 1, .law = TRN_TORQUE_CONSTANT};
}

static bool check_law_keys(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, trn_torque_law law)
{
    bool good = true;
    for (size_t i = PEAK; i <= TABLE; i++) {
        const char *key = motor_fields[i].key;
        const char *owner = law_words[belongs[i].law];
        if (belongs[i].law == law && belongs[i].required && !seen[i].key) {
            good = dsc_missing(reading, mapping, "key \"%s\" is missing: law %s expects it", key, owner);
        }
        if (belongs[i].law != law && seen[i].key) {
            good = dsc_fault(reading, seen[i].key, NULL, "\"%s\" goes with law %s only: the law here is %s", key, owner,
                             law_words[law]);
        }
    }
    return good;
}

static bool check_motors(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    trn_motors *motors = record;
    bool good = true;
    if (!seen[RUNNING].key) {
        motors->running = motors->installed;
    }
    if (!seen[CONTROL].key && motors->law == TRN_TORQUE_INDUCTION) {
        motors->control = TRN_CONTROL_LINE;
    }
    if (seen[RUNNING].good && seen[INSTALLED].good && motors->running > motors->installed) {
        good = dsc_fault(reading, seen[RUNNING].value, "running", "%d is more than are installed: expected at most %d",
                         motors->running, motors->installed);
    }
    if (!seen[LAW].key || seen[LAW].good) {
        good = check_law_keys(reading, mapping, seen, motors->law) && good;
    }
    if (seen[SYNCHRONOUS].good && seen[SPEED].good && motors->synchronous_rad_s <= motors->speed_rad_s) {
        good = dsc_fault(reading, seen[SYNCHRONOUS].value, "synchronous",
                         "the synchronous speed is not over the rated speed: expected more than %g rad/s",
                         motors->speed_rad_s);
    }
    if (seen[TABLE].good) {
        good = dsc_check_ascending(reading, seen[TABLE].value, "table", &motors->table->speed_rad_s) && good;
    }
    return good;
}

const dsc_form dsc_motors_form = {
    .noun = "motors",
    DSC_FIELDS_OF(motor_fields),
    .size = sizeof(trn_motors),
    .set_defaults = motors_defaults,
    .check = check_motors,
};
