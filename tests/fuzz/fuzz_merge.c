/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The bytes are a part of the samples as `spread --shard` writes it, behind one byte that says what of it is mended so
 * that the content is reached: bit 0 the checksum, bit 1 the fingerprint of the leaf, as this machine computes it.
 */
#include <math.h>
#include <string.h>

#include "checks.h"
#include "require.h"
#include "target.h"
#include "trunnion/spread.h"

#define ANGLES ((size_t)2)
#define SAMPLES 12
/* Where the head has them, and how long it is with the first word behind it. */
#define FINGERPRINT_AT ((size_t)16)
#define HEAD ((size_t)80)

static const char leaf_text[] =
    "leaf: tiny\nopens_to: 76 degree\ntoe: 20 m\n"
    "parts:\n"
    "  - {name: deck, weight: 300 kN, at: [9 m, 0.5 m], uncertainty: 3 %}\n"
    "  - {name: counterweight, weight: 520 kN, at: [-5 m, -0.2 m], uncertainty: 2 %}\n"
    "surfaces: [{name: deck, from: [0 m, 0.8 m], to: [20 m, 0.8 m], width: 8 m}]\n"
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}}\n"
    "drive: {ratio: 1200, efficiency: 0.9}\n"
    "motors: {installed: 2, power: 22 kW, speed: 870 rpm, inertia: 1 kg m2, peak: 2}\n"
    "brakes: [{name: brakes, count: 2, torque: 400 N m, ratio: 1200, delay: 0.3 s, set_time: 0.5 s}]\n"
    "cases: [{name: calm}]\n"
    "holding: [{name: storm, wind: {pressure: 400 Pa, law: normal}, factor: 1}]\n";

static const double angles_rad[ANGLES] = {0, 1.2};

typedef struct packed {
    unsigned char *bytes;
    size_t length;
} packed;

static const trn_leaf *leaf_to_spread(void)
{
    static trn_description *description;
    if (!description) {
        description = read_and_check(leaf_text, strlen(leaf_text));
        REQUIRE(description != NULL);
    }
    return trn_description_leaf(description);
}

static trn_spread *make_run(uint64_t seed, uint64_t samples, uint32_t shards, uint32_t shard)
{
    const trn_leaf *leaf = leaf_to_spread();
    trn_spread *run = NULL;
    trn_spread_settings settings = trn_default_spread_settings();
    settings.cases = leaf->cases;
    settings.case_count = leaf->case_count;
    settings.angles_rad = angles_rad;
    settings.angle_count = ANGLES;
    settings.seed = seed;
    settings.samples = samples;
    settings.shards = shards;
    settings.shard = shard;
    settings.without_indices = true;
    REQUIRE(trn_spread_new(leaf, &settings, &run, NULL) == TRN_OK);
    return run;
}

/* The genuine part. */
static packed make_part(uint64_t seed, uint32_t shards, uint32_t shard)
{
    packed made = {0};
    double done = 0;
    trn_spread *run = make_run(seed, SAMPLES, shards, shard);
    while (done < 1) {
        REQUIRE(trn_spread_advance(run, &done, NULL) == TRN_OK);
    }
    REQUIRE(trn_spread_pack(run, &made.bytes, &made.length, NULL) == TRN_OK);
    trn_spread_free(run);
    return made;
}

/* FNV-1a, as the format has it. */
static void mend_checksum(unsigned char *bytes, size_t length)
{
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    for (size_t i = 0; i + 8 < length; i++) {
        hash = (hash ^ bytes[i]) * UINT64_C(0x100000001B3);
    }
    for (size_t i = 0; i < 8; i++) {
        bytes[length - 8 + i] = (unsigned char)(hash >> (8 * i));
    }
}

static void mend(unsigned char *bytes, size_t length, unsigned what)
{
    static packed genuine;
    if (!genuine.bytes) {
        genuine = make_part(1, 1, 1);
    }
    if ((what & 2) != 0 && length >= HEAD) {
        memcpy(bytes + FINGERPRINT_AT, genuine.bytes + FINGERPRINT_AT, 8);
    }
    if ((what & 1) != 0 && length >= 8) {
        mend_checksum(bytes, length);
    }
}

static void check_error(trn_status status, const trn_error *error)
{
    REQUIRE(status == TRN_OUT_OF_DOMAIN && error->status == status);
    check_message(error->text, sizeof error->text);
}

static bool is_share(double value)
{
    return value >= 0 && value <= 1;
}

static void check_values(const trn_spread_values *values)
{
    REQUIRE(isfinite(values->mean) && isfinite(values->sd) && values->sd >= 0 && isfinite(values->error));
    REQUIRE(isfinite(values->p05) && isfinite(values->p50) && isfinite(values->p95));
}

static void check_merged(trn_spread *run)
{
    const trn_spread_result *result = trn_spread_result_of(run);
    REQUIRE(result->samples == SAMPLES && result->case_count == 1 && result->holding_count == 1);
    const trn_spread_case *one = &result->cases[0];
    for (size_t i = 0; i < 2 * ANGLES; i++) {
        check_values(&one->rows[i].demand_Nm);
    }
    REQUIRE(is_share(one->over_limit_probability));
    for (size_t d = 0; d < 2; d++) {
        check_values(&one->sides[d].peak_use);
        REQUIRE(is_share(one->sides[d].over_limit_probability));
        REQUIRE(isfinite(one->sides[d].tolerance_Nm) && isfinite(one->sides[d].error_Nm));
    }
    check_values(&result->holdings[0].demand_Nm);
    REQUIRE(is_share(result->holdings[0].not_held_probability));
}

/* The other parts are the genuine ones, so that a run with a part of the fuzzer's in it comes to its end. */
static void finish(trn_spread *run, uint64_t seed, uint32_t shards)
{
    trn_error error;
    for (uint32_t lacking; (lacking = trn_spread_lacking(run)) > 0;) {
        const packed part = make_part(seed, shards, lacking);
        REQUIRE(trn_spread_join(run, part.bytes, part.length, &error) == TRN_OK);
        free(part.bytes);
    }
    double done = 0;
    trn_status status = TRN_OK;
    while (done < 1 && status == TRN_OK) {
        status = trn_spread_advance(run, &done, &error);
    }
    if (status == TRN_OK) {
        check_merged(run);
    } else {
        check_error(status, &error);
    }
}

static void merge(const unsigned char *bytes, size_t length, const trn_spread_shard *head)
{
    trn_error error;
    trn_spread *run = make_run(head->seed, SAMPLES, 0, 0);
    trn_status status = trn_spread_join(run, bytes, length, &error);
    if (status == TRN_OK) {
        REQUIRE(trn_spread_lacking(run) != head->shard);
        check_error(trn_spread_join(run, bytes, length, &error), &error);
        if (head->shards <= 3) {
            finish(run, head->seed, head->shards);
        }
    } else {
        check_error(status, &error);
        /* A part that is refused has left nothing behind: the genuine ones still make a whole. */
        const packed part = make_part(head->seed, 1, 1);
        REQUIRE(trn_spread_join(run, part.bytes, part.length, &error) == TRN_OK);
        free(part.bytes);
        finish(run, head->seed, 1);
    }
    trn_spread_free(run);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    trn_error error;
    trn_spread_shard head;
    if (size < 1) {
        return 0;
    }
    const size_t length = size - 1;
    unsigned char *bytes = malloc(length > 0 ? length : 1);
    REQUIRE(bytes != NULL);
    memcpy(bytes, data + 1, length);
    mend(bytes, length, data[0]);
    const trn_status status = trn_spread_peek(bytes, length, &head, &error);
    if (status != TRN_OK) {
        check_error(status, &error);
    } else {
        REQUIRE(head.shard >= 1 && head.shard <= head.shards);
        REQUIRE(head.samples >= 1 && head.samples <= TRN_SPREAD_SAMPLES_MAX);
        merge(bytes, length, &head);
    }
    free(bytes);
    return 0;
}
