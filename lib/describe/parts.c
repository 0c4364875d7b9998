/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>
#include <string.h>

#include "sections.h"
#include "trunnion/leaf.h"

static const dsc_field void_fields[] = {
    {"width", true, dsc_read_quantity, offsetof(trn_void, width_m), DSC_OVER_0(DSC_LENGTH)},
    {"outline", true, dsc_read_outline, offsetof(trn_void, outline), NULL},
};

static const dsc_form void_form = {.noun = "a void", DSC_FIELDS_OF(void_fields), .size = sizeof(trn_void)};

static const dsc_list void_list = {
    .item = {"voids", true, dsc_read_record, 0, &void_form},
    .item_size = sizeof(trn_void),
    .count_offset = offsetof(trn_part, void_count),
    .most = SIZE_MAX,
    .nouns = "voids",
};

/* The fields of a part, in the order of its table; those from WEIGHT on make its shape. */
enum {
    NAME,
    COUNT,
    UNCERTAINTY,
    WEIGHT,
    AT,
    GYRATION,
    WEIGHT_PER_LENGTH,
    WEIGHT_PER_AREA,
    UNIT_WEIGHT,
    WIDTH,
    FROM,
    TO,
    OUTLINE,
    VOIDS
};

static const dsc_field part_fields[] = {
    [NAME] = {"name", true, dsc_read_text, offsetof(trn_part, name), NULL},
    [COUNT] = {"count", false, dsc_read_whole, offsetof(trn_part, count), DSC_WHOLE_FROM(1)},
    [UNCERTAINTY] = {"uncertainty", false, dsc_read_uncertainty, offsetof(trn_part, uncertainty), NULL},
    [WEIGHT] = {"weight", false, dsc_read_quantity, offsetof(trn_part, weight_N), DSC_OVER_0(DSC_WEIGHT)},
    [AT] = {"at", false, dsc_read_pair, offsetof(trn_part, at), &dsc_point_pair},
    [GYRATION] = {"gyration", false, dsc_read_quantity, offsetof(trn_part, gyration_m), DSC_0_OR_MORE(DSC_LENGTH)},
    [WEIGHT_PER_LENGTH] = {"weight_per_length", false, dsc_read_quantity, offsetof(trn_part, weight_per_length_N_m),
                           DSC_OVER_0(DSC_WEIGHT_PER_LENGTH)},
    [WEIGHT_PER_AREA] = {"weight_per_area", false, dsc_read_quantity, offsetof(trn_part, weight_per_area_N_m2),
                         DSC_OVER_0(DSC_WEIGHT_PER_AREA)},
    [UNIT_WEIGHT] = {"unit_weight", false, dsc_read_quantity, offsetof(trn_part, unit_weight_N_m3),
                     DSC_OVER_0(DSC_UNIT_WEIGHT)},
    [WIDTH] = {"width", false, dsc_read_quantity, offsetof(trn_part, width_m), DSC_OVER_0(DSC_LENGTH)},
    [FROM] = {"from", false, dsc_read_pair, offsetof(trn_part, from), &dsc_point_pair},
    [TO] = {"to", false, dsc_read_pair, offsetof(trn_part, to), &dsc_point_pair},
    [OUTLINE] = {"outline", false, dsc_read_outline, offsetof(trn_part, outline), NULL},
    [VOIDS] = {"voids", false, dsc_read_list, offsetof(trn_part, voids), &void_list},
};

#define BIT(field) (1U << (field))

/* The keys of each shape: those it must have, and those it may have beside them. */
typedef struct shape_keys {
    trn_shape shape;
    unsigned required;
    unsigned allowed;
} shape_keys;

/* A bar has two rows: its weight is given in one of two ways. */
static const shape_keys shapes[] = {
    {TRN_SHAPE_POINT, BIT(WEIGHT) | BIT(AT), BIT(GYRATION)},
    {TRN_SHAPE_BAR, BIT(WEIGHT) | BIT(FROM) | BIT(TO), 0},
    {TRN_SHAPE_BAR, BIT(WEIGHT_PER_LENGTH) | BIT(FROM) | BIT(TO), 0},
    {TRN_SHAPE_SLAB, BIT(WEIGHT_PER_AREA) | BIT(WIDTH) | BIT(FROM) | BIT(TO), 0},
    {TRN_SHAPE_BLOCK, BIT(UNIT_WEIGHT) | BIT(WIDTH) | BIT(OUTLINE), BIT(VOIDS)},
};

#define SHAPES (sizeof shapes / sizeof *shapes)

static const char four_shapes[] = "expected weight, at (point); weight or weight_per_length, from, to (bar); "
                                  "weight_per_area, width, from, to (slab); unit_weight, width, outline (block)";

/* The shapes that a set of keys leaves possible, as bits. */
static unsigned shapes_open_to(unsigned keys)
{
    unsigned open = 0;
    for (size_t i = 0; i < SHAPES; i++) {
        if ((keys & ~(shapes[i].required | shapes[i].allowed)) == 0) {
            open |= BIT(i);
        }
    }
    return open;
}

static unsigned key_bit(const dsc_node *key, const dsc_seen *seen)
{
    for (unsigned i = WEIGHT; i <= VOIDS; i++) {
        if (seen[i].key == key) {
            return BIT(i);
        }
    }
    return 0;
}

/* All keys that make a shape; 0, with a fault at the first key that goes with no shape any more. */
static unsigned gather_keys(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen)
{
    unsigned keys = 0;
    for (const dsc_item *item = mapping->items; item; item = item->next) {
        keys |= key_bit(item->key, seen);
        if (shapes_open_to(keys) == 0) {
            dsc_fault(reading, item->key, NULL, "\"%s\" does not go with the keys before it: %s", item->key->text,
                      four_shapes);
            return 0;
        }
    }
    if (keys == 0) {
        dsc_missing(reading, mapping, "the part has no shape: %s", four_shapes);
    }
    return keys;
}

/* The row of the shape that the keys make; SHAPES, with a fault, where they make none. */
static size_t find_shape(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen)
{
    unsigned keys = gather_keys(reading, mapping, seen);
    if (keys == 0) {
        return SHAPES;
    }
    unsigned open = shapes_open_to(keys);
    for (size_t i = 0; i < SHAPES; i++) {
        if ((open & BIT(i)) && (shapes[i].required & ~keys) == 0) {
            return i;
        }
    }
    if ((open & (open - 1)) != 0) {
        dsc_missing(reading, mapping, "the keys do not make a shape: %s", four_shapes);
        return SHAPES;
    }
    for (size_t i = 0; i < SHAPES; i++) {
        for (unsigned field = WEIGHT; open == BIT(i) && field <= VOIDS; field++) {
            if (shapes[i].required & ~keys & BIT(field)) {
                dsc_missing(reading, mapping, "key \"%s\" is missing: %s", part_fields[field].key, four_shapes);
            }
        }
    }
    return SHAPES;
}

static bool voids_can_be_checked(const dsc_seen *seen)
{
    return seen[VOIDS].good && seen[OUTLINE].good && seen[WIDTH].good;
}

/* Whether voids that each fit leave anything of their block. */
static bool something_left(const trn_part *part)
{
    const trn_point origin = {0, 0};
    trn_part hollow = *part;
    hollow.shape = TRN_SHAPE_BLOCK;
    hollow.count = 1;
    hollow.unit_weight_N_m3 = 1;
    trn_part whole = hollow;
    whole.void_count = 0;
    return trn_part_body(&hollow, origin).weight_N > 1e-9 * trn_part_body(&whole, origin).weight_N;
}

static bool check_voids(dsc_reading *reading, const dsc_seen *seen, const trn_part *part)
{
    return dsc_check_voids(reading, seen[VOIDS].value, part) &&
           (something_left(part) || dsc_fault(reading, seen[VOIDS].value, "voids",
                                              "the voids leave nothing of the block: expected some weight"));
}

static bool check_part(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    trn_part *part = record;
    size_t row = find_shape(reading, mapping, seen);
    if (row == SHAPES) {
        return false;
    }
    part->shape = shapes[row].shape;
    if (seen[FROM].good && seen[TO].good && !dsc_points_differ(part->from, part->to)) {
        return dsc_fault(reading, seen[TO].value, "to", "the ends are the same point: expected a part of some length");
    }
    return !voids_can_be_checked(seen) || check_voids(reading, seen, part);
}

static void part_defaults(void *record)
{
    trn_part part = trn_default_part();
    memcpy(record, &part, sizeof part);
}

/* Only a point's weight has a radius of gyration that must be told. */
static bool part_takes_default(const dsc_seen *seen, size_t field)
{
    return field != GYRATION || seen[AT].key;
}

static const dsc_form part_form = {
    .noun = "a part",
    DSC_FIELDS_OF(part_fields),
    .size = sizeof(trn_part),
    .set_defaults = part_defaults,
    .check = check_part,
    .takes_default = part_takes_default,
};

enum { POCKET_NAME, POCKET_AT, POCKET_BLOCK, POCKET_BLOCKS, POCKET_ROOM };

static const dsc_field pocket_fields[] = {
    [POCKET_NAME] = {"name", true, dsc_read_text, offsetof(trn_pocket, name), NULL},
    [POCKET_AT] = {"at", true, dsc_read_pair, offsetof(trn_pocket, at), &dsc_point_pair},
    [POCKET_BLOCK] = {"block", true, dsc_read_quantity, offsetof(trn_pocket, block_N), DSC_OVER_0(DSC_WEIGHT)},
    [POCKET_BLOCKS] = {"blocks", true, dsc_read_whole, offsetof(trn_pocket, blocks), DSC_WHOLE_FROM(0)},
    [POCKET_ROOM] = {"room", true, dsc_read_whole, offsetof(trn_pocket, room), DSC_WHOLE_FROM(0)},
};

static bool check_pocket(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_pocket *pocket = record;
    if (seen[POCKET_BLOCKS].good && seen[POCKET_ROOM].good && pocket->blocks > pocket->room) {
        return dsc_fault(reading, seen[POCKET_BLOCKS].value, "blocks",
                         "%d blocks are more than the room takes: expected at most %d", pocket->blocks, pocket->room);
    }
    return true;
}

static const dsc_form pocket_form = {
    .noun = "a pocket",
    DSC_FIELDS_OF(pocket_fields),
    .size = sizeof(trn_pocket),
    .check = check_pocket,
};

#define PARTS_OF(type)                                                                                             \
    {                                                                                                              \
        .item = {"parts", true, dsc_read_record, 0, &part_form}, .item_size = sizeof(trn_part),                    \
        .count_offset = offsetof(type, part_count), .least = 1, .most = SIZE_MAX, .nouns = "parts", .named = true, \
    }

/* The names of pockets are held against each other where both lists of them are known. */
#define POCKETS_OF(type)                                                                              \
    {                                                                                                 \
        .item = {"pockets", true, dsc_read_record, 0, &pocket_form}, .item_size = sizeof(trn_pocket), \
        .count_offset = offsetof(type, pocket_count), .most = SIZE_MAX, .nouns = "pockets",           \
    }

const dsc_list dsc_leaf_parts = PARTS_OF(trn_leaf);
const dsc_list dsc_leaf_pockets = POCKETS_OF(trn_leaf);
const dsc_list dsc_linked_parts = PARTS_OF(trn_linked_counterweight);
const dsc_list dsc_linked_pockets = POCKETS_OF(trn_linked_counterweight);
