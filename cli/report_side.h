/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The side view in its two files: report_side.c places it, report_side_parts.c draws what it shows. */
#ifndef REPORT_SIDE_H
#define REPORT_SIDE_H

#include "report.h"

/* From the frame of the leaf to the drawing. */
typedef struct side_view {
    trn_point trunnion; /* in units of the drawing, y down */
    double scale;       /* units a metre */
    double width;
    double height;
    double above_m; /* where the numbers of the parts stand, above the closed leaf */
} side_view;

trn_point side_place(const side_view *view, trn_point point);

/* Begin a text at a place of the drawing; one that turns is kept upright by the script. Ends with html_end. */
void side_text(html *page, double x, double y, const char *class_name, const char *upright);

void side_fixed(const report *of, html *page, const side_view *view);
void side_counterweight(const report *of, html *page, const side_view *view);
void side_rod(const report *of, html *page, const side_view *view);
void side_leaf(const report *of, html *page, const side_view *view);

/* Where the script reads out the values at the angle; without it nothing shows. */
void side_readouts(html *page);

#endif
