/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/link.h"

#include <gsl/gsl_math.h>
#include <math.h>

#include "bodies.h"

static trn_point difference(trn_point a, trn_point b)
{
    return (trn_point){a.x - b.x, a.y - b.y};
}

static double dot(trn_point a, trn_point b)
{
    return a.x * b.x + a.y * b.y;
}

static double cross(trn_point a, trn_point b)
{
    return a.x * b.y - a.y * b.x;
}

/* A quarter turn: the way that the end of an arm moves. */
static trn_point quarter_turn(trn_point arm)
{
    return (trn_point){-arm.y, arm.x};
}

/* The counterweight's pin lies where the circle of the counterweight's arm
   meets that of the link, on the side of the line from pivot to leaf pin on
   which it lies closed. The foot is measured from the pivot. */
static trn_point counterweight_arm(trn_point to_leaf_pin, double arm_m, double link_m, double side)
{
    const double distance = hypot(to_leaf_pin.x, to_leaf_pin.y);
    const double foot = (arm_m * arm_m - link_m * link_m + distance * distance) / (2 * distance);
    const double height = side * sqrt(fmax((arm_m - foot) * (arm_m + foot), 0));
    const trn_point along = {to_leaf_pin.x / distance, to_leaf_pin.y / distance};
    return (trn_point){foot * along.x - height * along.y, foot * along.y + height * along.x};
}

trn_link_state trn_link_at(const trn_linked_counterweight *linked, trn_rotation rotation)
{
    const trn_point closed_arm = difference(linked->pin_on_counterweight, linked->pivot);
    const trn_point leaf_pin = trn_point_rotate(linked->pin_on_leaf, rotation);
    const double arm_length = hypot(closed_arm.x, closed_arm.y);
    const double link_length = trn_point_distance(linked->pin_on_leaf, linked->pin_on_counterweight);
    const double side = cross(difference(linked->pin_on_leaf, linked->pivot), closed_arm) >= 0 ? 1 : -1;
    const trn_point arm = counterweight_arm(difference(leaf_pin, linked->pivot), arm_length, link_length, side);
    const trn_point pin = {linked->pivot.x + arm.x, linked->pivot.y + arm.y};
    const trn_point link = difference(leaf_pin, pin);
    const trn_point leaf_travel = quarter_turn(leaf_pin);
    const trn_point arm_travel = quarter_turn(arm);
    const double rate = dot(link, leaf_travel) / dot(link, arm_travel);
    const trn_point drift = {leaf_travel.x - rate * arm_travel.x, leaf_travel.y - rate * arm_travel.y};
    const trn_point pull_in = {rate * rate * arm.x - leaf_pin.x, rate * rate * arm.y - leaf_pin.y};
    const double square = arm_length * arm_length;
    return (trn_link_state){
        .rotation = {.cosine = dot(closed_arm, arm) / square, .sine = cross(closed_arm, arm) / square},
        .rate = rate,
        .rate_change_rad = (dot(drift, drift) + dot(link, pull_in)) / dot(link, arm_travel),
        .pin_on_leaf = leaf_pin,
        .pin_on_counterweight = pin,
        .along = {link.x / link_length, link.y / link_length},
        .arm_m = cross(arm, link) / link_length,
    };
}

/* The first angle from closed at which the leaf's pin is at a distance from
   the pivot; negative where it never is. */
static double angle_at_distance(const trn_linked_counterweight *linked, double distance_m)
{
    const trn_point pin = linked->pin_on_leaf;
    const trn_point pivot = linked->pivot;
    const double pin_m = hypot(pin.x, pin.y);
    const double pivot_m = hypot(pivot.x, pivot.y);
    const double cosine = (pin_m * pin_m + pivot_m * pivot_m - distance_m * distance_m) / (2 * pin_m * pivot_m);
    /* A hair beyond is a pin that just reaches: a parallelogram that folds flat. */
    if (!(fabs(cosine) <= 1 + 1e-12)) {
        return -1;
    }
    const double closed = atan2(cross(pivot, pin), dot(pivot, pin));
    double first = -1;
    for (int side = -1; side <= 1; side += 2) {
        double angle = side * acos(fmin(fmax(cosine, -1), 1)) - closed;
        /* A hair below closed is closed. */
        angle = fmax(angle - 2 * M_PI * floor((angle + 1e-12) / (2 * M_PI)), 0);
        first = first < 0 || angle < first ? angle : first;
    }
    return first;
}

bool trn_link_dead_point(const trn_linked_counterweight *linked, double opens_to_rad, double *angle_rad)
{
    const double arm = trn_point_distance(linked->pivot, linked->pin_on_counterweight);
    const double link = trn_point_distance(linked->pin_on_leaf, linked->pin_on_counterweight);
    const double stretched = angle_at_distance(linked, arm + link);
    const double folded = angle_at_distance(linked, fabs(arm - link));
    double first = stretched;
    if (first < 0 || (folded >= 0 && folded < first)) {
        first = folded;
    }
    *angle_rad = first;
    return first >= 0 && first <= opens_to_rad;
}

trn_body trn_link_body(const trn_linked_counterweight *linked)
{
    body_sum total = {0};
    for (size_t i = 0; i < linked->part_count; i++) {
        body_sum_add(&total, trn_part_body(&linked->parts[i], linked->pivot));
    }
    for (size_t i = 0; i < linked->pocket_count; i++) {
        body_sum_add(&total, trn_pocket_body(&linked->pockets[i], linked->pivot));
    }
    return body_sum_whole(&total);
}
