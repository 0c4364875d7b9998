/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/sobol.h"

#include <math.h>

void trn_sobol_add(trn_sobol_sums *sums, size_t batch, const double *f_a, const double *f_b, const double *f_mixed,
                   size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const double step = f_mixed[i] - f_a[i];
        sums->first[batch] += f_b[i] * step;
        sums->total[batch] += step * step / 2;
    }
}

/* The mean of the batches, and its standard error. */
static double mean_of(const double sums[TRN_SOBOL_BATCHES], double unit, double *se)
{
    double mean = 0;
    double squares = 0;
    for (size_t i = 0; i < TRN_SOBOL_BATCHES; i++) {
        mean += sums[i] / unit / TRN_SOBOL_BATCHES;
    }
    for (size_t i = 0; i < TRN_SOBOL_BATCHES; i++) {
        squares += (sums[i] / unit - mean) * (sums[i] / unit - mean);
    }
    *se = sqrt(squares / (TRN_SOBOL_BATCHES * (TRN_SOBOL_BATCHES - 1.0)));
    return mean;
}

trn_sobol_index trn_sobol_index_of(const trn_sobol_sums *sums, size_t each, double variance)
{
    trn_sobol_index index = {0, 0, 0, 0};
    if (variance > 0) {
        index.first = mean_of(sums->first, (double)each * variance, &index.first_se);
        index.total = mean_of(sums->total, (double)each * variance, &index.total_se);
    }
    return index;
}
