/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file absurd_machine.h
 * The random leaves of random_machine.h with their numbers blown up and
 * shrunk, from a little to beyond all sense, yet each as the reader of
 * descriptions would let it pass. All invented.
 */
#ifndef TRN_TEST_ABSURD_MACHINE_H
#define TRN_TEST_ABSURD_MACHINE_H

#include <float.h>

#include "random_machine.h"

/** How far a number may be blown up: decades, and how many of the numbers are. */
typedef struct absurdity {
    double decades;
    double share;
} absurdity;

static const absurdity absurdities[] = {{0, 0},     {0.3, 0.5}, {1, 0.2},    {3, 0.1},   {6, 0.1},
                                        {12, 0.05}, {30, 0.05}, {100, 0.03}, {300, 0.02}};

typedef struct spoiler {
    uint64_t *state;
    absurdity by;
} spoiler;

static inline void spoil(const spoiler *with, double *number)
{
    if (!chance(with->state, with->by.share))
        return;
    *number *= pow(10.0, between(with->state, -with->by.decades, with->by.decades));
    /* What a description can hold: no infinity. */
    *number = fmax(-DBL_MAX, fmin(DBL_MAX, *number));
}

/* The same for one that must stay over 0 (or keep its sign). */
static inline void spoil_positive(const spoiler *with, double *number)
{
    spoil(with, number);
    *number = fmax(*number, DBL_MIN);
}

/* Where 0 is allowed: sometimes 0. */
static inline void spoil_or_drop(const spoiler *with, double *number)
{
    spoil(with, number);
    if (chance(with->state, with->by.share / 3))
        *number = 0;
}

static inline void spoil_point(const spoiler *with, trn_point *point)
{
    spoil(with, &point->x);
    spoil(with, &point->y);
}

static inline void spoil_share(const spoiler *with, double *number)
{
    spoil_positive(with, number);
    *number = fmin(*number, 1.0);
}

static inline void spoil_weights(const spoiler *with, random_machine *made)
{
    random_run *base = &made->base;
    spoil_positive(with, &base->leaf.toe_m);
    for (int i = 0; i < RUN_PARTS; i++) {
        trn_part *part = &base->parts[i];
        spoil_positive(with, &part->weight_N);
        spoil_or_drop(with, &part->gyration_m);
        spoil_point(with, &part->at);
        spoil_point(with, &part->to);
    }
    spoil_positive(with, &made->block.weight_N);
    spoil_point(with, &made->block.at);
    spoil_point(with, &made->counterweight.pin_on_counterweight);
    spoil_or_drop(with, &base->trunnion.diameter_m);
    spoil_or_drop(with, &base->trunnion.drag_Nm);
    spoil_share(with, &base->trunnion.friction.starting);
    spoil_share(with, &base->trunnion.friction.moving);
    base->trunnion.friction.moving = fmin(base->trunnion.friction.moving, base->trunnion.friction.starting);
}

static inline void spoil_wind(const spoiler *with, random_machine *made)
{
    random_run *base = &made->base;
    for (int i = 0; i < RUN_SURFACES; i++) {
        spoil_positive(with, &base->surfaces[i].width_m);
        spoil_point(with, &base->surfaces[i].to);
    }
    trn_wind *wind = &base->load_case.wind;
    spoil_or_drop(with, &wind->speed_m_s);
    spoil_or_drop(with, &wind->pressure_Pa);
    spoil_positive(with, &wind->density_kg_m3);
    spoil_or_drop(with, &base->load_case.ice_N_m2);
    spoil_or_drop(with, &base->gust.rise_m_s);
    spoil_or_drop(with, &base->gust.rise_Pa);
    spoil_positive(with, &base->gust.lasts_s);
    spoil_or_drop(with, &base->gust.start_s);
    for (size_t i = 0; i < base->setting.upset_count; i++)
        base->upsets[i].gust = base->gust;
    for (int i = 0; i < RUN_WINDS; i++)
        spoil_or_drop(with, &base->winds[i].value);
}

static inline void spoil_drive(const spoiler *with, random_machine *made)
{
    trn_drive *drive = &made->base.drive;
    spoil_positive(with, &drive->ratio);
    spoil_share(with, &drive->efficiency);
    spoil_point(with, &drive->strut.on_leaf);
    spoil_point(with, &drive->strut.pinion);
    spoil_positive(with, &drive->strut.pinion_radius_m);
    spoil_positive(with, &drive->strut.ratio);
    spoil_point(with, &drive->cylinder.anchor);
    spoil_positive(with, &drive->cylinder.bore_m);
    drive->cylinder.rod_m = fmin(drive->cylinder.rod_m, 0.9 * drive->cylinder.bore_m);
    spoil_positive(with, &drive->cylinder.pressure_Pa);
    if (drive->rack.radius_m > 0)
        spoil_positive(with, &drive->rack.radius_m);
    trn_motors *motors = &made->base.motors;
    spoil_positive(with, &motors->power_W);
    spoil_positive(with, &motors->speed_rad_s);
    spoil_or_drop(with, &motors->inertia_kg_m2);
    spoil(with, &motors->peak);
    motors->peak = fmax(motors->peak, 1.0);
    spoil(with, &motors->breakdown);
    motors->breakdown = fmax(motors->breakdown, 1.0);
    spoil_positive(with, &motors->synchronous_rad_s);
    motors->synchronous_rad_s = fmax(motors->synchronous_rad_s, motors->speed_rad_s * (1 + 1e-9));
}

static inline void spoil_stops(const spoiler *with, random_machine *made)
{
    random_run *base = &made->base;
    for (int i = 0; i < RUN_BRAKES; i++) {
        spoil_positive(with, &base->brakes[i].torque_Nm);
        spoil_positive(with, &base->brakes[i].ratio);
        spoil_or_drop(with, &base->brakes[i].delay_s);
        spoil_or_drop(with, &base->brakes[i].set_time_s);
    }
    if (chance(with->state, with->by.share / 3))
        base->leaf.brake_count = 0;
    trn_seating *seat = &base->seating;
    spoil_or_drop(with, &seat->shoe_stiffness_N_m);
    spoil_or_drop(with, &seat->buffer_stroke_m);
    spoil_or_drop(with, &seat->buffer_preload_N);
    spoil_or_drop(with, &seat->buffer_stiffness_N_m);
    spoil_or_drop(with, &seat->buffer_damping_N_s_m);
    trn_travel *travel = &base->travel;
    spoil_positive(with, &travel->speed_rad_s);
    spoil_positive(with, &travel->accelerate_in_s);
    spoil_positive(with, &travel->decelerate_in_s);
    spoil_share(with, &travel->creep);
    spoil_positive(with, &travel->near_closed_rad);
    travel->near_closed_rad = fmin(travel->near_closed_rad, 0.9 * travel->near_open_rad);
    spoil_or_drop(with, &travel->full_closed_rad);
    travel->full_closed_rad = fmin(travel->full_closed_rad, 0.9 * travel->near_closed_rad);
    if (chance(with->state, 0.2))
        travel->full_open_rad = 0;
}

/** The machine of a number; returns how absurd it is, 0 for not at all. */
static inline size_t make_absurd_machine(random_machine *made, uint64_t number, trn_direction direction)
{
    uint64_t state = number * 0xD1342543DE82EF95U + 29;
    make_random_machine(made, number, direction);
    const size_t level = (size_t)(number / PLOTS) % COUNT(absurdities);
    const spoiler with = {&state, absurdities[level]};
    spoil_weights(&with, made);
    spoil_wind(&with, made);
    spoil_drive(&with, made);
    spoil_stops(&with, made);
    if (level > 0)
        made->base.setting.tolerance = over_decades(&state, 1e-13, 1e-3);
    return level;
}

#endif
