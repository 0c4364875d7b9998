/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file sample.h
 * Quantities that are known as distributions, and samples of them.
 *
 * Sample k of variable v is a function of the seed, a stream, k and v alone:
 * it is the same wherever and in whatever order it is computed, and the same
 * in every bit for any width of vectors. No function of libm but the square
 * root, which IEEE 754 rounds exactly, is on the way to it.
 */
#ifndef TRN_SAMPLE_H
#define TRN_SAMPLE_H

#include <stddef.h>
#include <stdint.h>

#include "trunnion/uncertainty.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * Philox 4x32-10: four random words from a counter and a key.
 * Source: Salmon, Moraes, Dror and Shaw, Parallel random numbers: as easy as 1, 2, 3, SC11 (2011).
 */
void trn_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t words[4]);

/**
 * The standard normal quantile of p, from 2^-53 to 1 - 2^-53, to 1e-13 of itself (about p = 1/2: of 1).
 * Polynomials of ours in w = -ln(4 p (1 - p)) and in its root; that form by Giles,
 * Approximating the erfinv function, GPU Computing Gems (2012).
 */
double trn_normal_quantile(double p);

/** The expectation of an input; a cut of a normal one is left out of account. */
double trn_input_mean(const trn_input *input);

/** Its standard deviation, likewise. */
double trn_input_sd(const trn_input *input);

/** Its value at the quantile p, 0 < p < 1 (normal: the domain of trn_normal_quantile). */
double trn_input_quantile(const trn_input *input, double p);

/** Streams of one seed: samples of different streams are independent. */
typedef struct trn_stream {
    uint64_t seed; /**< the same for all streams of a run */
    uint32_t number; /**< tells the streams apart */
} trn_stream;

/**
 * Samples first to first + n - 1 of count inputs: values[i * n + k] is sample
 * first + k of inputs[i]. Philox gives variable v the words 0 and 1 (v even)
 * or 2 and 3 (v odd) of the counter (sample low, sample high, v / 2, stream);
 * their upper 52 bits are the middle of the interval that is p.
 */
void trn_sample_inputs(const trn_input *inputs, size_t count, trn_stream stream, uint64_t first, size_t n,
                       double *values);

#ifdef __cplusplus
}
#endif

#endif
