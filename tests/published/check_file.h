/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file check_file.h
 * The text that published checks are written in, and its reader.
 *
 * A check is a run of lines, a keyword and its words each:
 *
 *     check    some-name              starts a check; names are used once
 *     source   where it is published
 *     section  where within the source
 *     status   SEEN, SEENc, MEM or FORM (see README.md)
 *     kind     which part of the library answers
 *     given    one input, once or more
 *     expect   a result: name, value, unit, +- tolerance, unit; once or more
 *     because  the reason for the tolerance
 *
 * Lines that begin with # are remarks. Whatever else a line says is a fault,
 * and a fault ends the whole run: a check that is not read is not made.
 */
#ifndef TRN_PUBLISHED_CHECK_FILE_H
#define TRN_PUBLISHED_CHECK_FILE_H

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "units.h"

#define LINE_MAX_LENGTH 240
#define GIVEN_MAX 64
#define EXPECT_MAX 16

typedef struct text_line {
    char text[LINE_MAX_LENGTH];
    int number;
} text_line;

typedef struct check {
    const char *file;
    int line;
    char name[LINE_MAX_LENGTH];
    char source[LINE_MAX_LENGTH];
    char section[LINE_MAX_LENGTH];
    char status[LINE_MAX_LENGTH];
    char kind[LINE_MAX_LENGTH];
    char because[LINE_MAX_LENGTH];
    text_line given[GIVEN_MAX];
    size_t given_count;
    text_line expect[EXPECT_MAX];
    size_t expect_count;
} check;

/* The run ends here: with TAP's word for it, and a status that is not zero. */
static _Noreturn void bail_out(const char *file, int line, const char *what, const char *word)
{
    printf("Bail out! %s:%d: %s: %s\n", file, line, what, word);
    exit(2);
}

/* One line of a check while its words are taken off the front. */
typedef struct words {
    const check *of;
    int line;
    char *rest;
} words;

static char *next_word(words *from)
{
    char *word = from->rest + strspn(from->rest, " \t");
    char *end = word + strcspn(word, " \t");
    from->rest = *end ? end + 1 : end;
    *end = '\0';
    return word;
}

static void need_end(words *from)
{
    const char *more = next_word(from);
    if (*more)
        bail_out(from->of->file, from->line, "more words than expected", more);
}

static double next_number(words *from)
{
    const char *word = next_word(from);
    char *end = NULL;
    errno = 0;
    double value = strtod(word, &end);
    if (!*word || *end || errno || !isfinite(value))
        bail_out(from->of->file, from->line, "not a number", word);
    return value;
}

/* A number and a unit of the dimension asked for, as SI. */
static double next_quantity(words *from, dimension of)
{
    double value = next_number(from);
    const char *name = next_word(from);
    const unit *in = find_unit(name, of);
    if (!in)
        bail_out(from->of->file, from->line, "not a unit of what is asked here", name);
    return value * in->si;
}

static void keep_text(const check *of, int line, char *into, const char *text)
{
    if (*into)
        bail_out(of->file, line, "said twice", text);
    if (!*text)
        bail_out(of->file, line, "nothing said", text);
    strcpy(into, text);
}

static void keep_line(const check *of, int number, text_line *into, size_t *count, size_t most, const char *text)
{
    if (*count == most)
        bail_out(of->file, number, "more lines than a check can have", text);
    into[*count].number = number;
    strcpy(into[*count].text, text);
    (*count)++;
}

static void need_whole_check(const check *read)
{
    const char *const statuses[] = {"SEEN", "SEENc", "MEM", "FORM"};
    bool known = false;
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++)
        known = known || strcmp(read->status, statuses[i]) == 0;
    if (!known)
        bail_out(read->file, read->line, "the check has no known status", read->name);
    if (!*read->source || !*read->section || !*read->kind || !*read->because)
        bail_out(read->file, read->line, "the check lacks source, section, kind or reason", read->name);
    if (!read->given_count || !read->expect_count)
        bail_out(read->file, read->line, "the check lacks inputs or results", read->name);
}

static void take_line(check *into, int number, char *line)
{
    words from = {into, number, line};
    const char *keyword = next_word(&from);
    const char *text = from.rest + strspn(from.rest, " \t");
    const struct {
        const char *keyword;
        char *place;
    } texts[] = {{"source", into->source}, {"section", into->section}, {"status", into->status},
                 {"kind", into->kind},     {"because", into->because}};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        if (strcmp(keyword, texts[i].keyword) == 0) {
            keep_text(into, number, texts[i].place, text);
            return;
        }
    }
    if (strcmp(keyword, "given") == 0)
        keep_line(into, number, into->given, &into->given_count, GIVEN_MAX, text);
    else if (strcmp(keyword, "expect") == 0)
        keep_line(into, number, into->expect, &into->expect_count, EXPECT_MAX, text);
    else
        bail_out(into->file, number, "unknown keyword", keyword);
}

static void start_check(check *into, const char *file, int number, const char *name)
{
    memset(into, 0, sizeof *into);
    into->file = file;
    into->line = number;
    keep_text(into, number, into->name, name);
}

/* A line without its end, cut at nothing: too long is a fault. False at the end of the file. */
static bool read_line(FILE *stream, const char *file, int number, char *line)
{
    if (!fgets(line, LINE_MAX_LENGTH, stream)) {
        if (ferror(stream))
            bail_out(file, number, "cannot be read", strerror(errno));
        return false;
    }
    size_t length = strlen(line);
    if (length == 0 || line[length - 1] != '\n')
        bail_out(file, number, "line too long, without end, or with a NUL", line);
    while (length > 0 && strchr(" \t\r\n", line[length - 1]))
        line[--length] = '\0';
    return true;
}

/* Calls run for each check of a file, in order. */
static void read_checks(const char *file, void (*run)(const check *, void *), void *context)
{
    FILE *stream = fopen(file, "r");
    if (!stream)
        bail_out(file, 0, "cannot be opened", strerror(errno));
    check read = {.file = file};
    char line[LINE_MAX_LENGTH];
    for (int number = 1; read_line(stream, file, number, line); number++) {
        char *start = line + strspn(line, " \t");
        if (*start == '\0' || *start == '#')
            continue;
        if (strncmp(start, "check ", 6) == 0) {
            if (*read.name) {
                need_whole_check(&read);
                run(&read, context);
            }
            start_check(&read, file, number, start + 6 + strspn(start + 6, " \t"));
        } else if (*read.name) {
            take_line(&read, number, start);
        } else {
            bail_out(file, number, "a line before the first check", start);
        }
    }
    fclose(stream);
    if (!*read.name)
        bail_out(file, 0, "no check in the file", "");
    need_whole_check(&read);
    run(&read, context);
}

#endif
