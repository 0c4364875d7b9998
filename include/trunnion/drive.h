/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file drive.h
 * The drive between motors and leaf.
 */
#ifndef TRN_DRIVE_H
#define TRN_DRIVE_H

#include <stdbool.h>

#include "trunnion/geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What moves the leaf. */
typedef enum trn_drive_kind {
    TRN_DRIVE_RATIO,   /**< rack and gears: a constant ratio */
    TRN_DRIVE_STRUT,   /**< an operating strut, moved by a pinion */
    TRN_DRIVE_CYLINDER /**< hydraulic cylinders */
} trn_drive_kind;

/** A strut from a point of the leaf to a pinion fixed to the pier. */
typedef struct trn_strut {
    trn_point on_leaf; /**< pin on the closed leaf, m */
    trn_point pinion;  /**< fixed point, m */
    double pinion_radius_m; /**< pitch radius, over 0 */
    double ratio;      /**< motor turns per pinion turn */
} trn_strut;

/** Hydraulic cylinders from a point of the leaf to a fixed anchor. */
typedef struct trn_cylinder {
    trn_point on_leaf; /**< rod pin on the closed leaf, m */
    trn_point anchor;  /**< fixed point, m */
    double bore_m; /**< diameter, over 0 */
    double rod_m;      /**< 0 or more, less than the bore */
    int count;         /**< at least 1, side by side */
    double pressure_Pa; /**< the most the pump gives */
} trn_cylinder;

/** Where the rack of a drive of constant ratio meshes; radius 0 where it is not described. */
typedef struct trn_rack {
    double radius_m;             /**< pitch radius about the trunnion */
    double pinion_rad;           /**< direction of the pinion from the trunnion, from the x axis, anticlockwise */
    double pressure_angle_rad;   /**< 0 to under 45 degrees */
} trn_rack;

/** A drive; which fields count depends on its kind. */
typedef struct trn_drive {
    trn_drive_kind kind; /**< which of the fields below count */
    double ratio;      /**< kind ratio: motor turns per leaf turn */
    trn_rack rack;     /**< kind ratio */
    trn_strut strut; /**< kind strut */
    trn_cylinder cylinder; /**< kind cylinder */
    double efficiency; /**< product of the stages, over 0, at most 1 */
} trn_drive;

/**
 * A drive at an opening angle, by virtual work.
 * Source: a force S along a strut of length s turns the leaf with the moment
 * S ds/dtheta; a tooth force acts at the pitch radius.
 */
typedef struct trn_drive_state {
    double ratio;      /**< motor turns per leaf turn, over 0; 0 for cylinders */
    double ratio_change; /**< d ratio / d theta, 1/rad */
    double length_m;   /**< s of a strut or cylinder; 0 for a rack */
    double arm_m;      /**< ds/dtheta (negative: shortens while opening), or the rack's radius; 0 where not described */
    trn_point along;   /**< unit vector of the force on the leaf: of a strut that pushes, of a tooth that opens */
    trn_point spread;  /**< of a rack: the tooth's push off the tangent for each unit of tangential force */
} trn_drive_state;

/** The drive of a leaf turned by rotation. */
trn_drive_state trn_drive_at(const trn_drive *drive, trn_rotation rotation);

/**
 * True if a strut or cylinder has a dead point (ds/dtheta = 0: its line passes
 * through the trunnion) from closed to opens_to_rad, and at which angle first.
 */
bool trn_drive_dead_point(const trn_drive *drive, double opens_to_rad, double *angle_rad);

/**
 * Pressure in the cylinders, Pa, for a force S of all together (positive
 * pushes): S over the bore's area, or -S over bore less rod.
 */
double trn_cylinder_pressure(const trn_cylinder *cylinder, double force_N);

/**
 * Torque at the motor side, N m, for a demand at the leaf, N m (positive
 * resists the motion): demand/(ratio efficiency) while the motors drive,
 * demand efficiency/ratio when the leaf overhauls them.
 */
double trn_drive_torque(double demand_Nm, double ratio, double efficiency);

#ifdef __cplusplus
}
#endif

#endif
