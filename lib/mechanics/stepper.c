/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stepper.h"

enum { STAGES = 7 };

static const double nodes[STAGES] = {0, 1.0 / 5, 3.0 / 10, 4.0 / 5, 8.0 / 9, 1, 1};

static const double weights[STAGES][STAGES - 1] = {
    {0},
    {1.0 / 5},
    {3.0 / 40, 9.0 / 40},
    {44.0 / 45, -56.0 / 15, 32.0 / 9},
    {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
    {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
    {35.0 / 384, 0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84},
};

/* Weights of order 5 less those of order 4. */
static const double doubts[STAGES] = {71.0 / 57600,      0,          -71.0 / 16695, 71.0 / 1920,
                                      -17253.0 / 339200, 22.0 / 525, -1.0 / 40};

/* The first parts of a state, from the rates of a count of stages. */
static void combine(const stepper_state *start, const stepper_state *rates, const double *by, int count, double length,
                    int parts, stepper_state *end)
{
    for (int i = 0; i < parts; i++) {
        double sum = 0;
        for (int stage = 0; stage < count; stage++) {
            sum += by[stage] * rates[stage].at[i];
        }
        end->at[i] = start->at[i] + length * sum;
    }
}

stepper_step stepper_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                          const stepper_state *start_rates, double length)
{
    const stepper_state nothing = {{0}};
    stepper_state slopes[STAGES];
    stepper_step step = {.end = *start};
    slopes[0] = *start_rates;
    for (int stage = 1; stage < STAGES; stage++) {
        const int parts = stage + 1 < STAGES ? STEPPER_COUPLED : STEPPER_SIZE;
        combine(start, slopes, weights[stage], stage, length, parts, &step.end);
        slopes[stage] = rates(time + nodes[stage] * length, &step.end, context);
    }
    step.end_rates = slopes[STAGES - 1];
    combine(&nothing, slopes, doubts, STAGES, length, STEPPER_SIZE, &step.error);
    return step;
}
