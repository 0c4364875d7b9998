/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The words of leaf.dict by their kind: the dictionary that libFuzzer is
 * given serves the mutator too, so that a new key is written down once.
 */
#ifndef FUZZ_WORDS_H
#define FUZZ_WORDS_H

#include <stddef.h>

typedef enum word_kind { WORD_KEY, WORD_VALUE, WORD_UNIT, WORD_NUMBER, WORD_KINDS } word_kind;

#define WORD_ROOM 64
#define WORDS_MAX 128

typedef struct words {
    size_t count;
    char at[WORDS_MAX][WORD_ROOM];
} words;

/* Read a dictionary: a line is KIND="word"; the other lines are for libFuzzer alone. Ends the process on a fault. */
void words_read(const char *path, words kinds[WORD_KINDS]);

#endif
