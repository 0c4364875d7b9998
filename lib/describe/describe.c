/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/describe.h"

#include <stdlib.h>
#include <string.h>

#include "c_locale.h"
#include "description.h"
#include "sections.h"

static const char *const unit_words[] = {[TRN_UNITS_METRIC] = "metric", [TRN_UNITS_US] = "us"};
static const dsc_choice unit_systems = {unit_words, sizeof unit_words / sizeof *unit_words};

enum {
    LEAF,
    OPENS_TO,
    TOE,
    UNITS,
    PARTS,
    POCKETS,
    LINKED_COUNTERWEIGHT,
    SURFACES,
    TRUNNION,
    DRIVE,
    MOTORS,
    BRAKES,
    TRAVEL,
    SEATING,
    STEPS,
    CASES,
    HOLDING,
    WIND_LIMITS,
    POSTED_WIND,
    BALANCE_TARGET,
    DUTY,
    GAUGED_SHAFT,
    UNCERTAINTIES
};

static const dsc_field leaf_fields[] = {
    [LEAF] = {"leaf", true, dsc_read_text, offsetof(trn_leaf, name), NULL},
    [OPENS_TO] = {"opens_to", true, dsc_read_quantity, offsetof(trn_leaf, opens_to_rad),
                  DSC_RULE(DSC_ANGLE, 0, DSC_RADIANS(120), true, " over 0, at most 120 degree")},
    [TOE] = {"toe", true, dsc_read_quantity, offsetof(trn_leaf, toe_m), DSC_OVER_0(DSC_LENGTH)},
    [UNITS] = {"units", false, dsc_read_choice, offsetof(trn_leaf, units), &unit_systems},
    [PARTS] = {"parts", true, dsc_read_list, offsetof(trn_leaf, parts), &dsc_leaf_parts},
    [POCKETS] = {"pockets", false, dsc_read_list, offsetof(trn_leaf, pockets), &dsc_leaf_pockets},
    [LINKED_COUNTERWEIGHT] = {"linked_counterweight", false, dsc_read_section, offsetof(trn_leaf, linked_counterweight),
                              &dsc_linked_form},
    [SURFACES] = {"surfaces", false, dsc_read_list, offsetof(trn_leaf, surfaces), &dsc_surface_list},
    [TRUNNION] = {"trunnion", false, dsc_read_section, offsetof(trn_leaf, trunnion), &dsc_trunnion_form},
    [DRIVE] = {"drive", false, dsc_read_section, offsetof(trn_leaf, drive), &dsc_drive_form},
    [MOTORS] = {"motors", false, dsc_read_section, offsetof(trn_leaf, motors), &dsc_motors_form},
    [BRAKES] = {"brakes", false, dsc_read_list, offsetof(trn_leaf, brakes), &dsc_brake_list},
    [TRAVEL] = {"travel", false, dsc_read_section, offsetof(trn_leaf, travel), &dsc_travel_form},
    [SEATING] = {"seating", false, dsc_read_section, offsetof(trn_leaf, seating), &dsc_seating_form},
    [STEPS] = {"steps", false, dsc_read_list, offsetof(trn_leaf, steps), &dsc_step_list},
    [CASES] = {"cases", false, dsc_read_list, offsetof(trn_leaf, cases), &dsc_case_list},
    [HOLDING] = {"holding", false, dsc_read_list, offsetof(trn_leaf, holdings), &dsc_holding_list},
    [WIND_LIMITS] = {"wind_limits", false, dsc_read_section, offsetof(trn_leaf, wind_limits), &dsc_wind_limits_form},
    [POSTED_WIND] = {"posted_wind", false, dsc_read_quantity, offsetof(trn_leaf, posted_wind_m_s),
                     DSC_OVER_0(DSC_SPEED)},
    [BALANCE_TARGET] = {"balance_target", false, dsc_read_section, offsetof(trn_leaf, balance_target),
                        &dsc_balance_target_form},
    [DUTY] = {"duty", false, dsc_read_section, offsetof(trn_leaf, duty), &dsc_duty_form},
    [GAUGED_SHAFT] = {"gauged_shaft", false, dsc_read_section, offsetof(trn_leaf, gauged_shaft),
                      &dsc_gauged_shaft_form},
    [UNCERTAINTIES] = {"uncertainties", false, dsc_read_list, offsetof(trn_leaf, uncertainties), &dsc_uncertainty_list},
};

static void leaf_defaults(void *record)
{
    *(trn_leaf *)record = trn_default_leaf();
}

/* Without cases there is one: still air. */
static bool add_still_air(dsc_reading *reading, trn_leaf *leaf)
{
    trn_case *still_air = dsc_take(reading, 1, sizeof *still_air);
    if (!still_air) {
        return false;
    }
    *still_air = trn_default_case();
    leaf->cases = still_air;
    leaf->case_count = 1;
    return true;
}

/* A switch that was not read well is 0, and in its place. */
static bool check_switches(dsc_reading *reading, const dsc_node *travel, const trn_leaf *leaf)
{
    bool good = true;
    if (leaf->travel->near_open_rad >= leaf->opens_to_rad) {
        good = dsc_fault(reading, dsc_value(travel, "near_open"), "near_open",
                         "the switch is not below the full opening: expected less than opens_to");
    }
    if (leaf->travel->full_open_rad > leaf->opens_to_rad) {
        good = dsc_fault(reading, dsc_value(travel, "full_open"), "full_open",
                         "the switch is beyond the full opening: expected at most opens_to");
    }
    return good;
}

static bool check_leaf(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    trn_leaf *leaf = record;
    const dsc_node *pockets[] = {dsc_value(mapping, "pockets"),
                                 dsc_value(dsc_value(mapping, "linked_counterweight"), "pockets")};
    bool good = dsc_check_names(reading, pockets, 2);
    if (leaf->travel && seen[OPENS_TO].good) {
        good = check_switches(reading, dsc_value(mapping, "travel"), leaf) && good;
    }
    if (seen[STEPS].good) {
        good = dsc_check_steps(reading, seen[STEPS].value, leaf->steps, leaf->step_count) && good;
    }
    if (!seen[CASES].key) {
        good = add_still_air(reading, leaf) && good;
    }
    if (seen[UNCERTAINTIES].good && good && reading->faults->count == 0 && reading->status == TRN_OK) {
        good = dsc_check_uncertainties(reading, seen[UNCERTAINTIES].value, leaf);
    }
    return good;
}

static const char *leaf_without(size_t field)
{
    return field == CASES ? "one, still air" : field == TRUNNION ? "none, frictionless" : NULL;
}

const dsc_form dsc_leaf_form = {
    .noun = "the description",
    DSC_FIELDS_OF(leaf_fields),
    .size = sizeof(trn_leaf),
    .set_defaults = leaf_defaults,
    .check = check_leaf,
    .without = leaf_without,
};

/* Read the values of a tree; the reading and its units live in the scratch arena. */
static trn_status read_values(const dsc_node *root, dsc_arena *scratch, trn_faults *faults,
                              trn_description *description)
{
    dsc_reading *reading = dsc_arena_take(scratch, 1, sizeof *reading);
    dsc_kept_unit *kept = dsc_arena_take(scratch, DSC_UNITS_PLACES, sizeof *kept);
    if (!reading || !kept) {
        return TRN_NO_MEMORY;
    }
    reading->units.kept = kept;
    reading->arena = &description->arena;
    reading->faults = faults;
    reading->defaults = &description->defaults;
    if (!dsc_read_form(reading, root, NULL, &dsc_leaf_form, &description->leaf) && reading->status == TRN_OK) {
        return TRN_BAD_DESCRIPTION;
    }
    return reading->status;
}

static trn_status read_text(const char *text, size_t length, dsc_arena *scratch, trn_faults *faults,
                            trn_description *description)
{
    const dsc_node *root = NULL;
    if (!dsc_text_is_sound(text, length, faults)) {
        return TRN_BAD_DESCRIPTION;
    }
    trn_status status = dsc_document_read(text, length, scratch, faults, &root);
    if (status == TRN_NO_MEMORY || (status != TRN_OK && !root)) {
        return status;
    }
    if (!root || dsc_is_nothing(root)) {
        dsc_faults_add(faults, (dsc_place){1, 1},
                       "the description is empty: expected keys such as leaf, opens_to, toe and parts");
        return TRN_BAD_DESCRIPTION;
    }
    trn_status values = read_values(root, scratch, faults, description);
    return values == TRN_OK ? status : values;
}

static trn_status read_in_c_locale(const char *text, size_t length, trn_faults *faults, trn_description *description)
{
    dsc_c_locale entered;
    if (!dsc_c_locale_enter(&entered)) {
        return TRN_NO_MEMORY;
    }
    dsc_arena scratch = {0};
    trn_status status = read_text(text, length, &scratch, faults, description);
    dsc_arena_free(&scratch);
    dsc_c_locale_leave(&entered);
    return status;
}

trn_status trn_description_read(const char *text, size_t length, trn_description **description, trn_faults *faults)
{
    static const char byte_order_mark[] = "\xEF\xBB\xBF";
    faults->count = 0;
    faults->more = false;
    trn_description *read = calloc(1, sizeof *read);
    if (!read) {
        return TRN_NO_MEMORY;
    }
    /* The mark at the start of the text is no character of it; columns count without it. */
    size_t skipped = length >= 3 && memcmp(text, byte_order_mark, 3) == 0 ? 3 : 0;
    trn_status status = read_in_c_locale(text + skipped, length - skipped, faults, read);
    if (status != TRN_OK) {
        trn_description_free(read);
        if (status != TRN_BAD_DESCRIPTION) {
            faults->count = 0;
            faults->more = false;
        }
        return status;
    }
    *description = read;
    return TRN_OK;
}

const trn_leaf *trn_description_leaf(const trn_description *description)
{
    return &description->leaf;
}

size_t trn_description_defaults(const trn_description *description, const trn_taken_default **taken)
{
    *taken = description->defaults.taken;
    return description->defaults.count;
}

void trn_description_free(trn_description *description)
{
    if (description) {
        dsc_arena_free(&description->arena);
        free(description);
    }
}

static trn_status read_as(const char *text, dsc_kind kind, double *value, trn_error *error)
{
    const dsc_rule any = {kind, -HUGE_VAL, HUGE_VAL, false, ""};
    dsc_units units = {0};
    bool good = false;
    char words[DSC_WORDS];
    trn_status status = dsc_quantity_read(&units, text, strlen(text), &any, value, &good, words);
    if (status != TRN_OK) {
        return trn_error_set(error, status, "%s", trn_status_text(status));
    }
    return good ? TRN_OK : trn_error_set(error, TRN_OUT_OF_DOMAIN, "%s", words);
}

static trn_status read_one(const char *text, dsc_kind kind, double *value, trn_error *error)
{
    dsc_c_locale entered;
    if (!dsc_c_locale_enter(&entered)) {
        return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
    }
    trn_status status = read_as(text, kind, value, error);
    dsc_c_locale_leave(&entered);
    return status;
}

trn_status trn_angle_read(const char *text, double *angle_rad, trn_error *error)
{
    return read_one(text, DSC_ANGLE, angle_rad, error);
}

trn_status trn_time_read(const char *text, double *time_s, trn_error *error)
{
    return read_one(text, DSC_TIME, time_s, error);
}
