/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Results on their way out: gathered in memory, then written whole to standard
 * output or to a file. A file is replaced in one step by a finished one, so
 * that at no moment half a result stands under its name.
 */
#ifndef OUTPUT_H
#define OUTPUT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"

/* A text that grows in memory through a stdio stream; it stays where it is while it is open. */
typedef struct output {
    FILE *stream; /* write here */
    char *text;   /* what output_is_whole found there, ended by NUL */
    size_t length;
    size_t room;
    bool failed; /* memory ran out: something is missing */
} output;

/* On EXIT_DONE end with output_commit or output_discard. */
exit_status output_open(output *out);

/* Whether all that was written to the stream stands in the text; else memory ran out. */
bool output_is_whole(output *out);

/* Write all that was gathered to a file, NULL or "-" for standard output (nowhere where quiet), and free it. */
exit_status output_commit(output *out, const char *named);

void output_discard(output *out);

#endif
