/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Roots and maxima of a function of one variable, for the files of this folder.
 *
 * Not GSL's: its solvers take memory and report through a handler that the
 * whole process shares, and these are called at every angle, from any thread.
 */
#ifndef SEARCH_H
#define SEARCH_H

#include <stddef.h>

typedef double (*search_function)(double x, const void *context);

/* The root between low and high, where f has opposite signs (or is zero), to the last few bits. */
double search_root(search_function f, const void *context, double low, double high);

/* The place of the maximum between low and high, where f rises and then falls; ends included. */
double search_peak(search_function f, const void *context, double low, double high);

/* What is searched: parts of equal length, and between their ends each place where the function bends. */
typedef struct search_range {
    double low;
    double high;
    size_t parts;
    search_function next_bend; /* the next place beyond x; infinite where there is none */
    const void *bends;         /* its context */
} search_range;

/* The samples of a range are the ends of its parts and the places where the function bends. What is done with one. */
typedef void (*search_visitor)(double x, double value, void *context);

/* Visit all samples in order, and among them, around each that is above its neighbours, the place of the peak. */
void search_visit(search_function f, const void *context, const search_range *over, search_visitor visit,
                  void *visitor);

/* The place of the largest value among these. */
double search_largest(search_function f, const void *context, const search_range *over);

#endif
