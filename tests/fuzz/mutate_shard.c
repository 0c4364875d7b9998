/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mutations that know what a part of the samples is made of: whole numbers and doubles of 8 bytes behind 1 + 16. */
#include <math.h>
#include <string.h>

#include "target.h"

#define FRONT ((size_t)1 + 16)

static uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

static uint64_t odd_number(uint64_t old, uint64_t dice)
{
    const uint64_t odd[] = {0,
                            1,
                            2,
                            3,
                            5,
                            11,
                            12,
                            13,
                            old + 1,
                            old - 1,
                            ~old,
                            UINT32_MAX,
                            UINT64_C(1) << 32,
                            UINT64_C(1) << 63,
                            UINT64_MAX,
                            bits_of((double)NAN),
                            bits_of(-(double)NAN),
                            bits_of(HUGE_VAL),
                            bits_of(-HUGE_VAL),
                            bits_of(-0.0),
                            bits_of(1e308),
                            bits_of(-1e308),
                            bits_of(4e5)};
    return odd[dice % (sizeof odd / sizeof *odd)];
}

static uint64_t get(const uint8_t *at)
{
    uint64_t number = 0;
    for (int i = 0; i < 8; i++) {
        number |= (uint64_t)at[i] << (8 * i);
    }
    return number;
}

static void put(uint8_t *at, uint64_t number)
{
    for (int i = 0; i < 8; i++) {
        at[i] = (uint8_t)(number >> (8 * i));
    }
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed)
{
    const uint64_t dice = (seed * UINT64_C(2654435761) + 1) * UINT64_C(0x2545F4914F6CDD1D) >> 20;
    const size_t words = size > FRONT ? (size - FRONT) / 8 : 0;
    if (words < 2 || dice % 4 == 0) {
        return LLVMFuzzerMutate(data, size, max_size);
    }
    data[0] = dice % 32 == 1 ? data[0] : 3;
    uint8_t *word = data + FRONT + 8 * ((dice >> 8) % words);
    const uint8_t *other = data + FRONT + 8 * ((dice >> 24) % words);
    put(word, dice % 4 == 1 ? get(other) : odd_number(get(word), dice >> 3));
    return size;
}
