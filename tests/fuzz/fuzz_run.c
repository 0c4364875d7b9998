/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bytes are what a run is told: an upset, a gust, a record of wind; and a record of a balance test, read alike. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "checks.h"
#include "require.h"
#include "target.h"
#include "trunnion/describe_run.h"
#include "trunnion/record.h"

static bool not_negative(double value)
{
    return isfinite(value) && value >= 0;
}

/* A refusal names its column, in one line. */
static void check_refusal(trn_status status, const trn_error *error, const char *text)
{
    REQUIRE(status == TRN_OUT_OF_DOMAIN && error->status == status);
    REQUIRE(strncmp(error->text, "column ", 7) == 0);
    check_line(error->text, sizeof error->text);
    REQUIRE(is_utf8(error->text, strlen(error->text)) || !is_utf8(text, strlen(text)));
}

static void check_gust_values(const trn_gust *gust)
{
    REQUIRE(not_negative(gust->rise_m_s) && not_negative(gust->rise_Pa) && not_negative(gust->start_s));
    REQUIRE(isfinite(gust->lasts_s) && gust->lasts_s > 0);
    REQUIRE(gust->by_speed ? !(gust->rise_Pa > 0) : !(gust->rise_m_s > 0));
    const trn_wind calm = trn_default_wind();
    for (int i = -1; i <= 9; i++) {
        const double time_s = gust->start_s + gust->lasts_s * i / 8;
        REQUIRE(not_negative(trn_wind_pressure_at(&calm, gust, NULL, time_s)));
    }
}

static void check_gust(const char *text)
{
    trn_error error;
    trn_gust gust;
    memset(&error, 0xA5, sizeof error);
    const trn_status status = trn_gust_read(text, &gust, &error);
    if (status != TRN_OK) {
        check_refusal(status, &error, text);
        return;
    }
    check_gust_values(&gust);
}

static void check_upset(const char *text)
{
    trn_error error;
    trn_upset_text read;
    memset(&error, 0xA5, sizeof error);
    const trn_status status = trn_upset_read(text, &read, &error);
    if (status != TRN_OK) {
        check_refusal(status, &error, text);
        return;
    }
    REQUIRE(read.upset.kind <= TRN_UPSET_GUST && (read.opening || read.closing));
    REQUIRE(not_negative(read.upset.angle_rad) && read.upset.angle_rad <= 2.0943951023931957);
    REQUIRE(read.has_angle || !(read.upset.angle_rad > 0));
    REQUIRE(!read.has_angle ||
            (read.upset.kind != TRN_UPSET_BRAKE_OUT && read.upset.kind != TRN_UPSET_NEAR_SWITCH_MISSED));
    if (read.upset.kind == TRN_UPSET_GUST) {
        check_gust_values(&read.upset.gust);
    }
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
    trn_record_free(&record);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    REQUIRE(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    check_upset(text);
    check_gust(text);
    free(text);
    check_series((const char *)data, size);
    check_record((const char *)data, size);
    return 0;
}
