/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a run is told in a line of text: an upset, a gust. */
#include <string.h>

#include "c_locale.h"
#include "faults.h"
#include "line_text.h"
#include "trunnion/describe_run.h"

static const char *const kind_words[] = {
#define KIND_WORDS(name, words) [name] = (words),
    TRN_UPSET_LIST(KIND_WORDS)
#undef KIND_WORDS
};
static const size_t kind_count = sizeof kind_words / sizeof *kind_words;

static const dsc_rule speed = {DSC_SPEED, 0, HUGE_VAL, false, " of 0 or more"};
static const dsc_rule pressure = {DSC_PRESSURE, 0, HUGE_VAL, false, " of 0 or more"};
static const dsc_rule any_pressure = {DSC_PRESSURE, -HUGE_VAL, HUGE_VAL, false, ""};
static const dsc_rule lasting = {DSC_TIME, 0, HUGE_VAL, true, " over 0"};
static const dsc_rule starting = {DSC_TIME, 0, HUGE_VAL, false, " of 0 or more"};
/* The leaf is not known here: no leaf opens further. */
static const dsc_rule opening_angle = {DSC_ANGLE, 0, DSC_RADIANS(120), false, " from 0 to 120 degree"};

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

static trn_status read_end(dsc_line *of)
{
    dsc_line_skip_blanks(of);
    if (of->at < of->length && dsc_line_stands(of, of->at, "at")) {
        return dsc_line_refuse(of, of->at, "the angle goes before the direction: expected such as at 40deg closing");
    }
    return of->at == of->length ? TRN_OK : dsc_line_refuse(of, of->at, "more text than is needed: expected the end");
}

/* Whether a word or a time stands where the rise should: the order is wrong, and nothing is with a unit. */
static trn_status is_no_rise(dsc_line *of, size_t start, size_t until, bool *wrong)
{
    double value = 0;
    char words[DSC_WORDS];
    const bool number = strchr("+-.0123456789", of->text[start]) != NULL;
    *wrong = start < of->length && !number;
    return number ? dsc_line_between(of, start, until, &starting, &value, wrong, words) : TRN_OK;
}

static trn_status refuse_rise(dsc_line *of, size_t start, size_t until, const char *words)
{
    bool wrong = false;
    const trn_status status = is_no_rise(of, start, until, &wrong);
    const size_t at = dsc_line_find(of, start, "at");
    if (status == TRN_OK && wrong) {
        return dsc_line_refuse(of, start, "a speed or a pressure goes first: expected such as 12 m/s for 8 s");
    }
    if (status == TRN_OK && at < until) {
        return dsc_line_refuse(of, at, "how long the gust lasts goes before at: expected such as 12 m/s for 8 s");
    }
    return status == TRN_OK ? dsc_line_refuse(of, start, "%s, or a pressure such as 90 Pa", words) : status;
}

/* A rise of the speed or of the pressure. */
static trn_status read_rise(dsc_line *of, size_t end, trn_gust *gust)
{
    size_t start = of->at;
    bool good = false;
    double value = 0;
    char words[DSC_WORDS];
    const size_t until = dsc_line_trimmed(of, of->at, end, &start) + start;
    trn_status status = dsc_line_between(of, start, until, &speed, &gust->rise_m_s, &gust->by_speed, words);
    if (status != TRN_OK || gust->by_speed) {
        return status;
    }
    char of_pressure[DSC_WORDS];
    status = dsc_line_between(of, start, until, &any_pressure, &value, &good, of_pressure);
    if (status == TRN_OK && good) {
        return dsc_line_quantity(of, start, until, &pressure, &gust->rise_Pa);
    }
    return status == TRN_OK ? refuse_rise(of, start, until, words) : status;
}

/* How strong the gust is and how long it lasts; it ends before one of the words, or with the text. */
static trn_status read_gust_until(dsc_line *of, const char *const *words, size_t count, trn_gust *gust)
{
    const size_t lasts_at = dsc_line_find(of, of->at, "for");
    size_t end = of->length;
    /* The unit of the rise may be one of the words: at is one of pressure. */
    const size_t from = lasts_at < of->length ? lasts_at : of->at;
    for (size_t i = 0; i < count; i++) {
        end = least(end, dsc_line_find(of, from, words[i]));
    }
    trn_status status = read_rise(of, least(lasts_at, end), gust);
    if (status == TRN_OK && lasts_at == of->length) {
        status = dsc_line_refuse(of, end, "how long the gust lasts is missing: expected such as for 8 s");
    }
    if (status == TRN_OK) {
        status = dsc_line_quantity(of, lasts_at + strlen("for"), end, &lasting, &gust->lasts_s);
    }
    of->at = end;
    return status;
}

/* Where words that stand next in the line end, whatever blanks part them; 0 where they do not stand there. */
static size_t end_of_phrase(const dsc_line *of, const char *phrase)
{
    size_t at = of->at;
    for (const char *word = phrase; *word != '\0'; word++) {
        const size_t before = at;
        if (*word == ' ') {
            at = dsc_line_after_blanks(of, at);
        } else if (at < of->length && of->text[at] == *word) {
            at++;
        }
        if (at == before) {
            return 0;
        }
    }
    return at == of->length || dsc_line_after_blanks(of, at) > at ? at : 0;
}

static const char *const tail_words[] = {"at", "opening", "closing"};
#define TAIL_WORDS (sizeof tail_words / sizeof *tail_words)

/* Where the words that follow the kind begin. */
static size_t find_tail(const dsc_line *of)
{
    size_t tail = of->length;
    for (size_t i = 0; i < TAIL_WORDS; i++) {
        tail = least(tail, dsc_line_find(of, of->at, tail_words[i]));
    }
    return tail;
}

/* The fault whose words stand somewhere in the line, and where; kind_count where none does. */
static size_t find_kind(const dsc_line *of, size_t *where)
{
    for (dsc_line along = {.text = of->text, .length = of->length}; along.at < along.length; along.at++) {
        const bool begins = along.at == 0 || along.text[along.at - 1] == ' ' || along.text[along.at - 1] == '\t';
        for (size_t i = 0; i < kind_count && begins; i++) {
            if (end_of_phrase(&along, kind_words[i]) > 0) {
                *where = along.at;
                return i;
            }
        }
    }
    return kind_count;
}

static bool has_angle(size_t kind)
{
    return kind != TRN_UPSET_BRAKE_OUT && kind != TRN_UPSET_NEAR_SWITCH_MISSED;
}

/* An angle or a direction stands first, or nothing does. */
static trn_status refuse_start(const dsc_line *of, size_t start)
{
    size_t where = start;
    const size_t kind = find_kind(of, &where);
    return kind == kind_count
               ? dsc_line_refuse(of, start, "the fault is missing: expected such as power lost at 40deg")
               : dsc_line_refuse(of, where, "%s goes first: expected such as %s%s%s closing", kind_words[kind],
                                 kind_words[kind], kind == TRN_UPSET_GUST ? " 12 m/s for 8 s" : "",
                                 has_angle(kind) ? " at 40deg" : "");
}

static trn_status refuse_kind(const dsc_line *of)
{
    size_t start = of->at;
    const size_t to_number = of->at + strcspn(of->text + of->at, "+-.0123456789");
    const size_t length = dsc_line_trimmed(of, of->at, least(find_tail(of), to_number), &start);
    const char *meant = dsc_nearest(of->text + start, length, 1 + length / 4, kind_words, kind_count);
    char shown[DSC_EXCERPT];
    if (length == 0) {
        return refuse_start(of, start);
    }
    if (meant != NULL) {
        return dsc_line_refuse(of, start, "unknown fault \"%s\": did you mean \"%s\"?",
                               dsc_excerpt(shown, of->text + start, length), meant);
    }
    return dsc_line_refuse(of, start,
                           "unknown fault \"%s\": expected power lost, emergency stop, pedal released, motor out, "
                           "brake out, near switch missed, or gust",
                           dsc_excerpt(shown, of->text + start, length));
}

static trn_status read_kind(dsc_line *of, trn_upset *upset)
{
    dsc_line_skip_blanks(of);
    for (size_t i = 0; i < kind_count; i++) {
        const size_t end = end_of_phrase(of, kind_words[i]);
        if (end > 0) {
            upset->kind = (trn_upset_kind)i;
            of->at = end;
            return TRN_OK;
        }
    }
    return refuse_kind(of);
}

/* Nothing stands between the kind and what follows it; of a gust, what it is. */
static trn_status read_kind_itself(dsc_line *of, trn_upset *upset)
{
    trn_status status = read_kind(of, upset);
    if (status != TRN_OK) {
        return status;
    }
    if (upset->kind == TRN_UPSET_GUST) {
        return read_gust_until(of, tail_words, TAIL_WORDS, &upset->gust);
    }
    const size_t tail = find_tail(of);
    size_t start = of->at;
    const size_t length = dsc_line_trimmed(of, of->at, tail, &start);
    of->at = tail;
    char shown[DSC_EXCERPT];
    return length == 0
               ? TRN_OK
               : dsc_line_refuse(
                     of, start,
                     "\"%s\" is not understood: expected at and an angle, such as at 40deg, or opening, or closing",
                     dsc_excerpt(shown, of->text + start, length));
}

static trn_status read_angle(dsc_line *of, trn_upset_text *made)
{
    if (!dsc_line_stands(of, of->at, "at")) {
        return TRN_OK;
    }
    const trn_upset_kind kind = made->upset.kind;
    if (!has_angle((size_t)kind)) {
        return dsc_line_refuse(of, of->at, "%s is of the whole run: expected no angle", kind_words[kind]);
    }
    const size_t from = of->at + strlen("at");
    of->at = least(dsc_line_find(of, from, "opening"), dsc_line_find(of, from, "closing"));
    made->has_angle = true;
    return dsc_line_quantity(of, from, of->at, &opening_angle, &made->upset.angle_rad);
}

static trn_status read_direction(dsc_line *of, trn_upset_text *made)
{
    made->opening = !dsc_line_stands(of, of->at, "closing");
    made->closing = !dsc_line_stands(of, of->at, "opening");
    if (!made->opening || !made->closing) {
        of->at += strlen("opening");
    }
    return read_end(of);
}

static trn_status read_upset(dsc_line *of, trn_upset_text *made)
{
    trn_status status = dsc_line_check(of);
    if (status == TRN_OK) {
        status = read_kind_itself(of, &made->upset);
    }
    if (status == TRN_OK) {
        status = read_angle(of, made);
    }
    return status == TRN_OK ? read_direction(of, made) : status;
}

static trn_status read_gust(dsc_line *of, trn_gust *gust)
{
    static const char *const start_word = "at";
    trn_status status = dsc_line_check(of);
    if (status == TRN_OK) {
        status = read_gust_until(of, &start_word, 1, gust);
    }
    if (status == TRN_OK && of->at < of->length) {
        status = dsc_line_quantity(of, of->at + strlen(start_word), of->length, &starting, &gust->start_s);
    }
    return status;
}

static trn_status no_memory(trn_error *error)
{
    return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
}

trn_status trn_upset_read(const char *text, trn_upset_text *upset, trn_error *error)
{
    dsc_c_locale entered;
    if (!dsc_c_locale_enter(&entered)) {
        return no_memory(error);
    }
    dsc_line read = {.text = text, .length = strlen(text), .error = error};
    trn_upset_text made = {.has_angle = false};
    const trn_status status = read_upset(&read, &made);
    if (status == TRN_OK) {
        *upset = made;
    }
    dsc_c_locale_leave(&entered);
    return status;
}

trn_status trn_gust_read(const char *text, trn_gust *gust, trn_error *error)
{
    dsc_c_locale entered;
    if (!dsc_c_locale_enter(&entered)) {
        return no_memory(error);
    }
    dsc_line read = {.text = text, .length = strlen(text), .error = error};
    trn_gust made = {.by_speed = false};
    const trn_status status = read_gust(&read, &made);
    if (status == TRN_OK) {
        *gust = made;
    }
    dsc_c_locale_leave(&entered);
    return status;
}
