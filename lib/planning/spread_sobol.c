/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which inputs matter: Sobol's indices of each case's governing quantity. A
 * thread takes a batch of the sample at a time and has its sums to itself, so
 * that their order is always the same.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sample_parts.h"
#include "spread_parts.h"

/* Blocks in a batch: 32768 samples in all, fewer where there are many variables. */
enum { BLOCKS_MOST = 8, VARIABLES_FREE = 64 };

/* The sum and the sum of squares of a case's quantity in one batch, less its value at the expectations. */
struct run_scatter {
    double sum;
    double squares;
};

static size_t blocks_for(size_t variables)
{
    const double share = pow((double)VARIABLES_FREE / (double)variables, 2);
    return (size_t)fmax(BLOCKS_MOST * fmin(share, 1), 1);
}

/* Values of all inputs in both samples, and of the quantity of all cases. */
typedef struct matrices {
    double *memory;
    const double **a;
    const double **b;
    const double **mixed;
    double *sums[BODIES][SUMS]; /* of the bodies in sample A */
    double *f_a;                /* BLOCK a case */
    double *f_b;
    double f_mixed[BLOCK];
} matrices;

static bool make(const trn_spread *run, matrices *made)
{
    const size_t inputs = run->model.input_count;
    const size_t cases = run->settings.case_count;
    made->memory = malloc((2 * inputs + 2 * cases + (size_t)BODIES * SUMS) * BLOCK * sizeof *made->memory);
    made->a = malloc((3 * inputs + 1) * sizeof *made->a);
    if (made->memory == NULL || made->a == NULL) {
        return false;
    }
    made->b = made->a + inputs;
    made->mixed = made->b + inputs;
    made->f_a = made->memory + 2 * inputs * BLOCK;
    made->f_b = made->f_a + cases * BLOCK;
    double *rest = made->f_b + cases * BLOCK;
    for (int body = 0; body < BODIES; body++) {
        for (int sum = 0; sum < SUMS; sum++, rest += BLOCK) {
            made->sums[body][sum] = rest;
        }
    }
    return true;
}

static void draw(const trn_spread *run, size_t block, matrices *of)
{
    const spread_model *model = &run->model;
    for (uint32_t matrix = 0; matrix < 2; matrix++) {
        const trn_stream stream = {run->settings.seed, STREAM_SOBOL_A + matrix};
        sample_drawn drawn = {.any = false};
        for (size_t i = 0; i < model->input_count; i++) {
            double *into = of->memory + (2 * i + matrix) * BLOCK;
            sample_input(&model->inputs[i], stream, block * (uint64_t)BLOCK, BLOCK, &drawn, into);
            (matrix == 0 ? of->a : of->b)[i] = into;
        }
    }
}

/* Values of the inputs that frames ask for; what only the bodies' sums need is in these already. */
static void set_value(run_space *space, size_t input, const double *values)
{
    if (space->whole[input]) {
        memcpy(space->values[input], values, BLOCK * sizeof *values);
    }
}

/* Sum up the bodies of a block whose inputs' values are given. */
static void weigh(const trn_spread *run, run_space *space, const double *const *values)
{
    for (size_t i = 0; i < run->model.input_count; i++) {
        set_value(space, i, values[i]);
    }
    space_sum(&run->model, space, values, 0, BLOCK);
}

/* The bodies' sums of sample A, kept and brought back. */
static void copy_sums(const trn_spread *run, const run_space *space, const matrices *of, bool back)
{
    for (int body = 0; body < (run->model.has_counterweight ? BODIES : 1); body++) {
        const spread_bodies *at = &space->bodies;
        double *const sums[SUMS] = {at->a[body], at->b[body], at->w[body], at->j[body]};
        for (int sum = 0; sum < SUMS; sum++) {
            memcpy(back ? sums[sum] : of->sums[body][sum], back ? of->sums[body][sum] : sums[sum],
                   BLOCK * sizeof **sums);
        }
    }
}

static void do_base(trn_spread *run, run_space *space, size_t batch, matrices *of)
{
    const double *const *samples[] = {of->a, of->b};
    for (int matrix = 0; matrix < 2; matrix++) {
        weigh(run, space, samples[matrix]);
        if (matrix == 0) {
            copy_sums(run, space, of, false);
        }
        for (size_t c = 0; c < run->settings.case_count; c++) {
            double *f = (matrix == 0 ? of->f_a : of->f_b) + c * BLOCK;
            struct run_scatter *into = &run->scatter[c * TRN_SOBOL_BATCHES + batch];
            run_governing(run, c, space, BLOCK, f);
            for (size_t k = 0; k < BLOCK; k++) {
                f[k] -= run->cases[c].governing_value;
                into->sum += f[k];
                into->squares += f[k] * f[k];
            }
        }
    }
}

/* Sample A with a variable of sample B: in the sums its sources change places, so that the work does not grow with all
 * the others there are. */
static void mix(const trn_spread *run, run_space *space, size_t variable, matrices *of)
{
    const run_links *links = run->links;
    copy_sums(run, space, of, true);
    for (size_t k = links->sources_from[variable]; k < links->sources_from[variable + 1]; k++) {
        spread_take_source(&run->model, links->sources[k], of->mixed, 0, BLOCK, &space->bodies);
    }
    for (size_t k = links->inputs_from[variable]; k < links->inputs_from[variable + 1]; k++) {
        const size_t input = links->inputs[k];
        of->mixed[input] = of->b[input];
        set_value(space, input, of->b[input]);
    }
    for (size_t k = links->sources_from[variable]; k < links->sources_from[variable + 1]; k++) {
        spread_add_source(&run->model, links->sources[k], of->mixed, 0, BLOCK, &space->bodies);
    }
}

/* All of sample A again, but for the sums. */
static void unmix(const trn_spread *run, run_space *space, size_t variable, matrices *of)
{
    for (size_t k = run->links->inputs_from[variable]; k < run->links->inputs_from[variable + 1]; k++) {
        const size_t input = run->links->inputs[k];
        of->mixed[input] = of->a[input];
        set_value(space, input, of->a[input]);
    }
}

static void do_variable(trn_spread *run, run_space *space, size_t batch, size_t variable, matrices *of)
{
    mix(run, space, variable, of);
    for (size_t c = 0; c < run->settings.case_count; c++) {
        run_governing(run, c, space, BLOCK, of->f_mixed);
        for (size_t k = 0; k < BLOCK; k++) {
            of->f_mixed[k] -= run->cases[c].governing_value;
        }
        trn_sobol_add(&run->sobol[c * run->model.variable_count + variable], batch, of->f_a + c * BLOCK,
                      of->f_b + c * BLOCK, of->f_mixed, BLOCK);
    }
    unmix(run, space, variable, of);
}

static void do_block(trn_spread *run, run_space *space, size_t batch, size_t block, matrices *of)
{
    draw(run, batch * run->sobol_blocks + block, of);
    do_base(run, space, batch, of);
    for (size_t i = 0; i < run->model.input_count; i++) {
        of->mixed[i] = of->a[i];
        set_value(space, i, of->a[i]);
    }
    for (size_t v = 0; v < run->model.variable_count; v++) {
        do_variable(run, space, batch, v, of);
    }
}

static void do_batches(trn_spread *run, run_space *space)
{
    matrices of = {0};
    if (!make(run, &of)) {
        (void)pthread_mutex_lock(&run->lock);
        run->status = TRN_NO_MEMORY;
        (void)pthread_mutex_unlock(&run->lock);
    } else {
        for (size_t batch; (batch = run_next_item(run, TRN_SOBOL_BATCHES)) < TRN_SOBOL_BATCHES;) {
            for (size_t block = 0; block < run->sobol_blocks; block++) {
                do_block(run, space, batch, block, &of);
            }
        }
    }
    free(of.memory);
    free(of.a);
}

/* The variance of a case's quantity over both samples. */
static double variance_of(const trn_spread *run, size_t c)
{
    const double n = 2.0 * TRN_SOBOL_BATCHES * (double)(run->sobol_blocks * BLOCK);
    double mean = 0;
    double square = 0;
    for (size_t batch = 0; batch < TRN_SOBOL_BATCHES; batch++) {
        mean += run->scatter[c * TRN_SOBOL_BATCHES + batch].sum / n;
        square += run->scatter[c * TRN_SOBOL_BATCHES + batch].squares / n;
    }
    /* What is left of rounding where nothing of the case is uncertain. */
    const double rounding = 1e-24 * run->cases[c].governing_value * run->cases[c].governing_value;
    return square - mean * mean > rounding ? square - mean * mean : 0;
}

static void conclude(trn_spread *run)
{
    const size_t variables = run->model.variable_count;
    for (size_t c = 0; c < run->settings.case_count; c++) {
        const double variance = variance_of(run, c);
        for (size_t v = 0; v < variables; v++) {
            run->effects[c * variables + v].sobol =
                trn_sobol_index_of(&run->sobol[c * variables + v], run->sobol_blocks * BLOCK, variance);
        }
    }
}

trn_status run_sobol(trn_spread *run)
{
    const size_t cases = run->settings.case_count;
    run->sobol_blocks = blocks_for(run->model.variable_count);
    run->result.sobol_samples = TRN_SOBOL_BATCHES * run->sobol_blocks * BLOCK;
    run->sobol = spread_model_take(&run->model, cases * run->model.variable_count, sizeof *run->sobol);
    run->scatter = spread_model_take(&run->model, cases * TRN_SOBOL_BATCHES, sizeof *run->scatter);
    if (run->sobol == NULL || run->scatter == NULL) {
        return TRN_NO_MEMORY;
    }
    const trn_status status = run_in_threads(run, do_batches);
    if (status == TRN_OK) {
        conclude(run);
    }
    return status;
}
