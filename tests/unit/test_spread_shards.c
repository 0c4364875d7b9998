/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many rows, and what a shard holds of them: as little as it must, and every one. */
#include <stdlib.h>

#include "spreading.h"

#define LEAF                                                                                            \
    "leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nparts:\n"                                       \
    "  - {name: girder, weight: 200 kN, at: [4.5 m, -0.2 m], uncertainty: 3 %}\n"                       \
    "  - {name: block, weight: 230 kN, at: [-4.6 m, -0.4 m], uncertainty: {sd: 2 %, shape: uniform}}\n"

static unsigned char *first_shard(const trn_leaf *leaf, trn_spread_settings settings, size_t *length)
{
    unsigned char *bytes = NULL;
    trn_error error;
    settings.shard = 1;
    trn_spread *run = spread_run(leaf, &settings);
    assert_int_equal(trn_spread_pack(run, &bytes, length, &error), TRN_OK);
    trn_spread_free(run);
    return bytes;
}

/* Values that a row keeps of its share of the samples: five standard deviations that the ranks of its quantiles may
   still move by, and one beside, either way. */
static double kept_values(double samples, double share)
{
    static const double probabilities[] = {0.05, 0.5, 0.95};
    double values = 0;
    for (int q = 0; q < 3; q++) {
        const double sd = sqrt(samples * share * probabilities[q] * (1 - probabilities[q]));
        values += 2 * (5 * (sd * sqrt(1 - share) + 1) + sd * sqrt(share));
    }
    return values;
}

static void a_shard_keeps_no_more_than_it_must(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 80000;
    for (uint32_t shards = 1; shards <= 2; shards++) {
        size_t length = 0;
        settings.shards = shards;
        free(first_shard(leaf, settings, &length));
        /* Two sides of so many rows and a peak; seven words of sums and five of each of three brackets. */
        const double tallies = 2 * (SPREAD_ANGLES + 1);
        const double words = kept_values(80000, 1.0 / shards) + 7 + 3 * 5;
        assert_true((double)length < 8 * tallies * words);
        assert_true((double)length > 0.8 * 8 * tallies * words);
    }
    trn_description_free(description);
}

/* What another machine, or another version, draws for the other shards depends on where the samples are parted. */
static void samples_are_parted_by_chunks_of_2048(void **state)
{
    (void)state;
    enum { COUNT = 16 + 8 * 8 }; /* of the first row's samples, behind the head */
    trn_description *description = read_well(LEAF);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 5000;
    settings.shards = 2;
    size_t length = 0;
    unsigned char *bytes = first_shard(leaf, settings, &length);
    assert_int_equal(bytes[COUNT] + 256 * bytes[COUNT + 1], 2048); /* of three chunks one, and two for the other */
    free(bytes);
    trn_description_free(description);
}

enum { CASES = 30 };

/* So many rows, of a million samples at most, that a run collects them in more than one pass. */
static trn_leaf many_rows(const trn_leaf *leaf, trn_case *cases)
{
    trn_leaf many = *leaf;
    for (int i = 0; i < CASES; i++) {
        cases[i] = leaf->cases[0];
    }
    many.cases = cases;
    many.case_count = CASES;
    return many;
}

static void peaks_are_counted_in_the_first_pass_alone(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAF "drive: {ratio: 700, efficiency: 0.8}\nmotors: {installed: 2, power: 10 W, speed: 870 rpm}\n");
    trn_case cases[CASES];
    const trn_leaf leaf = many_rows(trn_description_leaf(description), cases);
    trn_spread_settings settings = spread_settings(&leaf);
    settings.samples = 0;
    settings.digits = 1;
    trn_spread *run = spread_run(&leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    for (size_t c = 0; c < CASES; c++) {
        /* Motors so weak that every sample is over their limit. */
        assert_true(result->cases[c].over_limit_probability == 1);
        for (int d = 0; d < 2; d++) {
            assert_true(result->cases[c].sides[d].over_limit_probability == 1);
        }
        assert_memory_equal(&result->cases[c].sides[0].peak_use, &result->cases[0].sides[0].peak_use,
                            sizeof(trn_spread_values));
    }
    trn_spread_free(run);
    trn_description_free(description);
}

static void a_shard_has_all_rows_in_one_pass(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF);
    trn_case cases[CASES];
    const trn_leaf leaf = many_rows(trn_description_leaf(description), cases);
    trn_spread_settings settings = spread_settings(&leaf);
    settings.samples = 1000000;
    settings.shards = 480;
    size_t length = 0;
    unsigned char *bytes = first_shard(&leaf, settings, &length);
    trn_error error;
    trn_spread_settings whole = settings;
    whole.shards = 0;
    trn_spread *joined = spread_begin(&leaf, &whole);
    if (trn_spread_join(joined, bytes, length, &error) != TRN_OK) {
        fail_msg("%s", error.text);
    }
    assert_int_equal(trn_spread_lacking(joined), 2);
    trn_spread_free(joined);
    free(bytes);
    trn_description_free(description);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_shard_keeps_no_more_than_it_must),
        cmocka_unit_test(samples_are_parted_by_chunks_of_2048),
        cmocka_unit_test(peaks_are_counted_in_the_first_pass_alone),
        cmocka_unit_test(a_shard_has_all_rows_in_one_pass),
    };
    return cmocka_run_group_tests_name("shards of a spread", tests, NULL, NULL);
}
