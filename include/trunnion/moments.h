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
 * With a linked counterweight, balance, inertia and friction hold its share.
 */
typedef struct trn_moments {
    double angle_rad; /**< opening angle */
    double balance_Nm; /**< of the weight */
    double wind_opening_Nm;  /**< of the wind taken while opening */
    double wind_closing_Nm;  /**< of the wind taken while closing */
    double ice_Nm; /**< of the ice */
    double friction_opening_Nm; /**< of all trunnions */
    double friction_closing_Nm; /**< the same while closing */
    double inertia_Nm;       /**< J alpha of leaf and ice; 0 unless the case accelerates */
    double opening_Nm;       /**< balance + wind + ice + friction + inertia */
    double closing_Nm;       /**< -balance - wind - ice + friction + inertia */
    bool has_motor;          /**< whether the leaf has a drive and motors */
    double motor_opening_Nm; /**< torque of each running motor */
    double motor_closing_Nm; /**< the same while closing */
    double reaction_opening_N; /**< resultant on the leaf's trunnion */
    double reaction_closing_N; /**< the same while closing */
    bool has_force;          /**< whether the drive is a strut, cylinders, or a rack whose place is described */
    double force_opening_N;  /**< along strut or cylinders, positive pushes; tangential on a rack, positive opens */
    double force_closing_N; /**< the same while closing */
    bool has_pressure;       /**< whether the drive is cylinders */
    double pressure_opening_Pa; /**< in each cylinder, gear loss included */
    double pressure_closing_Pa; /**< the same while closing */
    bool has_link;           /**< whether the counterweight has its own trunnion */
    double link_opening_N;   /**< force in the link, positive pulls */
    double link_closing_N; /**< the same while closing */
    double counterweight_reaction_opening_N; /**< resultant on the counterweight's trunnion */
    double counterweight_reaction_closing_N; /**< the same while closing */
} trn_moments;

/** A leaf under a case, summed up once: what does not change with the angle. */
typedef struct trn_loading {
    const trn_leaf *leaf; /**< the leaf */
    const trn_case *load_case; /**< the case */
    trn_body body;             /**< of the leaf */
    trn_body ice; /**< of the ice that the case lays on the leaf */
    trn_body counterweight;    /**< of a linked counterweight about its own pivot; zero without one */
    double pressure_Pa; /**< p of the case's wind */
    double acceleration_rad_s2; /**< 0 unless the case accelerates */
} trn_loading;

/**
 * Whether the leaf can be moved through its travel: TRN_DEAD_POINT where the
 * link of its counterweight, its strut or its cylinders have a dead point; the
 * error names the angle.
 */
trn_status trn_leaf_check_motion(const trn_leaf *leaf, trn_error *error);

/**
 * Sum up a leaf under a case; both must outlive the result.
 * Fails with TRN_MISSING_SECTION where the case accelerates and the leaf has
 * no travel, with TRN_DEAD_POINT where drive or link has one within the
 * travel, with TRN_LOCKED where the line of a driving force comes within the
 * friction circle of the trunnion that carries it.
 */
trn_status trn_loading_prepare(const trn_leaf *leaf, const trn_case *load_case, trn_loading *loading,
                               trn_error *error);

/** What the wind of the case does to the leaf for a direction of travel. */
trn_wind_action trn_loading_wind(const trn_loading *loading, trn_direction direction, double angle_rad);

/**
 * The moments at an angle, 0 to opens_to. A driving force whose place is
 * described enters the trunnion's reaction, and with it the friction that the
 * force has to overcome: both are solved together.
 */
trn_moments trn_loading_moments(const trn_loading *loading, double angle_rad);

/** Inertia about the trunnion at an angle, kg m2: leaf, ice, and a linked counterweight's J psi'^2. */
double trn_loading_inertia(const trn_loading *loading, double angle_rad);

/** Balance moment at an angle, N m, positive closes: the leaf and a linked counterweight's share by virtual work. */
double trn_loading_balance(const trn_loading *loading, double angle_rad);

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
