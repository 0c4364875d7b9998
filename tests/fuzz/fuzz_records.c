/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bytes are a table: a record of wind, and that of a balance test, which a leaf with all that it needs is fitted
 * to. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "checks.h"
#include "require.h"
#include "target.h"
#include "trunnion/describe_run.h"
#include "trunnion/measure.h"
#include "trunnion/record.h"

static bool not_negative(double value)
{
    return isfinite(value) && value >= 0;
}

static void check_series(const char *text, size_t length)
{
    trn_faults faults;
    trn_wind_series series = {.record = {.count = 77}};
    memset(&faults, 0xA5, sizeof faults);
    const trn_status status = trn_wind_series_read(text, length, &series, &faults);
    if (status != TRN_OK) {
        REQUIRE(status == TRN_BAD_DESCRIPTION && series.record.count == 77);
        check_faults(&faults, text, length);
        return;
    }
    REQUIRE(faults.count == 0 && !faults.more && series.record.count >= 1);
    const trn_wind_point *points = series.record.points;
    const trn_wind calm = trn_default_wind();
    for (size_t i = 0; i < series.record.count; i++) {
        REQUIRE(not_negative(points[i].time_s) && not_negative(points[i].value));
        REQUIRE(i == 0 || points[i].time_s > points[i - 1].time_s);
        REQUIRE(not_negative(trn_wind_pressure_at(&calm, NULL, &series.record, points[i].time_s)));
    }
    trn_wind_series_free(&series);
}

static const char leaf_text[] =
    "leaf: tiny\nopens_to: 76 degree\ntoe: 20 m\n"
    "parts: [{name: leaf, weight: 300 kN, at: [1 m, 0.5 m], gyration: 9 m}]\n"
    "surfaces: [{name: deck, from: [0 m, 0.8 m], to: [20 m, 0.8 m], width: 8 m}]\n"
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}}\n"
    "drive: {ratio: 1200, efficiency: 0.9}\n"
    "motors: {installed: 2, power: 22 kW, speed: 870 rpm, inertia: 1 kg m2, peak: 2}\n"
    "gauged_shaft: {ratio: 12, shafts: 2, diameter: 200 mm, shear_modulus: 82 GPa, efficiency: 0.93}\n"
    "travel: {speed: 1.1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 68 degree, near_closed: 7 degree,\n"
    "         decelerate_in: 6 s}\n";

static void check_estimate(const trn_estimate *of)
{
    REQUIRE(isfinite(of->value) && not_negative(of->sd) && isfinite(of->low95) && isfinite(of->high95));
    REQUIRE(of->low95 <= of->value && of->value <= of->high95);
}

enum { ESTIMATES = 6 };

static void check_fit(const trn_leaf *leaf, const trn_record *record, const trn_measure_settings *settings)
{
    trn_error error;
    trn_measurement found;
    const trn_status status = trn_leaf_measure(leaf, record, settings, NULL, &found, &error);
    if (status != TRN_OK) {
        REQUIRE(error.status == status);
        check_message(error.text, sizeof error.text);
        return;
    }
    const trn_estimate *estimates[ESTIMATES] = {&found.a_Nm,      &found.b_Nm,           &found.moment_Nm,
                                                &found.angle_rad, &found.toe_reaction_N, &found.friction_Nm};
    for (size_t i = 0; i < ESTIMATES; i++) {
        check_estimate(estimates[i]);
    }
    REQUIRE(not_negative(found.residual_sd_Nm) && isfinite(found.student95));
    REQUIRE(found.used + found.outside + found.rejected == record->count);
    REQUIRE(found.warning_count <= TRN_WARNINGS_MAX);
    for (size_t i = 0; i < found.warning_count; i++) {
        check_message(found.warnings[i].text, sizeof found.warnings[i].text);
    }
}

static void check_measurement(const trn_record *record)
{
    trn_measure_settings settings = trn_default_measure_settings();
    trn_description *description = read_and_check(leaf_text, strlen(leaf_text));
    REQUIRE(description != NULL);
    for (int i = 0; i < 4; i++) {
        settings.ordinary = (i & 1) != 0;
        settings.friction_by_reaction = (i & 2) != 0;
        check_fit(trn_description_leaf(description), record, &settings);
    }
    trn_description_free(description);
}

static void check_record(const char *text, size_t length)
{
    trn_faults faults;
    trn_record record = {.count = 77};
    memset(&faults, 0xA5, sizeof faults);
    const trn_status status = trn_record_read(text, length, &record, &faults);
    if (status != TRN_OK) {
        REQUIRE(status == TRN_BAD_DESCRIPTION && record.count == 77);
        check_faults(&faults, text, length);
        return;
    }
    REQUIRE(faults.count == 0 && !faults.more && record.count >= 1 && record.kind <= TRN_RECORD_MOTOR_POWER);
    for (size_t i = 0; i < record.count; i++) {
        const trn_reading *reading = &record.readings[i];
        REQUIRE(isfinite(reading->angle_rad) && isfinite(reading->value) && isfinite(reading->time_s));
        REQUIRE(not_negative(reading->wind_speed_m_s) && reading->run >= 0 && reading->run <= TRN_RUN_MAX);
    }
    check_measurement(&record);
    trn_record_free(&record);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    check_series((const char *)data, size);
    check_record((const char *)data, size);
    return 0;
}
