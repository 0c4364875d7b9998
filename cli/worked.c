/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "worked.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool make_room(worked *made)
{
    if (made->count < made->room) {
        return true;
    }
    const size_t room = made->room == 0 ? 64 : 2 * made->room;
    step *steps = realloc(made->steps, room * sizeof *steps);
    if (steps == NULL) {
        return false;
    }
    made->steps = steps;
    made->room = room;
    return true;
}

static char *format_numbers(const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    const int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = length < 0 ? NULL : malloc((size_t)length + 1);
    if (text != NULL) {
        (void)vsnprintf(text, (size_t)length + 1, format, arguments);
    }
    return text;
}

static void free_step(step *one)
{
    free(one->term);
    free(one->formula);
    free(one->numbers);
}

void worked_step(worked *made, const char *term, const char *formula, quantity what, double value, const char *numbers,
                 ...)
{
    if (made->failed || !make_room(made)) {
        made->failed = true;
        return;
    }
    va_list arguments;
    va_start(arguments, numbers);
    step one = {.section = made->section,
                .term = strdup(term),
                .formula = strdup(formula),
                .numbers = format_numbers(numbers, arguments),
                .what = what,
                .value = value};
    va_end(arguments);
    if (one.term == NULL || one.formula == NULL || one.numbers == NULL) {
        free_step(&one);
        made->failed = true;
        return;
    }
    made->steps[made->count++] = one;
}

void worked_free(worked *made)
{
    for (size_t i = 0; i < made->count; i++) {
        free_step(&made->steps[i]);
    }
    free(made->steps);
    *made = (worked){0};
}
