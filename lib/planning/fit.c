/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/fit.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>
#include <math.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdbool.h>
#include <string.h>

/* Below this the columns of a balanced design are one and the same but for rounding. */
static const double least_condition = 1e-12;

/* Outliers in number make the weights settle slowly; what has not settled by then swings for ever. */
enum { ROUNDS_MAX = 500 };

/* Of the bisquare at 4.685 beside least squares, where the scatter is normal. */
static const double bisquare_efficiency = 0.95;

/* GSL's error handler belongs to the whole process: one call at a time changes it. */
static pthread_mutex_t handler_lock = PTHREAD_MUTEX_INITIALIZER;

/* Where a call of this thread goes when GSL gets no memory. */
static _Thread_local jmp_buf *way_out;

/*
 * GSL's decompositions go on without the memory that they did not get, and crash: leave them here. A vector whose block
 * was refused is told of twice; the second time its head is given back.
 */
static void leave_without_memory(const char *reason, const char *file, int line, int number)
{
    (void)file;
    (void)line;
    const bool first_of_two = strstr(reason, "block struct") || strstr(reason, "block data");
    if (number == GSL_ENOMEM && way_out && !first_of_two) {
        longjmp(*way_out, 1);
    }
}

/* A problem as GSL sees it, and the places for its answer. */
typedef struct solver {
    const trn_fit_problem *problem;
    gsl_matrix_const_view design;
    gsl_vector_const_view values;
    gsl_vector *coefficients;
    gsl_matrix *covariance;
    gsl_multifit_linear_workspace *linear;
    gsl_multifit_robust_workspace *robust;
} solver;

static trn_status fail(trn_error *error, int reason)
{
    if (reason == GSL_ENOMEM) {
        return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
    }
    return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the fit fails: %s",
                         reason == GSL_EMAXITER ? "its weights do not settle" : gsl_strerror(reason));
}

static trn_status check(const trn_fit_problem *problem, trn_error *error)
{
    const size_t p = problem->coefficient_count;
    if (p == 0 || p > TRN_FIT_COEFFICIENTS_MAX || (problem->robust && problem->weights)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "1 to %d coefficients can be fitted, weights by squares alone",
                             TRN_FIT_COEFFICIENTS_MAX);
    }
    if (problem->value_count <= p) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "%zu values are too few for %zu coefficients",
                             problem->value_count, p);
    }
    return TRN_OK;
}

static solver open_solver(const trn_fit_problem *problem)
{
    const size_t n = problem->value_count;
    const size_t p = problem->coefficient_count;
    return (solver){
        .problem = problem,
        .design = gsl_matrix_const_view_array(problem->design, n, p),
        .values = gsl_vector_const_view_array(problem->values, n),
        .coefficients = gsl_vector_alloc(p),
        .covariance = gsl_matrix_alloc(p, p),
        .linear = gsl_multifit_linear_alloc(n, p),
        .robust = problem->robust ? gsl_multifit_robust_alloc(gsl_multifit_robust_bisquare, n, p) : NULL,
    };
}

static bool is_open(const solver *with)
{
    return with->coefficients && with->covariance && with->linear && (with->robust || !with->problem->robust);
}

static void close_solver(solver *with)
{
    gsl_vector_free(with->coefficients);
    gsl_matrix_free(with->covariance);
    if (with->linear) {
        gsl_multifit_linear_free(with->linear);
    }
    if (with->robust) {
        gsl_multifit_robust_free(with->robust);
    }
}

static trn_status check_condition(solver *with, trn_error *error)
{
    /* Of a design that fits its workspace GSL refuses nothing; what is no number has no condition either. */
    (void)gsl_multifit_linear_bsvd(&with->design.matrix, with->linear);
    if (!(gsl_multifit_linear_rcond(with->linear) >= least_condition)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the coefficients cannot be told apart");
    }
    return TRN_OK;
}

static int solve_ordinary(solver *with, trn_fit *fit, double *weights_out)
{
    const trn_fit_problem *problem = with->problem;
    size_t weighted = problem->value_count;
    int reason;
    if (problem->weights) {
        const gsl_vector_const_view weights = gsl_vector_const_view_array(problem->weights, problem->value_count);
        reason = gsl_multifit_wlinear(&with->design.matrix, &weights.vector, &with->values.vector, with->coefficients,
                                      with->covariance, &fit->sum_squares, with->linear);
        for (size_t i = 0; i < problem->value_count; i++) {
            weighted -= problem->weights[i] > 0 ? 0 : 1;
        }
    } else {
        reason = gsl_multifit_linear(&with->design.matrix, &with->values.vector, with->coefficients, with->covariance,
                                     &fit->sum_squares, with->linear);
    }
    if (weighted <= problem->coefficient_count) {
        return GSL_ESING;
    }
    const double variance = fit->sum_squares / (double)(weighted - problem->coefficient_count);
    /* GSL takes given weights for known variances, ours are relative ones. */
    gsl_matrix_scale(with->covariance, problem->weights ? variance : 1);
    fit->residual_sd = sqrt(variance);
    fit->weightless = problem->value_count - weighted;
    for (size_t i = 0; weights_out && i < problem->value_count; i++) {
        weights_out[i] = problem->weights ? problem->weights[i] : 1;
    }
    return reason;
}

static int solve_robust(solver *with, trn_fit *fit, double *weights_out)
{
    gsl_multifit_robust_maxiter(ROUNDS_MAX, with->robust);
    const int reason = gsl_multifit_robust(&with->design.matrix, &with->values.vector, with->coefficients,
                                           with->covariance, with->robust);
    if (reason != GSL_SUCCESS) {
        return reason;
    }
    const gsl_multifit_robust_stats stats = gsl_multifit_robust_statistics(with->robust);
    /*
     * GSL's own covariance mixes the scatter of the ordinary fit in, which a few
     * outliers blow up: scaled back to the robust scatter alone. That one is
     * larger than the standard deviation by the efficiency of the bisquare.
     */
    const double share = stats.sigma > 0 ? stats.sigma_rob / stats.sigma : 1;
    gsl_matrix_scale(with->covariance, share * share);
    fit->residual_sd = stats.sigma_rob * sqrt(bisquare_efficiency);
    for (size_t i = 0; i < with->problem->value_count; i++) {
        const double weight = gsl_vector_get(stats.weights, i);
        const double residual = gsl_vector_get(stats.r, i);
        fit->sum_squares += weight * residual * residual;
        fit->weightless += weight > 0 ? 0 : 1;
        if (weights_out) {
            weights_out[i] = weight;
        }
    }
    return reason;
}

static trn_status solve(solver *with, trn_fit *fit, double *weights_out, trn_error *error)
{
    const size_t p = with->problem->coefficient_count;
    const trn_status status = check_condition(with, error);
    if (status != TRN_OK) {
        return status;
    }
    trn_fit found = {.residual_sd = 0};
    const int reason =
        with->problem->robust ? solve_robust(with, &found, weights_out) : solve_ordinary(with, &found, weights_out);
    if (reason != GSL_SUCCESS) {
        return fail(error, reason);
    }
    for (size_t i = 0; i < p; i++) {
        found.coefficients[i] = gsl_vector_get(with->coefficients, i);
        for (size_t k = 0; k < p; k++) {
            found.covariance[i][k] = gsl_matrix_get(with->covariance, i, k);
        }
    }
    *fit = found;
    return TRN_OK;
}

static trn_status solve_or_leave(solver *with, trn_fit *fit, double *weights_out, trn_error *error)
{
    jmp_buf back;
    trn_status status;
    if (setjmp(back) == 0) {
        way_out = &back;
        gsl_set_error_handler(leave_without_memory);
        status = solve(with, fit, weights_out, error);
    } else {
        status = fail(error, GSL_ENOMEM);
    }
    way_out = NULL;
    return status;
}

trn_status trn_fit_linear(const trn_fit_problem *problem, trn_fit *fit, double *weights_out, trn_error *error)
{
    trn_status status = check(problem, error);
    if (status != TRN_OK) {
        return status;
    }
    pthread_mutex_lock(&handler_lock);
    gsl_error_handler_t *before = gsl_set_error_handler_off();
    solver with = open_solver(problem);
    status = is_open(&with) ? solve_or_leave(&with, fit, weights_out, error) : fail(error, GSL_ENOMEM);
    close_solver(&with);
    gsl_set_error_handler(before);
    pthread_mutex_unlock(&handler_lock);
    return status;
}
