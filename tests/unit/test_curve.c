/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments over angles: the rows, the failures, and the same bits every time. */
#include "assertions.h"

#include <pthread.h>

#include "sample.h"
#include "trunnion/moments.h"

#define ROWS 77
#define THREADS 6
#define ROUNDS 20

static const trn_journal journal = {.diameter_m = 0.48, .friction = {.starting = 0.18, .moving = 0.12},
                                    .drag_Nm = 700.0};
static const trn_drive drive = {.kind = TRN_DRIVE_RATIO, .ratio = 1500.0, .efficiency = 0.8};
static const trn_motors motors = {.installed = 2, .running = 2, .power_W = 30e3, .speed_rad_s = 91.0,
                                  .inertia_kg_m2 = 1.8, .peak = 2.0};
static const trn_travel travel = {.speed_rad_s = 0.02, .accelerate_in_s = 8.0, .creep = 0.15};
static const trn_wind_profile profile = {.exponent = 0.16, .reference_height_m = 10.0, .trunnion_height_m = 5.0,
                                         .lowest_m = 4.0};

typedef struct curve {
    trn_leaf leaf;
    trn_case load_case;
    double angles[ROWS];
    trn_moments rows[ROWS];
} curve;

/* Zeroed first, so that padding does not count when bits are compared. */
static void start_curve(curve *work)
{
    memset(work, 0, sizeof *work);
    work->leaf = sample_leaf();
    work->leaf.trunnion = &journal;
    work->leaf.drive = &drive;
    work->leaf.motors = &motors;
    work->leaf.travel = &travel;
    work->load_case = trn_default_case();
    work->load_case.wind.pressure_Pa = 480.0;
    work->load_case.wind.law = TRN_WIND_NORMAL;
    work->load_case.wind.profile = &profile;
    work->load_case.ice_N_m2 = 120.0;
    work->load_case.accelerating = true;
    for (int i = 0; i < ROWS; i++)
        work->angles[i] = i * DEGREE;
}

static trn_status run_curve(curve *work, trn_error *error)
{
    return trn_leaf_curve(&work->leaf, &work->load_case, work->angles, ROWS, work->rows, error);
}

static bool same_row(const trn_moments *a, const trn_moments *b)
{
    return is_same_bits(a->angle_rad, b->angle_rad) && is_same_bits(a->balance_Nm, b->balance_Nm) &&
           is_same_bits(a->wind_opening_Nm, b->wind_opening_Nm) &&
           is_same_bits(a->wind_closing_Nm, b->wind_closing_Nm) && is_same_bits(a->ice_Nm, b->ice_Nm) &&
           is_same_bits(a->friction_opening_Nm, b->friction_opening_Nm) &&
           is_same_bits(a->friction_closing_Nm, b->friction_closing_Nm) &&
           is_same_bits(a->inertia_Nm, b->inertia_Nm) && is_same_bits(a->opening_Nm, b->opening_Nm) &&
           is_same_bits(a->closing_Nm, b->closing_Nm) && a->has_motor == b->has_motor &&
           is_same_bits(a->motor_opening_Nm, b->motor_opening_Nm) &&
           is_same_bits(a->motor_closing_Nm, b->motor_closing_Nm) &&
           is_same_bits(a->reaction_opening_N, b->reaction_opening_N) &&
           is_same_bits(a->reaction_closing_N, b->reaction_closing_N);
}

static bool same_rows(const curve *a, const curve *b)
{
    for (size_t i = 0; i < ROWS; i++)
        if (!same_row(&a->rows[i], &b->rows[i]))
            return false;
    return true;
}

static void the_rows_of_a_curve_are_the_moments_at_its_angles(void **state)
{
    (void)state;
    curve work;
    start_curve(&work);
    assert_int_equal(run_curve(&work, NULL), TRN_OK);
    trn_loading loading;
    assert_int_equal(trn_loading_prepare(&work.leaf, &work.load_case, &loading, NULL), TRN_OK);
    for (size_t i = 0; i < ROWS; i++) {
        trn_moments alone = trn_loading_moments(&loading, work.angles[i]);
        assert_true(same_row(&work.rows[i], &alone));
    }
}

static void the_rows_stand_in_the_order_of_the_angles_given(void **state)
{
    (void)state;
    curve work;
    curve backwards;
    start_curve(&work);
    start_curve(&backwards);
    for (size_t i = 0; i < ROWS; i++)
        backwards.angles[i] = work.angles[ROWS - 1 - i];
    assert_int_equal(run_curve(&work, NULL), TRN_OK);
    assert_int_equal(run_curve(&backwards, NULL), TRN_OK);
    for (size_t i = 0; i < ROWS; i++)
        assert_true(same_row(&backwards.rows[i], &work.rows[ROWS - 1 - i]));
}

static void a_curve_writes_no_row_beyond_its_count(void **state)
{
    (void)state;
    curve work;
    start_curve(&work);
    work.rows[3].opening_Nm = 4711.0;
    assert_int_equal(trn_leaf_curve(&work.leaf, &work.load_case, work.angles, 3, work.rows, NULL), TRN_OK);
    assert_same_bits(work.rows[3].opening_Nm, 4711.0);
    assert_same_bits(work.rows[2].angle_rad, 2 * DEGREE);
}

static void a_curve_of_no_angles_is_done_at_once(void **state)
{
    (void)state;
    curve work;
    start_curve(&work);
    assert_int_equal(trn_leaf_curve(&work.leaf, &work.load_case, NULL, 0, NULL, NULL), TRN_OK);
}

static void accelerating_without_travel_lacks_a_section_and_leaves_the_rows(void **state)
{
    (void)state;
    curve work;
    start_curve(&work);
    work.leaf.travel = NULL;
    memset(work.rows, 0x5a, sizeof work.rows);
    curve before = work;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(run_curve(&work, &error), TRN_MISSING_SECTION);
    assert_memory_equal(work.rows, before.rows, sizeof work.rows);
    assert_int_equal(error.status, TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "travel"));
}

static void accelerating_without_travel_leaves_a_loading_untouched(void **state)
{
    (void)state;
    curve work;
    start_curve(&work);
    work.leaf.travel = NULL;
    trn_loading loading;
    trn_loading before;
    memset(&loading, 0x5a, sizeof loading);
    before = loading;
    assert_int_equal(trn_loading_prepare(&work.leaf, &work.load_case, &loading, NULL), TRN_MISSING_SECTION);
    assert_memory_equal(&loading, &before, sizeof loading);
}

static void a_case_at_steady_speed_asks_for_no_travel(void **state)
{
    (void)state;
    curve work;
    start_curve(&work);
    work.leaf.travel = NULL;
    work.load_case.accelerating = false;
    assert_int_equal(run_curve(&work, NULL), TRN_OK);
    assert_near(work.rows[40].inertia_Nm, 0.0, 0.0);
}

static void the_same_inputs_give_the_same_bits_twice(void **state)
{
    (void)state;
    curve first;
    curve second;
    start_curve(&first);
    start_curve(&second);
    assert_int_equal(run_curve(&first, NULL), TRN_OK);
    assert_int_equal(run_curve(&second, NULL), TRN_OK);
    assert_true(same_rows(&first, &second));
}

static void *run_in_thread(void *context)
{
    curve *work = context;
    for (int i = 0; i < ROUNDS; i++)
        if (run_curve(work, NULL) != TRN_OK)
            return work;
    return NULL;
}

static void the_same_inputs_give_the_same_bits_from_every_thread(void **state)
{
    (void)state;
    static curve works[THREADS];
    pthread_t threads[THREADS];
    curve alone;
    start_curve(&alone);
    assert_int_equal(run_curve(&alone, NULL), TRN_OK);
    for (size_t i = 0; i < THREADS; i++) {
        start_curve(&works[i]);
        /* Unlike neighbours, so that state kept between calls would show. */
        if (i % 2)
            works[i].load_case.wind.pressure_Pa = 100.0 * (double)i;
        assert_int_equal(pthread_create(&threads[i], NULL, run_in_thread, &works[i]), 0);
    }
    for (size_t i = 0; i < THREADS; i++) {
        void *failed = NULL;
        assert_int_equal(pthread_join(threads[i], &failed), 0);
        assert_null(failed);
    }
    for (size_t i = 0; i < THREADS; i++) {
        if (i % 2) {
            alone.load_case.wind.pressure_Pa = 100.0 * (double)i;
            assert_int_equal(run_curve(&alone, NULL), TRN_OK);
            assert_true(same_rows(&works[i], &alone));
        } else {
            assert_true(same_rows(&works[i], &works[0]));
        }
    }
    assert_false(same_rows(&works[0], &works[1]));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_rows_of_a_curve_are_the_moments_at_its_angles),
        cmocka_unit_test(the_rows_stand_in_the_order_of_the_angles_given),
        cmocka_unit_test(a_curve_writes_no_row_beyond_its_count),
        cmocka_unit_test(a_curve_of_no_angles_is_done_at_once),
        cmocka_unit_test(accelerating_without_travel_lacks_a_section_and_leaves_the_rows),
        cmocka_unit_test(accelerating_without_travel_leaves_a_loading_untouched),
        cmocka_unit_test(a_case_at_steady_speed_asks_for_no_travel),
        cmocka_unit_test(the_same_inputs_give_the_same_bits_twice),
        cmocka_unit_test(the_same_inputs_give_the_same_bits_from_every_thread),
    };
    return cmocka_run_group_tests_name("curve", tests, NULL, NULL);
}
