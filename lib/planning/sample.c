/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/sample.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <string.h>

#include "sample_parts.h"
#include "sample_vector.h"

void trn_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t words[4])
{
    uint32_t c[4] = {counter[0], counter[1], counter[2], counter[3]};
    for (uint32_t round = 0; round < 10; round++) {
        const uint64_t p0 = UINT64_C(0xD2511F53) * c[0];
        const uint64_t p1 = UINT64_C(0xCD9E8D57) * c[2];
        c[0] = (uint32_t)(p1 >> 32) ^ c[1] ^ (key[0] + round * UINT32_C(0x9E3779B9));
        c[2] = (uint32_t)(p0 >> 32) ^ c[3] ^ (key[1] + round * UINT32_C(0xBB67AE85));
        c[1] = (uint32_t)p1;
        c[3] = (uint32_t)p0;
    }
    for (int i = 0; i < 4; i++) {
        words[i] = c[i];
    }
}

double trn_normal_quantile(double p)
{
    double z = p;
    random_normals(1, &z);
    return z;
}

double trn_input_mean(const trn_input *input)
{
    switch (input->shape) {
    case TRN_UNIFORM:
        return (input->low + input->high) / 2;
    case TRN_TRIANGULAR:
        return (input->low + input->mode + input->high) / 3;
    case TRN_NORMAL:
        break;
    }
    return input->mean;
}

double trn_input_sd(const trn_input *input)
{
    const double below = input->mode - input->low;
    const double above = input->high - input->mode;
    switch (input->shape) {
    case TRN_UNIFORM:
        return (input->high - input->low) / sqrt(12);
    case TRN_TRIANGULAR:
        return sqrt((below * below + below * above + above * above) / 18);
    case TRN_NORMAL:
        break;
    }
    return input->sd;
}

/* From quantiles to values, in place. */
static void values_of(const trn_input *input, size_t n, double *values)
{
    switch (input->shape) {
    case TRN_UNIFORM:
        random_uniform(input, n, values);
        break;
    case TRN_TRIANGULAR:
        random_triangular(input, n, values);
        break;
    case TRN_NORMAL:
        random_normals(n, values);
        random_cut(input, n, values);
        break;
    }
}

double trn_input_quantile(const trn_input *input, double p)
{
    double value = p;
    values_of(input, 1, &value);
    return value;
}

void sample_input(const trn_input *input, trn_stream stream, uint64_t first, size_t n, sample_drawn *drawn,
                  double *into)
{
    const uint32_t pair = (uint32_t)(input->variable / 2);
    if (!drawn->any || drawn->pair != pair) {
        const random_pair of = {.seed = stream.seed, .stream = stream.number, .pair = pair};
        random_uniforms(&of, first, n, drawn->uniforms[0], drawn->uniforms[1]);
        drawn->pair = pair;
        drawn->any = true;
    }
    memcpy(into, drawn->uniforms[input->variable % 2], n * sizeof *into);
    values_of(input, n, into);
}

void trn_sample_inputs(const trn_input *inputs, size_t count, trn_stream stream, uint64_t first, size_t n,
                       double *values)
{
    sample_drawn drawn;
    for (size_t from = 0; from < n; from += BLOCK) {
        const size_t some = GSL_MIN(n - from, (size_t)BLOCK);
        drawn.any = false;
        for (size_t i = 0; i < count; i++) {
            sample_input(&inputs[i], stream, first + from, some, &drawn, values + i * n + from);
        }
    }
}
