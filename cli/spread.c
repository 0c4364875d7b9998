/* SPDX-License-Identifier: GPL-3.0-or-later */
/* spread: how uncertain inputs spread the curves and the margins. */
#include "spread.h"

#include <math.h>
#include <stdlib.h>
#include <unistd.h>

#include "command.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "output.h"

/* Room for one shard. */
#define SHARD_MOST ((size_t)4 << 30)

/* Height of a case's row of panels, what stands under the last one, and the width of the picture. */
enum { PANEL_PT = 370, FOOT_PT = 66, WIDTH_PT = 1000 };

double spread_height(const trn_spread_result *run)
{
    return (double)(PANEL_PT * (run->case_count + (run->holding_count > 0)) + FOOT_PT);
}

const char *spread_direction(trn_direction direction)
{
    return direction == TRN_OPENING ? "opening" : "closing";
}

/* The larger share first; equal ones as they were. */
static int compare_shares(const void *a, const void *b)
{
    const spread_share *one = a;
    const spread_share *other = b;
    const int order = (one->total < other->total) - (one->total > other->total);
    return order != 0 ? order : (one->variable > other->variable) - (one->variable < other->variable);
}

void spread_order(const spread_result *of, const trn_spread_case *about, spread_share *order)
{
    for (size_t i = 0; i < of->run->variable_count; i++) {
        order[i] = (spread_share){about->effects[i].sobol.total, i};
    }
    qsort(order, of->run->variable_count, sizeof *order, compare_shares);
}

const char *spread_percent(double chance, char text[SPREAD_PERCENT])
{
    const double percent = 100 * chance;
    const double lacks = 100 - percent;
    if (percent < 99.5) {
        (void)snprintf(text, SPREAD_PERCENT, "%.2g", percent);
    } else {
        (void)snprintf(text, SPREAD_PERCENT, "%.*f", lacks > 0 ? 1 - (int)floor(log10(lacks)) : 0, percent);
    }
    return text;
}

const char *spread_note(const spread_result *of, size_t index, char text[SPREAD_WORDS])
{
    char chance[SPREAD_PERCENT];
    size_t passed = 0;
    for (size_t i = 0; i < of->run->case_count; i++) {
        const trn_spread_case *about = &of->run->cases[i];
        passed += about->has_limit && about->over_limit_probability > SPREAD_CHANCE;
        if (passed == index + 1) {
            (void)snprintf(text, SPREAD_WORDS, "case '%s': a chance of %s %% that it takes more than is allowed",
                           about->name, spread_percent(about->over_limit_probability, chance));
            return text;
        }
    }
    for (size_t i = 0; i < of->run->holding_count; i++) {
        const trn_spread_holding *one = &of->run->holdings[i];
        passed += one->not_held_probability > SPREAD_CHANCE;
        if (passed == index + 1) {
            (void)snprintf(text, SPREAD_WORDS, "holding '%s': a chance of %s %% that it is not held", one->name,
                           spread_percent(one->not_held_probability, chance));
            return text;
        }
    }
    return NULL;
}

/* A bar on a terminal, and nothing anywhere else. */
static void show_progress(double done)
{
    enum { WIDTH = 40 };
    if (isatty(STDERR_FILENO) == 0 || message_is_quiet()) {
        return;
    }
    (void)fputs("\rspread [", stderr);
    for (int i = 0; i < WIDTH; i++) {
        (void)fputc(i < (int)(done * WIDTH) ? '#' : ' ', stderr);
    }
    (void)fprintf(stderr, "] %3.0f %%", 100 * done);
    (void)fputs(done < 1 ? "" : "\r\033[K", stderr);
    (void)fflush(stderr);
}

exit_status spread_finish(const options *asked, trn_spread *run)
{
    double done = 0;
    trn_error error;
    while (done < 1) {
        show_progress(done);
        if (trn_spread_advance(run, &done, &error) != TRN_OK) {
            show_progress(1);
            return fail_leaf(asked, &error);
        }
    }
    show_progress(1);
    return EXIT_DONE;
}

static exit_status write_shard(const options *asked, const trn_spread *run)
{
    unsigned char *bytes = NULL;
    size_t length = 0;
    output out;
    trn_error error;
    if (trn_spread_pack(run, &bytes, &length, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    exit_status status = output_open(&out);
    if (status == EXIT_DONE) {
        (void)fwrite(bytes, 1, length, out.stream);
        status = output_commit(&out, asked->output_file);
    }
    free(bytes);
    return status;
}

static exit_status tell(const options *asked, spread_result *of, const trn_spread *run)
{
    of->run = trn_spread_result_of(run);
    const presentation how = {
        spread_table, spread_csv, spread_json, spread_plot, {WIDTH_PT, (int)spread_height(of->run)}};
    of->shown = display_for(of->leaf);
    if (!of->run->within_tolerance && asked->spread.samples == 0 && !asked->merge) {
        warn("%llu samples do not reach the tolerance of every case: try --samples or --digits 1",
             (unsigned long long)of->run->samples);
    }
    const exit_status status = deliver(asked, &how, of);
    const bool in_table = asked->format == FORMAT_TABLE && asked->plot_file == NULL;
    char text[SPREAD_WORDS];
    for (size_t i = 0; status == EXIT_DONE && !in_table && spread_note(of, i, text) != NULL; i++) {
        warn("%s", text);
    }
    return status;
}

/* For people 5 degree steps fill a page; programs get every degree. */
static double step_for(const options *asked)
{
    const bool for_people =
        !asked->format_given && asked->plot_file == NULL && asked->spread.shards == 0 && !asked->merge;
    return asked->step_given || !for_people ? asked->step_deg : 5;
}

static int threads_for(const options *asked)
{
    const long online = sysconf(_SC_NPROCESSORS_ONLN);
    return asked->spread.threads > 0 ? asked->spread.threads : online > 1 ? (int)(online < 64 ? online : 64) : 1;
}

trn_spread_settings spread_settings(const options *asked)
{
    trn_spread_settings settings = trn_default_spread_settings();
    settings.seed = asked->spread.seed_given ? asked->spread.seed : settings.seed;
    settings.samples = asked->spread.samples;
    settings.digits = asked->spread.digits > 0 ? asked->spread.digits : settings.digits;
    settings.threads = threads_for(asked);
    if (asked->spread.shards > 0) {
        settings.shards = asked->spread.shards;
        settings.shard = asked->spread.shard;
    }
    return settings;
}

static exit_status draw(const options *asked, spread_result *of, const trn_spread_settings *settings)
{
    trn_spread *run = NULL;
    trn_error error;
    if (trn_spread_new(of->leaf, settings, &run, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    exit_status status = spread_finish(asked, run);
    if (status == EXIT_DONE) {
        /* One shard of one is a shard too: it can be merged like any other. */
        status = asked->spread.shards > 0 ? write_shard(asked, run) : tell(asked, of, run);
    }
    trn_spread_free(run);
    return status;
}

static exit_status fail_shard(const char *file, const trn_error *error)
{
    return error->status == TRN_NO_MEMORY ? fail_memory() : fail(EXIT_BAD_INPUT, "%s: %s", file, error->text);
}

/* Put one shard into the run; the first one tells samples and seed, and makes it. */
static exit_status merge_one(const options *asked, const spread_result *of, const char *file,
                             trn_spread_settings *settings, trn_spread **run)
{
    unsigned char *bytes = NULL;
    size_t length = 0;
    trn_error error;
    trn_spread_shard shard;
    exit_status status = input_read_bytes(file, SHARD_MOST, &bytes, &length);
    if (status != EXIT_DONE) {
        return status;
    }
    if (trn_spread_peek(bytes, length, &shard, &error) != TRN_OK) {
        status = fail_shard(file, &error);
    } else if (*run == NULL) {
        settings->seed = shard.seed;
        settings->samples = shard.samples;
        if (trn_spread_new(of->leaf, settings, run, &error) != TRN_OK) {
            status = fail_leaf(asked, &error);
        }
    }
    if (status == EXIT_DONE && trn_spread_join(*run, bytes, length, &error) != TRN_OK) {
        status = fail_shard(file, &error);
    }
    free(bytes);
    return status;
}

static exit_status merge(const options *asked, spread_result *of, trn_spread_settings *settings)
{
    trn_spread *run = NULL;
    exit_status status = EXIT_DONE;
    for (size_t i = 0; i < asked->further.count && status == EXIT_DONE; i++) {
        status = merge_one(asked, of, asked->further.names[i], settings, &run);
    }
    if (status == EXIT_DONE && run != NULL && trn_spread_lacking(run) > 0) {
        status = fail(EXIT_BAD_INPUT, "shard %u is not among the files: expected all parts of the samples",
                      trn_spread_lacking(run));
    }
    if (status == EXIT_DONE) {
        status = spread_finish(asked, run);
    }
    if (status == EXIT_DONE) {
        of->seed = settings->seed;
        status = tell(asked, of, run);
    }
    trn_spread_free(run);
    return status;
}

static exit_status spread_leaf(const options *asked, const trn_leaf *leaf)
{
    spread_result of = {.leaf = leaf, .cases = leaf->cases};
    trn_spread_settings settings = spread_settings(asked);
    settings.case_count = leaf->case_count;
    exit_status status = EXIT_DONE;
    input_note_choice(asked, "case", NULL);
    if (asked->case_name != NULL) {
        settings.case_count = 1;
        status = input_find_case(leaf, asked->leaf_file, asked->case_name, &of.cases);
    }
    if (status == EXIT_DONE) {
        status = angle_list_make(leaf->opens_to_rad, step_for(asked), &of.angles);
    }
    if (status == EXIT_DONE) {
        settings.cases = of.cases;
        settings.angles_rad = of.angles.radians;
        settings.angle_count = of.angles.count;
        of.seed = settings.seed;
        status = asked->merge ? merge(asked, &of, &settings) : draw(asked, &of, &settings);
    }
    angle_list_free(&of.angles);
    return status;
}

exit_status command_spread(const options *asked)
{
    return input_with_leaf(asked, spread_leaf);
}
