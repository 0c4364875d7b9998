/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file random_machine.h
 * The random leaves of random_run.h on every kind of drive, also with a
 * counterweight on its own trunnion, under every law of wind. All invented.
 */
#ifndef TRN_TEST_RANDOM_MACHINE_H
#define TRN_TEST_RANDOM_MACHINE_H

#include "linkage.h"
#include "random_run.h"

enum { MACHINE_KNOTS = 4 };

typedef enum machine_kind { MACHINE_RATIO, MACHINE_RACK, MACHINE_STRUT, MACHINE_CYLINDERS, MACHINE_KINDS } machine_kind;

/** A leaf and a run of it; not to be moved in memory. */
typedef struct random_machine {
    random_run base;
    machine_kind kind;
    bool linked;
    trn_linked_counterweight counterweight;
    trn_part block;
    trn_incidence_point table[MACHINE_KNOTS];
    trn_wind_profile profile;
} random_machine;

static inline trn_point scaled(trn_point point, double by)
{
    return (trn_point){point.x * by, point.y * by};
}

/* The four-bars are made for a leaf of 24 m; the block balances the leaf when closed. */
static inline void give_linked_counterweight(random_machine *made, uint64_t *state)
{
    random_run *base = &made->base;
    const double by = base->leaf.toe_m / 24.0;
    const four_bar bars = four_bars[whole_between(state, 0, (int)COUNT(four_bars) - 1)];
    trn_linked_counterweight *linked = &made->counterweight;
    *linked = (trn_linked_counterweight){.pivot = scaled(bars.pivot, by),
                                         .pin_on_leaf = scaled(bars.on_leaf, by),
                                         .pin_on_counterweight = scaled(bars.on_counterweight, by),
                                         .parts = &made->block,
                                         .part_count = 1};
    if (chance(state, 0.8))
        linked->journal = (trn_journal){.diameter_m = 0.3 * by, .friction = {.starting = 0.15, .moving = 0.1}};
    base->leaf.part_count = RUN_PARTS - 1;
    const double rate = trn_link_at(linked, trn_rotation_by(0)).rate;
    double moment = 0;
    for (int i = 0; i < RUN_PARTS - 1; i++) {
        const trn_part *part = &base->parts[i];
        moment += part->count * part->weight_N * trn_part_centroid(part).x;
    }
    made->block = trn_default_part();
    made->block.at = linked->pin_on_counterweight;
    made->block.at.x += 0.5 * by;
    made->block.gyration_m = between(state, 0.5, 2.0);
    made->block.weight_N = fabs(moment / (rate * (made->block.at.x - linked->pivot.x))) * between(state, 0.97, 1.01);
    base->leaf.linked_counterweight = linked;
    made->linked = true;
}

static inline void give_line_of_force(random_machine *made, uint64_t *state)
{
    random_run *base = &made->base;
    const double by = base->leaf.toe_m / 24.0;
    const pin_pair pins = pin_pairs[whole_between(state, 0, (int)COUNT(pin_pairs) - 1)];
    const double turns = base->drive.ratio;
    if (made->kind == MACHINE_STRUT) {
        base->drive.kind = TRN_DRIVE_STRUT;
        base->drive.strut = (trn_strut){.on_leaf = scaled(pins.pin, by),
                                        .pinion = scaled(pins.fixed, by),
                                        .pinion_radius_m = 0.3,
                                        .ratio = turns * 0.3 / (3.0 * by)};
        return;
    }
    const double force = roughly_needed(base) * between(state, 0.7, 2.0) / (2.0 * by);
    base->drive.kind = TRN_DRIVE_CYLINDER;
    base->drive.cylinder = (trn_cylinder){
        .on_leaf = scaled(pins.pin, by), .anchor = scaled(pins.fixed, by), .bore_m = 0.25, .rod_m = 0.15, .count = 2};
    base->drive.cylinder.pressure_Pa = force / (2 * HALF_TURN * (0.125 * 0.125 - 0.075 * 0.075));
    base->leaf.motors = NULL;
}

static inline void give_rack(random_machine *made, uint64_t *state)
{
    made->base.drive.rack = (trn_rack){.radius_m = between(state, 0.08, 0.2) * made->base.leaf.toe_m,
                                       .pinion_rad = between(state, -160.0, -60.0) * DEGREE,
                                       .pressure_angle_rad = between(state, 14.0, 25.0) * DEGREE};
}

static inline void give_law(random_machine *made, uint64_t *state)
{
    trn_wind *wind = &made->base.load_case.wind;
    wind->law = (trn_wind_law)whole_between(state, TRN_WIND_PROJECTED, TRN_WIND_INCIDENCE);
    if (wind->law == TRN_WIND_INCIDENCE) {
        double incidence = 0;
        for (int i = 0; i < MACHINE_KNOTS; i++) {
            made->table[i] = (trn_incidence_point){incidence, between(state, 0.2, 1.6)};
            incidence += between(state, 0.2, 0.5);
        }
        made->table[0].coefficient = 0; /* nothing else has the wind turn about at once where a strip is level */
        wind->table = made->table;
        wind->table_count = MACHINE_KNOTS;
        wind->coefficient = 1.0;
    }
    if (chance(state, 0.3)) {
        made->profile = (trn_wind_profile){.exponent = between(state, 0.05, 0.3),
                                           .reference_height_m = 10.0,
                                           .trunnion_height_m = between(state, 2.0, 12.0),
                                           .lowest_m = 2.0};
        wind->profile = &made->profile;
    }
}

/** The machine of a number; what its run shows goes round with it. */
static inline void make_random_machine(random_machine *made, uint64_t number, trn_direction direction)
{
    uint64_t state = number * 0x9E6C63D0876A9A4BU + 5;
    memset(made, 0, sizeof *made);
    make_random_run(&made->base, number, direction);
    random_run *base = &made->base;
    made->kind = (machine_kind)whole_between(&state, 0, MACHINE_KINDS - 1);
    /* The geometries have no dead point to 76 degrees; a run may go 30 beyond the end. */
    const double lower = base->leaf.opens_to_rad - 60 * DEGREE;
    if (lower > 0) {
        base->leaf.opens_to_rad -= lower;
        base->travel.near_open_rad -= lower;
        base->travel.full_open_rad -= lower;
        for (size_t i = 0; i < base->setting.upset_count; i++)
            base->upsets[i].angle_rad = fmin(base->upsets[i].angle_rad, base->leaf.opens_to_rad);
    }
    if (chance(&state, 0.3))
        give_linked_counterweight(made, &state);
    if (made->kind == MACHINE_RACK)
        give_rack(made, &state);
    if (made->kind == MACHINE_STRUT || made->kind == MACHINE_CYLINDERS)
        give_line_of_force(made, &state);
    give_law(made, &state);
}

#endif
