/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sobol's indices of two functions that have them in closed form. */
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/sample.h"
#include "trunnion/sobol.h"

#define PI 3.14159265358979323846

enum { EACH = 4096, INPUTS = 4, SAMPLES = TRN_SOBOL_BATCHES * EACH };

typedef double function(const double x[INPUTS]);

/* Ishigami and Homma, An importance quantification technique in uncertainty analysis for computer models (1990). */
static double ishigami(const double x[INPUTS])
{
    const double sine = sin(x[1]);
    return sin(x[0]) + 7 * sine * sine + 0.1 * pow(x[2], 4) * sin(x[0]);
}

/* Sobol's g-function: product of (|4 x - 2| + a)/(1 + a); Saltelli and Sobol, Mat. Modelir. 7 (1995). */
static const double g_weights[INPUTS] = {0, 1, 4.5, 99};

static double g_function(const double x[INPUTS])
{
    double product = 1;
    for (size_t i = 0; i < INPUTS; i++) {
        product *= (fabs(4 * x[i] - 2) + g_weights[i]) / (1 + g_weights[i]);
    }
    return product;
}

static double mean_of(const double *f)
{
    double sum = 0;
    for (size_t k = 0; k < SAMPLES; k++) {
        sum += f[k];
    }
    return sum / SAMPLES;
}

static void evaluate(function *of, double *const columns[INPUTS], double *f, double mean)
{
    for (size_t k = 0; k < SAMPLES; k++) {
        double x[INPUTS];
        for (size_t i = 0; i < INPUTS; i++) {
            x[i] = columns[i][k];
        }
        f[k] = of(x) - mean;
    }
}

/* The indices of all inputs, from the arrays of both samples. */
static void indices(function *of, double low, double high, trn_sobol_index found[INPUTS])
{
    trn_input inputs[INPUTS];
    double *memory = malloc((2 * INPUTS + 3) * (size_t)SAMPLES * sizeof *memory);
    double *a[INPUTS];
    double *b[INPUTS];
    assert_non_null(memory);
    for (size_t i = 0; i < INPUTS; i++) {
        inputs[i] = (trn_input){.shape = TRN_UNIFORM, .low = low, .high = high, .variable = i};
        a[i] = memory + i * SAMPLES;
        b[i] = memory + (INPUTS + i) * SAMPLES;
    }
    trn_sample_inputs(inputs, INPUTS, (trn_stream){1, 1}, 0, SAMPLES, a[0]);
    trn_sample_inputs(inputs, INPUTS, (trn_stream){1, 2}, 0, SAMPLES, b[0]);
    double *f_a = memory + 2 * INPUTS * (size_t)SAMPLES;
    double *f_b = f_a + SAMPLES;
    double *f_mixed = f_b + SAMPLES;
    evaluate(of, a, f_a, 0);
    const double mean = mean_of(f_a);
    evaluate(of, a, f_a, mean);
    evaluate(of, b, f_b, mean);
    double variance = 0;
    for (size_t k = 0; k < SAMPLES; k++) {
        variance += (f_a[k] * f_a[k] + f_b[k] * f_b[k]) / (2.0 * SAMPLES);
    }
    for (size_t i = 0; i < INPUTS; i++) {
        double *of_a = a[i];
        trn_sobol_sums sums = {{0}, {0}};
        a[i] = b[i];
        evaluate(of, a, f_mixed, mean);
        a[i] = of_a;
        for (size_t batch = 0; batch < TRN_SOBOL_BATCHES; batch++) {
            const size_t from = batch * EACH;
            trn_sobol_add(&sums, batch, f_a + from, f_b + from, f_mixed + from, EACH);
        }
        found[i] = trn_sobol_index_of(&sums, EACH, variance);
    }
    free(memory);
}

static void assert_indices(const trn_sobol_index *found, const double *first, const double *total)
{
    for (size_t i = 0; i < INPUTS; i++) {
        assert_near(found[i].first, first[i], 4 * found[i].first_se + 1e-9);
        assert_near(found[i].total, total[i], 4 * found[i].total_se + 1e-9);
        assert_true(found[i].first_se < 0.02 && found[i].total_se < 0.02);
        assert_true(first[i] < 1e-4 || found[i].first_se > 1e-5);
    }
}

/* V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8, V13 = b^2 pi^8 (1/18 - 1/50). The fourth input does nothing. */
static void ishigami_indices(void **state)
{
    (void)state;
    trn_sobol_index found[INPUTS];
    const double v1 = pow(1 + 0.1 * pow(PI, 4) / 5, 2) / 2;
    const double v2 = 49.0 / 8;
    const double v13 = 0.01 * pow(PI, 8) * (1.0 / 18 - 1.0 / 50);
    const double v = v1 + v2 + v13;
    assert_near(v1 / v, 0.3139, 0.00005);
    assert_near(v2 / v, 0.4424, 0.00005);
    indices(ishigami, -PI, PI, found);
    assert_indices(found, (const double[]){v1 / v, v2 / v, 0, 0},
                   (const double[]){(v1 + v13) / v, v2 / v, v13 / v, 0});
    assert_same_bits(found[3].total, 0);
}

/* Vi = 1/(3 (1 + ai)^2), V = prod (1 + Vi) - 1, total Vi prod_{j != i} (1 + Vj). */
static void g_function_indices(void **state)
{
    (void)state;
    trn_sobol_index found[INPUTS];
    double first[INPUTS];
    double total[INPUTS];
    double product = 1;
    for (size_t i = 0; i < INPUTS; i++) {
        first[i] = 1 / (3 * pow(1 + g_weights[i], 2));
        product *= 1 + first[i];
    }
    for (size_t i = 0; i < INPUTS; i++) {
        total[i] = first[i] * product / (1 + first[i]) / (product - 1);
        first[i] /= product - 1;
    }
    indices(g_function, 0, 1, found);
    assert_indices(found, first, total);
}

static void nothing_varies(void **state)
{
    (void)state;
    const trn_sobol_sums sums = {{0}, {0}};
    const trn_sobol_index index = trn_sobol_index_of(&sums, EACH, 0);
    assert_same_bits(index.first, 0);
    assert_same_bits(index.total_se, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ishigami_indices),
        cmocka_unit_test(g_function_indices),
        cmocka_unit_test(nothing_varies),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
