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

/* The next sample of a range beyond one; part is the one that the sample lies in, or ends. */
static double next_sample(const search_range *over, double x, size_t *part)
{
    const double width = (over->high - over->low) / (double)over->parts;
    const size_t ends = *part + 1;
    const double end = ends == over->parts ? over->high : over->low + (double)ends * width;
    const double bend = over->next_bend(x, over->bends);
    *part = bend < end ? *part : ends;
    return fmin(bend, end);
}

void search_visit(search_function f, const void *context, const search_range *over, search_visitor visit,
                  void *visitor)
{
    double before = over->low;
    double at = over->low;
    double f_before = -HUGE_VAL;
    double f_at = f(at, context);
    size_t part = 0;
    while (at < over->high || before < at) {
        const bool ends = !(at < over->high);
        const double after = ends ? at : next_sample(over, at, &part);
        const double f_after = ends ? -HUGE_VAL : f(after, context);
        const bool above = f_at > f_before && f_at >= f_after;
        const double peak = above ? search_peak(f, context, before, after) : at;
        if (peak < at) {
            visit(peak, f(peak, context), visitor);
        }
        visit(at, f_at, visitor);
        if (peak > at) {
            visit(peak, f(peak, context), visitor);
        }
        before = at;
        f_before = f_at;
        at = after;
        f_at = f_after;
    }
}

/* The largest value so far, and where. */
typedef struct largest {
    double x;
    double value;
} largest;

static void keep_larger(double x, double value, void *context)
{
    largest *most = context;
    if (value > most->value) {
        *most = (largest){x, value};
    }
}

double search_largest(search_function f, const void *context, const search_range *over)
{
    largest most = {over->low, -HUGE_VAL};
    search_visit(f, context, over, keep_larger, &most);
    return most.x;
}
