/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "width.h"

#include <stdint.h>
#include <string.h>
#include <unistr.h>
#include <uniwidth.h>

size_t text_width(const char *text)
{
    const int width = u8_strwidth((const uint8_t *)text, "UTF-8");
    return width > 0 ? (size_t)width : 0;
}

/* In tenths of a letter of middle width: what others take in the fonts of plots. */
static size_t drawn_tenths(ucs4_t character)
{
    static const struct {
        const char *letters;
        size_t tenths;
    } widths[] = {{" !\"'()*,-./:;I[\\]`fijlrt{|}", 7}, {"Mw", 14}, {"Wm@%", 16}, {"ABCDEFGHJKLNOPQRSTUVXYZ", 12}};
    if (character >= 0x80) {
        const int width = uc_width(character, "UTF-8");
        return width > 0 ? 10 * (size_t)width : 0;
    }
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        if (strchr(widths[i].letters, (int)character) != NULL) {
            return widths[i].tenths;
        }
    }
    return 10;
}

size_t text_fitting(const char *text, size_t letters)
{
    const uint8_t *at = (const uint8_t *)text;
    size_t taken = 0;
    ucs4_t character;
    for (const uint8_t *next; (next = u8_next(&character, at)) != NULL; at = next) {
        taken += drawn_tenths(character);
        if (taken > 10 * letters) {
            break;
        }
    }
    return (size_t)((const char *)at - text);
}
