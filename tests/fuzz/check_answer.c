/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "checks.h"
#include "require.h"

/* Bytes of the character at text by its first byte and those that follow; 0 where it is no whole one. */
static size_t whole_character(const unsigned char *text, size_t left)
{
    size_t bytes = text[0] < 0x80 ? 1 : text[0] < 0xC2 ? 0 : text[0] < 0xE0 ? 2 : text[0] < 0xF0 ? 3 : 4;
    if (bytes > left) {
        return 0;
    }
    for (size_t i = 1; i < bytes; i++) {
        if ((text[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    return bytes;
}

bool is_utf8(const char *text, size_t length)
{
    const unsigned char *bytes = (const unsigned char *)text;
    size_t step = 1;
    for (size_t at = 0; at < length && step > 0; at += step) {
        step = whole_character(bytes + at, length - at);
    }
    return step > 0;
}

void check_line(const char *text, size_t room)
{
    const size_t length = strnlen(text, room);
    REQUIRE(length > 0 && length < room);
    for (size_t i = 0; i < length; i++) {
        REQUIRE((unsigned char)text[i] >= 0x20 && text[i] != 0x7F);
    }
}

void check_message(const char *text, size_t room)
{
    check_line(text, room);
    REQUIRE(is_utf8(text, strlen(text)));
    /* U+2028 and U+2029 end a line; U+0080 to U+009F are controls, which some terminals obey. */
    REQUIRE(!strstr(text, "\xE2\x80\xA8") && !strstr(text, "\xE2\x80\xA9"));
    for (const char *at = strstr(text, "\xC2"); at; at = strstr(at + 1, "\xC2")) {
        REQUIRE((unsigned char)at[1] >= 0xA0);
    }
}

/* Line ends of every kind that YAML knows, so that no count of lines can be larger. */
static size_t count_lines(const char *text, size_t length)
{
    size_t lines = 1;
    for (size_t i = 0; i < length; i++) {
        const unsigned char byte = (unsigned char)text[i];
        /* U+0085 ends in 0x85, U+2028 and U+2029 in 0xA8 and 0xA9. */
        lines += byte == '\n' || byte == '\r' || byte == 0x85 || byte == 0xA8 || byte == 0xA9;
    }
    return lines;
}

static int compare_places(const trn_fault *a, const trn_fault *b)
{
    return a->line != b->line ? a->line - b->line : a->column - b->column;
}

void check_faults(const trn_faults *faults, const char *text, size_t length)
{
    REQUIRE(faults->count >= 1 && faults->count <= TRN_FAULTS_MAX);
    REQUIRE(!faults->more || faults->count == TRN_FAULTS_MAX);
    const size_t lines = count_lines(text, length);
    for (size_t i = 0; i < faults->count; i++) {
        const trn_fault *fault = &faults->at[i];
        REQUIRE(fault->line >= 1 && (size_t)fault->line <= lines + 1);
        REQUIRE(fault->column >= 1 && (size_t)fault->column <= length + 1);
        check_message(fault->text, sizeof fault->text);
        for (size_t j = 0; j < i; j++) {
            const int order = compare_places(&faults->at[j], fault);
            REQUIRE(order <= 0);
            REQUIRE(order < 0 || strcmp(faults->at[j].text, fault->text) != 0);
        }
    }
}

trn_description *read_and_check(const char *text, size_t length)
{
    static char elsewhere;
    trn_description *const untouched = (trn_description *)(void *)&elsewhere;
    trn_description *description = untouched;
    trn_faults faults;
    memset(&faults, 0xA5, sizeof faults);
    const trn_status status = trn_description_read(text, length, &description, &faults);
    if (status == TRN_OK) {
        REQUIRE(faults.count == 0 && !faults.more);
        REQUIRE(description != NULL && description != untouched);
        return description;
    }
    /* Neither memory nor units can run out here: either would be a bound that the reader lacks. */
    REQUIRE(status == TRN_BAD_DESCRIPTION);
    REQUIRE(description == untouched);
    check_faults(&faults, text, length);
    return NULL;
}
