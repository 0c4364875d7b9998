/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ballast_region.h"

#include <gsl/gsl_math.h>
#include <math.h>

plan_half plan_half_above(double angle_rad)
{
    return (plan_half){-sin(angle_rad), cos(angle_rad), 0, TRN_BOUND_ANGLE_LOW};
}

plan_half plan_half_below(double angle_rad)
{
    return (plan_half){sin(angle_rad), -cos(angle_rad), 0, TRN_BOUND_ANGLE_HIGH};
}

static void add(plan_region *region, plan_half half)
{
    region->halves[region->count++] = half;
}

static void add_window(plan_region *region, double a, double b, trn_window window_Nm, trn_ballast_bound low,
                       trn_ballast_bound high)
{
    add(region, (plan_half){a, b, window_Nm.low, low});
    add(region, (plan_half){-a, -b, -window_Nm.high, high});
}

/* Each bound is a linear form of A and B, whose variance follows from theirs. */
static void move_inwards(plan_region *region, const trn_moment_covariance *of)
{
    for (size_t i = 0; i < region->count; i++) {
        plan_half *half = &region->halves[i];
        const double variance =
            half->a * half->a * of->aa + 2 * half->a * half->b * of->ab + half->b * half->b * of->bb;
        half->least_Nm += TRN_NORMAL_975 * sqrt(fmax(variance, 0));
    }
}

/* A window of angles is what two lines through the trunnion have in common; one
   wider than half a turn is all that either of them allows. */
static size_t by_place(const trn_balance_target *target, double toe_m, plan_region regions[2])
{
    const trn_window angle = target->angle_rad;
    const trn_window a_Nm = {target->toe_reaction_N.low * toe_m, target->toe_reaction_N.high * toe_m};
    const size_t count = angle.high - angle.low > M_PI ? 2 : 1;
    for (size_t i = 0; i < count; i++) {
        regions[i].count = 0;
        add_window(&regions[i], 1, 0, a_Nm, TRN_BOUND_TOE_LOW, TRN_BOUND_TOE_HIGH);
    }
    add(&regions[0], plan_half_above(angle.low));
    add(&regions[count - 1], plan_half_below(angle.high));
    return count;
}

size_t plan_regions(const trn_balance_target *target, double toe_m, const trn_moment_covariance *measured,
                    plan_region regions[2])
{
    size_t count = 1;
    if (target->by_moments) {
        regions[0].count = 0;
        add_window(&regions[0], 1, 0, target->a_Nm, TRN_BOUND_A_LOW, TRN_BOUND_A_HIGH);
        add_window(&regions[0], 0, 1, target->b_Nm, TRN_BOUND_B_LOW, TRN_BOUND_B_HIGH);
    } else {
        count = by_place(target, toe_m, regions);
    }
    for (size_t i = 0; i < count && measured != NULL; i++) {
        move_inwards(&regions[i], measured);
    }
    return count;
}

double plan_inside(const plan_half *half, plan_moments at)
{
    return half->a * at.a_Nm + half->b * at.b_Nm - half->least_Nm;
}

double plan_tightest(const plan_region *region, plan_moments at, trn_ballast_bound *bound)
{
    double tightest = HUGE_VAL;
    for (size_t i = 0; i < region->count; i++) {
        const double inside = plan_inside(&region->halves[i], at);
        if (inside < tightest) {
            tightest = inside;
            *bound = region->halves[i].bound;
        }
    }
    return tightest;
}

static bool is_within(const plan_region *region, plan_moments at)
{
    trn_ballast_bound unused;
    double size = hypot(at.a_Nm, at.b_Nm);
    for (size_t i = 0; i < region->count; i++) {
        size = fmax(size, fabs(region->halves[i].least_Nm));
    }
    return plan_tightest(region, at, &unused) >= -1e-12 * size;
}

static void keep_nearer(const plan_region *region, plan_moments from, plan_moments candidate, double *distance,
                        plan_moments *nearest)
{
    const double there = hypot(candidate.a_Nm - from.a_Nm, candidate.b_Nm - from.b_Nm);
    if (there < *distance && is_within(region, candidate)) {
        *distance = there;
        *nearest = candidate;
    }
}

static plan_moments foot_on(const plan_half *half, plan_moments from)
{
    const double inside = plan_inside(half, from);
    return (plan_moments){from.a_Nm - inside * half->a, from.b_Nm - inside * half->b};
}

/* The nearest point is the point itself, its foot on a side, or a corner. */
bool plan_nearest(const plan_region *region, plan_moments from, plan_moments *nearest)
{
    double distance = HUGE_VAL;
    keep_nearer(region, from, from, &distance, nearest);
    for (size_t i = 0; i < region->count; i++) {
        const plan_half *one = &region->halves[i];
        keep_nearer(region, from, foot_on(one, from), &distance, nearest);
        for (size_t k = 0; k < i; k++) {
            const plan_half *other = &region->halves[k];
            const double cross = one->a * other->b - one->b * other->a;
            if (fabs(cross) > 1e-12) {
                const plan_moments corner = {(one->least_Nm * other->b - other->least_Nm * one->b) / cross,
                                             (one->a * other->least_Nm - other->a * one->least_Nm) / cross};
                keep_nearer(region, from, corner, &distance, nearest);
            }
        }
    }
    return distance < HUGE_VAL;
}
