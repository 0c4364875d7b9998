/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file tally.h
 * Mean, standard deviation and quantiles of any number of values, in little memory.
 *
 * The quantiles are exact: the very order statistics that sorting all values
 * would give. For each one a bracket is kept, in which it surely lies but for
 * a few chances in a million; what falls below is counted, what falls into it
 * is kept, and as values come the bracket is narrowed. So about 10 sqrt(n)
 * values are kept of n. Where the chance went against us, missed says so, and
 * the values have to be run through a wider tally.
 *
 * Sums are kept as whole multiples of a small quantum. Values that come in
 * the same blocks give the same bits in whatever order the blocks come, and
 * however they are shared between tallies that are then joined.
 */
#ifndef TRN_TALLY_H
#define TRN_TALLY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Values that were tallied; their own memory is kept within. */
typedef struct trn_tally trn_tally;

/** What is asked of the values. */
typedef struct trn_tally_settings {
    const double *probabilities; /**< of the quantiles, 0 to 1 */
    size_t count; /**< of the probabilities */
    double centre;     /**< about where the values lie */
    double scale;      /**< over 0: several times about what they spread; a power of two keeps all digits */
    uint64_t expected; /**< how many values will come; 0: not known, which takes twice the memory */
    double widening;   /**< of the brackets: 1, or more after a miss */
} trn_tally_settings;

/** Five, fifty and ninety-five per cent. */
trn_tally_settings trn_default_tally_settings(void);

/** A new tally, or NULL where memory ran out; freed with trn_tally_free, which takes NULL. */
trn_tally *trn_tally_new(const trn_tally_settings *settings);
/** Free a tally; NULL is allowed. */
void trn_tally_free(trn_tally *tally);

/** Add a block of values, which must be finite. Fails with TRN_NO_MEMORY; the tally is then of no more use. */
trn_status trn_tally_add(trn_tally *tally, const double *values, size_t count);

/** Add what another tally of the same settings holds. Fails as trn_tally_add does. */
trn_status trn_tally_join(trn_tally *tally, const trn_tally *other);

/** How a set of values lies. */
typedef struct trn_tally_moments {
    uint64_t count; /**< how many values */
    double mean; /**< 0 without values */
    double sd;      /**< with count - 1, JCGM 101:2008, formula 17; 0 for fewer than 2 values */
    double mean_se; /**< standard errors of the two */
    double sd_se;   /**< by the fourth moment */
} trn_tally_moments;

/** Count, mean and standard deviation of the values so far. */
trn_tally_moments trn_tally_moments_of(const trn_tally *tally);

/** A quantile of the values. */
typedef struct trn_tally_quantile {
    double value;   /**< the order statistic of rank ceil(p n), at least 1 */
    double se;      /**< half the way between the order statistics sqrt(n p (1 - p)) ranks below and above */
    bool missed;    /**< one of the three left its bracket: value and se are NaN */
} trn_tally_quantile;

/** The quantile of the settings' probability i; moves what is kept about, so that one thread at a time may ask. */
trn_tally_quantile trn_tally_quantile_of(trn_tally *tally, size_t i);

#ifdef __cplusplus
}
#endif

#endif
