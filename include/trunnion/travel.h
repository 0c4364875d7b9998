/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file travel.h
 * How the leaf is driven from one end to the other, and how often.
 */
#ifndef TRN_TRAVEL_H
#define TRN_TRAVEL_H

#ifdef __cplusplus
extern "C" {
#endif

/** The speed reference: rest, speed, creep; 0 < near_closed < near_open < opens_to. */
typedef struct trn_travel {
    double speed_rad_s;
    double accelerate_in_s; /**< from rest to speed */
    double creep;           /**< share of speed, over 0, at most 1 */
    double near_open_rad;   /**< opening slows down here */
    double near_closed_rad; /**< closing slows down here */
    double decelerate_in_s; /**< from speed to creep */
} trn_travel;

/** Angular acceleration of the leaf on the way to full speed, rad/s2: speed over accelerate_in. */
double trn_travel_acceleration(const trn_travel *travel);

/** How often the motors work. */
typedef struct trn_duty {
    double openings_per_hour;
    double hold_open_s;
} trn_duty;

#ifdef __cplusplus
}
#endif

#endif
