/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>
#include <string.h>

#include "characters.h"
#include "document.h"

/* What YAML calls printable, and the tab and the line ends; a byte order mark is right only at the start. */
static bool is_allowed(uint32_t point)
{
    if (point < 0x20) {
        return point == '\t' || point == '\n' || point == '\r';
    }
    if (point >= 0x7F && point < 0xA0) {
        return point == 0x85;
    }
    return point != 0xFEFF && point != 0xFFFE && point != 0xFFFF;
}

static dsc_place place_at(const unsigned char *text, size_t offset)
{
    dsc_place place = {1, 1};
    for (size_t i = 0; i < offset; i++) {
        if (text[i] == '\n' || (text[i] == '\r' && text[i + 1] != '\n')) {
            place.line++;
            place.column = 1;
        } else if ((text[i] & 0xC0) != 0x80) {
            place.column++;
        }
    }
    return place;
}

bool dsc_text_is_sound(const char *text, size_t length, trn_faults *faults)
{
    if (length > TRN_DESCRIPTION_MAX) {
        dsc_faults_add(faults, (dsc_place){1, 1}, "the description is too long: expected at most %zu MiB",
                       TRN_DESCRIPTION_MAX / 1024 / 1024);
        return false;
    }
    return dsc_characters_are_sound(text, length, faults);
}

bool dsc_characters_are_sound(const char *text, size_t length, trn_faults *faults)
{
    const unsigned char *bytes = (const unsigned char *)text;
    size_t at = 0;
    while (at < length) {
        size_t step = 1;
        uint32_t point = bytes[at];
        if (point >= 0x7F || point < 0x20) {
            point = dsc_character_at(bytes + at, length - at, &step);
        }
        if (step == 0) {
            dsc_faults_add(faults, place_at(bytes, at), "byte 0x%02X is not valid UTF-8: expected UTF-8 text",
                           (unsigned)bytes[at]);
            return false;
        }
        if (!is_allowed(point)) {
            dsc_faults_add(faults, place_at(bytes, at), "character U+%04X is not allowed: expected printable text",
                           (unsigned)point);
            return false;
        }
        at += step;
    }
    return true;
}
