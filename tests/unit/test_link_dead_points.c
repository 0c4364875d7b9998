/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where link and counterweight arm come into line, and where friction locks them before. */
#include "linkage.h"
#include "trunnion/moments.h"

/* The pin on the counterweight, closed: the corner of a triangle over pivot and leaf pin, on one side of it. */
static four_bar bars_with(trn_point pivot, trn_point on_leaf, double arm_m, double link_m, double side)
{
    trn_point base = minus(on_leaf, pivot);
    double distance = size_of_point(base);
    double corner = acos((arm_m * arm_m + distance * distance - link_m * link_m) / (2 * arm_m * distance));
    double direction = atan2(base.y, base.x) + side * corner;
    return (four_bar){pivot, on_leaf, {pivot.x + arm_m * cos(direction), pivot.y + arm_m * sin(direction)}};
}

static double distance_at(trn_point pivot, trn_point on_leaf, double angle_rad)
{
    return trn_point_distance(trn_point_rotate(on_leaf, trn_rotation_by(angle_rad)), pivot);
}

static const trn_point pivot = {-9, 6};
static const trn_point leaving = {-5, 1};    /* moves away from the pivot as the leaf opens */
static const trn_point approaching = {2, 5}; /* comes nearer to it */

/* In line, one after the other, at an angle. */
static four_bar stretched_at(double dead_rad, double share, double side)
{
    double whole = distance_at(pivot, leaving, dead_rad);
    return bars_with(pivot, leaving, share * whole, (1 - share) * whole, side);
}

/* In line, one upon the other; the longer is the link, or the arm. */
static four_bar folded_at(double dead_rad, bool long_link, double side)
{
    double difference = distance_at(pivot, approaching, dead_rad);
    double arm = long_link ? 6.0 : 6.0 + difference;
    double link = long_link ? 6.0 + difference : 6.0;
    return bars_with(pivot, approaching, arm, link, side);
}

static void check_dead_at(four_bar bars, double dead_rad)
{
    trn_linked_counterweight linked = counterweight_on(bars);
    double angle = (double)NAN;
    assert_true(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
    assert_near(angle, dead_rad, 1e-10);
    /* Near it, the arm of the link about the pivot has nearly gone. */
    trn_link_state at = trn_link_at(&linked, trn_rotation_by(dead_rad - 1e-9));
    assert_near(at.arm_m, 0.0, 1e-3);
}

static void a_stretched_link_and_arm_are_a_dead_point(void **state)
{
    (void)state;
    for (double degrees = 2.5; degrees < 76; degrees += 10.5)
        for (int side = -1; side <= 1; side += 2) {
            check_dead_at(stretched_at(degrees * DEGREE, 0.5, side), degrees * DEGREE);
            check_dead_at(stretched_at(degrees * DEGREE, 0.7, side), degrees * DEGREE);
        }
}

static void a_folded_link_and_arm_are_a_dead_point(void **state)
{
    (void)state;
    for (double degrees = 2.5; degrees < 60; degrees += 7.5)
        for (int side = -1; side <= 1; side += 2) {
            check_dead_at(folded_at(degrees * DEGREE, true, side), degrees * DEGREE);
            check_dead_at(folded_at(degrees * DEGREE, false, side), degrees * DEGREE);
        }
}

/* The pin first goes on to its farthest from the pivot, and folds on the way back. */
static void a_dead_point_past_the_farthest_of_the_pin_is_found(void **state)
{
    (void)state;
    for (double before = 4.0; before < 20.0; before += 5.0)
        for (double after = before + 2.0; before + after < 76.0; after += 9.0) {
            double direction = atan2(pivot.y, pivot.x) + HALF_TURN - before * DEGREE;
            trn_point pin = {5.0 * cos(direction), 5.0 * sin(direction)};
            double difference = distance_at(pivot, pin, (before + after) * DEGREE);
            four_bar bars = bars_with(pivot, pin, 12.0, 12.0 + difference, 1);
            trn_linked_counterweight linked = counterweight_on(bars);
            double angle = (double)NAN;
            assert_true(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
            assert_near(angle, (before + after) * DEGREE, 1e-9);
        }
}

static void the_first_of_two_dead_points_is_named(void **state)
{
    (void)state;
    /* The pin passes its nearest point to the pivot and goes away again: in line at 30 degrees, and
       at as much beyond. */
    four_bar bars = folded_at(30 * DEGREE, true, 1);
    trn_linked_counterweight linked = counterweight_on(bars);
    double nearest = atan2(pivot.y, pivot.x) - atan2(approaching.y, approaching.x);
    double angle = (double)NAN;
    assert_true(nearest > 30 * DEGREE);
    assert_true(trn_link_dead_point(&linked, 120 * DEGREE, &angle));
    assert_near(angle, 30 * DEGREE, 1e-10);
}

static void a_dead_point_just_outside_the_travel_does_not_count(void **state)
{
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        double angle = (double)NAN;
        trn_linked_counterweight linked = counterweight_on(stretched_at(70.001 * DEGREE, 0.6, side));
        assert_false(trn_link_dead_point(&linked, 70 * DEGREE, &angle));
        assert_true(trn_link_dead_point(&linked, 70.002 * DEGREE, &angle));
        linked = counterweight_on(folded_at(40.001 * DEGREE, true, side));
        assert_false(trn_link_dead_point(&linked, 40 * DEGREE, &angle));
        assert_true(trn_link_dead_point(&linked, 40.002 * DEGREE, &angle));
    }
}

static void a_dead_point_at_the_very_end_of_the_travel_counts(void **state)
{
    (void)state;
    const four_bar bars[] = {stretched_at(50 * DEGREE, 0.6, 1), folded_at(40 * DEGREE, true, 1)};
    for (size_t i = 0; i < COUNT(bars); i++) {
        trn_linked_counterweight linked = counterweight_on(bars[i]);
        double angle = (double)NAN;
        double again = (double)NAN;
        assert_true(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
        assert_true(trn_link_dead_point(&linked, angle, &again));
        assert_false(trn_link_dead_point(&linked, nextafter(angle, 0), &again));
    }
}

static void a_dead_point_before_closed_does_not_count(void **state)
{
    (void)state;
    /* Folded a hair before closed and opening out: stretched again well beyond the travel. */
    trn_point just_before = trn_point_rotate(leaving, trn_rotation_by(-0.001 * DEGREE));
    double difference = trn_point_distance(just_before, pivot);
    four_bar bars = bars_with(pivot, leaving, 7.0, 7.0 + difference, 1);
    trn_linked_counterweight linked = counterweight_on(bars);
    double angle = (double)NAN;
    assert_false(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
}

static void a_dead_point_at_closed_counts(void **state)
{
    (void)state;
    const double shares[] = {-0.5, 0.25, 0.5, 0.75, 1.5, 3.0};
    trn_point pins[] = {leaving, approaching, {-3, 0.5}, {1.5, -2}};
    for (size_t i = 0; i < COUNT(pins); i++)
        for (size_t j = 0; j < COUNT(shares); j++) {
            trn_point base = minus(pins[i], pivot);
            trn_point pin = {pivot.x + shares[j] * base.x, pivot.y + shares[j] * base.y};
            trn_linked_counterweight linked = counterweight_on((four_bar){pivot, pins[i], pin});
            double angle = (double)NAN;
            assert_true(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
            assert_near(angle, 0.0, 1e-12);
        }
}

/* Its pin just reaches the line of the trunnions and goes on: there, and only there, the two ways of folding part. */
static void a_parallelogram_that_folds_flat_has_a_dead_point(void **state)
{
    (void)state;
    for (double reach = 2.0; reach < 8.0; reach += 0.37)
        for (double degrees = 3.0; degrees < 76; degrees += 7.0)
            for (int opposite = 0; opposite <= 1; opposite++) {
                double direction = atan2(pivot.y, pivot.x) - degrees * DEGREE + opposite * HALF_TURN;
                trn_linked_counterweight linked =
                    parallelogram(pivot, (trn_point){reach * cos(direction), reach * sin(direction)});
                double angle = (double)NAN;
                assert_true(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
                assert_near(angle, degrees * DEGREE, 1e-6);
            }
}

static void sound_four_bars_have_none(void **state)
{
    (void)state;
    double angle = (double)NAN;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        assert_false(trn_link_dead_point(&linked, 76 * DEGREE, &angle));
    }
    trn_linked_counterweight alike = parallelogram((trn_point){-9, 6}, (trn_point){-5, 1});
    assert_false(trn_link_dead_point(&alike, 76 * DEGREE, &angle));
}

static void a_dead_point_is_refused_and_its_angle_named(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on(stretched_at(52.5 * DEGREE, 0.6, 1));
    trn_leaf leaf = driven_leaf(NULL);
    leaf.linked_counterweight = &linked;
    trn_case still = trn_default_case();
    trn_loading loading = {.pressure_Pa = 17.0};
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_check_motion(&leaf, &error), TRN_DEAD_POINT);
    assert_near(named_angle(&error), 52.5 * DEGREE, 1e-5);
    assert_non_null(strstr(error.text, "linked_counterweight"));
    memset(&error, 0, sizeof error);
    assert_int_equal(trn_loading_prepare(&leaf, &still, &loading, &error), TRN_DEAD_POINT);
    assert_int_equal(error.status, TRN_DEAD_POINT);
    assert_same_bits(loading.pressure_Pa, 17.0);
}

/* The counterweight's friction circle meets the link's line before the dead point does. */
static void friction_locks_a_counterweight_where_its_link_enters_the_circle(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on(stretched_at(76.1 * DEGREE, 0.6, 1));
    linked.journal.diameter_m = 8.0;
    trn_leaf leaf = driven_leaf(NULL);
    leaf.linked_counterweight = &linked;
    trn_case starting = trn_default_case();
    starting.friction = TRN_FRICTION_STARTING;
    trn_loading loading;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, &error), TRN_LOCKED);
    double named = named_angle(&error);
    assert_true(named > DEGREE && named < 76 * DEGREE);
    assert_true(fabs(trn_link_at(&linked, trn_rotation_by(named)).arm_m) <= 0.72 * (1 + 1e-4));
    assert_true(fabs(trn_link_at(&linked, trn_rotation_by(named - DEGREE / 15)).arm_m) > 0.72);
    linked.journal.diameter_m = 0.3;
    assert_int_equal(trn_loading_prepare(&leaf, &starting, &loading, NULL), TRN_OK);
}

/* A pivot beyond the moon: sums of squares keep no digit of a link of metres. */
static void bars_too_different_for_the_four_bar_are_refused(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on((four_bar){{2147483648.0, 6.0}, {0.0, 1.0}, {0.0, 6.0}});
    trn_leaf leaf = trn_default_leaf();
    leaf.opens_to_rad = 0.12;
    leaf.toe_m = 24.0;
    leaf.linked_counterweight = &linked;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_check_motion(&leaf, &error), TRN_DEAD_POINT);
    assert_non_null(strstr(error.text, "four-bar"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bars_too_different_for_the_four_bar_are_refused),
        cmocka_unit_test(a_stretched_link_and_arm_are_a_dead_point),
        cmocka_unit_test(a_folded_link_and_arm_are_a_dead_point),
        cmocka_unit_test(a_dead_point_past_the_farthest_of_the_pin_is_found),
        cmocka_unit_test(the_first_of_two_dead_points_is_named),
        cmocka_unit_test(a_dead_point_just_outside_the_travel_does_not_count),
        cmocka_unit_test(a_dead_point_at_the_very_end_of_the_travel_counts),
        cmocka_unit_test(a_dead_point_before_closed_does_not_count),
        cmocka_unit_test(a_dead_point_at_closed_counts),
        cmocka_unit_test(a_parallelogram_that_folds_flat_has_a_dead_point),
        cmocka_unit_test(sound_four_bars_have_none),
        cmocka_unit_test(a_dead_point_is_refused_and_its_angle_named),
        cmocka_unit_test(friction_locks_a_counterweight_where_its_link_enters_the_circle),
    };
    return cmocka_run_group_tests_name("link dead points", tests, NULL, NULL);
}
