/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the pictures of cycle have in common. */
#ifndef CYCLE_PLOT_H
#define CYCLE_PLOT_H

#include "cycle.h"

/* Heights of pages, in points. */
enum { SWEEP_HEIGHT = 900, SWITCHES_HEIGHT = 640 };

/* The height of the page of a run; one in which the wind changes shows the wind as well. */
int cycle_page_height(const cycle *of);

/* Where a column of panels stands, as shares of the page. */
typedef struct column_place {
    double left;
    double right;
} column_place;

/* One of two columns, or the only one. */
column_place column_of(bool alone, size_t index);

/* A gnuplot string of several lines: leaf, what is drawn, case, additions, faults, gusts; and how many lines it has. */
void cycle_title(const cycle *of, const char *what, FILE *script);
size_t cycle_title_lines(const cycle *of);

/* Set an axis ("y", "y2") to fit what lies between two values; a curve that is all one value gets room about it. */
void fit_axis(FILE *script, const char *axis, double least, double most);

/* Begin a page with a title and so many panels under each other, the key to the right of each. */
void cycle_page(const cycle *of, const char *what, int count, int height_pt, FILE *script);

/* Lines at the near and the full switch of a direction, over an axis of angles. */
void mark_switches(FILE *script, const trn_travel *travel, double opens_to_rad, trn_direction direction);

#endif
