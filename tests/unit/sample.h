/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file sample.h
 * An invented leaf for the unit tests, awkward on purpose (every shape, sloped
 * and upright strips, parts behind and below the trunnion), and the means to
 * turn or mirror one.
 */
#ifndef TRN_TEST_SAMPLE_H
#define TRN_TEST_SAMPLE_H

#include <assert.h>

#include "trunnion/leaf.h"

#define DEGREE 0.017453292519943295769
#define QUARTER_TURN 1.5707963267948966192
#define HALF_TURN 3.1415926535897932385

/* The most parts, corners and voids that a turned copy has room for. */
#define SAMPLE_MAX 8

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static const trn_point sample_outline[] = {{-8.0, -2.4}, {-4.0, -2.75}, {-4.0, 0.2}, {-6.5, 1.1}, {-8.0, 0.2}};
static const trn_point sample_hole[] = {{-7.0, -1.0}, {-6.0, -1.0}, {-6.0, 0.0}, {-7.0, 0.0}};
static const trn_point sample_gap[] = {{-5.5, -2.0}, {-4.5, -1.5}, {-5.0, -0.5}};

static const trn_void sample_voids[] = {
    {.width_m = 2.0, .outline = {sample_hole, COUNT(sample_hole)}},
    {.width_m = 8.6, .outline = {sample_gap, COUNT(sample_gap)}},
};

static const trn_part sample_parts[] = {
    {.name = "toe lock", .shape = TRN_SHAPE_POINT, .count = 1, .weight_N = 20594.0, .gyration_m = 0.4,
     .at = {23.6, 0.2}},
    {.name = "girders", .shape = TRN_SHAPE_BAR, .count = 2, .weight_per_length_N_m = 14000.0, .from = {-3.0, -0.6},
     .to = {24.0, 0.1}},
    {.name = "post", .shape = TRN_SHAPE_BAR, .count = 1, .weight_N = 61000.0, .from = {-5.0, -1.0}, .to = {-5.0, 2.5}},
    {.name = "deck", .shape = TRN_SHAPE_SLAB, .count = 1, .weight_per_area_N_m2 = 931.6, .width_m = 9.0,
     .from = {0.5, 0.8}, .to = {24.0, 1.3}},
    {.name = "counterweight", .shape = TRN_SHAPE_BLOCK, .count = 1, .unit_weight_N_m3 = 24026.3, .width_m = 8.6,
     .outline = {sample_outline, COUNT(sample_outline)}, .voids = sample_voids, .void_count = COUNT(sample_voids)},
};

static const trn_pocket sample_pockets[] = {
    {.name = "upper heel", .at = {-7.6, 0.4}, .block_N = 441.3, .blocks = 40, .room = 90},
    {.name = "lower heel", .at = {-7.1, -2.2}, .block_N = 441.3, .blocks = 12, .room = 60},
};

static const trn_surface sample_surfaces[] = {
    {.name = "deck", .from = {0.5, 0.8}, .to = {24.0, 1.3}, .width_m = 9.0, .solidity = 0.6, .takes_ice = true,
     .takes_wind = true},
    {.name = "screen", .from = {20.0, 1.3}, .to = {20.2, 3.1}, .width_m = 7.0, .solidity = 0.9, .takes_wind = true},
    {.name = "heel", .from = {-8.0, -2.9}, .to = {-4.0, -2.75}, .width_m = 8.6, .solidity = 1.0, .takes_ice = true,
     .takes_wind = true},
    {.name = "ledge", .from = {2.0, -0.8}, .to = {9.0, -0.8}, .width_m = 0.5, .solidity = 1.0, .takes_ice = true},
};

static inline trn_leaf sample_leaf(void)
{
    trn_leaf leaf = trn_default_leaf();
    leaf.name = "invented sample";
    leaf.opens_to_rad = 76.0 * DEGREE;
    leaf.toe_m = 24.0;
    leaf.parts = sample_parts;
    leaf.part_count = COUNT(sample_parts);
    leaf.pockets = sample_pockets;
    leaf.pocket_count = COUNT(sample_pockets);
    leaf.surfaces = sample_surfaces;
    leaf.surface_count = COUNT(sample_surfaces);
    return leaf;
}

/** A map of the plane that keeps lengths: a turn, after a mirroring of x or y where asked. */
typedef struct plane_map {
    double turn_rad;
    bool mirror_x; /* x becomes -x */
    bool mirror_y;
} plane_map;

static inline trn_point map_point(plane_map map, trn_point point)
{
    trn_point mirrored = {map.mirror_x ? -point.x : point.x, map.mirror_y ? -point.y : point.y};
    double c = cos(map.turn_rad);
    double s = sin(map.turn_rad);
    return (trn_point){c * mirrored.x - s * mirrored.y, s * mirrored.x + c * mirrored.y};
}

static inline trn_surface map_surface(plane_map map, trn_surface surface)
{
    surface.from = map_point(map, surface.from);
    surface.to = map_point(map, surface.to);
    return surface;
}

/** Room for a mapped copy of a leaf. */
typedef struct mapped_leaf {
    trn_leaf leaf;
    trn_part parts[SAMPLE_MAX];
    trn_pocket pockets[SAMPLE_MAX];
    trn_surface surfaces[SAMPLE_MAX];
    trn_void voids[SAMPLE_MAX][SAMPLE_MAX];
    trn_point corners[SAMPLE_MAX][SAMPLE_MAX + 1][SAMPLE_MAX];
} mapped_leaf;

static inline trn_polygon map_polygon(plane_map map, trn_polygon polygon, trn_point *corners)
{
    assert(polygon.count <= SAMPLE_MAX);
    for (size_t i = 0; i < polygon.count; i++)
        corners[i] = map_point(map, polygon.corners[i]);
    return (trn_polygon){corners, polygon.count};
}

static inline void map_part(plane_map map, const trn_part *part, size_t index, mapped_leaf *into)
{
    trn_part *copy = &into->parts[index];
    assert(part->void_count <= SAMPLE_MAX);
    *copy = *part;
    copy->at = map_point(map, part->at);
    copy->from = map_point(map, part->from);
    copy->to = map_point(map, part->to);
    copy->outline = map_polygon(map, part->outline, into->corners[index][0]);
    for (size_t i = 0; i < part->void_count; i++) {
        into->voids[index][i] = part->voids[i];
        into->voids[index][i].outline = map_polygon(map, part->voids[i].outline, into->corners[index][i + 1]);
    }
    copy->voids = into->voids[index];
}

/** The leaf with parts, pockets and surfaces mapped; into must outlive its use. */
static inline void map_leaf(plane_map map, const trn_leaf *leaf, mapped_leaf *into)
{
    assert(leaf->part_count <= SAMPLE_MAX && leaf->pocket_count <= SAMPLE_MAX && leaf->surface_count <= SAMPLE_MAX);
    into->leaf = *leaf;
    for (size_t i = 0; i < leaf->part_count; i++)
        map_part(map, &leaf->parts[i], i, into);
    for (size_t i = 0; i < leaf->pocket_count; i++) {
        into->pockets[i] = leaf->pockets[i];
        into->pockets[i].at = map_point(map, leaf->pockets[i].at);
    }
    for (size_t i = 0; i < leaf->surface_count; i++)
        into->surfaces[i] = map_surface(map, leaf->surfaces[i]);
    into->leaf.parts = into->parts;
    into->leaf.pockets = into->pockets;
    into->leaf.surfaces = into->surfaces;
}

#endif
