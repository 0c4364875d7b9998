/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Mutations that know what a description is made of: keys, numbers, units,
 * lines, brackets. Bytes alone seldom make a second valid leaf of a first.
 */
#include <stdbool.h>
#include <string.h>

#include "require.h"
#include "target.h"
#include "words.h"

static words dictionary[WORD_KINDS];

/* The text under mutation, in libFuzzer's own room. */
typedef struct draft {
    char *text;
    size_t length;
    size_t room;
    uint64_t dice;
} draft;

typedef struct span {
    size_t at;
    size_t length;
} span;

/* xorshift64*: libFuzzer gives one seed, a mutation draws several numbers. */
static size_t roll(draft *on, size_t below)
{
    on->dice ^= on->dice >> 12;
    on->dice ^= on->dice << 25;
    on->dice ^= on->dice >> 27;
    return below > 0 ? (size_t)((on->dice * 0x2545F4914F6CDD1DULL) >> 33) % below : 0;
}

/* Put text in place of a span; nothing happens where there is no room. */
static void replace(draft *on, span old, const char *text, size_t length)
{
    if (on->length - old.length + length > on->room) {
        return;
    }
    const size_t behind = old.at + old.length;
    memmove(on->text + old.at + length, on->text + behind, on->length - behind);
    memcpy(on->text + old.at, text, length);
    on->length = on->length - old.length + length;
}

static bool is_word(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static bool is_number(char c)
{
    return (c >= '0' && c <= '9') || c == '.' || c == '-';
}

/* A run of characters of one kind, at a place thrown or behind it; length 0 where there is none. */
static span find_run(draft *on, bool (*belongs)(char))
{
    size_t at = roll(on, on->length);
    while (at > 0 && belongs(on->text[at - 1])) {
        at--;
    }
    while (at < on->length && !belongs(on->text[at])) {
        at++;
    }
    size_t end = at;
    while (end < on->length && belongs(on->text[end])) {
        end++;
    }
    return (span){at, end - at};
}

static span find_line(draft *on)
{
    size_t at = roll(on, on->length);
    while (at > 0 && on->text[at - 1] != '\n') {
        at--;
    }
    size_t end = at;
    while (end < on->length && on->text[end] != '\n') {
        end++;
    }
    return (span){at, end - at + (end < on->length)};
}

/* A bracket with all that it closes around, or the rest of the text where it is not closed. */
static span find_group(draft *on)
{
    size_t at = roll(on, on->length);
    while (at < on->length && on->text[at] != '{' && on->text[at] != '[') {
        at++;
    }
    size_t end = at;
    size_t depth = 0;
    while (end < on->length) {
        const char c = on->text[end++];
        depth += c == '{' || c == '[';
        depth -= c == '}' || c == ']';
        if (depth == 0) {
            break;
        }
    }
    return (span){at, end - at};
}

static void put_word(draft *on, span old, word_kind kind)
{
    const words *from = &dictionary[kind];
    const char *word = from->at[roll(on, from->count)];
    replace(on, old, word, strlen(word));
}

static void change_word(draft *on)
{
    const span word = find_run(on, is_word);
    const bool is_key = word.at + word.length < on->length && on->text[word.at + word.length] == ':';
    if (word.length > 0) {
        put_word(on, word, is_key ? WORD_KEY : roll(on, 3) > 0 ? WORD_UNIT : WORD_VALUE);
    }
}

static void change_number(draft *on)
{
    const span number = find_run(on, is_number);
    if (number.length > 0) {
        put_word(on, number, WORD_NUMBER);
    }
}

static void change_digit(draft *on)
{
    const span number = find_run(on, is_number);
    if (number.length > 0) {
        const char digit = (char)('0' + roll(on, 10));
        replace(on, (span){number.at + roll(on, number.length), roll(on, 2)}, &digit, 1);
    }
}

/* Copy a span to another place, cut it from its own where told. */
static void move_span(draft *on, span from, span to, bool cut)
{
    char kept[512];
    if (from.length == 0 || from.length > sizeof kept) {
        return;
    }
    memcpy(kept, on->text + from.at, from.length);
    replace(on, to, kept, from.length);
    if (cut && to.at >= from.at + from.length) {
        replace(on, from, "", 0);
    }
}

static void repeat_line(draft *on)
{
    const span line = find_line(on);
    move_span(on, line, (span){find_line(on).at, 0}, roll(on, 2) > 0);
}

static void drop_line(draft *on)
{
    replace(on, find_line(on), "", 0);
}

static void copy_word(draft *on)
{
    const span word = find_run(on, is_word);
    move_span(on, word, find_run(on, is_word), false);
}

static void repeat_group(draft *on)
{
    const span group = find_group(on);
    move_span(on, group, find_group(on), false);
}

/* One more item of a list: the group again, behind itself. */
static void add_item(draft *on)
{
    const span group = find_group(on);
    const span behind = {group.at + group.length, 0};
    if (group.length > 0 && on->length + group.length + 1 <= on->room) {
        move_span(on, group, behind, false);
        replace(on, behind, ",", 1);
    }
}

static void drop_group(draft *on)
{
    replace(on, find_group(on), "", 0);
}

static void change_nesting(draft *on)
{
    static const char *const marks[] = {"[", "]", "{", "}", "  ", "- ", ", ", ": ", "\n", "{a: ", "&a ", "*a", "? "};
    const char *mark = marks[roll(on, sizeof marks / sizeof *marks)];
    const span place = roll(on, 2) > 0 ? find_run(on, is_word) : find_line(on);
    replace(on, (span){place.at, 0}, mark, strlen(mark));
}

static void change_indent(draft *on)
{
    const span line = find_line(on);
    const bool deep = line.length > 2 && memcmp(on->text + line.at, "  ", 2) == 0;
    if (deep && roll(on, 2) > 0) {
        replace(on, (span){line.at, 2}, "", 0);
    } else {
        replace(on, (span){line.at, 0}, "  ", 2);
    }
}

/* A whole entry "key: value," before a word. */
static void add_entry(draft *on)
{
    const span place = {find_run(on, is_word).at, 0};
    replace(on, place, ", ", 2);
    put_word(on, place, WORD_UNIT);
    replace(on, place, " ", 1);
    put_word(on, place, WORD_NUMBER);
    replace(on, place, ": ", 2);
    put_word(on, place, WORD_KEY);
}

static void mutate_once(draft *on)
{
    static void (*const ways[])(draft *) = {change_word, change_word,  change_number, change_number, change_digit,
                                            repeat_line, drop_line,    copy_word,    repeat_group,  add_item,
                                            drop_group,  change_nesting, change_indent, add_entry};
    ways[roll(on, sizeof ways / sizeof *ways)](on);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    static const char flag[] = "-dict=";
    for (int i = 1; i < *argc; i++) {
        if (strncmp((*argv)[i], flag, strlen(flag)) == 0) {
            words_read((*argv)[i] + strlen(flag), dictionary);
            return 0;
        }
    }
    fprintf(stderr, "expected %sFILE: the mutations take their words from it\n", flag);
    exit(EXIT_FAILURE);
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed)
{
    draft on = {.text = (char *)data, .length = size, .room = max_size, .dice = seed * 2654435761ULL + 1};
    if (size == 0 || roll(&on, 3) == 0) {
        return LLVMFuzzerMutate(data, size, max_size);
    }
    for (size_t times = 1 + roll(&on, 3); times > 0; times--) {
        mutate_once(&on);
    }
    return on.length;
}
