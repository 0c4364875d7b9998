/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file measure.h
 * The balance test: what a record of torque over angle says of balance and
 * friction.
 *
 * Torque T at the leaf, positive in the opening sense, gear loss removed by
 * the direction of the power: while opening T = M + F, while closing T = M - F,
 * with M = A cos - B sin positive when it closes, and friction F of one size.
 * Least squares in A, B and F over the window of steady speed.
 */
#ifndef TRN_MEASURE_H
#define TRN_MEASURE_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/gauge.h"
#include "trunnion/leaf.h"
#include "trunnion/record.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How a record is fitted. */
typedef struct trn_measure_settings {
    bool from_given;           /**< false: the window begins at the travel's near_closed */
    double from_rad; /**< begin of the window, where given */
    bool to_given;             /**< false: it ends at the travel's near_open */
    double to_rad; /**< end of the window, where given */
    bool ordinary;             /**< least squares in place of Tukey's bisquare */
    bool friction_by_reaction; /**< F = drag + mu N(angle) d/2, N as described in calm air, in place of one F */
} trn_measure_settings;

/** Near switch to near switch, robust, friction the same at every angle. */
trn_measure_settings trn_default_measure_settings(void);

/** An estimate with its standard uncertainty and its interval of 95 per cent. */
typedef struct trn_estimate {
    double value; /**< the estimate */
    double sd; /**< standard uncertainty */
    double low95; /**< value less t sd, t the quantile of Student's distribution for n - 3 */
    double high95; /**< value plus t sd */
} trn_estimate;

/** What became of a reading. */
typedef enum trn_reading_use {
    TRN_READING_USED,
    TRN_READING_OUTSIDE, /**< outside the window */
    TRN_READING_REJECTED /**< so far off that the robust fit gives it no weight */
} trn_reading_use;

/** A reading brought to the leaf, and what the fit makes of it. Opening sense, N m. */
typedef struct trn_measured_reading {
    double angle_rad; /**< opening angle */
    double torque_Nm;   /**< at the leaf, gear loss removed; NaN where a reading outside the window gives none */
    double wind_Nm;     /**< known moment of the recorded wind, positive closes */
    double fitted_Nm;   /**< by the fit, wind included */
    double residual_Nm; /**< torque less fitted */
    double weight;      /**< in the fit, 0 to 1 */
    trn_reading_use use; /**< whether the fit uses it */
    trn_direction direction; /**< of travel */
    int run; /**< number of the run, as recorded */
    int line; /**< of the record, from 1 */
} trn_measured_reading;

/** What a warning is about. */
typedef enum trn_measure_doubt {
    TRN_DOUBT_FEW_READINGS,     /**< fewer than 10, or fewer than 3 in one direction */
    TRN_DOUBT_WINDOWS,          /**< the directions cover different angles: an end differs by over 2 degrees, or
                                     by over 10 per cent of the window */
    TRN_DOUBT_REJECTED,         /**< readings without weight */
    TRN_DOUBT_PATTERN,          /**< signs of the residuals, in the order of their angles within a direction of a
                                     run: Wald and Wolfowitz, exact, both sides, 1 per cent */
    TRN_DOUBT_FRICTION_VARIES,  /**< a term in s (angle - mean angle), s +1 opening, -1 closing: t test, 1 per cent;
                                     from a change of 1 per cent of the friction over the window on */
    TRN_DOUBT_GEAR_LOSS,        /**< a term in s |torque fitted|, which is what a wrong efficiency leaves: t test,
                                     1 per cent; from half a per cent of the efficiency on */
    TRN_DOUBT_SCATTER,          /**< scatter over 5 per cent of W R */
    TRN_DOUBT_NEGATIVE_FRICTION, /**< the friction comes out below 0: is the sign of one direction turned? */
    TRN_DOUBT_OTHER_LEAF        /**< the record may be another leaf's: the friction coefficient's interval lies above
                                     2.5 or below 0.4 times the described one, or the closed moment differs by what 1
                                     per cent of the leaf's weight makes at the toe */
} trn_measure_doubt;

/** The most warnings of one measurement: one of each kind. */
#define TRN_WARNINGS_MAX 9

/** A warning in words. */
typedef struct trn_measure_warning {
    trn_measure_doubt about; /**< what it is about */
    char text[TRN_ERROR_TEXT]; /**< a sentence */
} trn_measure_warning;

/** Where the measured leaf differs from the described one: measured less described. */
typedef struct trn_measured_difference {
    double a_Nm; /**< closed moment A */
    double b_Nm; /**< B */
    double moment_Nm;    /**< W R */
    double toe_weight_N; /**< the difference in A as a weight at the toe */
} trn_measured_difference;

/** What a balance test found. */
typedef struct trn_measurement {
    trn_estimate a_Nm;           /**< closed moment, positive is leaf heavy */
    trn_estimate b_Nm; /**< B */
    trn_estimate moment_Nm;      /**< W R = hypot(A, B); uncertainty to first order */
    trn_estimate angle_rad;      /**< alpha = atan2(B, A); to first order */
    trn_estimate toe_reaction_N; /**< A over the toe distance */
    trn_estimate friction_Nm;    /**< F; by reaction: at the mean reaction */
    bool has_coefficient;        /**< whether the description has a trunnion of some diameter */
    trn_estimate coefficient;    /**< apparent, (F - drag)/(N d/2), N the mean reaction as described */
    double covariance[3][3];     /**< of A, B and F, N2 m2 */
    double mean_reaction_N;      /**< 0 without a coefficient */
    double student95;            /**< the t of the intervals */
    double residual_sd_Nm; /**< scatter of the readings about the fit */
    size_t used;                 /**< readings with weight in the fit */
    size_t outside;              /**< readings outside the window */
    size_t rejected;             /**< readings within it without weight */
    double from_rad;             /**< the window */
    double to_rad; /**< its end */
    trn_measured_difference difference; /**< from the described leaf */
    trn_measure_warning warnings[TRN_WARNINGS_MAX]; /**< what to doubt */
    size_t warning_count; /**< how many there are */
} trn_measurement;

/**
 * Torque of one shaft by the shear strain of a full bridge at 45 degrees, N m:
 * strain pi d3 G/8, for a hollow shaft (d4 - di4)/d in place of d3.
 */
double trn_gauged_torque(const trn_gauged_shaft *shaft, double strain);

/**
 * Fit a record. readings, where not NULL, has record->count places and gets
 * every reading in the order of the record.
 *
 * To the leaf: motor torque times ratio(angle), shaft torque times the gauged
 * ratio, times the efficiency where the power flows to the leaf, over it where
 * it flows from the leaf. Motor power over the speed of the leaf, by the times
 * (differences to both neighbours within a direction of a run) or the travel's
 * speed. Wind: by the law and coefficient of wind_limits (projected, 1 without
 * them), known and not fitted. With a linked counterweight what the leaf
 * differs by from its description is taken to lie on the leaf itself.
 *
 * The gear loss cannot be judged where every reading drives with power to the
 * leaf: a wrong efficiency then only scales A, B and F. Where both a varying
 * friction and a wrong loss would explain what is left, the stronger is named,
 * and the other only where it says more beside it.
 *
 * Fails with TRN_MISSING_SECTION where the description lacks what the record
 * needs (travel, drive, gauged_shaft, surfaces); with TRN_OUT_OF_DOMAIN, in
 * words, where the window holds fewer than 4 readings, one direction only
 * (which cannot part A from F), or angles too close to part A from B, where a
 * reading's leaf does not move in its direction, or where cylinders drive; and
 * as trn_leaf_check_motion and trn_fit_linear do.
 */
trn_status trn_leaf_measure(const trn_leaf *leaf, const trn_record *record, const trn_measure_settings *settings,
                            trn_measured_reading *readings, trn_measurement *measurement, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
