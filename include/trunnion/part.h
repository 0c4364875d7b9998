/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file part.h
 * The parts that make up the weight of a leaf, one shape each.
 */
#ifndef TRN_PART_H
#define TRN_PART_H

#include <stddef.h>

#include "trunnion/geometry.h"
#include "trunnion/uncertainty.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Standard gravity, m/s2: exact by definition (3rd CGPM, 1901). Turns mass into weight. */
#define TRN_STANDARD_GRAVITY 9.80665

/** What a part is like, seen from the side. */
typedef enum trn_shape {
    TRN_SHAPE_POINT, /**< weight at a point, with a radius of gyration about it */
    TRN_SHAPE_BAR,   /**< weight, or weight per length, along a line */
    TRN_SHAPE_SLAB,  /**< weight per area on a strip of some width, seen from the side a line */
    TRN_SHAPE_BLOCK  /**< unit weight in a polygon outline of some width, less voids */
} trn_shape;

/** A hollow in a block: a prism of its own width within the block's. */
typedef struct trn_void {
    double width_m; /**< over 0, at most the block's width */
    trn_polygon outline; /**< within the block's */
} trn_void;

/**
 * One part. Which fields count depends on the shape; the others are zero.
 * All weights are forces, N.
 */
typedef struct trn_part {
    const char *name; /**< for people */
    trn_shape shape; /**< which of the fields below count */
    int count;                   /**< how many alike at the same place, at least 1 */
    trn_distribution uncertainty; /**< of the weight, relative; all zero: exactly known */
    double weight_N;             /**< point: weight of one; bar: its weight, or 0 where per length */
    double weight_per_length_N_m; /**< bar without weight_N */
    double weight_per_area_N_m2; /**< slab */
    double unit_weight_N_m3;     /**< block */
    double width_m;              /**< slab, block */
    double gyration_m;           /**< point: radius of gyration about its centroid, 0 or more */
    trn_point at;                /**< point */
    trn_point from;              /**< bar, slab: one end */
    trn_point to;                /**< bar, slab: the other end */
    trn_polygon outline;         /**< block */
    const trn_void *voids;       /**< block, void_count of them */
    size_t void_count; /**< 0 or more */
} trn_part;

/** A point of no weight that stands once: the start for filling a part. */
trn_part trn_default_part(void);

/** What a part, or a body of several, weighs, and how it lies about its axis of rotation. */
typedef struct trn_body {
    double weight_N; /**< W */
    double a_Nm;           /**< A = sum of W x, closed position: the closed moment */
    double b_Nm;           /**< B = sum of W y, closed position */
    double inertia_kg_m2;  /**< J about the axis: sum of I + (W/g0)(x2 + y2) */
} trn_body;

/**
 * Weight, moments and inertia of a part about an axis through pivot, all
 * count of it together. Bar and slab: I = m L2/12. Block: polygon formulas,
 * less voids.
 */
trn_body trn_part_body(const trn_part *part, trn_point pivot);

/** Centroid of one part in the leaf's frame, m. */
trn_point trn_part_centroid(const trn_part *part);

/** Two bodies taken as one. */
trn_body trn_body_sum(trn_body a, trn_body b);

/** Balance moment A cos - B sin of a body turned by rotation, N m, positive closes. */
double trn_body_moment(trn_body body, trn_rotation rotation);

#ifdef __cplusplus
}
#endif

#endif
