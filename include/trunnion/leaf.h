/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file leaf.h
 * A whole leaf: what the description reader fills, and what a program may
 * fill without any file. Everything in SI and radians.
 *
 * Arrays are a pointer and a count and belong to the caller. A section that
 * the leaf does not have is a NULL pointer.
 */
#ifndef TRN_LEAF_H
#define TRN_LEAF_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/brake.h"
#include "trunnion/drive.h"
#include "trunnion/gauge.h"
#include "trunnion/journal.h"
#include "trunnion/link.h"
#include "trunnion/motor.h"
#include "trunnion/operation.h"
#include "trunnion/part.h"
#include "trunnion/pocket.h"
#include "trunnion/seating.h"
#include "trunnion/travel.h"
#include "trunnion/uncertainty.h"
#include "trunnion/wind.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How tables and plots show results; the library itself is SI. */
typedef enum trn_units { TRN_UNITS_METRIC, TRN_UNITS_US } trn_units;

/** One set of circumstances in which the leaf is moved. */
typedef struct trn_case {
    const char *name; /**< for people, and to ask for it */
    trn_friction_state friction; /**< default moving */
    bool accelerating;           /**< adds inertia at the travel's acceleration */
    trn_wind wind;               /**< pressure 0: calm */
    double ice_N_m2;             /**< on the surfaces that take it, 0 or more */
    double motor_limit;          /**< allowed over rated torque, over 0; default 1 */
} trn_case;

/** "still air": moving friction, no wind, no ice, motor limit 1. */
trn_case trn_default_case(void);

/** How wind limits are found: the wind without its speed. */
typedef struct trn_wind_limits {
    trn_wind wind; /**< by_speed, speed 0 */
    trn_friction_state friction; /**< which friction acts */
    double motor_limit; /**< allowed over rated torque, over 0 */
    double hold_factor; /**< required brake capacity over demand, over 0 */
} trn_wind_limits;

/** A leaf. */
typedef struct trn_leaf {
    const char *name; /**< for people */
    double opens_to_rad; /**< over 0, at most 120 degrees */
    double toe_m;        /**< trunnion to live-load shoe, over 0 */
    trn_units units; /**< for tables and plots alone */
    const trn_part *parts; /**< what it is made of, part_count of them */
    size_t part_count; /**< at least 1 */
    const trn_pocket *pockets; /**< with loose blocks of the counterweight */
    size_t pocket_count; /**< 0 or more */
    const trn_linked_counterweight *linked_counterweight; /**< NULL: none on a trunnion of its own */
    const trn_surface *surfaces; /**< what wind and ice act on */
    size_t surface_count; /**< 0 or more */
    const trn_journal *trunnion; /**< NULL: frictionless */
    const trn_drive *drive; /**< NULL: none */
    const trn_motors *motors; /**< NULL: none */
    const trn_brake *brakes; /**< what holds and stops it */
    size_t brake_count; /**< 0 or more */
    const trn_travel *travel; /**< NULL: not described */
    const trn_seating *seating; /**< NULL: rigid shoes, no buffers */
    const trn_step *steps; /**< the whole operation, step by step */
    size_t step_count; /**< 0 or more */
    const trn_case *cases; /**< circumstances in which it is moved */
    size_t case_count; /**< at least 1 of a description that was read */
    const trn_holding *holdings; /**< circumstances in which it is kept still */
    size_t holding_count; /**< 0 or more */
    const trn_wind_limits *wind_limits; /**< NULL: none */
    double posted_wind_m_s;      /**< the owner's operating limit; 0: none */
    const trn_balance_target *balance_target; /**< NULL: none */
    const trn_duty *duty; /**< NULL: none */
    const trn_gauged_shaft *gauged_shaft; /**< NULL: none */
    const trn_uncertainty *uncertainties; /**< beside those of the parts' weights */
    size_t uncertainty_count;             /**< 0 or more */
} trn_leaf;

/** A leaf of no parts, every section absent: the start for filling one. */
trn_leaf trn_default_leaf(void);

#ifdef __cplusplus
}
#endif

#endif
