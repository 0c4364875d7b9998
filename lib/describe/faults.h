/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The list of faults of a description, kept in the order of their places.
 */
#ifndef DSC_FAULTS_H
#define DSC_FAULTS_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/describe.h"

/* Line and column, both from 1; the column in characters. */
typedef struct dsc_place {
    int line;
    int column;
} dsc_place;

/* Less than, equal to or greater than 0 as a stands before, at or after b. */
int dsc_place_compare(dsc_place a, dsc_place b);

/* False where a fault at this place would not be kept: its words need not be found then. */
bool dsc_faults_want(const trn_faults *faults, dsc_place place);

/* Add a fault; the later ones give way when there are more than can be kept. */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
void dsc_faults_add(trn_faults *faults, dsc_place place, const char *format, ...);

/* Room for an excerpt of the description in a message. */
#define DSC_EXCERPT 48

/*
 * Text from the description, made fit for a message: at most some 40 bytes,
 * whole characters, controls replaced. Returns into.
 */
const char *dsc_excerpt(char into[DSC_EXCERPT], const char *text, size_t length);

/* The word nearest to text among count words; NULL where none is within so many edits of letters. */
const char *dsc_nearest(const char *text, size_t length, size_t edits_most, const char *const *words, size_t count);

#endif
