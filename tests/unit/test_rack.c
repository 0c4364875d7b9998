/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rack: a constant ratio, where its tooth pushes, and power through gears. */
#include "machinery.h"

static void a_rack_has_its_ratio_at_every_angle(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, -70 * DEGREE, 20 * DEGREE);
    for (int degrees = 0; degrees <= 120; degrees += 10) {
        trn_drive_state at = trn_drive_at(&drive, trn_rotation_by(degrees * DEGREE));
        assert_same_bits(at.ratio, 1500.0);
        assert_same_bits(at.ratio_change, 0.0);
        assert_same_bits(at.length_m, 0.0);
        assert_same_bits(at.arm_m, 4.5);
    }
}

/* The pinion stands still: so do the tooth's directions, whatever the leaf does. */
static void an_opening_tooth_pushes_along_the_tangent_and_towards_the_trunnion(void **state)
{
    (void)state;
    for (int pinion = -180; pinion <= 180; pinion += 15) {
        trn_drive drive = rack_at(4.5, pinion * DEGREE, 20 * DEGREE);
        trn_drive_state at = trn_drive_at(&drive, trn_rotation_by(31 * DEGREE));
        trn_point outward = {cos(pinion * DEGREE), sin(pinion * DEGREE)};
        trn_point mesh = {4.5 * outward.x, 4.5 * outward.y};
        assert_close(cross_of(mesh, at.along), 4.5, 1e-14);
        assert_near(dot_of(outward, at.along), 0.0, 1e-15);
        assert_close(dot_of(outward, at.spread), -tan(20 * DEGREE), 1e-14);
        assert_near(cross_of(outward, at.spread), 0.0, 1e-15);
    }
}

static void a_pinion_below_pushes_to_the_toe_side_and_up(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, -QUARTER_TURN, 20 * DEGREE);
    trn_drive_state at = trn_drive_at(&drive, trn_rotation_by(0));
    assert_near(at.along.x, 1.0, 1e-15);
    assert_near(at.along.y, 0.0, 1e-15);
    assert_near(at.spread.y, tan(20 * DEGREE), 1e-15);
}

static void without_a_pressure_angle_nothing_is_pushed_off_the_tangent(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.1, 0.0);
    trn_drive_state at = trn_drive_at(&drive, trn_rotation_by(0.4));
    assert_near(hypot(at.spread.x, at.spread.y), 0.0, 0.0);
    assert_close(hypot(at.along.x, at.along.y), 1.0, 1e-15);
}

static void a_rack_without_a_place_loads_no_trunnion(void **state)
{
    (void)state;
    trn_drive nowhere = rack_at(0.0, 1.0, 20 * DEGREE);
    trn_leaf with = driven_leaf(&nowhere);
    trn_leaf without = driven_leaf(NULL);
    trn_case rough = rough_case();
    trn_loading a = loading_of(&with, &rough);
    trn_loading b = loading_of(&without, &rough);
    for (int degrees = 0; degrees <= 76; degrees += 4) {
        trn_moments one = trn_loading_moments(&a, degrees * DEGREE);
        trn_moments other = trn_loading_moments(&b, degrees * DEGREE);
        assert_false(one.has_force);
        assert_same_bits(one.reaction_opening_N, other.reaction_opening_N);
        assert_same_bits(one.reaction_closing_N, other.reaction_closing_N);
        assert_same_bits(one.opening_Nm, other.opening_Nm);
        assert_same_bits(one.closing_Nm, other.closing_Nm);
    }
}

static void a_rack_of_great_radius_comes_near_to_one_without_a_place(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    trn_drive nowhere = rack_at(0.0, 0.0, 0.0);
    trn_drive far = rack_at(1e9, 1.0, 20 * DEGREE);
    trn_leaf without = driven_leaf(&nowhere);
    trn_leaf with = driven_leaf(&far);
    trn_loading a = loading_of(&with, &rough);
    trn_loading b = loading_of(&without, &rough);
    trn_moments one = trn_loading_moments(&a, 0.7);
    trn_moments other = trn_loading_moments(&b, 0.7);
    assert_close(one.reaction_opening_N, other.reaction_opening_N, 1e-7);
    assert_close(one.closing_Nm, other.closing_Nm, 1e-7);
}

static void friction_locks_a_rack_too_near_to_the_trunnion(void **state)
{
    (void)state;
    /* The tooth's line passes at r cos(20 degrees); the friction circle has 0.18 * 0.24 m. */
    trn_case starting = trn_default_case();
    starting.friction = TRN_FRICTION_STARTING;
    trn_drive near = rack_at(0.18 * 0.24 / cos(20 * DEGREE) * 0.9999, 1.0, 20 * DEGREE);
    trn_drive off = rack_at(0.18 * 0.24 / cos(20 * DEGREE) * 1.0001, 1.0, 20 * DEGREE);
    trn_leaf leaf = driven_leaf(&near);
    trn_loading loading;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, &error), TRN_LOCKED);
    assert_near(named_angle(&error), 0.0, 0.0);
    leaf.drive = &off;
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, NULL), TRN_OK);
}

/* Both senses of power through a drive with motors: what the shafts give, less the loss, is what the leaf takes. */
static void check_motor_power(const trn_leaf *leaf, double angle_rad, double demand_Nm, double torque_Nm)
{
    double ratio = trn_drive_at(leaf->drive, trn_rotation_by(angle_rad)).ratio;
    double shafts = 2.0 * torque_Nm * ratio * 0.02;
    double at_leaf = demand_Nm * 0.02;
    double efficiency = leaf->drive->efficiency;
    assert_close_at(demand_Nm >= 0 ? shafts * efficiency : shafts / efficiency, at_leaf, 1e-13, 1.0);
}

static void power_of_the_motors_is_the_power_at_the_leaf_driving_and_overhauled(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    rough.accelerating = false;
    int overhauled = 0;
    for (size_t i = 0; i <= COUNT(pin_pairs); i++) {
        trn_drive drive = i < COUNT(pin_pairs) ? strut_between(pin_pairs[i]) : rack_at(4.5, 1.0, 20 * DEGREE);
        trn_leaf leaf = driven_leaf(&drive);
        trn_loading loading = loading_of(&leaf, &rough);
        for (int degrees = 0; degrees <= 76; degrees += 2) {
            trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
            assert_true(row.has_motor);
            assert_false(row.has_pressure);
            check_motor_power(&leaf, degrees * DEGREE, row.opening_Nm, row.motor_opening_Nm);
            check_motor_power(&leaf, degrees * DEGREE, row.closing_Nm, row.motor_closing_Nm);
            overhauled += (row.opening_Nm < 0) + (row.closing_Nm < 0);
        }
    }
    assert_true(overhauled > 50);
}

/* The leaf's torque and that of all rotors, each on its own account, by hand. */
static void rotors_ask_for_their_own_torque_while_the_leaf_speeds_up(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    trn_drive drive = strut_between(pin_pairs[1]);
    trn_leaf leaf = driven_leaf(&drive);
    trn_loading loading = loading_of(&leaf, &rough);
    for (int degrees = 0; degrees <= 76; degrees += 4) {
        trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
        double ratio = trn_drive_at(&drive, trn_rotation_by(degrees * DEGREE)).ratio;
        double rotors = 3.0 * 1.8 * ratio * 0.0025;
        double opening = row.opening_Nm >= 0 ? row.opening_Nm / ratio / 0.85 : row.opening_Nm / ratio * 0.85;
        assert_close_at(row.motor_opening_Nm, (opening + rotors) / 2.0, 1e-13, 10.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rack_has_its_ratio_at_every_angle),
        cmocka_unit_test(an_opening_tooth_pushes_along_the_tangent_and_towards_the_trunnion),
        cmocka_unit_test(a_pinion_below_pushes_to_the_toe_side_and_up),
        cmocka_unit_test(without_a_pressure_angle_nothing_is_pushed_off_the_tangent),
        cmocka_unit_test(a_rack_without_a_place_loads_no_trunnion),
        cmocka_unit_test(a_rack_of_great_radius_comes_near_to_one_without_a_place),
        cmocka_unit_test(friction_locks_a_rack_too_near_to_the_trunnion),
        cmocka_unit_test(power_of_the_motors_is_the_power_at_the_leaf_driving_and_overhauled),
        cmocka_unit_test(rotors_ask_for_their_own_torque_while_the_leaf_speeds_up),
    };
    return cmocka_run_group_tests_name("rack", tests, NULL, NULL);
}
