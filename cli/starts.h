/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The leaf files of cli/starting, built into the tool by cli/embed. */
#ifndef STARTS_H
#define STARTS_H

#include <stddef.h>

typedef struct start {
    const char *name; /* the units it is in */
    const char *text;
} start;

extern const start starts[];
extern const size_t start_count;

#endif
