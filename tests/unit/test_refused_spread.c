/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of samples that is refused memory, piece by piece, or threads. */
#include <errno.h>
#include <pthread.h>

#include "refusing.h"
#include "spreading.h"

/* Threads that may still begin; the linker puts this in place of the system's (see Makefile). */
static int threads_left;

int __real_pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*start)(void *), void *argument);

int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*start)(void *), void *argument)
{
    return threads_left-- > 0 ? __real_pthread_create(thread, how, start, argument) : EAGAIN;
}

/* A leaf with something of each sort uncertain, a linked counterweight, and wind to hold against. */
static const char text[] =
    "leaf: Osier Reach\n"
    "opens_to: 70 degree\n"
    "toe: 12 m\n"
    "parts: [{name: girder, weight: 30 t, at: [4 m, 0.5 m], uncertainty: 3 %}]\n"
    "linked_counterweight:\n"
    "  pivot: [-8.5 m, 6.4 m]\n"
    "  pin_on_leaf: [-4.8 m, 1.2 m]\n"
    "  pin_on_counterweight: [-13.3 m, 7.6 m]\n"
    "  journal_diameter: 320 mm\n"
    "  friction: {starting: 0.18, moving: 0.12}\n"
    "  parts: [{name: box, weight: 25 t, at: [-13.1 m, 6.19 m], uncertainty: 2 %}]\n"
    "surfaces:\n"
    "  - {name: deck, from: [0.5 m, 1 m], to: [12 m, 1 m], width: 8 m, solidity: 0.8}\n"
    "  - {name: tray, from: [1 m, 0.4 m], to: [9 m, 0.4 m], width: 1 m, wind: no, ice: yes}\n"
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}, drag: 1 kN m}\n"
    "drive: {ratio: 900, efficiency: 0.85}\n"
    "motors: {installed: 2, running: 2, power: 10 kW, speed: 870 rpm, inertia: 0.2 kg m2, peak: 2, law: constant}\n"
    "brakes: [{name: motor brakes, count: 2, torque: 100 N m, ratio: 900, delay: 0.3 s, set_time: 0.5 s}]\n"
    "cases: [{name: windy, wind: {pressure: 200 Pa}, ice: 10 kg/m2}]\n"
    "holding: [{name: storm, wind: {pressure: 900 Pa}, factor: 1}]\n"
    "uncertainties:\n"
    "  - {of: moving friction, range: [0.08, 0.18]}\n"
    "  - {of: wind pressure, sd: 20 %}\n"
    "  - {of: solidity, on: deck, sd: 5 %}\n";

static trn_description *description;

static int read_leaf(void **state)
{
    (void)state;
    description = read_well(text);
    return 0;
}

static int free_leaf(void **state)
{
    (void)state;
    trn_description_free(description);
    return 0;
}

/* Few, so that a run takes no time. */
enum { ANGLES = 3 };

/* How a run is made: in one piece, or in two shards that are packed and joined; and what came out. */
typedef struct task {
    uint32_t shards;
    int threads;
    double p95_Nm[ANGLES];
    double not_held;
} task;

static trn_status to_the_end(trn_spread *run)
{
    trn_error error;
    double done = 0;
    trn_status status = TRN_OK;
    while (done < 1 && status == TRN_OK) {
        status = trn_spread_advance(run, &done, &error);
    }
    return status;
}

static trn_status add_shard(trn_spread *whole, trn_spread_settings settings, uint32_t shard)
{
    trn_error error;
    trn_spread *run = NULL;
    unsigned char *bytes = NULL;
    size_t length = 0;
    settings.shard = shard;
    settings.shards = 2;
    trn_status status = trn_spread_new(trn_description_leaf(description), &settings, &run, &error);
    status = status == TRN_OK ? to_the_end(run) : status;
    status = status == TRN_OK ? trn_spread_pack(run, &bytes, &length, &error) : status;
    status = status == TRN_OK ? trn_spread_join(whole, bytes, length, &error) : status;
    free(bytes);
    trn_spread_free(run);
    return status;
}

static trn_status spread(void *of)
{
    task *made = of;
    trn_error error;
    trn_spread *run = NULL;
    trn_spread_settings settings = spread_settings(trn_description_leaf(description));
    settings.threads = made->threads;
    settings.samples = 40;
    settings.angle_count = ANGLES;
    trn_status status = trn_spread_new(trn_description_leaf(description), &settings, &run, &error);
    for (uint32_t shard = 1; shard <= made->shards && status == TRN_OK; shard++) {
        status = add_shard(run, settings, shard);
    }
    status = status == TRN_OK ? to_the_end(run) : status;
    if (status == TRN_OK) {
        const trn_spread_result *result = trn_spread_result_of(run);
        made->not_held = result->holdings[0].not_held_probability;
        for (size_t i = 0; i < ANGLES; i++) {
            made->p95_Nm[i] = result->cases[0].rows[i].demand_Nm.p95;
        }
    }
    trn_spread_free(run);
    return status;
}

static void each_piece_of_memory(void **state)
{
    (void)state;
    task whole = {.threads = 1};
    task shards = {.threads = 1, .shards = 2};
    assert_true(refuse_each(spread, &whole, TRN_OK) > 50);
    assert_true(refuse_each(spread, &shards, TRN_OK) > 50);
}

/* Where threads cannot be had, the others do their share, to the same bits. */
static void threads_that_cannot_be_had(void **state)
{
    (void)state;
    task alone = {.threads = 1};
    assert_int_equal(spread(&alone), TRN_OK);
    assert_true(alone.p95_Nm[0] > 0);
    for (int had = 0; had < 3; had++) {
        task some = {.threads = 4};
        threads_left = had;
        assert_int_equal(spread(&some), TRN_OK);
        assert_true(threads_left < 0);
        assert_same_bits(some.not_held, alone.not_held);
        for (size_t i = 0; i < ANGLES; i++) {
            assert_same_bits(some.p95_Nm[i], alone.p95_Nm[i]);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_piece_of_memory),
        cmocka_unit_test(threads_that_cannot_be_had),
    };
    return cmocka_run_group_tests_name("refused to a spread", tests, read_leaf, free_leaf);
}
