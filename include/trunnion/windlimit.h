/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file windlimit.h
 * The wind that still lets the leaf be raised, lowered and held.
 */
#ifndef TRN_WINDLIMIT_H
#define TRN_WINDLIMIT_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What the wind has to leave possible. */
typedef enum trn_action { TRN_RAISE, TRN_LOWER, TRN_HOLD } trn_action;

/** The highest speed that is looked for, m/s. */
#define TRN_WIND_HIGHEST 100.0

/** A question about the wind: what is to be done, and what is out. */
typedef struct trn_wind_question {
    trn_action action; /**< what is to be done */
    int motors_running; /**< raise and lower; at least 1 */
    bool brake_out;     /**< hold: without the strongest brake */
} trn_wind_question;

/**
 * The highest speeds, m/s, at count angles, up to which from either side the
 * torque of each running motor (the pressure in the cylinders), driving or
 * overhauling, stays within motor_limit times rated; or the brakes' capacity
 * stays at least hold_factor times the demand. 0 where calm air fails;
 * infinite where TRN_WIND_HIGHEST does not.
 * Fails with TRN_MISSING_SECTION where wind_limits, drive, motors or brakes
 * lack, and as trn_loading_prepare does.
 */
trn_status trn_wind_limits_at(const trn_leaf *leaf, trn_wind_question question, const double *angles_rad, size_t count,
                              double *speeds_m_s, trn_error *error);

/** The lowest of these speeds over the whole travel, and where. */
typedef struct trn_wind_lowest {
    double speed_m_s; /**< infinite where there is no limit */
    double angle_rad; /**< where it is met */
} trn_wind_lowest;

/**
 * The lowest of these speeds over the whole travel; fails as trn_wind_limits_at does.
 * Around each degree, and each angle at which the wind on a surface bends (it
 * lies level or upright, or its incidence is a point of its table), that has a
 * lower limit than its neighbours the lowest is searched.
 */
trn_status trn_wind_limit(const trn_leaf *leaf, trn_wind_question question, trn_wind_lowest *lowest, trn_error *error);

/**
 * The same where each motor that drives gives no more than its law does at the
 * travel's speed (its peak without a travel) either, which the limits above
 * leave aside: what motor_limit allows, motors may be unable to give. For
 * cylinders and to hold there is no law, and the answer is that of trn_wind_limit.
 */
trn_status trn_wind_limit_by_law(const trn_leaf *leaf, trn_wind_question question, trn_wind_lowest *lowest,
                                 trn_error *error);

/**
 * Whether a leaf that could be raised in some wind, partly or wholly, can be
 * brought down again from there in the same wind: at each angle the lowest
 * limit of lowering on the way down is held against the lowest limit of
 * raising on the way up. The angles are every degree, those at which the wind
 * on a surface bends, and where lowering is at its lowest between these.
 * False also where calm air alone forbids to lower.
 */
trn_status trn_wind_comes_down(const trn_leaf *leaf, int motors_running, bool *comes_down, trn_error *error);

/** The highest Beaufort number of which every wind is at most a speed: 11 at most, -1 where not even calm is. */
int trn_beaufort_within(double speed_m_s);

/** The Beaufort number of a speed: WMO bounds, the upper ones of each number, to a tenth of a metre per second. */
int trn_beaufort(double speed_m_s);

#ifdef __cplusplus
}
#endif

#endif
