/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where no plan was found: how near one can come, and what would help. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ballast_search.h"

static double largest_effect(const plan_search *of)
{
    double largest = 0;
    for (size_t i = 0; i < of->count; i++) {
        largest = fmax(largest, hypot(of->effects[i].a_Nm, of->effects[i].b_Nm));
    }
    return largest;
}

/* The moves that make the largest miss of a region smallest, and the fewest such moves. */
static plan_outcome approach(const plan_search *of, const plan_region *region, plan_deadlines until,
                             plan_found *nearest)
{
    double unused;
    trn_ballast_bound bound;
    plan_program program = plan_program_make(of->effects, of->count, of->now);
    plan_program_hold(&program, region, true);
    program.objective = PLAN_LEAST_MISS;
    nearest->outcome = plan_solve(&program, until, nearest->changes, &unused);
    if (nearest->outcome != PLAN_SOLVED) {
        return nearest->outcome;
    }
    const double miss = plan_miss(region, plan_moments_after(of, nearest->changes), &bound);
    program.miss_most_Nm = plan_just_over(miss, largest_effect(of));
    plan_found fewest = {.changes = of->trial, .bound = 0};
    program.objective = PLAN_FEWEST;
    fewest.outcome = plan_solve(&program, plan_share(of, 0.2), fewest.changes, &fewest.bound);
    if (plan_has_moves(fewest.outcome)) {
        memcpy(nearest->changes, fewest.changes, of->count * sizeof *fewest.changes);
    }
    return fewest.outcome == PLAN_NO_MEMORY ? PLAN_NO_MEMORY : PLAN_SOLVED;
}

/* The nearest moves over all regions; none at all where the time does not suffice for any. */
static trn_status find_nearest(const plan_search *of, plan_found *found, trn_ballast_obstacle *obstacle)
{
    memset(found->changes, 0, of->count * sizeof *found->changes);
    obstacle->miss_Nm = HUGE_VAL;
    for (size_t i = 0; i < of->region_count; i++) {
        trn_ballast_bound bound = obstacle->bound;
        const double miss = plan_miss(&of->regions[i], of->now, &bound);
        if (miss < obstacle->miss_Nm) {
            obstacle->miss_Nm = miss;
            obstacle->bound = bound;
        }
    }
    for (size_t i = 0; i < of->region_count; i++) {
        plan_found one = {.changes = of->spare};
        trn_ballast_bound bound = obstacle->bound;
        const plan_outcome outcome = approach(of, &of->regions[i], plan_share(of, 0.4), &one);
        if (outcome == PLAN_NO_MEMORY) {
            return TRN_NO_MEMORY;
        }
        if (plan_has_moves(outcome)) {
            const double miss = plan_miss(&of->regions[i], plan_moments_after(of, one.changes), &bound);
            if (miss < obstacle->miss_Nm) {
                memcpy(found->changes, one.changes, of->count * sizeof *one.changes);
                obstacle->miss_Nm = miss;
                obstacle->bound = bound;
            }
        }
    }
    found->handled = plan_handled(found->changes, of->count);
    return TRN_OK;
}

/* The moments that are lacking after the moves, and a weight at the reach of the pockets that would bring them. */
static void find_lacking(const plan_search *of, plan_moments at, trn_ballast_obstacle *obstacle)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < of->region_count; i++) {
        plan_moments nearest;
        if (plan_nearest(&of->regions[i], at, &nearest)) {
            const plan_moments lacking = {nearest.a_Nm - at.a_Nm, nearest.b_Nm - at.b_Nm};
            const double size = hypot(lacking.a_Nm, lacking.b_Nm);
            if (size < least) {
                least = size;
                obstacle->lacking_a_Nm = lacking.a_Nm;
                obstacle->lacking_b_Nm = lacking.b_Nm;
            }
        }
    }
    double reach = 0;
    for (size_t i = 0; i < of->leaf->pocket_count; i++) {
        reach = fmax(reach, hypot(of->leaf->pockets[i].at.x, of->leaf->pockets[i].at.y));
    }
    reach = reach > 0 ? reach : of->leaf->toe_m;
    if (least < HUGE_VAL && least > 0) {
        obstacle->weight_N = least / reach;
        obstacle->at = (trn_point){reach * obstacle->lacking_a_Nm / least, reach * obstacle->lacking_b_Nm / least};
    }
}

static bool any_balance(const plan_region *regions, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        plan_moments unused;
        if (plan_nearest(&regions[i], (plan_moments){0, 0}, &unused)) {
            return true;
        }
    }
    return false;
}

/* No balance is within the target: its windows exclude each other, or do so when narrowed by the uncertainty. */
static trn_ballast_cause cause_of_emptiness(const plan_search *of)
{
    plan_region given[2];
    const size_t count = plan_regions(of->leaf->balance_target, of->leaf->toe_m, NULL, given);
    return any_balance(given, count) ? TRN_CAUSE_MEASUREMENT : TRN_CAUSE_TARGET;
}

static trn_status find_cause(const plan_search *of, plan_outcome outcome, trn_ballast_cause *cause)
{
    *cause = TRN_CAUSE_ROOM;
    if (!any_balance(of->regions, of->region_count)) {
        *cause = cause_of_emptiness(of);
    } else if (outcome == PLAN_UNDECIDED) {
        *cause = TRN_CAUSE_TIME;
    } else {
        for (size_t i = 0; i < of->region_count; i++) {
            plan_program program = plan_program_make(of->effects, of->count, of->now);
            plan_program_hold(&program, &of->regions[i], false);
            const plan_outcome in_fractions = plan_solve_in_fractions(&program);
            if (in_fractions == PLAN_NO_MEMORY) {
                return TRN_NO_MEMORY;
            }
            *cause = in_fractions == PLAN_SOLVED ? TRN_CAUSE_WHOLE_BLOCKS : *cause;
        }
    }
    return TRN_OK;
}

/* Whether all loose blocks exchanged for ones of a share of their weight could do. The pockets start empty. */
static plan_outcome with_other_blocks(const plan_search *of, double share, plan_effect *other)
{
    plan_moments empty = of->now;
    for (size_t i = 0; i < of->count; i++) {
        const plan_effect *one = &of->effects[i];
        const int room = one->most - one->least;
        empty.a_Nm += one->a_Nm * one->least;
        empty.b_Nm += one->b_Nm * one->least;
        other[i] = (plan_effect){.a_Nm = one->a_Nm * share,
                                 .b_Nm = one->b_Nm * share,
                                 .weight_N = one->weight_N * share,
                                 .most = share < 1 ? (int)(room / share) : room};
    }
    plan_outcome outcome = PLAN_NONE;
    for (size_t i = 0; i < of->region_count && !plan_has_moves(outcome) && outcome != PLAN_NO_MEMORY; i++) {
        double unused;
        plan_program program = plan_program_make(other, of->count, empty);
        plan_program_hold(&program, &of->regions[i], false);
        outcome = plan_solve(&program, plan_share(of, 0.4), of->trial, &unused);
    }
    return outcome;
}

static trn_status find_block_share(const plan_search *of, trn_ballast_obstacle *obstacle)
{
    static const double shares[] = {1.0 / 2, 1.0 / 4, 2, 4};
    plan_effect *other = malloc(of->count * sizeof *other);
    if (other == NULL) {
        return TRN_NO_MEMORY;
    }
    plan_outcome outcome = PLAN_NONE;
    for (size_t i = 0;
         i < sizeof shares / sizeof shares[0] && !obstacle->has_block_share && outcome != PLAN_NO_MEMORY; i++) {
        outcome = with_other_blocks(of, shares[i], other);
        obstacle->has_block_share = plan_has_moves(outcome);
        obstacle->block_share = plan_has_moves(outcome) ? shares[i] : 0;
    }
    free(other);
    return outcome == PLAN_NO_MEMORY ? TRN_NO_MEMORY : TRN_OK;
}

trn_status plan_obstacle(const plan_search *of, plan_found *found, trn_ballast_obstacle *obstacle)
{
    trn_status status = find_cause(of, found->outcome, &obstacle->cause);
    if (status == TRN_OK) {
        status = find_nearest(of, found, obstacle);
    }
    if (status != TRN_OK) {
        return status;
    }
    find_lacking(of, plan_moments_after(of, found->changes), obstacle);
    status = plan_widen(of, obstacle);
    if (status == TRN_OK && obstacle->cause != TRN_CAUSE_MEASUREMENT && obstacle->cause != TRN_CAUSE_TARGET) {
        status = find_block_share(of, obstacle);
    }
    return status;
}
