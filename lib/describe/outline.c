/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sections.h"

#define CORNERS_LEAST 3
#define CORNERS_MOST 256
/* Pairs of sides compared in one description; a real one has some thousands, a hostile one would take minutes. */
#define WORK_MAX ((size_t)8000000)
/* To hold two outlines against each other looks at each pair of sides some ten times as long as at one of its own. */
#define TWO_OUTLINES 10

static const dsc_list corner_list = {
    .item = {"outline", true, dsc_read_pair, 0, &dsc_point_pair},
    .item_size = sizeof(trn_point),
    .count_offset = offsetof(trn_polygon, count),
    .least = CORNERS_LEAST,
    .most = CORNERS_MOST,
    .nouns = "corners",
};

bool dsc_points_differ(trn_point a, trn_point b)
{
    return a.x < b.x || a.x > b.x || a.y < b.y || a.y > b.y;
}

/* True while there is work left in the reading; the first time that there is none is a fault. */
static bool may_work(dsc_reading *reading, const dsc_node *at, size_t work)
{
    if (reading->outline_work > WORK_MAX) {
        return false;
    }
    reading->outline_work += work;
    return reading->outline_work <= WORK_MAX ||
           dsc_fault(reading, at, "outline", "too many outlines to compare: expected fewer corners in all");
}

static bool may_compare(dsc_reading *reading, const dsc_node *at, trn_polygon a, trn_polygon b)
{
    return may_work(reading, at, TWO_OUTLINES * a.count * b.count);
}

bool dsc_read_outline(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    trn_polygon *polygon = (trn_polygon *)(void *)((char *)record + field->offset);
    const dsc_field corners = {field->key, true, dsc_read_list, offsetof(trn_polygon, corners), &corner_list};
    if (!dsc_read_list(reading, value, &corners, polygon)) {
        return false;
    }
    if (!may_work(reading, value, polygon->count * polygon->count)) {
        return false;
    }
    return trn_polygon_is_simple(*polygon) ||
           dsc_fault(reading, value, field->key,
                     "the outline is not simple: expected sides of some length that neither cross nor touch");
}

/* One void against the block and the voids before it. */
static bool check_void(dsc_reading *reading, const dsc_node *node, const trn_part *part, size_t index)
{
    const trn_void *hollow = &part->voids[index];
    const dsc_node *at = dsc_value(node, "outline");
    bool good = true;
    if (hollow->width_m > part->width_m) {
        good = dsc_fault(reading, dsc_value(node, "width"), "width",
                         "the void is wider than its block: expected at most %g m", part->width_m);
    }
    if (!may_compare(reading, at, part->outline, hollow->outline)) {
        return false;
    }
    if (!trn_polygon_contains(part->outline, hollow->outline)) {
        return dsc_fault(reading, at, "outline", "the void leaves the outline of its block: expected it inside");
    }
    for (size_t i = 0; i < index; i++) {
        if (!may_compare(reading, at, part->voids[i].outline, hollow->outline)) {
            return false;
        }
        if (trn_polygon_overlaps(part->voids[i].outline, hollow->outline)) {
            return dsc_fault(reading, at, "outline", "the void overlaps void %zu of the block: expected them apart",
                             i + 1);
        }
    }
    return good;
}

bool dsc_check_voids(dsc_reading *reading, const dsc_node *voids, const trn_part *part)
{
    bool good = true;
    size_t index = 0;
    for (const dsc_item *item = voids->items; item; item = item->next) {
        good = check_void(reading, item->value, part, index) && good;
        index++;
    }
    return good;
}
