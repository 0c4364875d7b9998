/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Motion of the four-bar of trunnion, link and counterweight. */
#include "linkage.h"

/* Squared length of the link for a counterweight turned by psi, less what it has to be. */
static double misfit(four_bar bars, double angle_rad, double psi_rad)
{
    trn_point arm = trn_point_rotate(minus(bars.on_counterweight, bars.pivot), trn_rotation_by(psi_rad));
    trn_point pin = trn_point_rotate(bars.on_leaf, trn_rotation_by(angle_rad));
    trn_point link = {pin.x - bars.pivot.x - arm.x, pin.y - bars.pivot.y - arm.y};
    trn_point closed = minus(bars.on_leaf, bars.on_counterweight);
    return dot_of(link, link) - dot_of(closed, closed);
}

/* psi by Newton's method, followed from closed in small steps: the branch that a real link takes. */
static double followed_psi(four_bar bars, double angle_rad)
{
    const int steps = 400;
    double psi = 0;
    for (int i = 1; i <= steps; i++)
        for (int turn = 0; turn < 8; turn++) {
            double angle = angle_rad * i / steps;
            double slope = (misfit(bars, angle, psi + 1e-6) - misfit(bars, angle, psi - 1e-6)) / 2e-6;
            psi -= misfit(bars, angle, psi) / slope;
        }
    return psi;
}

static double rate_at(double angle_rad, void *linked)
{
    return trn_link_at(linked, trn_rotation_by(angle_rad)).rate;
}

static void the_link_keeps_its_length_and_the_pins_their_arms(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        four_bar bars = four_bars[i];
        trn_linked_counterweight linked = counterweight_on(bars);
        for (int degrees = 0; degrees <= 76; degrees += 2) {
            trn_link_state at = trn_link_at(&linked, trn_rotation_by(degrees * DEGREE));
            trn_point link = minus(at.pin_on_leaf, at.pin_on_counterweight);
            assert_close(size_of_point(link), trn_point_distance(bars.on_leaf, bars.on_counterweight), 1e-13);
            assert_close(trn_point_distance(at.pin_on_counterweight, bars.pivot),
                         trn_point_distance(bars.on_counterweight, bars.pivot), 1e-13);
            trn_point pin = trn_point_rotate(bars.on_leaf, trn_rotation_by(degrees * DEGREE));
            assert_same_bits(at.pin_on_leaf.x, pin.x);
            assert_same_bits(at.pin_on_leaf.y, pin.y);
        }
    }
}

static void closed_the_counterweight_has_not_turned(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        trn_link_state at = trn_link_at(&linked, trn_rotation_by(0));
        assert_near(at.rotation.sine, 0.0, 1e-14);
        assert_near(at.rotation.cosine, 1.0, 1e-14);
        assert_near(trn_point_distance(at.pin_on_counterweight, four_bars[i].on_counterweight), 0.0, 1e-13);
    }
}

static void the_rotation_carries_the_closed_arm_to_the_pin(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        for (int degrees = 0; degrees <= 76; degrees += 2) {
            trn_link_state at = trn_link_at(&linked, trn_rotation_by(degrees * DEGREE));
            trn_point arm =
                trn_point_rotate(minus(four_bars[i].on_counterweight, four_bars[i].pivot), at.rotation);
            assert_close(hypot(at.rotation.cosine, at.rotation.sine), 1.0, 1e-13);
            assert_near(four_bars[i].pivot.x + arm.x, at.pin_on_counterweight.x, 1e-12);
            assert_near(four_bars[i].pivot.y + arm.y, at.pin_on_counterweight.y, 1e-12);
        }
    }
}

static void the_counterweight_stays_on_the_branch_of_the_closed_position(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        for (int degrees = 4; degrees <= 76; degrees += 12)
            assert_near(psi_at(degrees * DEGREE, &linked), followed_psi(four_bars[i], degrees * DEGREE), 1e-10);
    }
}

static void rate_is_the_derivative_of_the_counterweights_rotation(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        for (int degrees = 1; degrees <= 76; degrees++)
            assert_close(rate_at(degrees * DEGREE, &linked), slope_of(psi_at, &linked, degrees * DEGREE), 1e-8);
    }
}

static void rate_change_is_the_derivative_of_the_rate(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        for (int degrees = 1; degrees <= 76; degrees++) {
            double got = trn_link_at(&linked, trn_rotation_by(degrees * DEGREE)).rate_change_rad;
            assert_close_at(got, slope_of(rate_at, &linked, degrees * DEGREE), 1e-7, 1.0);
        }
    }
}

static void a_crossed_link_turns_the_counterweight_against_the_leaf(void **state)
{
    (void)state;
    trn_linked_counterweight crossed = counterweight_on(four_bars[4]);
    trn_linked_counterweight open = counterweight_on(four_bars[0]);
    for (int degrees = 0; degrees <= 76; degrees += 4) {
        assert_true(rate_at(degrees * DEGREE, &crossed) < 0);
        assert_true(rate_at(degrees * DEGREE, &open) > 0);
    }
    assert_true(psi_at(70 * DEGREE, &crossed) < -0.5);
}

static void a_pull_acts_from_the_counterweights_pin_towards_the_leafs_and_turns_by_the_arm(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            trn_link_state at = trn_link_at(&linked, trn_rotation_by(degrees * DEGREE));
            trn_point link = minus(at.pin_on_leaf, at.pin_on_counterweight);
            assert_close(dot_of(link, at.along), size_of_point(link), 1e-13);
            assert_close(size_of_point(at.along), 1.0, 1e-13);
            double arm = cross_of(minus(at.pin_on_counterweight, four_bars[i].pivot), at.along);
            assert_close(at.arm_m, arm, 1e-12);
            /* Power through a rigid link: what the leaf's end gives, the counterweight's takes. */
            assert_close(at.arm_m * at.rate, cross_of(at.pin_on_leaf, at.along), 1e-11);
        }
    }
}

static void a_parallelogram_turns_with_the_leaf(void **state)
{
    (void)state;
    trn_linked_counterweight linked = parallelogram((trn_point){-9, 6}, (trn_point){-5, 1});
    for (int degrees = 0; degrees <= 120; degrees += 5) {
        trn_link_state at = trn_link_at(&linked, trn_rotation_by(degrees * DEGREE));
        assert_near(psi_at(degrees * DEGREE, &linked), degrees * DEGREE, 1e-13);
        assert_close(at.rate, 1.0, 1e-13);
        assert_near(at.rate_change_rad, 0.0, 1e-12);
        assert_near(cross_of(at.along, (trn_point){9, -6}), 0.0, 1e-12);
    }
}

/* Trunnion and pivot 4 m apart, the pin 3 m up, so 5 m from the pivot; arm 5 m, link 6 m: an isosceles triangle. */
static void one_position_by_textbook_triangles(void **state)
{
    (void)state;
    trn_point pivot = {-4, 0};
    double apex = 2 * asin(3.0 / 5.0);
    double raised = atan2(3, 4) + apex;
    trn_point pin = {pivot.x + 5 * cos(raised), pivot.y + 5 * sin(raised)};
    trn_linked_counterweight linked = counterweight_on((four_bar){pivot, {0, 3}, pin});
    trn_link_state at = trn_link_at(&linked, trn_rotation_by(0));
    /* The height of the isosceles triangle. The link slopes by atan(3/4) less the corner acos(3/5) at its end. */
    double slope = atan2(3, 4) - acos(3.0 / 5.0);
    assert_close(fabs(at.arm_m), 4.0, 1e-13);
    assert_close(fabs(cross_of(at.pin_on_leaf, at.along)), 3.0 * cos(slope), 1e-13);
    assert_close(at.rate, 3.0 * cos(slope) / 4.0, 1e-12);
}

static void the_body_is_measured_about_the_pivot(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on(four_bars[0]);
    trn_body body = trn_link_body(&linked);
    double loose = 30 * 441.3;
    double weight = 2.06e6 + 62e3 + loose;
    double a = 2.06e6 * -4.5 + 62e3 * (-11.8 + 9.0) + loose * -5.0;
    double b = 2.06e6 * 0.8 + 62e3 * 0.5 + loose * 1.9;
    double length2 = 4.8 * 4.8 + 1.2 * 1.2;
    double inertia = (2.06e6 * (4.5 * 4.5 + 0.8 * 0.8 + 1.4 * 1.4) + 62e3 * (2.8 * 2.8 + 0.5 * 0.5 + length2 / 12) +
                      loose * (5.0 * 5.0 + 1.9 * 1.9)) /
                     9.80665;
    assert_close(body.weight_N, weight, 1e-14);
    assert_close(body.a_Nm, a, 1e-13);
    assert_close(body.b_Nm, b, 1e-13);
    assert_close(body.inertia_kg_m2, inertia, 1e-13);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_link_keeps_its_length_and_the_pins_their_arms),
        cmocka_unit_test(closed_the_counterweight_has_not_turned),
        cmocka_unit_test(the_rotation_carries_the_closed_arm_to_the_pin),
        cmocka_unit_test(the_counterweight_stays_on_the_branch_of_the_closed_position),
        cmocka_unit_test(rate_is_the_derivative_of_the_counterweights_rotation),
        cmocka_unit_test(rate_change_is_the_derivative_of_the_rate),
        cmocka_unit_test(a_crossed_link_turns_the_counterweight_against_the_leaf),
        cmocka_unit_test(a_pull_acts_from_the_counterweights_pin_towards_the_leafs_and_turns_by_the_arm),
        cmocka_unit_test(a_parallelogram_turns_with_the_leaf),
        cmocka_unit_test(one_position_by_textbook_triangles),
        cmocka_unit_test(the_body_is_measured_about_the_pivot),
    };
    return cmocka_run_group_tests_name("link", tests, NULL, NULL);
}
