/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file holding.h
 * Whether the brakes hold the leaf at rest, and how they stop it.
 */
#ifndef TRN_HOLDING_H
#define TRN_HOLDING_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Capacity of all brakes at the leaf, N m: torque times turns of the shaft per leaf turn; no gear loss is credited. */
double trn_brake_capacity(const trn_leaf *leaf);

/** Capacity of the one brake that gives most at the leaf, N m; 0 without brakes. */
double trn_brake_strongest(const trn_leaf *leaf);

/** Holding at the worst angle. */
typedef struct trn_holding_rating {
    double worst_angle_rad; /**< where the factor is least */
    double demand_Nm; /**< at the leaf, there */
    double capacity_Nm; /**< of all brakes at the leaf */
    double factor;         /**< capacity over demand; infinite where nothing is to be held */
    double factor_one_out; /**< without the strongest brake */
    double required; /**< the holding's factor */
    bool met;              /**< factor is at least what is required */
} trn_holding_rating;

/**
 * The demand on the brakes at an angle, N m: the largest |balance + ice + wind|
 * over wind from either side (from the one side, where the holding says so),
 * less the share of starting friction that it credits, not below 0.
 */
trn_status trn_holding_demand(const trn_leaf *leaf, const trn_holding *holding, const double *angles_rad, size_t count,
                              double *demands_Nm, trn_error *error);

/** Rate a holding at its worst angle. Fails with TRN_MISSING_SECTION without brakes, else as trn_loading_prepare. */
trn_status trn_leaf_holding(const trn_leaf *leaf, const trn_holding *holding, trn_holding_rating *rating,
                            trn_error *error);

/** A stop by the brakes alone. */
typedef struct trn_stop {
    bool stops;                       /**< false: still moving after a whole turn or ten minutes */
    bool leaves_travel;               /**< the run passes closed or fully open: no stop that anyone could want */
    trn_direction direction; /**< of travel at the trip */
    double from_angle_rad; /**< opening angle at the trip */
    double time_s;                    /**< from the trip to rest */
    double run_rad;                   /**< angle run in that time */
    double peak_deceleration_rad_s2; /**< the hardest on the way */
} trn_stop;

/**
 * An emergency stop: power off and brakes tripped at full travel speed, in
 * still air with moving friction, at an angle and in a direction. heats_J gets
 * the heat in one brake of each of leaf->brakes (torque times shaft speed over
 * time); it may be NULL.
 *
 * J theta'' + J' theta'2 / 2 = -balance -+ friction -+ brakes, J of leaf,
 * linked counterweight and rotors; Runge-Kutta of fourth order between the
 * moments at which a brake begins or ends to set, the rest found to the last
 * bits. A run past the ends of the travel is continued as if there were none.
 * The link of a linked counterweight carries what it does at rest, and its
 * friction is that; in trn_leaf_run it follows the acceleration as well, which
 * makes the run of the same stop differ by up to 0.5 %.
 */
trn_status trn_leaf_stop(const trn_leaf *leaf, double from_angle_rad, trn_direction direction, trn_stop *stop,
                         double *heats_J, trn_error *error);

/**
 * The worst stop from the whole degrees between the near switches and from the
 * near switches themselves, in both directions: one that does not stop the leaf
 * within its travel before any that does, then the one with the longest run.
 */
trn_status trn_leaf_worst_stop(const trn_leaf *leaf, trn_stop *stop, double *heats_J, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
