/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "characters.h"

typedef struct span {
    uint32_t first;
    uint32_t last;
} span;

/* Bytes of the character that starts with this byte, 0 where none does. */
static size_t character_length(unsigned char first)
{
    if (first < 0x80) {
        return 1;
    }
    if (first >= 0xC2 && first <= 0xDF) {
        return 2;
    }
    if ((first & 0xF0) == 0xE0) {
        return 3;
    }
    return first >= 0xF0 && first <= 0xF4 ? 4 : 0;
}

uint32_t dsc_character_at(const unsigned char *text, size_t left, size_t *length)
{
    static const uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    size_t bytes = character_length(text[0]);
    *length = 0;
    if (bytes == 0 || bytes > left) {
        return 0;
    }
    uint32_t point = bytes == 1 ? text[0] : text[0] & (0xFFU >> (bytes + 1));
    for (size_t i = 1; i < bytes; i++) {
        if ((text[i] & 0xC0) != 0x80) {
            return 0;
        }
        point = point << 6 | (text[i] & 0x3FU);
    }
    if (point < smallest[bytes] || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) {
        return 0;
    }
    *length = bytes;
    return point;
}

static bool is_within(uint32_t point, const span *spans, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (point >= spans[i].first && point <= spans[i].last) {
            return true;
        }
    }
    return false;
}

/* Controls, line ends, what Unicode calls Default_Ignorable_Code_Point, marks of annotations, and no characters. */
static bool is_unseen(uint32_t point)
{
    static const span unseen[] = {
        {0x00, 0x1F},       {0x7F, 0x9F},     {0xAD, 0xAD},     {0x34F, 0x34F},     {0x61C, 0x61C},
        {0x115F, 0x1160},   {0x17B4, 0x17B5}, {0x180B, 0x180F}, {0x200B, 0x200F},   {0x2028, 0x202E},
        {0x2060, 0x206F},   {0x3164, 0x3164}, {0xFDD0, 0xFDEF}, {0xFE00, 0xFE0F},   {0xFEFF, 0xFEFF},
        {0xFFA0, 0xFFA0},   {0xFFF0, 0xFFFB}, {0xFFFE, 0xFFFF}, {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A},
        {0xE0000, 0xE0FFF},
    };
    return is_within(point, unseen, sizeof unseen / sizeof *unseen) || (point & 0xFFFE) == 0xFFFE;
}

size_t dsc_control_length(const char *text, size_t length)
{
    size_t bytes = 0;
    const uint32_t point = dsc_character_at((const unsigned char *)text, length, &bytes);
    return bytes > 0 && is_unseen(point) ? bytes : 0;
}

static bool starts_blank(const char *text, size_t length)
{
    static const span blanks[] = {{0x20, 0x20},     {0xA0, 0xA0},     {0x1680, 0x1680}, {0x2000, 0x200A},
                                  {0x202F, 0x202F}, {0x205F, 0x205F}, {0x2800, 0x2800}, {0x3000, 0x3000}};
    size_t bytes = 0;
    const uint32_t point = dsc_character_at((const unsigned char *)text, length, &bytes);
    return bytes > 0 && is_within(point, blanks, sizeof blanks / sizeof *blanks);
}

bool dsc_ends_blank(const char *text, size_t length)
{
    size_t last = length - 1;
    while (last > 0 && ((unsigned char)text[last] & 0xC0) == 0x80) {
        last--;
    }
    return starts_blank(text, length) || starts_blank(text + last, length - last);
}
