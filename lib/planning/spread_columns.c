/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "spread_model.h"
#include "spread_vector.h"
#include "vector.h"

static const double *values_of(const double *const *values, int input, size_t from)
{
    return input == NO_INPUT ? NULL : values[input] + from;
}

static void add_source(const spread_source *source, const double *const *values, size_t from, size_t n,
                       const spread_bodies *into)
{
    const int body = source->body;
    const body_sums sums = {into->a[body] + from, into->b[body] + from, into->w[body] + from, into->j[body] + from};
    const source_values at = {values_of(values, source->weight, from), values_of(values, source->x, from),
                              values_of(values, source->y, from)};
    if (at.x == NULL && at.y == NULL) {
        vector_add_source(source, at.weight, &sums, n);
    } else {
        vector_add_moved(source, &at, &sums, n);
    }
}

void spread_add_source(const spread_model *model, size_t source, const double *const *values, size_t from, size_t n,
                       const spread_bodies *into)
{
    add_source(&model->sources[source], values, from, n, into);
}

void spread_take_source(const spread_model *model, size_t source, const double *const *values, size_t from, size_t n,
                        const spread_bodies *into)
{
    spread_source less = model->sources[source];
    less.weight_N = -less.weight_N;
    less.own_inertia_kg_m2 = -less.own_inertia_kg_m2;
    add_source(&less, values, from, n, into);
}

void spread_sum_bodies(const spread_model *model, const double *const *values, size_t n, const spread_bodies *into)
{
    for (int body = 0; body < (model->has_counterweight ? BODIES : 1); body++) {
        const trn_body certain = model->certain[body];
        vector_fill(into->a[body], n, certain.a_Nm);
        vector_fill(into->b[body], n, certain.b_Nm);
        vector_fill(into->w[body], n, certain.weight_N);
        vector_fill(into->j[body], n, certain.inertia_kg_m2);
    }
    for (size_t i = 0; i < model->source_count; i++) {
        add_source(&model->sources[i], values, 0, n, into);
    }
}

/* A value: that of an input, or one that is certain. */
static void fill(double *into, const double *const *values, int input, double certain, double scale, size_t n)
{
    if (input == NO_INPUT) {
        vector_fill(into, n, scale * certain);
    } else {
        vector_scale(into, values[input], scale, n);
    }
}

static void multiply_by(double *into, const double *const *values, const int inputs[2], int times, size_t n)
{
    for (int i = 0; i < 2 * times; i++) {
        const int input = inputs[i / times];
        if (input != NO_INPUT) {
            vector_multiply(into, values[input], n);
        }
    }
}

static double coefficient(const trn_journal *journal, trn_friction_state state)
{
    return journal != NULL ? trn_friction_coefficient(&journal->friction, state) : 0;
}

static void fill_arm(const spread_model *model, const spread_frame *frame, int body, const trn_journal *journal,
                     const double *const *values, size_t n, double *arm)
{
    const trn_friction_state state = frame->load_case.friction;
    const int *inputs = state == TRN_FRICTION_STARTING ? model->starting : model->moving;
    const double radius = journal != NULL ? journal->diameter_m / 2 : 0;
    fill(arm, values, inputs[body], coefficient(journal, state), radius, n);
}

static void fill_ice(const spread_frame *frame, const double *const *values, size_t n, const spread_columns *into)
{
    double factor[BLOCK];
    if (!(frame->ice.weight_N > 0)) {
        return;
    }
    const double acceleration = frame->loading.acceleration_rad_s2;
    vector_fill(factor, n, 1);
    multiply_by(factor, values, frame->weather.ice, 1, n);
    vector_add_scaled(into->a, factor, frame->ice.a_Nm, n);
    vector_add_scaled(into->b, factor, frame->ice.b_Nm, n);
    vector_add_scaled(into->w, factor, frame->ice.weight_N, n);
    vector_add_scaled(into->rest, factor, frame->ice.inertia_kg_m2 * acceleration, n);
}

static void fill_winds(const spread_model *model, const spread_frame *frame, const double *const *values, size_t n,
                       const spread_columns *into)
{
    for (size_t g = 0; g < model->wind_groups; g++) {
        fill(into->winds[g], values, model->solidity_of[g], 1, 1, n);
        if (frame->windy) {
            multiply_by(into->winds[g], values, frame->weather.pressure, 1, n);
            multiply_by(into->winds[g], values, frame->weather.speed, 2, n);
        }
    }
}

static void fill_counterweight(const spread_model *model, const spread_frame *frame, const spread_bodies *bodies,
                               const double *const *values, size_t n, const spread_columns *into)
{
    const trn_linked_counterweight *linked = frame->leaf.linked_counterweight;
    vector_scale(into->c_a, bodies->a[ON_COUNTERWEIGHT], 1, n);
    vector_scale(into->c_b, bodies->b[ON_COUNTERWEIGHT], 1, n);
    vector_scale(into->c_w, bodies->w[ON_COUNTERWEIGHT], 1, n);
    vector_scale(into->c_inertia, bodies->j[ON_COUNTERWEIGHT], frame->loading.acceleration_rad_s2, n);
    fill_arm(model, frame, ON_COUNTERWEIGHT, &linked->journal, values, n, into->c_arm);
}

void spread_fill_columns(const spread_model *model, const spread_frame *frame, const spread_bodies *bodies,
                         const double *const *values, size_t n, const spread_columns *into)
{
    const trn_journal *journal = frame->leaf.trunnion;
    const trn_drive *drive = frame->leaf.drive;
    vector_scale(into->a, bodies->a[ON_LEAF], 1, n);
    vector_scale(into->b, bodies->b[ON_LEAF], 1, n);
    vector_scale(into->w, bodies->w[ON_LEAF], 1, n);
    fill(into->rest, values, journal != NULL ? model->drag : NO_INPUT, journal != NULL ? journal->drag_Nm : 0, 1, n);
    vector_add_scaled(into->rest, bodies->j[ON_LEAF], frame->loading.acceleration_rad_s2, n);
    fill_arm(model, frame, ON_LEAF, journal, values, n, into->arm);
    fill_ice(frame, values, n, into);
    fill_winds(model, frame, values, n, into);
    if (frame->leaf.linked_counterweight != NULL) {
        fill_counterweight(model, frame, bodies, values, n, into);
    }
    if (!frame->windy && !frame->jointed) {
        vector_add_product(into->rest, into->arm, into->w, n);
    }
    fill(into->efficiency, values, model->efficiency, drive != NULL ? drive->efficiency : 1, 1, n);
    vector_inverse(into->per_efficiency, into->efficiency, n);
}

void spread_demands(const spread_model *model, const spread_frame *frame, const spread_basis *basis,
                    const spread_columns *columns, size_t from, size_t n, double *demands)
{
    const size_t groups = frame->windy ? model->wind_groups : 0;
    if (frame->jointed) {
        vector_jointed(basis, columns, groups, from, n, demands);
    } else if (frame->windy) {
        vector_windy(basis, columns, groups, from, n, demands);
    } else {
        vector_still(basis, columns, from, n, demands);
    }
}
