/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the forms of plots share. */
#ifndef PRESENT_PLOT_RUN_H
#define PRESENT_PLOT_RUN_H

#include "output.h"

/*
 * The picture that comes of a script, which finds given (NULL: nothing) under GNUPLOT_GIVEN; a sentence is printed
 * where none comes. On EXIT_DONE it must be discarded.
 */
exit_status plot_run(const output *script, const output *given, output *picture);

#endif
