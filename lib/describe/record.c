/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/record.h"

#include <stdlib.h>
#include <string.h>

#include "c_locale.h"
#include "document.h"
#include "record_parts.h"

/* The time of the last reading of a direction of a run. */
typedef struct last_time {
    bool known;
    double time_s;
} last_time;

/* What one reading of a record carries along; too large for the stack. */
typedef struct record_reader {
    rec_scanner from;
    trn_faults *faults;
    dsc_units units;
    rec_columns columns;
    dsc_place empty_line; /* line 0 where none waits for something to follow it */
    last_time last[TRN_RUN_MAX + 1][2];
    trn_reading *readings;
    size_t count;
    size_t room;
} record_reader;

static trn_status keep(record_reader *reader, const trn_reading *reading)
{
    if (reader->count == reader->room) {
        const size_t room = reader->room == 0 ? 1024 : 2 * reader->room;
        trn_reading *grown = realloc(reader->readings, room * sizeof *grown);
        if (!grown) {
            return TRN_NO_MEMORY;
        }
        reader->readings = grown;
        reader->room = room;
    }
    reader->readings[reader->count++] = *reading;
    return TRN_OK;
}

/* Speeds are taken from differences of times, so that these have to ascend. */
static void check_time(record_reader *reader, const trn_reading *reading, dsc_place place)
{
    last_time *last = &reader->last[reading->run][reading->direction];
    if (last->known && !(reading->time_s > last->time_s)) {
        dsc_faults_add(reader->faults, place,
                       "time: %.10g s does not come after %.10g s, the last of this run and direction: expected times "
                       "that ascend (several runs have a column \"run\")",
                       reading->time_s, last->time_s);
    }
    *last = (last_time){true, reading->time_s};
}

/* The fields of a line, before they are held against the headings. */
typedef struct line {
    rec_field fields[REC_COLUMNS_KEPT];
    size_t count;
    int number;
    dsc_place last;
    dsc_place surplus; /* of the first field beyond the headings */
} line;

static bool is_empty(const line *taken)
{
    return taken->count == 1 && taken->fields[0].length == 0 && !taken->fields[0].quoted;
}

static bool has_wanted_count(record_reader *reader, const line *taken)
{
    const size_t wanted = reader->columns.count;
    if (taken->count < wanted) {
        dsc_faults_add(reader->faults, taken->last, "the line has %zu field%s: expected %zu, as there are headings",
                       taken->count, taken->count == 1 ? "" : "s", wanted);
    } else if (taken->count > wanted) {
        dsc_faults_add(reader->faults, taken->surplus,
                       "the line has %zu fields: expected %zu, as there are headings (the decimal mark is a point)",
                       taken->count, wanted);
    }
    return taken->count == wanted;
}

static trn_status take_line(record_reader *reader, const line *taken)
{
    if (is_empty(taken)) {
        reader->empty_line = reader->empty_line.line > 0 ? reader->empty_line : (dsc_place){taken->number, 1};
        return TRN_OK;
    }
    if (reader->empty_line.line > 0) {
        dsc_faults_add(reader->faults, reader->empty_line,
                       "an empty line within the record: expected empty lines at its end alone");
        reader->empty_line.line = 0;
    }
    if (!has_wanted_count(reader, taken)) {
        return TRN_OK;
    }
    bool good = true;
    dsc_place time = {0, 0};
    trn_reading reading = {.run = 1, .wind_from = TRN_WIND_FROM_ADVERSE, .line = taken->number};
    for (size_t i = 0; i < taken->count && i < REC_COLUMNS_KEPT; i++) {
        const rec_column *column = &reader->columns.at[i];
        good = rec_read_cell(&taken->fields[i], column, reader->faults, &reading) && good;
        time = column->role == REC_TIME ? taken->fields[i].place : time;
    }
    if (good && time.line > 0) {
        check_time(reader, &reading, time);
    }
    return reader->faults->count == 0 ? keep(reader, &reading) : TRN_OK;
}

/* One line; *going is false where no other can be told apart after it. */
static trn_status read_line(record_reader *reader, bool *going)
{
    line taken;
    taken.count = 0;
    taken.number = reader->from.place.line;
    rec_after after = REC_COMMA;
    while (after == REC_COMMA) {
        rec_field field;
        after = rec_next_field(&reader->from, reader->faults, &field);
        if (after == REC_BROKEN) {
            *going = false;
            return TRN_OK;
        }
        taken.last = field.place;
        if (taken.count < REC_COLUMNS_KEPT) {
            taken.fields[taken.count] = field;
        }
        if (taken.count == reader->columns.count) {
            taken.surplus = field.place;
        }
        taken.count++;
    }
    return take_line(reader, &taken);
}

static trn_status read_lines(record_reader *reader)
{
    trn_status status = TRN_OK;
    bool going = true;
    while (status == TRN_OK && going && !reader->faults->more && reader->from.at < reader->from.end) {
        status = read_line(reader, &going);
    }
    if (status == TRN_OK && reader->count == 0 && reader->faults->count == 0) {
        dsc_faults_add(reader->faults, (dsc_place){2, 1}, "there is no reading: expected lines after the headings");
    }
    return status;
}

static trn_status read_record(record_reader *reader)
{
    bool usable = false;
    if (reader->from.at == reader->from.end) {
        dsc_faults_add(reader->faults, (dsc_place){1, 1},
                       "the record is empty: expected headings such as angle [degree],direction,leaf torque [kN m]");
        return TRN_BAD_DESCRIPTION;
    }
    trn_status status = rec_read_headings(&reader->from, &reader->units, reader->faults, &reader->columns, &usable);
    if (status == TRN_OK && usable) {
        status = read_lines(reader);
    }
    return status == TRN_OK && reader->faults->count > 0 ? TRN_BAD_DESCRIPTION : status;
}

static trn_status read_in_c_locale(record_reader *reader)
{
    dsc_c_locale entered;
    if (!dsc_c_locale_enter(&entered)) {
        return TRN_NO_MEMORY;
    }
    const trn_status status = read_record(reader);
    dsc_c_locale_leave(&entered);
    return status;
}

static bool is_sound(const char *text, size_t length, trn_faults *faults)
{
    if (length > TRN_RECORD_MAX) {
        dsc_faults_add(faults, (dsc_place){1, 1}, "the record is too long: expected at most %zu MiB",
                       TRN_RECORD_MAX / 1024 / 1024);
        return false;
    }
    return dsc_characters_are_sound(text, length, faults);
}

static trn_status read_text(const char *text, size_t length, trn_record *record, trn_faults *faults)
{
    record_reader *reader = calloc(1, sizeof *reader);
    if (!reader) {
        return TRN_NO_MEMORY;
    }
    reader->from = (rec_scanner){.at = text, .end = text + length, .place = {1, 1}};
    reader->faults = faults;
    const trn_status status = read_in_c_locale(reader);
    if (status == TRN_OK) {
        *record = (trn_record){.kind = (trn_record_kind)(reader->columns.value - REC_LEAF_TORQUE),
                               .has_time = rec_has(&reader->columns, REC_TIME),
                               .has_wind = rec_has(&reader->columns, REC_WIND_SPEED),
                               .readings = reader->readings,
                               .count = reader->count};
    } else {
        free(reader->readings);
    }
    free(reader);
    return status;
}

trn_status trn_record_read(const char *text, size_t length, trn_record *record, trn_faults *faults)
{
    static const char byte_order_mark[] = "\xEF\xBB\xBF";
    faults->count = 0;
    faults->more = false;
    const size_t skipped = length >= 3 && memcmp(text, byte_order_mark, 3) == 0 ? 3 : 0;
    if (!is_sound(text + skipped, length - skipped, faults)) {
        return TRN_BAD_DESCRIPTION;
    }
    const trn_status status = read_text(text + skipped, length - skipped, record, faults);
    if (status != TRN_OK && status != TRN_BAD_DESCRIPTION) {
        faults->count = 0;
        faults->more = false;
    }
    return status;
}

void trn_record_free(trn_record *record)
{
    free(record->readings);
    *record = (trn_record){0};
}
