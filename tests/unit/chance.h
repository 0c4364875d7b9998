/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file chance.h
 * Numbers that look random and are the same everywhere.
 */
#ifndef TRN_TEST_CHANCE_H
#define TRN_TEST_CHANCE_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

/** From 0 to under 1 (Steele, Lea and Flood 2014). */
static inline double even(uint64_t *state)
{
    uint64_t z = (*state += 0x9E3779B97F4A7C15U);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

static inline double between(uint64_t *state, double low, double high)
{
    return low + (high - low) * even(state);
}

/** Even over the decades between low and high, both over 0. */
static inline double over_decades(uint64_t *state, double low, double high)
{
    return low * pow(high / low, even(state));
}

static inline bool chance(uint64_t *state, double share)
{
    return even(state) < share;
}

static inline int whole_between(uint64_t *state, int low, int high)
{
    return low + (int)((high - low + 1) * even(state));
}

#endif
