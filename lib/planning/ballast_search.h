/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The search for a ballast plan: one leaf, its target as regions, its pockets
 * as effects, and the time that there is.
 */
#ifndef PLAN_BALLAST_SEARCH_H
#define PLAN_BALLAST_SEARCH_H

#include "ballast_program.h"

typedef struct plan_search {
    const trn_leaf *leaf;
    const trn_moment_covariance *measured;
    const trn_pocket **pockets;
    plan_effect *effects;
    size_t count;
    plan_moments now;
    plan_region regions[2];
    size_t region_count;
    double end; /* on the clock of plan_now */
    int *trial; /* room for the changes of one plan each */
    int *spare;
} plan_search;

/* A plan and what is proved of it. */
typedef struct plan_found {
    plan_outcome outcome;
    int *changes;
    int handled;
    double bound; /* no plan handles fewer blocks than this */
} plan_found;

/* Whether changes were found, the best or not. */
bool plan_has_moves(plan_outcome outcome);

/* A limit at a value that was reached, with room for its rounding; size is that of the values it is made of. */
double plan_just_over(double value, double size);

int plan_handled(const int *changes, size_t count);

/* A and B after the changes. */
plan_moments plan_moments_after(const plan_search *of, const int *changes);

/*
 * The fewest blocks that hold a program's bounds; of such plans the least
 * change of the whole weight, then the most blocks in the first pocket, and so on.
 */
void plan_settle(const plan_search *of, plan_program program, plan_deadlines until, plan_found *found);

/* The best plan over all regions; the program holds what is common to them, each bound moved inwards by tighten. */
void plan_over_regions(const plan_search *of, double tighten, plan_deadlines until, plan_found *found);

/* A share of the time that is left. */
plan_deadlines plan_share(const plan_search *of, double share);

/* What moments miss a region by, 0 within it, and which bound they miss most or come nearest to. */
double plan_miss(const plan_region *region, plan_moments at, trn_ballast_bound *bound);

/* ballast_widen.c: the windows, each as much wider as a plan needs. */
trn_status plan_widen(const plan_search *of, trn_ballast_obstacle *obstacle);

/* ballast_obstacle.c: where no plan was found, the moves that come nearest, and what stands in the way. */
trn_status plan_obstacle(const plan_search *of, plan_found *found, trn_ballast_obstacle *obstacle);

#endif
