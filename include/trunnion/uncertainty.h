/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file uncertainty.h
 * What is not known exactly about a leaf, as the description tells it.
 */
#ifndef TRN_UNCERTAINTY_H
#define TRN_UNCERTAINTY_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The shape of a distribution. */
typedef enum trn_distribution_shape { TRN_NORMAL, TRN_UNIFORM, TRN_TRIANGULAR } trn_distribution_shape;

/**
 * How a described value may differ from the true one; all zero: not at all.
 *
 * By a standard deviation about the described value, of any shape (uniform:
 * half width sd sqrt 3, triangular: sd sqrt 6), or by a range, uniform or
 * triangular with its peak at the described value.
 */
typedef struct trn_distribution {
    trn_distribution_shape shape; /**< normal with sd, uniform with a range, unless given */
    bool by_range;     /**< low and high count, not sd */
    bool relative;     /**< sd, or the range, is a share of the described value; the range then of deviations from it */
    double sd;         /**< 0 or more */
    double low;        /**< below high */
    double high; /**< above low */
    const char *group; /**< what has one group takes the same quantile of each its distribution; NULL: alone */
} trn_distribution;

/** What may be uncertain, apart from the weight that a part tells itself. */
typedef enum trn_uncertain {
    TRN_UNCERTAIN_WEIGHT,            /**< of a part or a pocket's blocks, N */
    TRN_UNCERTAIN_UNIT_WEIGHT,       /**< of a block, N/m3 */
    TRN_UNCERTAIN_X,                 /**< shift of a part or pocket towards the toe, m */
    TRN_UNCERTAIN_Y,                 /**< upwards, m */
    TRN_UNCERTAIN_MOVING_FRICTION,   /**< of the trunnion, or of the linked counterweight's */
    TRN_UNCERTAIN_STARTING_FRICTION, /**< likewise */
    TRN_UNCERTAIN_DRAG,              /**< N m */
    TRN_UNCERTAIN_EFFICIENCY,        /**< of the drive, the product of its stages */
    TRN_UNCERTAIN_WIND_PRESSURE,     /**< of a case or holding by name, or of all of them, Pa */
    TRN_UNCERTAIN_WIND_SPEED,        /**< likewise of those by speed, m/s */
    TRN_UNCERTAIN_SOLIDITY,          /**< of a surface */
    TRN_UNCERTAIN_ICE                /**< of a case or holding by name, or of all of them, N/m2 */
} trn_uncertain;

/** Number of the above. */
#define TRN_UNCERTAIN_COUNT 12

/** One uncertain value. */
typedef struct trn_uncertainty {
    trn_uncertain of; /**< what is uncertain */
    const char *on; /**< name of what has it; "linked counterweight"; NULL: the leaf, or all */
    trn_distribution distribution; /**< how it differs from what is described */
} trn_uncertainty;

struct trn_leaf;

/** An input quantity: its distribution as numbers, and the random variable that it goes with. */
typedef struct trn_input {
    trn_distribution_shape shape; /**< which of the fields below count */
    double mean;     /**< normal */
    double sd;       /**< normal, 0 or more */
    double low;      /**< normal: a value below it becomes it (-HUGE_VAL: none); the others: where they begin */
    double high;     /**< likewise above; the others: where they end */
    double mode;     /**< triangular: the peak, from low to high */
    size_t variable; /**< inputs of one variable take the same quantile of their distributions */
} trn_input;

/** The lists of a description in which what is uncertain stands. */
typedef enum trn_described {
    TRN_DESCRIBED_PART,
    TRN_DESCRIBED_POCKET,
    TRN_DESCRIBED_LINKED_PART,   /**< of the linked counterweight */
    TRN_DESCRIBED_LINKED_POCKET,
    TRN_DESCRIBED_TRUNNION,
    TRN_DESCRIBED_LINKED_TRUNNION,
    TRN_DESCRIBED_DRIVE,
    TRN_DESCRIBED_SURFACE,
    TRN_DESCRIBED_CASES          /**< and holdings: all of that name, or all */
} trn_described;

/** Where something uncertain stands. */
typedef struct trn_uncertain_place {
    trn_described list; /**< which list */
    size_t index; /**< in its list, where it is one */
} trn_uncertain_place;

/** What is uncertain, in the words of a description: "moving friction". */
const char *trn_uncertain_word(trn_uncertain of);

/**
 * The input of something uncertain of a leaf, and where it stands (place may be
 * NULL); variable is 0. Weights, wind and ice become a factor on what is
 * described, x and y a shift, m, all others a value in SI.
 *
 * Fails with TRN_OUT_OF_DOMAIN where the leaf does not have it, or where the
 * distribution leaves what can be: a range beyond a bound, or a bound nearer
 * than three standard deviations of a normal one (beyond that it is cut there,
 * 1 in 700). Bounds: friction and solidity 0 to 1, efficiency 0.01 to 1,
 * weights, drag, wind and ice 0.
 */
trn_status trn_uncertainty_input(const struct trn_leaf *leaf, const trn_uncertainty *uncertainty, trn_input *input,
                                 trn_uncertain_place *place, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
