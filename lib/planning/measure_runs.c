/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The runs test: do the signs of the residuals change as often as chance would have it? */
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <stdlib.h>

#include "measure_parts.h"

static double log_choices(size_t of, size_t taken)
{
    return gsl_sf_lnfact((unsigned)of) - gsl_sf_lnfact((unsigned)taken) - gsl_sf_lnfact((unsigned)(of - taken));
}

/* Ways to cut plus and minus into so many pieces each; 0 where there are none. */
static double share(size_t plus, size_t plus_pieces, size_t minus, size_t minus_pieces, double log_all)
{
    if (plus_pieces > plus || minus_pieces > minus || plus_pieces == 0 || minus_pieces == 0) {
        return 0;
    }
    return exp(log_choices(plus - 1, plus_pieces - 1) + log_choices(minus - 1, minus_pieces - 1) - log_all);
}

static double probability_of(size_t runs, size_t plus, size_t minus, double log_all)
{
    const size_t half = runs / 2;
    if (runs % 2 == 0) {
        return 2 * share(plus, half, minus, half, log_all);
    }
    return share(plus, half + 1, minus, half, log_all) + share(plus, half, minus, half + 1, log_all);
}

/* Wald and Wolfowitz 1940: all orders of the signs are alike. Exact, as the numbers of readings may be small. */
double msr_runs_probability(size_t runs, size_t plus, size_t minus)
{
    if (plus == 0 || minus == 0) {
        return 1;
    }
    const double log_all = log_choices(plus + minus, plus);
    double fewer = 0;
    for (size_t i = 2; i < runs; i++) {
        fewer += probability_of(i, plus, minus, log_all);
    }
    const double as_many = probability_of(runs, plus, minus, log_all);
    return fmin(1, 2 * fmin(fewer + as_many, 1 - fewer));
}

/* A reading in an order of its own. */
typedef struct placed {
    const trn_measured_reading *reading;
} placed;

static int by_group_and_angle(const void *a, const void *b)
{
    const trn_measured_reading *left = ((const placed *)a)->reading;
    const trn_measured_reading *right = ((const placed *)b)->reading;
    if (left->run != right->run) {
        return left->run < right->run ? -1 : 1;
    }
    if (left->direction != right->direction) {
        return left->direction < right->direction ? -1 : 1;
    }
    if (left->angle_rad < right->angle_rad || left->angle_rad > right->angle_rad) {
        return left->angle_rad < right->angle_rad ? -1 : 1;
    }
    return (left->line > right->line) - (left->line < right->line);
}

/* Signs of residuals one after the other. */
typedef struct signs {
    size_t plus;
    size_t minus;
    size_t runs;
    int last;
} signs;

static void add_sign(signs *to, double residual)
{
    const int sign = (residual > 0) - (residual < 0);
    if (sign == 0) {
        return;
    }
    to->plus += sign > 0;
    to->minus += sign < 0;
    to->runs += sign != to->last;
    to->last = sign;
}

static void judge_group(const signs *of, const trn_measured_reading *at, msr_pattern *found)
{
    const double probability = msr_runs_probability(of->runs, of->plus, of->minus);
    found->groups++;
    found->patterned += probability < 0.01;
    if (probability < found->probability) {
        found->probability = probability;
        found->at = at;
    }
}

trn_status msr_find_pattern(const msr_work *work, msr_pattern *found, trn_error *error)
{
    placed *order = malloc(work->count * sizeof *order);
    if (!order) {
        return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
    }
    size_t count = 0;
    for (size_t i = 0; i < work->count; i++) {
        if (msr_reading(work, &work->rows[i])->use == TRN_READING_USED) {
            order[count++].reading = msr_reading(work, &work->rows[i]);
        }
    }
    qsort(order, count, sizeof *order, by_group_and_angle);
    *found = (msr_pattern){.probability = 1};
    signs of = {0};
    for (size_t i = 0; i < count; i++) {
        add_sign(&of, order[i].reading->residual_Nm);
        const bool last = i + 1 == count || order[i + 1].reading->run != order[i].reading->run ||
                          order[i + 1].reading->direction != order[i].reading->direction;
        if (last) {
            judge_group(&of, order[i].reading, found);
            of = (signs){0};
        }
    }
    free(order);
    return TRN_OK;
}
