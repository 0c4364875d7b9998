/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * cycle_cvode LEAF [ROUNDS]: one opening and one closing of a leaf on a drive
 * of one ratio, by the library and by SUNDIALS CVODE with root finding
 * (tests/unit/oracle_run.h), in turn, at equal error. Prints JSON: medians in
 * ms, errors, tolerances, and the truth for another peer.
 */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "../unit/oracle_run.h"
#include "trunnion/trunnion.h"

/* Relative error that both are driven to. */
static const double goal = 1e-8;

enum { REPEATS = 20, ROUNDS_MAX = 1000, TRUTHS = 5 };

/* What is held against the truth: time to the switch, end angle, works of motors, friction, gears. */
typedef struct answer {
    double values[TRUTHS];
} answer;

typedef struct problem {
    trn_leaf leaf;
    trn_part lump; /* of the same weight, moments and inertia as the leaf */
    trn_leaf lumped;
    trn_run_setting setting;
} problem;

/* Of this process, so that what else the machine does matters less. */
static double now_ms(void)
{
    struct timespec at;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return 1e3 * (double)at.tv_sec + 1e-6 * (double)at.tv_nsec;
}

static void pose(problem *of, const trn_leaf *leaf)
{
    const trn_body body = trn_leaf_body(leaf);
    const double mass = body.weight_N / TRN_STANDARD_GRAVITY;
    const trn_point at = {body.a_Nm / body.weight_N, body.b_Nm / body.weight_N};
    of->leaf = *leaf;
    of->lump = trn_default_part();
    of->lump.weight_N = body.weight_N;
    of->lump.at = at;
    of->lump.gyration_m = sqrt(body.inertia_kg_m2 / mass - at.x * at.x - at.y * at.y);
    of->lumped = *leaf;
    of->lumped.parts = &of->lump;
    of->lumped.part_count = 1;
    of->lumped.pocket_count = 0;
    of->setting = trn_default_run_setting(leaf);
}

static answer by_library(problem *of, trn_direction direction, double tolerance)
{
    trn_run run;
    trn_error error;
    of->setting.direction = direction;
    of->setting.tolerance = tolerance;
    if (trn_leaf_run(&of->leaf, &of->setting, &run, &error) != TRN_OK) {
        fprintf(stderr, "%s\n", error.text);
        exit(3);
    }
    const trn_run_work *work = &run.work;
    const answer is = {{run.time_s, run.end_angle_rad, work->motors_J, work->friction_J, work->gears_J}};
    trn_run_free(&run);
    return is;
}

static answer by_cvode(problem *of, trn_direction direction, double tolerance)
{
    static oracle_run run;
    of->setting.direction = direction;
    oracle_make_run(&run, &of->lumped, &of->setting, tolerance, 1);
    const answer is = {{run.switch_time_s, run.at[AT_ANGLE], run.at[AT_MOTORS], run.at[AT_FRICTION], run.at[AT_GEARS]}};
    oracle_free(&run);
    return is;
}

typedef answer (*solver)(problem *of, trn_direction direction, double tolerance);

/* The largest error: of a time and an angle relative to themselves or a radian, of works to the largest. */
static double error_of(const answer *is, const answer *truth)
{
    double largest = 0;
    for (int i = 2; i < TRUTHS; i++)
        largest = fmax(largest, fabs(truth->values[i]));
    double worst = fabs(is->values[0] / truth->values[0] - 1);
    worst = fmax(worst, fabs(is->values[1] - truth->values[1]));
    for (int i = 2; i < TRUTHS; i++)
        worst = fmax(worst, fabs(is->values[i] - truth->values[i]) / largest);
    return worst;
}

static double error_at(problem *of, solver by, double tolerance, const answer truth[2])
{
    double worst = 0;
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        const answer is = by(of, (trn_direction)direction, tolerance);
        worst = fmax(worst, error_of(&is, &truth[direction]));
    }
    return worst;
}

/* The coarsest tolerance that, with all finer ones, reaches the goal. */
static double tolerance_for_goal(problem *of, solver by, const answer truth[2])
{
    double coarsest = 1e-13;
    for (double tolerance = 1e-13; tolerance < 2e-4; tolerance *= sqrt(10.0)) {
        if (!(error_at(of, by, tolerance, truth) <= goal))
            break;
        coarsest = tolerance;
    }
    return coarsest;
}

static double time_of(problem *of, solver by, double tolerance)
{
    const double before = now_ms();
    for (int i = 0; i < REPEATS; i++) {
        by(of, TRN_OPENING, tolerance);
        by(of, TRN_CLOSING, tolerance);
    }
    return (now_ms() - before) / REPEATS;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *values, int count)
{
    qsort(values, (size_t)count, sizeof *values, by_size);
    return (values[(count - 1) / 2] + values[count / 2]) / 2;
}

static void print_truth(const char *name, const answer *truth)
{
    printf(" \"%s\": {\"time_s\": %.17g, \"end_angle_rad\": %.17g, \"motors_J\": %.17g, \"friction_J\": %.17g, "
           "\"gears_J\": %.17g},\n",
           name, truth->values[0], truth->values[1], truth->values[2], truth->values[3], truth->values[4]);
}

static void compare(problem *of, int rounds)
{
    static double ours[ROUNDS_MAX];
    static double theirs[ROUNDS_MAX];
    const answer truth[2] = {by_cvode(of, TRN_OPENING, 1e-13), by_cvode(of, TRN_CLOSING, 1e-13)};
    const double our_tolerance = tolerance_for_goal(of, by_library, truth);
    const double their_tolerance = tolerance_for_goal(of, by_cvode, truth);
    for (int i = 0; i < rounds; i++) {
        theirs[i] = time_of(of, by_cvode, their_tolerance);
        ours[i] = time_of(of, by_library, our_tolerance);
    }
    printf("{\n");
    print_truth("opening", &truth[TRN_OPENING]);
    print_truth("closing", &truth[TRN_CLOSING]);
    printf(" \"goal\": %g,\n \"library\": {\"median_ms\": %.6f, \"tolerance\": %.1e, \"error\": %.1e},\n", goal,
           median(ours, rounds), our_tolerance, error_at(of, by_library, our_tolerance, truth));
    printf(" \"cvode\": {\"median_ms\": %.6f, \"tolerance\": %.1e, \"error\": %.1e}\n}\n", median(theirs, rounds),
           their_tolerance, error_at(of, by_cvode, their_tolerance, truth));
}

static char *read_file(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    char *text = malloc(1 << 20);
    if (file == NULL || text == NULL) {
        fprintf(stderr, "%s cannot be read\n", path);
        exit(2);
    }
    *length = fread(text, 1, 1 << 20, file);
    fclose(file);
    return text;
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fprintf(stderr, "usage: cycle_cvode LEAF [ROUNDS]\n");
        return 2;
    }
    const int rounds = argc > 2 ? atoi(argv[2]) : 11;
    size_t length = 0;
    char *text = read_file(argv[1], &length);
    trn_description *description = NULL;
    trn_faults faults = {0};
    if (trn_description_read(text, length, &description, &faults) != TRN_OK || rounds < 1 || rounds > ROUNDS_MAX) {
        fprintf(stderr, "%s cannot be read as a leaf\n", argv[1]);
        return 2;
    }
    static problem of;
    pose(&of, trn_description_leaf(description));
    compare(&of, rounds);
    trn_description_free(description);
    free(text);
    return 0;
}
