/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every command does with a result: write it in the form asked for, and draw it. */
#ifndef DELIVER_H
#define DELIVER_H

#include <stdio.h>

#include "exit_status.h"
#include "options.h"
#include "present/plot.h"

/* How one kind of result is written; each function gets the result and a stream. */
typedef struct presentation {
    exit_status (*table)(const void *result, FILE *stream);
    exit_status (*csv)(const void *result, FILE *stream);
    exit_status (*json)(const void *result, FILE *stream);
    exit_status (*plot)(const void *result, FILE *script);
    plot_size size;
} presentation;

/*
 * Write and draw a result as the options ask; tables get the caution. The first line of a table is its heading;
 * additions follow it, they are a member of the JSON object, and the gnuplot string that titles end with.
 */
exit_status deliver(const options *asked, const presentation *how, const void *result);

#endif
