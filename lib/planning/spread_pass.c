/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A pass through the samples collects as many rows as memory is meant for.
 * Without a given number of samples, the first pass finds how many it takes;
 * a row whose quantile left its bracket is collected once more, with wider ones.
 */
#include <math.h>
#include <stdlib.h>

#include "spread_parts.h"

/* Memory for the values that brackets keep, bytes. */
#define KEPT_BYTES 60e6

/* Brackets that reach twice as far, 10 standard deviations, are never missed: for the few tallies of the first pass
   that no second one makes good. */
#define WIDENED 2.0

/* How often a row is collected at most; after that its values are no numbers. */
enum { TRIES = 4 };

/* JCGM 101:2008, 7.9.4, wants at least 10^4 values a step; this is 5 chunks. */
enum { STEP_CHUNKS = 5 };

/* About what the brackets of a row keep of so many values, bytes: see tally.c. */
static double row_bytes(const trn_spread *run)
{
    const bool known = run->settings.samples > 0;
    const double n = (double)(known ? run->settings.samples : run->settings.most);
    const double shares = sqrt(0.25) + 2 * sqrt(0.05 * 0.95);
    const double kept = 12 * sqrt(n) * shares * (known && run->settings.shards == 0 ? 0.5 : 1);
    return 8 * (fmin(1.6 * kept, 3 * n) + QUANTILES * (double)(TALLY_FIND + TALLY_SIFTED));
}

static size_t passes_for(const trn_spread *run)
{
    const double bytes = row_bytes(run) * (double)run->row_count;
    return run->joined != NULL || run->settings.shards > 0 ? 1 : (size_t)fmax(ceil(bytes / KEPT_BYTES), 1);
}

static bool is_of_pass(const trn_spread *run, size_t row)
{
    if (run->pass < run->passes) {
        return row % run->passes == run->pass;
    }
    return !run->rows[row].finished;
}

static trn_tally *new_tally(const trn_spread *run, run_measure by, double widening)
{
    trn_tally_settings settings = trn_default_tally_settings();
    settings.centre = by.centre;
    settings.scale = by.scale;
    settings.expected = run->settings.samples > 0 || run->pass > 0 ? run->samples : 0;
    settings.widening = widening;
    return trn_tally_new(&settings);
}

static trn_status make_peaks(trn_spread *run)
{
    bool good = true;
    for (size_t i = 0; i < run->side_count && good; i++) {
        run->sides[i].peak = new_tally(run, run->sides[i].peak_measure, WIDENED);
        good = run->sides[i].peak != NULL;
    }
    for (size_t i = 0; i < run->holding_count && good; i++) {
        run->holdings[i].peak = new_tally(run, run->holdings[i].peak_measure, WIDENED);
        good = run->holdings[i].peak != NULL;
    }
    return good ? TRN_OK : TRN_NO_MEMORY;
}

trn_status pass_begin(trn_spread *run)
{
    if (!run->begun) {
        run->passes = passes_for(run);
        run->begun = true;
        run->first_pass = true;
        const trn_status status = make_peaks(run);
        if (status != TRN_OK) {
            return status;
        }
    }
    for (size_t i = 0; i < run->row_count; i++) {
        run_row *row = &run->rows[i];
        if (is_of_pass(run, i)) {
            const size_t side = i / run->settings.angle_count;
            row->tally = new_tally(run, (run_measure){row->first_mean, run->sides[side].scale}, 1.0 + row->misses);
            if (row->tally == NULL) {
                return TRN_NO_MEMORY;
            }
        }
    }
    return TRN_OK;
}

bool pass_is_done(const trn_spread *run)
{
    return run->next_chunk >= run->to_chunk;
}

static bool values_of(trn_tally *tally, trn_spread_values *values)
{
    const trn_tally_moments moments = trn_tally_moments_of(tally);
    double *const places[QUANTILES] = {&values->p05, &values->p50, &values->p95};
    double error = fmax(moments.mean_se, moments.sd_se);
    for (size_t q = 0; q < QUANTILES; q++) {
        const trn_tally_quantile one = trn_tally_quantile_of(tally, q);
        if (one.missed) {
            return false;
        }
        *places[q] = one.value;
        error = fmax(error, one.se);
    }
    values->mean = moments.mean;
    values->sd = moments.sd;
    values->error = 2 * error;
    return true;
}

static void conclude_row(trn_spread *run, size_t i)
{
    run_row *row = &run->rows[i];
    trn_spread_row *result = &run->result_rows[i];
    if (row->tally == NULL) {
        return;
    }
    const size_t side = i / run->settings.angle_count;
    result->angle_rad = run->settings.angles_rad[i % run->settings.angle_count];
    result->direction = run->sides[side].direction;
    result->first_mean_Nm = row->first_mean;
    result->first_sd_Nm = row->first_sd;
    result->limit_Nm = row->limit;
    row->finished = values_of(row->tally, &result->demand_Nm);
    row->misses += !row->finished;
}

static void conclude_rows(trn_spread *run, run_space *space)
{
    (void)space;
    for (size_t i; (i = run_next_item(run, run->row_count)) < run->row_count;) {
        conclude_row(run, i);
    }
}

/* A shard shall be no larger than it must. */
static void narrow_rows(trn_spread *run, run_space *space)
{
    (void)space;
    for (size_t i; (i = run_next_item(run, run->row_count)) < run->row_count;) {
        tally_narrow(run->rows[i].tally);
    }
}

/* JCGM 101:2008, 7.9.2: u = c 10^l with c of so many digits; half of 10^l. */
static double tolerance_of(double sd, int digits)
{
    return sd > 0 ? pow(10, floor(log10(sd)) - (digits - 1)) / 2 : 0;
}

/* The tolerance and the error of a side, by the rows of it that are finished. */
static void rate_side(const trn_spread *run, size_t index, trn_spread_side *side)
{
    double sd = 0;
    side->error_Nm = 0;
    for (size_t i = 0; i < run->settings.angle_count; i++) {
        const size_t row = run->sides[index].first_row + i;
        if (run->rows[row].finished) {
            sd = fmax(sd, run->result_rows[row].demand_Nm.sd);
            side->error_Nm = fmax(side->error_Nm, run->result_rows[row].demand_Nm.error);
        }
    }
    side->tolerance_Nm = tolerance_of(sd, run->settings.digits);
}

static bool rate_sides(trn_spread *run)
{
    bool within = true;
    for (size_t i = 0; i < run->side_count; i++) {
        trn_spread_side *side = &run->cases[i / 2].sides[i % 2];
        rate_side(run, i, side);
        within = within && side->error_Nm <= side->tolerance_Nm;
    }
    run->result.within_tolerance = within;
    return within;
}

/* About half as many samples again. */
static void enlarge(trn_spread *run)
{
    const uint64_t step = (uint64_t)STEP_CHUNKS * CHUNK;
    const uint64_t more = run->samples + (run->samples / step + 1) / 2 * step;
    run->samples = more < run->settings.most ? more : run->settings.most;
    run->to_chunk = (run->samples + CHUNK - 1) / CHUNK;
}

/* A chunk that was cut short is the last one. */
static bool can_grow(const trn_spread *run)
{
    return run->settings.samples == 0 && run->first_pass && run->samples < run->settings.most &&
           run->samples % CHUNK == 0;
}

/* False where some peaks are no numbers. */
static bool conclude_peaks(trn_spread *run)
{
    const double n = (double)run->samples;
    bool good = true;
    for (size_t i = 0; i < run->side_count; i++) {
        trn_spread_side *side = &run->cases[i / 2].sides[i % 2];
        if (run->sides[i].has_use) {
            good = values_of(run->sides[i].peak, &side->peak_use) && good;
            side->over_limit_probability = (double)run->sides[i].over / n;
            run->cases[i / 2].over_limit_probability = (double)run->sides[i].over_either / n;
        }
    }
    for (size_t i = 0; i < run->holding_count; i++) {
        good = values_of(run->holdings[i].peak, &run->result_holdings[i].demand_Nm) && good;
        run->result_holdings[i].not_held_probability = (double)run->holdings[i].not_held / n;
    }
    return good;
}

static bool any_left(const trn_spread *run)
{
    for (size_t i = 0; i < run->row_count; i++) {
        if (!run->rows[i].finished) {
            return true;
        }
    }
    return false;
}

static void let_go(trn_spread *run)
{
    for (size_t i = 0; i < run->row_count; i++) {
        trn_tally_free(run->rows[i].tally);
        run->rows[i].tally = NULL;
    }
}

trn_status pass_end(trn_spread *run)
{
    if (run->settings.shards > 0) {
        run->stage = RUN_DONE;
        return run_in_threads(run, narrow_rows);
    }
    const trn_status status = run_in_threads(run, conclude_rows);
    if (status != TRN_OK) {
        return status;
    }
    const bool within = rate_sides(run);
    if (!within && can_grow(run)) {
        enlarge(run);
        return TRN_OK;
    }
    if (run->first_pass) {
        run->first_pass = false;
        if (!conclude_peaks(run)) {
            return TRN_OUT_OF_DOMAIN;
        }
    }
    let_go(run);
    run->pass++;
    if (!any_left(run)) {
        run->stage = RUN_EFFECTS;
        return TRN_OK;
    }
    run->next_chunk = 0;
    return run->pass < run->passes + TRIES ? pass_begin(run) : TRN_OUT_OF_DOMAIN;
}
