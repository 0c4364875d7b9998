/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "addition_text.h"
#include "c_locale.h"
#include "description.h"
#include "trunnion/balance.h"
#include "trunnion/describe.h"

static trn_status no_memory(trn_error *error)
{
    return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
}

static bool is_among(const trn_part *parts, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(parts[i].name, name) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_taken(const trn_leaf *leaf, const char *name)
{
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    return is_among(leaf->parts, leaf->part_count, name) ||
           (linked != NULL && is_among(linked->parts, linked->part_count, name));
}

/* An array of the leaf with one element more, or just copied. */
static void *copy_with_room(dsc_arena *arena, const void *elements, size_t count, size_t more, size_t size)
{
    void *copy = dsc_arena_take(arena, count + more, size);
    if (copy != NULL && count > 0) {
        memcpy(copy, elements, count * size);
    }
    return copy;
}

static trn_status add_part(dsc_arena *arena, const trn_addition *addition, trn_leaf *leaf, trn_error *error)
{
    trn_part part;
    const trn_status status = trn_addition_part(leaf, addition, &part, error);
    if (status != TRN_OK) {
        return status;
    }
    trn_part *parts = copy_with_room(arena, leaf->parts, leaf->part_count, 1, sizeof *parts);
    if (parts == NULL) {
        return no_memory(error);
    }
    parts[leaf->part_count] = part;
    leaf->parts = parts;
    leaf->part_count++;
    return TRN_OK;
}

/* The pockets with other blocks in one of them; NULL when memory ran out. */
static trn_pocket *refill(dsc_arena *arena, const trn_pocket *pockets, size_t count, size_t index, int blocks)
{
    trn_pocket *copy = copy_with_room(arena, pockets, count, 0, sizeof *copy);
    if (copy != NULL) {
        copy[index].blocks = blocks;
    }
    return copy;
}

static bool set_linked_blocks(dsc_arena *arena, size_t index, int blocks, trn_leaf *leaf)
{
    trn_linked_counterweight *linked = dsc_arena_take(arena, 1, sizeof *linked);
    if (linked == NULL) {
        return false;
    }
    *linked = *leaf->linked_counterweight;
    linked->pockets = refill(arena, linked->pockets, linked->pocket_count, index, blocks);
    leaf->linked_counterweight = linked;
    return linked->pockets != NULL;
}

static trn_status add_blocks(dsc_arena *arena, const trn_addition *addition, trn_leaf *leaf, trn_error *error)
{
    size_t index = 0;
    int blocks = 0;
    const trn_status status = trn_addition_blocks(leaf, addition, &index, &blocks, error);
    if (status != TRN_OK) {
        return status;
    }
    if (index >= leaf->pocket_count) {
        return set_linked_blocks(arena, index - leaf->pocket_count, blocks, leaf) ? TRN_OK : no_memory(error);
    }
    leaf->pockets = refill(arena, leaf->pockets, leaf->pocket_count, index, blocks);
    return leaf->pockets != NULL ? TRN_OK : no_memory(error);
}

/* Refuse an addition that was read well but does not fit this leaf. */
static trn_status misfit(trn_error *error, size_t column, const char *words)
{
    return trn_error_set(error, TRN_OUT_OF_DOMAIN, "column %zu: %s", column, words);
}

static trn_status apply(dsc_arena *arena, const trn_addition *addition, const dsc_addition_places *places,
                        trn_leaf *leaf, trn_error *error)
{
    trn_error found;
    if (is_taken(leaf, addition->name)) {
        return misfit(error, places->name, "a part has that name already: expected another name");
    }
    const trn_status status = addition->kind == TRN_ADDITION_IN_POCKET ? add_blocks(arena, addition, leaf, &found)
                                                                       : add_part(arena, addition, leaf, &found);
    if (status != TRN_OK) {
        return status == TRN_OUT_OF_DOMAIN ? misfit(error, places->place, found.text) : no_memory(error);
    }
    const trn_body left = trn_leaf_body(leaf);
    if (!(left.weight_N > 0) || !(left.inertia_kg_m2 > 0)) {
        return misfit(error, places->amount, "nothing is left of the leaf: expected less to be taken away");
    }
    return TRN_OK;
}

trn_status trn_description_add(trn_description *description, const char *text, trn_error *error)
{
    dsc_c_locale entered;
    trn_addition addition;
    dsc_addition_places places;
    if (!dsc_c_locale_enter(&entered)) {
        return no_memory(error);
    }
    trn_leaf changed = description->leaf;
    trn_status status = dsc_addition_read(text, &description->arena, &addition, &places, error);
    if (status == TRN_OK) {
        status = apply(&description->arena, &addition, &places, &changed, error);
    }
    if (status == TRN_OK) {
        description->leaf = changed;
    }
    dsc_c_locale_leave(&entered);
    return status;
}
