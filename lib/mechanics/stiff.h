/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Steps for motors across the line, whose curve is so steep that an explicit
 * step would have to be as short as the time in which they catch up.
 *
 * Radau IIA of order 5 for angle and speed (the first two of a state), the
 * rest integrated at its nodes. Source: E. Hairer, G. Wanner, Solving Ordinary
 * Differential Equations II, IV.5 (the method) and IV.8 (its error estimate,
 * of order 3, held against the tolerance to the power 2/3).
 */
#ifndef STIFF_H
#define STIFF_H

#include "stepper.h"

/* How the acceleration changes with angle and speed. */
typedef struct stiff_slopes {
    double by_angle;
    double by_speed;
} stiff_slopes;

/* By differences, at a state whose rates are known. */
stiff_slopes stiff_find_slopes(stepper_rates rates, const void *context, double time, const stepper_state *start,
                               const stepper_state *start_rates);

/* A step; its error is not finite where no solution was found for the length. */
stepper_step stiff_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                        const stepper_state *start_rates, stiff_slopes slopes, double length);

/* The tolerance of the estimate for a tolerance of the step. */
double stiff_tolerance(double tolerance);

#endif
