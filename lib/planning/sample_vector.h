/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Random numbers by the array.
 */
#ifndef SAMPLE_VECTOR_H
#define SAMPLE_VECTOR_H

#include <stddef.h>
#include <stdint.h>

#include "trunnion/sample.h"

/* A pair of variables of a stream. */
typedef struct random_pair {
    uint64_t seed;
    uint32_t stream;
    uint32_t pair;
} random_pair;

/* Uniform numbers between 0 and 1 for samples first to first + n - 1: of the even variable and of the odd one. */
void random_uniforms(const random_pair *of, uint64_t first, size_t n, double *even, double *odd);

/* From quantiles between 0 and 1 to values, in place: of the standard normal distribution; */
void random_normals(size_t n, double *values);

/* of a normal one from the standard one's, cut at its bounds; of an even one; of a triangle, inverted from either end
   to the peak. */
void random_cut(const trn_input *input, size_t n, double *values);
void random_uniform(const trn_input *input, size_t n, double *values);
void random_triangular(const trn_input *input, size_t n, double *values);

#endif
