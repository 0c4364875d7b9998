/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plots, drawn by gnuplot. */
#ifndef PRESENT_PLOT_H
#define PRESENT_PLOT_H

#include <stdbool.h>
#include <stdio.h>

#include "exit_status.h"

/* Whether a file name ends in a form that we draw: .svg, .png, .pdf or .gp. Prints a sentence if not. */
exit_status plot_form_check(const char *file);

/* The size of a picture; a point is 1/72 inch. */
typedef struct plot_size {
    int width_pt;
    int height_pt;
} plot_size;

/*
 * Draw a gnuplot script into file, whole or not at all; a .gp file gets the
 * script itself. The script holds its data and sets no terminal.
 */
exit_status plot_draw(const char *file, const char *script, size_t length, plot_size size);

/*
 * Draw it where standard output goes, below a heading (which may be empty) and with the caution under it: in sixels
 * where that is a terminal that draws them, else in letters, as wide as the terminal.
 */
exit_status plot_draw_here(const char *script, size_t length, plot_size size, const char *heading);

/* A text as a gnuplot string: nothing in it is ever a command. */
void plot_string(FILE *script, const char *text);

/* The same, cut to so many letters of middle width with an ellipsis: for a legend. */
void plot_short_string(FILE *script, const char *text, size_t most);

/* The same as the label of a tic, in which gnuplot reads per cent signs as formats. */
void plot_tic_string(FILE *script, const char *text, size_t most);

/*
 * The settings that all our plots share: grid, border, line styles 1 to 8. The caution gets a strip at the foot of the
 * page, which the plot leaves free unless it sets its margins by the screen; a picture that has it below goes without.
 * The variable letters is 1 where the picture is drawn in letters, which know neither colour nor broken lines, else 0.
 */
void plot_common_settings(FILE *script, plot_size size, bool with_caution);

/* Within a multiplot: the place of the next panel, one of so many from the top down, above the caution. */
void plot_panel(FILE *script, int index, int count);

#endif
