/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running gnuplot: no shell, no file name of ours in its hands. */
#ifndef PRESENT_GNUPLOT_H
#define PRESENT_GNUPLOT_H

#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"
#include "output.h"

/* Where a script finds the picture that is handed to it. */
#define GNUPLOT_GIVEN "/dev/fd/3"

/*
 * Run a script that sets a terminal but no output, and write the picture that comes of it to a stream. given is a
 * picture for the script to read, its whole text; NULL: none.
 */
exit_status gnuplot_run(const char *script, size_t length, const output *given, FILE *picture);

#endif
