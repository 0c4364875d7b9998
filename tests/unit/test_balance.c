/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include <gsl/gsl_integration.h>

#include "sample.h"
#include "trunnion/balance.h"

static const trn_point trunnion = {0.0, 0.0};

static double moment_at(trn_body body, double angle_rad)
{
    return trn_body_moment(body, trn_rotation_by(angle_rad));
}

/* A leaf of one point, the simplest that balances or not. */
static trn_leaf leaf_of(const trn_part *part)
{
    trn_leaf leaf = trn_default_leaf();
    leaf.parts = part;
    leaf.part_count = 1;
    leaf.opens_to_rad = 80.0 * DEGREE;
    leaf.toe_m = 20.0;
    return leaf;
}

static trn_part weight_at(double weight_N, double arm_m, double angle_rad)
{
    trn_part part = trn_default_part();
    part.weight_N = weight_N;
    part.at = (trn_point){arm_m * cos(angle_rad), arm_m * sin(angle_rad)};
    return part;
}

static void the_body_of_a_leaf_is_the_sum_of_its_parts_and_pockets(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_body body = trn_leaf_body(&leaf);
    double weight = 0.0;
    double a = 0.0;
    double b = 0.0;
    double inertia = 0.0;
    for (size_t i = 0; i < leaf.part_count; i++) {
        trn_body one = trn_part_body(&leaf.parts[i], trunnion);
        weight += one.weight_N;
        a += one.a_Nm;
        b += one.b_Nm;
        inertia += one.inertia_kg_m2;
    }
    for (size_t i = 0; i < leaf.pocket_count; i++) {
        double w = leaf.pockets[i].block_N * leaf.pockets[i].blocks;
        trn_point at = leaf.pockets[i].at;
        weight += w;
        a += w * at.x;
        b += w * at.y;
        inertia += w / TRN_STANDARD_GRAVITY * (at.x * at.x + at.y * at.y);
    }
    assert_close(body.weight_N, weight, 1e-14);
    assert_close_at(body.a_Nm, a, 1e-13, weight);
    assert_close_at(body.b_Nm, b, 1e-13, weight);
    assert_close(body.inertia_kg_m2, inertia, 1e-13);
}

static void parts_together_are_the_sum_of_parts_alone(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_leaf first = leaf;
    trn_leaf rest = leaf;
    first.part_count = 2;
    first.pocket_count = 1;
    rest.parts = leaf.parts + 2;
    rest.part_count = leaf.part_count - 2;
    rest.pockets = leaf.pockets + 1;
    rest.pocket_count = leaf.pocket_count - 1;
    trn_body whole = trn_leaf_body(&leaf);
    trn_body first_body = trn_leaf_body(&first);
    trn_body rest_body = trn_leaf_body(&rest);
    for (int i = 0; i <= 12; i++) {
        double angle = 0.11 * i;
        double want = moment_at(first_body, angle) + moment_at(rest_body, angle);
        assert_close_at(moment_at(whole, angle), want, 1e-12, whole.weight_N);
    }
    assert_close(whole.inertia_kg_m2, first_body.inertia_kg_m2 + rest_body.inertia_kg_m2, 1e-13);
}

static void a_leaf_without_anything_weighs_nothing(void **state)
{
    (void)state;
    trn_leaf leaf = trn_default_leaf();
    trn_body body = trn_leaf_body(&leaf);
    assert_near(body.weight_N, 0.0, 0.0);
    assert_near(body.a_Nm, 0.0, 0.0);
    assert_near(body.b_Nm, 0.0, 0.0);
    assert_near(body.inertia_kg_m2, 0.0, 0.0);
}

static void the_balance_states_weight_mass_and_centre(void **state)
{
    (void)state;
    const trn_part part = {.name = "all", .count = 2, .weight_N = 9806.65, .gyration_m = 2.0, .at = {3.0, 4.0}};
    trn_leaf leaf = leaf_of(&part);
    trn_balance balance = trn_leaf_balance(&leaf);
    assert_close(balance.weight_N, 2.0 * 9806.65, 1e-15);
    assert_close(balance.mass_kg, 2000.0, 1e-15);
    assert_close(balance.centre.x, 3.0, 1e-15);
    assert_close(balance.centre.y, 4.0, 1e-15);
    assert_close(balance.inertia_kg_m2, 2000.0 * 29.0, 1e-14);
    assert_close(balance.closed_moment_Nm, 2.0 * 9806.65 * 3.0, 1e-15);
    assert_close(balance.moment_Nm, 2.0 * 9806.65 * 5.0, 1e-15);
    assert_close(balance.toe_reaction_N, 2.0 * 9806.65 * 3.0 / 20.0, 1e-15);
}

static void the_angle_of_balance_is_told_in_all_four_quarters(void **state)
{
    (void)state;
    for (int i = -17; i <= 17; i++) {
        double angle = 10.0 * DEGREE * i;
        const trn_part part = weight_at(1000.0, 0.5, angle);
        trn_leaf leaf = leaf_of(&part);
        assert_close_at(trn_leaf_balance(&leaf).angle_rad, angle, 1e-14, 1.0);
        assert_close(trn_leaf_balance(&leaf).moment_Nm, 500.0, 1e-14);
    }
}

static void the_curve_is_one_cosine_of_moment_and_angle(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_balance balance = trn_leaf_balance(&leaf);
    trn_body body = trn_leaf_body(&leaf);
    for (int i = 0; i <= 76; i++) {
        double want = balance.moment_Nm * cos(i * DEGREE + balance.angle_rad);
        assert_close_at(moment_at(body, i * DEGREE), want, 1e-13, balance.moment_Nm);
    }
}

static void a_leaf_heavy_leaf_closes_and_a_counterweight_heavy_one_opens(void **state)
{
    (void)state;
    const trn_part toe = weight_at(1000.0, 8.0, 10.0 * DEGREE);
    const trn_part heel = weight_at(1000.0, 8.0, 190.0 * DEGREE);
    trn_leaf toe_heavy = leaf_of(&toe);
    trn_leaf heel_heavy = leaf_of(&heel);
    assert_true(trn_leaf_balance(&toe_heavy).closed_moment_Nm > 0.0);
    assert_true(trn_leaf_balance(&toe_heavy).toe_reaction_N > 0.0);
    assert_true(trn_leaf_balance(&heel_heavy).closed_moment_Nm < 0.0);
    assert_true(trn_leaf_balance(&heel_heavy).toe_reaction_N < 0.0);
    assert_close(trn_leaf_balance(&heel_heavy).closed_moment_Nm, -8000.0 * cos(10.0 * DEGREE), 1e-13);
}

static void the_neutral_angle_completes_a_quarter_turn(void **state)
{
    (void)state;
    for (int i = 15; i <= 85; i += 10) {
        const trn_part part = weight_at(1000.0, 0.5, i * DEGREE);
        trn_leaf leaf = leaf_of(&part);
        trn_balance balance = trn_leaf_balance(&leaf);
        assert_true(balance.has_neutral_angle);
        assert_close(balance.neutral_angle_rad, (90 - i) * DEGREE, 1e-13);
        assert_close_at(moment_at(trn_leaf_body(&leaf), balance.neutral_angle_rad), 0.0, 1e-13, 500.0);
    }
}

static void the_neutral_angle_of_a_counterweight_heavy_leaf_is_found_as_well(void **state)
{
    (void)state;
    for (int i = 195; i <= 265; i += 10) {
        const trn_part part = weight_at(1000.0, 0.5, i * DEGREE);
        trn_leaf leaf = leaf_of(&part);
        trn_balance balance = trn_leaf_balance(&leaf);
        assert_true(balance.has_neutral_angle);
        assert_close(balance.neutral_angle_rad, (270 - i) * DEGREE, 1e-12);
    }
}

static void no_neutral_angle_where_the_moment_keeps_its_sign(void **state)
{
    (void)state;
    const int none[] = {-60, -10, 5, 120, 150, 179};
    for (size_t i = 0; i < COUNT(none); i++) {
        const trn_part part = weight_at(1000.0, 0.5, none[i] * DEGREE);
        trn_leaf leaf = leaf_of(&part);
        assert_false(trn_leaf_balance(&leaf).has_neutral_angle);
    }
}

static void no_neutral_angle_beyond_the_end_of_the_travel(void **state)
{
    (void)state;
    const trn_part part = weight_at(1000.0, 0.5, 40.0 * DEGREE);
    trn_leaf leaf = leaf_of(&part);
    leaf.opens_to_rad = 49.0 * DEGREE;
    assert_false(trn_leaf_balance(&leaf).has_neutral_angle);
    leaf.opens_to_rad = 51.0 * DEGREE;
    assert_true(trn_leaf_balance(&leaf).has_neutral_angle);
    assert_close(trn_leaf_balance(&leaf).neutral_angle_rad, 50.0 * DEGREE, 1e-13);
    leaf.opens_to_rad = trn_leaf_balance(&leaf).neutral_angle_rad;
    assert_false(trn_leaf_balance(&leaf).has_neutral_angle);
}

static void no_neutral_angle_in_perfect_balance(void **state)
{
    (void)state;
    const trn_part part = weight_at(1000.0, 0.0, 0.0);
    trn_leaf leaf = leaf_of(&part);
    trn_balance balance = trn_leaf_balance(&leaf);
    assert_false(balance.has_neutral_angle);
    assert_near(balance.moment_Nm, 0.0, 0.0);
    assert_true(isfinite(balance.angle_rad));
}

static void the_neutral_angle_of_a_level_centre_is_a_quarter_turn(void **state)
{
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        trn_part part = trn_default_part();
        part.weight_N = 1000.0;
        part.at.x = 0.5 * side;
        trn_leaf leaf = leaf_of(&part);
        leaf.opens_to_rad = 100.0 * DEGREE;
        assert_true(trn_leaf_balance(&leaf).has_neutral_angle);
        assert_close(trn_leaf_balance(&leaf).neutral_angle_rad, QUARTER_TURN, 1e-15);
    }
}

static void a_centre_straight_above_or_below_is_neutral_only_at_the_start(void **state)
{
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        trn_part part = trn_default_part();
        part.weight_N = 1000.0;
        part.at.y = 0.5 * side;
        trn_leaf leaf = leaf_of(&part);
        leaf.opens_to_rad = 100.0 * DEGREE;
        trn_balance balance = trn_leaf_balance(&leaf);
        assert_false(balance.has_neutral_angle);
        assert_same_bits(balance.neutral_angle_rad, 0.0);
        assert_close(balance.angle_rad, side * QUARTER_TURN, 1e-15);
    }
}

static void an_imbalance_of_less_than_a_newton_metre_counts_as_well(void **state)
{
    (void)state;
    const trn_part part = weight_at(0.8, 0.5, 30.0 * DEGREE);
    trn_leaf leaf = leaf_of(&part);
    trn_balance balance = trn_leaf_balance(&leaf);
    assert_true(balance.has_neutral_angle);
    assert_close(balance.neutral_angle_rad, 60.0 * DEGREE, 1e-14);
    assert_close(balance.centre.x, 0.5 * cos(30.0 * DEGREE), 1e-14);
}

static void a_leaf_of_no_weight_has_its_centre_at_the_trunnion(void **state)
{
    (void)state;
    trn_leaf leaf = trn_default_leaf();
    leaf.toe_m = 20.0;
    leaf.opens_to_rad = 1.0;
    trn_balance balance = trn_leaf_balance(&leaf);
    assert_same_bits(balance.centre.x, 0.0);
    assert_same_bits(balance.centre.y, 0.0);
    assert_same_bits(balance.mass_kg, 0.0);
    assert_false(balance.has_neutral_angle);
}

static void a_leaf_turned_by_an_angle_has_the_shifted_curve(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_body body = trn_leaf_body(&leaf);
    trn_balance balance = trn_leaf_balance(&leaf);
    const double turns[] = {-1.1, -0.2, 0.35, 1.3};
    for (size_t k = 0; k < COUNT(turns); k++) {
        mapped_leaf turned;
        map_leaf((plane_map){.turn_rad = turns[k]}, &leaf, &turned);
        trn_body other = trn_leaf_body(&turned.leaf);
        for (int i = -9; i <= 9; i++)
            assert_close_at(moment_at(other, 0.2 * i), moment_at(body, 0.2 * i + turns[k]), 1e-11, balance.moment_Nm);
        assert_close(other.inertia_kg_m2, body.inertia_kg_m2, 1e-12);
        assert_close(trn_leaf_balance(&turned.leaf).moment_Nm, balance.moment_Nm, 1e-11);
    }
}

static void a_leaf_mirrored_top_to_bottom_has_the_curve_backwards(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    mapped_leaf mirrored;
    map_leaf((plane_map){.mirror_y = true}, &leaf, &mirrored);
    trn_body body = trn_leaf_body(&leaf);
    trn_body other = trn_leaf_body(&mirrored.leaf);
    for (int i = -9; i <= 9; i++)
        assert_close_at(moment_at(other, 0.2 * i), moment_at(body, -0.2 * i), 1e-12, hypot(body.a_Nm, body.b_Nm));
}

static void a_leaf_mirrored_toe_to_heel_has_the_curve_backwards_and_negative(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    mapped_leaf mirrored;
    map_leaf((plane_map){.mirror_x = true}, &leaf, &mirrored);
    trn_body body = trn_leaf_body(&leaf);
    trn_body other = trn_leaf_body(&mirrored.leaf);
    for (int i = -9; i <= 9; i++)
        assert_close_at(moment_at(other, 0.2 * i), -moment_at(body, -0.2 * i), 1e-12, hypot(body.a_Nm, body.b_Nm));
}

static double moment_for_gsl(double angle_rad, void *body)
{
    return moment_at(*(const trn_body *)body, angle_rad);
}

static void the_work_of_the_moment_is_the_lift_of_the_weight(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_balance balance = trn_leaf_balance(&leaf);
    trn_body body = trn_leaf_body(&leaf);
    gsl_function integrand = {moment_for_gsl, &body};
    for (int i = 10; i <= 120; i += 10) {
        double work = 0.0;
        double error = 0.0;
        size_t evaluations = 0;
        assert_int_equal(
            gsl_integration_qng(&integrand, 0.0, i * DEGREE, 0.0, 1e-11, &work, &error, &evaluations), 0);
        double lift = trn_point_rotate(balance.centre, trn_rotation_by(i * DEGREE)).y - balance.centre.y;
        assert_close_at(work, balance.weight_N * lift, 1e-11, balance.moment_Nm);
    }
}

static void the_same_leaf_gives_the_same_bits_again(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_balance once = trn_leaf_balance(&leaf);
    trn_balance again = trn_leaf_balance(&leaf);
    assert_same_bits(again.closed_moment_Nm, once.closed_moment_Nm);
    assert_same_bits(again.moment_Nm, once.moment_Nm);
    assert_same_bits(again.angle_rad, once.angle_rad);
    assert_same_bits(again.inertia_kg_m2, once.inertia_kg_m2);
    assert_same_bits(again.neutral_angle_rad, once.neutral_angle_rad);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_body_of_a_leaf_is_the_sum_of_its_parts_and_pockets),
        cmocka_unit_test(parts_together_are_the_sum_of_parts_alone),
        cmocka_unit_test(a_leaf_without_anything_weighs_nothing),
        cmocka_unit_test(the_balance_states_weight_mass_and_centre),
        cmocka_unit_test(the_angle_of_balance_is_told_in_all_four_quarters),
        cmocka_unit_test(the_curve_is_one_cosine_of_moment_and_angle),
        cmocka_unit_test(a_leaf_heavy_leaf_closes_and_a_counterweight_heavy_one_opens),
        cmocka_unit_test(the_neutral_angle_completes_a_quarter_turn),
        cmocka_unit_test(the_neutral_angle_of_a_counterweight_heavy_leaf_is_found_as_well),
        cmocka_unit_test(no_neutral_angle_where_the_moment_keeps_its_sign),
        cmocka_unit_test(no_neutral_angle_beyond_the_end_of_the_travel),
        cmocka_unit_test(no_neutral_angle_in_perfect_balance),
        cmocka_unit_test(the_neutral_angle_of_a_level_centre_is_a_quarter_turn),
        cmocka_unit_test(a_centre_straight_above_or_below_is_neutral_only_at_the_start),
        cmocka_unit_test(an_imbalance_of_less_than_a_newton_metre_counts_as_well),
        cmocka_unit_test(a_leaf_of_no_weight_has_its_centre_at_the_trunnion),
        cmocka_unit_test(a_leaf_turned_by_an_angle_has_the_shifted_curve),
        cmocka_unit_test(a_leaf_mirrored_top_to_bottom_has_the_curve_backwards),
        cmocka_unit_test(a_leaf_mirrored_toe_to_heel_has_the_curve_backwards_and_negative),
        cmocka_unit_test(the_work_of_the_moment_is_the_lift_of_the_weight),
        cmocka_unit_test(the_same_leaf_gives_the_same_bits_again),
    };
    return cmocka_run_group_tests_name("balance", tests, NULL, NULL);
}
