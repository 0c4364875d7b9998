/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "addition_text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "document.h"
#include "quantity.h"

/* As long as a text of the description may be. */
#define NAME_MAX_BYTES ((size_t)200)
#define BLOCKS_MAX 1e6

/* A line that is being read; the units' cache makes it large. */
typedef struct line {
    const char *text;
    size_t length;
    size_t at; /* what is before has been read */
    size_t name_at;
    size_t amount_at;
    size_t place_at;
    trn_error *error;
    dsc_units units;
} line;

static size_t column_of(const line *of, size_t at)
{
    size_t column = 1;
    for (size_t i = 0; i < at; i++) {
        column += ((unsigned char)of->text[i] & 0xC0) != 0x80;
    }
    return column;
}

/* Refuse the line at a byte of it. */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
static trn_status
refuse(const line *of, size_t at, const char *format, ...);

static trn_status refuse(const line *of, size_t at, const char *format, ...)
{
    char words[TRN_ERROR_TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    return trn_error_set(of->error, TRN_OUT_OF_DOMAIN, "column %zu: %s", column_of(of, at), words);
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static void skip_blanks(line *of)
{
    while (of->at < of->length && is_blank(of->text[of->at])) {
        of->at++;
    }
}

/* The bytes from one place to another, less the blanks before and behind. */
static size_t trimmed(const line *of, size_t from, size_t to, size_t *start)
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

static trn_status check_text(const line *of)
{
    trn_faults faults = {0};
    if (!dsc_text_is_sound(of->text, of->length, &faults)) {
        return trn_error_set(of->error, TRN_OUT_OF_DOMAIN, "column %d: %s", faults.at[0].column, faults.at[0].text);
    }
    for (size_t i = 0; i < of->length; i++) {
        if (dsc_control_length(of->text + i, of->length - i) > 0 && of->text[i] != '\t') {
            return refuse(of, i, "a control character: expected one line of printable text");
        }
    }
    return TRN_OK;
}

static trn_status read_name(line *of, dsc_arena *arena, trn_addition *addition)
{
    const char *colon = memchr(of->text, ':', of->length);
    const size_t end = colon != NULL ? (size_t)(colon - of->text) : 0;
    const size_t bytes = trimmed(of, 0, end, &of->name_at);
    if (bytes == 0) {
        return refuse(of, 0,
                      "the name is missing: expected a name, a colon, an amount and where, such as overlay: 35 "
                      "kg/m2 on deck");
    }
    if (bytes > NAME_MAX_BYTES) {
        return refuse(of, of->name_at, "the name has %zu bytes: expected at most %zu", bytes, NAME_MAX_BYTES);
    }
    addition->name = dsc_arena_text(arena, of->text + of->name_at, bytes);
    of->at = end + 1;
    return addition->name != NULL ? TRN_OK : TRN_NO_MEMORY;
}

typedef struct form {
    const char *word;
    trn_addition_kind kind;
} form;

static const form forms[] = {
    {"on", TRN_ADDITION_ON_SURFACE},
    {"at", TRN_ADDITION_AT_POINT},
    {"from", TRN_ADDITION_ALONG},
    {"in", TRN_ADDITION_IN_POCKET},
};
static const size_t form_count = sizeof forms / sizeof *forms;

/* True where a word stands at a place in the line, by itself. */
static bool stands(const line *of, size_t at, const char *word)
{
    const size_t end = at + strlen(word);
    return end <= of->length && memcmp(of->text + at, word, strlen(word)) == 0 &&
           (at == 0 || is_blank(of->text[at - 1])) &&
           (end == of->length || is_blank(of->text[end]) || of->text[end] == '[');
}

/* The first word behind the amount that says where; form_count where there is none. */
static size_t find_form(const line *of, size_t *at)
{
    for (*at = of->at; *at < of->length; (*at)++) {
        for (size_t i = 0; i < form_count; i++) {
            if (stands(of, *at, forms[i].word)) {
                return i;
            }
        }
    }
    return form_count;
}

/* Read the text between two places by a rule; *good says whether it obeys, words why not. */
static trn_status read_between(line *of, size_t from, size_t to, const dsc_rule *rule, double *value, bool *good,
                               char words[DSC_WORDS])
{
    const trn_status status = dsc_quantity_read(&of->units, of->text + from, to - from, rule, value, good, words);
    return status == TRN_OK ? TRN_OK : trn_error_set(of->error, status, "%s", trn_status_text(status));
}

static bool is_nothing(double amount)
{
    return !(amount < 0 || amount > 0);
}

static const dsc_rule per_area = {DSC_WEIGHT_PER_AREA, -HUGE_VAL, HUGE_VAL, false, ""};
static const dsc_rule per_length = {DSC_WEIGHT_PER_LENGTH, -HUGE_VAL, HUGE_VAL, false, ""};
static const dsc_rule weight = {DSC_WEIGHT, -HUGE_VAL, HUGE_VAL, false, ""};
static const dsc_rule count = {DSC_COUNT, -BLOCKS_MAX, BLOCKS_MAX, false, " of at most a million"};
static const dsc_rule length = {DSC_LENGTH, -HUGE_VAL, HUGE_VAL, false, ""};

static trn_status read_count(line *of, size_t end, trn_addition *addition)
{
    double number = 0;
    bool good = false;
    char words[DSC_WORDS];
    const trn_status status = read_between(of, of->amount_at, end, &count, &number, &good, words);
    if (status != TRN_OK) {
        return status;
    }
    if (!good || number < floor(number) || number > floor(number) || is_nothing(number)) {
        return refuse(of, of->amount_at, "%s%sexpected a whole number of blocks, not 0, such as +12 or -5",
                      good ? "" : words, good ? "" : "; ");
    }
    addition->blocks = (int)number;
    return TRN_OK;
}

/* A line takes either kind of amount: weight per length, or a weight in all. */
static trn_status read_along(line *of, size_t end, trn_addition *addition)
{
    bool good = false;
    char words[DSC_WORDS];
    trn_status status = read_between(of, of->amount_at, end, &weight, &addition->weight_N, &good, words);
    if (status != TRN_OK || good) {
        return status;
    }
    status = read_between(of, of->amount_at, end, &per_length, &addition->weight_per_length_N_m, &good, words);
    if (status != TRN_OK || good) {
        return status;
    }
    return refuse(of, of->amount_at, "%s, or a weight such as 120 kg", words);
}

static trn_status read_weight(line *of, size_t end, const dsc_rule *rule, double *amount)
{
    bool good = false;
    char words[DSC_WORDS];
    const trn_status status = read_between(of, of->amount_at, end, rule, amount, &good, words);
    return status != TRN_OK || good ? status : refuse(of, of->amount_at, "%s", words);
}

static trn_status read_amount(line *of, size_t end, trn_addition *addition)
{
    trn_status status = TRN_OK;
    switch (addition->kind) {
    case TRN_ADDITION_ON_SURFACE:
        status = read_weight(of, end, &per_area, &addition->weight_per_area_N_m2);
        break;
    case TRN_ADDITION_AT_POINT:
        status = read_weight(of, end, &weight, &addition->weight_N);
        break;
    case TRN_ADDITION_ALONG:
        status = read_along(of, end, addition);
        break;
    case TRN_ADDITION_IN_POCKET:
        return read_count(of, end, addition);
    }
    if (status == TRN_OK &&
        is_nothing(addition->weight_per_area_N_m2 + addition->weight_N + addition->weight_per_length_N_m)) {
        return refuse(of, of->amount_at, "nothing is added: expected an amount over 0, or below 0 to take away");
    }
    return status;
}

/* The amount, and the word that says where it goes. */
static trn_status read_amount_and_form(line *of, trn_addition *addition)
{
    skip_blanks(of);
    of->amount_at = of->at;
    of->at += dsc_number_length(of->text + of->at, of->length - of->at);
    size_t word_at = 0;
    const size_t found = find_form(of, &word_at);
    if (of->at == of->amount_at) {
        return refuse(of, of->amount_at,
                      "the amount is missing: expected a number and a unit such as 35 kg/m2, or a "
                      "number of blocks such as +12");
    }
    if (found == form_count) {
        return refuse(of, of->length,
                      "where is missing: expected on SURFACE, at [x, y], from [x, y] to [x, y], or in POCKET");
    }
    addition->kind = forms[found].kind;
    of->at = word_at + strlen(forms[found].word);
    skip_blanks(of);
    of->place_at = of->at;
    return read_amount(of, word_at, addition);
}

/* A length up to a mark, which is passed over. */
static trn_status read_length(line *of, char mark, double *value)
{
    const char *end = memchr(of->text + of->at, mark, of->length - of->at);
    if (end == NULL) {
        return refuse(of, of->at, "\"%c\" is missing: expected a point such as [6 m, 0.9 m]", mark);
    }
    const size_t until = (size_t)(end - of->text);
    size_t start = of->at;
    bool good = false;
    char words[DSC_WORDS];
    trimmed(of, of->at, until, &start);
    const trn_status status = read_between(of, start, until, &length, value, &good, words);
    of->at = until + 1;
    return status != TRN_OK || good ? status : refuse(of, start, "%s", words);
}

static trn_status read_point(line *of, trn_point *point)
{
    skip_blanks(of);
    if (of->at == of->length || of->text[of->at] != '[') {
        return refuse(of, of->at, "the point is missing: expected one such as [6 m, 0.9 m]");
    }
    of->at++;
    const trn_status status = read_length(of, ',', &point->x);
    return status == TRN_OK ? read_length(of, ']', &point->y) : status;
}

static trn_status read_end(line *of)
{
    skip_blanks(of);
    return of->at == of->length ? TRN_OK : refuse(of, of->at, "more text than is needed: expected the end");
}

static trn_status read_line_between(line *of, trn_addition *addition)
{
    trn_status status = read_point(of, &addition->from);
    if (status != TRN_OK) {
        return status;
    }
    skip_blanks(of);
    if (of->length - of->at < 2 || memcmp(of->text + of->at, "to", 2) != 0) {
        return refuse(of, of->at, "the other end is missing: expected to [x, y]");
    }
    of->at += strlen("to");
    skip_blanks(of);
    const size_t end_at = of->at;
    status = read_point(of, &addition->to);
    if (status == TRN_OK && !(trn_point_distance(addition->from, addition->to) > 0)) {
        return refuse(of, end_at, "the ends are the same point: expected a line of some length");
    }
    return status;
}

static trn_status read_place(line *of, dsc_arena *arena, trn_addition *addition)
{
    trn_status status = TRN_OK;
    if (addition->kind == TRN_ADDITION_AT_POINT) {
        status = read_point(of, &addition->from);
    } else if (addition->kind == TRN_ADDITION_ALONG) {
        status = read_line_between(of, addition);
    } else {
        size_t start = 0;
        const size_t bytes = trimmed(of, of->at, of->length, &start);
        if (bytes == 0) {
            return refuse(of, of->length, "the name of the %s is missing: expected one of the description",
                          addition->kind == TRN_ADDITION_IN_POCKET ? "pocket" : "surface");
        }
        addition->place = dsc_arena_text(arena, of->text + start, bytes);
        return addition->place != NULL ? TRN_OK : TRN_NO_MEMORY;
    }
    return status == TRN_OK ? read_end(of) : status;
}

static trn_status read_pieces(line *of, dsc_arena *arena, trn_addition *addition)
{
    trn_status status = check_text(of);
    if (status == TRN_OK) {
        status = read_name(of, arena, addition);
    }
    if (status == TRN_OK) {
        status = read_amount_and_form(of, addition);
    }
    return status == TRN_OK ? read_place(of, arena, addition) : status;
}

trn_status dsc_addition_read(const char *text, dsc_arena *arena, trn_addition *addition, dsc_addition_places *places,
                             trn_error *error)
{
    line read = {.text = text, .length = strlen(text), .error = error};
    trn_addition made = {0};
    const trn_status status = read_pieces(&read, arena, &made);
    if (status == TRN_NO_MEMORY) {
        return trn_error_set(error, status, "%s", trn_status_text(status));
    }
    if (status == TRN_OK) {
        *addition = made;
        *places = (dsc_addition_places){column_of(&read, read.name_at), column_of(&read, read.amount_at),
                                        column_of(&read, read.place_at)};
    }
    return status;
}
