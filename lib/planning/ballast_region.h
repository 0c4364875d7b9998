/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Where the balance should lie, in the plane of A and B: a convex region
 * bounded by straight lines, or two where the window of angles is wider than
 * half a turn.
 */
#ifndef PLAN_BALLAST_REGION_H
#define PLAN_BALLAST_REGION_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/ballast.h"

/* One bound: a A + b B is at least least_Nm, with (a, b) of length 1, so that what is over is a distance. */
typedef struct plan_half {
    double a;
    double b;
    double least_Nm;
    trn_ballast_bound bound;
} plan_half;

#define PLAN_HALVES_MAX 4

typedef struct plan_region {
    plan_half halves[PLAN_HALVES_MAX];
    size_t count;
} plan_region;

/* A and B of a leaf, closed. */
typedef struct plan_moments {
    double a_Nm;
    double b_Nm;
} plan_moments;

/* The angle is at least (at most) so much, within half a turn from there. */
plan_half plan_half_above(double angle_rad);
plan_half plan_half_below(double angle_rad);

/* The regions of a target, one or two; each bound is moved inwards to hold at 95 % confidence where measured. */
size_t plan_regions(const trn_balance_target *target, double toe_m, const trn_moment_covariance *measured,
                    plan_region regions[2]);

/* How far inside a bound the moments are, N m; below 0 outside. */
double plan_inside(const plan_half *half, plan_moments at);

/* The bound of a region that is missed most, or held with least to spare, and by how much inside. */
double plan_tightest(const plan_region *region, plan_moments at, trn_ballast_bound *bound);

/* The moments of a region nearest to others; false where the region is empty. */
bool plan_nearest(const plan_region *region, plan_moments from, plan_moments *nearest);

#endif
