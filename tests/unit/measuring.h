/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file measuring.h
 * Balance tests made up for the unit tests: an invented leaf, what it would
 * give a gauge or a meter, and the truth to hold a fit against. The way from
 * leaf to gauge is worked out here anew, not by the library.
 */
#ifndef TRN_TEST_MEASURING_H
#define TRN_TEST_MEASURING_H

#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "chance.h"
#include "trunnion/trunnion.h"

#define BENCH_DEGREE 0.017453292519943295769
#define BENCH_PI 3.14159265358979323846
#define BENCH_READINGS 400

/** Normal, mean 0, deviation 1 (Box and Muller). */
static inline double normal(uint64_t *state)
{
    const double radius = sqrt(-2 * log(1 - even(state)));
    return radius * cos(2 * BENCH_PI * even(state));
}

/** A leaf, a record of it, and the truth behind it. */
typedef struct bench {
    trn_part parts[2];
    trn_surface surface;
    trn_journal trunnion;
    trn_drive drive;
    trn_gauged_shaft shaft;
    trn_travel travel;
    trn_leaf leaf;
    trn_reading readings[BENCH_READINGS];
    trn_record record;
    double a_Nm; /* the truth */
    double b_Nm;
    double friction_Nm;
} bench;

/** How a record is made; all zero: 8 to 66 degrees each way, one run, no noise. */
typedef struct making {
    trn_record_kind kind;
    size_t each_way;       /* readings of a direction of a run; 0: 60 */
    int runs;              /* 0: 1 */
    double closing_to_deg; /* where closing begins; 0: as far as opening goes */
    double noise;          /* share of W R */
    double growth;         /* of friction over a radian, share of it */
    double loss;           /* true efficiency over the described one, less 1 */
    double wave;           /* a third harmonic, share of W R */
    uint64_t seed;
    bool has_time;
    double wind_m_s;
} making;

static inline void set_leaf(bench *made)
{
    made->leaf = trn_default_leaf();
    made->leaf.name = "bench";
    made->leaf.opens_to_rad = 75 * BENCH_DEGREE;
    made->leaf.toe_m = 22;
    made->leaf.parts = made->parts;
    made->leaf.part_count = 2;
    made->leaf.surfaces = &made->surface;
    made->leaf.surface_count = 1;
    made->leaf.trunnion = &made->trunnion;
    made->leaf.drive = &made->drive;
    made->leaf.gauged_shaft = &made->shaft;
    made->leaf.travel = &made->travel;
}

/** An invented leaf; seed 0 is a plain one, others lie about it at random. The truth differs from the description. */
static inline void make_leaf(bench *made, uint64_t seed, bool strut)
{
    uint64_t state = seed;
    const double loose = seed == 0 ? 0 : 1;
    memset(made, 0, sizeof *made);
    made->parts[0] = trn_default_part();
    made->parts[0].name = "span";
    made->parts[0].weight_N = 1.2e6 * (1 + loose * between(&state, -0.8, 3));
    made->parts[0].at = (trn_point){8 + loose * between(&state, -3, 3), 0.4 + loose * between(&state, -1, 1)};
    made->parts[1] = made->parts[0];
    made->parts[1].name = "counterweight";
    made->parts[1].at = (trn_point){-4, -0.2};
    made->parts[1].weight_N = made->parts[0].weight_N * made->parts[0].at.x / 4 * (1 - between(&state, 0.02, 0.1));
    made->surface = (trn_surface){
        .name = "deck", .from = {0.5, 0.8}, .to = {22, 1.1}, .width_m = 8, .solidity = 0.5, .takes_wind = true};
    made->trunnion = (trn_journal){.diameter_m = 0.4, .friction = {0.18, 0.12}, .drag_Nm = 1000};
    made->drive = (trn_drive){.kind = strut ? TRN_DRIVE_STRUT : TRN_DRIVE_RATIO,
                              .ratio = 1300,
                              .strut = {.on_leaf = {3, 2}, .pinion = {-4, 6}, .pinion_radius_m = 0.4, .ratio = 180},
                              .efficiency = 0.84 + loose * between(&state, -0.3, 0.15)};
    made->shaft = (trn_gauged_shaft){.ratio = 12,
                                     .shafts = 2,
                                     .diameter_m = 0.2,
                                     .bore_m = seed % 2 ? 0.08 : 0,
                                     .shear_modulus_Pa = 81e9,
                                     .efficiency = 0.93 + loose * between(&state, -0.3, 0.06)};
    made->travel = (trn_travel){.speed_rad_s = 1.1 * BENCH_DEGREE,
                                .accelerate_in_s = 8,
                                .creep = 0.15,
                                .near_open_rad = 66 * BENCH_DEGREE,
                                .near_closed_rad = 8 * BENCH_DEGREE,
                                .decelerate_in_s = 6};
    set_leaf(made);
    const trn_body body = trn_leaf_body(&made->leaf);
    const double size = hypot(body.a_Nm, body.b_Nm);
    made->a_Nm = body.a_Nm + 0.1 * size;
    made->b_Nm = body.b_Nm - 0.05 * size;
    made->friction_Nm = size * (0.4 + loose * between(&state, -0.3, 1));
    /* Described a tenth too high, as a handbook may be. */
    const double arm_Nm = body.weight_N * made->trunnion.diameter_m / 2;
    made->trunnion.friction.moving = 1.1 * (made->friction_Nm - made->trunnion.drag_Nm) / arm_Nm;
    made->trunnion.friction.starting = 1.5 * made->trunnion.friction.moving;
}

/** Motor turns for a leaf turn, from the change of the strut's length. */
static inline double bench_ratio(const trn_drive *drive, double angle_rad)
{
    if (drive->kind == TRN_DRIVE_RATIO)
        return drive->ratio;
    const trn_strut *strut = &drive->strut;
    const double x = strut->on_leaf.x * cos(angle_rad) - strut->on_leaf.y * sin(angle_rad);
    const double y = strut->on_leaf.x * sin(angle_rad) + strut->on_leaf.y * cos(angle_rad);
    /* s2 = |pin|2 + |pinion|2 - 2 pin.pinion; half its derivative over s. */
    const double s = hypot(x - strut->pinion.x, y - strut->pinion.y);
    const double rate = (y * strut->pinion.x - x * strut->pinion.y) / s;
    return fabs(rate) / strut->pinion_radius_m * strut->ratio;
}

/** What gauge or meter shows for a torque at the leaf, positive opens. */
static inline double bench_shows(const bench *of, const making *how, double torque_Nm, double sense, double angle_rad)
{
    const trn_gauged_shaft *shaft = &of->shaft;
    const bool motor = how->kind == TRN_RECORD_MOTOR_TORQUE || how->kind == TRN_RECORD_MOTOR_POWER;
    const double efficiency = (motor ? of->drive.efficiency : shaft->efficiency) * (1 + how->loss);
    const double before = torque_Nm * sense >= 0 ? torque_Nm / efficiency : torque_Nm * efficiency;
    const double d = shaft->diameter_m;
    const double second_moment = BENCH_PI / 32 * (pow(d, 4) - pow(shaft->bore_m, 4));
    switch (how->kind) {
    case TRN_RECORD_MOTOR_TORQUE:
        return before / bench_ratio(&of->drive, angle_rad);
    case TRN_RECORD_MOTOR_POWER:
        return sense * before * of->travel.speed_rad_s;
    case TRN_RECORD_SHAFT_TORQUE:
        return before / shaft->ratio;
    case TRN_RECORD_SHAFT_STRAIN:
        /* Half the shear strain at the surface, T (d/2)/(G Ip). */
        return before / shaft->ratio / shaft->shafts * (d / 2) / (shaft->shear_modulus_Pa * second_moment) / 2;
    default:
        return torque_Nm;
    }
}

/** Moment of wind on the horizontal projection of the one surface, from the heel: C 1, 1.25 kg/m3. */
static inline double bench_wind(const bench *of, double speed_m_s, double angle_rad)
{
    const trn_surface *s = &of->surface;
    const double y1 = s->from.x * sin(angle_rad) + s->from.y * cos(angle_rad);
    const double y2 = s->to.x * sin(angle_rad) + s->to.y * cos(angle_rad);
    return 0.5 * 1.25 * speed_m_s * speed_m_s * s->width_m * s->solidity * fabs(y2 - y1) * (y1 + y2) / 2;
}

static inline trn_reading bench_reading(const bench *of, const making *how, trn_direction direction, double angle_rad,
                                        uint64_t *state)
{
    const double sense = direction == TRN_OPENING ? 1 : -1;
    const double size = hypot(of->a_Nm, of->b_Nm);
    const double friction = of->friction_Nm * (1 + how->growth * (angle_rad - 37 * BENCH_DEGREE));
    const double wind = how->wind_m_s > 0 ? how->wind_m_s * between(state, 0.5, 1.5) : 0;
    const double torque = of->a_Nm * cos(angle_rad) - of->b_Nm * sin(angle_rad) + sense * friction +
                          bench_wind(of, wind, angle_rad) + how->wave * size * cos(9 * angle_rad) +
                          how->noise * size * normal(state);
    return (trn_reading){.angle_rad = angle_rad,
                         .value = bench_shows(of, how, torque, sense, angle_rad),
                         .wind_speed_m_s = wind,
                         .wind_from = TRN_WIND_FROM_HEEL,
                         .direction = direction};
}

/** Make the record of a leaf that was made. */
static inline void make_record(bench *made, making how)
{
    const size_t each = how.each_way ? how.each_way : 60;
    const int runs = how.runs ? how.runs : 1;
    const double high = how.closing_to_deg > 0 ? how.closing_to_deg : 66;
    uint64_t state = how.seed;
    size_t count = 0;
    assert_true(2 * each * (size_t)runs <= BENCH_READINGS);
    for (int run = 1; run <= runs; run++) {
        for (size_t i = 0; i < 2 * each; i++) {
            const bool opening = i < each;
            const double step = (opening ? 58 : high - 8) / (double)(each - 1) * BENCH_DEGREE;
            const double at = (double)(i % each) * step;
            const double angle = opening ? 8 * BENCH_DEGREE + at : high * BENCH_DEGREE - at;
            trn_reading *reading = &made->readings[count];
            *reading = bench_reading(made, &how, opening ? TRN_OPENING : TRN_CLOSING, angle, &state);
            reading->run = run;
            reading->line = (int)++count + 1;
            reading->time_s = at / made->travel.speed_rad_s + (opening ? 0 : 1000);
        }
    }
    made->record = (trn_record){.kind = how.kind,
                                .has_time = how.has_time,
                                .has_wind = how.wind_m_s > 0,
                                .readings = made->readings,
                                .count = count};
}

/** Fit a record that can be fitted. */
static inline trn_measurement fit_well(const bench *of, trn_measure_settings settings)
{
    trn_measurement found;
    trn_error error = {.text = ""};
    const trn_status status = trn_leaf_measure(&of->leaf, &of->record, &settings, NULL, &found, &error);
    if (status != TRN_OK)
        print_error("%s\n", error.text);
    assert_int_equal(status, TRN_OK);
    return found;
}

static inline const trn_measure_warning *warning_of(const trn_measurement *found, trn_measure_doubt about)
{
    for (size_t i = 0; i < found->warning_count; i++)
        if (found->warnings[i].about == about)
            return &found->warnings[i];
    return NULL;
}

#endif
