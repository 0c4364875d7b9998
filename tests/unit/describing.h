/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file describing.h
 * Short ways to read a description in a test, and to say how it is refused.
 */
#ifndef TRN_TEST_DESCRIBING_H
#define TRN_TEST_DESCRIBING_H

#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/describe.h"

/** What every description needs, in six lines; sections are put behind it. */
#define LEAST                                                                                                          \
    "leaf: Osier Reach\n"                                                                                              \
    "opens_to: 70 degree\n"                                                                                            \
    "toe: 12 m\n"                                                                                                      \
    "parts:\n"                                                                                                         \
    "  - {name: girder, weight: 3 t, at: [4 m, 0.5 m]}\n"

/** The lines in LEAST: what is put behind it starts on the next. */
#define LEAST_LINES 5

static inline void print_faults(const trn_faults *faults)
{
    for (size_t i = 0; i < faults->count; i++) {
        print_error("%d:%d: %s\n", faults->at[i].line, faults->at[i].column, faults->at[i].text);
    }
}

/** Read a text that is right. */
static inline trn_description *read_well(const char *text)
{
    trn_faults faults;
    trn_description *description = NULL;
    trn_status status = trn_description_read(text, strlen(text), &description, &faults);
    if (status != TRN_OK) {
        print_faults(&faults);
    }
    assert_int_equal(status, TRN_OK);
    assert_int_equal(faults.count, 0);
    assert_false(faults.more);
    return description;
}

/** Read length bytes that are not right; the description stays as it was. */
static inline trn_faults read_badly(const char *text, size_t length)
{
    trn_faults faults;
    trn_description *untouched = NULL;
    assert_int_equal(trn_description_read(text, length, &untouched, &faults), TRN_BAD_DESCRIPTION);
    assert_null(untouched);
    assert_true(faults.count > 0);
    return faults;
}

/** One fault of a list: its place and words in it. */
static inline void assert_fault(const trn_faults *faults, size_t index, int line, int column, const char *words)
{
    assert_true(index < faults->count);
    const trn_fault *fault = &faults->at[index];
    if (fault->line != line || fault->column != column || !strstr(fault->text, words)) {
        print_error("want %d:%d: ... %s ...\n", line, column, words);
        print_faults(faults);
    }
    assert_int_equal(fault->line, line);
    assert_int_equal(fault->column, column);
    assert_non_null(strstr(fault->text, words));
}

/** A text with one fault. */
static inline void assert_refused(const char *text, int line, int column, const char *words)
{
    trn_faults faults = read_badly(text, strlen(text));
    if (faults.count != 1) {
        print_faults(&faults);
    }
    assert_int_equal(faults.count, 1);
    assert_fault(&faults, 0, line, column, words);
}

/** A text with one fault, at what stands behind the mark @, which is not read. */
static inline void assert_refused_at_mark(const char *marked, const char *words)
{
    char text[2048];
    const char *mark = strchr(marked, '@');
    assert_non_null(mark);
    int line = 1;
    const char *start = marked;
    for (const char *c = marked; c < mark; c++) {
        if (*c == '\n') {
            line++;
            start = c + 1;
        }
    }
    assert_true(strlen(marked) < sizeof text);
    snprintf(text, sizeof text, "%.*s%s", (int)(mark - marked), marked, mark + 1);
    assert_refused(text, line, (int)(mark - start) + 1, words);
}

/** A leaf whose toe has the given text; the caller frees it. */
static inline char *with_toe(const char *toe)
{
    static const char form[] =
        "leaf: x\nopens_to: 70 degree\ntoe: %s\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n";
    size_t room = sizeof form + strlen(toe);
    char *text = malloc(room);
    assert_non_null(text);
    snprintf(text, room, form, toe);
    return text;
}

/** Text repeated until there are at least length bytes, between a start and an end; the caller frees it. */
static inline char *repeated(const char *start, const char *text, const char *end, size_t length)
{
    size_t step = strlen(text);
    size_t times = length / step + 1;
    char *whole = malloc(strlen(start) + times * step + strlen(end) + 1);
    assert_non_null(whole);
    char *at = stpcpy(whole, start);
    for (size_t i = 0; i < times; i++) {
        at = stpcpy(at, text);
    }
    strcpy(at, end);
    return whole;
}

#endif
