/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit as such; published sets are held against it in tests/published. */
#include <gsl/gsl_errno.h>
#include <pthread.h>

#include "measuring.h"

enum { VALUES = 60, COLUMNS = 3 };

typedef struct sample {
    double design[VALUES * COLUMNS];
    double values[VALUES];
    trn_fit_problem problem;
} sample;

static void make_sample(sample *made, uint64_t seed, double outliers)
{
    uint64_t state = seed;
    for (size_t i = 0; i < VALUES; i++) {
        const double x = (double)i / VALUES;
        double *row = &made->design[COLUMNS * i];
        row[0] = 1;
        row[1] = x;
        row[2] = 1e5 * x * x * (1 + 0.1 * even(&state));
        made->values[i] = 3 - 2 * x + 4e-5 * row[2] + 0.1 * normal(&state) + (i % 9 == 4 ? outliers : 0);
    }
    made->problem = (trn_fit_problem){
        .design = made->design, .values = made->values, .value_count = VALUES, .coefficient_count = COLUMNS};
}

static double residual(const sample *of, const trn_fit *fit, size_t i)
{
    double left = of->values[i];
    for (size_t k = 0; k < COLUMNS; k++)
        left -= fit->coefficients[k] * of->design[COLUMNS * i + k];
    return left;
}

/* At the solution the weighted residuals are at right angles to every column. */
static void assert_normal_equations(const sample *of, const trn_fit *fit, const double *weights, double within)
{
    for (size_t k = 0; k < COLUMNS; k++) {
        double dot = 0;
        double size = 0;
        for (size_t i = 0; i < VALUES; i++) {
            const double term = of->design[COLUMNS * i + k] * weights[i] * residual(of, fit, i);
            dot += term;
            size += fabs(term);
        }
        assert_near(dot, 0, within * size);
    }
}

static void ordinary_fit(void **state)
{
    (void)state;
    static sample of;
    trn_fit fit;
    double weights[VALUES];
    make_sample(&of, 1, 5);
    assert_int_equal(trn_fit_linear(&of.problem, &fit, weights, NULL), TRN_OK);
    assert_normal_equations(&of, &fit, weights, 1e-12);
    assert_int_equal(fit.weightless, 0);
    double squares = 0;
    for (size_t i = 0; i < VALUES; i++) {
        assert_same_bits(weights[i], 1);
        squares += residual(&of, &fit, i) * residual(&of, &fit, i);
    }
    assert_close(fit.sum_squares, squares, 1e-12);
    assert_close(fit.residual_sd, sqrt(squares / (VALUES - COLUMNS)), 1e-12);
}

/* A weight of 2 is the same as the value given twice, but for how many there are; one of 0 as if it were not. */
static void weights_count_values(void **state)
{
    (void)state;
    static sample of;
    static sample fewer;
    double weights[VALUES];
    trn_fit weighted;
    trn_fit plain;
    make_sample(&of, 2, 0);
    make_sample(&fewer, 2, 0);
    for (size_t i = 0; i < VALUES; i++)
        weights[i] = i < VALUES - 5 ? 7 : 0;
    of.problem.weights = weights;
    fewer.problem.value_count = VALUES - 5;
    assert_int_equal(trn_fit_linear(&of.problem, &weighted, NULL, NULL), TRN_OK);
    assert_int_equal(trn_fit_linear(&fewer.problem, &plain, NULL, NULL), TRN_OK);
    assert_int_equal(weighted.weightless, 5);
    for (size_t k = 0; k < COLUMNS; k++) {
        assert_close(weighted.coefficients[k], plain.coefficients[k], 1e-10);
        assert_close(weighted.covariance[k][k], plain.covariance[k][k], 1e-10);
    }
    assert_close(weighted.residual_sd, plain.residual_sd * sqrt(7), 1e-10);
}

/* Leverage of a value: its own row through the inverse of X'X, here from the covariance of an ordinary fit. */
static double leverage(const sample *of, const trn_fit *ordinary, size_t i)
{
    double sum = 0;
    for (size_t k = 0; k < COLUMNS; k++)
        for (size_t j = 0; j < COLUMNS; j++)
            sum += of->design[COLUMNS * i + k] * ordinary->covariance[k][j] * of->design[COLUMNS * i + j];
    return sum / (ordinary->residual_sd * ordinary->residual_sd);
}

static int ascending(const void *a, const void *b)
{
    const double left = *(const double *)a;
    const double right = *(const double *)b;
    return (left > right) - (left < right);
}

/* The weights, worked out anew from the residuals, are those that the solution was found with. */
static void robust_fit_is_at_rest(void **state)
{
    (void)state;
    static sample of;
    make_sample(&of, 3, 4);
    trn_fit ordinary;
    trn_fit robust;
    double weights[VALUES];
    double scaled[VALUES];
    double sizes[VALUES];
    assert_int_equal(trn_fit_linear(&of.problem, &ordinary, NULL, NULL), TRN_OK);
    of.problem.robust = true;
    assert_int_equal(trn_fit_linear(&of.problem, &robust, weights, NULL), TRN_OK);
    for (size_t i = 0; i < VALUES; i++) {
        scaled[i] = residual(&of, &robust, i) / sqrt(1 - leverage(&of, &ordinary, i));
        sizes[i] = fabs(scaled[i]);
    }
    /* The median of all but the smallest p, over that of a normal deviate. */
    qsort(sizes, VALUES, sizeof sizes[0], ascending);
    const size_t first = COLUMNS - 1;
    const size_t kept = VALUES - first;
    const double median =
        kept % 2 ? sizes[first + kept / 2] : (sizes[first + kept / 2 - 1] + sizes[first + kept / 2]) / 2;
    const double sigma = median / 0.6745;
    for (size_t i = 0; i < VALUES; i++) {
        const double u = scaled[i] / (4.685 * sigma);
        assert_near(weights[i], fabs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0, 1e-4);
    }
    assert_normal_equations(&of, &robust, weights, 1e-6);
    double squares = 0;
    for (size_t i = 0; i < VALUES; i++)
        squares += weights[i] * residual(&of, &robust, i) * residual(&of, &robust, i);
    assert_close(robust.sum_squares, squares, 1e-12);
    assert_int_equal(robust.weightless, 7);
    assert_near(robust.coefficients[0], 3, 4 * sqrt(robust.covariance[0][0]));
    assert_near(robust.residual_sd, 0.1, 0.03);
}

static void columns_that_depend_on_each_other(void **state)
{
    (void)state;
    static sample of;
    trn_fit fit = {.residual_sd = 7};
    trn_error error;
    make_sample(&of, 4, 0);
    for (size_t i = 0; i < VALUES; i++)
        of.design[COLUMNS * i + 2] = 3 - of.design[COLUMNS * i + 1];
    for (int robust = 0; robust < 2; robust++) {
        of.problem.robust = robust == 1;
        assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
        assert_non_null(strstr(error.text, "cannot be told apart"));
        assert_same_bits(fit.residual_sd, 7);
    }
}

static void a_design_that_is_no_number(void **state)
{
    (void)state;
    static sample of;
    trn_fit fit = {.residual_sd = 7};
    trn_error error;
    make_sample(&of, 4, 0);
    of.design[7] = (double)NAN;
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "cannot be told apart"));
    assert_same_bits(fit.residual_sd, 7);
}

static void problems_that_are_none(void **state)
{
    (void)state;
    static sample of;
    trn_fit fit;
    trn_error error;
    double weights[VALUES] = {1, 1, 1};
    make_sample(&of, 5, 0);
    of.problem.value_count = COLUMNS;
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "3 values are too few for 3 coefficients"));
    of.problem.value_count = VALUES;
    of.problem.weights = weights; /* three of weight for three coefficients */
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
    of.problem.robust = true;
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
    of.problem.weights = NULL;
    of.problem.coefficient_count = 0;
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
    of.problem.coefficient_count = TRN_FIT_COEFFICIENTS_MAX + 1;
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, &error), TRN_OUT_OF_DOMAIN);
}

static int handled;

static void count_handled(const char *reason, const char *file, int line, int number)
{
    (void)reason;
    (void)file;
    (void)line;
    (void)number;
    handled++;
}

static void error_handler_is_put_back(void **state)
{
    (void)state;
    static sample of;
    trn_fit fit;
    make_sample(&of, 6, 0);
    for (size_t i = 0; i < VALUES; i++)
        of.design[COLUMNS * i + 2] = 0;
    gsl_error_handler_t *before = gsl_set_error_handler(count_handled);
    assert_int_equal(trn_fit_linear(&of.problem, &fit, NULL, NULL), TRN_OUT_OF_DOMAIN);
    assert_ptr_equal(gsl_set_error_handler(before), count_handled);
    assert_int_equal(handled, 0);
}

static void *fit_often(void *of)
{
    sample own = *(const sample *)of;
    trn_fit *fit = malloc(sizeof *fit);
    own.problem.design = own.design;
    own.problem.values = own.values;
    for (int i = 0; i < 50; i++)
        if (trn_fit_linear(&own.problem, fit, NULL, NULL) != TRN_OK)
            fit->residual_sd = (double)NAN;
    return fit;
}

/* From several threads the same bits come back, and the handler stays what it was. */
static void threads_agree(void **state)
{
    (void)state;
    static sample of;
    trn_fit alone;
    pthread_t threads[4];
    make_sample(&of, 7, 3);
    of.problem.robust = true;
    assert_int_equal(trn_fit_linear(&of.problem, &alone, NULL, NULL), TRN_OK);
    gsl_error_handler_t *before = gsl_set_error_handler(count_handled);
    for (int i = 0; i < 4; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, fit_often, &of), 0);
    for (int i = 0; i < 4; i++) {
        void *got = NULL;
        assert_int_equal(pthread_join(threads[i], &got), 0);
        for (size_t k = 0; k < COLUMNS; k++)
            assert_same_bits(((trn_fit *)got)->coefficients[k], alone.coefficients[k]);
        assert_same_bits(((trn_fit *)got)->residual_sd, alone.residual_sd);
        free(got);
    }
    assert_ptr_equal(gsl_set_error_handler(before), count_handled);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ordinary_fit),           cmocka_unit_test(weights_count_values),
        cmocka_unit_test(robust_fit_is_at_rest),  cmocka_unit_test(columns_that_depend_on_each_other),
        cmocka_unit_test(a_design_that_is_no_number),
        cmocka_unit_test(problems_that_are_none), cmocka_unit_test(error_handler_is_put_back),
        cmocka_unit_test(threads_agree),
    };
    return cmocka_run_group_tests_name("fit", tests, NULL, NULL);
}
