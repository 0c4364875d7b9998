/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The sum of many bodies, for the files of this folder. A leaf near its
 * balance keeps a millionth of the moments that make it up: what rounding
 * takes from a sum is kept beside it and given back at the end (Neumaier
 * 1974), so that the sum is right whatever cancels, of however many parts and
 * in whatever order. The parts' own moments are rounded: a weight of 10 kN at
 * 1.2 m, neither of them a double, shall still be 12 kN m.
 */
#ifndef BODIES_H
#define BODIES_H

#include <math.h>

#include "trunnion/part.h"

typedef struct body_sum {
    trn_body sum;
    trn_body lost; /* by rounding, so far */
} body_sum;

static inline double lost_in(double a, double b)
{
    const double sum = a + b;
    return fabs(a) >= fabs(b) ? (a - sum) + b : (b - sum) + a;
}

static inline void body_sum_add(body_sum *to, trn_body one)
{
    to->lost.weight_N += lost_in(to->sum.weight_N, one.weight_N);
    to->lost.a_Nm += lost_in(to->sum.a_Nm, one.a_Nm);
    to->lost.b_Nm += lost_in(to->sum.b_Nm, one.b_Nm);
    to->lost.inertia_kg_m2 += lost_in(to->sum.inertia_kg_m2, one.inertia_kg_m2);
    to->sum = trn_body_sum(to->sum, one);
}

/* A sum that has overflowed has lost no number. */
static inline double made_good(double sum, double lost)
{
    return isfinite(lost) ? sum + lost : sum;
}

static inline trn_body body_sum_whole(const body_sum *of)
{
    return (trn_body){.weight_N = made_good(of->sum.weight_N, of->lost.weight_N),
                      .a_Nm = made_good(of->sum.a_Nm, of->lost.a_Nm),
                      .b_Nm = made_good(of->sum.b_Nm, of->lost.b_Nm),
                      .inertia_kg_m2 = made_good(of->sum.inertia_kg_m2, of->lost.inertia_kg_m2)};
}

#endif
