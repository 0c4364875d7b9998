/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the leaf file. */
#ifndef INPUT_H
#define INPUT_H

#include "exit_status.h"
#include "trunnion/describe.h"

/*
 * Read a leaf file, "-" for standard input. Faults are printed, one a line:
 * FILE:LINE:COLUMN: what is wrong. On EXIT_DONE the description must be freed.
 */
exit_status input_read(const char *file, trn_description **description);

/* The name under which messages speak of a file. */
const char *input_name(const char *file);

/*
 * Find a case by name; NULL gives the first. Where there is none of that
 * name, a sentence with the names that there are is printed.
 */
exit_status input_find_case(const trn_leaf *leaf, const char *file, const char *name, const trn_case **found);

/* Say that a description lacks what a command needs; the place is its first line. */
exit_status fail_description(const char *file, const char *text);

#endif
