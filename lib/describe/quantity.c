/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "faults.h"
#include "trunnion/part.h"

/* Beyond these no dimension of a bridge lies; within them products of a few values stay finite. */
#define LARGEST 1e15
#define SMALLEST 1e-15
/* 120 degree, turned into radians by UDUNITS, may miss our bound by a rounding. */
#define BOUND_SLACK 1e-12

#define NUMBER_MAX ((size_t)200)

typedef struct kind_words {
    const char *noun;
    const char *example;
    dsc_dimension dimension;
    bool weight;       /* a mass in place of the force will do */
    bool energy_alike; /* energy has the same dimension and is refused by name */
} kind_words;

static const kind_words kinds[] = {
    [DSC_PURE] = {"a pure number", "0.5 or 50 %", {0}, false, false},
    [DSC_COUNT] = {"a whole number", "2", {0}, false, false},
    [DSC_LENGTH] = {"a length", "14.5 m", {.m = 1}, false, false},
    [DSC_ANGLE] = {"an angle", "76 degree", {.rad = 1}, false, false},
    [DSC_ANGULAR_SPEED] = {"an angular speed", "870 rpm or 1.1 deg/s", {.rad = 1, .s = -1}, false, false},
    [DSC_WEIGHT] = {"a weight", "2.1 t or 20 kN", {.m = 1, .kg = 1, .s = -2}, true, false},
    [DSC_WEIGHT_PER_LENGTH] = {"a weight per length", "14 kN/m or 900 kg/m", {.kg = 1, .s = -2}, true, false},
    [DSC_WEIGHT_PER_AREA] = {"a weight per area", "95 kg/m2 or 20 psf", {.m = -1, .kg = 1, .s = -2}, true, false},
    [DSC_UNIT_WEIGHT] = {"a unit weight", "2450 kg/m3 or 24 kN/m3", {.m = -2, .kg = 1, .s = -2}, true, false},
    [DSC_FORCE] = {"a force", "4 kN", {.m = 1, .kg = 1, .s = -2}, false, false},
    [DSC_STIFFNESS] = {"a stiffness", "300 kN/m", {.kg = 1, .s = -2}, false, false},
    [DSC_DAMPING] = {"a damping", "90 kN s/m", {.kg = 1, .s = -1}, false, false},
    [DSC_PRESSURE] = {"a pressure", "1.2 kPa or 25 lbf/ft2", {.m = -1, .kg = 1, .s = -2}, false, false},
    [DSC_SPEED] = {"a speed", "47 km/h", {.m = 1, .s = -1}, false, false},
    [DSC_DENSITY] = {"a density", "1.25 kg/m3", {.m = -3, .kg = 1}, false, false},
    [DSC_TORQUE] = {"a torque", "300 N m", {.m = 2, .kg = 1, .s = -2}, false, true},
    [DSC_POWER] = {"a power", "30 kW", {.m = 2, .kg = 1, .s = -3}, false, false},
    [DSC_TIME] = {"a time", "8 s", {.s = 1}, false, false},
    [DSC_INERTIA] = {"a rotational inertia", "1.8 kg m2", {.m = 2, .kg = 1}, false, false},
    [DSC_HEAT_CAPACITY] = {"a heat capacity", "21 kJ/K", {.m = 2, .kg = 1, .s = -2, .K = -1}, false, false},
};

static size_t digits_at(const char *text, size_t length, size_t at)
{
    size_t count = 0;
    while (at + count < length && text[at + count] >= '0' && text[at + count] <= '9') {
        count++;
    }
    return count;
}

size_t dsc_number_length(const char *text, size_t length)
{
    size_t at = length > 0 && (text[0] == '+' || text[0] == '-') ? 1 : 0;
    size_t digits = digits_at(text, length, at);
    at += digits;
    if (at < length && text[at] == '.') {
        size_t decimals = digits_at(text, length, at + 1);
        digits += decimals;
        at += decimals + 1;
    }
    if (digits == 0) {
        return 0;
    }
    if (at < length && (text[at] == 'e' || text[at] == 'E')) {
        size_t sign = at + 1 < length && (text[at + 1] == '+' || text[at + 1] == '-') ? 1 : 0;
        size_t exponent = digits_at(text, length, at + 1 + sign);
        at += exponent > 0 ? 1 + sign + exponent : 0;
    }
    return at;
}

static void trim(const char **text, size_t *length)
{
    while (*length > 0 && (**text == ' ' || **text == '\t')) {
        (*text)++;
        (*length)--;
    }
    while (*length > 0 && ((*text)[*length - 1] == ' ' || (*text)[*length - 1] == '\t')) {
        (*length)--;
    }
}

/* Write words; always false, so that a refusal ends in "return say(...)". */
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
static bool
say(char words[DSC_WORDS], const char *format, ...);

static bool say(char words[DSC_WORDS], const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, DSC_WORDS, format, arguments);
    va_end(arguments);
    return false;
}

/* The number at the start of text, length bytes of it; false with words where it is beyond any bound. */
static bool read_number(const char *text, size_t length, double *number, char words[DSC_WORDS])
{
    char copy[NUMBER_MAX + 1];
    char shown[DSC_EXCERPT];
    if (length > NUMBER_MAX) {
        return say(words, "the number is too long: expected at most %zu characters", NUMBER_MAX);
    }
    memcpy(copy, text, length);
    copy[length] = '\0';
    errno = 0;
    *number = strtod(copy, NULL);
    if (errno == ERANGE) {
        return say(words, "\"%s\" is out of range: expected a magnitude from %g to %g, or 0",
                   dsc_excerpt(shown, text, length), SMALLEST, LARGEST);
    }
    return true;
}

/* Apply the unit of a pure number: none, or per cent. */
static bool scale_pure(const char *unit, size_t length, dsc_kind kind, double *value, char words[DSC_WORDS])
{
    if (kind == DSC_PURE && length == 1 && *unit == '%') {
        *value /= 100;
        return true;
    }
    char shown[DSC_EXCERPT];
    return length == 0 || say(words, "\"%s\" does not belong here: expected %s such as %s",
                              dsc_excerpt(shown, unit, length), kinds[kind].noun, kinds[kind].example);
}

static bool same_dimension(dsc_dimension a, dsc_dimension b)
{
    return a.m == b.m && a.kg == b.kg && a.s == b.s && a.rad == b.rad && a.K == b.K && a.other == b.other;
}

/* Apply a unit whose text was read; false with words where it is not of the kind. */
static bool scale_by(const dsc_unit *unit, const char *text, size_t length, dsc_kind kind, double *value,
                     char words[DSC_WORDS])
{
    const kind_words *wanted = &kinds[kind];
    dsc_dimension by_mass = wanted->dimension;
    by_mass.m -= 1;
    by_mass.s += 2;
    char shown[DSC_EXCERPT];
    if (unit->words[0] != '\0') {
        return say(words, "%s: expected %s such as %s", unit->words, wanted->noun, wanted->example);
    }
    bool is_mass = wanted->weight && same_dimension(unit->dimension, by_mass);
    if (!is_mass && !same_dimension(unit->dimension, wanted->dimension)) {
        return say(words, "the unit \"%s\" has the wrong dimension: expected %s such as %s",
                   dsc_excerpt(shown, text, length), wanted->noun, wanted->example);
    }
    if (wanted->energy_alike && unit->energy) {
        return say(words, "\"%s\" is a unit of energy: expected %s such as %s", dsc_excerpt(shown, text, length),
                   wanted->noun, wanted->example);
    }
    *value *= unit->scale;
    if (is_mass) {
        *value *= TRN_STANDARD_GRAVITY;
    }
    return true;
}

static bool is_nonzero(double value)
{
    return value < 0 || value > 0;
}

/* Hold a value against the bounds of all values and of its rule. */
static bool within(const dsc_rule *rule, const char *text, size_t length, double *value, char words[DSC_WORDS])
{
    char shown[DSC_EXCERPT];
    double magnitude = fabs(*value);
    if (!(magnitude <= LARGEST) || (is_nonzero(*value) && magnitude < SMALLEST)) {
        return say(words, "\"%s\" is out of range: expected an SI magnitude from %g to %g, or 0",
                   dsc_excerpt(shown, text, length), SMALLEST, LARGEST);
    }
    double slack = BOUND_SLACK * fabs(rule->high);
    bool low_kept = rule->over ? *value > rule->low : *value >= rule->low - BOUND_SLACK * fabs(rule->low);
    if (!low_kept || !(*value <= rule->high + slack)) {
        return say(words, "\"%s\" is out of bounds: expected %s%s", dsc_excerpt(shown, text, length),
                   kinds[rule->kind].noun, rule->words);
    }
    *value = fmin(fmax(*value, rule->low), rule->high);
    return true;
}

/* What to say of a text that does not start with a number. */
static bool refuse_number(const char *text, size_t length, dsc_kind kind, char words[DSC_WORDS])
{
    char shown[DSC_EXCERPT];
    if (length == 0) {
        return say(words, "the value is missing: expected %s such as %s", kinds[kind].noun, kinds[kind].example);
    }
    if (length > 3 && memcmp(text, "\xE2\x88\x92", 3) == 0) {
        return say(words, "\"%s\" starts with the sign U+2212: expected the - of the keyboard for a number below 0",
                   dsc_excerpt(shown, text, length));
    }
    return say(words, "\"%s\" does not start with a number: expected %s such as %s", dsc_excerpt(shown, text, length),
               kinds[kind].noun, kinds[kind].example);
}

/* An e right behind a number begins an exponent that is none, and not the unit e, the charge of a proton. */
static bool is_half_exponent(const char *text, size_t length, size_t number_length, char words[DSC_WORDS])
{
    if (number_length == length || (text[number_length] != 'e' && text[number_length] != 'E')) {
        return false;
    }
    char shown[DSC_EXCERPT];
    say(words, "the number of \"%s\" cannot be read: expected one exponent at most, of digits",
        dsc_excerpt(shown, text, length));
    return true;
}

trn_status dsc_quantity_read(dsc_units *units, const char *text, size_t length, const dsc_rule *rule, double *value,
                             bool *good, char words[DSC_WORDS])
{
    *good = false;
    trim(&text, &length);
    size_t number_length = dsc_number_length(text, length);
    if (number_length == 0) {
        refuse_number(text, length, rule->kind, words);
        return TRN_OK;
    }
    double read = 0;
    if (is_half_exponent(text, length, number_length, words) || !read_number(text, number_length, &read, words)) {
        return TRN_OK;
    }
    const char *unit_text = text + number_length;
    size_t unit_length = length - number_length;
    trim(&unit_text, &unit_length);
    bool scaled = false;
    if (rule->kind == DSC_PURE || rule->kind == DSC_COUNT) {
        scaled = scale_pure(unit_text, unit_length, rule->kind, &read, words);
    } else if (unit_length == 0) {
        say(words, "a unit is missing: expected %s such as %s", kinds[rule->kind].noun, kinds[rule->kind].example);
    } else {
        const dsc_unit *unit = NULL;
        trn_status status = dsc_unit_read(units, unit_text, unit_length, &unit);
        if (status != TRN_OK) {
            return status;
        }
        scaled = scale_by(unit, unit_text, unit_length, rule->kind, &read, words);
    }
    *good = scaled && within(rule, text, length, &read, words);
    if (*good) {
        *value = read;
    }
    return TRN_OK;
}
