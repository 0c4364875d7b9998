/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file record.h
 * The record of a balance test: a CSV text with units in its headings.
 *
 * The reader of records stands beside that of descriptions: it reads and
 * checks, and computes no mechanics. Every line ends up in the record or in a
 * fault; nothing is dropped.
 */
#ifndef TRN_RECORD_H
#define TRN_RECORD_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/describe.h"
#include "trunnion/status.h"
#include "trunnion/wind.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The longest record read, bytes. */
#define TRN_RECORD_MAX ((size_t)128 * 1024 * 1024)

/** The highest number that a run has; the lowest is 0. */
#define TRN_RUN_MAX 9999

/** What was read at each angle; one sign for both directions: positive opens. */
typedef enum trn_record_kind {
    TRN_RECORD_LEAF_TORQUE,  /**< torque at the leaf, N m */
    TRN_RECORD_MOTOR_TORQUE, /**< of all motors together, N m */
    TRN_RECORD_SHAFT_TORQUE, /**< of all gauged shafts together, N m */
    TRN_RECORD_SHAFT_STRAIN, /**< the mean of the gauged shafts, pure: positive where the torque opens */
    TRN_RECORD_MOTOR_POWER   /**< drawn by all motors together, W: positive drives in either direction */
} trn_record_kind;

/** One line of a record. */
typedef struct trn_reading {
    double angle_rad; /**< opening angle */
    double value;           /**< N m, pure or W, by the kind of the record */
    double time_s;          /**< 0 without a time column */
    double wind_speed_m_s;  /**< 0 or more; 0 without a wind column */
    trn_wind_side wind_from; /**< adverse without a column that says so */
    trn_direction direction; /**< of travel */
    int run;                /**< 0 to TRN_RUN_MAX; 1 without a run column */
    int line;               /**< where it stands in the text, from 1 */
} trn_reading;

/** A record, in the order of its lines. */
typedef struct trn_record {
    trn_record_kind kind; /**< what was read */
    bool has_time;         /**< time ascends within each direction of each run */
    bool has_wind; /**< whether the wind was recorded */
    trn_reading *readings; /**< of the record, given back by trn_record_free */
    size_t count;          /**< at least 1 */
} trn_record;

/**
 * Read a record of length bytes (UTF-8, RFC 4180, lines ended by CR LF or LF;
 * need not end in NUL). The columns, in any order:
 *
 *   angle [degree]        opening angle, any unit of angle
 *   direction             opening or closing
 *   one of leaf torque [kN m], motor torque [N m], shaft torque [kN m],
 *   shaft strain [1e-6] (or [1], [%]), motor power [kW]
 *   time [s]              where wanted
 *   run                   a whole number that tells several runs apart
 *   wind speed [m/s]      where wanted, with or without
 *   wind side             heel or toe
 *
 * On TRN_OK *record is set and must be freed. On TRN_BAD_DESCRIPTION faults
 * says where and why, as many as can be found in one go. TRN_NO_MEMORY and
 * TRN_NO_UNITS leave both empty. The result does not depend on the locale;
 * the time taken grows with the length alone.
 */
trn_status trn_record_read(const char *text, size_t length, trn_record *record, trn_faults *faults);

/** Give back the readings of a record; one of all zero is allowed. */
void trn_record_free(trn_record *record);

#ifdef __cplusplus
}
#endif

#endif
