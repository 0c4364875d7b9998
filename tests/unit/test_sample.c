/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random numbers: the generator's known answers, quantiles against GSL's, and samples that stand still. */
#include <gsl/gsl_cdf.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/sample.h"

/* Random123, kat_vectors, philox4x32-10: the first SEEN in a design page, the others MEM: check the source. */
static void known_answers(void **state)
{
    (void)state;
    static const struct {
        uint32_t counter[4];
        uint32_t key[2];
        uint32_t words[4];
    } known[] = {
        {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
        {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
         {0xffffffff, 0xffffffff},
         {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
        {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
         {0xa4093822, 0x299f31d0},
         {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        uint32_t words[4];
        trn_philox(known[i].counter, known[i].key, words);
        assert_memory_equal(words, known[i].words, sizeof words);
    }
}

/* The arrays are what the generator gives one by one, also beyond 2^32 samples. */
static void uniforms_are_the_generators(void **state)
{
    (void)state;
    enum { SAMPLES = 300 };
    const trn_stream stream = {UINT64_C(0x299f31d0a4093822), 7};
    const uint64_t first = UINT64_C(0xfffffff0);
    trn_input inputs[5];
    double values[5 * SAMPLES];
    for (size_t i = 0; i < 5; i++) {
        inputs[i] = (trn_input){.shape = TRN_UNIFORM, .low = 0, .high = 1, .variable = i};
    }
    trn_sample_inputs(inputs, 5, stream, first, SAMPLES, values);
    for (size_t i = 0; i < 5; i++) {
        for (size_t k = 0; k < SAMPLES; k++) {
            const uint64_t sample = first + k;
            const uint32_t counter[4] = {(uint32_t)sample, (uint32_t)(sample >> 32), (uint32_t)(i / 2), 7};
            const uint32_t key[2] = {0xa4093822, 0x299f31d0};
            uint32_t words[4];
            trn_philox(counter, key, words);
            const uint64_t bits = (uint64_t)words[2 * (i % 2) + 1] << 32 | words[2 * (i % 2)];
            assert_same_bits(values[i * SAMPLES + k], ((double)(bits >> 12) + 0.5) * 0x1p-52);
        }
    }
}

static void normal_quantiles(void **state)
{
    (void)state;
    for (int i = 1; i < 4000; i++) {
        const double p = i / 4000.0;
        assert_close_at(trn_normal_quantile(p), gsl_cdf_ugaussian_Pinv(p), 2e-13, 1);
        const double small = exp(-36.7 * p);
        assert_close_at(trn_normal_quantile(small), gsl_cdf_ugaussian_Pinv(small), 2e-13, 1);
        const double large = 1 - fmax(small / 8, 0x1p-53);
        assert_close_at(trn_normal_quantile(large), gsl_cdf_ugaussian_Qinv(1 - large), 2e-13, 1);
    }
    assert_same_bits(trn_normal_quantile(0.5), 0);
    assert_close(trn_normal_quantile(0.975), 1.959963984540054, 1e-13);
}

/* Mean and standard deviation of many samples are those of the distribution, within five standard errors. */
static void moments_are_right(void **state)
{
    (void)state;
    enum { SAMPLES = 40000 };
    static const trn_input inputs[] = {
        {.shape = TRN_NORMAL, .mean = 3, .sd = 0.5, .low = -HUGE_VAL, .high = HUGE_VAL, .variable = 0},
        {.shape = TRN_UNIFORM, .low = -1, .high = 4, .variable = 1},
        {.shape = TRN_TRIANGULAR, .low = 0.08, .high = 0.18, .mode = 0.12, .variable = 2},
        {.shape = TRN_TRIANGULAR, .low = 2, .high = 5, .mode = 2, .variable = 3},
        {.shape = TRN_TRIANGULAR, .low = 2, .high = 5, .mode = 5, .variable = 4},
    };
    enum { INPUTS = sizeof inputs / sizeof *inputs };
    double *values = malloc(INPUTS * SAMPLES * sizeof *values);
    assert_non_null(values);
    trn_sample_inputs(inputs, INPUTS, (trn_stream){11, 0}, 0, SAMPLES, values);
    for (size_t i = 0; i < INPUTS; i++) {
        const double mean = trn_input_mean(&inputs[i]);
        const double sd = trn_input_sd(&inputs[i]);
        double sum = 0;
        double squares = 0;
        for (size_t k = 0; k < SAMPLES; k++) {
            const double value = values[i * SAMPLES + k];
            assert_true(inputs[i].shape == TRN_NORMAL || (value >= inputs[i].low && value <= inputs[i].high));
            sum += value - mean;
            squares += (value - mean) * (value - mean);
        }
        assert_near(sum / SAMPLES, 0, 5 * sd / sqrt(SAMPLES));
        assert_near(sqrt(squares / SAMPLES), sd, 5 * sd / sqrt(2.0 * SAMPLES));
    }
    free(values);
}

/* Distribution functions in closed form, put back. */
static void quantiles_invert(void **state)
{
    (void)state;
    const trn_input triangle = {.shape = TRN_TRIANGULAR, .low = 1, .high = 5, .mode = 2};
    const trn_input even = {.shape = TRN_UNIFORM, .low = -3, .high = 7};
    const trn_input cut = {.shape = TRN_NORMAL, .mean = 1, .sd = 0.5, .low = 0.25, .high = 1.5};
    for (int i = 1; i < 100; i++) {
        const double p = i / 100.0;
        const double x = trn_input_quantile(&triangle, p);
        const double back = x < 2 ? (x - 1) * (x - 1) / 4 : 1 - (5 - x) * (5 - x) / 12;
        assert_close(back, p, 1e-14);
        assert_close_at(trn_input_quantile(&even, p), -3 + 10 * p, 1e-15, 10);
        const double normal = 1 + 0.5 * gsl_cdf_ugaussian_Pinv(p);
        assert_close(trn_input_quantile(&cut, p), fmin(fmax(normal, 0.25), 1.5), 1e-13);
    }
}

/* Any split of a run of samples gives the same bits; inputs of one variable go together; streams and seeds differ. */
static void samples_stand_still(void **state)
{
    (void)state;
    enum { INPUTS = 3, SAMPLES = 1000 };
    static const trn_input inputs[INPUTS] = {
        {.shape = TRN_NORMAL, .mean = 0, .sd = 1, .low = -HUGE_VAL, .high = HUGE_VAL, .variable = 4},
        {.shape = TRN_UNIFORM, .low = 0, .high = 1, .variable = 4},
        {.shape = TRN_TRIANGULAR, .low = 0, .high = 1, .mode = 0.3, .variable = 1},
    };
    static double whole[INPUTS * SAMPLES];
    static double part[INPUTS * SAMPLES];
    trn_sample_inputs(inputs, INPUTS, (trn_stream){5, 2}, 70, SAMPLES, whole);
    for (size_t first = 0, n = 1; first < SAMPLES; first += n, n = 2 * n + 1) {
        n = n < SAMPLES - first ? n : SAMPLES - first;
        trn_sample_inputs(inputs, INPUTS, (trn_stream){5, 2}, 70 + first, n, part);
        for (size_t i = 0; i < INPUTS; i++) {
            for (size_t k = 0; k < n; k++) {
                assert_same_bits(part[i * n + k], whole[i * SAMPLES + first + k]);
            }
        }
    }
    for (size_t k = 0; k < SAMPLES; k++) {
        assert_close(gsl_cdf_ugaussian_P(whole[k]), whole[SAMPLES + k], 1e-11);
    }
    trn_sample_inputs(inputs, INPUTS, (trn_stream){5, 3}, 70, SAMPLES, part);
    assert_true(fabs(part[0] - whole[0]) > 0);
    trn_sample_inputs(inputs, INPUTS, (trn_stream){6, 2}, 70, SAMPLES, part);
    assert_true(fabs(part[0] - whole[0]) > 0);
}

/* The same bits on every machine, compiler and width of vectors: these were written down once, on one of them. */
static void bits_are_pinned(void **state)
{
    (void)state;
    static const trn_input inputs[] = {
        {.shape = TRN_NORMAL, .mean = 1, .sd = 0.03, .low = 0, .high = HUGE_VAL, .variable = 0},
        {.shape = TRN_TRIANGULAR, .low = 0.08, .high = 0.18, .mode = 0.12, .variable = 1},
    };
    double values[2 * 1024];
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    trn_sample_inputs(inputs, 2, (trn_stream){1, 0}, 0, 1024, values);
    for (size_t i = 0; i < 2 * 1024; i++) {
        uint64_t bits;
        memcpy(&bits, &values[i], sizeof bits);
        hash = (hash ^ bits) * UINT64_C(0x100000001B3);
    }
    if (hash != UINT64_C(0x9c5ee86424e96d86)) {
        print_error("the hash of the samples' bits is %llx\n", (unsigned long long)hash);
    }
    assert_true(hash == UINT64_C(0x9c5ee86424e96d86));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_answers),
        cmocka_unit_test(uniforms_are_the_generators),
        cmocka_unit_test(normal_quantiles),
        cmocka_unit_test(moments_are_right),
        cmocka_unit_test(quantiles_invert),
        cmocka_unit_test(samples_stand_still),
        cmocka_unit_test(bits_are_pinned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
