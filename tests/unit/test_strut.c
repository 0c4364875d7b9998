/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Geometry of struts: length, arm, ratio, and where they have a dead point. */
#include "machinery.h"

static double length_at(double angle_rad, void *drive)
{
    return trn_drive_at(drive, trn_rotation_by(angle_rad)).length_m;
}

static double ratio_at(double angle_rad, void *drive)
{
    return trn_drive_at(drive, trn_rotation_by(angle_rad)).ratio;
}

static void length_is_the_distance_of_the_pins(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            double reach = hypot(pin_pairs[i].pin.x, pin_pairs[i].pin.y);
            double from = hypot(pin_pairs[i].fixed.x, pin_pairs[i].fixed.y);
            double between = atan2(pin_pairs[i].pin.y, pin_pairs[i].pin.x) + degrees * DEGREE -
                             atan2(pin_pairs[i].fixed.y, pin_pairs[i].fixed.x);
            double want = sqrt(reach * reach + from * from - 2 * reach * from * cos(between));
            assert_close(length_at(degrees * DEGREE, &drive), want, 1e-13);
        }
    }
}

static void the_arm_is_the_derivative_of_the_length(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        for (int degrees = 0; degrees <= 76; degrees++) {
            double angle = degrees * DEGREE;
            double want = slope_of(length_at, &drive, angle);
            assert_close_at(trn_drive_at(&drive, trn_rotation_by(angle)).arm_m, want, 1e-9, 1.0);
        }
    }
}

static void struts_that_shorten_have_a_negative_arm(void **state)
{
    (void)state;
    const bool shortens[] = {true, false, false, false, true};
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        assert_int_equal(length_at(60 * DEGREE, &drive) < length_at(10 * DEGREE, &drive), shortens[i]);
        assert_int_equal(trn_drive_at(&drive, trn_rotation_by(35 * DEGREE)).arm_m < 0, shortens[i]);
    }
}

static void a_push_acts_from_the_fixed_point_to_the_pin_and_turns_by_the_arm(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            trn_rotation rotation = trn_rotation_by(degrees * DEGREE);
            trn_drive_state at = trn_drive_at(&drive, rotation);
            trn_point pin = trn_point_rotate(pin_pairs[i].pin, rotation);
            assert_close(hypot(at.along.x, at.along.y), 1.0, 1e-14);
            assert_close(dot_of(minus(pin, pin_pairs[i].fixed), at.along), at.length_m, 1e-14);
            assert_close_at(cross_of(pin, at.along), at.arm_m, 1e-13, 1.0);
            assert_near(at.spread.x, 0.0, 0.0);
            assert_near(at.spread.y, 0.0, 0.0);
        }
    }
}

static void the_ratio_is_travel_of_the_strut_over_that_of_the_pinion(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            double want = fabs(slope_of(length_at, &drive, degrees * DEGREE)) / 0.4 * 180.0;
            assert_close(ratio_at(degrees * DEGREE, &drive), want, 1e-8);
            assert_true(ratio_at(degrees * DEGREE, &drive) > 0);
        }
    }
}

static void ratio_change_is_the_derivative_of_the_ratio(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        for (int degrees = 0; degrees <= 76; degrees++) {
            double angle = degrees * DEGREE;
            double got = trn_drive_at(&drive, trn_rotation_by(angle)).ratio_change;
            assert_close_at(got, slope_of(ratio_at, &drive, angle), 1e-8, 450.0);
        }
    }
}

/* Trunnion, fixed point 12 m out, pin 5 m out and square to it: 5-12-13. */
static void a_right_angle_gives_the_triangle_5_12_13(void **state)
{
    (void)state;
    trn_drive drive = strut_between((pin_pair){{5.0, 0.0}, {0.0, -12.0}});
    trn_drive_state at = trn_drive_at(&drive, trn_rotation_by(0));
    assert_close(at.length_m, 13.0, 1e-15);
    assert_close(at.arm_m, 60.0 / 13.0, 1e-15);
    assert_close(at.ratio, 60.0 / 13.0 / 0.4 * 180.0, 1e-15);
    /* s s'' + s'2 = 5 * 12 cos(90 degrees) = 0 */
    assert_close(at.ratio_change, -(60.0 / 13.0) * (60.0 / 13.0) / 13.0 / 0.4 * 180.0, 1e-14);
}

static void a_leaf_drawn_a_little_open_has_the_same_strut(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        trn_drive opened = drive;
        opened.strut.on_leaf = trn_point_rotate(drive.strut.on_leaf, trn_rotation_by(11 * DEGREE));
        trn_drive_state a = trn_drive_at(&drive, trn_rotation_by(41 * DEGREE));
        trn_drive_state b = trn_drive_at(&opened, trn_rotation_by(30 * DEGREE));
        assert_close(b.length_m, a.length_m, 1e-13);
        assert_close(b.arm_m, a.arm_m, 1e-13);
        assert_close_at(b.ratio_change, a.ratio_change, 1e-12, a.ratio);
    }
}

/* A strut whose pin, fixed point and trunnion are in line at an angle; share is
   the distance of the fixed point over that of the pin, negative beyond the trunnion. */
static trn_drive dead_strut(double dead_rad, double share)
{
    trn_point pin = {2.6, 1.7};
    trn_point there = trn_point_rotate(pin, trn_rotation_by(dead_rad));
    return strut_between((pin_pair){pin, {share * there.x, share * there.y}});
}

static const double shares[] = {2.0, 0.4, -0.6, -1.5};

static void a_dead_point_is_where_pin_fixed_point_and_trunnion_are_in_line(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shares); i++) {
        for (double degrees = 0.5; degrees < 76.0; degrees += 7.5) {
            trn_drive drive = dead_strut(degrees * DEGREE, shares[i]);
            double angle = (double)NAN;
            assert_true(trn_drive_dead_point(&drive, 76 * DEGREE, &angle));
            assert_near(angle, degrees * DEGREE, 1e-12);
            assert_near(trn_drive_at(&drive, trn_rotation_by(angle)).arm_m, 0.0, 1e-11);
        }
    }
}

static void cylinders_have_the_dead_points_of_struts(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shares); i++) {
        trn_drive strut = dead_strut(33 * DEGREE, shares[i]);
        trn_drive cylinder = cylinders_between((pin_pair){strut.strut.on_leaf, strut.strut.pinion});
        double angle = (double)NAN;
        assert_true(trn_drive_dead_point(&cylinder, 76 * DEGREE, &angle));
        assert_near(angle, 33 * DEGREE, 1e-12);
        cylinder = cylinders_between(pin_pairs[i]);
        assert_false(trn_drive_dead_point(&cylinder, 76 * DEGREE, &angle));
    }
}

static void a_dead_point_just_outside_the_travel_does_not_count(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shares); i++) {
        double angle = (double)NAN;
        trn_drive beyond = dead_strut(76.0001 * DEGREE, shares[i]);
        trn_drive before = dead_strut(-0.0001 * DEGREE, shares[i]);
        trn_drive within = dead_strut(75.9999 * DEGREE, shares[i]);
        assert_false(trn_drive_dead_point(&beyond, 76 * DEGREE, &angle));
        assert_false(trn_drive_dead_point(&before, 76 * DEGREE, &angle));
        assert_true(trn_drive_dead_point(&within, 76 * DEGREE, &angle));
    }
}

static void a_dead_point_at_closed_counts_on_either_side_of_the_trunnion(void **state)
{
    (void)state;
    double angle = (double)NAN;
    trn_drive drive = strut_between((pin_pair){{2.0, 0.0}, {4.0, 0.0}});
    assert_true(trn_drive_dead_point(&drive, 1.3, &angle));
    assert_near(angle, 0.0, 0.0);
    drive = strut_between((pin_pair){{2.0, 1.0}, {1.0, 0.5}});
    assert_true(trn_drive_dead_point(&drive, 1.3, &angle));
    assert_near(angle, 0.0, 1e-12);
    drive = strut_between((pin_pair){{2.0, 0.0}, {-4.0, 0.0}});
    assert_true(trn_drive_dead_point(&drive, 1.3, &angle));
    assert_near(angle, 0.0, 1e-12);
    drive = strut_between((pin_pair){{2.6, 1.7}, {-0.7 * 2.6, -0.7 * 1.7}});
    assert_true(trn_drive_dead_point(&drive, 1.3, &angle));
    assert_near(angle, 0.0, 1e-12);
}

static void a_dead_point_at_full_opening_counts(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shares); i++) {
        trn_drive drive = dead_strut(76 * DEGREE, shares[i]);
        double angle = (double)NAN;
        assert_true(trn_drive_dead_point(&drive, 76 * DEGREE + 1e-14, &angle));
        assert_near(angle, 76 * DEGREE, 1e-12);
    }
}

static void a_constant_ratio_has_no_dead_point(void **state)
{
    (void)state;
    double angle = (double)NAN;
    trn_drive drive = rack_at(0.0, 0.0, 0.0);
    assert_false(trn_drive_dead_point(&drive, 120 * DEGREE, &angle));
    drive = rack_at(4.0, -1.0, 20 * DEGREE);
    assert_false(trn_drive_dead_point(&drive, 120 * DEGREE, &angle));
}

static void a_dead_point_is_refused_and_its_angle_named(void **state)
{
    (void)state;
    trn_drive drive = dead_strut(41.25 * DEGREE, 2.0);
    trn_leaf leaf = driven_leaf(&drive);
    trn_case still = trn_default_case();
    trn_loading loading = {.pressure_Pa = 17.0};
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_check_motion(&leaf, &error), TRN_DEAD_POINT);
    assert_int_equal(error.status, TRN_DEAD_POINT);
    assert_non_null(strstr(error.text, "41.25 degree"));
    memset(&error, 0, sizeof error);
    assert_int_equal(trn_loading_prepare(&leaf, &still, &loading, &error), TRN_DEAD_POINT);
    assert_non_null(strstr(error.text, "drive"));
    assert_same_bits(loading.pressure_Pa, 17.0);
}

static void a_sound_strut_is_not_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        trn_leaf leaf = driven_leaf(&drive);
        assert_int_equal(trn_leaf_check_motion(&leaf, NULL), TRN_OK);
    }
}

/* The strut's line comes nearer to the trunnion until friction locks it, before the dead point. */
static void a_strut_within_the_friction_circle_is_refused_where_it_enters(void **state)
{
    (void)state;
    trn_drive drive = dead_strut(79 * DEGREE, 2.0);
    trn_leaf leaf = driven_leaf(&drive);
    trn_case starting = trn_default_case();
    starting.friction = TRN_FRICTION_STARTING;
    trn_journal thick = machinery_journal;
    thick.diameter_m = 4.0;
    leaf.trunnion = &thick;
    trn_loading loading;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, &error), TRN_LOCKED);
    double named = named_angle(&error);
    assert_true(fabs(trn_drive_at(&drive, trn_rotation_by(named)).arm_m) <= 0.36 * (1 + 1e-4));
    assert_true(fabs(trn_drive_at(&drive, trn_rotation_by(named - DEGREE / 15)).arm_m) > 0.36);
    starting.friction = TRN_FRICTION_MOVING;
    thick.friction.moving = 0.01;
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, &error), TRN_OK);
}

/* Only the last thousandth of a degree lies within the circle: the end of the travel is looked at itself. */
static void friction_that_locks_at_the_very_end_is_not_overlooked(void **state)
{
    (void)state;
    trn_drive drive = dead_strut(79 * DEGREE, 2.0);
    trn_leaf leaf = driven_leaf(&drive);
    trn_journal thick = machinery_journal;
    thick.diameter_m = 4.0;
    leaf.trunnion = &thick;
    trn_case starting = trn_default_case();
    starting.friction = TRN_FRICTION_STARTING;
    double low = 0;
    double high = 79 * DEGREE;
    while (high - low > 1e-12) {
        double middle = (low + high) / 2;
        bool outside = fabs(trn_drive_at(&drive, trn_rotation_by(middle)).arm_m) > 0.36;
        low = outside ? middle : low;
        high = outside ? high : middle;
    }
    trn_loading loading;
    leaf.opens_to_rad = high + 1e-3 * DEGREE;
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, NULL), TRN_LOCKED);
    leaf.opens_to_rad = low - 1e-3 * DEGREE;
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, NULL), TRN_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(length_is_the_distance_of_the_pins),
        cmocka_unit_test(the_arm_is_the_derivative_of_the_length),
        cmocka_unit_test(struts_that_shorten_have_a_negative_arm),
        cmocka_unit_test(a_push_acts_from_the_fixed_point_to_the_pin_and_turns_by_the_arm),
        cmocka_unit_test(the_ratio_is_travel_of_the_strut_over_that_of_the_pinion),
        cmocka_unit_test(ratio_change_is_the_derivative_of_the_ratio),
        cmocka_unit_test(a_right_angle_gives_the_triangle_5_12_13),
        cmocka_unit_test(a_leaf_drawn_a_little_open_has_the_same_strut),
        cmocka_unit_test(a_dead_point_is_where_pin_fixed_point_and_trunnion_are_in_line),
        cmocka_unit_test(cylinders_have_the_dead_points_of_struts),
        cmocka_unit_test(a_dead_point_just_outside_the_travel_does_not_count),
        cmocka_unit_test(a_dead_point_at_closed_counts_on_either_side_of_the_trunnion),
        cmocka_unit_test(a_dead_point_at_full_opening_counts),
        cmocka_unit_test(a_constant_ratio_has_no_dead_point),
        cmocka_unit_test(a_dead_point_is_refused_and_its_angle_named),
        cmocka_unit_test(a_sound_strut_is_not_refused),
        cmocka_unit_test(a_strut_within_the_friction_circle_is_refused_where_it_enters),
        cmocka_unit_test(friction_that_locks_at_the_very_end_is_not_overlooked),
    };
    return cmocka_run_group_tests_name("strut", tests, NULL, NULL);
}
