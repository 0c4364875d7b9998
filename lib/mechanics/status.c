/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/status.h"

#include <stdarg.h>
#include <stdio.h>

const char *trn_status_text(trn_status status)
{
    switch (status) {
#define STATUS_CASE(name, text) \
    case name:                  \
        return text;
        TRN_STATUS_LIST(STATUS_CASE)
#undef STATUS_CASE
    }
    return "unknown status";
}

/* A text that was cut may end within a character of UTF-8: drop what there is of it. */
static void drop_cut_character(char *text, size_t length)
{
    size_t at = length;
    while (at > 0 && ((unsigned char)text[at - 1] & 0xC0) == 0x80) {
        at--;
    }
    if (at > 0 && (unsigned char)text[at - 1] >= 0xC0) {
        text[at - 1] = '\0';
    }
}

trn_status trn_error_set(trn_error *error, trn_status status, const char *format, ...)
{
    if (error != NULL) {
        va_list arguments;
        va_start(arguments, format);
        error->status = status;
        const int length = vsnprintf(error->text, sizeof error->text, format, arguments);
        va_end(arguments);
        if (length >= TRN_ERROR_TEXT) {
            drop_cut_character(error->text, TRN_ERROR_TEXT - 1);
        }
    }
    return status;
}
