/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Results in the units of the description, with digits that suit its size. */
#ifndef PRESENT_DISPLAY_H
#define PRESENT_DISPLAY_H

#include "trunnion/leaf.h"

typedef enum quantity {
    QUANTITY_LENGTH,
    QUANTITY_FORCE,
    QUANTITY_MOMENT,
    QUANTITY_TORQUE, /* at a motor */
    QUANTITY_MASS,
    QUANTITY_INERTIA,
    QUANTITY_ANGLE,
    QUANTITY_PRESSURE,
    QUANTITY_AREA,
    QUANTITY_RATIO, /* a pure number */
    QUANTITY_SHARE, /* a pure number, in per cent */
    QUANTITY_OIL_PRESSURE,
    QUANTITY_POWER,
    QUANTITY_WIND_SPEED,
    QUANTITY_TIME,
    QUANTITY_HEAT,
    QUANTITY_ACCELERATION, /* angular */
    QUANTITY_ANGULAR_SPEED,
    QUANTITY_TOE_SPEED,
    QUANTITY_WORK,
    QUANTITY_WARMING, /* a difference of temperature */
    QUANTITY_COUNT
} quantity;

/* How each quantity is shown: SI value times factor, with so many decimals. */
typedef struct display {
    struct {
        const char *unit;
        double factor;
        int decimals;
    } of[QUANTITY_COUNT];
} display;

/* The way a leaf's results are shown. The decimals depend on the leaf alone,
   so that one number looks the same in every table. */
display display_for(const trn_leaf *leaf);

/* What a heading says of a leaf without a trunnion; empty for the others. */
const char *display_friction_note(const trn_leaf *leaf);

/* Room for any number that display_text writes. */
#define DISPLAY_TEXT 40

/* The SI value as shown, without its unit; no minus sign stands before a zero. */
const char *display_text(const display *shown, quantity what, double value, char text[DISPLAY_TEXT]);

#endif
