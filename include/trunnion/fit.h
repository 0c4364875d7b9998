/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file fit.h
 * Linear least squares, ordinary and robust: what a balance test is fitted by.
 */
#ifndef TRN_FIT_H
#define TRN_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The most coefficients that a fit has. */
#define TRN_FIT_COEFFICIENTS_MAX 8

/** A linear model: values = design times coefficients, and what is left. */
typedef struct trn_fit_problem {
    const double *design; /**< value_count rows of coefficient_count numbers, one row after the other */
    const double *values; /**< value_count of them */
    size_t value_count;       /**< more than there are coefficients */
    size_t coefficient_count; /**< 1 to TRN_FIT_COEFFICIENTS_MAX */
    const double *weights;    /**< of the squares, 0 or more; NULL: all alike. Ordinary fits alone */
    bool robust;              /**< Tukey's bisquare in place of squares */
} trn_fit_problem;

/** What came of a fit. */
typedef struct trn_fit {
    double coefficients[TRN_FIT_COEFFICIENTS_MAX]; /**< as many as the problem has */
    double covariance[TRN_FIT_COEFFICIENTS_MAX][TRN_FIT_COEFFICIENTS_MAX]; /**< of the coefficients */
    double residual_sd; /**< standard deviation of the scatter: by n - p, or from the robust scatter */
    double sum_squares; /**< of the residuals, weighted by the final weights */
    size_t weightless;  /**< values that have no weight in the end */
} trn_fit;

/**
 * Fit by singular values of the balanced design (GSL, gsl_multifit_linear), or
 * by iterated weights (gsl_multifit_robust): Tukey's bisquare at 4.685 times
 * the scatter, estimated by the median of the residuals, each corrected for
 * its leverage; 95 per cent as sharp as least squares where the scatter is
 * normal. Covariance of the robust fit: the robust scatter of Street, Carroll
 * and Ruppert 1988, squared, times (X'X)^-1.
 *
 * weights_out, where not NULL, gets the final weight of each value, 0 to 1 in a
 * robust fit.
 *
 * Fails with TRN_OUT_OF_DOMAIN where the columns of the design depend on each
 * other (reciprocal condition below 1e-12 of the balanced design), where there
 * are not more values than coefficients, or where the weights do not settle;
 * with TRN_NO_MEMORY. GSL's error handler, which the process shares, is
 * replaced within the call and put back: calls wait for each other.
 */
trn_status trn_fit_linear(const trn_fit_problem *problem, trn_fit *fit, double *weights_out, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
