/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file leaf_count.h
 * How many random leaves a test runs: RUN_LEAVES in the environment, for slow builds.
 */
#ifndef TRN_TEST_LEAF_COUNT_H
#define TRN_TEST_LEAF_COUNT_H

#include <stdint.h>
#include <stdlib.h>

static inline uint64_t leaf_count(uint64_t usual)
{
    const char *text = getenv("RUN_LEAVES");
    return text != NULL ? strtoull(text, NULL, 10) : usual;
}

#endif
