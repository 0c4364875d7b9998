/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tallies: quantiles are those of sorting, to the bit; sums do not depend on who added them. */
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/sample.h"
#include "trunnion/tally.h"

enum { VALUES = 60000, BLOCK_VALUES = 512 };

static double values[VALUES];
static double sorted[VALUES];

static const double probabilities[] = {0, 0.001, 0.05, 0.3, 0.5, 0.95, 0.9999, 1};
enum { PROBABILITIES = sizeof probabilities / sizeof *probabilities };

/* Kinds of values: smooth, with long tails, in few steps, all alike, and in order, which narrows no bracket well. */
enum { SMOOTH, LONG, STEPS, ALIKE, RISING, FALLING, KINDS };

static void make_values(int kind)
{
    const trn_input input = {
        .shape = TRN_NORMAL, .mean = 1e6, .sd = 2e4, .low = -HUGE_VAL, .high = HUGE_VAL, .variable = 0};
    trn_sample_inputs(&input, 1, (trn_stream){3, 0}, 0, VALUES, values);
    for (size_t i = 0; i < VALUES; i++) {
        const double z = (values[i] - 1e6) / 2e4;
        const double order = (double)i / VALUES;
        values[i] = kind == LONG      ? exp(3 * z)
                    : kind == STEPS   ? floor(3 * z)
                    : kind == ALIKE   ? 7
                    : kind == RISING  ? order
                    : kind == FALLING ? -order
                                      : values[i];
    }
    memcpy(sorted, values, sizeof sorted);
    gsl_sort(sorted, 1, VALUES);
}

static trn_tally *new_tally(uint64_t expected)
{
    trn_tally_settings settings = trn_default_tally_settings();
    settings.probabilities = probabilities;
    settings.count = PROBABILITIES;
    settings.expected = expected;
    settings.scale = 0x1p20;
    trn_tally *tally = trn_tally_new(&settings);
    assert_non_null(tally);
    return tally;
}

static void add(trn_tally *tally, size_t first, size_t end)
{
    for (size_t i = first; i < end; i += BLOCK_VALUES) {
        const size_t n = end - i < BLOCK_VALUES ? end - i : BLOCK_VALUES;
        assert_int_equal(trn_tally_add(tally, values + i, n), TRN_OK);
    }
}

static double order_statistic(double probability, size_t count)
{
    const double rank = ceil(probability * (double)count * (1 - 1e-15));
    return sorted[rank < 1 ? 0 : (size_t)rank - 1];
}

static void assert_sorted_quantiles(trn_tally *tally)
{
    for (size_t i = 0; i < PROBABILITIES; i++) {
        const trn_tally_quantile quantile = trn_tally_quantile_of(tally, i);
        assert_false(quantile.missed);
        assert_same_bits(quantile.value, order_statistic(probabilities[i], VALUES));
        assert_true(quantile.se >= 0);
    }
}

static void quantiles_are_those_of_sorting(void **state)
{
    (void)state;
    for (int kind = SMOOTH; kind <= ALIKE; kind++) {
        for (int known = 0; known < 2; known++) {
            make_values(kind);
            trn_tally *tally = new_tally(known ? VALUES : 0);
            add(tally, 0, VALUES);
            assert_sorted_quantiles(tally);
            assert_sorted_quantiles(tally);
            trn_tally_free(tally);
        }
    }
}

/* Values in order are no sample: a bracket may be missed, but then it is said, and no wrong number given. */
static void no_wrong_number(void **state)
{
    (void)state;
    size_t misses = 0;
    for (int kind = RISING; kind < KINDS; kind++) {
        make_values(kind);
        trn_tally *tally = new_tally(0);
        add(tally, 0, VALUES);
        for (size_t i = 0; i < PROBABILITIES; i++) {
            const trn_tally_quantile quantile = trn_tally_quantile_of(tally, i);
            misses += quantile.missed;
            if (!quantile.missed) {
                assert_same_bits(quantile.value, order_statistic(probabilities[i], VALUES));
            } else {
                assert_true(isnan(quantile.value));
            }
        }
        trn_tally_free(tally);
    }
    assert_true(misses > 0);
}

enum { EARLY = 4096, FAR = 36864 };

static bool joined_is_missed(const trn_tally *tally, const trn_tally_settings *settings, const double *early)
{
    trn_tally *joined = trn_tally_new(settings);
    assert_int_equal(trn_tally_add(joined, early, EARLY), TRN_OK);
    assert_int_equal(trn_tally_join(joined, tally), TRN_OK);
    const bool missed = trn_tally_quantile_of(joined, 0).missed;
    trn_tally_free(joined);
    return missed;
}

/* A bracket narrowed about early values, far from the quantile of those that follow, fills with others: it lets go of
   all, and is missed for good, also for who joins it, and when the quantile comes back. */
static void a_quantile_that_moved_away_is_missed(void **state)
{
    (void)state;
    static double early[EARLY];
    static const double half[] = {0.5};
    const trn_input even = {.shape = TRN_UNIFORM, .low = 0, .high = 1};
    trn_tally_settings settings = trn_default_tally_settings();
    settings.probabilities = half;
    settings.count = 1;
    trn_tally *tally = trn_tally_new(&settings);
    trn_sample_inputs(&even, 1, (trn_stream){3, 0}, 0, VALUES, values);
    memcpy(early, values, sizeof early);
    add(tally, 0, EARLY);
    assert_false(trn_tally_quantile_of(tally, 0).missed);
    for (size_t i = EARLY; i < EARLY + FAR; i++) {
        values[i] -= 10;
    }
    add(tally, EARLY, VALUES);
    for (size_t i = 0; i < VALUES; i++) {
        values[i] = 10;
    }
    for (size_t i = 0; i + BLOCK_VALUES <= VALUES; i += BLOCK_VALUES) {
        const trn_tally_quantile quantile = trn_tally_quantile_of(tally, 0);
        assert_true(quantile.missed);
        assert_true(isnan(quantile.value));
        assert_true(joined_is_missed(tally, &settings, early));
        add(tally, i, i + BLOCK_VALUES);
    }
    trn_tally_free(tally);
}

static void nothing_has_no_moments(void **state)
{
    (void)state;
    trn_tally *tally = new_tally(0);
    const trn_tally_moments none = trn_tally_moments_of(tally);
    assert_int_equal(none.count, 0);
    assert_same_bits(none.mean, 0);
    assert_same_bits(none.sd, 0);
    trn_tally_free(tally);
}

/* Half of what lies between the values a standard deviation of the rank below and above it. */
static double half_between_ranks(double probability, size_t count)
{
    const double most = (double)count - 1;
    const double rank = fmax(ceil(probability * (double)count - 1e-9), 1) - 1;
    const double sd = sqrt((double)count * probability * (1 - probability));
    return (sorted[(size_t)fmin(ceil(rank + sd), most)] - sorted[(size_t)fmax(floor(rank - sd), 0)]) / 2;
}

/* Fewer values than any bracket has room for. */
static void few_values(void **state)
{
    (void)state;
    make_values(SMOOTH);
    for (size_t count = 1; count < 30; count++) {
        memcpy(sorted, values, sizeof sorted);
        gsl_sort(sorted, 1, count);
        trn_tally *tally = new_tally(0);
        add(tally, 0, count);
        for (size_t i = 0; i < PROBABILITIES; i++) {
            const trn_tally_quantile found = trn_tally_quantile_of(tally, i);
            assert_same_bits(found.value, order_statistic(probabilities[i], count));
            assert_close_at(found.se, half_between_ranks(probabilities[i], count), 1e-14, 1e-300);
        }
        const trn_tally_moments moments = trn_tally_moments_of(tally);
        assert_true(count > 1 ? moments.sd_se > 0 : is_same_bits(moments.sd_se, 0));
        trn_tally_free(tally);
    }
}

static void assert_same_moments(const trn_tally *one, const trn_tally *other)
{
    const trn_tally_moments a = trn_tally_moments_of(one);
    const trn_tally_moments b = trn_tally_moments_of(other);
    assert_int_equal(a.count, b.count);
    assert_same_bits(a.mean, b.mean);
    assert_same_bits(a.sd, b.sd);
    assert_same_bits(a.sd_se, b.sd_se);
}

/* Shares of any size, in any order, joined: the bits of the whole. */
static void joined_tallies(void **state)
{
    (void)state;
    enum { PARTS = 5 };
    static const size_t ends[PARTS + 1] = {0, 512, 12800, 13312, 40960, VALUES};
    for (int kind = SMOOTH; kind <= ALIKE; kind++) {
        make_values(kind);
        trn_tally *whole = new_tally(VALUES);
        trn_tally *joined = new_tally(VALUES);
        add(whole, 0, VALUES);
        for (size_t i = PARTS; i-- > 0;) {
            trn_tally *part = new_tally(VALUES);
            add(part, ends[i], ends[i + 1]);
            assert_int_equal(trn_tally_join(joined, part), TRN_OK);
            trn_tally_free(part);
        }
        assert_same_moments(joined, whole);
        assert_sorted_quantiles(joined);
        trn_tally_free(whole);
        trn_tally_free(joined);
    }
}

/* Mean and standard deviation against GSL's, with a centre far off what a program would choose. */
static void moments(void **state)
{
    (void)state;
    make_values(SMOOTH);
    trn_tally *tally = new_tally(VALUES);
    add(tally, 0, VALUES);
    const trn_tally_moments got = trn_tally_moments_of(tally);
    const double mean = gsl_stats_mean(values, 1, VALUES);
    const double sd = gsl_stats_sd(values, 1, VALUES);
    assert_close(got.mean, mean, 1e-13);
    assert_close(got.sd, sd, 1e-9);
    assert_close(got.mean_se, sd / sqrt(VALUES), 1e-9);
    trn_tally_free(tally);
}

/* For a normal distribution the standard errors are known in closed form. */
static void standard_errors(void **state)
{
    (void)state;
    make_values(SMOOTH);
    trn_tally_settings settings = trn_default_tally_settings();
    settings.centre = 1e6;
    settings.scale = 0x1p17;
    trn_tally *tally = trn_tally_new(&settings);
    add(tally, 0, VALUES);
    const trn_tally_moments got = trn_tally_moments_of(tally);
    assert_close(got.sd_se, 2e4 / sqrt(2.0 * VALUES), 0.05);
    const double tail = 2e4 * sqrt(0.05 * 0.95 / VALUES) / 0.10313564037537138;
    const double middle = 2e4 * sqrt(0.25 / VALUES) / 0.3989422804014327;
    assert_close(trn_tally_quantile_of(tally, 0).se, tail, 0.15);
    assert_close(trn_tally_quantile_of(tally, 1).se, middle, 0.15);
    assert_close(trn_tally_quantile_of(tally, 2).se, tail, 0.15);
    trn_tally_free(tally);
}

static void settings_unless_given(void **state)
{
    (void)state;
    static const double wanted[] = {0.05, 0.5, 0.95};
    const trn_tally_settings settings = trn_default_tally_settings();
    assert_int_equal(settings.count, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_same_bits(settings.probabilities[i], wanted[i]);
    }
    assert_same_bits(settings.centre, 0);
    assert_same_bits(settings.scale, 1);
    assert_same_bits(settings.widening, 1);
    assert_true(settings.expected == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(settings_unless_given),
        cmocka_unit_test(quantiles_are_those_of_sorting),
        cmocka_unit_test(no_wrong_number),
        cmocka_unit_test(a_quantile_that_moved_away_is_missed),
        cmocka_unit_test(nothing_has_no_moments),
        cmocka_unit_test(few_values),
        cmocka_unit_test(joined_tallies),
        cmocka_unit_test(moments),
        cmocka_unit_test(standard_errors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
