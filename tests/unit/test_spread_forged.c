/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shards whose checksum is right and whose content is not: refused, and nothing of them is taken. */
#include "spreading.h"

#define LEAF                                                                                                \
    "leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nparts:\n"                                           \
    "  - {name: girder, weight: 200 kN, at: [4.5 m, -0.2 m], uncertainty: 3 %}\n"                           \
    "  - {name: block, weight: 230 kN, at: [-4.6 m, -0.4 m], uncertainty: {sd: 2 %, shape: uniform}}\n"     \
    "drive: {ratio: 700, efficiency: 0.8}\nmotors: {installed: 2, power: 11 kW, speed: 870 rpm}\n"          \
    "brakes: [{name: motor brakes, count: 2, torque: 90 N m, ratio: 700, delay: 0.3 s, set_time: 0.5 s}]\n" \
    "holding: [{name: still, factor: 1}]\n"

enum { SAMPLES = 200, WORD = 8, FRONT = 16, HEAD_WORDS = 8 };

/* Words of the head, and of a tally and its first bracket from their beginnings on. */
enum { HEAD_SAMPLES = 2, HEAD_SHARDS, HEAD_SHARD };
enum { COUNT = 0, SUMS = 1, BRACKETS = 7, LOW = 7, HIGH, BELOW, MISSED, KEPT_COUNT, KEPT, BRACKET = 5 };

typedef struct shard {
    unsigned char *bytes;
    size_t length;
} shard;

static unsigned char *word_at(const shard *of, size_t word)
{
    return of->bytes + FRONT + WORD * word;
}

static uint64_t get(const shard *of, size_t word)
{
    uint64_t number = 0;
    for (int i = 0; i < WORD; i++) {
        number |= (uint64_t)word_at(of, word)[i] << (8 * i);
    }
    return number;
}

static void put(const shard *of, size_t word, uint64_t number)
{
    for (int i = 0; i < WORD; i++) {
        word_at(of, word)[i] = (unsigned char)(number >> (8 * i));
    }
}

static uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

/* FNV-1a over all before it, as the format has it. */
static void seal(const shard *of)
{
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    for (size_t i = 0; i + WORD < of->length; i++) {
        hash = (hash ^ of->bytes[i]) * UINT64_C(0x100000001B3);
    }
    put(of, (of->length - FRONT) / WORD - 1, hash);
}

/* The word behind so many tallies that follow each other. */
static size_t behind_tallies(const shard *of, size_t word, size_t tallies)
{
    for (; tallies > 0; tallies--) {
        word += BRACKETS;
        for (int q = 0; q < 3; q++) {
            word += BRACKET + (size_t)get(of, word + KEPT_COUNT - LOW);
        }
    }
    return word;
}

static trn_spread_settings settings_of(const trn_leaf *leaf, uint32_t shards, uint32_t number)
{
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = SAMPLES;
    settings.shards = shards;
    settings.shard = number;
    settings.without_indices = true;
    return settings;
}

/* A shard of so many, which the caller frees; so few samples are all in the last one. */
static shard genuine_shard(const trn_leaf *leaf, uint32_t shards, uint32_t number)
{
    const trn_spread_settings settings = settings_of(leaf, shards, number);
    shard made = {NULL, 0};
    trn_spread *run = spread_run(leaf, &settings);
    assert_int_equal(trn_spread_pack(run, &made.bytes, &made.length, NULL), TRN_OK);
    trn_spread_free(run);
    return made;
}

static void assert_forged(trn_spread *run, const shard *forged, const char *what)
{
    trn_error error = {0};
    seal(forged);
    const trn_status status = trn_spread_join(run, forged->bytes, forged->length, &error);
    if (status != TRN_OUT_OF_DOMAIN || strstr(error.text, "no run of --shard writes") == NULL) {
        print_error("%s is taken: %s\n", what, status == TRN_OK ? "joined" : error.text);
        fail();
    }
}

static void refuse_word(trn_spread *run, const shard *of, size_t word, uint64_t number, const char *what)
{
    const uint64_t before = get(of, word);
    put(of, word, number);
    assert_forged(run, of, what);
    put(of, word, before);
    seal(of);
}

static void refuse_head(trn_spread *run, const shard *of)
{
    refuse_word(run, of, HEAD_SAMPLES, 0, "no sample");
    refuse_word(run, of, HEAD_SAMPLES, TRN_SPREAD_SAMPLES_MAX + 1, "more samples than any run has");
    refuse_word(run, of, HEAD_SHARDS, 0, "no shards");
    refuse_word(run, of, HEAD_SHARDS, TRN_SPREAD_SHARDS_MAX + 1, "more shards than any run has");
    refuse_word(run, of, HEAD_SHARDS, (UINT64_C(1) << 32) + 1, "shards that 32 bits do not hold");
    refuse_word(run, of, HEAD_SHARD, 0, "shard 0");
    refuse_word(run, of, HEAD_SHARD, 2, "shard 2 of 1");
}

static void refuse_tally(trn_spread *run, const shard *of, size_t tally)
{
    const uint64_t kept = get(of, tally + KEPT_COUNT);
    assert_true(kept > 1);
    refuse_word(run, of, tally + COUNT, SAMPLES + 1, "a tally of more samples than the shard has");
    refuse_word(run, of, tally + COUNT, SAMPLES - 1, "a tally of fewer");
    refuse_word(run, of, tally + LOW, bits_of((double)NAN), "a bracket from what is no number");
    refuse_word(run, of, tally + HIGH, bits_of((double)NAN), "a bracket to what is no number");
    refuse_word(run, of, tally + HIGH, bits_of(-HUGE_VAL), "a bracket that ends before it begins");
    refuse_word(run, of, tally + BELOW, SAMPLES + 1, "more samples below than there are");
    refuse_word(run, of, tally + BELOW, SAMPLES - kept + 1, "more samples below and kept than there are");
    refuse_word(run, of, tally + MISSED, 2, "a truth that is neither yes nor no");
    refuse_word(run, of, tally + KEPT_COUNT, UINT64_MAX, "kept values beyond the end");
    refuse_word(run, of, tally + KEPT_COUNT, kept - 1, "a kept value too few");
    refuse_word(run, of, tally + KEPT, bits_of((double)NAN), "a kept value that is no number");
    refuse_word(run, of, tally + KEPT + 1, bits_of(HUGE_VAL), "an infinite one");
}

static void refuse_lengths(trn_spread *run, const shard *of)
{
    shard longer = {calloc(1, of->length + WORD), of->length + WORD};
    assert_non_null(longer.bytes);
    memcpy(longer.bytes, of->bytes, of->length);
    assert_forged(run, &longer, "a word too many");
    longer.length = of->length - WORD;
    assert_forged(run, &longer, "a word too few");
    longer.length = FRONT + WORD * (HEAD_WORDS + 1);
    assert_forged(run, &longer, "a head alone");
    free(longer.bytes);
}

/* Counts of samples stand behind the tallies of each direction and of each holding. */
static void refuse_counts(trn_spread *run, const shard *of)
{
    const size_t sides = behind_tallies(of, HEAD_WORDS, 2 * (size_t)SPREAD_ANGLES);
    const size_t over = behind_tallies(of, sides, 1);
    const size_t end = (of->length - FRONT) / WORD;
    refuse_tally(run, of, sides);
    refuse_word(run, of, over, SAMPLES + 1, "more samples over the limit than there are");
    refuse_word(run, of, over + 1, SAMPLES + 1, "more over in either direction than there are");
    refuse_word(run, of, end - 2, SAMPLES + 1, "more samples that do not hold than there are");
}

/* Brackets in which nothing is kept have to be brackets too. */
static void refuse_empty(trn_spread *run, const trn_leaf *leaf)
{
    const shard empty = genuine_shard(leaf, 2, 1);
    assert_int_equal(get(&empty, HEAD_WORDS + KEPT_COUNT), 0);
    refuse_word(run, &empty, HEAD_WORDS + LOW, bits_of((double)NAN), "an empty bracket from what is no number");
    refuse_word(run, &empty, HEAD_WORDS + HIGH, bits_of(-HUGE_VAL) ^ 1, "an empty bracket to what is no number");
    free(empty.bytes);
}

static void forged_shards(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = settings_of(leaf, 0, 0);
    const shard genuine = genuine_shard(leaf, 1, 1);
    trn_spread *whole = spread_run(leaf, &settings);
    trn_spread *run = spread_begin(leaf, &settings);
    refuse_head(run, &genuine);
    refuse_tally(run, &genuine, HEAD_WORDS);
    refuse_counts(run, &genuine);
    refuse_lengths(run, &genuine);
    refuse_empty(run, leaf);
    /* Nothing was taken of any of them. */
    assert_int_equal(trn_spread_join(run, genuine.bytes, genuine.length, NULL), TRN_OK);
    spread_finish(run);
    const trn_spread_case *want = trn_spread_result_of(whole)->cases;
    const trn_spread_case *got = trn_spread_result_of(run)->cases;
    assert_memory_equal(got->rows, want->rows, 2 * SPREAD_ANGLES * sizeof *want->rows);
    assert_memory_equal(got->sides, want->sides, sizeof want->sides);
    trn_spread_free(run);
    trn_spread_free(whole);
    free(genuine.bytes);
    trn_description_free(description);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(forged_shards)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
