/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hydraulic cylinders: pressure on both sides of the piston, and their power. */
#include "machinery.h"

static const trn_cylinder cylinder = {.bore_m = 0.28, .rod_m = 0.18, .count = 1, .pressure_Pa = 250e5};

static void a_push_presses_on_the_whole_bore(void **state)
{
    (void)state;
    /* 280 mm: 0.0615752 m2 */
    assert_close(trn_cylinder_pressure(&cylinder, 1e6), 1e6 / (HALF_TURN / 4 * 0.28 * 0.28), 1e-14);
    assert_close(trn_cylinder_pressure(&cylinder, 615752.16), 1e7, 1e-7);
}

static void a_pull_presses_on_the_ring_about_the_rod(void **state)
{
    (void)state;
    double ring = HALF_TURN / 4 * (0.28 - 0.18) * (0.28 + 0.18);
    assert_close(trn_cylinder_pressure(&cylinder, -1e6), 1e6 / ring, 1e-14);
}

static void cylinders_share_the_force(void **state)
{
    (void)state;
    trn_cylinder three = cylinder;
    three.count = 3;
    for (int i = -4; i <= 4; i++)
        assert_close(3.0 * trn_cylinder_pressure(&three, 2e5 * i), trn_cylinder_pressure(&cylinder, 2e5 * i), 1e-14);
}

static void a_plunger_without_a_rod_is_alike_on_both_sides(void **state)
{
    (void)state;
    trn_cylinder even = cylinder;
    even.rod_m = 0.0;
    assert_close(trn_cylinder_pressure(&even, -3e5), trn_cylinder_pressure(&even, 3e5), 1e-15);
    assert_close(trn_cylinder_pressure(&even, 3e5), trn_cylinder_pressure(&cylinder, 3e5), 1e-15);
}

static void a_pull_needs_more_pressure_than_a_push_by_the_ratio_of_the_areas(void **state)
{
    (void)state;
    double push = trn_cylinder_pressure(&cylinder, 4e5);
    assert_close(trn_cylinder_pressure(&cylinder, -4e5) / push, 1.0 / (1.0 - 0.18 * 0.18 / (0.28 * 0.28)), 1e-14);
    assert_near(trn_cylinder_pressure(&cylinder, 0.0), 0.0, 0.0);
}

static void the_length_of_a_cylinder_and_its_arm_are_those_of_a_strut_and_it_has_no_ratio(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive one = cylinders_between(pin_pairs[i]);
        trn_drive other = strut_between(pin_pairs[i]);
        for (int degrees = 0; degrees <= 76; degrees += 19) {
            trn_drive_state a = trn_drive_at(&one, trn_rotation_by(degrees * DEGREE));
            trn_drive_state b = trn_drive_at(&other, trn_rotation_by(degrees * DEGREE));
            assert_same_bits(a.length_m, b.length_m);
            assert_same_bits(a.arm_m, b.arm_m);
            assert_same_bits(a.along.x, b.along.x);
            assert_same_bits(a.along.y, b.along.y);
            assert_same_bits(a.ratio, 0.0);
            assert_same_bits(a.ratio_change, 0.0);
        }
    }
}

static double piston_position(double angle_rad, void *drive)
{
    return trn_drive_at(drive, trn_rotation_by(angle_rad)).length_m;
}

/* Pressure on the side of the piston that the oil presses on, times its area and its
   speed, is what the pump gives (or the throttle takes); the efficiency stands between it and the leaf. */
static void check_power(const trn_drive *drive, double angle_rad, double travel_rad_s, double demand_Nm,
                        double pressure_Pa)
{
    trn_drive mutable_drive = *drive;
    double speed = slope_of(piston_position, &mutable_drive, angle_rad) * travel_rad_s;
    /* The oil pushes where the piston moves out against a demand, or in while it is overhauled. */
    bool pushes = (speed > 0) == (demand_Nm >= 0);
    double bore = HALF_TURN / 4 * 0.28 * 0.28;
    double area = 2.0 * (pushes ? bore : bore - HALF_TURN / 4 * 0.18 * 0.18);
    double oil = pressure_Pa * area * fabs(speed);
    double leaf = fabs(demand_Nm * travel_rad_s);
    assert_true(pressure_Pa >= 0);
    assert_close_at(demand_Nm >= 0 ? oil * 0.85 : oil / 0.85, leaf, 1e-8, 1.0);
}

static void power_of_the_oil_is_the_power_at_the_leaf_driving_and_overhauled(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    int driving = 0;
    int overhauled = 0;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = cylinders_between(pin_pairs[i]);
        trn_leaf leaf = driven_leaf(&drive);
        for (int side = TRN_WIND_FROM_HEEL; side <= TRN_WIND_FROM_TOE; side++) {
            rough.wind.from = (trn_wind_side)side;
            trn_loading loading = loading_of(&leaf, &rough);
            for (int degrees = 0; degrees <= 76; degrees += 2) {
                trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
                assert_true(row.has_pressure);
                assert_false(row.has_motor);
                check_power(&drive, degrees * DEGREE, 0.02, row.opening_Nm, row.pressure_opening_Pa);
                check_power(&drive, degrees * DEGREE, -0.02, row.closing_Nm, row.pressure_closing_Pa);
                driving += (row.opening_Nm > 0) + (row.closing_Nm > 0);
                overhauled += (row.opening_Nm < 0) + (row.closing_Nm < 0);
            }
        }
    }
    assert_true(driving > 100 && overhauled > 100);
}

static void the_force_of_cylinders_has_the_sign_that_moves_the_leaf(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = cylinders_between(pin_pairs[i]);
        trn_leaf leaf = driven_leaf(&drive);
        trn_loading loading = loading_of(&leaf, &rough);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
            double arm = slope_of(piston_position, &drive, degrees * DEGREE);
            assert_true(row.has_force);
            assert_close_at(row.force_opening_N * arm, row.opening_Nm, 1e-9, 1e5);
            assert_close_at(row.force_closing_N * arm, -row.closing_Nm, 1e-9, 1e5);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_push_presses_on_the_whole_bore),
        cmocka_unit_test(a_pull_presses_on_the_ring_about_the_rod),
        cmocka_unit_test(cylinders_share_the_force),
        cmocka_unit_test(a_plunger_without_a_rod_is_alike_on_both_sides),
        cmocka_unit_test(a_pull_needs_more_pressure_than_a_push_by_the_ratio_of_the_areas),
        cmocka_unit_test(the_length_of_a_cylinder_and_its_arm_are_those_of_a_strut_and_it_has_no_ratio),
        cmocka_unit_test(power_of_the_oil_is_the_power_at_the_leaf_driving_and_overhauled),
        cmocka_unit_test(the_force_of_cylinders_has_the_sign_that_moves_the_leaf),
    };
    return cmocka_run_group_tests_name("cylinder", tests, NULL, NULL);
}
