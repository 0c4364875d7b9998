/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file ballast.h
 * Which loose blocks to move so that the leaf comes into its balance target.
 *
 * A block of weight w at (x, y) of the leaf changes A by w x and B by w y; one
 * of a linked counterweight, at (xi, eta) from its pivot, changes A by
 * psi' w xi and B by psi'^2 w eta - psi'' w xi, closed. So the plan is an
 * integer program with few rows: whole blocks, from none to the room in each
 * pocket, A and B within the target, fewest blocks handled.
 *
 * GLPK solves it (branch and bound). Its environment is kept per thread where
 * the library was built so (Debian's is: glp_config("TLS")); where it was not,
 * calls of this library wait for each other, and a program must not use GLPK
 * of its own in another thread meanwhile. A caller's own problems in GLPK's
 * environment stay as they are; its hooks for errors and terminal are reset.
 */
#ifndef TRN_BALLAST_H
#define TRN_BALLAST_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/balance.h"
#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How certain A and B of the leaf are: variances and covariance, N2 m2, as a balance test gives them. */
typedef struct trn_moment_covariance {
    double aa; /**< variance of A */
    double ab; /**< covariance of A and B */
    double bb; /**< variance of B */
} trn_moment_covariance;

/** Standard deviations of a normal distribution from the mean that leave 2.5 % outside on each side. */
#define TRN_NORMAL_975 1.959963984540054

/** How a plan is sought. */
typedef struct trn_ballast_settings {
    double seconds;                        /**< limit of the search, over 0; default 10 */
    const trn_moment_covariance *measured; /**< the plan keeps each bound at 95 % confidence; NULL: A and B are exact */
} trn_ballast_settings;

/** Ten seconds, A and B exact. */
trn_ballast_settings trn_default_ballast_settings(void);

/** What happens to a pocket. */
typedef struct trn_ballast_move {
    const trn_pocket *pocket; /**< of the leaf planned for */
    int before; /**< blocks in it as the leaf says */
    int after; /**< blocks in it by the plan */
    int change; /**< after - before */
} trn_ballast_move;

/** The bounds of a target. */
typedef enum trn_ballast_bound {
    TRN_BOUND_TOE_LOW,
    TRN_BOUND_TOE_HIGH,
    TRN_BOUND_ANGLE_LOW,
    TRN_BOUND_ANGLE_HIGH,
    TRN_BOUND_A_LOW,
    TRN_BOUND_A_HIGH,
    TRN_BOUND_B_LOW,
    TRN_BOUND_B_HIGH
} trn_ballast_bound;

/** Why there is no plan. */
typedef enum trn_ballast_cause {
    TRN_CAUSE_ROOM,         /**< not even fractions of blocks would do: pockets full, empty, or in the wrong place */
    TRN_CAUSE_WHOLE_BLOCKS, /**< fractions of blocks would do, whole ones step over the target */
    TRN_CAUSE_TARGET,       /**< no balance at all is within the target: its windows exclude each other */
    TRN_CAUSE_MEASUREMENT,  /**< no balance at all is within the target at 95 % confidence */
    TRN_CAUSE_TIME          /**< none was found in the time; there may be one */
} trn_ballast_cause;

/** What stands in the way, where there is no plan; has_… says what was found in the time. */
typedef struct trn_ballast_obstacle {
    trn_ballast_cause cause; /**< why there is no plan */
    trn_ballast_bound bound; /**< the one that the nearest plan misses most */
    double miss_Nm;          /**< and by how much, as a moment: for an angle, the distance of (A, B) from its line */

    /** The windows, each widened as little as a plan needs while the other one holds; in N, rad or N m as the target.
        With a measured leaf the window of the angle is not looked at. */
    bool has_first;    /**< toe reaction, or A, can be widened so that a plan exists */
    trn_window first; /**< that window */
    bool has_second;   /**< angle, or B */
    trn_window second; /**< that window */

    /** Moments that the nearest plan lacks, and one weight at the reach of the pockets that would bring them. */
    double lacking_a_Nm; /**< of A */
    double lacking_b_Nm; /**< of B */
    double weight_N; /**< 0 where no weight there would do */
    trn_point at; /**< m, closed position */

    /** Blocks of this share of their weight, in place of all loose blocks, would do (as many of heavier ones, or
        as many more of lighter ones as fill the same room); of 1/2, 1/4, 2 and 4 the first one that would. */
    bool has_block_share;
    double block_share; /**< weight of such a block over that of the present one */
} trn_ballast_obstacle;

/** What came of the search. */
typedef struct trn_ballast_plan {
    bool feasible;       /**< the moves bring the leaf into its target; else they bring it as near as can be */
    int blocks_handled;  /**< sum of |change| */
    int gap_blocks;      /**< so many fewer might do for all that is proved; 0: none fewer, or proved that none do */
    trn_balance before; /**< of the leaf as it is */
    trn_balance after; /**< of the leaf after the moves */
    trn_ballast_bound closest; /**< of a feasible plan: the bound that it comes nearest to */
    double margin_Nm;          /**< and how near, as a moment */
    trn_ballast_obstacle obstacle; /**< where feasible is false */
} trn_ballast_plan;

/** How many pockets a leaf has, those of its linked counterweight among them. */
size_t trn_leaf_pocket_total(const trn_leaf *leaf);

/**
 * Find the plan: fewest blocks handled; of those, the least change of the
 * whole weight; of those, the most blocks in the first pocket, then in the
 * second, and so on. moves has room for trn_leaf_pocket_total; pockets of the
 * leaf come first, then those of its linked counterweight.
 *
 * The plan is checked with trn_leaf_balance: a feasible one is within the
 * target in double arithmetic. With settings->measured each bound is held with
 * 1.96 standard deviations of its linear form to spare. An angle window may be
 * of any width and lie on any side.
 *
 * Where there is no plan, the moves make the largest miss of any bound, taken
 * as a moment, as small as can be. The same inputs give the same plan unless
 * the time limit cuts the search short.
 *
 * Fails with TRN_MISSING_SECTION without pockets or balance_target, with
 * TRN_DEAD_POINT as trn_leaf_check_motion, with TRN_OUT_OF_DOMAIN for a time
 * limit or covariance that is none, with TRN_NO_MEMORY.
 */
trn_status trn_leaf_ballast(const trn_leaf *leaf, const trn_ballast_settings *settings, trn_ballast_move *moves,
                            trn_ballast_plan *plan, trn_error *error);

/** Room for a leaf whose blocks were moved; pockets belongs to the caller and has room for trn_leaf_pocket_total. */
typedef struct trn_leaf_room {
    trn_pocket *pockets; /**< all pockets, the leaf's first */
    trn_linked_counterweight linked; /**< the linked counterweight, where the leaf has one */
} trn_leaf_room;

/** The leaf after the moves of a plan for it; it points into room and shares all else with the leaf. */
trn_leaf trn_leaf_after_moves(const trn_leaf *leaf, const trn_ballast_move *moves, trn_leaf_room *room);

/** Parts that trn_leaf_correct adds. */
#define TRN_CORRECTION_PARTS 2

/**
 * The leaf with A and B as measured: parts, which has room for its own parts
 * and TRN_CORRECTION_PARTS more, gets a pair of opposite weights behind its
 * own, which changes A and B and neither weight nor inertia.
 */
trn_leaf trn_leaf_correct(const trn_leaf *leaf, double a_Nm, double b_Nm, trn_part *parts);

#ifdef __cplusplus
}
#endif

#endif
