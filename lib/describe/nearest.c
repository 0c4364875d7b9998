/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faults.h"

/* Longer than any key; what is longer still was not meant as one. */
#define WORD_MAX ((size_t)32)

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/*
 * Edits from a to b: letters put in, left out, changed, or two neighbours
 * swapped (Damerau 1964, each letter edited once at most). Three rows of the
 * table are enough.
 */
static size_t edits_between(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t rows[3][WORD_MAX + 1];
    for (size_t j = 0; j <= b_length; j++) {
        rows[0][j] = j;
    }
    for (size_t i = 1; i <= a_length; i++) {
        size_t *now = rows[i % 3];
        const size_t *before = rows[(i + 2) % 3];
        now[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            size_t change = before[j - 1] + (a[i - 1] != b[j - 1] ? 1 : 0);
            now[j] = least(change, least(before[j], now[j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                now[j] = least(now[j], rows[(i + 1) % 3][j - 2] + 1);
            }
        }
    }
    return rows[a_length % 3][b_length];
}

const char *dsc_nearest(const char *text, size_t length, size_t edits_most, const char *const *words, size_t count)
{
    if (length == 0 || length > WORD_MAX) {
        return NULL;
    }
    const char *nearest = NULL;
    size_t fewest = edits_most + 1;
    for (size_t i = 0; i < count; i++) {
        size_t word_length = strlen(words[i]);
        if (word_length > WORD_MAX) {
            continue;
        }
        size_t edits = edits_between(text, length, words[i], word_length);
        if (edits < fewest && edits < word_length) {
            fewest = edits;
            nearest = words[i];
        }
    }
    return nearest;
}
