/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a command is run within a fuzz target: what it says and writes is caught. */
#ifndef FUZZ_COMMAND_LINE_H
#define FUZZ_COMMAND_LINE_H

#include "commands.h"

/* Catch what is said on standard error; at the end: how many bytes, which were the tool's own sentences. */
void said_begin(void);
size_t said_end(void);

/* Run a command that takes little time, with an example as its leaf; anything else is left alone. */
void run_quick(const command_entry *wanted, const options *asked, size_t pick);

#endif
