/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * First order: JCGM 100:2008, 5.1.3 and its note, and 5.2.2, note 1: what one
 * standard deviation of a variable does is half the difference of the demand
 * at either side of the expectation; the variables are independent.
 */
#include <math.h>

#include "spread_parts.h"
#include "spread_vector.h"

/* The four trials of a variable: at minus and plus one standard deviation, and at its 5 and 95 per cent quantiles. */
enum { MINUS, PLUS, LOW, HIGH, TRIALS };

static double trial_value(const trn_input *input, int trial)
{
    switch (trial) {
    case MINUS:
        return trn_input_mean(input) - trn_input_sd(input);
    case PLUS:
        return trn_input_mean(input) + trn_input_sd(input);
    case LOW:
        return trn_input_quantile(input, 0.05);
    default:
        return trn_input_quantile(input, 0.95);
    }
}

/* Variables of one block of samples: trials of them lie side by side. */
typedef struct trials {
    size_t first;
    size_t variables;
    int each; /* trials of a variable: none, so that all is at its expectation once; two; or four */
} trials;

static size_t trial_count(const trials *of)
{
    return of->each == 0 ? 1 : of->variables * (size_t)of->each;
}

static double **sums_of(const run_space *space, int body, double *sums[SUMS])
{
    sums[0] = space->bodies.a[body];
    sums[1] = space->bodies.b[body];
    sums[2] = space->bodies.w[body];
    sums[3] = space->bodies.j[body];
    return sums;
}

/* All inputs at their expectations, in every place of a block. */
static void set_means(trn_spread *run, run_space *space)
{
    const spread_model *model = &run->model;
    for (size_t i = 0; i < model->input_count; i++) {
        vector_fill(space->values[i], BLOCK, trn_input_mean(&model->inputs[i]));
        space->at[i] = space->values[i];
    }
    space_sum(model, space, space->at, 0, 1);
    for (int body = 0; body < (model->has_counterweight ? BODIES : 1); body++) {
        double *sums[SUMS];
        for (int sum = 0; sum < SUMS; sum++) {
            run->mean_sums[body][sum] = sums_of(space, body, sums)[sum][0];
        }
    }
}

/* The inputs of a variable at its trials, or back at their expectations. */
static void set_variable(const trn_spread *run, const run_space *space, const trials *of, size_t variable, bool back)
{
    const size_t from = (variable - of->first) * (size_t)of->each;
    for (size_t k = run->links->inputs_from[variable]; k < run->links->inputs_from[variable + 1]; k++) {
        const size_t i = run->links->inputs[k];
        const trn_input *input = &run->model.inputs[i];
        for (int trial = 0; trial < of->each; trial++) {
            space->values[i][from + (size_t)trial] = back ? trn_input_mean(input) : trial_value(input, trial);
        }
    }
}

/* The trials of one variable: in the sums its sources change places, so that the work does not grow with the others. */
static void try_variable(const trn_spread *run, const run_space *space, const trials *of, size_t variable)
{
    const run_links *links = run->links;
    const size_t from = (variable - of->first) * (size_t)of->each;
    const size_t each = (size_t)of->each;
    for (size_t k = links->sources_from[variable]; k < links->sources_from[variable + 1]; k++) {
        spread_take_source(&run->model, links->sources[k], space->at, from, each, &space->bodies);
    }
    set_variable(run, space, of, variable, false);
    for (size_t k = links->sources_from[variable]; k < links->sources_from[variable + 1]; k++) {
        spread_add_source(&run->model, links->sources[k], space->at, from, each, &space->bodies);
    }
}

/* From inputs that are all at their expectations. */
static void set_trials(const trn_spread *run, const run_space *space, const trials *of)
{
    for (int body = 0; body < (run->model.has_counterweight ? BODIES : 1); body++) {
        double *sums[SUMS];
        for (int sum = 0; sum < SUMS; sum++) {
            vector_fill(sums_of(space, body, sums)[sum], trial_count(of), run->mean_sums[body][sum]);
        }
    }
    for (size_t i = 0; i < of->variables; i++) {
        try_variable(run, space, of, of->first + i);
    }
}

static void unset_trials(const trn_spread *run, const run_space *space, const trials *of)
{
    for (size_t i = 0; i < of->variables; i++) {
        set_variable(run, space, of, of->first + i, true);
    }
}

void run_governing(const trn_spread *run, size_t case_index, run_space *space, size_t n, double *values)
{
    const run_side *sides = &run->sides[2 * case_index];
    const run_row *row = &run->rows[sides->first_row + run->cases[case_index].governing];
    const spread_frame *frame = &run->frames[sides->frame];
    space_fill(&run->model, space, frame, n, &space->columns);
    if (row->basis.has_use) {
        spread_demands(&run->model, frame, &row->basis, &space->columns, 0, n, space->friction[0]);
        vector_uses(&row->basis, &space->columns, 0, n, space->friction[0], values);
    } else {
        spread_demands(&run->model, frame, &row->basis, &space->columns, 0, n, values);
    }
}

/* Visit the rows of all cases with a block of trials. */
typedef void row_visitor(trn_spread *run, run_space *space, run_row *row, size_t side, const trials *of);

static void visit_rows(trn_spread *run, const trials *of, row_visitor *visit)
{
    run_space *space = &run->spaces[0];
    set_trials(run, space, of);
    for (size_t s = 0; s < run->side_count; s++) {
        const run_side *side = &run->sides[s];
        const spread_frame *frame = &run->frames[side->frame];
        if (s % 2 == 0) {
            space_fill(&run->model, space, frame, trial_count(of), &space->columns);
        }
        for (size_t i = 0; i < run->settings.angle_count; i++) {
            run_row *row = &run->rows[side->first_row + i];
            spread_demands(&run->model, frame, &row->basis, &space->columns, 0, trial_count(of), space->demands);
            visit(run, space, row, s, of);
        }
    }
    unset_trials(run, space, of);
}

static void take_mean(trn_spread *run, run_space *space, run_row *row, size_t side, const trials *of)
{
    (void)of;
    trn_spread_case *about = &run->cases[side / 2];
    row->first_mean = space->demands[0];
    space->uses[0] = row->first_mean;
    if (row->basis.has_use) {
        vector_uses(&row->basis, &space->columns, 0, 1, space->demands, space->uses);
        row->limit = (1 - row->basis.use_rotors) / row->basis.use_driving * space->columns.efficiency[0];
    }
    const size_t place = (size_t)(row - run->rows) - run->sides[side - side % 2].first_row;
    if (place == 0 || space->uses[0] > about->governing_value) {
        about->governing = place;
        about->governing_value = space->uses[0];
    }
}

static void take_pairs(trn_spread *run, run_space *space, run_row *row, size_t side, const trials *of)
{
    (void)run;
    (void)side;
    for (size_t i = 0; i < of->variables; i++) {
        const double half = (space->demands[2 * i + PLUS] - space->demands[2 * i + MINUS]) / 2;
        row->first_sd += half * half;
    }
}

void run_first_order(trn_spread *run)
{
    const size_t variables = run->model.variable_count;
    const trials at_mean = {0, 0, 0};
    set_means(run, &run->spaces[0]);
    visit_rows(run, &at_mean, take_mean);
    for (size_t first = 0; first < variables; first += BLOCK / 2) {
        const trials of = {first, variables - first < BLOCK / 2 ? variables - first : BLOCK / 2, 2};
        visit_rows(run, &of, take_pairs);
    }
    for (size_t i = 0; i < run->row_count; i++) {
        run->rows[i].first_sd = sqrt(run->rows[i].first_sd);
    }
}

void run_swings(trn_spread *run)
{
    const size_t variables = run->model.variable_count;
    run_space *space = &run->spaces[0];
    for (size_t first = 0; first < variables; first += BLOCK / TRIALS) {
        const trials of = {first, variables - first < BLOCK / TRIALS ? variables - first : BLOCK / TRIALS, TRIALS};
        set_trials(run, space, &of);
        for (size_t c = 0; c < run->settings.case_count; c++) {
            run_governing(run, c, space, trial_count(&of), space->demands);
            for (size_t i = 0; i < of.variables; i++) {
                const double *at = space->demands + i * TRIALS;
                trn_spread_effect *effect = &run->effects[c * variables + first + i];
                effect->first_order = (at[PLUS] - at[MINUS]) / 2;
                effect->low = at[LOW];
                effect->high = at[HIGH];
            }
        }
        unset_trials(run, space, &of);
    }
}
