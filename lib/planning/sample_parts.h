/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Samples of one input after the other, for who keeps them in arrays of his own.
 */
#ifndef SAMPLE_PARTS_H
#define SAMPLE_PARTS_H

#include <stdbool.h>

#include "trunnion/sample.h"
#include "vector.h"

/* The pair of variables that was drawn last for a block of samples; any is false at its start. */
typedef struct sample_drawn {
    bool any;
    uint32_t pair;
    double uniforms[2][BLOCK];
} sample_drawn;

/* Samples first to first + n - 1, n at most BLOCK, of an input; drawn goes with the block. */
void sample_input(const trn_input *input, trn_stream stream, uint64_t first, size_t n, sample_drawn *drawn,
                  double *into);

#endif
