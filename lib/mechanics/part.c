/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/part.h"

#include <math.h>

trn_part trn_default_part(void)
{
    return (trn_part){.name = "", .shape = TRN_SHAPE_POINT, .count = 1};
}

/* One part by itself: weight, centroid, polar inertia about the centroid. */
typedef struct solid {
    double weight_N;
    trn_point centroid;
    double own_inertia_kg_m2;
} solid;

static double mass_of(double weight_N)
{
    return weight_N / TRN_STANDARD_GRAVITY;
}

static double squared_distance(trn_point a, trn_point b)
{
    const double dx = b.x - a.x;
    const double dy = b.y - a.y;
    return dx * dx + dy * dy;
}

static solid point_solid(const trn_part *part)
{
    return (solid){.weight_N = part->weight_N,
                   .centroid = part->at,
                   .own_inertia_kg_m2 = mass_of(part->weight_N) * part->gyration_m * part->gyration_m};
}

static solid line_solid(const trn_part *part, double weight_N)
{
    return (solid){.weight_N = weight_N,
                   .centroid = {(part->from.x + part->to.x) / 2, (part->from.y + part->to.y) / 2},
                   .own_inertia_kg_m2 = mass_of(weight_N) * squared_distance(part->from, part->to) / 12};
}

static solid bar_solid(const trn_part *part)
{
    const double length = trn_point_distance(part->from, part->to);
    return line_solid(part, part->weight_N > 0 ? part->weight_N : part->weight_per_length_N_m * length);
}

static solid slab_solid(const trn_part *part)
{
    const double length = trn_point_distance(part->from, part->to);
    return line_solid(part, part->weight_per_area_N_m2 * part->width_m * length);
}

static solid prism_solid(trn_polygon outline, double width_m, double unit_weight_N_m3)
{
    const trn_area area = trn_polygon_area(outline);
    const double thickness = unit_weight_N_m3 * width_m;
    return (solid){.weight_N = thickness * area.area_m2,
                   .centroid = area.centroid,
                   .own_inertia_kg_m2 = mass_of(thickness) * area.polar_m4};
}

/* Voids are prisms of negative weight; sums are taken about the outline's
   centroid, so that a block far from the trunnion loses no digits. */
static solid block_solid(const trn_part *part)
{
    const solid whole = prism_solid(part->outline, part->width_m, part->unit_weight_N_m3);
    double weight = whole.weight_N;
    double first_x = 0;
    double first_y = 0;
    double inertia = whole.own_inertia_kg_m2;
    for (size_t i = 0; i < part->void_count; i++) {
        const trn_void *hollow = &part->voids[i];
        const solid gone = prism_solid(hollow->outline, hollow->width_m, part->unit_weight_N_m3);
        weight -= gone.weight_N;
        first_x -= gone.weight_N * (gone.centroid.x - whole.centroid.x);
        first_y -= gone.weight_N * (gone.centroid.y - whole.centroid.y);
        inertia -= gone.own_inertia_kg_m2 + mass_of(gone.weight_N) * squared_distance(gone.centroid, whole.centroid);
    }
    if (!(weight > 0)) {
        return (solid){.centroid = whole.centroid};
    }
    const trn_point centroid = {whole.centroid.x + first_x / weight, whole.centroid.y + first_y / weight};
    return (solid){.weight_N = weight,
                   .centroid = centroid,
                   .own_inertia_kg_m2 = inertia - mass_of(weight) * squared_distance(centroid, whole.centroid)};
}

static solid part_solid(const trn_part *part)
{
    switch (part->shape) {
    case TRN_SHAPE_BAR:
        return bar_solid(part);
    case TRN_SHAPE_SLAB:
        return slab_solid(part);
    case TRN_SHAPE_BLOCK:
        return block_solid(part);
    case TRN_SHAPE_POINT:
        break;
    }
    return point_solid(part);
}

trn_body trn_part_body(const trn_part *part, trn_point pivot)
{
    const solid one = part_solid(part);
    const double weight = one.weight_N * part->count;
    return (trn_body){.weight_N = weight,
                      .a_Nm = weight * (one.centroid.x - pivot.x),
                      .b_Nm = weight * (one.centroid.y - pivot.y),
                      .inertia_kg_m2 = part->count * one.own_inertia_kg_m2 +
                                       mass_of(weight) * squared_distance(one.centroid, pivot)};
}

trn_point trn_part_centroid(const trn_part *part)
{
    return part_solid(part).centroid;
}

trn_body trn_body_sum(trn_body a, trn_body b)
{
    return (trn_body){.weight_N = a.weight_N + b.weight_N,
                      .a_Nm = a.a_Nm + b.a_Nm,
                      .b_Nm = a.b_Nm + b.b_Nm,
                      .inertia_kg_m2 = a.inertia_kg_m2 + b.inertia_kg_m2};
}

double trn_body_moment(trn_body body, trn_rotation rotation)
{
    return body.a_Nm * rotation.cosine - body.b_Nm * rotation.sine;
}
