/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ballast_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool plan_has_moves(plan_outcome outcome)
{
    return outcome == PLAN_SOLVED || outcome == PLAN_FOUND;
}

int plan_handled(const int *changes, size_t count)
{
    int handled = 0;
    for (size_t i = 0; i < count; i++) {
        handled += abs(changes[i]);
    }
    return handled;
}

plan_moments plan_moments_after(const plan_search *of, const int *changes)
{
    plan_moments after = of->now;
    for (size_t i = 0; i < of->count; i++) {
        after.a_Nm += of->effects[i].a_Nm * changes[i];
        after.b_Nm += of->effects[i].b_Nm * changes[i];
    }
    return after;
}

plan_deadlines plan_share(const plan_search *of, double share)
{
    const double now = plan_now();
    const double until = now + share * fmax(of->end - now, 0);
    return (plan_deadlines){until, until};
}

double plan_miss(const plan_region *region, plan_moments at, trn_ballast_bound *bound)
{
    return fmax(-plan_tightest(region, at, bound), 0);
}

static double weight_change(const plan_program *program, const int *changes)
{
    double change = 0;
    for (size_t i = 0; i < program->count; i++) {
        change += program->effects[i].weight_N * changes[i];
    }
    return fabs(change);
}

double plan_just_over(double value, double size)
{
    return value + 1e-9 * (fabs(value) + size);
}

static void copy(int *to, const int *from, size_t count)
{
    memcpy(to, from, count * sizeof *to);
}

/* Fix the pockets one after the other at the most blocks that the best plans have there. */
static bool settle_pockets(const plan_search *of, plan_program *program, plan_effect *fixed, plan_deadlines until,
                           int *changes)
{
    int left = program->handled;
    program->objective = PLAN_MOST_IN_POCKET;
    program->effects = fixed;
    for (size_t i = 0; i < of->count && left > 0; i++) {
        double unused;
        const int most = fixed[i].most < left ? fixed[i].most : left;
        program->pocket = i;
        if (changes[i] < most) {
            const plan_outcome outcome = plan_solve(program, until, of->trial, &unused);
            if (outcome != PLAN_SOLVED) {
                return outcome != PLAN_NO_MEMORY;
            }
            copy(changes, of->trial, of->count);
        }
        fixed[i].least = fixed[i].most = changes[i];
        left -= abs(changes[i]);
    }
    return true;
}

/* Among the plans that handle as few blocks; where the time is over, the plan at hand stays. */
static bool settle_ties(const plan_search *of, plan_program *program, plan_deadlines until, int *changes)
{
    double unused;
    program->objective = PLAN_WEIGHT;
    const plan_outcome outcome = plan_solve(program, until, of->trial, &unused);
    if (outcome != PLAN_SOLVED) {
        return outcome != PLAN_NO_MEMORY;
    }
    copy(changes, of->trial, of->count);
    program->weight_most_N = plan_just_over(weight_change(program, changes), program->effects[0].weight_N);
    plan_effect *fixed = malloc(of->count * sizeof *fixed);
    if (fixed == NULL) {
        return false;
    }
    memcpy(fixed, program->effects, of->count * sizeof *fixed);
    const bool settled = settle_pockets(of, program, fixed, until, changes);
    free(fixed);
    return settled;
}

void plan_settle(const plan_search *of, plan_program program, plan_deadlines until, plan_found *found)
{
    program.objective = PLAN_FEWEST;
    found->outcome = plan_solve(&program, until, found->changes, &found->bound);
    if (!plan_has_moves(found->outcome)) {
        found->bound = found->outcome == PLAN_NONE ? HUGE_VAL : found->bound;
        return;
    }
    found->handled = plan_handled(found->changes, of->count);
    if (found->outcome == PLAN_FOUND) {
        return;
    }
    found->bound = found->handled;
    program.handled = found->handled;
    if (found->handled > 0 && !settle_ties(of, &program, until, found->changes)) {
        found->outcome = PLAN_NO_MEMORY;
    }
}

/* Less than 0 where a plan goes before another. */
static double compare_plans(const plan_search *of, const plan_program *program, const plan_found *a,
                            const plan_found *b)
{
    if (a->handled != b->handled) {
        return a->handled - b->handled;
    }
    const double heavier = weight_change(program, a->changes) - weight_change(program, b->changes);
    if (fabs(heavier) > 1e-9 * program->effects[0].weight_N) {
        return heavier;
    }
    for (size_t i = 0; i < of->count; i++) {
        if (a->changes[i] != b->changes[i]) {
            return b->changes[i] - a->changes[i];
        }
    }
    return 0;
}

/* What is known of two regions together. */
static void merge(const plan_search *of, const plan_program *program, const plan_found *other, plan_found *best)
{
    const double bound = fmin(best->bound, other->bound);
    if (best->outcome == PLAN_NO_MEMORY || other->outcome == PLAN_NO_MEMORY) {
        best->outcome = PLAN_NO_MEMORY;
        return;
    }
    const bool undecided = best->outcome == PLAN_UNDECIDED || other->outcome == PLAN_UNDECIDED;
    if (plan_has_moves(other->outcome) &&
        (!plan_has_moves(best->outcome) || compare_plans(of, program, other, best) < 0)) {
        copy(best->changes, other->changes, of->count);
        best->handled = other->handled;
        best->outcome = other->outcome;
    }
    best->bound = bound;
    if (plan_has_moves(best->outcome)) {
        best->outcome = best->handled > ceil(bound - 1e-6) ? PLAN_FOUND : PLAN_SOLVED;
    } else if (undecided) {
        best->outcome = PLAN_UNDECIDED;
    }
}

void plan_over_regions(const plan_search *of, double tighten, plan_deadlines until, plan_found *found)
{
    for (size_t i = 0; i < of->region_count; i++) {
        plan_program program = plan_program_make(of->effects, of->count, of->now);
        plan_found one = {.changes = of->spare, .bound = HUGE_VAL};
        program.tighten = tighten;
        plan_program_hold(&program, &of->regions[i], false);
        plan_settle(of, program, until, i == 0 ? found : &one);
        if (i > 0) {
            merge(of, &program, &one, found);
        }
    }
}
