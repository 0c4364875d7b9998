/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "message.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "present/plain.h"

/* What the person chose for the whole run: every sentence of the tool goes by it. */
static struct {
    bool quiet;
    bool verbose;
    const char *about;
    struct timespec start;
} chosen;

void message_choose(bool quiet, bool verbose)
{
    chosen.quiet = quiet;
    chosen.verbose = verbose;
    (void)clock_gettime(CLOCK_MONOTONIC, &chosen.start);
}

bool message_is_quiet(void)
{
    return chosen.quiet;
}

void message_about(const char *file)
{
    chosen.about = file;
}

/* Most sentences are shorter; a longer one needs memory, without which its end is lost. */
enum { SENTENCE = 2048 };

/* What it says may hold a text of the person's: no terminal shall obey that. */
static void say_plainly(const char *format, va_list arguments)
{
    char sentence[SENTENCE];
    char *whole = NULL;
    va_list again;
    va_copy(again, arguments);
    const int length = vsnprintf(sentence, sizeof sentence, format, arguments);
    if (length >= SENTENCE) {
        whole = malloc((size_t)length + 1);
    }
    if (whole != NULL) {
        (void)vsnprintf(whole, (size_t)length + 1, format, again);
    }
    va_end(again);
    (void)plain_print(stderr, whole != NULL ? whole : sentence);
    free(whole);
}

static void say(const char *beginning, const char *format, va_list arguments)
{
    (void)fputs(beginning, stderr);
    if (chosen.about != NULL) {
        (void)plain_print(stderr, chosen.about);
        (void)fputs(": ", stderr);
    }
    say_plainly(format, arguments);
    (void)fputc('\n', stderr);
}

void tell_line(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say_plainly(format, arguments);
    va_end(arguments);
    (void)fputc('\n', stderr);
}

exit_status fail(exit_status status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("trunnion: ", format, arguments);
    va_end(arguments);
    return status;
}

exit_status fail_about(exit_status status, const char *file, const char *text)
{
    const bool named = chosen.about != NULL && strcmp(chosen.about, file) == 0;
    return named ? fail(status, "%s", text) : fail(status, "%s: %s", file, text);
}

exit_status not_met(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("trunnion: not met: ", format, arguments);
    va_end(arguments);
    return EXIT_NOT_MET;
}

void warn(const char *format, ...)
{
    va_list arguments;
    if (chosen.quiet) {
        return;
    }
    va_start(arguments, format);
    say("trunnion: warning: ", format, arguments);
    va_end(arguments);
}

void note(const char *format, ...)
{
    va_list arguments;
    if (!chosen.verbose) {
        return;
    }
    va_start(arguments, format);
    say("trunnion: note: ", format, arguments);
    va_end(arguments);
}

void message_time(void)
{
    struct timespec end;
    (void)clock_gettime(CLOCK_MONOTONIC, &end);
    note("done in %.3g s",
         (double)(end.tv_sec - chosen.start.tv_sec) + 1e-9 * (double)(end.tv_nsec - chosen.start.tv_nsec));
}

exit_status fail_memory(void)
{
    return fail(EXIT_MACHINE, "memory ran out");
}
