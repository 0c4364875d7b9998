/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file link.h
 * A counterweight on its own trunnion, joined to the leaf by a link.
 */
#ifndef TRN_LINK_H
#define TRN_LINK_H

#include <stdbool.h>

#include "trunnion/journal.h"
#include "trunnion/part.h"
#include "trunnion/pocket.h"

#ifdef __cplusplus
extern "C" {
#endif

/** All points in the leaf's frame, closed position, m. */
typedef struct trn_linked_counterweight {
    trn_point pivot;               /**< the counterweight's own trunnion */
    trn_point pin_on_leaf; /**< the link's end on the leaf */
    trn_point pin_on_counterweight; /**< the link's other end */
    trn_journal journal;           /**< diameter 0: frictionless */
    const trn_part *parts; /**< what the counterweight is made of */
    size_t part_count; /**< at least 1 */
    const trn_pocket *pockets; /**< with its loose blocks */
    size_t pocket_count; /**< 0 or more */
} trn_linked_counterweight;

/** The four-bar of trunnion, link and counterweight at an opening angle. */
typedef struct trn_link_state {
    trn_rotation rotation;   /**< of the counterweight by psi; psi(0) = 0 */
    double rate;             /**< psi' = dpsi/dtheta */
    double rate_change_rad;  /**< psi'' = d2psi/dtheta2, 1/rad */
    trn_point pin_on_leaf;   /**< where the link's ends stand, m */
    trn_point pin_on_counterweight; /**< the other end, m */
    trn_point along;         /**< unit vector from the counterweight's pin to the leaf's */
    double arm_m;            /**< arm of a pull in the link about the counterweight's pivot, positive turns with psi */
} trn_link_state;

/**
 * The state of a leaf turned by rotation, on the branch of the closed
 * position. The four-bar must have no dead point between closed and there.
 * Source: the link's length is constant; differentiated once and twice.
 */
trn_link_state trn_link_at(const trn_linked_counterweight *linked, trn_rotation rotation);

/**
 * True if the four-bar has a dead point from closed to opens_to_rad (link and
 * counterweight arm in line: the leaf can move neither the counterweight nor
 * itself), and at which angle first.
 */
bool trn_link_dead_point(const trn_linked_counterweight *linked, double opens_to_rad, double *angle_rad);

/** The counterweight's body about its own pivot, closed position: its parts and the blocks in its pockets. */
trn_body trn_link_body(const trn_linked_counterweight *linked);

#ifdef __cplusplus
}
#endif

#endif
