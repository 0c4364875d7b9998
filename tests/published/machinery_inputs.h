/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file machinery_inputs.h
 * The inputs of a check that belong to drive, motors, brakes and duty.
 */
#ifndef TRN_PUBLISHED_MACHINERY_INPUTS_H
#define TRN_PUBLISHED_MACHINERY_INPUTS_H

#include "check_file.h"
#include "trunnion/trunnion.h"

#define BRAKES_MAX 4
#define KNOTS_MAX 4

typedef struct machinery {
    trn_drive drive;
    bool has_drive;
    trn_brake brakes[BRAKES_MAX];
    size_t brake_count;
    trn_duty duty;
    double shaft_speed_rad_s; /* at which the motor's torque is asked */
    double force_N;           /* in a cylinder */
    double wind_from_m_s;     /* the bounds of a Beaufort number */
    double wind_to_m_s;
    trn_gust gust;
    double time_s;          /* at which the gust is asked */
    double motor_torque_Nm; /* of a motor that gives the same at every speed */
    trn_torque_point knots[KNOTS_MAX];
    size_t knot_count;
    trn_upset upset;
    bool has_upset;
    double full_open_rad;
} machinery;

static trn_point next_pin(words *from)
{
    double x = next_quantity(from, LENGTH);
    return (trn_point){x, next_quantity(from, LENGTH)};
}

/* A ratio and an efficiency. */
static void take_gears(machinery *into, words *from)
{
    into->drive.kind = TRN_DRIVE_RATIO;
    into->drive.ratio = next_number(from);
    into->drive.efficiency = next_number(from);
    into->has_drive = true;
}

/* A pitch radius, the pinion's direction, a pressure angle. */
static void take_rack(machinery *into, words *from)
{
    into->drive.kind = TRN_DRIVE_RATIO;
    into->drive.ratio = 1;
    into->drive.efficiency = 1;
    into->drive.rack.radius_m = next_quantity(from, LENGTH);
    into->drive.rack.pinion_rad = next_quantity(from, ANGLE);
    into->drive.rack.pressure_angle_rad = next_quantity(from, ANGLE);
    into->has_drive = true;
}

/* The pin, the fixed point; without loss, on a pinion of 1 m. */
static void take_strut(machinery *into, words *from)
{
    into->drive.kind = TRN_DRIVE_STRUT;
    into->drive.efficiency = 1;
    into->drive.strut.on_leaf = next_pin(from);
    into->drive.strut.pinion = next_pin(from);
    into->drive.strut.pinion_radius_m = 1;
    into->drive.strut.ratio = 1;
    into->has_drive = true;
}

/* Bore and rod of one cylinder. */
static void take_cylinder(machinery *into, words *from)
{
    into->drive.cylinder.bore_m = next_quantity(from, LENGTH);
    into->drive.cylinder.rod_m = next_quantity(from, LENGTH);
    into->drive.cylinder.count = 1;
}

/* Torque, turns of its shaft for each turn of the leaf; whole at once. */
static void take_brake(machinery *into, words *from)
{
    if (into->brake_count == BRAKES_MAX)
        bail_out(from->of->file, from->line, "more brakes than a check can have", "");
    trn_brake *brake = &into->brakes[into->brake_count++];
    brake->name = "brake";
    brake->count = 1;
    brake->torque_Nm = next_quantity(from, MOMENT);
    brake->ratio = next_number(from);
}

/* A point of the torque of a motor across the line: speed and torque. */
static void take_torque_at(machinery *into, words *from)
{
    if (into->knot_count == KNOTS_MAX)
        bail_out(from->of->file, from->line, "more points than a torque can have", "");
    trn_torque_point *knot = &into->knots[into->knot_count++];
    knot->speed_rad_s = next_quantity(from, ANGULAR_SPEED);
    knot->torque_Nm = next_quantity(from, MOMENT);
}

/* The angle at which the power is lost in a run. */
static void take_power_lost(machinery *into, words *from)
{
    into->upset.angle_rad = next_quantity(from, ANGLE);
    into->has_upset = true;
}

/* Words that set one number of the machinery. NULL where name is none of them. */
static double *machinery_number(machinery *into, const char *name, dimension *of)
{
    const struct {
        const char *name;
        dimension of;
        double *place;
    } numbers[] = {
        {"shaft_speed", ANGULAR_SPEED, &into->shaft_speed_rad_s},
        {"force", WEIGHT, &into->force_N},
        {"wind_from", SPEED, &into->wind_from_m_s},
        {"wind_to", SPEED, &into->wind_to_m_s},
        {"gust_rise", SPEED, &into->gust.rise_m_s},
        {"gust_lasts", TIME, &into->gust.lasts_s},
        {"time", TIME, &into->time_s},
        {"motor_torque", MOMENT, &into->motor_torque_Nm},
        {"full_open", ANGLE, &into->full_open_rad},
        {"openings_per_hour", PURE, &into->duty.openings_per_hour},
    };
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        if (strcmp(name, numbers[i].name) == 0) {
            *of = numbers[i].of;
            return numbers[i].place;
        }
    }
    return NULL;
}

/* False where name is not of the machinery. */
static bool take_machinery(machinery *into, const char *name, words *from)
{
    const struct {
        const char *name;
        void (*take)(machinery *, words *);
    } takers[] = {
        {"gears", take_gears},           {"rack", take_rack},   {"strut", take_strut},
        {"cylinder", take_cylinder},     {"brake", take_brake}, {"torque_at", take_torque_at},
        {"power_lost", take_power_lost},
    };
    for (size_t i = 0; i < sizeof takers / sizeof takers[0]; i++) {
        if (strcmp(name, takers[i].name) == 0) {
            takers[i].take(into, from);
            return true;
        }
    }
    return false;
}

#endif
