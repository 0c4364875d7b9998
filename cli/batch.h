/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several leaves in one run. Their results gather and are written together: tables one below the other, each below
 * the name of its file; CSV with a column 'file' first; JSON as an array with one element a file, in their order.
 */
#ifndef BATCH_H
#define BATCH_H

#include <jansson.h>

#include "options.h"
#include "output.h"

typedef struct batch {
    output text;
    json_t *results;
    size_t given; /* leaves that gave a result */
} batch;

/*
 * Run a command for each leaf of the options. One that fails does not keep the others from their results; the worst
 * status is returned. Where none gave a result nothing is written.
 */
exit_status batch_run(const options *asked, exit_status (*run)(const options *asked));

/* The result of one leaf, in the format of the options, without the caution. */
exit_status batch_add(const options *asked, const char *text, size_t length);

/* The heading of a leaf among several. */
void batch_heading(const options *asked, FILE *stream);

#endif
