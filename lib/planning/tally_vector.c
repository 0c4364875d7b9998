/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tally_parts.h"
#include "vector.h"

/* Few values lie in a bracket: LANES of them are looked at together, and one by one only where one does. */
WIDE void tally_sift(const double *values, size_t count, tally_found *found)
{
    const double low = found->low;
    const double high = found->high;
    const size_t whole = count - count % LANES;
    uint64_t below[LANES] = {0};
    size_t kept = found->count;
    for (size_t i = 0; i < whole; i += LANES) {
        const double *some = values + i;
        uint64_t inside = 0;
        for (size_t k = 0; k < LANES; k++) {
            below[k] += some[k] < low;
        }
        for (size_t k = 0; k < LANES; k++) {
            inside |= (uint64_t)(some[k] >= low) & (uint64_t)(some[k] <= high);
        }
        for (size_t k = 0; k < LANES && inside != 0; k++) {
            found->kept[kept] = some[k];
            kept += some[k] >= low && some[k] <= high;
        }
    }
    for (size_t i = whole; i < count; i++) {
        found->below += values[i] < low;
        if (values[i] >= low && values[i] <= high) {
            found->kept[kept++] = values[i];
        }
    }
    for (size_t k = 0; k < LANES; k++) {
        found->below += below[k];
    }
    found->count = kept;
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
