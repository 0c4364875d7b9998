/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "sample_parts.h"
#include "spread_parts.h"
#include "spread_vector.h"

/* Where a chunk lies in the samples. */
typedef struct stretch {
    uint64_t first;
    size_t count;
} stretch;

/* The inputs of a chunk, and what the bodies weigh. */
static void draw(const trn_spread *run, run_space *space, stretch of)
{
    const spread_model *model = &run->model;
    const trn_stream stream = {run->settings.seed, STREAM_SAMPLES};
    sample_drawn drawn;
    for (size_t from = 0; from < of.count; from += BLOCK) {
        const size_t some = of.count - from < BLOCK ? of.count - from : BLOCK;
        drawn.any = false;
        for (size_t i = 0; i < model->input_count; i++) {
            double *into = space->values[i] + (space->whole[i] ? from : 0);
            sample_input(&model->inputs[i], stream, of.first + from, some, &drawn, into);
            space->at[i] = into;
        }
        space_sum(model, space, space->at, from, some);
    }
}

static void fail_run(trn_spread *run, trn_status status)
{
    (void)pthread_mutex_lock(&run->lock);
    run->status = status;
    (void)pthread_mutex_unlock(&run->lock);
}

/* What was found for a row since its tally was last asked. */
typedef struct finds {
    tally_found of[QUANTILES];
    uint64_t count;
    tally_sum sums[TALLY_POWERS];
} finds;

static void begin_finds(const trn_tally *tally, run_space *space, finds *made)
{
    *made = (finds){0};
    for (size_t q = 0; q < QUANTILES; q++) {
        made->of[q] =
            (tally_found){.low = tally->brackets[q].low, .high = tally->brackets[q].high, .kept = space->found[q]};
    }
}

/* Hand over what was found, and take the brackets as they are now. */
static void hand_over(trn_spread *run, run_space *space, pthread_mutex_t *lock, trn_tally *tally, finds *made)
{
    trn_status status = TRN_OK;
    (void)pthread_mutex_lock(lock);
    tally->count += made->count;
    for (size_t i = 0; i < TALLY_POWERS; i++) {
        tally->sums[i].high += made->sums[i].high;
        tally->sums[i].low += made->sums[i].low;
    }
    for (size_t q = 0; q < QUANTILES && status == TRN_OK; q++) {
        status = tally_take(tally, q, &made->of[q]);
    }
    begin_finds(tally, space, made);
    (void)pthread_mutex_unlock(lock);
    if (status != TRN_OK) {
        fail_run(run, status);
    }
}

static void look_at(const trn_tally *tally, const double *values, size_t n, finds *made)
{
    double sums[TALLY_POWERS];
    tally_powers(values, n, tally->centre, tally->scale, sums);
    tally_add_sums(made->sums, sums);
    made->count += n;
    tally_sift(values, n, made->of);
}

static bool is_full(const finds *made)
{
    return made->of[0].count > TALLY_FIND || made->of[1].count > TALLY_FIND || made->of[2].count > TALLY_FIND;
}

static void take_values(trn_spread *run, run_space *space, pthread_mutex_t *lock, trn_tally *tally,
                        const double *values, size_t n)
{
    finds made;
    (void)pthread_mutex_lock(lock);
    begin_finds(tally, space, &made);
    (void)pthread_mutex_unlock(lock);
    for (size_t from = 0; from < n; from += TALLY_SIFTED) {
        look_at(tally, values + from, n - from < TALLY_SIFTED ? n - from : TALLY_SIFTED, &made);
        if (is_full(&made)) {
            hand_over(run, space, lock, tally, &made);
        }
    }
    hand_over(run, space, lock, tally, &made);
}

static void do_row(trn_spread *run, run_space *space, const run_side *side, size_t row_index, size_t count)
{
    run_row *row = &run->rows[row_index];
    const bool peaks = run->first_pass && side->has_use;
    pthread_mutex_t *lock = &run->row_locks[row_index].mutex;
    finds made;
    if (row->tally == NULL && !peaks) {
        return;
    }
    if (row->tally != NULL) {
        (void)pthread_mutex_lock(lock);
        begin_finds(row->tally, space, &made);
        (void)pthread_mutex_unlock(lock);
    }
    for (size_t from = 0; from < count; from += TALLY_SIFTED) {
        const size_t n = count - from < TALLY_SIFTED ? count - from : TALLY_SIFTED;
        spread_demands(&run->model, &run->frames[side->frame], &row->basis, &space->columns, from, n, space->demands);
        if (peaks) {
            vector_uses(&row->basis, &space->columns, from, n, space->demands, space->uses);
            vector_raise(space->peaks + from, space->uses, n);
        }
        if (row->tally != NULL) {
            look_at(row->tally, space->demands, n, &made);
            if (is_full(&made)) {
                hand_over(run, space, lock, row->tally, &made);
            }
        }
    }
    if (row->tally != NULL) {
        hand_over(run, space, lock, row->tally, &made);
    }
}

static uint64_t count_over(const double *values, size_t n, double limit)
{
    uint64_t over = 0;
    for (size_t i = 0; i < n; i++) {
        over += values[i] > limit;
    }
    return over;
}

static void do_rows(trn_spread *run, run_space *space, const run_side *side, size_t count)
{
    vector_fill(space->peaks, count, 0);
    for (size_t i = 0; i < run->settings.angle_count; i++) {
        do_row(run, space, side, side->first_row + i, count);
    }
}

static void do_side(trn_spread *run, run_space *space, size_t side_index, size_t count)
{
    run_side *side = &run->sides[side_index];
    pthread_mutex_t *lock = &run->row_locks[run->row_count + side_index].mutex;
    if (side->direction == TRN_OPENING) {
        vector_fill(space->opening_peaks, count, 0);
    }
    do_rows(run, space, side, count);
    if (run->first_pass && side->has_use) {
        take_values(run, space, lock, side->peak, space->peaks, count);
        const uint64_t over = count_over(space->peaks, count, 1);
        vector_raise(side->direction == TRN_OPENING ? space->opening_peaks : space->peaks,
                     side->direction == TRN_OPENING ? space->peaks : space->opening_peaks, count);
        const uint64_t either = count_over(space->peaks, count, 1);
        (void)pthread_mutex_lock(lock);
        side->over += over;
        side->over_either += either;
        (void)pthread_mutex_unlock(lock);
    }
}

/* The demands without friction, less what friction is credited. */
static void raise_held(const trn_spread *run, run_space *space, const run_hold_side *side, double credit, size_t angle,
                       size_t from, size_t n)
{
    const spread_model *model = &run->model;
    const double *opening = space->demands;
    const double *closing = space->demands;
    spread_demands(model, &run->frames[side->net], &side->net_rows[angle], &space->net, from, n, space->demands);
    if (credit > 0) {
        const spread_frame *frame = &run->frames[side->rubbing];
        spread_demands(model, frame, &side->opening_rows[angle], &space->columns, from, n, space->friction[0]);
        spread_demands(model, frame, &side->closing_rows[angle], &space->columns, from, n, space->friction[1]);
        opening = space->friction[0];
        closing = space->friction[1];
    }
    vector_held(space->demands, opening, closing, credit, n, space->peaks + from);
}

static void do_hold_side(const trn_spread *run, run_space *space, const run_holding *of, const run_hold_side *side,
                         size_t count)
{
    const double credit = of->holding->friction_credit;
    space_fill(&run->model, space, &run->frames[side->net], count, &space->net);
    if (credit > 0) {
        space_fill(&run->model, space, &run->frames[side->rubbing], count, &space->columns);
    }
    for (size_t i = 0; i < run->settings.angle_count; i++) {
        for (size_t from = 0; from < count; from += TALLY_SIFTED) {
            const size_t n = count - from < TALLY_SIFTED ? count - from : TALLY_SIFTED;
            raise_held(run, space, side, credit, i, from, n);
        }
    }
}

static void do_hold_sides(const trn_spread *run, run_space *space, const run_holding *of, size_t count)
{
    vector_fill(space->peaks, count, 0);
    for (size_t i = 0; i < 2; i++) {
        if (of->sides[i].counts) {
            do_hold_side(run, space, of, &of->sides[i], count);
        }
    }
}

static void do_holding(trn_spread *run, run_space *space, size_t index, size_t count)
{
    run_holding *of = &run->holdings[index];
    pthread_mutex_t *lock = &run->row_locks[run->row_count + run->side_count + index].mutex;
    do_hold_sides(run, space, of, count);
    take_values(run, space, lock, of->peak, space->peaks, count);
    const uint64_t over = count_over(space->peaks, count, of->capacity / of->holding->factor);
    (void)pthread_mutex_lock(lock);
    of->not_held += over;
    (void)pthread_mutex_unlock(lock);
}

void run_chunk(trn_spread *run, run_space *space, uint64_t chunk)
{
    const uint64_t first = chunk * CHUNK;
    const stretch of = {first, (size_t)(run->samples - first < CHUNK ? run->samples - first : CHUNK)};
    draw(run, space, of);
    for (size_t i = 0; i < run->side_count; i++) {
        if (i % 2 == 0) {
            space_fill(&run->model, space, &run->frames[run->sides[i].frame], of.count, &space->columns);
        }
        do_side(run, space, i, of.count);
    }
    for (size_t i = 0; i < run->holding_count && run->first_pass; i++) {
        do_holding(run, space, i, of.count);
    }
}

static run_measure measure_of(const double *values)
{
    double mean = 0;
    double square = 0;
    for (size_t i = 0; i < BLOCK; i++) {
        mean += values[i] / BLOCK;
    }
    for (size_t i = 0; i < BLOCK; i++) {
        square += (values[i] - mean) * (values[i] - mean) / BLOCK;
    }
    return (run_measure){mean, spread_scale_for(sqrt(square), fabs(mean))};
}

void run_pilot(trn_spread *run)
{
    run_space *space = &run->spaces[0];
    run->first_pass = true;
    draw(run, space, (stretch){0, BLOCK});
    for (size_t i = 0; i < run->side_count; i++) {
        run_side *side = &run->sides[i];
        if (side->has_use) {
            space_fill(&run->model, space, &run->frames[side->frame], BLOCK, &space->columns);
            do_rows(run, space, side, BLOCK);
            side->peak_measure = measure_of(space->peaks);
        }
    }
    for (size_t i = 0; i < run->holding_count; i++) {
        do_hold_sides(run, space, &run->holdings[i], BLOCK);
        run->holdings[i].peak_measure = measure_of(space->peaks);
    }
}
