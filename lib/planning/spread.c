/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "spread_parts.h"
#include "trunnion/holding.h"

/* Evaluations of a demand in one call of trn_spread_advance, about. */
#define SLICE 1.5e8

/* Shares of the work that a progress bar is told: most of it is sampling. */
#define SAMPLING_SHARE 0.95

trn_spread_settings trn_default_spread_settings(void)
{
    return (trn_spread_settings){.seed = 1, .most = 1000000, .digits = 2, .threads = 1};
}

static trn_status no_memory(trn_error *error)
{
    return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
}

static trn_status check_settings(const trn_leaf *leaf, const trn_spread_settings *of, trn_error *error)
{
    const bool of_leaf =
        of->case_count > 0 && of->cases >= leaf->cases && of->cases + of->case_count <= leaf->cases + leaf->case_count;
    const char *wrong = !of_leaf                                                      ? "cases that are not the leaf's"
                        : of->angle_count == 0                                        ? "no angles"
                        : of->samples > TRN_SPREAD_SAMPLES_MAX                        ? "too many samples"
                        : of->samples == 0 && of->most == 0                           ? "no samples"
                        : of->digits < 1 || of->digits > 2                            ? "digits other than 1 or 2"
                        : of->threads < 1 || of->threads > 1024                       ? "no threads, or over 1024"
                        : of->shards > 0 && (of->shard < 1 || of->shard > of->shards) ? "a shard that is none"
                        : of->shards > TRN_SPREAD_SHARDS_MAX                          ? "too many shards"
                        : of->shards > 0 && of->samples == 0 ? "shards without a number of samples"
                                                             : NULL;
    return wrong == NULL ? TRN_OK : trn_error_set(error, TRN_OUT_OF_DOMAIN, "spread: the settings have %s", wrong);
}

/* Arrays that live as long as the run. */
static trn_status take_arrays(trn_spread *run, trn_error *error)
{
    const size_t cases = run->settings.case_count;
    const size_t holdings = run->model.leaf->brake_count > 0 ? run->model.leaf->holding_count : 0;
    const size_t variables = run->model.variable_count;
    run->side_count = 2 * cases;
    run->row_count = run->side_count * run->settings.angle_count;
    run->holding_count = holdings;
    run->frames = spread_model_take(&run->model, cases + 4 * holdings, sizeof *run->frames);
    run->rows = spread_model_take(&run->model, run->row_count, sizeof *run->rows);
    run->sides = spread_model_take(&run->model, run->side_count, sizeof *run->sides);
    run->holdings = spread_model_take(&run->model, holdings, sizeof *run->holdings);
    run->cases = spread_model_take(&run->model, cases, sizeof *run->cases);
    run->result_rows = spread_model_take(&run->model, run->row_count, sizeof *run->result_rows);
    run->effects = spread_model_take(&run->model, cases * variables, sizeof *run->effects);
    run->result_holdings = spread_model_take(&run->model, holdings, sizeof *run->result_holdings);
    run->spaces = spread_model_take(&run->model, (size_t)run->settings.threads, sizeof *run->spaces);
    run->row_locks =
        spread_model_take(&run->model, run->row_count + run->side_count + holdings, sizeof *run->row_locks);
    const bool good = run->frames && run->rows && run->sides && run->holdings && run->cases && run->result_rows &&
                      run->effects && run->result_holdings && run->spaces && run->row_locks;
    return good ? TRN_OK : no_memory(error);
}

static trn_status make_rows(trn_spread *run, size_t side_index, trn_error *error)
{
    run_side *side = &run->sides[side_index];
    const size_t groups = run->model.wind_groups;
    for (size_t i = 0; i < run->settings.angle_count; i++) {
        trn_wind_action *winds = spread_model_take(&run->model, groups, sizeof *winds);
        if (winds == NULL) {
            return no_memory(error);
        }
        run->rows[side->first_row + i].basis = spread_basis_at(&run->model, &run->frames[side->frame], side->direction,
                                                               run->settings.angles_rad[i], winds);
    }
    side->has_use = run->rows[side->first_row].basis.has_use;
    return TRN_OK;
}

static trn_status make_cases(trn_spread *run, trn_error *error)
{
    trn_status status = TRN_OK;
    for (size_t c = 0; c < run->settings.case_count && status == TRN_OK; c++) {
        const trn_case *load_case = &run->settings.cases[c];
        const size_t frame = run->frame_count++;
        status = spread_frame_of_case(&run->model, load_case, &run->frames[frame], error);
        for (size_t d = 0; d < 2 && status == TRN_OK; d++) {
            const size_t side = 2 * c + d;
            run->sides[side] = (run_side){.frame = frame,
                                          .direction = d == 0 ? TRN_OPENING : TRN_CLOSING,
                                          .first_row = side * run->settings.angle_count};
            status = make_rows(run, side, error);
        }
        run->cases[c] = (trn_spread_case){.name = load_case->name,
                                          .has_limit = run->sides[2 * c].has_use,
                                          .rows = run->result_rows + 2 * c * run->settings.angle_count,
                                          .effects = run->effects + c * run->model.variable_count};
    }
    return status;
}

static spread_basis *hold_rows(trn_spread *run, size_t frame, trn_direction direction)
{
    spread_basis *rows = spread_model_take(&run->model, run->settings.angle_count, sizeof *rows);
    trn_wind_action *winds =
        spread_model_take(&run->model, run->settings.angle_count * run->model.wind_groups, sizeof *winds);
    for (size_t i = 0; i < run->settings.angle_count && rows != NULL && winds != NULL; i++) {
        rows[i] = spread_basis_at(&run->model, &run->frames[frame], direction, run->settings.angles_rad[i],
                                  winds + i * run->model.wind_groups);
    }
    return winds != NULL ? rows : NULL;
}

/* The same frame without friction at either trunnion. */
static trn_status without_friction(trn_spread *run, size_t frame, size_t net, trn_error *error)
{
    run->frames[net] = run->frames[frame];
    trn_leaf *leaf = &run->frames[net].leaf;
    leaf->trunnion = NULL;
    if (leaf->linked_counterweight != NULL) {
        trn_linked_counterweight *linked = spread_model_take(&run->model, 1, sizeof *linked);
        if (linked == NULL) {
            return no_memory(error);
        }
        *linked = *leaf->linked_counterweight;
        linked->journal.diameter_m = 0;
        leaf->linked_counterweight = linked;
    }
    return TRN_OK;
}

static trn_status make_hold_side(trn_spread *run, const trn_holding *holding, trn_wind_side from, run_hold_side *side,
                                 trn_error *error)
{
    side->counts = holding->wind.from == TRN_WIND_FROM_ADVERSE || holding->wind.from == from;
    side->rubbing = run->frame_count++;
    side->net = run->frame_count++;
    trn_status status = spread_frame_of_holding(&run->model, holding, from, &run->frames[side->rubbing], error);
    status = status == TRN_OK ? without_friction(run, side->rubbing, side->net, error) : status;
    if (status != TRN_OK) {
        return status;
    }
    side->net_rows = hold_rows(run, side->net, TRN_OPENING);
    side->opening_rows = hold_rows(run, side->rubbing, TRN_OPENING);
    side->closing_rows = hold_rows(run, side->rubbing, TRN_CLOSING);
    const bool good = side->net_rows != NULL && side->opening_rows != NULL && side->closing_rows != NULL;
    return good ? TRN_OK : no_memory(error);
}

double spread_scale_for(double sd, double size)
{
    int exponent = 0;
    const double reach = sd > 0 ? 4 * sd : size;
    (void)frexp(reach, &exponent);
    return reach > 0 ? ldexp(1, exponent) : 1;
}

static trn_status make_holdings(trn_spread *run, trn_error *error)
{
    const trn_leaf *leaf = run->model.leaf;
    trn_status status = TRN_OK;
    for (size_t i = 0; i < run->holding_count && status == TRN_OK; i++) {
        const trn_holding *holding = &leaf->holdings[i];
        run_holding *made = &run->holdings[i];
        *made = (run_holding){.holding = holding, .capacity = trn_brake_capacity(leaf)};
        status = make_hold_side(run, holding, TRN_WIND_FROM_HEEL, &made->sides[0], error);
        status = status == TRN_OK ? make_hold_side(run, holding, TRN_WIND_FROM_TOE, &made->sides[1], error) : status;
        run->result_holdings[i] =
            (trn_spread_holding){.name = holding->name, .capacity_Nm = made->capacity, .required = holding->factor};
    }
    return status;
}

static trn_status make_threads(trn_spread *run, trn_error *error)
{
    trn_status status = TRN_OK;
    for (int i = 0; i < run->settings.threads && status == TRN_OK; i++) {
        status = space_make(&run->model, &run->spaces[i]);
    }
    run->has_lock = pthread_mutex_init(&run->lock, NULL) == 0;
    for (size_t i = 0; i < run->row_count + run->side_count + run->holding_count; i++) {
        run->has_lock = run->has_lock && pthread_mutex_init(&run->row_locks[i].mutex, NULL) == 0;
    }
    return status == TRN_OK && run->has_lock ? TRN_OK : no_memory(error);
}

/* Tallies have scales of several standard deviations, so that the sums of powers keep their digits. */
static void set_scales(trn_spread *run)
{
    for (size_t s = 0; s < run->side_count; s++) {
        run_side *side = &run->sides[s];
        double sd = 0;
        double size = 0;
        for (size_t i = 0; i < run->settings.angle_count; i++) {
            const run_row *row = &run->rows[side->first_row + i];
            sd = fmax(sd, row->first_sd);
            size = fmax(size, fabs(row->first_mean));
        }
        side->scale = spread_scale_for(sd, size);
    }
}

/* In the manner of FNV-1a over the bits of numbers: whether two runs are about the same thing. */
static void take_in(uint64_t *hash, const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        uint64_t bits;
        memcpy(&bits, &numbers[i], sizeof bits);
        *hash = (*hash ^ bits) * UINT64_C(0x100000001B3);
        *hash ^= *hash >> 32;
    }
}

static void take_in_inputs(const spread_model *model, uint64_t *hash)
{
    for (size_t i = 0; i < model->input_count; i++) {
        const trn_input *input = &model->inputs[i];
        const double numbers[] = {(double)input->shape,   input->mean, input->sd, input->low, input->high, input->mode,
                                  (double)input->variable};
        take_in(hash, numbers, sizeof numbers / sizeof *numbers);
    }
    for (size_t i = 0; i < model->source_count; i++) {
        const spread_source *source = &model->sources[i];
        const double numbers[] = {
            source->body,   source->weight_N, source->at.x, source->at.y, source->own_inertia_kg_m2,
            source->weight, source->x,        source->y};
        take_in(hash, numbers, sizeof numbers / sizeof *numbers);
    }
}

/* First-order results hold all of a row's basis; two libms, or two leaves, differ in some of them. */
static void make_fingerprint(trn_spread *run)
{
    run->fingerprint = UINT64_C(0xCBF29CE484222325);
    take_in_inputs(&run->model, &run->fingerprint);
    for (size_t i = 0; i < run->row_count; i++) {
        const run_row *row = &run->rows[i];
        const double numbers[] = {row->first_mean, row->first_sd, row->basis.use_driving, row->basis.use_overhauling,
                                  row->basis.use_rotors};
        take_in(&run->fingerprint, numbers, sizeof numbers / sizeof *numbers);
    }
    for (size_t i = 0; i < run->holding_count; i++) {
        const run_holding *of = &run->holdings[i];
        const double numbers[] = {of->capacity, of->peak_measure.centre, of->peak_measure.scale, of->holding->factor};
        take_in(&run->fingerprint, numbers, sizeof numbers / sizeof *numbers);
    }
    for (size_t i = 0; i < run->side_count; i++) {
        const double numbers[] = {run->sides[i].peak_measure.centre, run->sides[i].peak_measure.scale};
        take_in(&run->fingerprint, numbers, sizeof numbers / sizeof *numbers);
    }
}

void spread_part_of(uint64_t samples, uint32_t shards, uint32_t shard, uint64_t *first, uint64_t *end)
{
    const uint64_t chunks = (samples + CHUNK - 1) / CHUNK;
    *first = chunks * (shard - 1) / shards;
    *end = chunks * shard / shards;
}

static void set_range(trn_spread *run)
{
    const trn_spread_settings *of = &run->settings;
    const uint64_t step = UINT64_C(5) * CHUNK;
    run->samples = of->samples > 0 ? of->samples : of->most < step ? of->most : step;
    const bool whole = of->shards == 0;
    spread_part_of(run->samples, whole ? 1 : of->shards, whole ? 1 : of->shard, &run->from_chunk, &run->to_chunk);
    run->next_chunk = run->from_chunk;
}

static trn_status make(trn_spread *run, trn_error *error)
{
    trn_status status = spread_model_make(run->model.leaf, &run->model, error);
    status = status == TRN_OK ? take_arrays(run, error) : status;
    status = status == TRN_OK ? make_cases(run, error) : status;
    status = status == TRN_OK ? make_holdings(run, error) : status;
    status = status == TRN_OK ? make_threads(run, error) : status;
    if (status == TRN_OK && run_link_variables(run) != TRN_OK) {
        status = no_memory(error);
    }
    if (status != TRN_OK) {
        return status;
    }
    run_first_order(run);
    run_swings(run);
    set_scales(run);
    run_pilot(run);
    make_fingerprint(run);
    set_range(run);
    return TRN_OK;
}

trn_status trn_spread_new(const trn_leaf *leaf, const trn_spread_settings *settings, trn_spread **spread,
                          trn_error *error)
{
    trn_status status = check_settings(leaf, settings, error);
    if (status != TRN_OK) {
        return status;
    }
    trn_spread *run = calloc(1, sizeof *run);
    if (run == NULL) {
        return no_memory(error);
    }
    run->settings = *settings;
    run->model.leaf = leaf;
    status = make(run, error);
    if (status == TRN_OK) {
        *spread = run;
    } else {
        trn_spread_free(run);
    }
    return status;
}

void trn_spread_free(trn_spread *spread)
{
    if (spread == NULL) {
        return;
    }
    for (size_t i = 0; spread->rows != NULL && i < spread->row_count; i++) {
        trn_tally_free(spread->rows[i].tally);
    }
    for (size_t i = 0; spread->sides != NULL && i < spread->side_count; i++) {
        trn_tally_free(spread->sides[i].peak);
    }
    for (size_t i = 0; spread->holdings != NULL && i < spread->holding_count; i++) {
        trn_tally_free(spread->holdings[i].peak);
    }
    for (int i = 0; spread->spaces != NULL && i < spread->settings.threads; i++) {
        space_free(&spread->spaces[i]);
    }
    if (spread->has_lock) {
        (void)pthread_mutex_destroy(&spread->lock);
    }
    free(spread->joined);
    spread_model_free(&spread->model);
    free(spread);
}

static void finish(trn_spread *run)
{
    run->result.samples = run->samples;
    run->result.variables = (const char *const *)run->model.variables;
    run->result.variable_count = run->model.variable_count;
    run->result.cases = run->cases;
    run->result.case_count = run->settings.case_count;
    run->result.holdings = run->result_holdings;
    run->result.holding_count = run->holding_count;
    run->stage = RUN_DONE;
}

/* The chunks of one slice, until there are none. */
static void do_chunks(trn_spread *run, run_space *space)
{
    for (size_t i; (i = run_next_item(run, run->slice)) < run->slice;) {
        run_chunk(run, space, run->next_chunk + i);
    }
}

static trn_status sample(trn_spread *run)
{
    const double each = (double)CHUNK * (double)(run->row_count + 1);
    const uint64_t left = run->to_chunk - run->next_chunk;
    const uint64_t wanted = (uint64_t)fmax(SLICE / each, (double)run->settings.threads);
    run->slice = (size_t)(left < wanted ? left : wanted);
    const trn_status status = run_in_threads(run, do_chunks);
    run->next_chunk += run->slice;
    return status;
}

static double share_done(const trn_spread *run)
{
    if (run->stage == RUN_DONE) {
        return 1;
    }
    const double of_pass = run->to_chunk > run->from_chunk
                               ? (double)(run->next_chunk - run->from_chunk) / (double)(run->to_chunk - run->from_chunk)
                               : 1;
    const double passes = (double)(run->pass < run->passes ? run->passes : run->pass + 1);
    const double sampled = run->stage == RUN_EFFECTS ? 1 : ((double)run->pass + of_pass) / passes;
    return SAMPLING_SHARE * sampled;
}

static trn_status step(trn_spread *run)
{
    if (run->stage == RUN_EFFECTS) {
        const trn_status status = run->settings.without_indices ? TRN_OK : run_sobol(run);
        if (status == TRN_OK) {
            finish(run);
        }
        return status;
    }
    trn_status status = run->begun ? TRN_OK : pass_begin(run);
    if (status == TRN_OK && !pass_is_done(run)) {
        status = sample(run);
    }
    return status == TRN_OK && pass_is_done(run) ? pass_end(run) : status;
}

trn_status trn_spread_advance(trn_spread *spread, double *done, trn_error *error)
{
    if (spread->joined != NULL && trn_spread_lacking(spread) > 0) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "shard %u of %u is not in", trn_spread_lacking(spread),
                             spread->joined_of);
    }
    const trn_status status = spread->stage == RUN_DONE ? TRN_OK : step(spread);
    if (status != TRN_OK) {
        return trn_error_set(error, status, "%s",
                             status == TRN_OUT_OF_DOMAIN ? "the demands of some samples are no numbers"
                                                         : trn_status_text(status));
    }
    *done = share_done(spread);
    return TRN_OK;
}

const trn_spread_result *trn_spread_result_of(const trn_spread *spread)
{
    return &spread->result;
}
