/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file stopping.h
 * A wheel for a leaf, and stops by the brakes, for the unit tests.
 */
#ifndef TRN_TEST_STOPPING_H
#define TRN_TEST_STOPPING_H

#include "linkage.h"
#include "trunnion/balance.h"
#include "trunnion/holding.h"

/* A wheel of 10 000 t m2 about the trunnion: nothing moves it but the brakes. */
static inline trn_part wheel(void)
{
    trn_part part = trn_default_part();
    part.name = "wheel";
    part.weight_N = 1e5 * 9.80665;
    part.gyration_m = 10.0;
    return part;
}

static inline trn_leaf wheel_leaf(const trn_part *part, const trn_brake *brakes, size_t count)
{
    trn_leaf leaf = trn_default_leaf();
    leaf.opens_to_rad = 1.3;
    leaf.toe_m = 24.0;
    leaf.parts = part;
    leaf.part_count = 1;
    leaf.travel = &machinery_travel;
    leaf.brakes = brakes;
    leaf.brake_count = count;
    return leaf;
}

static inline trn_stop stop_of(const trn_leaf *leaf, double from_rad, trn_direction direction, double *heats_J)
{
    trn_stop stop;
    trn_error error = {.status = TRN_OK};
    if (trn_leaf_stop(leaf, from_rad, direction, &stop, heats_J, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return stop;
}

static const trn_brake real_brakes[] = {{"motor brakes", 2, 3000.0, 1500.0, 0.3, 0.5, 0.0},
                                        {"machinery brake", 1, 90e3, 70.0, 0.6, 0.2, 0.0}};

static inline trn_leaf braked_leaf(const trn_drive *drive)
{
    trn_leaf leaf = driven_leaf(drive);
    leaf.brakes = real_brakes;
    leaf.brake_count = COUNT(real_brakes);
    return leaf;
}

#endif
