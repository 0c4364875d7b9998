/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running gnuplot: no shell, no file name of ours in its hands. */
#ifndef PRESENT_GNUPLOT_H
#define PRESENT_GNUPLOT_H

#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"

/* Run a script that sets a terminal but no output, and write the picture that comes of it to a stream. */
exit_status gnuplot_run(const char *script, size_t length, FILE *picture);

#endif
