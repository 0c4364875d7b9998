/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "addition_text.h"

#include <string.h>

#include "line_text.h"

/* As long as a text of the description may be. */
#define NAME_MAX_BYTES ((size_t)200)
#define BLOCKS_MAX 1e6

/* A line that is being read, and where its pieces stand. */
typedef struct line {
    dsc_line in;
    size_t name_at;
    size_t amount_at;
    size_t place_at;
} line;

static trn_status read_name(line *of, dsc_arena *arena, trn_addition *addition)
{
    const char *colon = memchr(of->in.text, ':', of->in.length);
    const size_t end = colon != NULL ? (size_t)(colon - of->in.text) : 0;
    const size_t bytes = dsc_line_trimmed(&of->in, 0, end, &of->name_at);
    if (bytes == 0) {
        return dsc_line_refuse(
            &of->in, 0,
            "the name is missing: expected a name, a colon, an amount and where, such as overlay: 35 "
            "kg/m2 on deck");
    }
    if (bytes > NAME_MAX_BYTES) {
        return dsc_line_refuse(&of->in, of->name_at, "the name has %zu bytes: expected at most %zu", bytes,
                               NAME_MAX_BYTES);
    }
    addition->name = dsc_arena_text(arena, of->in.text + of->name_at, bytes);
    of->in.at = end + 1;
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

/* The first word behind the amount that says where; form_count where there is none. */
static size_t find_form(const line *of, size_t *at)
{
    for (*at = of->in.at; *at < of->in.length; (*at)++) {
        for (size_t i = 0; i < form_count; i++) {
            if (dsc_line_stands(&of->in, *at, forms[i].word)) {
                return i;
            }
        }
    }
    return form_count;
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
    const trn_status status = dsc_line_between(&of->in, of->amount_at, end, &count, &number, &good, words);
    if (status == TRN_OK && (!good || number < floor(number) || number > floor(number) || is_nothing(number))) {
        return dsc_line_refuse(&of->in, of->amount_at,
                               "%s%sexpected a whole number of blocks, not 0, such as +12 or -5", good ? "" : words,
                               good ? "" : "; ");
    }
    addition->blocks = (int)number;
    return status;
}

/* A line takes either kind of amount: weight per length, or a weight in all. */
static trn_status read_along(line *of, size_t end, trn_addition *addition)
{
    bool good = false;
    char words[DSC_WORDS];
    trn_status status = dsc_line_between(&of->in, of->amount_at, end, &weight, &addition->weight_N, &good, words);
    if (status != TRN_OK || good) {
        return status;
    }
    status = dsc_line_between(&of->in, of->amount_at, end, &per_length, &addition->weight_per_length_N_m, &good, words);
    if (status != TRN_OK || good) {
        return status;
    }
    return dsc_line_refuse(&of->in, of->amount_at, "%s, or a weight such as 120 kg", words);
}

static trn_status read_amount(line *of, size_t end, trn_addition *addition)
{
    trn_status status = TRN_OK;
    switch (addition->kind) {
    case TRN_ADDITION_ON_SURFACE:
        status = dsc_line_quantity(&of->in, of->amount_at, end, &per_area, &addition->weight_per_area_N_m2);
        break;
    case TRN_ADDITION_AT_POINT:
        status = dsc_line_quantity(&of->in, of->amount_at, end, &weight, &addition->weight_N);
        break;
    case TRN_ADDITION_ALONG:
        status = read_along(of, end, addition);
        break;
    case TRN_ADDITION_IN_POCKET:
        return read_count(of, end, addition);
    }
    if (status == TRN_OK &&
        is_nothing(addition->weight_per_area_N_m2 + addition->weight_N + addition->weight_per_length_N_m)) {
        return dsc_line_refuse(&of->in, of->amount_at,
                               "nothing is added: expected an amount over 0, or below 0 to take away");
    }
    return status;
}

/* The amount, and the word that says where it goes. */
static trn_status read_amount_and_form(line *of, trn_addition *addition)
{
    dsc_line_skip_blanks(&of->in);
    of->amount_at = of->in.at;
    of->in.at += dsc_number_length(of->in.text + of->in.at, of->in.length - of->in.at);
    size_t word_at = 0;
    const size_t found = find_form(of, &word_at);
    if (of->in.at == of->amount_at) {
        return dsc_line_refuse(&of->in, of->amount_at,
                               "the amount is missing: expected a number and a unit such as 35 kg/m2, or a "
                               "number of blocks such as +12");
    }
    if (found == form_count) {
        return dsc_line_refuse(&of->in, of->in.length,
                               "where is missing: expected on SURFACE, at [x, y], from [x, y] to [x, y], or in POCKET");
    }
    addition->kind = forms[found].kind;
    of->in.at = word_at + strlen(forms[found].word);
    dsc_line_skip_blanks(&of->in);
    of->place_at = of->in.at;
    return read_amount(of, word_at, addition);
}

/* A length up to a mark, which is passed over. */
static trn_status read_length(line *of, char mark, double *value)
{
    const char *end = memchr(of->in.text + of->in.at, mark, of->in.length - of->in.at);
    if (end == NULL) {
        return dsc_line_refuse(&of->in, of->in.at, "\"%c\" is missing: expected a point such as [6 m, 0.9 m]", mark);
    }
    const size_t from = of->in.at;
    const size_t until = (size_t)(end - of->in.text);
    of->in.at = until + 1;
    return dsc_line_quantity(&of->in, from, until, &length, value);
}

static trn_status read_point(line *of, trn_point *point)
{
    dsc_line_skip_blanks(&of->in);
    if (of->in.at == of->in.length || of->in.text[of->in.at] != '[') {
        return dsc_line_refuse(&of->in, of->in.at, "the point is missing: expected one such as [6 m, 0.9 m]");
    }
    of->in.at++;
    const trn_status status = read_length(of, ',', &point->x);
    return status == TRN_OK ? read_length(of, ']', &point->y) : status;
}

static trn_status read_end(line *of)
{
    dsc_line_skip_blanks(&of->in);
    return of->in.at == of->in.length
               ? TRN_OK
               : dsc_line_refuse(&of->in, of->in.at, "more text than is needed: expected the end");
}

static trn_status read_line_between(line *of, trn_addition *addition)
{
    trn_status status = read_point(of, &addition->from);
    if (status != TRN_OK) {
        return status;
    }
    dsc_line_skip_blanks(&of->in);
    if (of->in.length - of->in.at < 2 || memcmp(of->in.text + of->in.at, "to", 2) != 0) {
        return dsc_line_refuse(&of->in, of->in.at, "the other end is missing: expected to [x, y]");
    }
    of->in.at += strlen("to");
    dsc_line_skip_blanks(&of->in);
    const size_t end_at = of->in.at;
    status = read_point(of, &addition->to);
    if (status == TRN_OK && !(trn_point_distance(addition->from, addition->to) > 0)) {
        return dsc_line_refuse(&of->in, end_at, "the ends are the same point: expected a line of some length");
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
        const size_t bytes = dsc_line_trimmed(&of->in, of->in.at, of->in.length, &start);
        if (bytes == 0) {
            return dsc_line_refuse(&of->in, of->in.length,
                                   "the name of the %s is missing: expected one of the description",
                                   addition->kind == TRN_ADDITION_IN_POCKET ? "pocket" : "surface");
        }
        addition->place = dsc_arena_text(arena, of->in.text + start, bytes);
        return addition->place != NULL ? TRN_OK : TRN_NO_MEMORY;
    }
    return status == TRN_OK ? read_end(of) : status;
}

static trn_status read_pieces(line *of, dsc_arena *arena, trn_addition *addition)
{
    trn_status status = dsc_line_check(&of->in);
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
    line read = {.in = {.text = text, .length = strlen(text), .error = error}};
    trn_addition made = {0};
    const trn_status status = read_pieces(&read, arena, &made);
    if (status == TRN_NO_MEMORY) {
        return trn_error_set(error, status, "%s", trn_status_text(status));
    }
    if (status == TRN_OK) {
        *addition = made;
        *places =
            (dsc_addition_places){dsc_line_column(&read.in, read.name_at), dsc_line_column(&read.in, read.amount_at),
                                  dsc_line_column(&read.in, read.place_at)};
    }
    return status;
}
