/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The speed reference of an opening or closing as phases. */
#include "machinery.h"

static double end_speed(const trn_phase *phase)
{
    return phase->speed_rad_s + phase->acceleration_rad_s2 * phase->duration_s;
}

static double end_angle(const trn_phase *phase, trn_direction direction)
{
    double mean = phase->speed_rad_s + phase->acceleration_rad_s2 * phase->duration_s / 2;
    return phase->start_rad + (direction == TRN_OPENING ? 1 : -1) * mean * phase->duration_s;
}

static void check_course(const trn_travel *travel, double opens_to_rad, trn_direction direction)
{
    trn_phase phases[TRN_PHASES_MAX];
    size_t count = trn_travel_phases(travel, opens_to_rad, direction, phases);
    assert_true(count >= 1 && count <= TRN_PHASES_MAX);
    assert_same_bits(phases[0].speed_rad_s, 0.0);
    assert_near(phases[0].start_rad, direction == TRN_OPENING ? 0 : opens_to_rad, 0.0);
    for (size_t i = 0; i < count; i++) {
        assert_true(phases[i].duration_s > 0);
        assert_true(phases[i].speed_rad_s >= 0 && end_speed(&phases[i]) > 0);
        assert_true(end_speed(&phases[i]) <= travel->speed_rad_s * (1 + 1e-12));
        if (i + 1 < count) {
            assert_near(phases[i + 1].start_rad, end_angle(&phases[i], direction), 1e-12);
            assert_near(phases[i + 1].speed_rad_s, end_speed(&phases[i]), 1e-13);
        }
    }
    assert_near(end_angle(&phases[count - 1], direction), direction == TRN_OPENING ? opens_to_rad : 0, 1e-12);
}

static void phases_join_without_gaps_and_end_at_the_end(void **state)
{
    (void)state;
    const double opens_to = 76 * DEGREE;
    for (double speed = 0.005; speed < 0.2; speed *= 1.6)
        for (double creep = 0.05; creep <= 1.0; creep += 0.19)
            for (double near_open = 0.15; near_open < opens_to; near_open += 0.21)
                for (double fall = 0.5; fall < 60; fall *= 2.5) {
                    trn_travel travel = {.speed_rad_s = speed, .accelerate_in_s = 8, .creep = creep,
                                         .near_open_rad = near_open, .near_closed_rad = near_open / 3,
                                         .decelerate_in_s = fall};
                    check_course(&travel, opens_to, TRN_OPENING);
                    check_course(&travel, opens_to, TRN_CLOSING);
                }
}

/* 0.02 rad/s in 8 s: 0.08 rad; to the switch 1.2 rad; to creep 0.003 rad/s in 5 s: 0.0575 rad; the rest at creep. */
static void a_whole_opening_has_climb_speed_fall_and_creep(void **state)
{
    (void)state;
    trn_phase phases[TRN_PHASES_MAX];
    assert_int_equal(trn_travel_phases(&machinery_travel, 1.3, TRN_OPENING, phases), 4);
    assert_close(phases[0].acceleration_rad_s2, 0.0025, 1e-15);
    assert_close(phases[0].duration_s, 8.0, 1e-14);
    assert_close(phases[1].start_rad, 0.08, 1e-14);
    assert_same_bits(phases[1].acceleration_rad_s2, 0.0);
    assert_same_bits(phases[1].speed_rad_s, 0.02);
    assert_close(phases[1].duration_s, 1.12 / 0.02, 1e-14);
    assert_close(phases[2].start_rad, 1.2, 1e-14);
    assert_close(phases[2].acceleration_rad_s2, -0.0034, 1e-14);
    assert_close(phases[2].duration_s, 5.0, 1e-14);
    assert_close(phases[3].start_rad, 1.2575, 1e-14);
    assert_close(phases[3].speed_rad_s, 0.003, 1e-14);
    assert_close(phases[3].duration_s, 0.0425 / 0.003, 1e-12);
}

static void closing_slows_down_at_the_near_closed_switch(void **state)
{
    (void)state;
    trn_phase phases[TRN_PHASES_MAX];
    assert_int_equal(trn_travel_phases(&machinery_travel, 1.3, TRN_CLOSING, phases), 4);
    assert_close(phases[0].start_rad, 1.3, 1e-15);
    assert_close(phases[1].start_rad, 1.22, 1e-14);
    assert_close(phases[2].start_rad, 0.1, 1e-13);
    assert_close(phases[2].speed_rad_s, 0.02, 1e-14);
    assert_close(phases[3].start_rad, 0.0425, 1e-12);
    assert_close(phases[3].duration_s, 0.0425 / 0.003, 1e-12);
}

static void a_switch_too_near_is_met_while_still_climbing(void **state)
{
    (void)state;
    trn_travel travel = machinery_travel;
    trn_phase phases[TRN_PHASES_MAX];
    travel.near_open_rad = 0.0405; /* where the speed is sqrt(2 * 0.0025 * 0.0405) = 0.01423 rad/s */
    assert_int_equal(trn_travel_phases(&travel, 1.3, TRN_OPENING, phases), 3);
    double speed = sqrt(2 * 0.0025 * 0.0405);
    assert_close(phases[0].duration_s, speed / 0.0025, 1e-13);
    assert_close(phases[1].speed_rad_s, speed, 1e-13);
    assert_close(phases[1].acceleration_rad_s2, -0.0034, 1e-14);
    assert_close(phases[1].duration_s, (speed - 0.003) / 0.0034, 1e-13);
    assert_close(phases[2].speed_rad_s, 0.003, 1e-14);
}

static void a_switch_nearer_still_leaves_the_leaf_climbing_to_creep(void **state)
{
    (void)state;
    trn_travel travel = machinery_travel;
    trn_phase phases[TRN_PHASES_MAX];
    travel.near_open_rad = 0.0008; /* 0.002 rad/s there; creep is 0.003 */
    assert_int_equal(trn_travel_phases(&travel, 1.3, TRN_OPENING, phases), 3);
    assert_close(phases[0].duration_s, 0.8, 1e-13);
    assert_close(phases[1].speed_rad_s, 0.002, 1e-13);
    assert_close(phases[1].acceleration_rad_s2, 0.0025, 1e-14);
    assert_close(phases[1].duration_s, 0.4, 1e-12);
    assert_same_bits(phases[2].acceleration_rad_s2, 0.0);
    assert_close(phases[2].speed_rad_s, 0.003, 1e-14);
}

static void a_fall_that_the_travel_does_not_leave_room_for_ends_above_creep(void **state)
{
    (void)state;
    trn_travel travel = machinery_travel;
    trn_phase phases[TRN_PHASES_MAX];
    travel.near_open_rad = 1.28; /* 0.02 rad left; to creep it would take 0.0575 rad */
    assert_int_equal(trn_travel_phases(&travel, 1.3, TRN_OPENING, phases), 3);
    assert_close(end_speed(&phases[2]), sqrt(0.02 * 0.02 - 2 * 0.0034 * 0.02), 1e-12);
}

static void creep_at_full_speed_is_no_fall_at_all(void **state)
{
    (void)state;
    trn_travel travel = machinery_travel;
    trn_phase phases[TRN_PHASES_MAX];
    travel.creep = 1.0;
    size_t count = trn_travel_phases(&travel, 1.3, TRN_OPENING, phases);
    assert_true(count == 2 || count == 3);
    double total = 0;
    for (size_t i = 0; i < count; i++)
        total += phases[i].duration_s;
    assert_close(total, 8.0 + 1.22 / 0.02, 1e-13);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(phases_join_without_gaps_and_end_at_the_end),
        cmocka_unit_test(a_whole_opening_has_climb_speed_fall_and_creep),
        cmocka_unit_test(closing_slows_down_at_the_near_closed_switch),
        cmocka_unit_test(a_switch_too_near_is_met_while_still_climbing),
        cmocka_unit_test(a_switch_nearer_still_leaves_the_leaf_climbing_to_creep),
        cmocka_unit_test(a_fall_that_the_travel_does_not_leave_room_for_ends_above_creep),
        cmocka_unit_test(creep_at_full_speed_is_no_fall_at_all),
    };
    return cmocka_run_group_tests_name("phases", tests, NULL, NULL);
}
