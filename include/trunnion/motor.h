/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file motor.h
 * The motors.
 */
#ifndef TRN_MOTOR_H
#define TRN_MOTOR_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/** What torque a motor gives over its speed. */
typedef enum trn_torque_law {
    TRN_TORQUE_CONSTANT,  /**< constant to rated speed, then constant power; times the peak factor */
    TRN_TORQUE_INDUCTION, /**< Kloss: T = 2 Tb / (s/sb + sb/s) */
    TRN_TORQUE_TABLE
} trn_torque_law;

/** What decides the torque within the law. */
typedef enum trn_motor_control {
    TRN_CONTROL_REFERENCE, /**< a drive that follows the travel's speed reference */
    TRN_CONTROL_LINE       /**< across the line: the motor's curve alone */
} trn_motor_control;

/** One point of a motor's torque over speed. */
typedef struct trn_torque_point {
    double speed_rad_s; /**< 0 or more, ascending in a table */
    double torque_Nm;   /**< of one motor */
} trn_torque_point;

/** Motors alike; power, torque and inertia are those of one. */
typedef struct trn_motors {
    int installed; /**< at least 1 */
    int running;          /**< at least 1, at most installed */
    double power_W;       /**< rated */
    double speed_rad_s;   /**< rated */
    double inertia_kg_m2; /**< 0 or more */
    double peak;          /**< law constant: peak over rated torque, at least 1 */
    trn_torque_law law; /**< which of the fields below count */
    double synchronous_rad_s; /**< law induction: over the rated speed */
    double breakdown;         /**< law induction: breakdown over rated torque, at least 1 */
    const trn_torque_point *table; /**< law table: straight lines between its points */
    size_t table_count; /**< at least 2 where the law is table */
    trn_motor_control control; /**< a description with law induction has line unless it says otherwise */
} trn_motors;

/** Rated torque P/omega of one motor, N m. */
double trn_motor_rated_torque(const trn_motors *motors);

/**
 * The torque that one motor can give at a speed (0 or more), N m.
 *
 * constant: peak times rated torque up to rated speed, then peak times rated
 * power over speed. induction: Kloss, T = 2 Tb / (s/sb + sb/s), sb from the
 * rated point; beyond synchronous speed the motor brakes and T is negative.
 * table: straight lines, the end values beyond.
 */
double trn_motor_torque(const trn_motors *motors, double speed_rad_s);

/** The most torque that one motor can give at any speed, N m: peak or breakdown times rated, or the table's largest. */
double trn_motor_peak_torque(const trn_motors *motors);

/** Slip at breakdown by Kloss, from rated slip and breakdown over rated torque: sb = s (m + sqrt(m2 - 1)). */
double trn_motor_breakdown_slip(const trn_motors *motors);

/** The least number of the R20 series (ISO 3: 1.00, 1.12, 1.25, ... in each decade) not below a value over 0. */
double trn_preferred_number(double at_least);

#ifdef __cplusplus
}
#endif

#endif
