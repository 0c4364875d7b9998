/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/record.h"

#include <stdlib.h>
#include <string.h>

#include "csv.h"

enum {
    ANGLE,
    DIRECTION,
    LEAF_TORQUE, /* from here to MOTOR_POWER in the order of trn_record_kind */
    MOTOR_TORQUE,
    SHAFT_TORQUE,
    SHAFT_STRAIN,
    MOTOR_POWER,
    TIME,
    RUN,
    WIND_SPEED,
    WIND_SIDE
};

#define TORQUE_BOUNDS -1e12, 1e12, "a torque up to 1e12 N m"

static const csv_role roles[] = {
    [ANGLE] = {"angle", "degree", DSC_ANGLE, CSV_REQUIRED, NULL, DSC_RADIANS(-30), DSC_RADIANS(150),
               "an opening angle from -30 to 150 degree"},
    [DIRECTION] = {"direction", NULL, DSC_PURE, CSV_REQUIRED, NULL, 0, 0, ""},
    [LEAF_TORQUE] = {"leaf torque", "kN m", DSC_TORQUE, CSV_ONE_OF, NULL, TORQUE_BOUNDS},
    [MOTOR_TORQUE] = {"motor torque", "N m", DSC_TORQUE, CSV_ONE_OF, NULL, TORQUE_BOUNDS},
    [SHAFT_TORQUE] = {"shaft torque", "kN m", DSC_TORQUE, CSV_ONE_OF, NULL, TORQUE_BOUNDS},
    [SHAFT_STRAIN] = {"shaft strain", "1e-6", DSC_PURE, CSV_ONE_OF, NULL, -0.1, 0.1, "a strain up to 0.1"},
    [MOTOR_POWER] = {"motor power", "kW", DSC_POWER, CSV_ONE_OF, NULL, -1e12, 1e12, "a power up to 1e12 W"},
    [TIME] = {"time", "s", DSC_TIME, CSV_WHERE_WANTED, NULL, -1e12, 1e12, "a time up to 1e12 s"},
    [RUN] = {"run", NULL, DSC_PURE, CSV_WHERE_WANTED, NULL, 0, TRN_RUN_MAX, "a whole number from 0 to 9999"},
    [WIND_SPEED] = {"wind speed", "m/s", DSC_SPEED, CSV_WHERE_WANTED, NULL, 0, 100, "a wind speed from 0 to 100 m/s"},
    [WIND_SIDE] = {"wind side", NULL, DSC_PURE, CSV_WHERE_WANTED, "wind speed", 0, 0, ""},
};
#define ROLES (sizeof roles / sizeof *roles)
_Static_assert(ROLES <= CSV_ROLES_MAX, "a form keeps a place for each of its roles");

/* The time of the last reading of a direction of a run. */
typedef struct last_time {
    bool known;
    double time_s;
} last_time;

/* What one reading of a record carries along; too large for the stack. */
typedef struct record_reader {
    last_time last[TRN_RUN_MAX + 1][2];
    trn_reading *readings;
    size_t count;
    size_t room;
} record_reader;

static trn_status keep(record_reader *reader, const trn_reading *reading)
{
    trn_reading *readings = csv_room_for_one(reader->readings, reader->count, &reader->room, sizeof *readings);
    if (!readings) {
        return TRN_NO_MEMORY;
    }
    reader->readings = readings;
    reader->readings[reader->count++] = *reading;
    return TRN_OK;
}

/* Speeds are taken from differences of times, so that these have to ascend. */
static void check_time(record_reader *reader, const trn_reading *reading, dsc_place place, trn_faults *faults)
{
    last_time *last = &reader->last[reading->run][reading->direction];
    if (last->known && !(reading->time_s > last->time_s)) {
        dsc_faults_add(faults, place,
                       "time: %.10g s does not come after %.10g s, the last of this run and direction: expected times "
                       "that ascend (several runs have a column \"run\")",
                       reading->time_s, last->time_s);
    }
    *last = (last_time){true, reading->time_s};
}

static bool read_run(const csv_field *cell, trn_faults *faults, int *run)
{
    int number = 0;
    for (size_t i = 0; i < cell->length; i++) {
        const char c = cell->text[i];
        number = c >= '0' && c <= '9' ? 10 * number + (c - '0') : TRN_RUN_MAX + 1;
        if (number > TRN_RUN_MAX) {
            break;
        }
    }
    if (cell->length == 0 || number > TRN_RUN_MAX) {
        return csv_refuse(cell, &roles[RUN], faults, roles[RUN].bounds);
    }
    *run = number;
    return true;
}

static bool is_word(const csv_field *cell, const char *word)
{
    return strlen(word) == cell->length && memcmp(word, cell->text, cell->length) == 0;
}

/* 0 for the first word, 1 for the second, -1 with a fault for anything else. */
static int read_choice(const csv_field *cell, size_t role, trn_faults *faults, const char *first, const char *second,
                       const char *expected)
{
    if (is_word(cell, first)) {
        return 0;
    }
    if (is_word(cell, second)) {
        return 1;
    }
    (void)csv_refuse(cell, &roles[role], faults, expected);
    return -1;
}

/* Put a cell into the reading; false, with a fault, where it does not obey. */
static bool read_cell(const csv_field *cell, const csv_column *column, trn_faults *faults, trn_reading *into)
{
    int choice;
    double *number = &into->value;
    switch (column->role) {
    case ROLES:
        return false;
    case RUN:
        return read_run(cell, faults, &into->run);
    case DIRECTION:
        choice = read_choice(cell, DIRECTION, faults, "opening", "closing", "opening or closing");
        into->direction = choice == 0 ? TRN_OPENING : TRN_CLOSING;
        return choice >= 0;
    case WIND_SIDE:
        choice = read_choice(cell, WIND_SIDE, faults, "heel", "toe", "heel or toe");
        into->wind_from = choice == 0 ? TRN_WIND_FROM_HEEL : TRN_WIND_FROM_TOE;
        return choice >= 0;
    case ANGLE:
        number = &into->angle_rad;
        break;
    case TIME:
        number = &into->time_s;
        break;
    case WIND_SPEED:
        number = &into->wind_speed_m_s;
        break;
    default:
        break;
    }
    return csv_read_number(cell, &roles[column->role], column->scale, faults, number);
}

static trn_status take_line(void *into, const csv_line *line, const csv_columns *columns, trn_faults *faults)
{
    record_reader *reader = into;
    bool good = true;
    dsc_place time = {0, 0};
    trn_reading reading = {.run = 1, .wind_from = TRN_WIND_FROM_ADVERSE, .line = line->number};
    for (size_t i = 0; i < line->count && i < CSV_COLUMNS_KEPT; i++) {
        good = read_cell(&line->fields[i], &columns->at[i], faults, &reading) && good;
        time = columns->at[i].role == TIME ? line->fields[i].place : time;
    }
    if (good && time.line > 0) {
        check_time(reader, &reading, time, faults);
    }
    return faults->count == 0 ? keep(reader, &reading) : TRN_OK;
}

static const csv_form form = {
    .example = "angle [degree],direction,leaf torque [kN m]",
    .headings =
        "angle [degree], direction, and one of leaf torque, motor torque, shaft torque, shaft strain, motor power",
    .further = "; and, where wanted, time, run, wind speed, wind side",
    .one_of = "torque, strain and power",
    .roles = roles,
    .role_count = ROLES,
    .take = take_line,
};

trn_status trn_record_read(const char *text, size_t length, trn_record *record, trn_faults *faults)
{
    csv_columns columns;
    faults->count = 0;
    faults->more = false;
    record_reader *reader = calloc(1, sizeof *reader);
    if (!reader) {
        return TRN_NO_MEMORY;
    }
    const trn_status status = csv_read(text, length, &form, reader, &columns, faults);
    if (status == TRN_OK) {
        *record = (trn_record){.kind = (trn_record_kind)(columns.value - LEAF_TORQUE),
                               .has_time = csv_has(&columns, TIME),
                               .has_wind = csv_has(&columns, WIND_SPEED),
                               .readings = reader->readings,
                               .count = reader->count};
    } else {
        free(reader->readings);
    }
    free(reader);
    return status;
}

void trn_record_free(trn_record *record)
{
    free(record->readings);
    *record = (trn_record){0};
}
