/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "line_text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "characters.h"
#include "document.h"

size_t dsc_line_column(const dsc_line *of, size_t at)
{
    size_t column = 1;
    for (size_t i = 0; i < at; i++) {
        column += ((unsigned char)of->text[i] & 0xC0) != 0x80;
    }
    return column;
}

trn_status dsc_line_refuse(const dsc_line *of, size_t at, const char *format, ...)
{
    char words[TRN_ERROR_TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    return trn_error_set(of->error, TRN_OUT_OF_DOMAIN, "column %zu: %s", dsc_line_column(of, at), words);
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

size_t dsc_line_after_blanks(const dsc_line *of, size_t at)
{
    while (at < of->length && is_blank(of->text[at])) {
        at++;
    }
    return at;
}

void dsc_line_skip_blanks(dsc_line *of)
{
    of->at = dsc_line_after_blanks(of, of->at);
}

size_t dsc_line_trimmed(const dsc_line *of, size_t from, size_t to, size_t *start)
{
    while (from < to && is_blank(of->text[from])) {
        from++;
    }
    while (to > from && is_blank(of->text[to - 1])) {
        to--;
    }
    *start = from;
    return to - from;
}

trn_status dsc_line_check(const dsc_line *of)
{
    trn_faults faults = {0};
    if (!dsc_text_is_sound(of->text, of->length, &faults)) {
        return trn_error_set(of->error, TRN_OUT_OF_DOMAIN, "column %d: %s", faults.at[0].column, faults.at[0].text);
    }
    for (size_t i = 0; i < of->length; i++) {
        if (dsc_control_length(of->text + i, of->length - i) > 0 && of->text[i] != '\t') {
            return dsc_line_refuse(of, i, "a control character: expected one line of printable text");
        }
    }
    return TRN_OK;
}

bool dsc_line_stands(const dsc_line *of, size_t at, const char *word)
{
    const size_t end = at + strlen(word);
    return end <= of->length && memcmp(of->text + at, word, strlen(word)) == 0 &&
           (at == 0 || is_blank(of->text[at - 1])) &&
           (end == of->length || is_blank(of->text[end]) || of->text[end] == '[');
}

size_t dsc_line_find(const dsc_line *of, size_t from, const char *word)
{
    while (from < of->length && !dsc_line_stands(of, from, word)) {
        from++;
    }
    return from;
}

trn_status dsc_line_between(dsc_line *of, size_t from, size_t to, const dsc_rule *rule, double *value, bool *good,
                            char words[DSC_WORDS])
{
    const trn_status status = dsc_quantity_read(&of->units, of->text + from, to - from, rule, value, good, words);
    return status == TRN_OK ? TRN_OK : trn_error_set(of->error, status, "%s", trn_status_text(status));
}

trn_status dsc_line_quantity(dsc_line *of, size_t from, size_t to, const dsc_rule *rule, double *value)
{
    size_t start = from;
    bool good = false;
    char words[DSC_WORDS];
    const size_t length = dsc_line_trimmed(of, from, to, &start);
    const trn_status status = dsc_line_between(of, start, start + length, rule, value, &good, words);
    return status != TRN_OK || good ? status : dsc_line_refuse(of, start, "%s", words);
}
