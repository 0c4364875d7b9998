/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs: the same bits whoever does the work, as many samples as it takes, and what is refused. */
#include "spread_leaf.h"
#include "spreading.h"

#define WINDY                                                                         \
    "surfaces: [{name: deck, from: [0.5 m, 0.8 m], to: [12 m, 0.8 m], width: 6 m}]\n" \
    "cases: [{name: calm}, {name: windy, wind: {pressure: 200 Pa}}]\n"                \
    "holding: [{name: storm, wind: {pressure: 400 Pa, law: normal}}]\n"               \
    "uncertainties: [{of: wind pressure, sd: 20 %}, {of: moving friction, range: [0.08, 0.17]}]\n"

static void assert_same_values(const trn_spread_values *a, const trn_spread_values *b)
{
    assert_memory_equal(a, b, sizeof *a);
}

/* The same bits in all that two runs tell; the second one's angles may be more, each so many apart. */
static void assert_same_results(const trn_spread *one, const trn_spread *other)
{
    const trn_spread_result *a = trn_spread_result_of(one);
    const trn_spread_result *b = trn_spread_result_of(other);
    assert_true(a->samples == b->samples);
    assert_int_equal(a->case_count, b->case_count);
    for (size_t c = 0; c < a->case_count; c++) {
        assert_same_bits(a->cases[c].over_limit_probability, b->cases[c].over_limit_probability);
        for (size_t d = 0; d < 2; d++) {
            assert_same_values(&a->cases[c].sides[d].peak_use, &b->cases[c].sides[d].peak_use);
            assert_same_bits(a->cases[c].sides[d].over_limit_probability, b->cases[c].sides[d].over_limit_probability);
        }
        for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
            assert_same_values(&a->cases[c].rows[i].demand_Nm, &b->cases[c].rows[i].demand_Nm);
        }
        assert_memory_equal(a->cases[c].effects, b->cases[c].effects, a->variable_count * sizeof *a->cases[c].effects);
    }
    for (size_t h = 0; h < a->holding_count; h++) {
        assert_same_values(&a->holdings[h].demand_Nm, &b->holdings[h].demand_Nm);
        assert_same_bits(a->holdings[h].not_held_probability, b->holdings[h].not_held_probability);
    }
}

static void any_number_of_threads(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF DRIVEN WINDY);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 30001;
    trn_spread *one = spread_run(leaf, &settings);
    for (int threads = 2; threads <= 5; threads++) {
        settings.threads = threads;
        trn_spread *many = spread_run(leaf, &settings);
        assert_same_results(one, many);
        trn_spread_free(many);
    }
    assert_true(trn_spread_result_of(one)->cases[1].over_limit_probability > 0);
    assert_true(trn_spread_result_of(one)->holdings[0].not_held_probability > 0);
    settings.seed = 2;
    trn_spread *other = spread_run(leaf, &settings);
    const trn_spread_row *rows = trn_spread_result_of(other)->cases[0].rows;
    assert_true(fabs(rows[0].demand_Nm.mean - trn_spread_result_of(one)->cases[0].rows[0].demand_Nm.mean) > 0);
    trn_spread_free(other);
    trn_spread_free(one);
    trn_description_free(description);
}

/* A shard's bytes; the caller frees them. */
static unsigned char *shard_of(const trn_leaf *leaf, trn_spread_settings settings, uint32_t shard, size_t *length)
{
    unsigned char *bytes = NULL;
    trn_error error;
    settings.shard = shard;
    trn_spread *run = spread_run(leaf, &settings);
    assert_int_equal(trn_spread_pack(run, &bytes, length, &error), TRN_OK);
    trn_spread_free(run);
    return bytes;
}

static void split_into_shards(const char *text)
{
    trn_description *description = read_well(text);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 30001;
    trn_spread *whole = spread_run(leaf, &settings);
    for (uint32_t shards = 1; shards <= 40; shards = 4 * shards + 3) {
        trn_error error;
        trn_spread *joined = spread_begin(leaf, &settings);
        trn_spread_settings part = settings;
        part.shards = shards;
        for (uint32_t shard = shards; shard > 0; shard--) {
            size_t length;
            unsigned char *bytes = shard_of(leaf, part, shard, &length);
            assert_int_equal(trn_spread_join(joined, bytes, length, &error), TRN_OK);
            assert_int_equal(trn_spread_lacking(joined), shard > 1 ? 1 : 0);
            free(bytes);
        }
        spread_finish(joined);
        assert_same_results(whole, joined);
        trn_spread_free(joined);
    }
    trn_spread_free(whole);
    trn_description_free(description);
}

static void any_split_into_shards(void **state)
{
    (void)state;
    split_into_shards(LEAF DRIVEN WINDY);
    split_into_shards(LEAF); /* no motors, and so no limit and no peaks of its use */
}

static void assert_not_joined(trn_spread *run, const unsigned char *bytes, size_t length, const char *words)
{
    trn_error error = {0};
    assert_int_equal(trn_spread_join(run, bytes, length, &error), TRN_OUT_OF_DOMAIN);
    if (strstr(error.text, words) == NULL) {
        print_error("want: ... %s ...; got: %s\n", words, error.text);
    }
    assert_non_null(strstr(error.text, words));
}

static void shards_that_do_not_fit(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF DRIVEN WINDY);
    trn_description *other_leaf = read_well(LEAF DRIVEN);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 20000;
    trn_spread *run = spread_begin(leaf, &settings);
    trn_spread_settings part = settings;
    size_t length;
    trn_error error;
    double done;
    part.shards = 2;
    unsigned char *bytes = shard_of(leaf, part, 2, &length);
    assert_not_joined(run, bytes, 10, "no shard");
    assert_not_joined(run, bytes, length - 1, "damaged");
    bytes[length / 2] ^= 1;
    assert_not_joined(run, bytes, length, "damaged");
    bytes[length / 2] ^= 1;
    assert_int_equal(trn_spread_join(run, bytes, length, &error), TRN_OK);
    assert_not_joined(run, bytes, length, "given twice");
    assert_int_equal(trn_spread_advance(run, &done, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "shard 1 of 2 is not in"));
    free(bytes);
    part.shards = 3;
    bytes = shard_of(leaf, part, 1, &length);
    assert_not_joined(run, bytes, length, "number of shards");
    free(bytes);
    part.shards = 2;
    part.seed = 9;
    bytes = shard_of(leaf, part, 1, &length);
    assert_not_joined(run, bytes, length, "another seed");
    free(bytes);
    const trn_leaf *another = trn_description_leaf(other_leaf);
    trn_spread_settings elsewhere = spread_settings(another);
    elsewhere.samples = 20000;
    elsewhere.shards = 2;
    bytes = shard_of(another, elsewhere, 1, &length);
    assert_not_joined(run, bytes, length, "another --case");
    free(bytes);
    trn_spread_free(run);
    trn_description_free(other_leaf);
    trn_description_free(description);
}

/* Too many angles for one pass: the rows that a run of few angles has too must have the same bits. */
static void several_passes(void **state)
{
    (void)state;
    enum { MANY = 4 * (SPREAD_ANGLES - 1) * 40 + 1 };
    static double angles[MANY];
    trn_description *description = read_well(LEAF DRIVEN);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 20000;
    trn_spread *few = spread_run(leaf, &settings);
    for (size_t i = 0; i < MANY; i++) {
        angles[i] = leaf->opens_to_rad * (double)i / (MANY - 1);
    }
    for (size_t i = 0; i < SPREAD_ANGLES; i++) {
        angles[i * (MANY - 1) / (SPREAD_ANGLES - 1)] = spread_angles[i];
    }
    settings.angles_rad = angles;
    settings.angle_count = MANY;
    trn_spread *many = spread_run(leaf, &settings);
    const trn_spread_row *some = trn_spread_result_of(few)->cases[0].rows;
    const trn_spread_row *all = trn_spread_result_of(many)->cases[0].rows;
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        const size_t place = i / SPREAD_ANGLES * MANY + i % SPREAD_ANGLES * ((MANY - 1) / (SPREAD_ANGLES - 1));
        assert_same_values(&some[i].demand_Nm, &all[place].demand_Nm);
    }
    trn_spread_free(many);
    trn_spread_free(few);
    trn_description_free(description);
}

static void as_many_samples_as_it_takes(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF DRIVEN WINDY);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    uint64_t before = 0;
    settings.samples = 0;
    for (int digits = 1; digits <= 2; digits++) {
        settings.digits = digits;
        settings.threads = 1;
        trn_spread *run = spread_run(leaf, &settings);
        const trn_spread_result *result = trn_spread_result_of(run);
        assert_true(result->within_tolerance && result->samples >= 10000 && result->samples > before);
        before = result->samples;
        for (size_t c = 0; c < result->case_count; c++) {
            for (size_t d = 0; d < 2; d++) {
                const trn_spread_side *side = &result->cases[c].sides[d];
                double sd = 0;
                for (size_t i = 0; i < SPREAD_ANGLES; i++) {
                    sd = fmax(sd, result->cases[c].rows[d * SPREAD_ANGLES + i].demand_Nm.sd);
                }
                assert_true(side->error_Nm <= side->tolerance_Nm);
                const double units = sd / (2 * side->tolerance_Nm);
                assert_true(units >= (digits == 1 ? 1 : 10) && units < (digits == 1 ? 10 : 100));
            }
        }
        settings.threads = 3;
        trn_spread *again = spread_run(leaf, &settings);
        assert_same_results(run, again);
        settings.samples = result->samples;
        trn_spread *fixed = spread_run(leaf, &settings);
        assert_same_results(run, fixed);
        settings.samples = 0;
        trn_spread_free(fixed);
        trn_spread_free(again);
        trn_spread_free(run);
    }
    settings.most = 20000;
    trn_spread *run = spread_run(leaf, &settings);
    assert_true(trn_spread_result_of(run)->samples == 20000);
    assert_false(trn_spread_result_of(run)->within_tolerance);
    trn_spread_free(run);
    trn_description_free(description);
}

static void assert_no_run(const trn_leaf *leaf, const trn_spread_settings *settings, trn_status status,
                          const char *words)
{
    trn_error error = {0};
    trn_spread *untouched = NULL;
    assert_int_equal(trn_spread_new(leaf, settings, &untouched, &error), status);
    assert_null(untouched);
    if (strstr(error.text, words) == NULL) {
        print_error("want: ... %s ...; got: %s\n", words, error.text);
    }
    assert_non_null(strstr(error.text, words));
}

static void assert_text_gives_no_run(const char *text, trn_status status, const char *words)
{
    trn_description *description = read_well(text);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = spread_settings(leaf);
    assert_no_run(leaf, &settings, status, words);
    trn_description_free(description);
}

static void what_cannot_be_run(void **state)
{
    (void)state;
    assert_text_gives_no_run(LEAST, TRN_MISSING_SECTION, "nothing is uncertain");
    assert_text_gives_no_run("leaf: x\nopens_to: 70 degree\ntoe: 12 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m], "
                             "uncertainty: 40 %}]\n",
                             TRN_OUT_OF_DOMAIN, "three standard deviations reach below 0");
    assert_text_gives_no_run(LEAF "cases: [{name: a, accelerating: true}]\n", TRN_MISSING_SECTION, "travel");
    /* The described friction turns, its upper end locks: the strut passes 0.17 m from the trunnion at 0 degree. */
    assert_text_gives_no_run(
        LEAF "trunnion: {journal_diameter: 1 m, friction: {starting: 0.3, moving: 0.1}}\n"
             "drive: {strut: {on_leaf: [2 m, 0.1 m], pinion: [-4 m, 0.5 m], pinion_radius: 0.3 m, ratio: 90}, "
             "efficiency: 0.9}\nuncertainties: [{of: moving friction, range: [0.1, 0.9]}]\n",
        TRN_LOCKED, "friction locks");
}

static void settings_that_are_none(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings good = spread_settings(leaf);
    trn_spread_settings bad = good;
    const trn_case other = trn_default_case();
    bad.cases = &other;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "cases");
    bad = good;
    bad.angle_count = 0;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "angles");
    bad = good;
    bad.digits = 3;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "digits");
    bad = good;
    bad.threads = 0;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "threads");
    bad = good;
    bad.shards = 2;
    bad.shard = 3;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "shard");
    bad.shard = 1;
    bad.samples = 0;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "shards");
    bad = good;
    bad.samples = TRN_SPREAD_SAMPLES_MAX + 1;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "too many samples");
    bad.samples = 0;
    bad.most = 0;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "no samples");
    bad = good;
    bad.digits = 0;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "digits");
    bad = good;
    bad.threads = 1025;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "over 1024");
    bad = good;
    bad.shards = TRN_SPREAD_SHARDS_MAX + 1;
    bad.shard = 1;
    assert_no_run(leaf, &bad, TRN_OUT_OF_DOMAIN, "too many shards");
    trn_spread_free(NULL);
    trn_description_free(description);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_number_of_threads),       cmocka_unit_test(any_split_into_shards),
        cmocka_unit_test(shards_that_do_not_fit),      cmocka_unit_test(several_passes),
        cmocka_unit_test(as_many_samples_as_it_takes), cmocka_unit_test(what_cannot_be_run),
        cmocka_unit_test(settings_that_are_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
