/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fields of a CSV text by RFC 4180, with blanks around them forgiven. */
#include "csv.h"

static void step(csv_scanner *from)
{
    const unsigned char c = (unsigned char)*from->at++;
    if (c == '\n') {
        from->place.line++;
        from->place.column = 1;
    } else if ((c & 0xC0) != 0x80) {
        from->place.column++;
    }
}

static bool stands(const csv_scanner *from, char c)
{
    return from->at < from->end && *from->at == c;
}

static void pass_blanks(csv_scanner *from)
{
    while (stands(from, ' ') || stands(from, '\t')) {
        step(from);
    }
}

static bool line_ends(const csv_scanner *from)
{
    const bool pair = stands(from, '\r') && from->end - from->at > 1 && from->at[1] == '\n';
    return from->at == from->end || pair || stands(from, '\n');
}

/* Behind the opening quote; a quote within is doubled. False where the text ends first. */
static bool pass_quoted(csv_scanner *from, csv_field *field)
{
    field->text = from->at;
    while (from->at < from->end) {
        if (stands(from, '"')) {
            field->length = (size_t)(from->at - field->text);
            step(from);
            if (!stands(from, '"')) {
                return true;
            }
        }
        step(from);
    }
    return false;
}

static void pass_plain(csv_scanner *from, csv_field *field)
{
    field->text = from->at;
    while (from->at < from->end && !line_ends(from) && *from->at != ',' && *from->at != '\r') {
        step(from);
    }
    field->length = (size_t)(from->at - field->text);
}

static void trim(csv_field *field)
{
    while (field->length > 0 && (*field->text == ' ' || *field->text == '\t')) {
        field->text++;
        field->length--;
    }
    while (field->length > 0 && (field->text[field->length - 1] == ' ' || field->text[field->length - 1] == '\t')) {
        field->length--;
    }
}

/* Pass what parts the field from the next one. */
static csv_after pass_end(csv_scanner *from, trn_faults *faults)
{
    if (stands(from, ',')) {
        step(from);
        return CSV_COMMA;
    }
    if (line_ends(from)) {
        if (stands(from, '\r')) {
            step(from);
        }
        if (from->at < from->end) {
            step(from);
        }
        return CSV_LINE_END;
    }
    if (stands(from, '\r')) {
        dsc_faults_add(faults, from->place,
                       "a carriage return without a line feed: expected lines that end in CR LF or LF");
    } else {
        dsc_faults_add(faults, from->place, "text after the closing quote: expected a comma or the end of the line");
    }
    return CSV_BROKEN;
}

csv_after csv_next_field(csv_scanner *from, trn_faults *faults, csv_field *field)
{
    pass_blanks(from);
    *field = (csv_field){.place = from->place, .quoted = stands(from, '"')};
    if (field->quoted) {
        step(from);
        if (!pass_quoted(from, field)) {
            dsc_faults_add(faults, field->place,
                           "the quote is not closed: expected another \" at the end of the field");
            return CSV_BROKEN;
        }
        pass_blanks(from);
    } else {
        pass_plain(from, field);
    }
    trim(field);
    return pass_end(from, faults);
}
