/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files that work an angle by hand share. */
#ifndef WORK_H
#define WORK_H

#include "worked.h"

/* A number with its unit. */
typedef struct number {
    char text[DISPLAY_TEXT + 16];
} number;

number show(const worked *made, quantity what, double value);

/* What all steps of one angle need. */
typedef struct scene {
    worked *made;
    const trn_loading *loading;
    double angle_rad;
    trn_rotation rotation;
    trn_moments moments;
} scene;

/* The steps of the wind: pressure, each surface, and the sums for both directions. */
void work_wind(const scene *at);

#endif
