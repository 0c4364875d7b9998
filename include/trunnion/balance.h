/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file balance.h
 * The balance of a leaf: weight, centre of gravity, imbalance, inertia.
 */
#ifndef TRN_BALANCE_H
#define TRN_BALANCE_H

#include <stdbool.h>

#include "trunnion/leaf.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The balance of a leaf; moments are positive when they tend to close it. */
typedef struct trn_balance {
    double weight_N; /**< of all parts and blocks */
    double mass_kg; /**< weight over standard gravity */
    trn_point centre;         /**< centre of gravity, closed position, m */
    double closed_moment_Nm;  /**< A: positive is leaf heavy */
    double moment_Nm;         /**< W R = hypot(A, B) */
    double angle_rad;         /**< alpha = atan2(B, A), above the horizontal */
    double inertia_kg_m2;     /**< about the trunnion */
    double toe_reaction_N;    /**< A over the toe distance: from imbalance alone, closed */
    bool has_neutral_angle;   /**< whether the moment changes sign within the travel */
    double neutral_angle_rad; /**< where it does */
} trn_balance;

/** The leaf's own body about its trunnion: all parts, and the blocks in the pockets. */
trn_body trn_leaf_body(const trn_leaf *leaf);

/**
 * M = A cos - B sin = W R cos(theta + alpha), from the sums of W x and W y.
 *
 * With a linked counterweight, weight and centre are those of both bodies,
 * and A and B are the closed moment and minus its slope over theta, which for
 * a parallelogram are those of a fixed counterweight; the link must have no
 * dead point at closed (trn_leaf_check_motion).
 */
trn_balance trn_leaf_balance(const trn_leaf *leaf);

#ifdef __cplusplus
}
#endif

#endif
