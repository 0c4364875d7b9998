/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs: first order, the same bits whoever does the work, as many samples as it takes, and what is refused. */
#include "spreading.h"
#include "trunnion/balance.h"

#define LEAF                                                                                                     \
    "leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nparts:\n"                                                \
    "  - {name: girder, weight_per_length: 14 kN/m, from: [-3 m, -0.6 m], to: [12 m, 0.1 m], uncertainty: 3 %}\n" \
    "  - {name: lock, weight: 2 t, at: [11.6 m, 0.2 m], uncertainty: 10 %}\n"                                    \
    "  - {name: rail, weight: 1 t, at: [6 m, 1.2 m], uncertainty: {sd: 5 %, group: steel}}\n"                    \
    "  - {name: other rail, weight: 1 t, at: [6 m, 1.2 m], uncertainty: {sd: 5 %, group: steel}}\n"              \
    "  - {name: block, weight: 230 kN, at: [-4.6 m, -0.4 m], uncertainty: {sd: 2 %, shape: uniform}}\n"

#define DRIVEN                                                                                         \
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}, drag: 2 kN m}\n"   \
    "drive: {ratio: 700, efficiency: 0.8}\nmotors: {installed: 2, power: 11 kW, speed: 870 rpm}\n"     \
    "brakes: [{name: motor brakes, count: 2, torque: 90 N m, ratio: 700, delay: 0.3 s, set_time: 0.5 s}]\n"

#define WINDY                                                                                                    \
    "surfaces: [{name: deck, from: [0.5 m, 0.8 m], to: [12 m, 0.8 m], width: 6 m}]\n"                            \
    "cases: [{name: calm}, {name: windy, wind: {pressure: 200 Pa}}]\n"                                           \
    "holding: [{name: storm, wind: {pressure: 400 Pa, law: normal}}]\n"                                          \
    "uncertainties: [{of: wind pressure, sd: 20 %}, {of: moving friction, range: [0.08, 0.17]}]\n"

/* The demand in still air is linear in the weights: sum over variables of (W u (x cos - y sin + mu r))^2. */
static void first_order_in_closed_form(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF DRIVEN);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 100000;
    trn_spread *run = spread_run(leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    assert_int_equal(result->variable_count, 4);
    assert_string_equal(result->variables[2], "group steel");
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        const trn_spread_row *row = &result->cases[0].rows[i];
        const double sign = row->direction == TRN_OPENING ? 1 : -1;
        double changes[4] = {0};
        for (size_t p = 0; p < leaf->part_count; p++) {
            const trn_body body = trn_part_body(&leaf->parts[p], (trn_point){0, 0});
            const double moment = sign * (body.a_Nm * cos(row->angle_rad) - body.b_Nm * sin(row->angle_rad));
            changes[p < 3 ? p : p - 1] += leaf->parts[p].uncertainty.sd * (moment + 0.12 * 0.2 * body.weight_N);
        }
        double square = 0;
        for (size_t v = 0; v < 4; v++) {
            square += changes[v] * changes[v];
        }
        assert_close(row->first_sd_Nm, sqrt(square), 1e-12);
        assert_near(row->demand_Nm.mean, row->first_mean_Nm, 2.5 * row->demand_Nm.error);
        assert_near(row->demand_Nm.sd, row->first_sd_Nm, 2.5 * row->demand_Nm.error);
        assert_true(row->demand_Nm.error > 0);
    }
    trn_spread_free(run);
    trn_description_free(description);
}

/* More variables than are tried at once, in the same closed form, each part a variable. */
static void first_order_of_many_variables(void **state)
{
    (void)state;
    enum { PARTS = 300 };
    trn_description *description = read_well(LEAF);
    trn_leaf leaf = *trn_description_leaf(description);
    trn_part parts[PARTS];
    for (int i = 0; i < PARTS; i++) {
        parts[i] = leaf.parts[1];
        parts[i].weight_N = 1e4 + 37 * i;
        parts[i].at = (trn_point){-3 + 0.05 * i, 0.4 - 0.003 * i};
    }
    leaf.parts = parts;
    leaf.part_count = PARTS;
    trn_spread_settings settings = spread_settings(&leaf);
    trn_spread *run = spread_run(&leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    const trn_spread_case *about = &result->cases[0];
    assert_int_equal(result->variable_count, PARTS);
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        const trn_spread_row *row = &about->rows[i];
        const double sign = row->direction == TRN_OPENING ? 1 : -1;
        double square = 0;
        for (size_t p = 0; p < PARTS; p++) {
            const trn_body body = trn_part_body(&parts[p], (trn_point){0, 0});
            const double moment = sign * (body.a_Nm * cos(row->angle_rad) - body.b_Nm * sin(row->angle_rad));
            const double change = parts[p].uncertainty.sd * moment;
            square += change * change;
            if (i == about->governing) {
                assert_close_at(about->effects[p].first_order, change, 1e-9, 1e3);
                assert_close_at(about->effects[p].high - about->effects[p].low, 2 * 1.6448536269514722 * change, 1e-9,
                                1e3);
            }
        }
        assert_close(row->first_sd_Nm, sqrt(square), 1e-12);
    }
    trn_spread_free(run);
    trn_description_free(description);
}

/* Of a linear quantity the indices are the shares of the first-order variance, alone and in all. */
static void indices_of_a_linear_quantity(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = spread_settings(leaf);
    trn_spread *run = spread_run(leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    const trn_spread_case *about = &result->cases[0];
    double square = 0;
    assert_false(about->has_limit);
    for (size_t v = 0; v < result->variable_count; v++) {
        square += about->effects[v].first_order * about->effects[v].first_order;
    }
    assert_close(sqrt(square), about->rows[about->governing].first_sd_Nm, 1e-12);
    for (size_t v = 0; v < result->variable_count; v++) {
        const trn_spread_effect *effect = &about->effects[v];
        const double share = effect->first_order * effect->first_order / square;
        assert_near(effect->sobol.first, share, 5 * effect->sobol.first_se);
        assert_near(effect->sobol.total, share, 5 * effect->sobol.total_se);
        assert_true(effect->sobol.total_se < 0.02);
        const double half = (effect->high - effect->low) / 2;
        /* 5 and 95 per cent of a normal distribution, and of an even one, in its standard deviations. */
        const double reach = v == 3 ? 0.9 * sqrt(3) : 1.6448536269514722;
        assert_close(half, reach * effect->first_order, 1e-10);
    }
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        assert_true(about->rows[i].first_mean_Nm <= about->governing_value);
    }
    trn_spread_free(run);
    trn_description_free(description);
}

/* Weights that vary as one and balance each other move no moment: what rounding leaves of its variance is none. */
static void indices_of_what_does_not_matter(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nparts:\n"
                  "  - {name: girder, weight: 213.7 kN, at: [4.53 m, -0.21 m]}\n"
                  "  - {name: a, weight: 30 kN, at: [1.1 m, 0 m], uncertainty: {sd: 5 %, group: hub}}\n"
                  "  - {name: b, weight: 30 kN, at: [2.2 m, 0 m], uncertainty: {sd: 5 %, group: hub}}\n"
                  "  - {name: c, weight: 30 kN, at: [-3.3 m, 0 m], uncertainty: {sd: 5 %, group: hub}}\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = spread_settings(leaf);
    trn_spread *run = spread_run(leaf, &settings);
    const trn_spread_effect *effect = &trn_spread_result_of(run)->cases[0].effects[0];
    assert_near(effect->first_order, 0, 1e-8);
    assert_true(effect->sobol.first == 0 && effect->sobol.total == 0);
    trn_spread_free(run);
    trn_description_free(description);
}

static void assert_same_values(const trn_spread_values *a, const trn_spread_values *b)
{
    assert_memory_equal(a, b, sizeof *a);
}

static void assert_normal(const trn_spread_values *values)
{
    assert_true(values->sd > 0);
    assert_close(values->sd, (values->p95 - values->p05) / (2 * 1.6448536269514722), 0.05);
}

/* One weight: all that is linear in it is normal, also where its spread is the last digits of its mean. */
static void spreads_that_are_tiny_beside_their_means(void **state)
{
    (void)state;
    static const char *const doubts[] = {"1e-10", "1e-7", "0.1"};
    for (int i = 0; i < 3; i++) {
        char text[2000];
        (void)snprintf(text, sizeof text,
                       "leaf: Sedge Pool\nopens_to: 70 degree\ntoe: 12 m\n"
                       "parts: [{name: span, weight: 300 kN, at: [5 m, 0 m], uncertainty: %s %%},"
                       " {name: block, weight: 200 kN, at: [-4.6 m, 0 m]}]\n" DRIVEN "holding: [{name: still}]\n",
                       doubts[i]);
        trn_description *description = read_well(text);
        const trn_leaf *leaf = trn_description_leaf(description);
        trn_spread_settings settings = spread_settings(leaf);
        settings.samples = 20000;
        trn_spread *run = spread_run(leaf, &settings);
        const trn_spread_result *result = trn_spread_result_of(run);
        assert_normal(&result->cases[0].sides[TRN_OPENING].peak_use);
        assert_normal(&result->holdings[0].demand_Nm);
        trn_spread_free(run);
        trn_description_free(description);
    }
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
        cmocka_unit_test(first_order_in_closed_form),
        cmocka_unit_test(first_order_of_many_variables),
        cmocka_unit_test(indices_of_a_linear_quantity),
        cmocka_unit_test(indices_of_what_does_not_matter),
        cmocka_unit_test(spreads_that_are_tiny_beside_their_means),
        cmocka_unit_test(any_number_of_threads),
        cmocka_unit_test(any_split_into_shards),
        cmocka_unit_test(shards_that_do_not_fit),
        cmocka_unit_test(several_passes),
        cmocka_unit_test(as_many_samples_as_it_takes),
        cmocka_unit_test(what_cannot_be_run),
        cmocka_unit_test(settings_that_are_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
