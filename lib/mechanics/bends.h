/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The angles at which the wind on a leaf bends: what is searched over the angles is smooth between them. */
#ifndef BENDS_H
#define BENDS_H

#include "search.h"
#include "trunnion/leaf.h"

/* Whose bends they are. */
typedef struct wind_on_leaf {
    const trn_leaf *leaf;
    const trn_wind *wind; /* NULL: calm */
} wind_on_leaf;

/*
 * The next angle beyond another at which the wind on a surface bends, infinite
 * where there is none: where a surface lies level or upright, and where its
 * incidence is one of a table's points. Where it lies level the wind may
 * change its side at once: an angle close to either side of it counts, too.
 * Surfaces with less than half a hundredth of the area that takes wind are left out.
 * For search.h: context is a wind_on_leaf.
 */
double next_wind_bend(double angle_rad, const void *context);

/* The whole travel in parts of at most a step, with these bends between them. */
search_range travel_in_steps(const wind_on_leaf *blown, double step_rad);

#endif
