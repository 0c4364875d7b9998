/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "tally_parts.h"
#include "vector.h"

/* One byte a value: whether it lies in any of the brackets. Those below each bracket are counted. */
WIDE static void flag(const double *restrict values, size_t count, tally_found *found, uint8_t *restrict flags)
{
    const double low_0 = found[0].low;
    const double low_1 = found[1].low;
    const double low_2 = found[2].low;
    const double high_0 = found[0].high;
    const double high_1 = found[1].high;
    const double high_2 = found[2].high;
    uint64_t below_0 = 0;
    uint64_t below_1 = 0;
    uint64_t below_2 = 0;
    for (size_t i = 0; i < count; i++) {
        const double value = values[i];
        below_0 += value < low_0;
        below_1 += value < low_1;
        below_2 += value < low_2;
    }
    for (size_t i = 0; i < count; i++) {
        const double value = values[i];
        const bool in_0 = (value >= low_0) & (value <= high_0);
        const bool in_1 = (value >= low_1) & (value <= high_1);
        const bool in_2 = (value >= low_2) & (value <= high_2);
        flags[i] = in_0 | in_1 | in_2;
    }
    found[0].below += below_0;
    found[1].below += below_1;
    found[2].below += below_2;
}

static void keep(double value, tally_found *found)
{
    for (size_t i = 0; i < TALLY_TOGETHER; i++) {
        if (value >= found[i].low && value <= found[i].high) {
            found[i].kept[found[i].count++] = value;
        }
    }
}

/* Few values lie in a bracket: flags are looked at eight together, and one by one only where one is up. */
void tally_sift(const double *values, size_t count, tally_found found[TALLY_TOGETHER])
{
    enum { EIGHT = sizeof(uint64_t) };
    uint8_t flags[TALLY_SIFTED + EIGHT];
    flag(values, count, found, flags);
    memset(flags + count, 0, EIGHT);
    for (size_t i = 0; i < count; i += EIGHT) {
        uint64_t eight;
        memcpy(&eight, flags + i, sizeof eight);
        for (size_t k = 0; eight != 0 && k < EIGHT; k++) {
            if (flags[i + k] != 0) {
                keep(values[i + k], found);
            }
        }
    }
}

WIDE void tally_place(const double *restrict values, size_t count, double low, double high, size_t *below,
                      size_t *inside)
{
    uint64_t under = 0;
    uint64_t within = 0;
    for (size_t i = 0; i < count; i++) {
        under += values[i] < low;
        within += (uint64_t)(values[i] >= low) & (uint64_t)(values[i] <= high);
    }
    *below = (size_t)under;
    *inside = (size_t)within;
}

WIDE void tally_powers(const double *values, size_t count, double centre, double scale, double sums[TALLY_POWERS])
{
    const double per_scale = 1 / scale;
    const size_t whole = count - count % LANES;
    double first[LANES] = {0};
    double second[LANES] = {0};
    double fourth[LANES] = {0};
    for (size_t i = 0; i < whole; i += LANES) {
        for (size_t k = 0; k < LANES; k++) {
            const double x = (values[i + k] - centre) * per_scale;
            const double square = x * x;
            first[k] += x;
            second[k] += square;
            fourth[k] += square * square;
        }
    }
    for (size_t i = whole; i < count; i++) {
        const double x = (values[i] - centre) * per_scale;
        first[i - whole] += x;
        second[i - whole] += x * x;
        fourth[i - whole] += (x * x) * (x * x);
    }
    for (size_t step = LANES / 2; step > 0; step /= 2) {
        for (size_t k = 0; k < step; k++) {
            first[k] += first[k + step];
            second[k] += second[k + step];
            fourth[k] += fourth[k + step];
        }
    }
    sums[0] = first[0];
    sums[1] = second[0];
    sums[2] = fourth[0];
}
