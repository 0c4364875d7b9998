/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/travel.h"

static void acceleration_is_speed_over_the_time_to_reach_it(void **state)
{
    (void)state;
    trn_travel travel = {.speed_rad_s = 0.02, .accelerate_in_s = 8.0, .creep = 0.15, .near_open_rad = 1.2,
                         .near_closed_rad = 0.1, .decelerate_in_s = 5.0};
    assert_close(trn_travel_acceleration(&travel), 0.0025, 1e-15);
}

static void acceleration_asks_neither_creep_nor_deceleration(void **state)
{
    (void)state;
    trn_travel travel = {.speed_rad_s = 0.02, .accelerate_in_s = 8.0, .creep = 0.15, .decelerate_in_s = 5.0};
    trn_travel other = travel;
    other.creep = 1.0;
    other.decelerate_in_s = 50.0;
    other.near_open_rad = 0.9;
    assert_same_bits(trn_travel_acceleration(&other), trn_travel_acceleration(&travel));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(acceleration_is_speed_over_the_time_to_reach_it),
        cmocka_unit_test(acceleration_asks_neither_creep_nor_deceleration),
    };
    return cmocka_run_group_tests_name("travel", tests, NULL, NULL);
}
