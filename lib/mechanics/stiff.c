/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stiff.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

enum { ANGLE, SPEED, NODES = 3 };

#define ROOT6 2.4494897427831780982

static const double places[NODES] = {(4 - ROOT6) / 10, (4 + ROOT6) / 10, 1};

static const double weights[NODES][NODES] = {
    {(88 - 7 * ROOT6) / 360, (296 - 169 * ROOT6) / 1800, (-2 + 3 * ROOT6) / 225},
    {(296 + 169 * ROOT6) / 1800, (88 + 7 * ROOT6) / 360, (-2 - 3 * ROOT6) / 225},
    {(16 - ROOT6) / 36, (16 + ROOT6) / 36, 1.0 / 9},
};

/* One over the real eigenvalue of the inverse of the weights, 3 + 3^(2/3) - 3^(1/3). */
static const double real_eigenvalue = 1 / 3.6378342527444957322;

static const double doubts[NODES] = {(-13 - 7 * ROOT6) / 3, (-13 + 7 * ROOT6) / 3, -1.0 / 3};

double stiff_tolerance(double tolerance)
{
    return 0.1 * pow(tolerance, 2.0 / 3);
}

stiff_slopes stiff_find_slopes(stepper_rates rates, const void *context, double time, const stepper_state *start,
                               const stepper_state *start_rates)
{
    const double root = sqrt(DBL_EPSILON);
    const double angle = root * fmax(fabs(start->at[ANGLE]), 1e-3);
    const double speed = root * fmax(fabs(start->at[SPEED]), 1e-6);
    stepper_state turned = *start;
    stepper_state quicker = *start;
    turned.at[ANGLE] += angle;
    quicker.at[SPEED] += speed;
    const double here = start_rates->at[SPEED];
    return (stiff_slopes){.by_angle = (rates(time, &turned, context).at[SPEED] - here) / angle,
                          .by_speed = (rates(time, &quicker, context).at[SPEED] - here) / speed};
}

/* The solution of three equations; the pivots are found as they come. */
static void solve(double matrix[NODES][NODES], double *sides)
{
    for (int column = 0; column < NODES; column++) {
        int pivot = column;
        for (int row = column + 1; row < NODES; row++) {
            pivot = fabs(matrix[row][column]) > fabs(matrix[pivot][column]) ? row : pivot;
        }
        for (int i = 0; i < NODES; i++) {
            const double kept = matrix[column][i];
            matrix[column][i] = matrix[pivot][i];
            matrix[pivot][i] = kept;
        }
        const double side = sides[column];
        sides[column] = sides[pivot];
        sides[pivot] = side;
        for (int row = 0; row < NODES; row++) {
            const double factor = row == column ? 0 : matrix[row][column] / matrix[column][column];
            for (int i = column; i < NODES; i++) {
                matrix[row][i] -= factor * matrix[column][i];
            }
            sides[row] -= factor * sides[column];
        }
    }
    for (int i = 0; i < NODES; i++) {
        sides[i] /= matrix[i][i];
    }
}

/* Angle and speed at the nodes for accelerations there. */
static void place_nodes(const stepper_state *start, double length, const double *accelerations,
                        stepper_state nodes[NODES])
{
    for (int i = 0; i < NODES; i++) {
        nodes[i] = *start;
        for (int j = 0; j < NODES; j++) {
            nodes[i].at[SPEED] += length * weights[i][j] * accelerations[j];
        }
    }
    for (int i = 0; i < NODES; i++) {
        for (int j = 0; j < NODES; j++) {
            nodes[i].at[ANGLE] += length * weights[i][j] * nodes[j].at[SPEED];
        }
    }
}

/* Newton with the slopes of the start on what the accelerations lack. */
static void correct(stiff_slopes slopes, double length, double *lacking)
{
    double matrix[NODES][NODES];
    for (int i = 0; i < NODES; i++) {
        for (int j = 0; j < NODES; j++) {
            double twice = 0;
            for (int k = 0; k < NODES; k++) {
                twice += weights[i][k] * weights[k][j];
            }
            matrix[i][j] =
                (i == j ? 1 : 0) - length * weights[i][j] * slopes.by_speed - length * length * twice * slopes.by_angle;
        }
    }
    solve(matrix, lacking);
}

/* The estimate of order 3, smoothed by the matrix of the method, for angle and speed. */
static void estimate(stepper_step *step, const stepper_state *start, const stepper_state *start_rates,
                     const stepper_state nodes[NODES], stiff_slopes slopes, double length)
{
    double raw[2];
    for (int part = ANGLE; part <= SPEED; part++) {
        raw[part] = length * start_rates->at[part];
        for (int i = 0; i < NODES; i++) {
            raw[part] += doubts[i] * (nodes[i].at[part] - start->at[part]);
        }
        raw[part] *= real_eigenvalue;
    }
    const double h = length * real_eigenvalue;
    const double own = 1 - h * slopes.by_speed;
    const double determinant = own - h * h * slopes.by_angle;
    step->error = (stepper_state){{0}};
    step->error.at[ANGLE] = (own * raw[ANGLE] + h * raw[SPEED]) / determinant;
    step->error.at[SPEED] = (h * slopes.by_angle * raw[ANGLE] + raw[SPEED]) / determinant;
}

stepper_step stiff_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                        const stepper_state *start_rates, stiff_slopes slopes, double length)
{
    enum { ROUNDS = 15 };
    stepper_step step = {.error = {{(double)NAN, (double)NAN}}};
    stepper_state nodes[NODES];
    stepper_state slope[NODES];
    double accelerations[NODES] = {start_rates->at[SPEED], start_rates->at[SPEED], start_rates->at[SPEED]};
    double change = HUGE_VAL;
    double size = 0;
    bool found = false;
    for (int round = 0; round < ROUNDS && !found; round++) {
        double lacking[NODES];
        place_nodes(start, length, accelerations, nodes);
        for (int i = 0; i < NODES; i++) {
            slope[i] = rates(time + places[i] * length, &nodes[i], context);
            lacking[i] = slope[i].at[SPEED] - accelerations[i];
        }
        correct(slopes, length, lacking);
        change = 0;
        size = 0;
        for (int i = 0; i < NODES; i++) {
            accelerations[i] += lacking[i];
            change = fmax(change, fabs(lacking[i]));
            size = fmax(size, fabs(accelerations[i]));
        }
        found = length * change <= 1e-14 * (fabs(start->at[SPEED]) + length * size);
    }
    if (!found) {
        return step;
    }
    place_nodes(start, length, accelerations, nodes);
    step.end = nodes[NODES - 1];
    for (int part = SPEED + 1; part < STEPPER_SIZE; part++) {
        for (int i = 0; i < NODES; i++) {
            step.end.at[part] += length * weights[NODES - 1][i] * slope[i].at[part];
        }
    }
    step.end_rates = rates(time + length, &step.end, context);
    estimate(&step, start, start_rates, nodes, slopes, length);
    return step;
}
