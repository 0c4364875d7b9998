/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "search.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

/* Regula falsi with the Illinois step, every third step a bisection: keeps its
   bracket and never crawls. */
double search_root(search_function f, const void *context, double low, double high)
{
    double f_low = f(low, context);
    double f_high = f(high, context);
    int moved = 0;
    if (!(fabs(f_low) > 0) || !(fabs(f_high) > 0)) {
        return fabs(f_low) > 0 ? high : low;
    }
    for (int i = 0; i < 200 && high - low > 2 * DBL_EPSILON * fmax(fabs(low), fabs(high)); i++) {
        const double secant = high - f_high * ((high - low) / (f_high - f_low));
        const bool bisect = i % 3 == 2 || !(secant > low && secant < high);
        const double middle = bisect ? low + (high - low) / 2 : secant;
        const double value = f(middle, context);
        if (!(fabs(value) > 0)) {
            return middle;
        }
        if ((value > 0) == (f_high > 0)) {
            high = middle;
            f_high = value;
            f_low = moved == 1 ? f_low / 2 : f_low;
            moved = 1;
        } else {
            low = middle;
            f_low = value;
            f_high = moved == -1 ? f_high / 2 : f_high;
            moved = -1;
        }
    }
    return low + (high - low) / 2;
}

double search_peak(search_function f, const void *context, double low, double high)
{
    const double golden = 0.38196601125010515;
    double left = low + golden * (high - low);
    double right = high - golden * (high - low);
    double f_left = f(left, context);
    double f_right = f(right, context);
    /* Closer than the root of epsilon the values no longer differ. */
    while (high - low > 1e-9 * fmax(1e-3, fabs(low) + fabs(high))) {
        if (f_left >= f_right) {
            high = right;
            right = left;
            f_right = f_left;
            left = low + golden * (high - low);
            f_left = f(left, context);
        } else {
            low = left;
            left = right;
            f_left = f_right;
            right = high - golden * (high - low);
            f_right = f(right, context);
        }
    }
    return f_left >= f_right ? left : right;
}

double search_largest(search_function f, const void *context, double low, double high, size_t parts)
{
    const double width = (high - low) / (double)parts;
    size_t best = 0;
    double largest = -HUGE_VAL;
    for (size_t i = 0; i <= parts; i++) {
        const double value = f(i == parts ? high : low + (double)i * width, context);
        if (value > largest) {
            largest = value;
            best = i;
        }
    }
    const double at = best == parts ? high : low + (double)best * width;
    const double peak = search_peak(f, context, fmax(low, at - width), fmin(high, at + width));
    return f(peak, context) > largest ? peak : at;
}
