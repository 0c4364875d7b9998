/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The JSON Schemas of cli/schemas, built into the tool by cli/embed. */
#ifndef SCHEMAS_H
#define SCHEMAS_H

#include <stddef.h>
#include <stdio.h>

typedef struct schema {
    const char *name; /* "leaf", or the command whose result it describes */
    const char *text;
} schema;

extern const schema schemas[];
extern const size_t schema_count;

/* The names of them all, one a line. */
void schema_names(FILE *stream);

#endif
