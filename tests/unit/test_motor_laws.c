/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a motor can give at a speed, and the sizes that motors come in. */
#include "machinery.h"

/* 30 kW at 95 rad/s, 100 rad/s synchronous: rated slip 5 %. */
static trn_motors induction_motor(double breakdown)
{
    return (trn_motors){.installed = 1, .running = 1, .power_W = 28.5e3, .speed_rad_s = 95.0, .peak = 1.0,
                        .law = TRN_TORQUE_INDUCTION, .synchronous_rad_s = 100.0, .breakdown = breakdown};
}

static const trn_torque_point points[] = {{0.0, 450.0}, {40.0, 410.0}, {70.0, 520.0}, {95.0, 300.0}, {100.0, 0.0}};

static trn_motors table_motor(void)
{
    return (trn_motors){.installed = 1, .running = 1, .power_W = 28.5e3, .speed_rad_s = 95.0, .peak = 1.0,
                        .law = TRN_TORQUE_TABLE, .table = points, .table_count = COUNT(points)};
}

static void at_rated_speed_an_induction_motor_gives_rated_torque(void **state)
{
    (void)state;
    for (double breakdown = 1.0; breakdown < 4.0; breakdown += 0.25) {
        trn_motors motor = induction_motor(breakdown);
        assert_close(trn_motor_torque(&motor, 95.0), 300.0, 1e-13);
    }
}

static void at_breakdown_slip_the_torque_is_breakdown_torque_and_the_most_there_is(void **state)
{
    (void)state;
    for (double breakdown = 1.2; breakdown < 4.0; breakdown += 0.4) {
        trn_motors motor = induction_motor(breakdown);
        double slip = trn_motor_breakdown_slip(&motor);
        double speed = 100.0 * (1.0 - slip);
        assert_close(trn_motor_torque(&motor, speed), 300.0 * breakdown, 1e-14);
        assert_true(trn_motor_torque(&motor, speed - 1.0) < 300.0 * breakdown);
        assert_true(trn_motor_torque(&motor, speed + 1.0) < 300.0 * breakdown);
        for (double at = 0.0; at <= 100.0; at += 0.5)
            assert_true(trn_motor_torque(&motor, at) <= 300.0 * breakdown * (1.0 + 1e-14));
    }
}

static void breakdown_slip_is_the_larger_root_of_kloss_at_the_rated_point(void **state)
{
    (void)state;
    /* m = 5/4: m + sqrt(m2 - 1) = 5/4 + 3/4 = 2; m = 13/12: 13/12 + 5/12 = 3/2. */
    trn_motors motor = induction_motor(1.25);
    assert_close(trn_motor_breakdown_slip(&motor), 0.05 * 2.0, 1e-13);
    motor = induction_motor(13.0 / 12.0);
    assert_close(trn_motor_breakdown_slip(&motor), 0.05 * 1.5, 1e-13);
    motor = induction_motor(1.0);
    assert_close(trn_motor_breakdown_slip(&motor), 0.05, 1e-13);
}

static void at_standstill_the_torque_is_kloss_at_slip_one(void **state)
{
    (void)state;
    trn_motors motor = induction_motor(1.25);
    assert_close(trn_motor_torque(&motor, 0.0), 2 * 375.0 / (1.0 / 0.1 + 0.1 / 1.0), 1e-13);
}

static void at_synchronous_speed_there_is_no_torque_and_beyond_it_brakes(void **state)
{
    (void)state;
    trn_motors motor = induction_motor(2.2);
    assert_near(trn_motor_torque(&motor, 100.0), 0.0, 0.0);
    for (double over = 0.5; over < 60.0; over += 2.5) {
        assert_true(trn_motor_torque(&motor, 100.0 + over) < 0);
        assert_close(trn_motor_torque(&motor, 100.0 + over), -trn_motor_torque(&motor, 100.0 - over), 1e-12);
    }
}

static void a_constant_law_gives_peak_torque_to_rated_speed_then_peak_power(void **state)
{
    (void)state;
    trn_motors motor = machinery_motors;
    double rated = 30e3 / 91.0;
    for (double speed = 0.0; speed <= 91.0; speed += 7.0)
        assert_close(trn_motor_torque(&motor, speed), 2.0 * rated, 1e-15);
    for (double speed = 91.0; speed < 300.0; speed += 13.0)
        assert_close(trn_motor_torque(&motor, speed) * speed, 2.0 * 30e3, 1e-15);
    assert_close(trn_motor_torque(&motor, 182.0), rated, 1e-15);
}

static void a_table_is_met_at_its_points_and_held_beyond(void **state)
{
    (void)state;
    trn_motors motor = table_motor();
    for (size_t i = 0; i < COUNT(points); i++)
        assert_close(trn_motor_torque(&motor, points[i].speed_rad_s), points[i].torque_Nm, 1e-15);
    assert_near(trn_motor_torque(&motor, 250.0), 0.0, 0.0);
    motor.table = points + 1;
    motor.table_count = 3;
    assert_same_bits(trn_motor_torque(&motor, 0.0), 410.0);
    assert_same_bits(trn_motor_torque(&motor, 200.0), 300.0);
    motor.table_count = 1;
    assert_same_bits(trn_motor_torque(&motor, 77.0), 410.0);
}

static void what_lies_behind_a_table_is_not_read(void **state)
{
    (void)state;
    trn_motors motor = table_motor();
    for (size_t count = 1; count < COUNT(points); count++) {
        motor.table_count = count;
        assert_same_bits(trn_motor_torque(&motor, points[count].speed_rad_s), points[count - 1].torque_Nm);
    }
}

static void a_table_has_straight_lines_between_its_points(void **state)
{
    (void)state;
    trn_motors motor = table_motor();
    assert_close(trn_motor_torque(&motor, 10.0), 440.0, 1e-15);
    assert_close(trn_motor_torque(&motor, 55.0), 465.0, 1e-15);
    assert_close(trn_motor_torque(&motor, 75.0), 476.0, 1e-15);
    assert_close(trn_motor_torque(&motor, 99.0), 60.0, 1e-14);
}

static void preferred_numbers_are_the_list_of_the_r20_series(void **state)
{
    (void)state;
    const double r20[] = {1.00, 1.12, 1.25, 1.40, 1.60, 1.80, 2.00, 2.24, 2.50, 2.80,
                          3.15, 3.55, 4.00, 4.50, 5.00, 5.60, 6.30, 7.10, 8.00, 9.00};
    for (int decade = -3; decade <= 6; decade++)
        for (size_t i = 0; i < COUNT(r20); i++) {
            double number = r20[i] * pow(10, decade);
            double next = i + 1 < COUNT(r20) ? r20[i + 1] * pow(10, decade) : pow(10, decade + 1);
            assert_close(trn_preferred_number(number), number, 1e-14);
            assert_close(trn_preferred_number(number * (1 + 1e-9)), next, 1e-14);
            assert_close(trn_preferred_number(next * (1 - 1e-9)), next, 1e-14);
            assert_close(trn_preferred_number((number + next) / 2), next, 1e-14);
        }
}

static void a_preferred_number_is_never_below_and_at_most_a_seventh_above(void **state)
{
    (void)state;
    for (double wanted = 0.011; wanted < 3e6; wanted *= 1.0137) {
        double got = trn_preferred_number(wanted);
        assert_true(got >= wanted * (1 - 1e-11));
        assert_true(got <= wanted * 1.1429);
        assert_close(trn_preferred_number(got), got, 1e-14);
    }
}

static void the_peak_of_each_law_is_the_most_that_it_gives(void **state)
{
    (void)state;
    const trn_torque_point three[] = {{0, 40}, {50, 75}, {90, 60}};
    trn_motors constant = {.installed = 1, .running = 1, .power_W = 5e3, .speed_rad_s = 100, .peak = 1.7};
    trn_motors induction = constant;
    induction.law = TRN_TORQUE_INDUCTION;
    induction.synchronous_rad_s = 105;
    induction.breakdown = 2.4;
    trn_motors table = constant;
    table.law = TRN_TORQUE_TABLE;
    table.table = three;
    table.table_count = COUNT(three);
    assert_close(trn_motor_peak_torque(&constant), 85.0, 1e-14);
    assert_close(trn_motor_peak_torque(&induction), 120.0, 1e-14);
    assert_close(trn_motor_peak_torque(&table), 75.0, 1e-14);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(at_rated_speed_an_induction_motor_gives_rated_torque),
        cmocka_unit_test(at_breakdown_slip_the_torque_is_breakdown_torque_and_the_most_there_is),
        cmocka_unit_test(breakdown_slip_is_the_larger_root_of_kloss_at_the_rated_point),
        cmocka_unit_test(at_standstill_the_torque_is_kloss_at_slip_one),
        cmocka_unit_test(at_synchronous_speed_there_is_no_torque_and_beyond_it_brakes),
        cmocka_unit_test(a_constant_law_gives_peak_torque_to_rated_speed_then_peak_power),
        cmocka_unit_test(a_table_is_met_at_its_points_and_held_beyond),
        cmocka_unit_test(what_lies_behind_a_table_is_not_read),
        cmocka_unit_test(a_table_has_straight_lines_between_its_points),
        cmocka_unit_test(the_peak_of_each_law_is_the_most_that_it_gives),
        cmocka_unit_test(preferred_numbers_are_the_list_of_the_r20_series),
        cmocka_unit_test(a_preferred_number_is_never_below_and_at_most_a_seventh_above),
    };
    return cmocka_run_group_tests_name("motor laws", tests, NULL, NULL);
}
