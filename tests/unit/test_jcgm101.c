/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * JCGM 101:2008 (Supplement 1 to the GUM), clause 9, through the sampling and
 * the quantiles that spread uses, and first order beside them.
 *
 * 9.2.2, 9.2.3: SEEN in a public library's tests that cite tables 2 and 3;
 * 9.2.4, 9.3 (results), 9.4: MEM, from memory, check the source; all recomputed
 * in closed form or by quadrature where noted. A value is right where it is
 * the printed one to half a unit of its last digit, and the error of so many
 * samples.
 */
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/sample.h"
#include "trunnion/tally.h"

enum { SAMPLES = 400000, CHUNK = 2048, INPUTS_MOST = 6 };

typedef double model(const double *inputs);

/* What a run of a model gives: moments, and quantiles of the settings. */
static trn_tally *run(const trn_input *inputs, size_t count, model *of, const trn_tally_settings *settings)
{
    static double values[INPUTS_MOST * CHUNK];
    double results[CHUNK];
    double one[INPUTS_MOST];
    trn_tally *tally = trn_tally_new(settings);
    assert_non_null(tally);
    for (uint64_t first = 0; first < SAMPLES; first += CHUNK) {
        const size_t n = SAMPLES - first < CHUNK ? (size_t)(SAMPLES - first) : CHUNK;
        trn_sample_inputs(inputs, count, (trn_stream){101, 0}, first, n, values);
        for (size_t k = 0; k < n; k++) {
            for (size_t i = 0; i < count; i++) {
                one[i] = values[i * n + k];
            }
            results[k] = of(one);
        }
        assert_int_equal(trn_tally_add(tally, results, n), TRN_OK);
    }
    return tally;
}

static double sum_of_four(const double *x)
{
    return x[0] + x[1] + x[2] + x[3];
}

static trn_input normal(double mean, double sd, size_t variable)
{
    return (trn_input){
        .shape = TRN_NORMAL, .mean = mean, .sd = sd, .low = -HUGE_VAL, .high = HUGE_VAL, .variable = variable};
}

static trn_input rectangle(double low, double high, size_t variable)
{
    return (trn_input){.shape = TRN_UNIFORM, .low = low, .high = high, .variable = variable};
}

/* Standard uncertainty and both ends of the probabilistically symmetric 95 % interval. */
static void assert_additive(const trn_input *inputs, double u, double end, double half_unit)
{
    static const double ends[] = {0.025, 0.975};
    trn_tally_settings settings = trn_default_tally_settings();
    settings.probabilities = ends;
    settings.count = 2;
    settings.scale = 0x1p5;
    trn_tally *tally = run(inputs, 4, sum_of_four, &settings);
    const trn_tally_moments moments = trn_tally_moments_of(tally);
    assert_near(moments.mean, 0, 4 * moments.mean_se);
    assert_near(moments.sd, u, half_unit + 4 * moments.sd_se);
    for (size_t i = 0; i < 2; i++) {
        const trn_tally_quantile quantile = trn_tally_quantile_of(tally, i);
        assert_near(quantile.value, i == 0 ? -end : end, half_unit + 4 * quantile.se);
    }
    trn_tally_free(tally);
}

/* 9.2.2, table 2: u 2.00, [-3.92, 3.92]. */
static void additive_normal(void **state)
{
    (void)state;
    const trn_input inputs[] = {normal(0, 1, 0), normal(0, 1, 1), normal(0, 1, 2), normal(0, 1, 3)};
    assert_additive(inputs, 2.00, 3.92, 0.005);
}

/* 9.2.3, table 3: rectangles of the same u: 2.00, [-3.88, 3.88]. First order gives 3.92 again. */
static void additive_rectangular(void **state)
{
    (void)state;
    const double a = sqrt(3);
    const trn_input inputs[] = {rectangle(-a, a, 0), rectangle(-a, a, 1), rectangle(-a, a, 2), rectangle(-a, a, 3)};
    assert_close(trn_input_sd(&inputs[0]), 1, 1e-15);
    assert_additive(inputs, 2.00, 3.88, 0.005);
}

/* 9.2.4: one of them with u = 10: u 10.1, [-17.0, 17.0]; first order [-19.9, 19.9]. MEM; RE 10.1489, 17.016. */
static void additive_different(void **state)
{
    (void)state;
    const double a = sqrt(3);
    const trn_input inputs[] = {rectangle(-a, a, 0), rectangle(-a, a, 1), rectangle(-a, a, 2),
                                rectangle(-10 * a, 10 * a, 3)};
    double square = 0;
    for (size_t i = 0; i < 4; i++) {
        square += trn_input_sd(&inputs[i]) * trn_input_sd(&inputs[i]);
    }
    assert_near(1.959963984540054 * sqrt(square), 19.9, 0.05);
    assert_additive(inputs, 10.1, 17.0, 0.05);
}

/* 9.3, formula 24 and table 5: calibration of a mass by air buoyancy, deviation from 100 g in mg. */
static double mass_deviation(const double *x)
{
    const double buoyancy = (x[2] - 1.2) * (1 / x[3] - 1 / x[4]);
    return (x[0] + x[1]) * (1 + buoyancy) - 100000;
}

static const trn_input mass_inputs[] = {
    {.shape = TRN_NORMAL, .mean = 100000, .sd = 0.050, .low = -HUGE_VAL, .high = HUGE_VAL, .variable = 0},
    {.shape = TRN_NORMAL, .mean = 1.234, .sd = 0.020, .low = -HUGE_VAL, .high = HUGE_VAL, .variable = 1},
    {.shape = TRN_UNIFORM, .low = 1.10, .high = 1.30, .variable = 2},
    {.shape = TRN_UNIFORM, .low = 7000, .high = 9000, .variable = 3},
    {.shape = TRN_UNIFORM, .low = 7950, .high = 8050, .variable = 4},
};

/* Table 6: 1.2341, u 0.0754, shortest [1.0834, 1.3825] (MEM; RE u 0.07548); it is symmetric: its ends are quantiles. */
static void mass_calibration(void **state)
{
    (void)state;
    static const double ends[] = {0.025, 0.975};
    trn_tally_settings settings = trn_default_tally_settings();
    settings.probabilities = ends;
    settings.count = 2;
    settings.centre = 1.234;
    trn_tally *tally = run(mass_inputs, 5, mass_deviation, &settings);
    const trn_tally_moments moments = trn_tally_moments_of(tally);
    assert_near(moments.mean, 1.2341, 0.00005 + 4 * moments.mean_se);
    assert_near(moments.sd, 0.0754, 0.00005 + 4 * moments.sd_se);
    const trn_tally_quantile low = trn_tally_quantile_of(tally, 0);
    const trn_tally_quantile high = trn_tally_quantile_of(tally, 1);
    assert_near(low.value, 1.0834, 0.00005 + 5 * low.se);
    assert_near(high.value, 1.3825, 0.00005 + 5 * high.se);
    trn_tally_free(tally);
}

/* First order in the same table: 1.2340, u 0.0539, [1.1285, 1.3395] (MEM; RE 0.05385). */
static void mass_by_first_order(void **state)
{
    (void)state;
    double means[5];
    double square = 0;
    for (size_t i = 0; i < 5; i++) {
        means[i] = trn_input_mean(&mass_inputs[i]);
    }
    for (size_t i = 0; i < 5; i++) {
        double at[5];
        memcpy(at, means, sizeof at);
        at[i] = means[i] + trn_input_sd(&mass_inputs[i]);
        const double above = mass_deviation(at);
        at[i] = means[i] - trn_input_sd(&mass_inputs[i]);
        const double half = (above - mass_deviation(at)) / 2;
        square += half * half;
    }
    assert_near(mass_deviation(means), 1.2340, 0.00005);
    assert_near(sqrt(square), 0.0539, 0.00005);
    assert_near(mass_deviation(means) - 1.959964 * sqrt(square), 1.1285, 0.0001);
    assert_near(mass_deviation(means) + 1.959964 * sqrt(square), 1.3395, 0.0001);
}

/* 9.4.2: comparison loss X1^2 + X2^2, u 0.005 both, in units of 1e-6. */
static double comparison_loss(const double *x)
{
    return 1e6 * (x[0] * x[0] + x[1] * x[1]);
}

/* The shortest 95 % interval over pairs of order statistics, the lower ones from 0 to 0.05 in steps of 0.0005. */
enum { PAIRS = 101 };

static void shortest(trn_tally *tally, double *low, double *high, double *error)
{
    double best = HUGE_VAL;
    for (size_t i = 0; i < PAIRS; i++) {
        const trn_tally_quantile from = trn_tally_quantile_of(tally, i);
        const trn_tally_quantile to = trn_tally_quantile_of(tally, PAIRS + i);
        if (to.value - from.value < best) {
            best = to.value - from.value;
            *low = from.value;
            *high = to.value;
            *error = fmax(from.se, to.se);
        }
    }
}

typedef struct loss {
    double x1;
    double mean;
    double u;
    double low;
    double high;
    double unit;   /* half of the last printed digit's */
    double length; /* in closed form */
} loss;

/* MEM; RE 50/50/[0, 149.8]; 150/111.8/[0, 366.0]; 2550/502.5/[1591.7, 3546.7]. The printed third interval is that of a
   finite sample, so that only its length is held to the closed form. */
static void comparison_losses(void **state)
{
    (void)state;
    static const loss losses[] = {
        {0, 50, 50, 0, 150, 0.5, 149.8},
        {0.010, 150, 112, 0, 367, 1.0, 366.0},
        {0.050, 2551, 502, 1590, 3543, 1.0, 1955.0}};
    static double pairs[2 * PAIRS];
    for (size_t i = 0; i < PAIRS; i++) {
        pairs[i] = 0.0005 * (double)i;
        pairs[PAIRS + i] = fmin(0.95 + pairs[i], 1);
    }
    for (size_t i = 0; i < 3; i++) {
        const loss *of = &losses[i];
        const trn_input inputs[] = {normal(of->x1, 0.005, 0), normal(0, 0.005, 1)};
        trn_tally_settings settings = trn_default_tally_settings();
        settings.probabilities = pairs;
        settings.count = 2 * PAIRS;
        settings.scale = 0x1p12;
        trn_tally *tally = run(inputs, 2, comparison_loss, &settings);
        const trn_tally_moments moments = trn_tally_moments_of(tally);
        double low = 0;
        double high = 0;
        double error = 0;
        shortest(tally, &low, &high, &error);
        assert_near(moments.mean, of->mean, of->unit + 4 * moments.mean_se);
        assert_near(moments.sd, of->u, of->unit + 4 * moments.sd_se);
        assert_near(low, of->low, of->unit + 12 * error);
        assert_near(high, of->high, of->unit + 12 * error);
        assert_near(high - low, of->length, of->unit + 6 * error);
        trn_tally_free(tally);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(additive_normal),     cmocka_unit_test(additive_rectangular),
        cmocka_unit_test(additive_different),  cmocka_unit_test(mass_calibration),
        cmocka_unit_test(mass_by_first_order), cmocka_unit_test(comparison_losses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
