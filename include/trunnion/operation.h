/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file operation.h
 * The whole operation of an opening: what surrounds the motion, step by step.
 */
#ifndef TRN_OPERATION_H
#define TRN_OPERATION_H

#include <stddef.h>

#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What the leaf does in a step. */
typedef enum trn_step_motion {
    TRN_STEP_STILL, /**< the leaf stands; the step takes takes_s */
    TRN_STEP_RAISES,
    TRN_STEP_LOWERS
} trn_step_motion;

/** What a step does to the road. */
typedef enum trn_step_road {
    TRN_ROAD_UNCHANGED,
    TRN_ROAD_CLOSES, /**< the road is closed from the start of this step on */
    TRN_ROAD_OPENS   /**< the road is open from the end of this step on */
} trn_step_road;

/** Words for states of the bridge, such as "locks out". */
typedef struct trn_conditions {
    const char *const *names; /**< count of them */
    size_t count; /**< 0 or more */
} trn_conditions;

/** One step; steps follow each other. */
typedef struct trn_step {
    const char *name; /**< for people */
    trn_step_motion motion; /**< whether the leaf moves in it, and how */
    double takes_s; /**< of a step that stands still, 0 or more; otherwise the motion says */
    trn_step_road road; /**< what becomes of the road */
    trn_conditions needs; /**< what must hold when the step begins */
    trn_conditions gives; /**< what holds from its end on */
    trn_conditions ends;  /**< what no longer holds from its start on */
} trn_step;

/** The first need that is not met. */
typedef struct trn_unmet {
    size_t step; /**< index of the step */
    size_t need; /**< index into the step's needs */
} trn_unmet;

/**
 * Whether each step finds what it needs: given by an earlier step, and not
 * ended since. Fails with TRN_OUT_OF_DOMAIN, naming the first step and its
 * need, which unmet (may be NULL) then holds.
 */
trn_status trn_operation_check(const trn_step *steps, size_t count, trn_unmet *unmet, trn_error *error);

/** When a step begins and ends, s from the start of the operation. */
typedef struct trn_step_time {
    double start_s; /**< when it begins */
    double end_s; /**< when it ends */
} trn_step_time;

/** An operation in time. */
typedef struct trn_operation {
    double total_s; /**< from the start of the first step to the end of the last */
    double road_closed_s; /**< all the time that the road is closed; 0 where no step closes it */
} trn_operation;

/**
 * The times of count steps into times, which the caller owns; raising_s and
 * lowering_s are what the steps with motion take.
 * Fails as trn_operation_check does, times are then untouched.
 */
trn_status trn_operation_times(const trn_step *steps, size_t count, double raising_s, double lowering_s,
                               trn_step_time *times, trn_operation *operation, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
