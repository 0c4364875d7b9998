/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file moments.h
 * The moments on a moving leaf, term by term, at an angle or over angles.
 */
#ifndef TRN_MOMENTS_H
#define TRN_MOMENTS_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * The moments at one angle, N m. Balance, wind and ice carry the sign of a
 * moment (positive closes). Friction, inertia and the demands are positive
 * against the direction of travel; a negative demand is overhauling.
 */
typedef struct trn_moments {
    double angle_rad;
    double balance_Nm;
    double wind_opening_Nm;  /**< of the wind taken while opening */
    double wind_closing_Nm;  /**< of the wind taken while closing */
    double ice_Nm;
    double friction_opening_Nm;
    double friction_closing_Nm;
    double inertia_Nm;       /**< J alpha of leaf and ice; 0 unless the case accelerates */
    double opening_Nm;       /**< balance + wind + ice + friction + inertia */
    double closing_Nm;       /**< -balance - wind - ice + friction + inertia */
    bool has_motor;          /**< whether the leaf has a drive and motors */
    double motor_opening_Nm; /**< torque of each running motor */
    double motor_closing_Nm;
    double reaction_opening_N; /**< resultant on the trunnion */
    double reaction_closing_N;
} trn_moments;

/** A leaf under a case, summed up once: what does not change with the angle. */
typedef struct trn_loading {
    const trn_leaf *leaf;
    const trn_case *load_case;
    trn_body body;             /**< of the leaf */
    trn_body ice;
    double pressure_Pa;
    double acceleration_rad_s2; /**< 0 unless the case accelerates */
} trn_loading;

/**
 * Sum up a leaf under a case; both must outlive the result.
 * Fails with TRN_MISSING_SECTION where the case accelerates and the leaf has no travel.
 */
trn_status trn_loading_prepare(const trn_leaf *leaf, const trn_case *load_case, trn_loading *loading,
                               trn_error *error);

/** What the wind of the case does to the leaf for a direction of travel. */
trn_wind_action trn_loading_wind(const trn_loading *loading, trn_direction direction, double angle_rad);

/** The moments at an angle, 0 to opens_to. */
trn_moments trn_loading_moments(const trn_loading *loading, double angle_rad);

/**
 * The moments over count angles into rows, which the caller owns.
 * Fails as trn_loading_prepare does; rows are then untouched.
 */
trn_status trn_leaf_curve(const trn_leaf *leaf, const trn_case *load_case, const double *angles_rad, size_t count,
                          trn_moments *rows, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
