/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "csv.h"
#include "trunnion/describe_run.h"

enum { TIME, SPEED, PRESSURE };

static const csv_role roles[] = {
    [TIME] = {"time", "s", DSC_TIME, CSV_REQUIRED, NULL, 0, 1e12, "a time from 0 to 1e12 s"},
    [SPEED] = {"speed", "m/s", DSC_SPEED, CSV_ONE_OF, NULL, 0, 100, "a wind speed from 0 to 100 m/s"},
    [PRESSURE] = {"pressure", "Pa", DSC_PRESSURE, CSV_ONE_OF, NULL, 0, 1e5, "a wind pressure from 0 to 100 kPa"},
};
#define ROLES (sizeof roles / sizeof *roles)
_Static_assert(ROLES <= CSV_ROLES_MAX, "a form keeps a place for each of its roles");

typedef struct series_reader {
    trn_wind_point *points;
    size_t count;
    size_t room;
} series_reader;

static trn_status keep(series_reader *reader, trn_wind_point point)
{
    trn_wind_point *points = csv_room_for_one(reader->points, reader->count, &reader->room, sizeof *points);
    if (!points) {
        return TRN_NO_MEMORY;
    }
    reader->points = points;
    reader->points[reader->count++] = point;
    return TRN_OK;
}

static void check_time(const series_reader *reader, double time_s, dsc_place place, trn_faults *faults)
{
    if (reader->count > 0 && !(time_s > reader->points[reader->count - 1].time_s)) {
        dsc_faults_add(faults, place, "time: %.10g s does not come after %.10g s: expected times that ascend", time_s,
                       reader->points[reader->count - 1].time_s);
    }
}

static trn_status take_line(void *into, const csv_line *line, const csv_columns *columns, trn_faults *faults)
{
    series_reader *reader = into;
    trn_wind_point point = {0, 0};
    bool good = true;
    for (size_t i = 0; i < line->count && i < CSV_COLUMNS_KEPT; i++) {
        const csv_column *column = &columns->at[i];
        good = column->role < ROLES &&
               csv_read_number(&line->fields[i], &roles[column->role], column->scale, faults,
                               column->role == TIME ? &point.time_s : &point.value) &&
               good;
        if (good && column->role == TIME) {
            check_time(reader, point.time_s, line->fields[i].place, faults);
        }
    }
    /* Kept also beside faults elsewhere, so that the next time is held against this one. */
    return good ? keep(reader, point) : TRN_OK;
}

static const csv_form form = {
    .example = "time [s],speed [m/s]",
    .headings = "time [s], and one of speed [m/s] and pressure [Pa]",
    .further = "",
    .one_of = "speed and pressure",
    .roles = roles,
    .role_count = ROLES,
    .take = take_line,
};

trn_status trn_wind_series_read(const char *text, size_t length, trn_wind_series *series, trn_faults *faults)
{
    csv_columns columns;
    series_reader reader = {0};
    const trn_status status = csv_read(text, length, &form, &reader, &columns, faults);
    if (status == TRN_OK) {
        *series = (trn_wind_series){
            .record = {.by_speed = columns.value == SPEED, .points = reader.points, .count = reader.count},
            .points = reader.points};
    } else {
        free(reader.points);
    }
    return status;
}

void trn_wind_series_free(trn_wind_series *series)
{
    free(series->points);
    *series = (trn_wind_series){0};
}
