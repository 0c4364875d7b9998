/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which inputs matter: Sobol's indices of each case's governing quantity.
 *
 * Two independent samples A and B, and A with one variable from B. First order
 * by Saltelli, Annoni, Azzini, Campolongo, Ratto and Tarantola, Variance based
 * sensitivity analysis of model output, Comput. Phys. Commun. 181 (2010),
 * table 2 (b); total by Jansen, Analysis of variance designs for model output,
 * Comput. Phys. Commun. 117 (1999), ibid. (f). Standard errors from how the
 * estimates of BATCHES parts of the sample scatter.
 */
#include <math.h>
#include <stdlib.h>

#include "sample_parts.h"
#include "spread_parts.h"

enum { BATCHES = 16 };

/* Blocks of base samples: 32768 samples, fewer where there are many variables, since the work grows as their square. */
enum { BLOCKS_MOST = 128, BLOCKS_LEAST = BATCHES, VARIABLES_FREE = 64 };

/* Of each case: the sum and the sum of squares of the quantity less its value at the expectations, and for each
   variable the two sums of its indices. */
static size_t sums_of_case(const trn_spread *run)
{
    return 2 + 2 * run->model.variable_count;
}

static size_t sums_of_block(const trn_spread *run)
{
    return run->settings.case_count * sums_of_case(run);
}

static size_t blocks_for(size_t variables)
{
    const double share = variables <= VARIABLES_FREE ? 1 : pow((double)VARIABLES_FREE / (double)variables, 2);
    const size_t blocks = (size_t)(BLOCKS_MOST * share);
    return blocks < BLOCKS_LEAST ? BLOCKS_LEAST : blocks - blocks % BATCHES;
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

/* The governing quantity of a case for a block whose inputs' values are given. */
static void weigh(const trn_spread *run, run_space *space, const double *const *values)
{
    for (size_t i = 0; i < run->model.input_count; i++) {
        for (size_t k = 0; k < BLOCK; k++) {
            space->values[i][k] = values[i][k];
        }
    }
    space_sum(&run->model, space, values, 0, BLOCK);
}

static void do_base(const trn_spread *run, run_space *space, matrices *of, double *sums)
{
    const double *const *samples[] = {of->a, of->b};
    for (int matrix = 0; matrix < 2; matrix++) {
        weigh(run, space, samples[matrix]);
        for (size_t c = 0; c < run->settings.case_count; c++) {
            double *f = (matrix == 0 ? of->f_a : of->f_b) + c * BLOCK;
            double *into = sums + c * sums_of_case(run);
            run_governing(run, c, space, BLOCK, f);
            for (size_t k = 0; k < BLOCK; k++) {
                f[k] -= run->cases[c].governing_value;
                into[0] += f[k];
                into[1] += f[k] * f[k];
            }
        }
    }
}

static void do_variable(const trn_spread *run, run_space *space, size_t variable, matrices *of, double *sums)
{
    for (size_t i = 0; i < run->model.input_count; i++) {
        of->mixed[i] = run->model.inputs[i].variable == variable ? of->b[i] : of->a[i];
    }
    weigh(run, space, of->mixed);
    for (size_t c = 0; c < run->settings.case_count; c++) {
        const double *f_a = of->f_a + c * BLOCK;
        const double *f_b = of->f_b + c * BLOCK;
        double *into = sums + c * sums_of_case(run) + 2 + 2 * variable;
        run_governing(run, c, space, BLOCK, of->f_mixed);
        for (size_t k = 0; k < BLOCK; k++) {
            const double step = of->f_mixed[k] - run->cases[c].governing_value - f_a[k];
            into[0] += f_b[k] * step;
            into[1] += step * step / 2;
        }
    }
}

static void do_blocks(trn_spread *run, run_space *space)
{
    matrices of = {0};
    if (!make(run, &of)) {
        (void)pthread_mutex_lock(&run->lock);
        run->status = TRN_NO_MEMORY;
        (void)pthread_mutex_unlock(&run->lock);
    } else {
        for (size_t block; (block = run_next_item(run, run->sobol_blocks)) < run->sobol_blocks;) {
            double *sums = run->partial + block * sums_of_block(run);
            draw(run, block, &of);
            do_base(run, space, &of, sums);
            for (size_t v = 0; v < run->model.variable_count; v++) {
                do_variable(run, space, v, &of, sums);
            }
        }
    }
    free(of.memory);
    free(of.a);
}

/* The sum of a place over some blocks. */
static double add_up(const trn_spread *run, size_t place, size_t from, size_t to)
{
    double sum = 0;
    for (size_t block = from; block < to; block++) {
        sum += run->partial[block * sums_of_block(run) + place];
    }
    return sum;
}

/* An index and its standard error: a variance's share, of the whole sample and of each batch. */
static double index_of(const trn_spread *run, size_t place, double variance, double *se)
{
    const size_t each = run->sobol_blocks / BATCHES;
    const double whole = add_up(run, place, 0, run->sobol_blocks) / (double)(run->sobol_blocks * BLOCK);
    double squares = 0;
    for (size_t batch = 0; batch < BATCHES; batch++) {
        const double part = add_up(run, place, batch * each, (batch + 1) * each) / (double)(each * BLOCK);
        squares += (part - whole) * (part - whole);
    }
    *se = variance > 0 ? sqrt(squares / (BATCHES * (BATCHES - 1.0))) / variance : 0;
    return variance > 0 ? whole / variance : 0;
}

static void conclude(trn_spread *run)
{
    const size_t variables = run->model.variable_count;
    const double n = (double)(2 * run->sobol_blocks * BLOCK);
    for (size_t c = 0; c < run->settings.case_count; c++) {
        const size_t place = c * sums_of_case(run);
        const double mean = add_up(run, place, 0, run->sobol_blocks) / n;
        const double scatter = add_up(run, place + 1, 0, run->sobol_blocks) / n - mean * mean;
        /* What is left of rounding where nothing of the case is uncertain. */
        const double rounding = 1e-24 * run->cases[c].governing_value * run->cases[c].governing_value;
        const double variance = scatter > rounding ? scatter : 0;
        for (size_t v = 0; v < variables; v++) {
            trn_spread_effect *effect = &run->effects[c * variables + v];
            effect->sobol_first = index_of(run, place + 2 + 2 * v, variance, &effect->sobol_first_se);
            effect->sobol_total = index_of(run, place + 3 + 2 * v, variance, &effect->sobol_total_se);
        }
    }
}

trn_status run_sobol(trn_spread *run)
{
    run->sobol_blocks = blocks_for(run->model.variable_count);
    run->partial = calloc(run->sobol_blocks * sums_of_block(run), sizeof *run->partial);
    if (run->partial == NULL) {
        return TRN_NO_MEMORY;
    }
    const trn_status status = run_in_threads(run, do_blocks);
    if (status == TRN_OK) {
        conclude(run);
    }
    free(run->partial);
    run->partial = NULL;
    run->result.sobol_samples = run->sobol_blocks * BLOCK;
    return status;
}
