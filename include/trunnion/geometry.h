/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file geometry.h
 * Points, rotation and polygons in the plane of the leaf.
 *
 * Frame: the origin is the trunnion axis. With the leaf closed, x points to
 * the toe and y up; lengths in metres.
 */
#ifndef TRN_GEOMETRY_H
#define TRN_GEOMETRY_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/** A point or a vector, m (or N, for a force). */
typedef struct trn_point {
    double x; /**< towards the toe */
    double y; /**< up */
} trn_point;

/** A rotation by an angle, kept as its cosine and sine. */
typedef struct trn_rotation {
    double cosine; /**< of the angle */
    double sine; /**< of the angle */
} trn_rotation;

/** The rotation by angle_rad, positive as the toe rises. */
trn_rotation trn_rotation_by(double angle_rad);

/** Where a point fixed in the leaf stands: X = x cos - y sin, Y = x sin + y cos. */
trn_point trn_point_rotate(trn_point point, trn_rotation rotation);

/** Distance between two points, m. */
double trn_point_distance(trn_point a, trn_point b);

/** Corners in order, either sense; the last is joined to the first. */
typedef struct trn_polygon {
    const trn_point *corners; /**< count of them */
    size_t count; /**< at least 3 */
} trn_polygon;

/** Area and its moments; all are zero for fewer than three corners. */
typedef struct trn_area {
    double area_m2;     /**< positive for either sense of the corners */
    trn_point centroid; /**< m */
    double polar_m4;    /**< polar second moment about the centroid, m4 */
} trn_area;

/**
 * Area, centroid and polar second moment of a simple polygon.
 * Source: Green's theorem on the outline (the "shoelace" sums); worked about
 * the first corner, so that a polygon far from the origin loses no digits.
 */
trn_area trn_polygon_area(trn_polygon polygon);

/**
 * True if the outline is simple: at least three corners, no side of zero
 * length, no two sides that cross or touch except neighbours at their corner.
 */
bool trn_polygon_is_simple(trn_polygon polygon);

/** True if every point of inner lies in outer (sides may touch). Both must be simple. */
bool trn_polygon_contains(trn_polygon outer, trn_polygon inner);

/** True if the insides of two simple polygons have a point in common (touching sides do not count). */
bool trn_polygon_overlaps(trn_polygon a, trn_polygon b);

#ifdef __cplusplus
}
#endif

#endif
