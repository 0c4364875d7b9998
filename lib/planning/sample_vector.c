/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sample_vector.h"

#include <math.h>
#include <string.h>

#include "vector.h"

/* Philox 4x32: multipliers, and the Weyl sequence of the key. */
#define MULTIPLIER_0 UINT64_C(0xD2511F53)
#define MULTIPLIER_1 UINT64_C(0xCD9E8D57)
#define WEYL_0 UINT32_C(0x9E3779B9)
#define WEYL_1 UINT32_C(0xBB67AE85)
enum { ROUNDS = 10 };

#define LOW_WORD UINT64_C(0xFFFFFFFF)

static inline double double_of(uint64_t bits)
{
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static inline uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

/* The middle of one of 2^52 intervals from 0 to 1, by the upper bits of two words. */
static inline double uniform_of(uint64_t low, uint64_t high)
{
    const uint64_t fraction = (high << 32 | low) >> 12;
    return double_of(fraction | UINT64_C(0x3FF0000000000000)) - (1 - 0x1p-53);
}

WIDE void random_uniforms(const random_pair *of, uint64_t first, size_t n, double *restrict even, double *restrict odd)
{
    const uint32_t seed_low = (uint32_t)of->seed;
    const uint32_t seed_high = (uint32_t)(of->seed >> 32);
    const uint64_t pair = of->pair;
    const uint64_t stream = of->stream;
    for (size_t i = 0; i < n; i++) {
        const uint64_t sample = first + i;
        uint64_t c0 = sample & LOW_WORD;
        uint64_t c1 = sample >> 32;
        uint64_t c2 = pair;
        uint64_t c3 = stream;
        uint32_t k0 = seed_low;
        uint32_t k1 = seed_high;
        for (int round = 0; round < ROUNDS; round++) {
            const uint64_t p0 = (c0 & LOW_WORD) * MULTIPLIER_0;
            const uint64_t p1 = (c2 & LOW_WORD) * MULTIPLIER_1;
            c0 = (p1 >> 32) ^ c1 ^ k0;
            c2 = (p0 >> 32) ^ c3 ^ k1;
            c1 = p1 & LOW_WORD;
            c3 = p0 & LOW_WORD;
            k0 += WEYL_0;
            k1 += WEYL_1;
        }
        even[i] = uniform_of(c0, c1);
        odd[i] = uniform_of(c2, c3);
    }
}

/* Coefficients from the constant up; both least in their largest relative miss, by interpolation at Chebyshev's points.
 */
#define CENTRAL_MIDDLE 3.125
static const double central[] = {
    2.33862071002659677e+00,  3.39634958701410083e-01,  -8.53289917720528694e-03, -1.04751157118073541e-03,
    2.64082049057884664e-04,  -1.96328497248790125e-05, -1.93106410282490976e-06, 5.98886805269821063e-07,
    -4.11125195149532447e-08, -5.81491636053901067e-09, 1.48700386216518616e-09,  -7.69290895842492443e-11,
    -1.84462098708285915e-11, 3.78438265243783656e-12,  -9.98445944917345773e-14, -6.39074186495253251e-14,
    7.91463928621964334e-15,  4.64256404068506763e-16,  -1.10791046150136181e-16,
};
enum { CENTRAL = sizeof central / sizeof *central };

#define TAIL_MIDDLE 4.225
static const double tail[] = {
    5.75157038511945551e+00,  1.42827294737286103e+00,  1.07359723446892293e-03,  -8.90277588774982627e-04,
    3.11750601843252496e-04,  -9.59628233113281440e-05, 3.37584796048452632e-05,  -1.61699210883165136e-05,
    9.29481401591042410e-06,  -5.09453199146060105e-06, 2.31482610642584739e-06,  -7.65264108463107784e-07,
    1.15422733992053377e-07,  5.19114303565369253e-08,  -4.83576013867610378e-08, 2.07483111179801005e-08,
    -5.02582992338820030e-09, -4.79205336105423847e-10, 1.05846642016181549e-09,  -3.58400122276500245e-10,
    -2.61450896299382010e-12, 2.68539780600542773e-11,  -4.44811361614170645e-12,
};
enum { TAIL = sizeof tail / sizeof *tail };

/* Where the one polynomial ends and the other begins. */
#define CENTRAL_END 6.25

/* -ln y of 0 < y <= 1: y = 2^e m with m from 1/sqrt 2 to sqrt 2, ln m = 2 atanh((m - 1)/(m + 1)). */
static inline double minus_log(double y)
{
    const uint64_t root_half = UINT64_C(0x3FE6A09E667F3BCD);
    const uint64_t bias = UINT64_C(0x3FF0000000000000);
    const uint64_t bits = bits_of(y);
    const uint64_t biased = (bits + (bias - root_half)) >> 52;
    /* A small whole number turned into a double by the bits of 2^52. */
    const double exponent = double_of(biased | UINT64_C(0x4330000000000000)) - (0x1p52 + 1023);
    const double m = double_of(bits + bias - (biased << 52));
    const double f = (m - 1) / (m + 1);
    const double s = f * f;
    double series = 1.0 / 21;
    series = series * s + 1.0 / 19;
    series = series * s + 1.0 / 17;
    series = series * s + 1.0 / 15;
    series = series * s + 1.0 / 13;
    series = series * s + 1.0 / 11;
    series = series * s + 1.0 / 9;
    series = series * s + 1.0 / 7;
    series = series * s + 1.0 / 5;
    series = series * s + 1.0 / 3;
    const double ln_m = 2 * f + 2 * f * s * series;
    return -(exponent * 0.69314718055994530942 + ln_m);
}

static double tail_normal(double u, double w)
{
    const double t = sqrt(w) - TAIL_MIDDLE;
    double value = tail[TAIL - 1];
    for (int k = TAIL - 2; k >= 0; k--) {
        value = value * t + tail[k];
    }
    return (2 * u - 1) * value;
}

/* One in a thousand lies in the tails: they are looked for after the others are done. */
WIDE void random_normals(size_t n, double *restrict values)
{
    double u[BLOCK];
    double w[BLOCK];
    for (size_t from = 0; from < n; from += BLOCK) {
        const size_t count = n - from < BLOCK ? n - from : BLOCK;
        double *z = values + from;
        memcpy(u, z, count * sizeof *u);
        for (size_t i = 0; i < count; i++) {
            w[i] = minus_log(4 * (u[i] * (1 - u[i])));
        }
        for (size_t i = 0; i < count; i++) {
            const double t = w[i] - CENTRAL_MIDDLE;
            double value = central[CENTRAL - 1];
            for (int k = CENTRAL - 2; k >= 0; k--) {
                value = value * t + central[k];
            }
            z[i] = (2 * u[i] - 1) * value;
        }
        for (size_t i = 0; i < count; i++) {
            if (w[i] > CENTRAL_END) {
                z[i] = tail_normal(u[i], w[i]);
            }
        }
    }
}

WIDE void random_cut(const trn_input *input, size_t n, double *restrict values)
{
    const trn_input of = *input;
    for (size_t i = 0; i < n; i++) {
        const double value = of.mean + of.sd * values[i];
        const double raised = value < of.low ? of.low : value;
        values[i] = raised > of.high ? of.high : raised;
    }
}

WIDE void random_uniform(const trn_input *input, size_t n, double *restrict values)
{
    const double low = input->low;
    const double width = input->high - input->low;
    for (size_t i = 0; i < n; i++) {
        values[i] = low + width * values[i];
    }
}

WIDE void random_triangular(const trn_input *input, size_t n, double *restrict values)
{
    const double low = input->low;
    const double high = input->high;
    const double width = high - low;
    const double below = (input->mode - low) * width;
    const double above = (high - input->mode) * width;
    const double at_peak = (input->mode - low) / width;
    for (size_t i = 0; i < n; i++) {
        const double u = values[i];
        const double rising = low + sqrt(u * below);
        const double falling = high - sqrt((1 - u) * above);
        values[i] = u < at_peak ? rising : falling;
    }
}
