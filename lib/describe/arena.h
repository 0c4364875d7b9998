/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Memory of one description: taken piece by piece, given back as a whole, so
 * that no path of the reader can leak.
 */
#ifndef DSC_ARENA_H
#define DSC_ARENA_H

#include <stddef.h>

typedef struct dsc_chunk dsc_chunk;

/* All zero is an empty arena. */
typedef struct dsc_arena {
    dsc_chunk *newest;
    size_t next_size;
} dsc_arena;

/* Room for count things of size bytes, zeroed and aligned for any type; NULL when memory ran out. */
void *dsc_arena_take(dsc_arena *arena, size_t count, size_t size);

/* A copy of length bytes, ended by NUL; NULL when memory ran out. */
char *dsc_arena_text(dsc_arena *arena, const char *text, size_t length);

void dsc_arena_free(dsc_arena *arena);

#endif
