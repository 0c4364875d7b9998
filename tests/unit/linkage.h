/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file linkage.h
 * Invented linked counterweights for the unit tests.
 */
#ifndef TRN_TEST_LINKAGE_H
#define TRN_TEST_LINKAGE_H

#include "machinery.h"
#include "trunnion/link.h"

static const trn_part linkage_parts[] = {
    {.name = "block", .shape = TRN_SHAPE_POINT, .count = 1, .weight_N = 2.06e6, .gyration_m = 1.4, .at = {-13.5, 6.8}},
    {.name = "arm", .shape = TRN_SHAPE_BAR, .count = 2, .weight_N = 31e3, .from = {-9.4, 5.9}, .to = {-14.2, 7.1}},
};
static const trn_pocket linkage_pockets[] = {
    {.name = "loose", .at = {-14.0, 7.9}, .block_N = 441.3, .blocks = 30, .room = 60},
};

/* Pivot, pin on the leaf, pin on the counterweight: open and crossed four-bars,
   quick and slow counterweights, one that turns against the leaf. No dead point to 76 degrees. */
typedef struct four_bar {
    trn_point pivot;
    trn_point on_leaf;
    trn_point on_counterweight;
} four_bar;

static const four_bar four_bars[] = {
    {{-9.0, 6.0}, {-5.0, 1.0}, {-14.5, 6.2}},
    {{-9.0, 6.0}, {-5.0, 1.0}, {-13.5, 7.7}},
    {{-8.0, 7.0}, {-4.0, -0.5}, {-13.5, 6.0}},
    {{-7.0, 8.0}, {-6.0, 0.5}, {-13.5, 6.5}},
    {{-9.0, 6.0}, {-3.0, 1.0}, {-4.5, 8.0}},
};

static inline trn_linked_counterweight counterweight_on(four_bar bars)
{
    return (trn_linked_counterweight){
        .pivot = bars.pivot,
        .pin_on_leaf = bars.on_leaf,
        .pin_on_counterweight = bars.on_counterweight,
        .journal = {.diameter_m = 0.3, .friction = {.starting = 0.18, .moving = 0.12}},
        .parts = linkage_parts,
        .part_count = COUNT(linkage_parts),
        .pockets = linkage_pockets,
        .pocket_count = COUNT(linkage_pockets),
    };
}

/* A link in line with the trunnion's line to the pivot: both bodies turn alike. */
static inline trn_linked_counterweight parallelogram(trn_point pivot, trn_point on_leaf)
{
    return counterweight_on((four_bar){pivot, on_leaf, {pivot.x + on_leaf.x, pivot.y + on_leaf.y}});
}

/* The counterweight's rotation; no four-bar here turns it by half a turn. */
static inline double psi_at(double angle_rad, void *linked)
{
    trn_rotation turned = trn_link_at(linked, trn_rotation_by(angle_rad)).rotation;
    return atan2(turned.sine, turned.cosine);
}

#endif
