/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <unictype.h>
#include <unistr.h>
#include <uniwidth.h>

static bool is_obeyed(ucs4_t character)
{
    return uc_is_general_category_withtable(character,
                                            UC_CATEGORY_MASK_Cc | UC_CATEGORY_MASK_Zl | UC_CATEGORY_MASK_Zp) ||
           uc_is_property_bidi_control(character);
}

size_t plain_print(FILE *stream, const char *text)
{
    enum { ESCAPED = 4 };
    const uint8_t *at = (const uint8_t *)text;
    size_t left = strlen(text);
    size_t columns = 0;
    while (left > 0) {
        ucs4_t character = 0;
        const int read = u8_mbtoucr(&character, at, left);
        const size_t length = read > 0 ? (size_t)read : 1;
        const bool escaped = read <= 0 || is_obeyed(character);
        for (size_t i = 0; i < length; i++) {
            (void)fprintf(stream, escaped ? "\\x%02x" : "%c", at[i]);
        }
        const int width = escaped ? (int)(ESCAPED * length) : uc_width(character, "UTF-8");
        columns += width > 0 ? (size_t)width : 0;
        at += length;
        left -= length;
    }
    return columns;
}
