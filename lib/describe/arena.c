/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "arena.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

struct dsc_chunk {
    dsc_chunk *older;
    size_t size;
    size_t used;
    max_align_t room[];
};

/* A small leaf fits the first chunk; doubling keeps the number of chunks small for a large one. */
#define FIRST_CHUNK ((size_t)8 * 1024)
#define LARGEST_CHUNK ((size_t)1024 * 1024)

static dsc_chunk *chunk_add(dsc_arena *arena, size_t least)
{
    size_t size = arena->next_size < FIRST_CHUNK ? FIRST_CHUNK : arena->next_size;
    if (least > size) {
        size = least;
    }
    dsc_chunk *chunk = calloc(1, sizeof *chunk + size);
    if (!chunk) {
        return NULL;
    }
    chunk->older = arena->newest;
    chunk->size = size;
    arena->newest = chunk;
    arena->next_size = 2 * size < LARGEST_CHUNK ? 2 * size : LARGEST_CHUNK;
    return chunk;
}

void *dsc_arena_take(dsc_arena *arena, size_t count, size_t size)
{
    const size_t unit = sizeof(max_align_t);
    if (size != 0 && count > (SIZE_MAX / 2 - unit) / size) {
        return NULL;
    }
    size_t bytes = (count * size + unit - 1) / unit * unit;
    dsc_chunk *chunk = arena->newest;
    if (!chunk || bytes > chunk->size - chunk->used) {
        chunk = chunk_add(arena, bytes);
        if (!chunk) {
            return NULL;
        }
    }
    void *taken = (char *)chunk->room + chunk->used;
    chunk->used += bytes;
    return taken;
}

char *dsc_arena_text(dsc_arena *arena, const char *text, size_t length)
{
    char *copy = dsc_arena_take(arena, length + 1, 1);
    if (copy) {
        memcpy(copy, text, length);
    }
    return copy;
}

void dsc_arena_free(dsc_arena *arena)
{
    dsc_chunk *chunk = arena->newest;
    while (chunk) {
        dsc_chunk *older = chunk->older;
        free(chunk);
        chunk = older;
    }
    *arena = (dsc_arena){0};
}
