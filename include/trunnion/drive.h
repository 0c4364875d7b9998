/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file drive.h
 * The drive between motors and leaf.
 */
#ifndef TRN_DRIVE_H
#define TRN_DRIVE_H

#include "trunnion/geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum trn_drive_kind {
    TRN_DRIVE_RATIO,   /**< rack and gears: a constant ratio */
    TRN_DRIVE_STRUT,   /**< an operating strut, moved by a pinion */
    TRN_DRIVE_CYLINDER /**< hydraulic cylinders */
} trn_drive_kind;

/** A strut from a point of the leaf to a pinion fixed to the pier. */
typedef struct trn_strut {
    trn_point on_leaf; /**< pin on the closed leaf, m */
    trn_point pinion;  /**< fixed point, m */
    double pinion_radius_m;
    double ratio;      /**< motor turns per pinion turn */
} trn_strut;

/** Hydraulic cylinders from a point of the leaf to a fixed anchor. */
typedef struct trn_cylinder {
    trn_point on_leaf; /**< rod pin on the closed leaf, m */
    trn_point anchor;  /**< fixed point, m */
    double bore_m;
    double rod_m;      /**< 0 or more, less than the bore */
    int count;         /**< at least 1, side by side */
    double pressure_Pa; /**< the most the pump gives */
} trn_cylinder;

typedef struct trn_drive {
    trn_drive_kind kind;
    double ratio;      /**< kind ratio: motor turns per leaf turn */
    trn_strut strut;
    trn_cylinder cylinder;
    double efficiency; /**< product of the stages, over 0, at most 1 */
} trn_drive;

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
