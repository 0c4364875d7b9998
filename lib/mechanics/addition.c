/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/addition.h"

#include <stdio.h>
#include <string.h>

/* A list of names for a message, as far as there is room. */
typedef struct name_list {
    char text[160];
    size_t length;
    bool full;
} name_list;

static void list_name(name_list *list, const char *name)
{
    const size_t room = sizeof list->text - list->length;
    const size_t needed = strlen(name) + 4;
    if (list->full || needed + 5 > room) {
        list->length += list->full ? 0 : (size_t)snprintf(list->text + list->length, room, ", ...");
        list->full = true;
        return;
    }
    list->length += (size_t)snprintf(list->text + list->length, room, "%s\"%s\"", list->length > 0 ? ", " : "", name);
}

static trn_status no_surface(const trn_leaf *leaf, trn_error *error)
{
    name_list names = {.text = ""};
    for (size_t i = 0; i < leaf->surface_count; i++) {
        list_name(&names, leaf->surfaces[i].name);
    }
    return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                         leaf->surface_count > 0 ? "the leaf has no such surface: expected one of %s"
                                                 : "the leaf has no surfaces: expected them in its description%s",
                         names.text);
}

static trn_status part_on_surface(const trn_leaf *leaf, const trn_addition *addition, trn_part *part, trn_error *error)
{
    for (size_t i = 0; i < leaf->surface_count; i++) {
        const trn_surface *surface = &leaf->surfaces[i];
        if (strcmp(surface->name, addition->place) == 0) {
            part->shape = TRN_SHAPE_SLAB;
            part->weight_per_area_N_m2 = addition->weight_per_area_N_m2;
            part->width_m = surface->width_m;
            part->from = surface->from;
            part->to = surface->to;
            return TRN_OK;
        }
    }
    return no_surface(leaf, error);
}

/* Per length in any case: the weight of a bar counts only where it is over 0. */
static void part_along(const trn_addition *addition, trn_part *part)
{
    const double length = trn_point_distance(addition->from, addition->to);
    part->shape = TRN_SHAPE_BAR;
    part->weight_per_length_N_m = addition->weight_per_length_N_m + addition->weight_N / length;
    part->from = addition->from;
    part->to = addition->to;
}

trn_status trn_addition_part(const trn_leaf *leaf, const trn_addition *addition, trn_part *part, trn_error *error)
{
    trn_part made = trn_default_part();
    trn_status status = TRN_OK;
    made.name = addition->name;
    switch (addition->kind) {
    case TRN_ADDITION_ON_SURFACE:
        status = part_on_surface(leaf, addition, &made, error);
        break;
    case TRN_ADDITION_ALONG:
        part_along(addition, &made);
        break;
    case TRN_ADDITION_AT_POINT:
        made.weight_N = addition->weight_N;
        made.at = addition->from;
        break;
    case TRN_ADDITION_IN_POCKET:
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "blocks in a pocket make no part of their own");
    }
    if (status == TRN_OK) {
        *part = made;
    }
    return status;
}

/* A pocket by its number through the leaf's and on through its linked counterweight's; NULL beyond the last. */
static const trn_pocket *pocket_at(const trn_leaf *leaf, size_t index)
{
    if (index < leaf->pocket_count) {
        return &leaf->pockets[index];
    }
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    const size_t further = index - leaf->pocket_count;
    return linked != NULL && further < linked->pocket_count ? &linked->pockets[further] : NULL;
}

static trn_status no_pocket(const trn_leaf *leaf, trn_error *error)
{
    name_list names = {.text = ""};
    for (size_t i = 0; pocket_at(leaf, i) != NULL; i++) {
        list_name(&names, pocket_at(leaf, i)->name);
    }
    return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                         names.length > 0 ? "the leaf has no such pocket: expected one of %s"
                                          : "the leaf has no pockets: expected them in its description%s",
                         names.text);
}

trn_status trn_addition_blocks(const trn_leaf *leaf, const trn_addition *addition, size_t *index, int *blocks,
                               trn_error *error)
{
    if (addition->kind != TRN_ADDITION_IN_POCKET) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "a weight is no number of blocks");
    }
    size_t found = 0;
    const trn_pocket *pocket = pocket_at(leaf, 0);
    while (pocket != NULL && strcmp(pocket->name, addition->place) != 0) {
        pocket = pocket_at(leaf, ++found);
    }
    if (pocket == NULL) {
        return no_pocket(leaf, error);
    }
    if (addition->blocks < -pocket->blocks || addition->blocks > pocket->room - pocket->blocks) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "the pocket holds %d of at most %d blocks: expected a change from %+d to %+d",
                             pocket->blocks, pocket->room, -pocket->blocks, pocket->room - pocket->blocks);
    }
    *index = found;
    *blocks = pocket->blocks + addition->blocks;
    return TRN_OK;
}
