/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "spread_parts.h"

/* Arrays of a space beside those of the inputs and of the wind's groups: chunks, and stretches to be sifted. */
enum { CHUNKS = 8 + 2 * 12 + 2, STRETCHES = 4 };

/* Inputs of weights and places go into the bodies' sums at once; the others are asked for again by every frame. */
static void mark_whole(const spread_model *model, run_space *space)
{
    bool *whole = space->whole;
    for (size_t i = 0; i < model->input_count; i++) {
        whole[i] = true;
    }
    for (size_t i = 0; i < model->source_count; i++) {
        const int inputs[] = {model->sources[i].weight, model->sources[i].x, model->sources[i].y};
        for (size_t k = 0; k < 3; k++) {
            if (inputs[k] != NO_INPUT) {
                whole[inputs[k]] = false;
            }
        }
    }
    for (size_t i = 0; i < model->input_count; i++) {
        if (whole[i]) {
            space->whole_inputs[space->whole_count++] = i;
        }
    }
}

/* The next so many doubles of a space's memory. */
static double *cut(double **rest, size_t count)
{
    double *piece = *rest;
    *rest += count;
    return piece;
}

static void share_columns(const spread_model *model, double **rest, spread_columns *columns)
{
    double **const all[] = {&columns->a,     &columns->b,         &columns->w,          &columns->rest,
                            &columns->arm,   &columns->c_a,       &columns->c_b,        &columns->c_w,
                            &columns->c_arm, &columns->c_inertia, &columns->efficiency, &columns->per_efficiency};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        *all[i] = cut(rest, CHUNK);
    }
    for (size_t g = 0; g < model->wind_groups; g++) {
        columns->winds[g] = cut(rest, CHUNK);
    }
    columns->c_a = model->has_counterweight ? columns->c_a : NULL;
}

static void share_out(const spread_model *model, run_space *space)
{
    double *rest = space->memory;
    for (size_t i = 0; i < model->input_count; i++) {
        space->values[i] = cut(&rest, space->whole[i] ? CHUNK : BLOCK);
    }
    for (int body = 0; body < BODIES; body++) {
        space->bodies.a[body] = cut(&rest, CHUNK);
        space->bodies.b[body] = cut(&rest, CHUNK);
        space->bodies.w[body] = cut(&rest, CHUNK);
        space->bodies.j[body] = cut(&rest, CHUNK);
    }
    share_columns(model, &rest, &space->columns);
    share_columns(model, &rest, &space->net);
    space->peaks = cut(&rest, CHUNK);
    space->opening_peaks = cut(&rest, CHUNK);
    space->demands = cut(&rest, TALLY_SIFTED);
    space->uses = cut(&rest, TALLY_SIFTED);
    space->friction[0] = cut(&rest, TALLY_SIFTED);
    space->friction[1] = cut(&rest, TALLY_SIFTED);
    for (size_t q = 0; q < QUANTILES; q++) {
        space->found[q] = cut(&rest, TALLY_FIND + TALLY_SIFTED);
    }
}

trn_status space_make(const spread_model *model, run_space *space)
{
    const size_t inputs = model->input_count;
    const size_t groups = model->wind_groups;
    *space = (run_space){.values = calloc(inputs + 1, sizeof *space->values),
                         .at = calloc(inputs + 1, sizeof *space->at),
                         .whole = calloc(inputs + 1, sizeof *space->whole),
                         .whole_inputs = calloc(inputs + 1, sizeof *space->whole_inputs),
                         .winds_from = calloc(groups + 1, sizeof *space->winds_from)};
    space->columns.winds = calloc(groups + 1, sizeof *space->columns.winds);
    space->net.winds = calloc(groups + 1, sizeof *space->net.winds);
    if (space->values == NULL || space->at == NULL || space->whole == NULL || space->whole_inputs == NULL ||
        space->winds_from == NULL || space->columns.winds == NULL || space->net.winds == NULL) {
        return TRN_NO_MEMORY;
    }
    mark_whole(model, space);
    size_t size = (CHUNKS + 2 * groups) * (size_t)CHUNK + STRETCHES * (size_t)TALLY_SIFTED +
                  QUANTILES * (size_t)(TALLY_FIND + TALLY_SIFTED);
    for (size_t i = 0; i < inputs; i++) {
        size += space->whole[i] ? CHUNK : BLOCK;
    }
    space->memory = malloc(size * sizeof *space->memory);
    if (space->memory == NULL) {
        return TRN_NO_MEMORY;
    }
    share_out(model, space);
    return TRN_OK;
}

void space_free(run_space *space)
{
    free(space->memory);
    free(space->values);
    free(space->at);
    free(space->whole);
    free(space->whole_inputs);
    free(space->winds_from);
    free(space->columns.winds);
    free(space->net.winds);
    *space = (run_space){0};
}

static spread_bodies bodies_from(const spread_bodies *all, size_t from)
{
    spread_bodies part;
    for (int body = 0; body < BODIES; body++) {
        part.a[body] = all->a[body] + from;
        part.b[body] = all->b[body] + from;
        part.w[body] = all->w[body] + from;
        part.j[body] = all->j[body] + from;
    }
    return part;
}

void space_sum(const spread_model *model, run_space *space, const double *const *values, size_t from, size_t count)
{
    const spread_bodies bodies = bodies_from(&space->bodies, from);
    spread_sum_bodies(model, values, count, &bodies);
}

static spread_columns columns_from(const spread_model *model, const spread_columns *all, size_t from, double **winds)
{
    spread_columns part = *all;
    double **const moved[] = {&part.a,   &part.b,     &part.w,         &part.rest,       &part.arm,           &part.c_b,
                              &part.c_w, &part.c_arm, &part.c_inertia, &part.efficiency, &part.per_efficiency};
    for (size_t i = 0; i < sizeof moved / sizeof *moved; i++) {
        *moved[i] += from;
    }
    part.c_a = all->c_a != NULL ? all->c_a + from : NULL;
    for (size_t g = 0; g < model->wind_groups; g++) {
        winds[g] = all->winds[g] + from;
    }
    part.winds = winds;
    return part;
}

void space_fill(const spread_model *model, run_space *space, const spread_frame *frame, size_t count,
                const spread_columns *into)
{
    for (size_t from = 0; from < count; from += BLOCK) {
        const size_t some = count - from < BLOCK ? count - from : BLOCK;
        const spread_bodies bodies = bodies_from(&space->bodies, from);
        const spread_columns columns = columns_from(model, into, from, space->winds_from);
        for (size_t k = 0; k < space->whole_count; k++) {
            const size_t i = space->whole_inputs[k];
            space->at[i] = space->values[i] + from;
        }
        spread_fill_columns(model, frame, &bodies, space->at, some, &columns);
    }
}
