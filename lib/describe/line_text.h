/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A line of text, such as an option's value, that is read piece by piece:
 * what is wrong is told with its column.
 */
#ifndef DSC_LINE_TEXT_H
#define DSC_LINE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "quantity.h"
#include "trunnion/status.h"

/* A line that is being read. */
typedef struct dsc_line {
    const char *text;
    size_t length;
    size_t at; /* what is before has been read */
    trn_error *error;
    dsc_units units;
} dsc_line;

/* The column of a byte of the line, from 1 in characters. */
size_t dsc_line_column(const dsc_line *of, size_t at);

/* Refuse the line at a byte of it. */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
trn_status
dsc_line_refuse(const dsc_line *of, size_t at, const char *format, ...);

/* Fails unless the text is UTF-8 of a fair size on one line. */
trn_status dsc_line_check(const dsc_line *of);

/* The first byte from one on that is no blank. */
size_t dsc_line_after_blanks(const dsc_line *of, size_t at);

void dsc_line_skip_blanks(dsc_line *of);

/* The bytes from one place to another, less the blanks before and behind. */
size_t dsc_line_trimmed(const dsc_line *of, size_t from, size_t to, size_t *start);

/* True where a word stands at a place in the line, by itself (or before a bracket). */
bool dsc_line_stands(const dsc_line *of, size_t at, const char *word);

/* The first place from one on where a word stands by itself; the line's length where it stands nowhere. */
size_t dsc_line_find(const dsc_line *of, size_t from, const char *word);

/* Read the text between two places by a rule; *good says whether it obeys, words why not. */
trn_status dsc_line_between(dsc_line *of, size_t from, size_t to, const dsc_rule *rule, double *value, bool *good,
                            char words[DSC_WORDS]);

/* The same, refused at its place where it does not obey. */
trn_status dsc_line_quantity(dsc_line *of, size_t from, size_t to, const dsc_rule *rule, double *value);

#endif
