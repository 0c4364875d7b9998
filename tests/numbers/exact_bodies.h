/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file exact_bodies.h
 * Weight, moments, inertia and the four-bar, from the formulas alone, in exact numbers.
 */
#ifndef TRN_TEST_EXACT_BODIES_H
#define TRN_TEST_EXACT_BODIES_H

#include "exact.h"

/* Area of a polygon, its first moments over it, and its polar second moment about its centroid. */
struct exact_area {
    exact area;
    exact_point centroid;
    exact polar;
};

struct exact_body {
    exact weight;
    exact a;
    exact b;
    exact inertia;
};

struct exact_link {
    exact cosine; /* of the counterweight's rotation */
    exact sine;
    exact rate;
    exact rate_change;
    exact_point on_leaf;
    exact_point on_counterweight;
    exact_point along;
    exact arm;
};

exact_area area_of(trn_polygon polygon);
exact_body body_of(const trn_part &part, trn_point pivot);
exact_point centroid_of(const trn_part &part);
exact_body body_of(const trn_pocket &pocket, trn_point pivot);
exact_body operator+(const exact_body &one, const exact_body &other);

exact_body leaf_body(const trn_leaf &leaf);
exact_body link_body(const trn_linked_counterweight &linked);
exact_body ice_body(const trn_leaf &leaf, double weight_per_area);

exact_link link_at(const trn_linked_counterweight &linked, double angle);
/* The first angle at which the leaf's pin is arm + link, or their difference, away from the pivot. */
exact first_dead_point(const trn_linked_counterweight &linked);

/* Balance moment of leaf and linked counterweight. */
exact balance_at(const trn_leaf &leaf, double angle);

#endif
