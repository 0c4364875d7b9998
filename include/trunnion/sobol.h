/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file sobol.h
 * Sobol's indices: which share of a result's variance each input has.
 *
 * Of a result f, two independent samples A and B of its inputs are drawn, and
 * for each input a mixed one: A, with that input from B.
 */
#ifndef TRN_SOBOL_H
#define TRN_SOBOL_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Batches of a sample, by whose scatter the standard errors are told. */
#define TRN_SOBOL_BATCHES 16

/** What is summed of one input, in each batch. */
typedef struct trn_sobol_sums {
    double first[TRN_SOBOL_BATCHES]; /**< towards the share of the input alone */
    double total[TRN_SOBOL_BATCHES]; /**< towards that with all interactions */
} trn_sobol_sums;

/** An input's indices. */
typedef struct trn_sobol_index {
    double first; /**< share of the variance that is due to the input alone */
    double first_se; /**< standard error of first */
    double total; /**< and with all interactions */
    double total_se; /**< standard error of total */
} trn_sobol_index;

/**
 * Add results of count samples to a batch: f_a, f_b and f_mixed, best less
 * about their mean. First order by Saltelli, Annoni, Azzini, Campolongo, Ratto
 * and Tarantola, Variance based sensitivity analysis of model output, Comput.
 * Phys. Commun. 181 (2010), table 2 (b); total by Jansen, Analysis of variance
 * designs for model output, Comput. Phys. Commun. 117 (1999), ibid. (f).
 */
void trn_sobol_add(trn_sobol_sums *sums, size_t batch, const double *f_a, const double *f_b, const double *f_mixed,
                   size_t count);

/** The indices, where each batch has so many samples and f that variance; all 0 where it is 0. */
trn_sobol_index trn_sobol_index_of(const trn_sobol_sums *sums, size_t each, double variance);

#ifdef __cplusplus
}
#endif

#endif
