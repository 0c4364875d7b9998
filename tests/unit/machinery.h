/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file machinery.h
 * Invented machinery for the sample leaf, a derivative to hold rates against,
 * and the sum of forces on a body, about any point.
 */
#ifndef TRN_TEST_MACHINERY_H
#define TRN_TEST_MACHINERY_H

#include <stdlib.h>

#include <gsl/gsl_deriv.h>

#include "assertions.h"
#include "sample.h"
#include "trunnion/moments.h"

static const trn_journal machinery_journal = {
    .diameter_m = 0.48, .friction = {.starting = 0.18, .moving = 0.12}, .drag_Nm = 700.0};
static const trn_motors machinery_motors = {.installed = 3, .running = 2, .power_W = 30e3, .speed_rad_s = 91.0,
                                            .inertia_kg_m2 = 1.8, .peak = 2.0};
static const trn_travel machinery_travel = {.speed_rad_s = 0.02, .accelerate_in_s = 8.0, .creep = 0.15,
                                            .near_open_rad = 1.2, .near_closed_rad = 0.1, .decelerate_in_s = 5.0};

/* A pin on the leaf and a fixed point, without a dead point to 76 degrees: two
   that lengthen while the leaf opens, three that shorten; before and behind the trunnion. */
typedef struct pin_pair {
    trn_point pin;
    trn_point fixed;
} pin_pair;

static const pin_pair pin_pairs[] = {
    {{3.0, 2.0}, {-4.0, 6.0}},   {{3.0, -1.0}, {1.0, -6.0}}, {{-5.0, -1.0}, {-9.0, 4.0}},
    {{4.0, 1.5}, {5.0, -7.0}},   {{2.5, 0.4}, {-1.0, 8.0}},
};

static inline trn_drive strut_between(pin_pair pins)
{
    return (trn_drive){.kind = TRN_DRIVE_STRUT,
                       .strut = {.on_leaf = pins.pin, .pinion = pins.fixed, .pinion_radius_m = 0.4, .ratio = 180.0},
                       .efficiency = 0.85};
}

static inline trn_drive cylinders_between(pin_pair pins)
{
    return (trn_drive){.kind = TRN_DRIVE_CYLINDER,
                       .cylinder = {.on_leaf = pins.pin, .anchor = pins.fixed, .bore_m = 0.28, .rod_m = 0.18,
                                    .count = 2, .pressure_Pa = 250e5},
                       .efficiency = 0.85};
}

static inline trn_drive rack_at(double radius_m, double pinion_rad, double pressure_angle_rad)
{
    return (trn_drive){.kind = TRN_DRIVE_RATIO, .ratio = 1500.0, .efficiency = 0.8,
                       .rack = {radius_m, pinion_rad, pressure_angle_rad}};
}

/* The sample leaf with trunnion, travel, motors and a drive, which have to outlive it. */
static inline trn_leaf driven_leaf(const trn_drive *drive)
{
    trn_leaf leaf = sample_leaf();
    leaf.trunnion = &machinery_journal;
    leaf.travel = &machinery_travel;
    leaf.motors = &machinery_motors;
    leaf.drive = drive;
    return leaf;
}

/* A case with everything in it. */
static inline trn_case rough_case(void)
{
    trn_case rough = trn_default_case();
    rough.friction = TRN_FRICTION_STARTING;
    rough.accelerating = true;
    rough.wind.pressure_Pa = 350.0;
    rough.wind.law = TRN_WIND_NORMAL;
    rough.ice_N_m2 = 120.0;
    return rough;
}

/* A sail of 100 m2 at 11 m, and wind that blows hard on it at one angle only, 42.1 degrees open. */
static const trn_surface spiked_sail = {.name = "sail", .from = {6.0, 0.0}, .to = {16.0, 0.0}, .width_m = 10.0,
                                        .solidity = 1.0, .takes_wind = true};
static const trn_incidence_point spike[] = {
    {0.0, 0.5}, {41.1 * DEGREE, 0.5}, {42.1 * DEGREE, 2.5}, {43.1 * DEGREE, 0.5}, {QUARTER_TURN, 0.6}};

/* A leaf of that sail alone. */
static inline trn_leaf spiked_leaf(const trn_drive *drive)
{
    trn_leaf leaf = driven_leaf(drive);
    leaf.trunnion = NULL;
    leaf.part_count = 0;
    leaf.pocket_count = 0;
    leaf.surfaces = &spiked_sail;
    leaf.surface_count = 1;
    return leaf;
}

static inline trn_wind spiked_wind(double pressure_Pa)
{
    trn_wind wind = trn_default_wind();
    wind.pressure_Pa = pressure_Pa;
    wind.law = TRN_WIND_INCIDENCE;
    wind.table = spike;
    wind.table_count = COUNT(spike);
    return wind;
}

static inline trn_loading loading_of(const trn_leaf *leaf, const trn_case *load_case)
{
    trn_loading loading;
    trn_error error = {.status = TRN_OK};
    if (trn_loading_prepare(leaf, load_case, &loading, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return loading;
}

/** The angle that an error names; negative where it names none. */
static inline double named_angle(const trn_error *error)
{
    const char *at = strstr(error->text, " at ");
    if (!at || !strstr(at, "degree")) {
        print_error("no angle named: %s\n", error->text);
        return -1.0;
    }
    return strtod(at + 4, NULL) * DEGREE;
}

/** df/dx by central differences of fourth order; good to about 1e-10 of f. */
static inline double slope_of(double (*f)(double, void *), void *context, double x)
{
    gsl_function function = {f, context};
    double slope = (double)NAN;
    double error = (double)NAN;
    gsl_deriv_central(&function, x, 2e-3, &slope, &error);
    return slope;
}

static inline double cross_of(trn_point a, trn_point b)
{
    return a.x * b.y - a.y * b.x;
}

static inline double dot_of(trn_point a, trn_point b)
{
    return a.x * b.x + a.y * b.y;
}

static inline trn_point minus(trn_point a, trn_point b)
{
    return (trn_point){a.x - b.x, a.y - b.y};
}

static inline double size_of_point(trn_point a)
{
    return hypot(a.x, a.y);
}

/** What acts on a body: resultant, and moment about the trunnion, positive anticlockwise (it opens). */
typedef struct statics {
    trn_point force;
    double moment_Nm;
} statics;

static inline void add_force(statics *on, trn_point at, trn_point force)
{
    on->force.x += force.x;
    on->force.y += force.y;
    on->moment_Nm += cross_of(at, force);
}

static inline void add_couple(statics *on, double moment_Nm)
{
    on->moment_Nm += moment_Nm;
}

/* A weight at the centre of gravity of a body that has turned about its pivot. */
static inline void add_weight(statics *on, trn_body body, trn_point pivot, trn_rotation rotation)
{
    if (!(body.weight_N > 0))
        return;
    trn_point arm = trn_point_rotate((trn_point){body.a_Nm / body.weight_N, body.b_Nm / body.weight_N}, rotation);
    add_force(on, (trn_point){pivot.x + arm.x, pivot.y + arm.y}, (trn_point){0, -body.weight_N});
}

static inline double moment_about(const statics *on, trn_point point)
{
    return on->moment_Nm - cross_of(point, on->force);
}

#endif
