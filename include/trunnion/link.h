/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file link.h
 * A counterweight on its own trunnion, joined to the leaf by a link.
 */
#ifndef TRN_LINK_H
#define TRN_LINK_H

#include "trunnion/journal.h"
#include "trunnion/part.h"
#include "trunnion/pocket.h"

#ifdef __cplusplus
extern "C" {
#endif

/** All points in the leaf's frame, closed position, m. */
typedef struct trn_linked_counterweight {
    trn_point pivot;               /**< the counterweight's own trunnion */
    trn_point pin_on_leaf;
    trn_point pin_on_counterweight;
    trn_journal journal;           /**< diameter 0: frictionless */
    const trn_part *parts;
    size_t part_count;
    const trn_pocket *pockets;
    size_t pocket_count;
} trn_linked_counterweight;

#ifdef __cplusplus
}
#endif

#endif
