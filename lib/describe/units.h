/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the text of a unit to its size in SI and its dimension.
 * The only file that knows UDUNITS-2 stands behind this header.
 */
#ifndef DSC_UNITS_H
#define DSC_UNITS_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/status.h"

/* Powers of the base units; radian counts as one, so that Hz and rad/s differ. */
typedef struct dsc_dimension {
    int m;
    int kg;
    int s;
    int rad;
    int K;
    int other; /* not 0 where any further base unit takes part */
} dsc_dimension;

/* Room for words about a unit. */
#define DSC_UNIT_WORDS 96
/* A longer text is no unit. */
#define DSC_UNIT_TEXT_MAX ((size_t)200)

typedef struct dsc_unit {
    double scale; /* SI units in one of it */
    dsc_dimension dimension;
    bool energy;                /* written with a name of energy or power, such as J */
    char words[DSC_UNIT_WORDS]; /* what is wrong with it; empty where nothing is */
} dsc_unit;

/* Units kept in one reading, more than any leaf uses; free places in between keep the search short. */
#define DSC_UNITS_KEPT 96
#define DSC_UNITS_PLACES 128

typedef struct dsc_kept_unit {
    size_t length;
    char text[32];
    dsc_unit unit;
} dsc_kept_unit;

/* The units met in one reading. All zero is one that keeps none, for a quantity or two. */
typedef struct dsc_units {
    size_t parsed;
    dsc_unit last;
    size_t count;
    dsc_kept_unit *kept; /* DSC_UNITS_PLACES of them, all zero at the start; NULL: none is kept */
} dsc_units;

/*
 * The unit of a text of length over 0. Returns TRN_OK also where the text is
 * no unit: its words are set then. The unit stays valid until the next call.
 * Fails with TRN_NO_MEMORY or TRN_NO_UNITS. The caller has set the C locale.
 */
trn_status dsc_unit_read(dsc_units *units, const char *text, size_t length, const dsc_unit **unit);

/* unit_text.c: a text made fit for UDUNITS, in ASCII, our own names replaced. */
#define DSC_UNIT_PLAIN_MAX ((size_t)2048)

/* Write the text for UDUNITS to plain; false, with words, where it is no expression of units. */
bool dsc_unit_plain(const char *text, size_t length, char plain[DSC_UNIT_PLAIN_MAX], char words[DSC_UNIT_WORDS]);

/* The next name (a run of letters and _) at or after *at in a plain text; false at its end. */
bool dsc_unit_next_name(const char *plain, size_t *at, const char **name, size_t *length);

/* What may have been meant by an unknown name, NULL where nothing is near. */
const char *dsc_unit_meant(const char *name, size_t length);

#endif
