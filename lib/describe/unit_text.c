/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "faults.h"
#include "units.h"

typedef struct name_pair {
    const char *name;
    const char *meaning;
} name_pair;

/*
 * Names of our own, which UDUNITS lacks or understands otherwise (its mph is a
 * milliphot, its horsepower and its slug are rounded figures). The horsepower is
 * exactly 550 ft lbf/s, the slug exactly 1 lbf s2/ft.
 */
static const name_pair own_names[] = {
    {"deg", "degree"},       {"psf", "(lbf/ft2)"},     {"kips", "kip"},
    {"mph", "(mile/hour)"},  {"pcf", "(lb/ft3)"},      {"hp", "(550 ft.lbf/s)"},
    {"slug", "(lbf.s2/ft)"}, {"slugs", "(lbf.s2/ft)"}, {"horsepower", "(550 ft.lbf/s)"},
};

/* Usual spellings that are no units here, and what to write. */
static const name_pair usual_slips[] = {
    {"Nm", "N m"},      {"kNm", "kN m"},       {"MNm", "MN m"},     {"ftlb", "ft lbf"}, {"ftlbf", "ft lbf"},
    {"lbft", "lbf ft"}, {"lbfft", "lbf ft"},   {"kipft", "kip ft"}, {"kph", "km/h"},    {"kmh", "km/h"},
    {"kmph", "km/h"},   {"lbs", "lb"},         {"plf", "lbf/ft"},   {"klf", "kip/ft"},  {"rev", "turn"},
    {"tf", "t"},        {"tonf", "ton_force"}, {"kgm", "kg m"},     {"rads", "rad"},    {"degs", "deg"},
    {"mps", "m/s"},     {"tn", "t"},           {"ksf", "kip/ft2"},  {"cv", "W"},        {"ps", "s"},
};

/* Names that people use here, to find the one meant. */
static const char *const usual_names[] = {
    "m",        "mm",     "cm",         "km",    "in",     "ft",   "inch",     "foot",   "yard",  "deg",
    "degree",   "rad",    "mrad",       "rpm",   "kg",     "t",    "lb",       "kip",    "N",     "kN",
    "MN",       "lbf",    "kgf",        "Pa",    "kPa",    "MPa",  "GPa",      "bar",    "psi",   "psf",
    "ksi",      "W",      "kW",         "MW",    "hp",     "s",    "min",      "h",      "hour",  "mph",
    "knot",     "slug",   "pcf",        "tonne", "turn",   "ton",  "second",   "minute", "meter", "metre",
    "kilogram", "newton", "kilonewton", "pound", "pascal", "watt", "kilowatt",
};

#define COUNT_OF(array) (sizeof(array) / sizeof *(array))

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Characters beyond ASCII that people write in units, and their ASCII form. */
static const name_pair letters[] = {
    {"\xC2\xB0", "degree"}, {"\xC2\xB5", "u"}, {"\xCE\xBC", "u"}, {"\xC2\xB7", "."},
    {"\xE2\x8B\x85", "."},  {"\xC2\xB2", "2"}, {"\xC2\xB3", "3"},
};

/* A text being written; its room holds whatever DSC_UNIT_TEXT_MAX bytes can become. */
typedef struct draft {
    char *text;
    size_t length;
    size_t room;
} draft;

static void draft_add(draft *to, const char *text, size_t length)
{
    if (length < to->room - to->length) {
        memcpy(to->text + to->length, text, length);
        to->length += length;
        to->text[to->length] = '\0';
    }
}

static bool refuse(char words[DSC_UNIT_WORDS], const char *text)
{
    snprintf(words, DSC_UNIT_WORDS, "%s", text);
    return false;
}

static bool refuse_character(char words[DSC_UNIT_WORDS], const char *at, size_t left)
{
    size_t length = 1;
    while (length < left && ((unsigned char)at[length] & 0xC0) == 0x80) {
        length++;
    }
    char shown[DSC_EXCERPT];
    const char *hint = *at == ',' ? " (the decimal mark is a point)" : "";
    snprintf(words, DSC_UNIT_WORDS, "\"%s\" has no place in a unit%s", dsc_excerpt(shown, at, length), hint);
    return false;
}

/* The text in ASCII; false where a character has no place in a unit. */
static bool to_ascii(const char *text, size_t length, draft *to, char words[DSC_UNIT_WORDS])
{
    for (size_t i = 0; i < length;) {
        if (is_letter(text[i]) || is_digit(text[i]) || (text[i] != '\0' && strchr(" /*.^-+()", text[i]))) {
            draft_add(to, text + i, 1);
            i++;
            continue;
        }
        size_t known = 0;
        while (known < COUNT_OF(letters) && (length - i < strlen(letters[known].name) ||
                                             memcmp(text + i, letters[known].name, strlen(letters[known].name)) != 0)) {
            known++;
        }
        if (known == COUNT_OF(letters)) {
            return refuse_character(words, text + i, length - i);
        }
        draft_add(to, letters[known].meaning, strlen(letters[known].meaning));
        i += strlen(letters[known].name);
    }
    return true;
}

static size_t run_of(const char *text, bool (*belongs)(char))
{
    size_t length = 0;
    while (belongs(text[length])) {
        length++;
    }
    return length;
}

static void add_name(draft *to, const char *name, size_t length)
{
    for (size_t i = 0; i < COUNT_OF(own_names); i++) {
        if (strlen(own_names[i].name) == length && memcmp(own_names[i].name, name, length) == 0) {
            draft_add(to, own_names[i].meaning, strlen(own_names[i].meaning));
            return;
        }
    }
    draft_add(to, name, length);
}

/* Length of an exponent (^2, -2, ^-2, 2; not 0) at text, 0 where there is none. */
static size_t exponent_at(const char *text)
{
    size_t at = text[0] == '^' ? 1 : 0;
    if (text[at] == '-' || text[at] == '+') {
        at++;
    }
    size_t digits = run_of(text + at, is_digit);
    /* An exponent of 0 takes its unit away: nobody means that, and "1 e0 m" would pass for a metre. */
    bool is_zero = strspn(text + at, "0") == digits;
    return digits > 0 && digits <= 2 && !is_zero ? at + digits : 0;
}

/* The exponent of so many characters, with a ^ always: UDUNITS takes the 2 of "(m)2 s" for a factor. */
static void add_exponent(draft *to, const char *text, size_t length)
{
    const size_t digits_at = text[0] == '^' ? 1 : 0;
    draft_add(to, "^", 1);
    draft_add(to, text + digits_at, length - digits_at);
}

/* The sign between two units (blanks around it go with it): *sign is ' ' for blanks alone. */
static size_t operator_at(const char *text, char *sign)
{
    size_t at = strspn(text, " ");
    *sign = at > 0 ? ' ' : '\0';
    if (text[at] != '\0' && strchr("/*.-", text[at])) {
        *sign = text[at];
        at++;
        at += strspn(text + at, " ");
    }
    return at;
}

/*
 * One pass over the ASCII text, by its grammar: a unit is a name or a text in
 * brackets, with an exponent or none; signs stand between units. UDUNITS is
 * laxer (it reads "m)", and numbers anywhere), so that its reading comes after.
 */
static bool to_plain(const char *text, draft *to, char words[DSC_UNIT_WORDS])
{
    int open = 0;
    size_t at = 0;
    for (;;) {
        while (text[at] == '(') {
            draft_add(to, "(", 1);
            open++;
            at++;
        }
        size_t length = run_of(text + at, is_letter);
        if (length == 0) {
            return text[at] ? refuse_character(words, text + at, 1) : refuse(words, "the unit breaks off");
        }
        add_name(to, text + at, length);
        at += length;
        for (;;) {
            size_t exponent = exponent_at(text + at);
            if (exponent > 0) {
                add_exponent(to, text + at, exponent);
            }
            at += exponent;
            if (text[at] != ')' || open == 0) {
                break;
            }
            draft_add(to, ")", 1);
            open--;
            at++;
        }
        char sign = '\0';
        at += operator_at(text + at, &sign);
        if (text[at] == '\0' && sign == '\0') {
            return open == 0 || refuse(words, "a bracket is not closed");
        }
        if (sign == '\0' && text[at] != '(') {
            return refuse_character(words, text + at, 1);
        }
        draft_add(to, sign == '/' ? "/" : ".", 1);
    }
}

bool dsc_unit_plain(const char *text, size_t length, char plain[DSC_UNIT_PLAIN_MAX], char words[DSC_UNIT_WORDS])
{
    char room[4 * DSC_UNIT_TEXT_MAX] = "";
    if (length > DSC_UNIT_TEXT_MAX) {
        return refuse(words, "the unit is too long");
    }
    draft ascii = {.text = room, .room = sizeof room};
    draft out = {.text = plain, .room = DSC_UNIT_PLAIN_MAX};
    plain[0] = '\0';
    return to_ascii(text, length, &ascii, words) && to_plain(room, &out, words);
}

bool dsc_unit_next_name(const char *plain, size_t *at, const char **name, size_t *length)
{
    while (plain[*at] != '\0' && !is_letter(plain[*at])) {
        (*at)++;
    }
    *name = plain + *at;
    *length = run_of(*name, is_letter);
    *at += *length;
    return *length > 0;
}

const char *dsc_unit_meant(const char *name, size_t length)
{
    for (size_t i = 0; i < COUNT_OF(usual_slips); i++) {
        if (strlen(usual_slips[i].name) == length && strncasecmp(usual_slips[i].name, name, length) == 0) {
            return usual_slips[i].meaning;
        }
    }
    for (size_t i = 0; i < COUNT_OF(usual_names); i++) {
        if (strlen(usual_names[i]) == length && strncasecmp(usual_names[i], name, length) == 0) {
            return usual_names[i];
        }
    }
    /* Among names of two letters everything is near everything. */
    return length < 3 ? NULL : dsc_nearest(name, length, length < 6 ? 1 : 2, usual_names, COUNT_OF(usual_names));
}
