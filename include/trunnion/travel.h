/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file travel.h
 * How the leaf is driven from one end to the other, and how often.
 */
#ifndef TRN_TRAVEL_H
#define TRN_TRAVEL_H

#include <stddef.h>

#include "trunnion/wind.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The speed reference: rest, speed, creep; full_closed < near_closed < near_open < full_open. */
typedef struct trn_travel {
    double speed_rad_s; /**< full speed, over 0 */
    double accelerate_in_s; /**< from rest to speed */
    double creep;           /**< share of speed, over 0, at most 1 */
    double near_open_rad;   /**< opening slows down here */
    double near_closed_rad; /**< closing slows down here */
    double decelerate_in_s; /**< from speed to creep */
    double full_open_rad;   /**< where the full-open switch puts the power off; 0: at opens_to */
    double full_closed_rad; /**< where the full-closed switch does; default 0 */
} trn_travel;

/** Angular acceleration of the leaf on the way to full speed, rad/s2: speed over accelerate_in. */
double trn_travel_acceleration(const trn_travel *travel);

/** A stretch of the speed reference with one acceleration. */
typedef struct trn_phase {
    double start_rad;           /**< opening angle at its start */
    double speed_rad_s;         /**< at its start, 0 or more, in the direction of travel */
    double acceleration_rad_s2; /**< in the direction of travel */
    double duration_s; /**< how long it lasts, over 0 */
} trn_phase;

/** The most phases of one travel. */
#define TRN_PHASES_MAX 4

/**
 * The speed reference of one opening or closing, as phases without gaps:
 * climbing, full speed, falling (or climbing) to creep from the near switch
 * on, creep to the end. Returns how many there are. A travel too short for
 * full speed has fewer.
 */
size_t trn_travel_phases(const trn_travel *travel, double opens_to_rad, trn_direction direction,
                         trn_phase phases[TRN_PHASES_MAX]);

/** How often the motors work. */
typedef struct trn_duty {
    double openings_per_hour; /**< in the hours with openings, over 0 */
    double hold_open_s; /**< between opening and closing, 0 or more */
    double hours_without_openings; /**< of each day, 0 to under 24 */
    const char *case_name; /**< the circumstances of an everyday opening; NULL: the first case */
} trn_duty;

#ifdef __cplusplus
}
#endif

#endif
