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

/* Blocks in a batch: 32768 samples in all, fewer where there are many variables, since the work grows as their square.
 */
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
    double *f_a; /* BLOCK a case */
    double *f_b;
    double f_mixed[BLOCK];
} matrices;

static bool make(const trn_spread *run, matrices *made)
{
    const size_t inputs = run->model.input_count;
    const size_t cases = run->settings.case_count;
    made->memory = malloc((2 * inputs + 2 * cases) * BLOCK * sizeof *made->memory);
    made->a = malloc((3 * inputs + 1) * sizeof *made->a);
    if (made->memory == NULL || made->a == NULL) {
        return false;
    }
    made->b = made->a + inputs;
    made->mixed = made->b + inputs;
    made->f_a = made->memory + 2 * inputs * BLOCK;
    made->f_b = made->f_a + cases * BLOCK;
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

/* Sum up the bodies of a block whose inputs' values are given. */
static void weigh(const trn_spread *run, run_space *space, const double *const *values)
{
    for (size_t i = 0; i < run->model.input_count; i++) {
        memcpy(space->values[i], values[i], BLOCK * sizeof *space->values[i]);
    }
    space_sum(&run->model, space, values, 0, BLOCK);
}

static void do_base(trn_spread *run, run_space *space, size_t batch, matrices *of)
{
    const double *const *samples[] = {of->a, of->b};
    for (int matrix = 0; matrix < 2; matrix++) {
        weigh(run, space, samples[matrix]);
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

static void do_variable(trn_spread *run, run_space *space, size_t batch, size_t variable, matrices *of)
{
    for (size_t i = 0; i < run->model.input_count; i++) {
        of->mixed[i] = run->model.inputs[i].variable == variable ? of->b[i] : of->a[i];
    }
    weigh(run, space, of->mixed);
    for (size_t c = 0; c < run->settings.case_count; c++) {
        run_governing(run, c, space, BLOCK, of->f_mixed);
        for (size_t k = 0; k < BLOCK; k++) {
            of->f_mixed[k] -= run->cases[c].governing_value;
        }
        trn_sobol_add(&run->sobol[c * run->model.variable_count + variable], batch, of->f_a + c * BLOCK,
                      of->f_b + c * BLOCK, of->f_mixed, BLOCK);
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
                draw(run, batch * run->sobol_blocks + block, &of);
                do_base(run, space, batch, &of);
                for (size_t v = 0; v < run->model.variable_count; v++) {
                    do_variable(run, space, batch, v, &of);
                }
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
