/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sections.h"
#include "trunnion/link.h"

enum { PIVOT, PIN_ON_LEAF, PIN_ON_COUNTERWEIGHT, DIAMETER, FRICTION, PARTS, POCKETS };

static const dsc_field linked_fields[] = {
    [PIVOT] = {"pivot", true, dsc_read_pair, offsetof(trn_linked_counterweight, pivot), &dsc_point_pair},
    [PIN_ON_LEAF] = {"pin_on_leaf", true, dsc_read_pair, offsetof(trn_linked_counterweight, pin_on_leaf),
                     &dsc_point_pair},
    [PIN_ON_COUNTERWEIGHT] = {"pin_on_counterweight", true, dsc_read_pair,
                              offsetof(trn_linked_counterweight, pin_on_counterweight), &dsc_point_pair},
    [DIAMETER] = {"journal_diameter", false, dsc_read_quantity, offsetof(trn_linked_counterweight, journal.diameter_m),
                  DSC_OVER_0(DSC_LENGTH)},
    [FRICTION] = {"friction", false, dsc_read_record, offsetof(trn_linked_counterweight, journal.friction),
                  &dsc_friction_form},
    [PARTS] = {"parts", true, dsc_read_list, offsetof(trn_linked_counterweight, parts), &dsc_linked_parts},
    [POCKETS] = {"pockets", false, dsc_read_list, offsetof(trn_linked_counterweight, pockets), &dsc_linked_pockets},
};

/* Two points that a bar of the linkage joins; a bar of no length would leave the linkage without a position. */
static bool check_bar(dsc_reading *reading, const dsc_seen *end, const char *key, trn_point from, trn_point to)
{
    return !end->good || dsc_points_differ(from, to) ||
           dsc_fault(reading, end->value, key,
                     "the point leaves a bar of the linkage without length: expected another");
}

static bool check_linked(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    const trn_linked_counterweight *linked = record;
    const trn_point trunnion = {0, 0};
    const dsc_seen *pin = &seen[PIN_ON_COUNTERWEIGHT];
    bool good = check_bar(reading, &seen[PIN_ON_LEAF], "pin_on_leaf", trunnion, linked->pin_on_leaf);
    good = check_bar(reading, &seen[PIVOT], "pivot", trunnion, linked->pivot) && good;
    if (seen[PIVOT].good) {
        good = check_bar(reading, pin, "pin_on_counterweight", linked->pivot, linked->pin_on_counterweight) && good;
    }
    if (seen[PIN_ON_LEAF].good) {
        good =
            check_bar(reading, pin, "pin_on_counterweight", linked->pin_on_leaf, linked->pin_on_counterweight) && good;
    }
    if (!seen[DIAMETER].key != !seen[FRICTION].key) {
        size_t missing = seen[DIAMETER].key ? FRICTION : DIAMETER;
        return dsc_missing(reading, mapping,
                           "key \"%s\" is missing: expected journal_diameter and friction, or "
                           "neither",
                           linked_fields[missing].key);
    }
    return good;
}

const dsc_form dsc_linked_form = {
    .noun = "linked_counterweight",
    DSC_FIELDS_OF(linked_fields),
    .size = sizeof(trn_linked_counterweight),
    .check = check_linked,
};
