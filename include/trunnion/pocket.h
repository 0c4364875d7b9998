/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file pocket.h
 * Loose blocks in the counterweight, and the balance they shall give.
 */
#ifndef TRN_POCKET_H
#define TRN_POCKET_H

#include <stdbool.h>

#include "trunnion/geometry.h"
#include "trunnion/part.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A pocket that holds loose blocks, all at one place. */
typedef struct trn_pocket {
    const char *name; /**< for people */
    trn_point at;        /**< m, closed position */
    double block_N;      /**< weight of one block */
    int blocks;          /**< in it now, 0 to room */
    int room;            /**< the most it takes */
} trn_pocket;

/** The blocks in a pocket as a body about an axis through pivot. */
trn_body trn_pocket_body(const trn_pocket *pocket, trn_point pivot);

/** A range, low to high. */
typedef struct trn_window {
    double low; /**< at least this */
    double high; /**< at most this */
} trn_window;

/** Where the balance should lie: by toe reaction and angle, or by A and B. */
typedef struct trn_balance_target {
    bool by_moments;            /**< true: a_Nm and b_Nm count; false: the other two */
    trn_window toe_reaction_N; /**< closed, from imbalance alone */
    trn_window angle_rad;       /**< of the centre of gravity above the horizontal, closed */
    trn_window a_Nm; /**< closed moment A */
    trn_window b_Nm; /**< B */
} trn_balance_target;

#ifdef __cplusplus
}
#endif

#endif
