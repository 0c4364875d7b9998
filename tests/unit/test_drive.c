/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/drive.h"

static void a_driven_leaf_costs_the_loss_on_top(void **state)
{
    (void)state;
    assert_close(trn_drive_torque(1.2e6, 1500.0, 0.8), 1000.0, 1e-15);
}

static void an_overhauling_leaf_gives_back_less_the_loss(void **state)
{
    (void)state;
    assert_close(trn_drive_torque(-1.2e6, 1500.0, 0.8), -640.0, 1e-15);
}

static void no_demand_is_no_torque(void **state)
{
    (void)state;
    assert_near(trn_drive_torque(0.0, 1500.0, 0.8), 0.0, 0.0);
}

static void without_loss_both_senses_are_alike(void **state)
{
    (void)state;
    assert_close(trn_drive_torque(3e5, 600.0, 1.0), 500.0, 1e-15);
    assert_close(trn_drive_torque(-3e5, 600.0, 1.0), -500.0, 1e-15);
}

static void the_torque_passes_through_zero_without_a_jump_and_always_grows(void **state)
{
    (void)state;
    double before = trn_drive_torque(-1000.0, 100.0, 0.7);
    for (int i = -99; i <= 100; i++) {
        double torque = trn_drive_torque(10.0 * i, 100.0, 0.7);
        assert_true(torque > before);
        assert_true(torque - before <= 0.1 / 0.7 * (1.0 + 1e-12));
        before = torque;
    }
}

static void a_drive_never_gives_more_than_it_takes(void **state)
{
    (void)state;
    for (int i = 1; i <= 10; i++) {
        double efficiency = 0.1 * i;
        double driving = trn_drive_torque(5000.0, 250.0, efficiency);
        double overhauled = trn_drive_torque(-5000.0, 250.0, efficiency);
        assert_close(driving * -overhauled, 400.0, 1e-14);
        assert_true(driving >= -overhauled * (1.0 - 1e-15));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_driven_leaf_costs_the_loss_on_top),
        cmocka_unit_test(an_overhauling_leaf_gives_back_less_the_loss),
        cmocka_unit_test(no_demand_is_no_torque),
        cmocka_unit_test(without_loss_both_senses_are_alike),
        cmocka_unit_test(the_torque_passes_through_zero_without_a_jump_and_always_grows),
        cmocka_unit_test(a_drive_never_gives_more_than_it_takes),
    };
    return cmocka_run_group_tests_name("drive", tests, NULL, NULL);
}
