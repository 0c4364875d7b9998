/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Angles as people give them: in degrees, at even steps. */
#ifndef ANGLES_H
#define ANGLES_H

#include <stddef.h>

#include "exit_status.h"

#define STEP_LEAST_DEG 0.001
#define STEP_MOST_DEG 360.0

/* Read the angle of an option; a sentence is printed where it is none or lies outside the range. */
exit_status angle_option(const char *option, const char *text, double least_deg, double most_deg, double *angle_deg);

/* Radians of degrees, and back: a round number of degrees comes back round. */
double radians_of(double angle_deg);
double degrees_of(double angle_rad);

/* Angles from 0 to opens_to at even steps, the last one at opens_to itself. */
typedef struct angle_list {
    double *degrees;
    double *radians;
    size_t count;
} angle_list;

/* On EXIT_DONE the list must be freed. */
exit_status angle_list_make(double opens_to_rad, double step_deg, angle_list *list);
void angle_list_free(angle_list *list);

#endif
