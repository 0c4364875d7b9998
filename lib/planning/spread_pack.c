/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A shard as bytes: whole numbers and IEEE 754 doubles of 8 bytes, the least
 * first, so that any machine reads what any other wrote; a checksum at the end.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "spread_parts.h"

static const unsigned char magic[16] = "trunnion shard1";

/* Bytes of it, at the end. */
#define CHECKSUM ((size_t)8)

/* Bytes that grow. */
typedef struct bytes {
    unsigned char *data;
    size_t length;
    size_t room;
    bool failed;
} bytes;

static void put(bytes *into, const void *data, size_t length)
{
    if (into->failed) {
        return;
    }
    if (into->length + length > into->room) {
        const size_t room = 2 * (into->length + length) + 4096;
        unsigned char *grown = realloc(into->data, room);
        if (grown == NULL) {
            into->failed = true;
            return;
        }
        into->data = grown;
        into->room = room;
    }
    memcpy(into->data + into->length, data, length);
    into->length += length;
}

static void put_number(bytes *into, uint64_t number)
{
    unsigned char eight[8];
    for (int i = 0; i < 8; i++) {
        eight[i] = (unsigned char)(number >> (8 * i));
    }
    put(into, eight, sizeof eight);
}

static void put_double(bytes *into, double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    put_number(into, bits);
}

/* Bytes that are read; short where there were too few: from there on fewer are left than a number has. */
typedef struct source {
    const unsigned char *at;
    size_t left;
    bool is_short;
} source;

static uint64_t get_number(source *from)
{
    uint64_t number = 0;
    if (from->left < 8) {
        from->is_short = true;
        return 0;
    }
    for (int i = 0; i < 8; i++) {
        number |= (uint64_t)from->at[i] << (8 * i);
    }
    from->at += 8;
    from->left -= 8;
    return number;
}

static double get_double(source *from)
{
    const uint64_t bits = get_number(from);
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

/* FNV-1a. */
static uint64_t checksum(const unsigned char *data, size_t length)
{
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    for (size_t i = 0; i < length; i++) {
        hash = (hash ^ data[i]) * UINT64_C(0x100000001B3);
    }
    return hash;
}

static void put_tally(bytes *into, const trn_tally *tally)
{
    put_number(into, tally->count);
    for (size_t i = 0; i < TALLY_POWERS; i++) {
        put_number(into, tally->sums[i].high);
        put_number(into, tally->sums[i].low);
    }
    for (size_t q = 0; q < tally->bracket_count; q++) {
        const tally_bracket *of = &tally->brackets[q];
        put_double(into, of->low);
        put_double(into, of->high);
        put_number(into, of->below);
        put_number(into, of->missed);
        put_number(into, of->count);
        for (size_t i = 0; i < of->count; i++) {
            put_double(into, of->kept[i]);
        }
    }
}

/* Whether a bracket of so many samples is one that a run writes; what is no number makes a comparison false. */
static bool bracket_is_sound(source *from, uint64_t samples)
{
    const double low = get_double(from);
    const double high = get_double(from);
    const uint64_t below = get_number(from);
    const uint64_t missed = get_number(from);
    const uint64_t count = get_number(from);
    bool sound = low <= high && below <= samples && count <= samples - below && missed <= 1 && count <= from->left / 8;
    for (uint64_t i = 0; sound && i < count; i++) {
        const double kept = get_double(from);
        sound = kept >= low && kept <= high && isfinite(kept);
    }
    return sound;
}

static bool tally_is_sound(source *from, uint64_t samples)
{
    bool sound = get_number(from) == samples;
    for (size_t i = 0; i < 2 * (size_t)TALLY_POWERS; i++) {
        (void)get_number(from);
    }
    for (size_t q = 0; sound && q < QUANTILES; q++) {
        sound = bracket_is_sound(from, samples);
    }
    return sound;
}

/* So many tallies, each with so many counts of samples behind it. */
static bool tallies_are_sound(source *from, size_t tallies, size_t counts, uint64_t samples)
{
    bool sound = true;
    for (size_t i = 0; sound && i < tallies; i++) {
        sound = tally_is_sound(from, samples);
        for (size_t k = 0; sound && k < counts; k++) {
            sound = get_number(from) <= samples;
        }
    }
    return sound;
}

/* A checksum can be made for anything: the content is looked through before any of it is taken. */
static bool content_is_sound(const trn_spread *run, const trn_spread_shard *shard, source from)
{
    uint64_t first;
    uint64_t end;
    spread_part_of(shard->samples, shard->shards, shard->shard, &first, &end);
    const uint64_t least = first * CHUNK < shard->samples ? first * CHUNK : shard->samples;
    const uint64_t most = end * CHUNK < shard->samples ? end * CHUNK : shard->samples;
    const uint64_t samples = most - least;
    /* A leaf without motors has no limit that its peaks would be told of: none are taken. */
    const uint64_t peaks = run->sides[0].has_use ? samples : 0;
    return tallies_are_sound(&from, run->row_count, 0, samples) &&
           tallies_are_sound(&from, run->side_count, 2, peaks) &&
           tallies_are_sound(&from, run->holding_count, 1, samples) && from.left == CHECKSUM;
}

/* Kept values straight into a bracket that is empty. */
static trn_status get_bracket(source *from, tally_bracket *of)
{
    of->low = get_double(from);
    of->high = get_double(from);
    of->below = get_number(from);
    of->missed = get_number(from) != 0;
    const uint64_t count = get_number(from);
    of->kept = malloc((size_t)(count + 1) * sizeof *of->kept);
    if (of->kept == NULL) {
        return TRN_NO_MEMORY;
    }
    of->room = (size_t)count + 1;
    for (; of->count < count; of->count++) {
        of->kept[of->count] = get_double(from);
    }
    return TRN_OK;
}

/* Read a tally and join it into one that is there. */
static trn_status join_tally(source *from, trn_tally *into)
{
    const trn_tally_settings settings = trn_default_tally_settings();
    trn_tally *read = trn_tally_new(&settings);
    trn_status status = read != NULL ? TRN_OK : TRN_NO_MEMORY;
    if (status == TRN_OK) {
        read->count = get_number(from);
        for (size_t i = 0; i < TALLY_POWERS; i++) {
            read->sums[i].high = get_number(from);
            read->sums[i].low = get_number(from);
        }
    }
    for (size_t q = 0; status == TRN_OK && q < read->bracket_count; q++) {
        status = get_bracket(from, &read->brackets[q]);
    }
    if (status == TRN_OK) {
        status = trn_tally_join(into, read);
    }
    trn_tally_free(read);
    return status;
}

trn_status trn_spread_pack(const trn_spread *spread, unsigned char **packed, size_t *length, trn_error *error)
{
    bytes made = {0};
    const trn_spread_settings *of = &spread->settings;
    put(&made, magic, sizeof magic);
    const uint64_t head[] = {spread->fingerprint, of->seed,          of->samples,        of->shards,
                             of->shard,           spread->row_count, spread->side_count, spread->holding_count};
    for (size_t i = 0; i < sizeof head / sizeof *head; i++) {
        put_number(&made, head[i]);
    }
    for (size_t i = 0; i < spread->row_count; i++) {
        put_tally(&made, spread->rows[i].tally);
    }
    for (size_t i = 0; i < spread->side_count; i++) {
        put_tally(&made, spread->sides[i].peak);
        put_number(&made, spread->sides[i].over);
        put_number(&made, spread->sides[i].over_either);
    }
    for (size_t i = 0; i < spread->holding_count; i++) {
        put_tally(&made, spread->holdings[i].peak);
        put_number(&made, spread->holdings[i].not_held);
    }
    put_number(&made, made.failed ? 0 : checksum(made.data, made.length));
    if (made.failed) {
        free(made.data);
        return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
    }
    *packed = made.data;
    *length = made.length;
    return TRN_OK;
}

static trn_status not_written(trn_error *error)
{
    return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                         "the shard is damaged: it holds numbers that no run of --shard writes");
}

trn_status trn_spread_peek(const unsigned char *packed, size_t length, trn_spread_shard *shard, trn_error *error)
{
    if (length < sizeof magic || memcmp(packed, magic, sizeof magic) != 0) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "this is no shard: expected a file that --shard wrote");
    }
    source tail = {packed + length - CHECKSUM, CHECKSUM, false};
    source from = {packed + sizeof magic, length - sizeof magic, false};
    (void)get_number(&from);
    const uint64_t seed = get_number(&from);
    const uint64_t samples = get_number(&from);
    const uint64_t shards = get_number(&from);
    const uint64_t number = get_number(&from);
    if (from.is_short || checksum(packed, length - CHECKSUM) != get_number(&tail)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the shard is damaged: its checksum is not that of its content");
    }
    if (samples < 1 || samples > TRN_SPREAD_SAMPLES_MAX || shards > TRN_SPREAD_SHARDS_MAX || number < 1 ||
        number > shards) {
        return not_written(error);
    }
    *shard =
        (trn_spread_shard){.seed = seed, .samples = samples, .shards = (uint32_t)shards, .shard = (uint32_t)number};
    return TRN_OK;
}

/* What must agree before a shard is taken. */
static trn_status check_shard(trn_spread *run, const trn_spread_shard *shard, source *from, trn_error *error)
{
    const trn_spread_settings *of = &run->settings;
    const uint64_t fingerprint = get_number(from);
    from->at += 32;
    from->left -= 32;
    const uint64_t rows = get_number(from);
    const uint64_t sides = get_number(from);
    const uint64_t holdings = get_number(from);
    if (sides != run->side_count) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the shard is of another --case, or of a file of other cases");
    }
    if (rows != run->row_count) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "the shard has %.17g angles of each case and direction, this run has %.17g: expected the "
                             "same --step for all shards and the merge",
                             (double)rows / (double)sides, (double)run->row_count / (double)run->side_count);
    }
    /* Before the fingerprint, which goes with the seed. */
    if (shard->seed != of->seed || shard->samples != of->samples ||
        (run->joined != NULL && shard->shards != run->joined_of)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "the shard is of another seed, number of samples or number of shards than the one before");
    }
    if (holdings != run->holding_count || fingerprint != run->fingerprint) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "the shard has this run's cases and angles by number, but is of another leaf file or "
                             "another case, or of a machine that computes sines to other bits");
    }
    if (run->joined != NULL && run->joined[shard->shard - 1]) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "shard %u of %u is given twice", shard->shard, shard->shards);
    }
    return TRN_OK;
}

static trn_status begin_joining(trn_spread *run, uint32_t shards)
{
    run->joined = calloc((size_t)shards + 1, sizeof *run->joined);
    if (run->joined == NULL) {
        return TRN_NO_MEMORY;
    }
    run->joined_of = shards;
    run->next_chunk = run->to_chunk;
    return pass_begin(run);
}

static trn_status join_all(trn_spread *run, source *from)
{
    trn_status status = TRN_OK;
    for (size_t i = 0; i < run->row_count && status == TRN_OK; i++) {
        status = join_tally(from, run->rows[i].tally);
    }
    for (size_t i = 0; i < run->side_count && status == TRN_OK; i++) {
        status = join_tally(from, run->sides[i].peak);
        run->sides[i].over += get_number(from);
        run->sides[i].over_either += get_number(from);
    }
    for (size_t i = 0; i < run->holding_count && status == TRN_OK; i++) {
        status = join_tally(from, run->holdings[i].peak);
        run->holdings[i].not_held += get_number(from);
    }
    return status;
}

trn_status trn_spread_join(trn_spread *spread, const unsigned char *packed, size_t length, trn_error *error)
{
    trn_spread_shard shard = {0};
    trn_status status = trn_spread_peek(packed, length, &shard, error);
    if (status != TRN_OK) {
        return status;
    }
    source from = {packed + sizeof magic, length - sizeof magic, false};
    status = check_shard(spread, &shard, &from, error);
    if (status != TRN_OK) {
        return status;
    }
    if (!content_is_sound(spread, &shard, from)) {
        return not_written(error);
    }
    if (spread->joined == NULL) {
        status = begin_joining(spread, shard.shards);
    }
    status = status == TRN_OK ? join_all(spread, &from) : status;
    if (status != TRN_OK) {
        return trn_error_set(error, status, "%s", trn_status_text(status));
    }
    spread->joined[shard.shard - 1] = true;
    return TRN_OK;
}

uint32_t trn_spread_lacking(const trn_spread *spread)
{
    for (uint32_t i = 0; spread->joined != NULL && i < spread->joined_of; i++) {
        if (!spread->joined[i]) {
            return i + 1;
        }
    }
    return 0;
}
