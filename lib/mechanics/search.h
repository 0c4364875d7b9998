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

/* The place of the largest value from low to high: parts of equal length are searched for peaks around the best sample.
 */
double search_largest(search_function f, const void *context, double low, double high, size_t parts);

#endif
