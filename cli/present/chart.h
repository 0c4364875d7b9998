/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Charts as SVG within a page: scales, ticks, lines that are told apart by dash and by a label at their end as well
 * as by colour. The style sheet of the page has their looks (classes s0 to s7 for lines).
 */
#ifndef PRESENT_CHART_H
#define PRESENT_CHART_H

#include <stdbool.h>
#include <stddef.h>

#include "present/html.h"

/* Looks of lines: so many differ. */
enum { CHART_STYLES = 8 };

/* Labels beside one chart; what is beyond has none. */
enum { CHART_LABELS = 24 };

/* From values to places on the chart. */
typedef struct chart_scale {
    double low;
    double high;
    double from; /* the place of low, in units of the chart */
    double to;   /* of high */
} chart_scale;

typedef struct chart_label {
    const char *text;
    double place; /* the height of what it names */
    int style;    /* of its line; less than 0: of a limit */
} chart_label;

typedef struct chart {
    const char *id;    /* unique in the page */
    const char *title; /* what is drawn, in a few words */
    const char *x_words;
    const char *y_words;
    double height; /* in units of the chart, whose width is CHART_WIDTH */
    bool plain_x;  /* no numbers and words under the x axis: another chart stands beneath */
    chart_scale x;
    chart_scale y;
    chart_label labels[CHART_LABELS];
    size_t label_count;
} chart;

#define CHART_WIDTH 480.0

/* Widen a range so that it holds so many values; a range of low above high is empty. */
void chart_hold(chart_scale *scale, const double *values, size_t count);

/* Give the scale of y, which holds some values, the 0 as well and round ends. */
void chart_round(chart *of);

/*
 * Begin a figure with a chart; low and high of both scales must be set. described is the alternative text: what the
 * chart shows, in words. Ends with chart_end.
 */
void chart_begin(chart *of, html *page, const char *described);

/* A line through points; one that is not finite interrupts it. Its label outlives the chart. */
void chart_line(chart *of, html *page, const double *x, const double *y, size_t count, int style, const char *label);

/* A limit, level over the whole chart; one outside the scale is not drawn. */
void chart_level(chart *of, html *page, double y, const char *label);

/* An upright line at a value of x, with a number at its head that the text explains. */
void chart_upright(const chart *of, html *page, double x, const char *mark);

/* The labels, and the end of the chart; the caption, then html_end for the figure, are the caller's. */
void chart_end(chart *of, html *page);

/* A place for a value. */
double chart_place(const chart_scale *scale, double value);

#endif
