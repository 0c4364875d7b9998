/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file every_call.h
 * Every kind of work that the library does, each as one function of a subject that gives a digest of the bits of what
 * came out: for the tests that fail its memory, and for those that call it from many threads.
 */
#ifndef TRN_TEST_EVERY_CALL_H
#define TRN_TEST_EVERY_CALL_H

#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/trunnion.h"

enum { CALL_ANGLES = 16 };

/** What is worked on: read once, and only looked at from then on. */
typedef struct subject {
    const char *name;
    char *text;
    char *record_text;
    char *wind_text;
    trn_description *description;
    const trn_leaf *leaf;
    trn_record record;
    trn_wind_series winds;
    double angles_rad[CALL_ANGLES];
} subject;

/** FNV-1a over the bits of numbers and letters. */
typedef struct digest {
    uint64_t bits;
} digest;

static inline void digest_bytes(digest *of, const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < length; i++) {
        of->bits = (of->bits ^ at[i]) * UINT64_C(1099511628211);
    }
}

static inline void digest_number(digest *of, double value)
{
    digest_bytes(of, &value, sizeof value);
}

static inline void digest_numbers(digest *of, const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        digest_number(of, values[i]);
    }
}

static inline void digest_text(digest *of, const char *text)
{
    digest_bytes(of, text, strlen(text));
}

static inline char *text_of_file(const char *name)
{
    FILE *file = fopen(name, "rb");
    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    const long length = ftell(file);
    assert_true(length > 0);
    rewind(file);
    char *text = malloc((size_t)length + 1);
    assert_non_null(text);
    assert_int_equal(fread(text, 1, (size_t)length, file), length);
    text[length] = '\0';
    assert_int_equal(fclose(file), 0);
    return text;
}

static inline void subject_read(subject *of, const char *name, const char *leaf_file, const char *record_file)
{
    trn_faults faults;
    *of = (subject){.name = name,
                    .text = text_of_file(leaf_file),
                    .record_text = text_of_file(record_file),
                    .wind_text = text_of_file("examples/records/gusty.csv")};
    assert_int_equal(trn_description_read(of->text, strlen(of->text), &of->description, &faults), TRN_OK);
    of->leaf = trn_description_leaf(of->description);
    assert_int_equal(trn_record_read(of->record_text, strlen(of->record_text), &of->record, &faults), TRN_OK);
    assert_int_equal(trn_wind_series_read(of->wind_text, strlen(of->wind_text), &of->winds, &faults), TRN_OK);
    for (size_t i = 0; i < CALL_ANGLES; i++) {
        of->angles_rad[i] = of->leaf->opens_to_rad * (double)i / (CALL_ANGLES - 1);
    }
}

static inline void subject_free(subject *of)
{
    trn_wind_series_free(&of->winds);
    trn_record_free(&of->record);
    trn_description_free(of->description);
    free(of->wind_text);
    free(of->record_text);
    free(of->text);
}

static inline void digest_leaf(digest *into, const trn_leaf *leaf)
{
    const trn_balance balance = trn_leaf_balance(leaf);
    digest_text(into, leaf->name);
    digest_number(into, balance.weight_N);
    digest_number(into, balance.closed_moment_Nm);
    digest_number(into, balance.moment_Nm);
    digest_number(into, balance.inertia_kg_m2);
    digest_number(into, balance.toe_reaction_N);
}

static inline trn_status call_describe(const subject *of, digest *into)
{
    trn_faults faults;
    trn_description *read = NULL;
    const trn_status status = trn_description_read(of->text, strlen(of->text), &read, &faults);
    if (status != TRN_OK) {
        assert_null(read);
        return status;
    }
    const trn_taken_default *taken = NULL;
    const size_t count = trn_description_defaults(read, &taken);
    for (size_t i = 0; i < count; i++) {
        digest_text(into, taken[i].value);
    }
    digest_leaf(into, trn_description_leaf(read));
    trn_description_free(read);
    return TRN_OK;
}

/* What was there before a failed addition is there after it. */
static inline trn_status call_add(const subject *of, digest *into)
{
    trn_error error;
    trn_faults faults;
    trn_description *read = NULL;
    trn_status status = trn_description_read(of->text, strlen(of->text), &read, &faults);
    if (status != TRN_OK) {
        return status;
    }
    const double before = trn_leaf_balance(trn_description_leaf(read)).weight_N;
    status = trn_description_add(read, "cable: 120 kg at [6 m, 0.9 m]", &error);
    if (status == TRN_OK) {
        digest_leaf(into, trn_description_leaf(read));
    } else {
        assert_same_bits(trn_leaf_balance(trn_description_leaf(read)).weight_N, before);
    }
    trn_description_free(read);
    return status;
}

static inline trn_status call_words(const subject *of, digest *into)
{
    (void)of;
    trn_error error;
    double numbers[2];
    trn_upset_text upset;
    trn_gust gust;
    trn_status status = trn_angle_read("40 degree", &numbers[0], &error);
    if (status == TRN_OK) {
        status = trn_time_read("2.5 min", &numbers[1], &error);
    }
    if (status == TRN_OK) {
        status = trn_upset_read("gust 12 m/s for 8 s at 40deg closing", &upset, &error);
    }
    if (status == TRN_OK) {
        status = trn_gust_read("90 Pa for 8 s at 20 s", &gust, &error);
    }
    if (status == TRN_OK) {
        digest_numbers(into, numbers, 2);
        digest_number(into, upset.upset.angle_rad);
        digest_number(into, gust.start_s);
    }
    return status;
}

static inline trn_status call_tables(const subject *of, digest *into)
{
    trn_faults faults;
    trn_record record = {0};
    trn_wind_series winds = {0};
    trn_status status = trn_record_read(of->record_text, strlen(of->record_text), &record, &faults);
    if (status == TRN_OK) {
        status = trn_wind_series_read(of->wind_text, strlen(of->wind_text), &winds, &faults);
    }
    if (status == TRN_OK) {
        for (size_t i = 0; i < record.count; i++) {
            digest_number(into, record.readings[i].angle_rad);
            digest_number(into, record.readings[i].value);
        }
        for (size_t i = 0; i < winds.record.count; i++) {
            digest_number(into, winds.points[i].value);
        }
    }
    trn_wind_series_free(&winds);
    trn_record_free(&record);
    return status;
}

static inline trn_status call_curve(const subject *of, digest *into)
{
    trn_error error;
    trn_status status = TRN_OK;
    digest_leaf(into, of->leaf);
    for (size_t k = 0; k < of->leaf->case_count && status == TRN_OK; k++) {
        trn_moments rows[CALL_ANGLES];
        status = trn_leaf_curve(of->leaf, &of->leaf->cases[k], of->angles_rad, CALL_ANGLES, rows, &error);
        for (size_t i = 0; i < CALL_ANGLES && status == TRN_OK; i++) {
            digest_number(into, rows[i].opening_Nm);
            digest_number(into, rows[i].closing_Nm);
            digest_number(into, rows[i].motor_opening_Nm);
            digest_number(into, rows[i].link_opening_N);
        }
    }
    return status;
}

static inline trn_status call_drive(const subject *of, digest *into)
{
    trn_error error;
    trn_rating rating;
    trn_duty_rating duty;
    trn_status status = TRN_OK;
    for (size_t k = 0; k < of->leaf->case_count && status == TRN_OK; k++) {
        status = trn_leaf_rating(of->leaf, &of->leaf->cases[k], TRN_OPENING, 1, &rating, &error);
        digest_number(into, status == TRN_OK ? rating.use : 0);
    }
    if (status == TRN_OK && of->leaf->duty != NULL) {
        status = trn_leaf_duty(of->leaf, &duty, &error);
        digest_number(into, status == TRN_OK ? duty.rms_Nm : 0);
    }
    return status;
}

static inline trn_status call_brake(const subject *of, digest *into)
{
    trn_error error;
    trn_holding_rating rating;
    trn_stop stop;
    double heats_J[16];
    trn_status status = TRN_OK;
    assert_true(of->leaf->brake_count <= 16);
    for (size_t k = 0; k < of->leaf->holding_count && status == TRN_OK; k++) {
        status = trn_leaf_holding(of->leaf, &of->leaf->holdings[k], &rating, &error);
        digest_number(into, status == TRN_OK ? rating.factor : 0);
    }
    if (status == TRN_OK) {
        status = trn_leaf_worst_stop(of->leaf, &stop, heats_J, &error);
    }
    if (status == TRN_OK) {
        digest_number(into, stop.run_rad);
        digest_numbers(into, heats_J, of->leaf->brake_count);
    }
    return status;
}

static inline trn_status call_wind(const subject *of, digest *into)
{
    trn_error error;
    double speeds_m_s[CALL_ANGLES];
    trn_wind_lowest lowest;
    trn_status status = TRN_OK;
    for (int action = TRN_RAISE; action <= TRN_HOLD && status == TRN_OK; action++) {
        const trn_wind_question asked = {.action = (trn_action)action, .motors_running = 1};
        status = trn_wind_limits_at(of->leaf, asked, of->angles_rad, CALL_ANGLES, speeds_m_s, &error);
        if (status == TRN_OK) {
            digest_numbers(into, speeds_m_s, CALL_ANGLES);
            status = trn_wind_limit(of->leaf, asked, &lowest, &error);
        }
        digest_number(into, status == TRN_OK ? lowest.angle_rad : 0);
    }
    return status;
}

static inline void digest_run(digest *into, const trn_run *run)
{
    digest_number(into, run->time_s);
    digest_number(into, run->end_angle_rad);
    digest_number(into, run->rms_motor_Nm);
    for (size_t i = 0; i < run->row_count; i++) {
        digest_number(into, run->rows[i].angle_rad);
        digest_number(into, run->rows[i].motor_Nm);
    }
    for (size_t i = 0; i < run->event_count; i++) {
        digest_number(into, run->events[i].time_s);
    }
}

static inline trn_status call_run(const subject *of, digest *into)
{
    trn_error error;
    trn_run run;
    const trn_upset upsets[] = {{.kind = TRN_UPSET_BRAKE_OUT}, {.kind = TRN_UPSET_POWER_LOST, .angle_rad = 0.6}};
    trn_run_setting setting = trn_default_run_setting(of->leaf);
    setting.upsets = upsets;
    setting.upset_count = 2;
    setting.sample_every_s = 0.5;
    setting.wind_record = &of->winds.record;
    trn_status status = trn_leaf_run(of->leaf, &setting, &run, &error);
    if (status == TRN_OK) {
        digest_run(into, &run);
        trn_run_free(&run);
    }
    return status;
}

static inline trn_status call_switch(const subject *of, digest *into)
{
    trn_error error;
    trn_switch_place place;
    const trn_run_setting setting = trn_default_run_setting(of->leaf);
    const trn_status status = trn_leaf_switch_place(of->leaf, &setting, 0.01, &place, &error);
    if (status == TRN_OK) {
        digest_number(into, place.nearest_rad);
        digest_run(into, &place.early);
        digest_run(into, &place.late);
        trn_run_free(&place.early);
        trn_run_free(&place.given);
        trn_run_free(&place.late);
    }
    return status;
}

static inline trn_status measure_with(const subject *of, bool ordinary, digest *into)
{
    trn_error error;
    trn_measurement found;
    trn_measure_settings settings = trn_default_measure_settings();
    settings.ordinary = ordinary;
    settings.friction_by_reaction = ordinary;
    trn_measured_reading *readings = calloc(of->record.count, sizeof *readings);
    trn_status status = TRN_NO_MEMORY;
    if (readings != NULL) {
        status = trn_leaf_measure(of->leaf, &of->record, &settings, readings, &found, &error);
    }
    if (status == TRN_OK) {
        digest_number(into, found.a_Nm.value);
        digest_number(into, found.b_Nm.sd);
        digest_number(into, found.friction_Nm.high95);
        digest_number(into, (double)found.warning_count);
        for (size_t i = 0; i < of->record.count; i++) {
            digest_number(into, readings[i].fitted_Nm);
        }
    }
    free(readings);
    return status;
}

static inline trn_status call_measure(const subject *of, digest *into)
{
    const trn_status status = measure_with(of, false, into);
    return status == TRN_OK ? measure_with(of, true, into) : status;
}

static inline trn_status call_ballast(const subject *of, digest *into)
{
    enum { POCKETS = 64 };
    trn_error error;
    trn_ballast_move moves[POCKETS];
    trn_ballast_plan plan;
    const trn_ballast_settings settings = trn_default_ballast_settings();
    assert_true(trn_leaf_pocket_total(of->leaf) <= POCKETS);
    const trn_status status = trn_leaf_ballast(of->leaf, &settings, moves, &plan, &error);
    if (status == TRN_OK) {
        digest_number(into, plan.blocks_handled);
        for (size_t i = 0; i < trn_leaf_pocket_total(of->leaf); i++) {
            digest_number(into, moves[i].after);
        }
    }
    return status;
}

static inline void digest_spread(digest *into, const trn_spread_result *result)
{
    for (size_t k = 0; k < result->case_count; k++) {
        for (size_t i = 0; i < 2 * (size_t)CALL_ANGLES; i++) {
            digest_number(into, result->cases[k].rows[i].demand_Nm.mean);
            digest_number(into, result->cases[k].rows[i].demand_Nm.p95);
        }
        digest_number(into, result->cases[k].over_limit_probability);
    }
}

static inline trn_status spread_to_end(trn_spread *run, trn_error *error)
{
    double done = 0;
    trn_status status = TRN_OK;
    while (done < 1 && status == TRN_OK) {
        status = trn_spread_advance(run, &done, error);
    }
    return status;
}

/* One half of the samples, packed. */
static inline trn_status half_of(const subject *of, trn_spread_settings settings, unsigned char **bytes, size_t *length)
{
    trn_error error;
    trn_spread *run = NULL;
    settings.shards = 2;
    trn_status status = trn_spread_new(of->leaf, &settings, &run, &error);
    if (status == TRN_OK) {
        status = spread_to_end(run, &error);
    }
    if (status == TRN_OK) {
        status = trn_spread_pack(run, bytes, length, &error);
    }
    trn_spread_free(run);
    return status;
}

static inline trn_status call_spread(const subject *of, digest *into)
{
    trn_error error;
    trn_spread *run = NULL;
    trn_spread_settings settings = trn_default_spread_settings();
    settings.cases = of->leaf->cases;
    settings.case_count = of->leaf->case_count;
    settings.angles_rad = of->angles_rad;
    settings.angle_count = CALL_ANGLES;
    settings.samples = 200;
    trn_status status = trn_spread_new(of->leaf, &settings, &run, &error);
    for (uint32_t k = 1; k <= 2 && status == TRN_OK; k++) {
        unsigned char *bytes = NULL;
        size_t length = 0;
        settings.shard = k;
        status = half_of(of, settings, &bytes, &length);
        if (status == TRN_OK) {
            status = trn_spread_join(run, bytes, length, &error);
        }
        free(bytes);
    }
    if (status == TRN_OK) {
        status = spread_to_end(run, &error);
    }
    if (status == TRN_OK) {
        digest_spread(into, trn_spread_result_of(run));
    }
    trn_spread_free(run);
    return status;
}

static inline trn_status call_tally(const subject *of, digest *into)
{
    trn_tally_settings settings = trn_default_tally_settings();
    settings.scale = 4;
    trn_tally *one = trn_tally_new(&settings);
    trn_tally *other = trn_tally_new(&settings);
    trn_status status = one != NULL && other != NULL ? TRN_OK : TRN_NO_MEMORY;
    if (status == TRN_OK) {
        status = trn_tally_add(one, of->angles_rad, CALL_ANGLES);
    }
    if (status == TRN_OK) {
        status = trn_tally_add(other, of->angles_rad, CALL_ANGLES / 2);
    }
    if (status == TRN_OK) {
        status = trn_tally_join(one, other);
    }
    if (status == TRN_OK) {
        digest_number(into, trn_tally_moments_of(one).sd);
        digest_number(into, trn_tally_quantile_of(one, 1).value);
    }
    trn_tally_free(one);
    trn_tally_free(other);
    return status;
}

static inline trn_status call_operation(const subject *of, digest *into)
{
    trn_error error;
    trn_operation operation;
    trn_step_time times[64];
    assert_true(of->leaf->step_count <= 64);
    const trn_status status =
        trn_operation_times(of->leaf->steps, of->leaf->step_count, 80, 90, times, &operation, &error);
    digest_number(into, status == TRN_OK ? operation.total_s : 0);
    return status;
}

/** A kind of work, and the leaves that have what it needs. */
typedef struct library_call {
    const char *name;
    trn_status (*work)(const subject *of, digest *into);
    bool takes_no_memory;
} library_call;

static const library_call library_calls[] = {
    {"describe", call_describe, false}, {"add", call_add, false},         {"words", call_words, false},
    {"tables", call_tables, false},     {"curve", call_curve, true},      {"drive", call_drive, true},
    {"brake", call_brake, true},        {"wind", call_wind, true},        {"run", call_run, false},
    {"switch", call_switch, false},     {"measure", call_measure, false}, {"ballast", call_ballast, false},
    {"spread", call_spread, false},     {"tally", call_tally, false},     {"operation", call_operation, true},
};

enum { LIBRARY_CALLS = sizeof library_calls / sizeof library_calls[0] };

#define DIGEST_START UINT64_C(14695981039346656037)

#endif
