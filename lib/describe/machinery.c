/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>

#include "sections.h"
#include "trunnion/leaf.h"

enum { STARTING, MOVING };

static const dsc_field friction_fields[] = {
    [STARTING] = {"starting", true, dsc_read_quantity, offsetof(trn_friction, starting), DSC_0_TO_1},
    [MOVING] = {"moving", true, dsc_read_quantity, offsetof(trn_friction, moving), DSC_0_TO_1},
};

static bool check_friction(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_friction *friction = record;
    if (seen[STARTING].good && seen[MOVING].good && friction->moving > friction->starting) {
        return dsc_fault(reading, seen[MOVING].value, "moving", "%g is more than starting: expected at most %g",
                         friction->moving, friction->starting);
    }
    return true;
}

const dsc_form dsc_friction_form = {
    .noun = "friction", DSC_FIELDS_OF(friction_fields), .size = sizeof(trn_friction), .check = check_friction};

static const dsc_field trunnion_fields[] = {
    {"journal_diameter", true, dsc_read_quantity, offsetof(trn_journal, diameter_m), DSC_OVER_0(DSC_LENGTH)},
    {"friction", true, dsc_read_record, offsetof(trn_journal, friction), &dsc_friction_form},
    {"drag", false, dsc_read_quantity, offsetof(trn_journal, drag_Nm), DSC_0_OR_MORE(DSC_TORQUE)},
};

const dsc_form dsc_trunnion_form = {.noun = "trunnion", DSC_FIELDS_OF(trunnion_fields), .size = sizeof(trn_journal)};

bool dsc_read_efficiency(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    const dsc_field stage = {field->key, true, dsc_read_quantity, 0, DSC_OVER_0_TO_1};
    double product = 1;
    bool good = true;
    if (value->kind != DSC_SEQUENCE) {
        good = dsc_read_quantity(reading, value, &stage, &product);
    } else if (value->count == 0) {
        good = dsc_fault(reading, value, field->key, "the list is empty: expected at least one efficiency");
    } else {
        for (const dsc_item *item = value->items; item; item = item->next) {
            double efficiency = 1;
            good = dsc_read_quantity(reading, item->value, &stage, &efficiency) && good;
            product *= efficiency;
        }
    }
    if (good && !(product >= 1e-15)) {
        good = dsc_fault(reading, value, field->key, "the product of the stages is out of range: expected more");
    }
    *(double *)(void *)((char *)record + field->offset) = product;
    return good;
}

enum { STRUT_ON_LEAF, STRUT_PINION, STRUT_RADIUS, STRUT_RATIO };

static const dsc_field strut_fields[] = {
    [STRUT_ON_LEAF] = {"on_leaf", true, dsc_read_pair, offsetof(trn_strut, on_leaf), &dsc_point_pair},
    [STRUT_PINION] = {"pinion", true, dsc_read_pair, offsetof(trn_strut, pinion), &dsc_point_pair},
    [STRUT_RADIUS] = {"pinion_radius", true, dsc_read_quantity, offsetof(trn_strut, pinion_radius_m),
                      DSC_OVER_0(DSC_LENGTH)},
    [STRUT_RATIO] = {"ratio", true, dsc_read_quantity, offsetof(trn_strut, ratio), DSC_OVER_0(DSC_PURE)},
};

/* A line between a leaf point and a fixed point moves the leaf only with an arm at both ends. */
static bool check_line(dsc_reading *reading, const dsc_seen *leaf_end, trn_point on_leaf, const dsc_seen *fixed_end,
                       const char *fixed_key, trn_point fixed)
{
    const trn_point trunnion = {0, 0};
    if (leaf_end->good && !dsc_points_differ(on_leaf, trunnion)) {
        return dsc_fault(reading, leaf_end->value, "on_leaf", "the point is the trunnion: expected one with an arm");
    }
    if (fixed_end->good && !dsc_points_differ(fixed, trunnion)) {
        return dsc_fault(reading, fixed_end->value, fixed_key, "the point is the trunnion: expected one with an arm");
    }
    if (leaf_end->good && fixed_end->good && !dsc_points_differ(on_leaf, fixed)) {
        return dsc_fault(reading, fixed_end->value, fixed_key, "both ends are the same point: expected some length");
    }
    return true;
}

static bool check_strut(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_strut *strut = record;
    return check_line(reading, &seen[STRUT_ON_LEAF], strut->on_leaf, &seen[STRUT_PINION], "pinion", strut->pinion);
}

static const dsc_form strut_form = {
    .noun = "a strut", DSC_FIELDS_OF(strut_fields), .size = sizeof(trn_strut), .check = check_strut};

enum { CYLINDER_ON_LEAF, CYLINDER_ANCHOR, CYLINDER_BORE, CYLINDER_ROD, CYLINDER_COUNT, CYLINDER_PRESSURE };

static const dsc_field cylinder_fields[] = {
    [CYLINDER_ON_LEAF] = {"on_leaf", true, dsc_read_pair, offsetof(trn_cylinder, on_leaf), &dsc_point_pair},
    [CYLINDER_ANCHOR] = {"anchor", true, dsc_read_pair, offsetof(trn_cylinder, anchor), &dsc_point_pair},
    [CYLINDER_BORE] = {"bore", true, dsc_read_quantity, offsetof(trn_cylinder, bore_m), DSC_OVER_0(DSC_LENGTH)},
    [CYLINDER_ROD] = {"rod", true, dsc_read_quantity, offsetof(trn_cylinder, rod_m), DSC_0_OR_MORE(DSC_LENGTH)},
    [CYLINDER_COUNT] = {"count", false, dsc_read_whole, offsetof(trn_cylinder, count), DSC_WHOLE_FROM(1)},
    [CYLINDER_PRESSURE] = {"pressure", true, dsc_read_quantity, offsetof(trn_cylinder, pressure_Pa),
                           DSC_OVER_0(DSC_PRESSURE)},
};

static void cylinder_defaults(void *record)
{
    *(trn_cylinder *)record = (trn_cylinder){.count = 1};
}

static bool check_cylinder(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_cylinder *cylinder = record;
    bool good = check_line(reading, &seen[CYLINDER_ON_LEAF], cylinder->on_leaf, &seen[CYLINDER_ANCHOR], "anchor",
                           cylinder->anchor);
    if (seen[CYLINDER_BORE].good && seen[CYLINDER_ROD].good && cylinder->rod_m >= cylinder->bore_m) {
        return dsc_fault(reading, seen[CYLINDER_ROD].value, "rod", "the rod fills the bore: expected less than %g m",
                         cylinder->bore_m);
    }
    return good;
}

static const dsc_form cylinder_form = {
    .noun = "a cylinder",
    DSC_FIELDS_OF(cylinder_fields),
    .size = sizeof(trn_cylinder),
    .set_defaults = cylinder_defaults,
    .check = check_cylinder,
};

static const dsc_field rack_fields[] = {
    {"radius", true, dsc_read_quantity, offsetof(trn_rack, radius_m), DSC_OVER_0(DSC_LENGTH)},
    {"pinion", true, dsc_read_quantity, offsetof(trn_rack, pinion_rad),
     DSC_RULE(DSC_ANGLE, DSC_RADIANS(-180), DSC_RADIANS(180), false, " from -180 to 180 degree")},
    {"pressure_angle", true, dsc_read_quantity, offsetof(trn_rack, pressure_angle_rad),
     DSC_RULE(DSC_ANGLE, 0, DSC_RADIANS(40), false, " from 0 to 40 degree")},
};

static const dsc_form rack_form = {.noun = "a rack", DSC_FIELDS_OF(rack_fields), .size = sizeof(trn_rack)};

enum { DRIVE_RATIO, DRIVE_STRUT, DRIVE_CYLINDER, DRIVE_EFFICIENCY, DRIVE_RACK };

static const dsc_field drive_fields[] = {
    [DRIVE_RATIO] = {"ratio", false, dsc_read_quantity, offsetof(trn_drive, ratio), DSC_OVER_0(DSC_PURE)},
    [DRIVE_STRUT] = {"strut", false, dsc_read_record, offsetof(trn_drive, strut), &strut_form},
    [DRIVE_CYLINDER] = {"cylinder", false, dsc_read_record, offsetof(trn_drive, cylinder), &cylinder_form},
    [DRIVE_EFFICIENCY] = {"efficiency", false, dsc_read_efficiency, offsetof(trn_drive, efficiency), NULL},
    [DRIVE_RACK] = {"rack", false, dsc_read_record, offsetof(trn_drive, rack), &rack_form},
};

static void drive_defaults(void *record)
{
    *(trn_drive *)record = (trn_drive){.efficiency = 1};
}

static bool check_drive(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    static const trn_drive_kind drive_kinds[] = {
        [DRIVE_RATIO] = TRN_DRIVE_RATIO, [DRIVE_STRUT] = TRN_DRIVE_STRUT, [DRIVE_CYLINDER] = TRN_DRIVE_CYLINDER};
    trn_drive *drive = record;
    size_t given = 0;
    const dsc_node *last = NULL;
    for (size_t i = DRIVE_RATIO; i <= DRIVE_CYLINDER; i++) {
        const dsc_node *key = seen[i].key;
        if (key) {
            given++;
            drive->kind = drive_kinds[i];
            last = !last || dsc_place_compare(key->place, last->place) > 0 ? key : last;
        }
    }
    if (given == 0) {
        return dsc_missing(reading, mapping, "the drive has no kind: expected one of ratio, strut, cylinder");
    }
    if (given > 1) {
        return dsc_fault(reading, last, NULL,
                         "\"%s\" makes a second kind of drive: expected one of ratio, strut, cylinder", last->text);
    }
    if (drive->kind != TRN_DRIVE_CYLINDER && !seen[DRIVE_EFFICIENCY].key) {
        return dsc_missing(reading, mapping, "key \"efficiency\" is missing: expected one such as 0.95");
    }
    return drive->kind == TRN_DRIVE_RATIO || !seen[DRIVE_RACK].key ||
           dsc_fault(reading, seen[DRIVE_RACK].key, NULL, "\"rack\" goes with ratio only: expected ratio, or no rack");
}

const dsc_form dsc_drive_form = {
    .noun = "drive",
    DSC_FIELDS_OF(drive_fields),
    .size = sizeof(trn_drive),
    .set_defaults = drive_defaults,
    .check = check_drive,
};
