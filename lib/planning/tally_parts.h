/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The inside of a tally, for those who fill one from several threads or carry it in a file.
 */
#ifndef TALLY_PARTS_H
#define TALLY_PARTS_H

#include <math.h>

#include "trunnion/tally.h"

/* A sum in whole quanta: value = high 2^-20 + low 2^-52. Unsigned, so that nonsense wraps and is no undefined sum. */
typedef struct tally_sum {
    uint64_t high;
    uint64_t low;
} tally_sum;

/* Powers 1, 2 and 4 of the values less the centre, over the scale. */
enum { TALLY_POWERS = 3 };

/* A quantile's bracket, ends included. */
typedef struct tally_bracket {
    double probability;
    double low;
    double high;
    uint64_t below; /* values under low */
    double *kept;   /* values in the bracket */
    size_t count;
    size_t room;
    size_t most; /* more kept values than that are narrowed */
    bool missed; /* the quantile was no more among the kept ones when the bracket was narrowed */
} tally_bracket;

struct trn_tally {
    double centre;
    double scale;
    uint64_t expected;
    double widening;
    uint64_t count;
    tally_sum sums[TALLY_POWERS];
    size_t bracket_count;
    tally_bracket brackets[];
};

/* Brackets that values are sifted by together, and values that are sifted at a time at most. */
enum { TALLY_TOGETHER = 3, TALLY_SIFTED = 512 };

/* What was found in values by a bracket as it stood at some moment. */
typedef struct tally_found {
    double low;
    double high;
    uint64_t below;
    double *kept;
    size_t count;
} tally_found;

/* A bracket that finds nothing. */
static inline tally_found tally_finds_nothing(void)
{
    return (tally_found){.low = -HUGE_VAL, .high = -HUGE_VAL};
}

/* Sift at most TALLY_SIFTED finite values: those below a bracket are counted, those in it go to kept, which has room.
 */
void tally_sift(const double *values, size_t count, tally_found found[TALLY_TOGETHER]);

/* How many values lie below low, and how many from there to high. */
void tally_place(const double *values, size_t count, double low, double high, size_t *below, size_t *inside);

/* The sums of a block's powers, in the fixed order of lanes. */
void tally_powers(const double *values, size_t count, double centre, double scale, double sums[TALLY_POWERS]);

/* Add a block's sums. */
void tally_add_sums(tally_sum sums[TALLY_POWERS], const double block[TALLY_POWERS]);

/* Let go of all that the brackets need not keep. */
void tally_narrow(trn_tally *tally);

/* A find of so many values is taken in before more are sifted: brackets keep room for about as many. */
enum { TALLY_FIND = 256 };

/* tally_room.c: room for so many more kept values. */
trn_status tally_make_room(tally_bracket *of, size_t more);

/* Take in a find, of values that tally->count counts already; the bracket may have been narrowed since. */
trn_status tally_take(trn_tally *tally, size_t bracket, const tally_found *found);

#endif
