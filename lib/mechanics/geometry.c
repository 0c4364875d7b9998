/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/geometry.h"

#include <math.h>

trn_rotation trn_rotation_by(double angle_rad)
{
    return (trn_rotation){.cosine = cos(angle_rad), .sine = sin(angle_rad)};
}

trn_point trn_point_rotate(trn_point point, trn_rotation rotation)
{
    return (trn_point){.x = point.x * rotation.cosine - point.y * rotation.sine,
                       .y = point.x * rotation.sine + point.y * rotation.cosine};
}

double trn_point_distance(trn_point a, trn_point b)
{
    return hypot(b.x - a.x, b.y - a.y);
}

static double cross(trn_point origin, trn_point a, trn_point b)
{
    return (a.x - origin.x) * (b.y - origin.y) - (a.y - origin.y) * (b.x - origin.x);
}

static trn_point corner(trn_polygon polygon, size_t index)
{
    return polygon.corners[index % polygon.count];
}

/* Each side makes a triangle with the first corner; the triangles' signs
   cancel what lies outside, whatever the sense of the corners. */
trn_area trn_polygon_area(trn_polygon polygon)
{
    double twice_area = 0;
    double first_x = 0;
    double first_y = 0;
    double polar = 0;
    if (polygon.count < 3) {
        return (trn_area){.area_m2 = 0};
    }
    const trn_point origin = polygon.corners[0];
    for (size_t i = 1; i + 1 < polygon.count; i++) {
        const trn_point p = {polygon.corners[i].x - origin.x, polygon.corners[i].y - origin.y};
        const trn_point q = {polygon.corners[i + 1].x - origin.x, polygon.corners[i + 1].y - origin.y};
        const double twice = p.x * q.y - p.y * q.x;
        twice_area += twice;
        first_x += twice * (p.x + q.x) / 6;
        first_y += twice * (p.y + q.y) / 6;
        polar += twice * (p.x * p.x + p.x * q.x + q.x * q.x + p.y * p.y + p.y * q.y + q.y * q.y) / 12;
    }
    const double area = twice_area / 2;
    if (!(fabs(area) > 0)) {
        return (trn_area){.area_m2 = 0};
    }
    const trn_point offset = {first_x / area, first_y / area};
    return (trn_area){.area_m2 = fabs(area),
                      .centroid = {origin.x + offset.x, origin.y + offset.y},
                      .polar_m4 = fabs(polar - area * (offset.x * offset.x + offset.y * offset.y))};
}

static double largest(trn_point p)
{
    return fmax(fabs(p.x), fabs(p.y));
}

/* Decimal coordinates are off by their rounding; what differs by no more is the same place. */
static double rounding_of(trn_point a, trn_point b, trn_point p)
{
    return 1e-13 * fmax(largest(p), fmax(largest(a), largest(b)));
}

/* Which side of the line through a and b: zero also where p is off it by rounding alone. */
static int side_of(trn_point a, trn_point b, trn_point p)
{
    const double turn = cross(a, b, p);
    const double rounding = rounding_of(a, b, p) * largest((trn_point){b.x - a.x, b.y - a.y});
    return (turn > rounding) - (turn < -rounding);
}

/* For a point on the line through a and b: whether it lies between them. */
static bool between(trn_point a, trn_point b, trn_point p)
{
    const double slack = rounding_of(a, b, p);
    return fmin(a.x, b.x) - slack <= p.x && p.x <= fmax(a.x, b.x) + slack && fmin(a.y, b.y) - slack <= p.y &&
           p.y <= fmax(a.y, b.y) + slack;
}

static bool on_segment(trn_point a, trn_point b, trn_point p)
{
    return side_of(a, b, p) == 0 && between(a, b, p);
}

/* True where the segments ab and cd cross at a point inside both. */
static bool cross_properly(trn_point a, trn_point b, trn_point c, trn_point d)
{
    return side_of(a, b, c) * side_of(a, b, d) < 0 && side_of(c, d, a) * side_of(c, d, b) < 0;
}

static bool segments_meet(trn_point a, trn_point b, trn_point c, trn_point d)
{
    return cross_properly(a, b, c, d) || on_segment(a, b, c) || on_segment(a, b, d) || on_segment(c, d, a) ||
           on_segment(c, d, b);
}

/* Neighbours share a corner; they may not run back over each other. */
static bool folds_back(trn_point before, trn_point shared, trn_point after)
{
    return on_segment(before, shared, after) || on_segment(shared, after, before);
}

bool trn_polygon_is_simple(trn_polygon polygon)
{
    const size_t count = polygon.count;
    if (count < 3) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        const trn_point a = corner(polygon, i);
        const trn_point b = corner(polygon, i + 1);
        if (!(trn_point_distance(a, b) > 0) || folds_back(a, b, corner(polygon, i + 2))) {
            return false;
        }
        for (size_t j = i + 2; j < count; j++) {
            const bool neighbours = (j + 1) % count == i;
            if (!neighbours && segments_meet(a, b, corner(polygon, j), corner(polygon, j + 1))) {
                return false;
            }
        }
    }
    return true;
}

typedef enum place { OUTSIDE, ON_OUTLINE, INSIDE } place;

/* A ray to the right crosses the outline an odd number of times from inside. */
static place place_of(trn_polygon polygon, trn_point p)
{
    bool inside = false;
    for (size_t i = 0; i < polygon.count; i++) {
        const trn_point a = corner(polygon, i);
        const trn_point b = corner(polygon, i + 1);
        if (on_segment(a, b, p)) {
            return ON_OUTLINE;
        }
        if ((a.y > p.y) != (b.y > p.y) && (cross(a, b, p) > 0) == (b.y > a.y)) {
            inside = !inside;
        }
    }
    return inside ? INSIDE : OUTSIDE;
}

static bool outlines_cross(trn_polygon a, trn_polygon b)
{
    for (size_t i = 0; i < a.count; i++) {
        for (size_t j = 0; j < b.count; j++) {
            if (cross_properly(corner(a, i), corner(a, i + 1), corner(b, j), corner(b, j + 1))) {
                return true;
            }
        }
    }
    return false;
}

/* The corner of polygon on the segment from start to end that comes first
   after start, else end. */
static trn_point next_cut(trn_polygon polygon, trn_point start, trn_point end)
{
    trn_point next = end;
    for (size_t i = 0; i < polygon.count; i++) {
        const trn_point cut = polygon.corners[i];
        /* Nearer to the end, or rounding might lead back and forth for ever. */
        const bool ahead = trn_point_distance(cut, end) < trn_point_distance(start, end);
        if (ahead && trn_point_distance(start, cut) < trn_point_distance(start, next) && on_segment(start, end, cut)) {
            next = cut;
        }
    }
    return next;
}

/* Whether a piece of one polygon's outline, cut at the other's corners, has
   the given place in the other. Corners alone would miss polygons that only
   touch at corners. */
static bool outline_has_place(trn_polygon of, trn_polygon in, place wanted)
{
    for (size_t i = 0; i < of.count; i++) {
        const trn_point end = corner(of, i + 1);
        trn_point start = corner(of, i);
        while (trn_point_distance(start, end) > 0) {
            const trn_point next = next_cut(in, start, end);
            const trn_point middle = {(start.x + next.x) / 2, (start.y + next.y) / 2};
            if (place_of(in, start) == wanted || place_of(in, middle) == wanted) {
                return true;
            }
            start = next;
        }
    }
    return false;
}

bool trn_polygon_contains(trn_polygon outer, trn_polygon inner)
{
    return !outlines_cross(outer, inner) && !outline_has_place(inner, outer, OUTSIDE) &&
           !outline_has_place(outer, inner, INSIDE);
}

bool trn_polygon_overlaps(trn_polygon a, trn_polygon b)
{
    return outlines_cross(a, b) || outline_has_place(a, b, INSIDE) || outline_has_place(b, a, INSIDE) ||
           trn_polygon_contains(a, b) || trn_polygon_contains(b, a);
}
