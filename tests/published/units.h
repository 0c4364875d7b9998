/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file units.h
 * The units that published checks are written in, from their definitions and
 * not from UDUNITS, so that the checks of the reader have a second opinion.
 */
#ifndef TRN_PUBLISHED_UNITS_H
#define TRN_PUBLISHED_UNITS_H

#include <stddef.h>
#include <string.h>

/* Exact by definition (NIST SP 811, B.8 and footnotes). */
#define INCH 0.0254
#define FOOT (12 * INCH)
#define POUND 0.45359237
#define GRAVITY 9.80665
#define POUND_FORCE (POUND * GRAVITY)
#define PI 3.14159265358979323846

typedef enum dimension {
    PURE,
    LENGTH,
    ANGLE,
    TIME,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    WEIGHT_PER_VOLUME,
    PRESSURE,
    SPEED,
    DENSITY,
    MOMENT,
    AREA,
    POLAR_SECOND_MOMENT,
    INERTIA,
    POWER,
    ANGULAR_SPEED,
    ENERGY
} dimension;

typedef struct unit {
    const char *name;
    dimension of;
    double si;
} unit;

/* A mass stands for its weight wherever a weight is asked. */
static const unit units[] = {
    {"1", PURE, 1},
    {"%", PURE, 0.01},
    {"m", LENGTH, 1},
    {"cm", LENGTH, 0.01},
    {"mm", LENGTH, 0.001},
    {"ft", LENGTH, FOOT},
    {"in", LENGTH, INCH},
    {"rad", ANGLE, 1},
    {"deg", ANGLE, PI / 180},
    {"rev", ANGLE, 2 * PI},
    {"s", TIME, 1},
    {"min", TIME, 60},
    {"N", WEIGHT, 1},
    {"kN", WEIGHT, 1e3},
    {"lbf", WEIGHT, POUND_FORCE},
    {"kip", WEIGHT, 1e3 * POUND_FORCE},
    {"g", WEIGHT, GRAVITY / 1e3},
    {"kg", WEIGHT, GRAVITY},
    {"N/m", WEIGHT_PER_LENGTH, 1},
    {"kN/m", WEIGHT_PER_LENGTH, 1e3},
    {"N/m3", WEIGHT_PER_VOLUME, 1},
    {"kN/m3", WEIGHT_PER_VOLUME, 1e3},
    {"kg/m3", WEIGHT_PER_VOLUME, GRAVITY},
    {"lbf/ft3", WEIGHT_PER_VOLUME, POUND_FORCE / (FOOT * FOOT * FOOT)},
    {"Pa", PRESSURE, 1},
    {"kPa", PRESSURE, 1e3},
    {"MPa", PRESSURE, 1e6},
    {"lbf/ft2", PRESSURE, POUND_FORCE / (FOOT * FOOT)},
    {"m/s", SPEED, 1},
    {"km/h", SPEED, 1 / 3.6},
    {"mi/h", SPEED, 5280 * FOOT / 3600},
    {"ft/s", SPEED, FOOT},
    {"kg/m3", DENSITY, 1},
    {"slug/ft3", DENSITY, POUND_FORCE / (FOOT * FOOT * FOOT * FOOT)},
    {"N.m", MOMENT, 1},
    {"kN.m", MOMENT, 1e3},
    {"lbf.ft", MOMENT, POUND_FORCE * FOOT},
    {"lbf.in", MOMENT, POUND_FORCE * INCH},
    {"kip.ft", MOMENT, 1e3 * POUND_FORCE * FOOT},
    {"m2", AREA, 1},
    {"mm2", AREA, 1e-6},
    {"m4", POLAR_SECOND_MOMENT, 1},
    {"kg.m2", INERTIA, 1},
    {"W", POWER, 1},
    {"kW", POWER, 1e3},
    {"hp", POWER, 550 * FOOT * POUND_FORCE},
    {"J", ENERGY, 1},
    {"kJ", ENERGY, 1e3},
    {"MPa", PRESSURE, 1e6},
    {"rad/s", ANGULAR_SPEED, 1},
    {"rev/s", ANGULAR_SPEED, 2 * PI},
    {"rev/min", ANGULAR_SPEED, PI / 30},
};

/* NULL where there is no such unit of that dimension. */
static const unit *find_unit(const char *name, dimension of)
{
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (units[i].of == of && strcmp(units[i].name, name) == 0)
            return &units[i];
    return NULL;
}

#endif
