/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/travel.h"
#include "sections.h"
#include "trunnion/pocket.h"

enum { SPEED, ACCELERATE_IN, CREEP, NEAR_OPEN, NEAR_CLOSED, DECELERATE_IN, FULL_OPEN, FULL_CLOSED };

static const dsc_field travel_fields[] = {
    [SPEED] = {"speed", true, dsc_read_quantity, offsetof(trn_travel, speed_rad_s), DSC_OVER_0(DSC_ANGULAR_SPEED)},
    [ACCELERATE_IN] = {"accelerate_in", true, dsc_read_quantity, offsetof(trn_travel, accelerate_in_s),
                       DSC_OVER_0(DSC_TIME)},
    [CREEP] = {"creep", true, dsc_read_quantity, offsetof(trn_travel, creep), DSC_OVER_0_TO_1},
    [NEAR_OPEN] = {"near_open", true, dsc_read_quantity, offsetof(trn_travel, near_open_rad), DSC_OVER_0(DSC_ANGLE)},
    [NEAR_CLOSED] = {"near_closed", true, dsc_read_quantity, offsetof(trn_travel, near_closed_rad),
                     DSC_OVER_0(DSC_ANGLE)},
    [DECELERATE_IN] = {"decelerate_in", true, dsc_read_quantity, offsetof(trn_travel, decelerate_in_s),
                       DSC_OVER_0(DSC_TIME)},
    [FULL_OPEN] = {"full_open", false, dsc_read_quantity, offsetof(trn_travel, full_open_rad), DSC_OVER_0(DSC_ANGLE)},
    [FULL_CLOSED] = {"full_closed", false, dsc_read_quantity, offsetof(trn_travel, full_closed_rad),
                     DSC_0_OR_MORE(DSC_ANGLE)},
};

/* The full switch of an end stands beyond its near one. */
static bool check_full_switches(dsc_reading *reading, const dsc_seen *seen, const trn_travel *travel)
{
    bool good = true;
    if (seen[FULL_OPEN].good && seen[NEAR_OPEN].good && travel->full_open_rad <= travel->near_open_rad) {
        good = dsc_fault(reading, seen[FULL_OPEN].value, "full_open",
                         "the switch is not above the near one: expected more than near_open");
    }
    if (seen[FULL_CLOSED].good && seen[NEAR_CLOSED].good && travel->full_closed_rad >= travel->near_closed_rad) {
        good = dsc_fault(reading, seen[FULL_CLOSED].value, "full_closed",
                         "the switch is not below the near one: expected less than near_closed");
    }
    return good;
}

static bool check_travel(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_travel *travel = record;
    const bool full_good = check_full_switches(reading, seen, travel);
    if (seen[NEAR_OPEN].good && seen[NEAR_CLOSED].good && travel->near_closed_rad >= travel->near_open_rad) {
        bool open_first = dsc_place_compare(seen[NEAR_OPEN].value->place, seen[NEAR_CLOSED].value->place) < 0;
        size_t later = open_first ? NEAR_CLOSED : NEAR_OPEN;
        return dsc_fault(reading, seen[later].value, travel_fields[later].key,
                         "the near switches are out of order: expected near_closed below near_open");
    }
    return full_good;
}

const dsc_form dsc_travel_form = {
    .noun = "travel", DSC_FIELDS_OF(travel_fields), .size = sizeof(trn_travel), .check = check_travel};

enum { OPENINGS, HOLD_OPEN, HOURS_WITHOUT, CASE };

static const dsc_field duty_fields[] = {
    [OPENINGS] = {"openings_per_hour", true, dsc_read_quantity, offsetof(trn_duty, openings_per_hour),
                  DSC_OVER_0(DSC_PURE)},
    [HOLD_OPEN] = {"hold_open", true, dsc_read_quantity, offsetof(trn_duty, hold_open_s), DSC_0_OR_MORE(DSC_TIME)},
    [HOURS_WITHOUT] = {"hours_without_openings", false, dsc_read_quantity, offsetof(trn_duty, hours_without_openings),
                       DSC_0_OR_MORE(DSC_PURE)},
    [CASE] = {"case", false, dsc_read_text, offsetof(trn_duty, case_name), NULL},
};

static bool check_duty(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_duty *duty = record;
    return !seen[HOURS_WITHOUT].good || duty->hours_without_openings < 24 ||
           dsc_fault(reading, seen[HOURS_WITHOUT].value, "hours_without_openings",
                     "no hour of the day is left: expected the hours of each day, from 0 to under 24");
}

const dsc_form dsc_duty_form = {
    .noun = "duty", DSC_FIELDS_OF(duty_fields), .size = sizeof(trn_duty), .check = check_duty};

static const dsc_rule angle_rule = {DSC_ANGLE, DSC_RADIANS(-180), DSC_RADIANS(180), false, " from -180 to 180 degree"};

static const dsc_pair force_window = {DSC_ANY(DSC_FORCE), DSC_ANY(DSC_FORCE), "[4 kN, 9 kN]"};
static const dsc_pair angle_window = {&angle_rule, &angle_rule, "[0 degree, 45 degree]"};
static const dsc_pair moment_window = {DSC_ANY(DSC_TORQUE), DSC_ANY(DSC_TORQUE), "[100 kN m, 200 kN m]"};

bool dsc_read_window(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    if (!dsc_read_pair(reading, value, field, record)) {
        return false;
    }
    const trn_window *window = (const trn_window *)(const void *)((const char *)record + field->offset);
    return window->low < window->high ||
           dsc_fault(reading, value->items->next->value, field->key,
                     "the window is empty or reversed: expected [low, high], low below high");
}

enum { TOE_REACTION, ANGLE, MOMENT_A, MOMENT_B };

static const dsc_field target_fields[] = {
    [TOE_REACTION] = {"toe_reaction", false, dsc_read_window, offsetof(trn_balance_target, toe_reaction_N),
                      &force_window},
    [ANGLE] = {"angle", false, dsc_read_window, offsetof(trn_balance_target, angle_rad), &angle_window},
    [MOMENT_A] = {"A", false, dsc_read_window, offsetof(trn_balance_target, a_Nm), &moment_window},
    [MOMENT_B] = {"B", false, dsc_read_window, offsetof(trn_balance_target, b_Nm), &moment_window},
};

static bool check_target(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    trn_balance_target *target = record;
    bool by_place = seen[TOE_REACTION].key || seen[ANGLE].key;
    target->by_moments = seen[MOMENT_A].key || seen[MOMENT_B].key;
    if (by_place && target->by_moments) {
        const dsc_node *second = seen[MOMENT_A].key ? seen[MOMENT_A].key : seen[MOMENT_B].key;
        return dsc_fault(reading, second, NULL,
                         "\"%s\" does not go with toe_reaction and angle: expected either these or A and B",
                         second->text);
    }
    size_t first = target->by_moments ? MOMENT_A : TOE_REACTION;
    for (size_t i = first; i <= first + 1; i++) {
        if (!seen[i].key) {
            return dsc_missing(reading, mapping, "key \"%s\" is missing: expected toe_reaction and angle, or A and B",
                               target_fields[i].key);
        }
    }
    return true;
}

const dsc_form dsc_balance_target_form = {
    .noun = "balance_target",
    DSC_FIELDS_OF(target_fields),
    .size = sizeof(trn_balance_target),
    .check = check_target,
};
