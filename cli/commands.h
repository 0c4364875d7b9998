/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one table of commands. */
#ifndef COMMANDS_H
#define COMMANDS_H

#include <stdio.h>

#include "options.h"

typedef struct command_entry {
    const char *name;
    const char *answers;
    const char *example;
    unsigned takes;
    exit_status (*run)(const options *asked);
    void (*names)(FILE *stream); /* of TAKES_NAME: the names that there are, one a line */
} command_entry;

extern const command_entry commands[];
extern const size_t command_count;

/* NULL where there is none of that name. */
const command_entry *command_find(const char *name);

/* The command that is one slip away: a letter put in, left out or changed, or two neighbours swapped; NULL: none is. */
const char *command_meant(const char *name);

#endif
