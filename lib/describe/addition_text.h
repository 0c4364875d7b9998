/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From a line of text, such as "overlay: 35 kg/m2 on deck", to an addition.
 */
#ifndef DSC_ADDITION_TEXT_H
#define DSC_ADDITION_TEXT_H

#include <stddef.h>

#include "arena.h"
#include "trunnion/addition.h"

/* Where the pieces of a line stand, columns from 1 in characters. */
typedef struct dsc_addition_places {
    size_t name;
    size_t amount;
    size_t place;
} dsc_addition_places;

/* The names of the addition lie in the arena. Fails as trn_description_add does. The caller has set the C locale. */
trn_status dsc_addition_read(const char *text, dsc_arena *arena, trn_addition *addition, dsc_addition_places *places,
                             trn_error *error);

#endif
