/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Rows of the bench that are calls of the library:
 *     rows spread LEAF SAMPLES THREADS ANGLES
 *     rows wind LEAF
 *     rows ballast LEAF
 *     rows glpk LEAF        the same plan, asked of GLPK bare
 * One line: seconds, seconds of all processors, the size of the work, the most memory in kB, and a mark of the bits.
 */
#include <glpk.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "trunnion/trunnion.h"

static double now(void)
{
    struct timespec at;
    (void)clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec + 1e-9 * (double)at.tv_nsec;
}

static double processor_time(void)
{
    struct timespec at;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return (double)at.tv_sec + 1e-9 * (double)at.tv_nsec;
}

static int fail_with(const char *text)
{
    (void)fprintf(stderr, "rows: %s\n", text);
    return 1;
}

static void mark(uint64_t *hash, const void *data, size_t size)
{
    const unsigned char *bytes = data;
    for (size_t i = 0; i < size; i++) {
        *hash = (*hash ^ bytes[i]) * UINT64_C(0x100000001B3);
    }
}

static int tell(double seconds, double processors, double work, uint64_t hash)
{
    struct rusage used;
    (void)getrusage(RUSAGE_SELF, &used);
    (void)printf("%.9f %.9f %.17g %ld %016llx\n", seconds, processors, work, used.ru_maxrss,
                 (unsigned long long)hash);
    return 0;
}

static double *even_angles(const trn_leaf *leaf, size_t count)
{
    double *angles = malloc(count * sizeof *angles);
    for (size_t i = 0; angles != NULL && i < count; i++) {
        angles[i] = leaf->opens_to_rad * (double)i / (double)(count - 1);
    }
    return angles;
}

/* All that a run takes until its quantiles and probabilities stand; the work is demands at an angle, in a direction. */
static int run_spread(const trn_leaf *leaf, char **arguments)
{
    trn_spread_settings settings = trn_default_spread_settings();
    trn_spread *run = NULL;
    trn_error error;
    double done = 0;
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    settings.cases = leaf->cases;
    settings.case_count = leaf->case_count;
    settings.samples = strtoull(arguments[0], NULL, 10);
    settings.threads = (int)strtol(arguments[1], NULL, 10);
    settings.angle_count = strtoul(arguments[2], NULL, 10);
    settings.without_indices = true;
    double *angles = even_angles(leaf, settings.angle_count);
    settings.angles_rad = angles;
    const double start = now();
    const double used = processor_time();
    if (angles == NULL || trn_spread_new(leaf, &settings, &run, &error) != TRN_OK) {
        return fail_with(angles == NULL ? "no memory" : error.text);
    }
    while (done < 1) {
        if (trn_spread_advance(run, &done, &error) != TRN_OK) {
            return fail_with(error.text);
        }
    }
    const double seconds = now() - start;
    const double processors = processor_time() - used;
    const trn_spread_result *result = trn_spread_result_of(run);
    for (size_t c = 0; c < result->case_count; c++) {
        mark(&hash, result->cases[c].rows, 2 * settings.angle_count * sizeof *result->cases[c].rows);
        mark(&hash, &result->cases[c].over_limit_probability, sizeof(double));
    }
    const double work = 2.0 * (double)(result->samples * settings.angle_count * result->case_count);
    const int status = tell(seconds, processors, work, hash);
    trn_spread_free(run);
    free(angles);
    return status;
}

/* The limits of raising, lowering and holding at whole degrees. */
static int run_wind(const trn_leaf *leaf)
{
    enum { DEGREES_MOST = 128, TIMES = 20 };
    double angles[DEGREES_MOST];
    double speeds[DEGREES_MOST];
    trn_error error;
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    size_t count = 0;
    for (; (double)count * 0.017453292519943295 <= leaf->opens_to_rad; count++) {
        angles[count] = (double)count * 0.017453292519943295;
    }
    const double start = now();
    const double used = processor_time();
    for (int i = 0; i < TIMES; i++) {
        for (int action = TRN_RAISE; action <= TRN_HOLD; action++) {
            const trn_wind_question question = {.action = (trn_action)action, .motors_running = leaf->motors->running};
            if (trn_wind_limits_at(leaf, question, angles, count, speeds, &error) != TRN_OK) {
                return fail_with(error.text);
            }
            mark(&hash, speeds, count * sizeof *speeds);
        }
    }
    return tell((now() - start) / TIMES, (processor_time() - used) / TIMES, 3.0 * (double)count, hash);
}

static int run_ballast(const trn_leaf *leaf)
{
    const trn_ballast_settings settings = trn_default_ballast_settings();
    trn_ballast_move moves[64];
    trn_ballast_plan plan;
    trn_error error;
    const double start = now();
    const double used = processor_time();
    if (trn_leaf_ballast(leaf, &settings, moves, &plan, &error) != TRN_OK) {
        return fail_with(error.text);
    }
    return tell(now() - start, processor_time() - used, plan.blocks_handled, (uint64_t)plan.gap_blocks);
}

/* Columns of a pocket: blocks more and blocks fewer. */
static void add_pocket(glp_prob *program, const trn_pocket *pocket, int sense, int *rows, int *columns, double *values,
                       int *entries)
{
    const int column = glp_add_cols(program, 1);
    const int most = sense > 0 ? pocket->room - pocket->blocks : pocket->blocks;
    const double effects[] = {pocket->block_N * pocket->at.x, pocket->block_N * pocket->at.y};
    glp_set_col_kind(program, column, GLP_IV);
    glp_set_col_bnds(program, column, most > 0 ? GLP_DB : GLP_FX, 0, most);
    glp_set_obj_coef(program, column, 1);
    for (int row = 0; row < 2; row++) {
        ++*entries;
        rows[*entries] = row + 1;
        columns[*entries] = column;
        values[*entries] = sense * effects[row];
    }
}

/* Fewest blocks handled with A and B within the target, as a program of two rows, solved as GLPK solves it. */
static int run_glpk(const trn_leaf *leaf)
{
    enum { ENTRIES = 256 };
    int rows[ENTRIES];
    int columns[ENTRIES];
    double values[ENTRIES];
    int entries = 0;
    const trn_balance balance = trn_leaf_balance(leaf);
    const trn_balance_target *target = leaf->balance_target;
    const double b = balance.moment_Nm * sin(balance.angle_rad);
    const double start = now();
    const double used = processor_time();
    (void)glp_term_out(GLP_OFF);
    glp_prob *program = glp_create_prob();
    (void)glp_add_rows(program, 2);
    glp_set_row_bnds(program, 1, GLP_DB, target->a_Nm.low - balance.closed_moment_Nm,
                     target->a_Nm.high - balance.closed_moment_Nm);
    glp_set_row_bnds(program, 2, GLP_DB, target->b_Nm.low - b, target->b_Nm.high - b);
    for (size_t i = 0; i < leaf->pocket_count; i++) {
        add_pocket(program, &leaf->pockets[i], 1, rows, columns, values, &entries);
        add_pocket(program, &leaf->pockets[i], -1, rows, columns, values, &entries);
    }
    glp_load_matrix(program, entries, rows, columns, values);
    glp_iocp settings;
    glp_init_iocp(&settings);
    settings.presolve = GLP_ON;
    settings.tm_lim = 20000;
    (void)glp_intopt(program, &settings);
    const double seconds = now() - start;
    const double processors = processor_time() - used;
    const double handled = glp_mip_obj_val(program);
    glp_delete_prob(program);
    (void)glp_free_env();
    return tell(seconds, processors, handled, 0);
}

static char *read_file(const char *name, size_t *length)
{
    enum { MOST = 1 << 20 };
    FILE *stream = fopen(name, "rb");
    char *text = malloc(MOST);
    *length = stream != NULL && text != NULL ? fread(text, 1, MOST, stream) : 0;
    if (stream != NULL) {
        (void)fclose(stream);
    }
    return text;
}

int main(int count, char **arguments)
{
    size_t length = 0;
    trn_faults faults;
    trn_description *description = NULL;
    if (count < 3) {
        return fail_with("expected a row and a leaf file");
    }
    char *text = read_file(arguments[2], &length);
    if (text == NULL || trn_description_read(text, length, &description, &faults) != TRN_OK) {
        free(text);
        return fail_with("the leaf file cannot be read");
    }
    const trn_leaf *leaf = trn_description_leaf(description);
    int status = 1;
    if (strcmp(arguments[1], "spread") == 0 && count == 6) {
        status = run_spread(leaf, arguments + 3);
    } else if (strcmp(arguments[1], "wind") == 0) {
        status = run_wind(leaf);
    } else if (strcmp(arguments[1], "ballast") == 0) {
        status = run_ballast(leaf);
    } else if (strcmp(arguments[1], "glpk") == 0) {
        status = run_glpk(leaf);
    }
    trn_description_free(description);
    free(text);
    return status;
}
