/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Steps of the Runge-Kutta pair of Dormand and Prince, order 5 with an error
 * estimate of order 4. Source: J. R. Dormand, P. J. Prince, J. Comp. Appl.
 * Math. 6 (1980) 19-26; Hairer, Norsett, Wanner, Solving Ordinary Differential
 * Equations I, table II.5.2.
 */
#ifndef STEPPER_H
#define STEPPER_H

/* Rates follow from the time and the first two of a state, angle and speed; the rest is integrated beside them. */
enum { STEPPER_COUPLED = 2, STEPPER_SIZE = 10 };

typedef struct stepper_state {
    double at[STEPPER_SIZE];
} stepper_state;

/* The rates of a state at a time. */
typedef stepper_state (*stepper_rates)(double time, const stepper_state *state, const void *context);

typedef struct stepper_step {
    stepper_state end;
    stepper_state end_rates;
    stepper_state error; /* of order 4 less order 5 */
} stepper_step;

/* A step from a time and a state whose rates are known. */
stepper_step stepper_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                          const stepper_state *start_rates, double length);

#endif
