/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The help, written from the tables of commands and options. */
#ifndef HELP_H
#define HELP_H

#include "commands.h"

void help_general(FILE *stream);
void help_command(const command_entry *about, FILE *stream);

/* The words behind a command, as help writes them: "LEAF [LEAF...]". */
const char *help_words(unsigned takes);

#endif
