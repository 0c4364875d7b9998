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
    trn_drive_state drive;
} scene;

/* A cos - B sin of a body, with numbers. */
void work_turned(const scene *at, const char *term, const char *formula, trn_body body, double moment_Nm);

/* The steps of the wind: pressure, each surface, and the sums for both directions. */
void work_wind(const scene *at);

/* work_linked.c: what a linked counterweight adds to the balance, and the force in its link. */
void work_linked_share(const scene *at);
void work_link_forces(const scene *at, trn_direction direction);

/* work_trunnion.c: reaction and friction. */
void work_trunnion(const scene *at);

/* work_machinery.c: the drive's arm and ratio, the motors or cylinders, the brakes, the wind that they bear. */
void work_drive_state(const scene *at);
void work_motor(const scene *at);
void work_brakes(const scene *at);
void work_wind_limits(const scene *at);

#endif
