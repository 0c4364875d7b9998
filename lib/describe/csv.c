/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "c_locale.h"
#include "document.h"
#include "trunnion/record.h"

#define NUMBER_MAX ((size_t)100)

/* What one reading carries along; the units make it too large for the stack. */
typedef struct csv_reader {
    csv_scanner from;
    const csv_form *form;
    void *into;
    trn_faults *faults;
    dsc_units units;
    dsc_kept_unit kept[DSC_UNITS_PLACES]; /* of them */
    csv_columns columns;
    dsc_place empty_line; /* line 0 where none waits for something to follow it */
    bool has_lines;
} csv_reader;

static bool is_empty(const csv_line *taken)
{
    return taken->count == 1 && taken->fields[0].length == 0 && !taken->fields[0].quoted;
}

static bool has_wanted_count(csv_reader *reader, const csv_line *taken)
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

static trn_status take_line(csv_reader *reader, const csv_line *taken)
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
    reader->has_lines = true;
    return has_wanted_count(reader, taken) ? reader->form->take(reader->into, taken, &reader->columns, reader->faults)
                                           : TRN_OK;
}

/* One line; *going is false where no other can be told apart after it. */
static trn_status read_line(csv_reader *reader, bool *going)
{
    csv_line taken;
    taken.count = 0;
    taken.number = reader->from.place.line;
    csv_after after = CSV_COMMA;
    while (after == CSV_COMMA) {
        csv_field field;
        after = csv_next_field(&reader->from, reader->faults, &field);
        if (after == CSV_BROKEN) {
            *going = false;
            return TRN_OK;
        }
        taken.last = field.place;
        if (taken.count < CSV_COLUMNS_KEPT) {
            taken.fields[taken.count] = field;
        }
        if (taken.count == reader->columns.count) {
            taken.surplus = field.place;
        }
        taken.count++;
    }
    return take_line(reader, &taken);
}

static trn_status read_lines(csv_reader *reader)
{
    trn_status status = TRN_OK;
    bool going = true;
    while (status == TRN_OK && going && !reader->faults->more && reader->from.at < reader->from.end) {
        status = read_line(reader, &going);
    }
    if (status == TRN_OK && !reader->has_lines && reader->faults->count == 0) {
        dsc_faults_add(reader->faults, (dsc_place){2, 1}, "there is no reading: expected lines after the headings");
    }
    return status;
}

static trn_status read_table(csv_reader *reader)
{
    bool usable = false;
    if (reader->from.at == reader->from.end) {
        dsc_faults_add(reader->faults, (dsc_place){1, 1}, "the record is empty: expected headings such as %s",
                       reader->form->example);
        return TRN_BAD_DESCRIPTION;
    }
    trn_status status =
        csv_read_headings(&reader->from, reader->form, &reader->units, reader->faults, &reader->columns, &usable);
    if (status == TRN_OK && usable) {
        status = read_lines(reader);
    }
    return status == TRN_OK && reader->faults->count > 0 ? TRN_BAD_DESCRIPTION : status;
}

static trn_status read_in_c_locale(csv_reader *reader)
{
    dsc_c_locale entered;
    if (!dsc_c_locale_enter(&entered)) {
        return TRN_NO_MEMORY;
    }
    const trn_status status = read_table(reader);
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

trn_status csv_read(const char *text, size_t length, const csv_form *form, void *into, csv_columns *columns,
                    trn_faults *faults)
{
    static const char byte_order_mark[] = "\xEF\xBB\xBF";
    faults->count = 0;
    faults->more = false;
    const size_t skipped = length >= 3 && memcmp(text, byte_order_mark, 3) == 0 ? 3 : 0;
    if (!is_sound(text + skipped, length - skipped, faults)) {
        return TRN_BAD_DESCRIPTION;
    }
    csv_reader *reader = calloc(1, sizeof *reader);
    if (!reader) {
        return TRN_NO_MEMORY;
    }
    reader->from = (csv_scanner){.at = text + skipped, .end = text + length, .place = {1, 1}};
    reader->form = form;
    reader->into = into;
    reader->faults = faults;
    reader->units.kept = reader->kept;
    const trn_status status = read_in_c_locale(reader);
    *columns = reader->columns;
    free(reader);
    if (status != TRN_OK && status != TRN_BAD_DESCRIPTION) {
        faults->count = 0;
        faults->more = false;
    }
    return status;
}

void *csv_room_for_one(void *items, size_t count, size_t *room, size_t size)
{
    if (count < *room) {
        return items;
    }
    const size_t wanted = *room == 0 ? 1024 : 2 * *room;
    void *grown = realloc(items, wanted * size);
    if (grown) {
        *room = wanted;
    }
    return grown;
}

bool csv_refuse(const csv_field *cell, const csv_role *role, trn_faults *faults, const char *expected)
{
    char shown[DSC_EXCERPT];
    if (cell->length == 0) {
        dsc_faults_add(faults, cell->place, "%s: the value is missing: expected %s", role->name, expected);
    } else {
        dsc_faults_add(faults, cell->place, "%s: \"%s\" is not right: expected %s", role->name,
                       dsc_excerpt(shown, cell->text, cell->length), expected);
    }
    return false;
}

static const char *number_wanted(const csv_field *cell)
{
    const size_t digits = dsc_number_length(cell->text, cell->length);
    if (digits > 0 && digits < cell->length && cell->text[digits] == ',') {
        return "a number (the decimal mark is a point)";
    }
    return digits > 0 ? "a number alone; its unit stands in the heading" : "a number such as 12.5";
}

bool csv_read_number(const csv_field *cell, const csv_role *role, double scale, trn_faults *faults, double *value)
{
    char copy[NUMBER_MAX + 1];
    if (cell->length == 0 || dsc_number_length(cell->text, cell->length) != cell->length) {
        return csv_refuse(cell, role, faults, number_wanted(cell));
    }
    if (cell->length > NUMBER_MAX) {
        return csv_refuse(cell, role, faults, "a number of at most 100 characters");
    }
    memcpy(copy, cell->text, cell->length);
    copy[cell->length] = '\0';
    errno = 0;
    const double read = strtod(copy, NULL) * scale;
    if (errno == ERANGE || !(read >= role->low && read <= role->high)) {
        return csv_refuse(cell, role, faults, role->bounds);
    }
    *value = read;
    return true;
}
