/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file rating.h
 * What a case asks of the motors (or the cylinders), against what it allows,
 * and how warm a duty makes the motors.
 */
#ifndef TRN_RATING_H
#define TRN_RATING_H

#include <stdbool.h>

#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * Where a case asks most of what the motors' law gives at the travel's speed
 * (at most its peak without a travel). All 0 for cylinders.
 */
typedef struct trn_law_use {
    double angle_rad;         /**< where the share is largest, located within the travel */
    double motor_Nm;          /**< torque of each running motor there, negative when overhauled */
    double motor_speed_rad_s; /**< at the travel's speed, there; 0 without a travel */
    double available_Nm;      /**< what the law gives at that speed; 0 or less where the law does not reach it */
    bool met;                 /**< the law gives what is asked, or the leaf overhauls the motors */
} trn_law_use;

/** The worst that a case asks of the drive in one direction of travel. */
typedef struct trn_rating {
    double worst_angle_rad; /**< where the drive is asked most, located within the travel */
    double leaf_Nm;         /**< demand at the leaf there */
    double motor_Nm;        /**< torque of each running motor there, negative when overhauled; 0 for cylinders */
    double rated_Nm;        /**< 0 for cylinders */
    double allowed_Nm;      /**< motor_limit times rated; 0 for cylinders */
    double motor_speed_rad_s; /**< at the travel's speed, there; 0 without a travel or for cylinders */
    double available_Nm;    /**< what the motor's law gives at that speed, its peak without a travel; 0 for cylinders */
    double power_W;         /**< at the shaft of each running motor at the travel's speed; 0 without a travel */
    double force_N;         /**< along a strut or the cylinders, positive pushes; 0 elsewhere */
    double pressure_Pa;     /**< cylinders */
    double allowed_Pa;      /**< motor_limit times the cylinders' pressure */
    double use;             /**< share of what is allowed, driving or overhauling */
    bool met;               /**< use is at most 1 */
    trn_law_use law;        /**< no verdict rests on it */
} trn_rating;

/**
 * Rate a case in a direction with running motors running (at least 1; of no
 * matter for cylinders). Fails with TRN_MISSING_SECTION without drive, or
 * without motors where the drive needs them, and as trn_loading_prepare does.
 */
trn_status trn_leaf_rating(const trn_leaf *leaf, const trn_case *load_case, trn_direction direction, int running,
                           trn_rating *rating, trn_error *error);

/** How many motors run when one is out: those that are left, at most as many as run now; may be 0. */
int trn_motors_left(const trn_motors *motors);

/** What a duty asks of each running motor. */
typedef struct trn_duty_rating {
    double rms_Nm;      /**< over the whole period, rest included */
    double rated_Nm; /**< of one motor */
    double use; /**< rms over rated torque */
    bool met;           /**< use is at most 1 */
    double period_s;    /**< 3600 s over openings per hour */
    double moving_s;    /**< of it, spent opening and closing */
    double day_rms_Nm;  /**< over a whole day, its hours without openings included; no verdict rests on it */
    double openings_per_day; /**< in the hours with openings */
} trn_duty_rating;

/**
 * Root mean square torque of one opening and one closing by the speed
 * reference over the period: inertia of leaf and rotors included, and what a
 * strut's or a link's changing ratio asks at speed, but no buffers (the cases
 * know none either). The verdict is that of the
 * hours with openings: a motor that is too hot by then is not helped by the
 * rest of the day, and the day's rms torque would flatter it.
 * Fails with TRN_MISSING_SECTION where drive, motors, travel or duty lack,
 * with TRN_OUT_OF_DOMAIN where the period is too short for the motion or the
 * duty names a case that there is not, and as trn_loading_prepare does.
 */
trn_status trn_leaf_duty(const trn_leaf *leaf, trn_duty_rating *rating, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
