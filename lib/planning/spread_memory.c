/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "spread_model.h"

/* What a model allocates hangs in one list, so that no path of its making can leak. */
typedef struct owned {
    struct owned *next;
    _Alignas(16) unsigned char memory[];
} owned;

void *spread_model_take(spread_model *model, size_t count, size_t size)
{
    owned *piece = calloc(1, sizeof *piece + (count + 1) * size);
    if (piece == NULL) {
        return NULL;
    }
    piece->next = model->owner;
    model->owner = piece;
    return piece->memory;
}

void spread_model_free(spread_model *model)
{
    owned *piece = model->owner;
    while (piece != NULL) {
        owned *next = piece->next;
        free(piece);
        piece = next;
    }
    *model = (spread_model){0};
}
