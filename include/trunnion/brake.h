/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file brake.h
 * The brakes, and what they must hold.
 */
#ifndef TRN_BRAKE_H
#define TRN_BRAKE_H

#include "trunnion/wind.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Brakes alike on shafts of one ratio. */
typedef struct trn_brake {
    const char *name; /**< for people */
    int count;         /**< at least 1 */
    double torque_Nm;  /**< of one brake, at its shaft */
    double ratio;      /**< turns of its shaft per leaf turn */
    double delay_s;    /**< from the trip until the torque begins to rise */
    double set_time_s; /**< from then until it is whole */
    double heat_capacity_J_K; /**< of one brake's drum or disc; 0: not given */
} trn_brake;

/** A demand on the brakes: wind and ice on the leaf at rest. */
typedef struct trn_holding {
    const char *name; /**< for people */
    trn_wind wind; /**< from either side where it is adverse */
    double ice_N_m2; /**< on the surfaces that take it, 0 or more */
    double factor; /**< required capacity over demand, over 0; default 1 */
    double friction_credit; /**< share of starting friction that may help to hold, 0 to 1; default 0 */
} trn_holding;

#ifdef __cplusplus
}
#endif

#endif
