/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/motor.h"

static void rated_torque_is_power_over_speed(void **state)
{
    (void)state;
    trn_motors motors = {.installed = 1, .running = 1, .power_W = 30e3, .speed_rad_s = 90.0, .peak = 1.0};
    assert_close(trn_motor_rated_torque(&motors), 1000.0 / 3.0, 1e-15);
}

static void rated_torque_is_that_of_one_motor_whatever_its_peak_and_law(void **state)
{
    (void)state;
    trn_motors one = {.installed = 1, .running = 1, .power_W = 30e3, .speed_rad_s = 91.1, .peak = 1.0};
    trn_motors four = one;
    four.installed = 4;
    four.running = 3;
    four.peak = 2.5;
    four.law = TRN_TORQUE_INDUCTION;
    four.breakdown = 2.2;
    assert_same_bits(trn_motor_rated_torque(&four), trn_motor_rated_torque(&one));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rated_torque_is_power_over_speed),
        cmocka_unit_test(rated_torque_is_that_of_one_motor_whatever_its_peak_and_law),
    };
    return cmocka_run_group_tests_name("motor", tests, NULL, NULL);
}
