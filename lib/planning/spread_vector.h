/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The loops over samples.
 */
#ifndef SPREAD_VECTOR_H
#define SPREAD_VECTOR_H

#include "spread_model.h"

/* What one source adds to the sums of its body; NULL for what is certain of it. */
typedef struct source_values {
    const double *weight; /* factor */
    const double *x;      /* shifts */
    const double *y;
} source_values;

void vector_fill(double *into, size_t n, double value);

/* into += by * values + or values^2 and the like, one line each. */
void vector_multiply(double *into, const double *by, size_t n);
void vector_add_scaled(double *into, const double *values, double by, size_t n);
void vector_add_product(double *into, const double *a, const double *b, size_t n);
void vector_scale(double *into, const double *values, double by, size_t n);
void vector_inverse(double *into, const double *values, size_t n);

/* The sums of a body, each n long, with a source of it added. */
typedef struct body_sums {
    double *a;
    double *b;
    double *w;
    double *j;
} body_sums;

void vector_add_source(const spread_source *source, const double *weight, const body_sums *sums, size_t n);
void vector_add_moved(const spread_source *source, const source_values *values, const body_sums *sums, size_t n);

/* Demands: in still air without joints, in wind without joints, and with joints. */
void vector_still(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n, double *demands);
void vector_windy(const spread_basis *basis, const spread_columns *columns, size_t groups, size_t from, size_t n,
                  double *demands);
void vector_jointed(const spread_basis *basis, const spread_columns *columns, size_t groups, size_t from, size_t n,
                    double *demands);

/* Uses, and peaks raised to them. */
void vector_uses(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n, const double *demands,
                 double *uses);
void vector_raise(double *peaks, const double *values, size_t n);

/* What is to be held, |net| less the share of friction that helps, raised into peaks; opening and closing are the
   demands with friction against either. */
void vector_held(const double *net, const double *opening, const double *closing, double credit, size_t n,
                 double *peaks);

#endif
