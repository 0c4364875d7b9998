/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The integer program behind a ballast plan. The only file that knows GLPK
 * stands behind this header.
 */
#ifndef PLAN_BALLAST_PROGRAM_H
#define PLAN_BALLAST_PROGRAM_H

#include "ballast_region.h"

/* What one block more in a pocket does, and how many more there may be (fewer: below 0). */
typedef struct plan_effect {
    double a_Nm;
    double b_Nm;
    double weight_N;
    int least;
    int most;
} plan_effect;

typedef enum plan_objective {
    PLAN_ANY,            /* any plan within the bounds */
    PLAN_FEWEST,         /* least sum of |change| */
    PLAN_WEIGHT,         /* least change of the whole weight, either way */
    PLAN_MOST_IN_POCKET, /* most blocks in one pocket */
    PLAN_LEAST_MISS,     /* least of the largest miss of the soft bounds */
    PLAN_INSIDE          /* furthest inside the half plane of a bound, which the program need not hold */
} plan_objective;

typedef struct plan_program {
    const plan_effect *effects;
    size_t count;
    plan_moments unchanged; /* without any change */
    plan_half halves[PLAN_HALVES_MAX + 2];
    bool soft[PLAN_HALVES_MAX + 2]; /* the bound may be missed */
    size_t half_count;
    double tighten;       /* each bound moved inwards by so much of one block's moment */
    double miss_most_Nm;  /* of the soft bounds */
    int handled;          /* sum of |change| that the plan must have; below 0: any */
    double weight_most_N; /* of the change of the whole weight */
    plan_objective objective;
    size_t pocket;    /* for PLAN_MOST_IN_POCKET */
    plan_half inside; /* for PLAN_INSIDE */
} plan_program;

typedef enum plan_outcome {
    PLAN_SOLVED,    /* the best plan, proved */
    PLAN_FOUND,     /* a plan, perhaps not the best */
    PLAN_NONE,      /* proved that there is none */
    PLAN_UNDECIDED, /* none found in the time */
    PLAN_NO_MEMORY
} plan_outcome;

/* Times on the clock of plan_now. */
typedef struct plan_deadlines {
    double without_plan; /* when to give up where no plan was found till then */
    double latest;
} plan_deadlines;

/* Seconds on a clock that only goes forward. */
double plan_now(void);

/* A program over some pockets without bounds, limits or objective. */
plan_program plan_program_make(const plan_effect *effects, size_t count, plan_moments unchanged);

void plan_program_hold(plan_program *program, const plan_region *region, bool soft);

/*
 * Solve. On PLAN_SOLVED and PLAN_FOUND changes are set, one for each pocket.
 * *bound is what the objective cannot be better than, where it is one to be minimised.
 */
plan_outcome plan_solve(const plan_program *program, plan_deadlines until, int *changes, double *bound);

/* Whether fractions of blocks could hold the bounds: PLAN_SOLVED or PLAN_NONE, or PLAN_NO_MEMORY. */
plan_outcome plan_solve_in_fractions(const plan_program *program);

#endif
