/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "sample.h"
#include "trunnion/part.h"

#define G0 9.80665

static const trn_point trunnion = {0.0, 0.0};

/* A body of one mass: what a shape must amount to. */
static void assert_body(trn_body got, double weight, double x, double y, double own_inertia)
{
    assert_close(got.weight_N, weight, 1e-14);
    assert_close_at(got.a_Nm, weight * x, 1e-13, weight);
    assert_close_at(got.b_Nm, weight * y, 1e-13, weight);
    assert_close(got.inertia_kg_m2, own_inertia + weight / G0 * (x * x + y * y), 1e-13);
}

static void assert_same_body(trn_body got, trn_body want)
{
    double size = fmax(fabs(want.a_Nm), fabs(want.b_Nm));
    assert_close(got.weight_N, want.weight_N, 1e-13);
    assert_close_at(got.a_Nm, want.a_Nm, 1e-12, size);
    assert_close_at(got.b_Nm, want.b_Nm, 1e-12, size);
    assert_close(got.inertia_kg_m2, want.inertia_kg_m2, 1e-12);
}

static trn_part block_of(const trn_point *corners, size_t count)
{
    trn_part part = trn_default_part();
    part.shape = TRN_SHAPE_BLOCK;
    part.unit_weight_N_m3 = 24000.0;
    part.width_m = 2.5;
    part.outline = (trn_polygon){corners, count};
    return part;
}

static void gravity_is_the_standard_one(void **state)
{
    (void)state;
    assert_same_bits(TRN_STANDARD_GRAVITY, 9.80665);
}

static void the_default_part_is_one_point_of_no_weight(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    assert_int_equal(part.shape, TRN_SHAPE_POINT);
    assert_int_equal(part.count, 1);
    assert_same_bits(part.weight_N, 0.0);
    assert_same_bits(part.uncertainty.sd, 0.0);
    assert_same_bits(trn_part_body(&part, trunnion).weight_N, 0.0);
    assert_null(part.voids);
}

static void a_point_has_its_moments_and_its_own_inertia(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    part.weight_N = 500.0;
    part.at = (trn_point){-3.0, 2.0};
    assert_body(trn_part_body(&part, trunnion), 500.0, -3.0, 2.0, 0.0);
    part.gyration_m = 0.7;
    assert_body(trn_part_body(&part, trunnion), 500.0, -3.0, 2.0, 500.0 / G0 * 0.49);
    assert_close(trn_part_centroid(&part).x, -3.0, 1e-15);
    assert_close(trn_part_centroid(&part).y, 2.0, 1e-15);
}

static void a_bar_by_weight_has_its_moments_at_the_middle(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    part.shape = TRN_SHAPE_BAR;
    part.weight_N = 900.0;
    part.from = (trn_point){-2.0, -1.0};
    part.to = (trn_point){1.0, 3.0};
    assert_body(trn_part_body(&part, trunnion), 900.0, -0.5, 1.0, 900.0 / G0 * 25.0 / 12.0);
    assert_close(trn_part_centroid(&part).x, -0.5, 1e-15);
    assert_close(trn_part_centroid(&part).y, 1.0, 1e-15);
}

static void a_bar_by_length_weighs_what_its_slope_length_says(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    part.shape = TRN_SHAPE_BAR;
    part.weight_per_length_N_m = 180.0;
    part.from = (trn_point){-2.0, -1.0};
    part.to = (trn_point){1.0, 3.0};
    assert_body(trn_part_body(&part, trunnion), 900.0, -0.5, 1.0, 900.0 / G0 * 25.0 / 12.0);
}

static void a_bar_from_its_end_at_the_trunnion_has_a_third(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    part.shape = TRN_SHAPE_BAR;
    part.weight_N = 100.0;
    part.to = (trn_point){3.0, 0.0};
    assert_close(trn_part_body(&part, trunnion).inertia_kg_m2, 100.0 / G0 * 9.0 / 3.0, 1e-14);
}

static void a_slab_weighs_area_and_lies_like_a_bar(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    part.shape = TRN_SHAPE_SLAB;
    part.weight_per_area_N_m2 = 40.0;
    part.width_m = 9.0;
    part.from = (trn_point){2.0, 1.0};
    part.to = (trn_point){8.0, 9.0};
    assert_body(trn_part_body(&part, trunnion), 3600.0, 5.0, 5.0, 3600.0 / G0 * 100.0 / 12.0);
    assert_close(trn_part_centroid(&part).x, 5.0, 1e-15);
    assert_close(trn_part_centroid(&part).y, 5.0, 1e-15);
}

static void ends_of_a_bar_may_be_swapped(void **state)
{
    (void)state;
    trn_part part = sample_parts[1];
    trn_part swapped = part;
    swapped.from = part.to;
    swapped.to = part.from;
    assert_same_body(trn_part_body(&swapped, trunnion), trn_part_body(&part, trunnion));
}

static void a_rectangular_block_is_the_textbook_prism(void **state)
{
    (void)state;
    const trn_point corners[] = {{-8.0, -2.4}, {-4.0, -2.4}, {-4.0, 0.2}, {-8.0, 0.2}};
    trn_part part = block_of(corners, 4);
    double weight = 24000.0 * 2.5 * 4.0 * 2.6;
    assert_body(trn_part_body(&part, trunnion), weight, -6.0, -1.1, weight / G0 * (16.0 + 6.76) / 12.0);
}

static void a_triangular_block_is_the_textbook_prism(void **state)
{
    (void)state;
    const trn_point corners[] = {{-3.0, -1.0}, {0.0, -1.0}, {-3.0, 3.0}};
    trn_part part = block_of(corners, 3);
    double weight = 24000.0 * 2.5 * 6.0;
    assert_body(trn_part_body(&part, trunnion), weight, -2.0, 1.0 / 3.0, weight / G0 * (9.0 + 16.0 + 25.0) / 36.0);
    assert_close(trn_part_centroid(&part).x, -2.0, 1e-14);
    assert_close(trn_part_centroid(&part).y, 1.0 / 3.0, 1e-14);
}

static void a_void_takes_away_a_prism_of_its_own_width(void **state)
{
    (void)state;
    const trn_point outer[] = {{-8.0, -2.0}, {-4.0, -2.0}, {-4.0, 2.0}, {-8.0, 2.0}};
    const trn_point hole[] = {{-7.0, -1.0}, {-6.0, -1.0}, {-6.0, 1.0}, {-7.0, 1.0}};
    const trn_void hollow = {.width_m = 1.5, .outline = {hole, 4}};
    trn_part part = block_of(outer, 4);
    part.voids = &hollow;
    part.void_count = 1;
    double whole = 24000.0 * 2.5 * 16.0;
    double gone = 24000.0 * 1.5 * 2.0;
    double weight = whole - gone;
    double x = (whole * -6.0 - gone * -6.5) / weight;
    double inertia = (whole * (32.0 / 12.0 + 36.0) - gone * (5.0 / 12.0 + 42.25)) / G0;
    assert_body(trn_part_body(&part, trunnion), weight, x, 0.0, inertia - weight / G0 * x * x);
    assert_close(trn_part_centroid(&part).x, x, 1e-14);
    assert_close_at(trn_part_centroid(&part).y, 0.0, 1e-14, 2.0);
}

static void a_void_through_the_whole_width_makes_a_ring_of_bars(void **state)
{
    (void)state;
    const trn_point outer[] = {{1.0, 1.0}, {5.0, 1.0}, {5.0, 4.0}, {1.0, 4.0}};
    const trn_point hole[] = {{2.0, 2.0}, {2.0, 3.0}, {4.0, 3.0}, {4.0, 2.0}};
    const trn_point below[] = {{1.0, 1.0}, {5.0, 1.0}, {5.0, 2.0}, {1.0, 2.0}};
    const trn_point above[] = {{1.0, 3.0}, {5.0, 3.0}, {5.0, 4.0}, {1.0, 4.0}};
    const trn_point left[] = {{1.0, 2.0}, {2.0, 2.0}, {2.0, 3.0}, {1.0, 3.0}};
    const trn_point right[] = {{4.0, 2.0}, {5.0, 2.0}, {5.0, 3.0}, {4.0, 3.0}};
    const trn_void hollow = {.width_m = 2.5, .outline = {hole, 4}};
    trn_part ring = block_of(outer, 4);
    ring.voids = &hollow;
    ring.void_count = 1;
    const trn_point *pieces[] = {below, above, left, right};
    trn_body sum = {0};
    for (size_t i = 0; i < COUNT(pieces); i++) {
        trn_part piece = block_of(pieces[i], 4);
        sum = trn_body_sum(sum, trn_part_body(&piece, trunnion));
    }
    assert_same_body(trn_part_body(&ring, trunnion), sum);
}

static void a_void_that_takes_the_whole_block_leaves_nothing(void **state)
{
    (void)state;
    const trn_point outer[] = {{-8.0, -2.0}, {-4.0, -2.0}, {-4.0, 2.0}, {-8.0, 2.0}};
    const trn_void hollow = {.width_m = 2.5, .outline = {outer, 4}};
    trn_part part = block_of(outer, 4);
    part.voids = &hollow;
    part.void_count = 1;
    trn_body body = trn_part_body(&part, trunnion);
    assert_same_bits(body.weight_N, 0.0);
    assert_near(body.a_Nm, 0.0, 0.0);
    assert_near(body.b_Nm, 0.0, 0.0);
    assert_near(body.inertia_kg_m2, 0.0, 0.0);
    assert_close(trn_part_centroid(&part).x, -6.0, 1e-15);
    assert_near(trn_part_centroid(&part).y, 0.0, 1e-15);
}

static void a_block_of_less_than_a_newton_counts_as_well(void **state)
{
    (void)state;
    const trn_point corners[] = {{2.0, 3.0}, {2.1, 3.0}, {2.1, 3.1}, {2.0, 3.1}};
    trn_part part = block_of(corners, 4);
    part.unit_weight_N_m3 = 10.0;
    assert_body(trn_part_body(&part, trunnion), 0.25, 2.05, 3.05, 0.25 / G0 * 0.02 / 12.0);
}

static void several_voids_are_all_taken_away(void **state)
{
    (void)state;
    trn_part part = sample_parts[4];
    trn_body whole = trn_part_body(&part, trunnion);
    trn_part solid = part;
    solid.void_count = 0;
    trn_body sum = whole;
    for (size_t i = 0; i < part.void_count; i++) {
        trn_part plug = solid;
        plug.outline = part.voids[i].outline;
        plug.width_m = part.voids[i].width_m;
        sum = trn_body_sum(sum, trn_part_body(&plug, trunnion));
    }
    assert_same_body(sum, trn_part_body(&solid, trunnion));
    assert_true(whole.weight_N < 0.95 * sum.weight_N);
}

static void the_sense_of_an_outline_and_of_a_void_does_not_count(void **state)
{
    (void)state;
    trn_part part = sample_parts[4];
    trn_body want = trn_part_body(&part, trunnion);
    trn_point backwards[COUNT(sample_outline)];
    trn_point hole[COUNT(sample_hole)];
    for (size_t i = 0; i < COUNT(backwards); i++)
        backwards[i] = sample_outline[COUNT(backwards) - 1 - i];
    for (size_t i = 0; i < COUNT(hole); i++)
        hole[i] = sample_hole[COUNT(hole) - 1 - i];
    const trn_void voids[] = {{2.0, {hole, COUNT(hole)}}, sample_voids[1]};
    part.outline.corners = backwards;
    part.voids = voids;
    assert_same_body(trn_part_body(&part, trunnion), want);
}

static void count_multiplies_weight_moments_and_inertia_of_every_shape(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(sample_parts); i++) {
        trn_part one = sample_parts[i];
        one.count = 1;
        trn_part three = one;
        three.count = 3;
        trn_body single = trn_part_body(&one, trunnion);
        trn_body sum = trn_body_sum(trn_body_sum(single, single), single);
        assert_same_body(trn_part_body(&three, trunnion), sum);
        assert_close(trn_part_centroid(&three).x, trn_part_centroid(&one).x, 1e-15);
    }
}

static void the_moments_of_every_shape_are_weight_times_centroid(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(sample_parts); i++) {
        trn_body body = trn_part_body(&sample_parts[i], trunnion);
        trn_point centroid = trn_part_centroid(&sample_parts[i]);
        assert_close_at(body.a_Nm, body.weight_N * centroid.x, 1e-13, body.weight_N);
        assert_close_at(body.b_Nm, body.weight_N * centroid.y, 1e-13, body.weight_N);
    }
}

static void a_pivot_elsewhere_is_the_part_moved(void **state)
{
    (void)state;
    const trn_point pivot = {-9.0, 6.0};
    for (size_t i = 0; i < COUNT(sample_parts); i++) {
        trn_body at_trunnion = trn_part_body(&sample_parts[i], trunnion);
        trn_body at_pivot = trn_part_body(&sample_parts[i], pivot);
        double w = at_trunnion.weight_N;
        assert_close(at_pivot.weight_N, w, 1e-14);
        assert_close_at(at_pivot.a_Nm, at_trunnion.a_Nm + 9.0 * w, 1e-13, 10.0 * w);
        assert_close_at(at_pivot.b_Nm, at_trunnion.b_Nm - 6.0 * w, 1e-13, 10.0 * w);
        double steiner = (2.0 * (9.0 * at_trunnion.a_Nm - 6.0 * at_trunnion.b_Nm) + 117.0 * w) / G0;
        assert_close(at_pivot.inertia_kg_m2, at_trunnion.inertia_kg_m2 + steiner, 1e-12);
    }
}

static void inertia_is_least_about_the_centroid(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(sample_parts); i++) {
        trn_point centroid = trn_part_centroid(&sample_parts[i]);
        double least = trn_part_body(&sample_parts[i], centroid).inertia_kg_m2;
        for (int k = 0; k < 8; k++) {
            trn_point beside = {centroid.x + 0.3 * cos(k * QUARTER_TURN / 2.0),
                                centroid.y + 0.3 * sin(k * QUARTER_TURN / 2.0)};
            trn_body body = trn_part_body(&sample_parts[i], beside);
            assert_close(body.inertia_kg_m2, least + body.weight_N / G0 * 0.09, 1e-12);
        }
    }
}

static void a_turned_part_keeps_its_weight_and_inertia_and_turns_its_moments(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    mapped_leaf turned;
    map_leaf((plane_map){.turn_rad = 0.7}, &leaf, &turned);
    for (size_t i = 0; i < leaf.part_count; i++) {
        trn_body before = trn_part_body(&leaf.parts[i], trunnion);
        trn_point moments = map_point((plane_map){.turn_rad = 0.7}, (trn_point){before.a_Nm, before.b_Nm});
        trn_body want = {before.weight_N, moments.x, moments.y, before.inertia_kg_m2};
        assert_same_body(trn_part_body(&turned.parts[i], trunnion), want);
    }
}

static void a_body_sum_adds_each_member(void **state)
{
    (void)state;
    trn_body sum = trn_body_sum((trn_body){1.0, 20.0, -300.0, 4000.0}, (trn_body){5.0, -60.0, 700.0, 8000.0});
    assert_same_bits(sum.weight_N, 6.0);
    assert_same_bits(sum.a_Nm, -40.0);
    assert_same_bits(sum.b_Nm, 400.0);
    assert_same_bits(sum.inertia_kg_m2, 12000.0);
}

static void a_body_moment_is_weight_times_its_horizontal_arm(void **state)
{
    (void)state;
    trn_part part = trn_default_part();
    part.weight_N = 70.0;
    part.at = (trn_point){4.0 * cos(0.3), 4.0 * sin(0.3)};
    trn_body body = trn_part_body(&part, trunnion);
    for (int i = -8; i <= 8; i++) {
        double angle = 0.25 * i;
        assert_close_at(trn_body_moment(body, trn_rotation_by(angle)), 280.0 * cos(angle + 0.3), 1e-14, 280.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gravity_is_the_standard_one),
        cmocka_unit_test(the_default_part_is_one_point_of_no_weight),
        cmocka_unit_test(a_point_has_its_moments_and_its_own_inertia),
        cmocka_unit_test(a_bar_by_weight_has_its_moments_at_the_middle),
        cmocka_unit_test(a_bar_by_length_weighs_what_its_slope_length_says),
        cmocka_unit_test(a_bar_from_its_end_at_the_trunnion_has_a_third),
        cmocka_unit_test(a_slab_weighs_area_and_lies_like_a_bar),
        cmocka_unit_test(ends_of_a_bar_may_be_swapped),
        cmocka_unit_test(a_rectangular_block_is_the_textbook_prism),
        cmocka_unit_test(a_triangular_block_is_the_textbook_prism),
        cmocka_unit_test(a_void_takes_away_a_prism_of_its_own_width),
        cmocka_unit_test(a_void_through_the_whole_width_makes_a_ring_of_bars),
        cmocka_unit_test(a_void_that_takes_the_whole_block_leaves_nothing),
        cmocka_unit_test(a_block_of_less_than_a_newton_counts_as_well),
        cmocka_unit_test(several_voids_are_all_taken_away),
        cmocka_unit_test(the_sense_of_an_outline_and_of_a_void_does_not_count),
        cmocka_unit_test(count_multiplies_weight_moments_and_inertia_of_every_shape),
        cmocka_unit_test(the_moments_of_every_shape_are_weight_times_centroid),
        cmocka_unit_test(a_pivot_elsewhere_is_the_part_moved),
        cmocka_unit_test(inertia_is_least_about_the_centroid),
        cmocka_unit_test(a_turned_part_keeps_its_weight_and_inertia_and_turns_its_moments),
        cmocka_unit_test(a_body_sum_adds_each_member),
        cmocka_unit_test(a_body_moment_is_weight_times_its_horizontal_arm),
    };
    return cmocka_run_group_tests_name("part", tests, NULL, NULL);
}
