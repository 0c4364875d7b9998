/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "sample.h"
#include "trunnion/geometry.h"

#define POLYGON(corners) ((trn_polygon){corners, COUNT(corners)})

static void rotation_holds_cosine_and_sine(void **state)
{
    (void)state;
    trn_rotation third = trn_rotation_by(HALF_TURN / 3.0);
    assert_close(third.cosine, 0.5, 1e-15);
    assert_close(third.sine, sqrt(0.75), 1e-15);
    trn_rotation back = trn_rotation_by(-HALF_TURN / 6.0);
    assert_close(back.cosine, sqrt(0.75), 1e-15);
    assert_close(back.sine, -0.5, 1e-15);
}

static void rotation_by_nothing_is_exact(void **state)
{
    (void)state;
    trn_point kept = trn_point_rotate((trn_point){23.6, -0.2}, trn_rotation_by(0.0));
    assert_same_bits(kept.x, 23.6);
    assert_same_bits(kept.y, -0.2);
}

static void a_positive_rotation_lifts_the_toe(void **state)
{
    (void)state;
    trn_point toe = trn_point_rotate((trn_point){2.0, 0.0}, trn_rotation_by(QUARTER_TURN));
    assert_close_at(toe.x, 0.0, 1e-15, 2.0);
    assert_close(toe.y, 2.0, 1e-15);
}

static void a_point_above_the_trunnion_moves_towards_the_heel(void **state)
{
    (void)state;
    trn_point top = trn_point_rotate((trn_point){0.0, 3.0}, trn_rotation_by(HALF_TURN / 6.0));
    assert_close(top.x, -1.5, 1e-15);
    assert_close(top.y, 3.0 * sqrt(0.75), 1e-15);
}

static void rotations_add_and_keep_the_distance(void **state)
{
    (void)state;
    trn_point start = {-7.3, 2.9};
    for (int i = -12; i <= 12; i++) {
        double angle = 0.27 * i;
        trn_point once = trn_point_rotate(start, trn_rotation_by(angle + 0.4));
        trn_point twice = trn_point_rotate(trn_point_rotate(start, trn_rotation_by(angle)), trn_rotation_by(0.4));
        assert_close_at(once.x, twice.x, 1e-14, 8.0);
        assert_close_at(once.y, twice.y, 1e-14, 8.0);
        assert_close(trn_point_distance(once, (trn_point){0.0, 0.0}), hypot(7.3, 2.9), 1e-14);
    }
}

static void distance_is_that_of_pythagoras_in_any_order(void **state)
{
    (void)state;
    trn_point a = {-1.0, 2.0};
    trn_point b = {2.0, -2.0};
    assert_same_bits(trn_point_distance(a, b), 5.0);
    assert_same_bits(trn_point_distance(b, a), 5.0);
    assert_same_bits(trn_point_distance(a, a), 0.0);
}

static const trn_point rectangle[] = {{-1.0, 2.0}, {5.0, 2.0}, {5.0, 4.0}, {-1.0, 4.0}};

static void area_of_a_rectangle(void **state)
{
    (void)state;
    trn_area area = trn_polygon_area(POLYGON(rectangle));
    assert_close(area.area_m2, 12.0, 1e-15);
    assert_close(area.centroid.x, 2.0, 1e-15);
    assert_close(area.centroid.y, 3.0, 1e-15);
    assert_close(area.polar_m4, 12.0 * (36.0 + 4.0) / 12.0, 1e-14);
}

static void area_of_a_triangle_with_its_sides(void **state)
{
    (void)state;
    const trn_point corners[] = {{1.0, -2.0}, {4.0, 0.5}, {-0.5, 3.0}};
    trn_area area = trn_polygon_area(POLYGON(corners));
    double squares = 9.0 + 6.25 + 20.25 + 6.25 + 2.25 + 25.0;
    assert_close(area.area_m2, 0.5 * (3.0 * 5.0 + 1.5 * 2.5), 1e-15);
    assert_close(area.centroid.x, 4.5 / 3.0, 1e-15);
    assert_close(area.centroid.y, 1.5 / 3.0, 1e-15);
    assert_close(area.polar_m4, area.area_m2 * squares / 36.0, 1e-14);
}

static void area_of_regular_polygons(void **state)
{
    (void)state;
    trn_point corners[64];
    for (size_t n = 3; n <= 64; n++) {
        double step = 2.0 * HALF_TURN / (double)n;
        for (size_t i = 0; i < n; i++)
            corners[i] = (trn_point){7.0 + 2.5 * cos(step * (double)i), -3.0 + 2.5 * sin(step * (double)i)};
        trn_area area = trn_polygon_area((trn_polygon){corners, n});
        double want = 0.5 * (double)n * 6.25 * sin(step);
        assert_close(area.area_m2, want, 1e-13);
        assert_close(area.centroid.x, 7.0, 1e-13);
        assert_close(area.centroid.y, -3.0, 1e-13);
        assert_close(area.polar_m4, want * 6.25 * (2.0 + cos(step)) / 6.0, 1e-12);
    }
}

static void area_of_an_outline_with_a_bay_is_that_of_its_rectangles(void **state)
{
    (void)state;
    const trn_point corners[] = {{0, 0}, {6, 0}, {6, 5}, {4, 5}, {4, 1}, {2, 1}, {2, 5}, {0, 5}};
    trn_area area = trn_polygon_area(POLYGON(corners));
    double y = (6.0 * 0.5 + 2.0 * 8.0 * 3.0) / 22.0;
    double base = 6.0 * (36.0 + 1.0) / 12.0 + 6.0 * (y - 0.5) * (y - 0.5);
    double tower = 8.0 * (4.0 + 16.0) / 12.0 + 8.0 * (4.0 + (3.0 - y) * (3.0 - y));
    assert_close(area.area_m2, 22.0, 1e-15);
    assert_close(area.centroid.x, 3.0, 1e-15);
    assert_close(area.centroid.y, y, 1e-15);
    assert_close(area.polar_m4, base + 2.0 * tower, 1e-14);
}

static void area_is_the_same_for_either_sense_and_any_first_corner(void **state)
{
    (void)state;
    trn_area want = trn_polygon_area(POLYGON(sample_outline));
    size_t n = COUNT(sample_outline);
    for (size_t start = 0; start < n; start++) {
        for (int sense = 0; sense < 2; sense++) {
            trn_point corners[COUNT(sample_outline)];
            for (size_t i = 0; i < n; i++)
                corners[i] = sample_outline[sense ? (start + n - i) % n : (start + i) % n];
            trn_area got = trn_polygon_area(POLYGON(corners));
            assert_true(got.area_m2 > 0.0);
            assert_close(got.area_m2, want.area_m2, 1e-14);
            assert_close(got.centroid.x, want.centroid.x, 1e-14);
            assert_close(got.centroid.y, want.centroid.y, 1e-14);
            assert_close(got.polar_m4, want.polar_m4, 1e-13);
        }
    }
}

static void area_far_from_the_origin_loses_no_bit(void **state)
{
    (void)state;
    const double away = 1048576.0;
    trn_point near_corners[COUNT(rectangle)];
    trn_point far_corners[COUNT(rectangle)];
    for (size_t i = 0; i < COUNT(rectangle); i++) {
        near_corners[i] = (trn_point){rectangle[i].x + 0.25 * (double)(i % 2), rectangle[i].y};
        far_corners[i] = (trn_point){near_corners[i].x + away, near_corners[i].y - away};
    }
    trn_area close_by = trn_polygon_area(POLYGON(near_corners));
    trn_area far_off = trn_polygon_area(POLYGON(far_corners));
    assert_same_bits(far_off.area_m2, close_by.area_m2);
    assert_same_bits(far_off.polar_m4, close_by.polar_m4);
    assert_near(far_off.centroid.x - away, close_by.centroid.x, 1e-9);
    assert_near(far_off.centroid.y + away, close_by.centroid.y, 1e-9);
}

static void area_of_less_than_three_corners_is_zero(void **state)
{
    (void)state;
    for (size_t n = 0; n < 3; n++) {
        trn_area area = trn_polygon_area((trn_polygon){n ? rectangle : NULL, n});
        assert_same_bits(area.area_m2, 0.0);
        assert_same_bits(area.centroid.x, 0.0);
        assert_same_bits(area.centroid.y, 0.0);
        assert_same_bits(area.polar_m4, 0.0);
    }
}

static void area_of_corners_in_one_line_is_zero(void **state)
{
    (void)state;
    const trn_point flat[] = {{1.0, 1.0}, {2.0, 2.0}, {4.0, 4.0}};
    trn_area area = trn_polygon_area(POLYGON(flat));
    assert_same_bits(area.area_m2, 0.0);
    assert_same_bits(area.centroid.x, 0.0);
    assert_same_bits(area.centroid.y, 0.0);
    assert_same_bits(area.polar_m4, 0.0);
}

static void simple_outlines_are_told_as_simple(void **state)
{
    (void)state;
    const trn_point triangle[] = {{0, 0}, {1, 0}, {0, 1}};
    const trn_point bay[] = {{0, 0}, {6, 0}, {6, 5}, {4, 5}, {4, 1}, {2, 1}, {2, 5}, {0, 5}};
    const trn_point straight_corner[] = {{0, 0}, {1, 0}, {2, 0}, {2, 2}, {0, 2}};
    assert_true(trn_polygon_is_simple(POLYGON(triangle)));
    assert_true(trn_polygon_is_simple(POLYGON(rectangle)));
    assert_true(trn_polygon_is_simple(POLYGON(bay)));
    assert_true(trn_polygon_is_simple(POLYGON(straight_corner)));
    assert_true(trn_polygon_is_simple(POLYGON(sample_outline)));
}

static void outlines_that_cross_are_not_simple(void **state)
{
    (void)state;
    const trn_point bow_tie[] = {{0, 0}, {2, 2}, {2, 0}, {0, 2}};
    const trn_point star[] = {{0, 3}, {2, -3}, {-3, 1}, {3, 1}, {-2, -3}};
    assert_false(trn_polygon_is_simple(POLYGON(bow_tie)));
    assert_false(trn_polygon_is_simple(POLYGON(star)));
}

static void outlines_that_touch_themselves_are_not_simple(void **state)
{
    (void)state;
    const trn_point corner_on_side[] = {{0, 0}, {4, 0}, {4, 3}, {2, 0}, {0, 3}};
    const trn_point corner_on_corner[] = {{0, 0}, {2, 0}, {1, 1}, {2, 2}, {0, 2}, {1, 1}};
    const trn_point side_on_side[] = {{0, 0}, {6, 0}, {6, 2}, {4, 2}, {4, 0}, {2, 0}, {2, 2}, {0, 2}};
    assert_false(trn_polygon_is_simple(POLYGON(corner_on_side)));
    assert_false(trn_polygon_is_simple(POLYGON(corner_on_corner)));
    assert_false(trn_polygon_is_simple(POLYGON(side_on_side)));
}

static void outlines_that_fold_back_on_themselves_are_not_simple(void **state)
{
    (void)state;
    const trn_point spike[] = {{0, 0}, {4, 0}, {2, 0}, {2, 3}};
    const trn_point flat[] = {{0, 0}, {1, 1}, {3, 3}};
    const trn_point there_and_back[] = {{0, 0}, {3, 0}, {3, 2}, {3, 5}, {3, 2}, {0, 2}};
    assert_false(trn_polygon_is_simple(POLYGON(spike)));
    assert_false(trn_polygon_is_simple(POLYGON(flat)));
    assert_false(trn_polygon_is_simple(POLYGON(there_and_back)));
}

static void outlines_with_a_side_of_no_length_or_too_few_corners_are_not_simple(void **state)
{
    (void)state;
    const trn_point doubled[] = {{0, 0}, {2, 0}, {2, 0}, {0, 2}};
    const trn_point closed_twice[] = {{0, 0}, {2, 0}, {0, 2}, {0, 0}};
    assert_false(trn_polygon_is_simple(POLYGON(doubled)));
    assert_false(trn_polygon_is_simple(POLYGON(closed_twice)));
    assert_false(trn_polygon_is_simple((trn_polygon){rectangle, 2}));
    assert_false(trn_polygon_is_simple((trn_polygon){NULL, 0}));
}

/* The answer may not depend on where an outline begins or on its sense: all are tried, and must agree. */
static bool agreed(bool (*ask)(trn_polygon, trn_polygon), trn_polygon a, trn_polygon b)
{
    const bool answer = ask(a, b);
    trn_point corners_a[8];
    trn_point corners_b[8];
    assert_true(a.count <= 8 && b.count <= 8);
    for (size_t i = 0; i < 4 * a.count * b.count; i++) {
        size_t start_a = i / 4 % a.count;
        size_t start_b = i / 4 / a.count;
        for (size_t k = 0; k < a.count; k++)
            corners_a[k] = a.corners[(start_a + (i & 1 ? k : a.count - k)) % a.count];
        for (size_t k = 0; k < b.count; k++)
            corners_b[k] = b.corners[(start_b + (i & 2 ? k : b.count - k)) % b.count];
        assert_int_equal(ask((trn_polygon){corners_a, a.count}, (trn_polygon){corners_b, b.count}), answer);
    }
    return answer;
}

static bool contains(trn_polygon outer, trn_polygon inner)
{
    return agreed(trn_polygon_contains, outer, inner);
}

static bool overlaps(trn_polygon a, trn_polygon b)
{
    return agreed(trn_polygon_overlaps, a, b);
}

static const trn_point plate[] = {{0, 0}, {6, 0}, {6, 5}, {4, 5}, {4, 1}, {2, 1}, {2, 5}, {0, 5}};

static void a_polygon_contains_what_lies_inside_it(void **state)
{
    (void)state;
    const trn_point inside[] = {{0.5, 0.25}, {5.5, 0.25}, {5.5, 0.75}, {0.5, 0.75}};
    const trn_point in_a_tower[] = {{4.5, 2.0}, {5.5, 2.0}, {5.0, 4.5}};
    assert_true(contains(POLYGON(plate), POLYGON(inside)));
    assert_true(contains(POLYGON(plate), POLYGON(in_a_tower)));
    assert_false(contains(POLYGON(inside), POLYGON(plate)));
}

static void a_polygon_contains_itself_and_what_touches_its_sides(void **state)
{
    (void)state;
    const trn_point on_the_side[] = {{0, 0}, {6, 0}, {6, 1}, {0, 1}};
    const trn_point corner_on_side[] = {{0, 2}, {1, 1.5}, {2, 2}, {1, 2.5}};
    assert_true(contains(POLYGON(plate), POLYGON(plate)));
    assert_true(contains(POLYGON(plate), POLYGON(on_the_side)));
    assert_true(contains(POLYGON(plate), POLYGON(corner_on_side)));
}

static void a_polygon_does_not_contain_what_crosses_or_lies_outside(void **state)
{
    (void)state;
    const trn_point outside[] = {{7, 0}, {8, 0}, {8, 1}};
    const trn_point crossing[] = {{1, 2}, {5, 2}, {5, 3}, {1, 3}};
    const trn_point in_the_bay[] = {{2.5, 2}, {3.5, 2}, {3, 3}};
    const trn_point around[] = {{-1, -1}, {7, -1}, {7, 6}, {-1, 6}};
    assert_false(contains(POLYGON(plate), POLYGON(outside)));
    assert_false(contains(POLYGON(plate), POLYGON(crossing)));
    assert_false(contains(POLYGON(plate), POLYGON(in_the_bay)));
    assert_false(contains(POLYGON(plate), POLYGON(around)));
}

static void a_polygon_does_not_contain_what_spans_its_bay_between_corners_inside(void **state)
{
    (void)state;
    const trn_point bridging[] = {{0, 1}, {6, 1}, {6, 5}, {0, 5}};
    const trn_point filling_the_bay[] = {{2, 1}, {4, 1}, {4, 5}, {2, 5}};
    const trn_point lid[] = {{0, 5}, {2, 5}, {4, 5}, {6, 5}, {6, 4}, {0, 4}};
    assert_false(contains(POLYGON(plate), POLYGON(bridging)));
    assert_false(contains(POLYGON(plate), POLYGON(filling_the_bay)));
    assert_false(contains(POLYGON(plate), POLYGON(lid)));
}

static void overlap_is_told_for_crossing_and_nested_outlines(void **state)
{
    (void)state;
    const trn_point crossing[] = {{1, 2}, {5, 2}, {5, 3}, {1, 3}};
    const trn_point inside[] = {{0.5, 0.25}, {5.5, 0.25}, {5.5, 0.75}, {0.5, 0.75}};
    assert_true(overlaps(POLYGON(plate), POLYGON(crossing)));
    assert_true(overlaps(POLYGON(crossing), POLYGON(plate)));
    assert_true(overlaps(POLYGON(plate), POLYGON(inside)));
    assert_true(overlaps(POLYGON(inside), POLYGON(plate)));
    assert_true(overlaps(POLYGON(plate), POLYGON(plate)));
}

static void overlap_is_told_where_no_corner_lies_inside_the_other(void **state)
{
    (void)state;
    const trn_point across[] = {{-3, 0}, {3, 0}, {3, 1}, {-3, 1}};
    const trn_point upright[] = {{-1, -2}, {1, -2}, {1, 3}, {-1, 3}};
    const trn_point same_height[] = {{2, 0}, {5, 0}, {5, 1}, {2, 1}};
    assert_true(overlaps(POLYGON(across), POLYGON(upright)));
    assert_true(overlaps(POLYGON(across), POLYGON(same_height)));
}

static void overlap_does_not_count_a_touch_or_a_bay(void **state)
{
    (void)state;
    const trn_point beside[] = {{6, 0}, {8, 0}, {8, 5}, {6, 5}};
    const trn_point at_a_corner[] = {{6, 5}, {7, 5}, {7, 6}, {6, 6}};
    const trn_point in_the_bay[] = {{2, 1}, {4, 1}, {4, 5}, {2, 5}};
    const trn_point apart[] = {{10, 0}, {11, 0}, {11, 1}};
    assert_false(overlaps(POLYGON(plate), POLYGON(beside)));
    assert_false(overlaps(POLYGON(plate), POLYGON(at_a_corner)));
    assert_false(overlaps(POLYGON(plate), POLYGON(in_the_bay)));
    assert_false(overlaps(POLYGON(in_the_bay), POLYGON(plate)));
    assert_false(overlaps(POLYGON(plate), POLYGON(apart)));
}

/* The same outline, begun at another corner. */
static trn_polygon begun_at(const trn_point *corners, size_t count, size_t first, trn_point *room)
{
    for (size_t i = 0; i < count; i++)
        room[i] = corners[(first + i) % count];
    return (trn_polygon){room, count};
}

static void check_notch(const trn_point *notched)
{
    const trn_point over_the_notch[] = {{1, 1.5}, {5, 1.5}, {5, 2}, {1, 2}};
    const trn_point wedge[] = {{4, 4}, {2, 4}, {3, 1}};
    const trn_point half_wedge[] = {{4, 4}, {3, 4}, {3, 1}};
    const trn_point foot[] = {{0, 0}, {6, 0}, {3, 1}};
    const trn_point spanned[] = {{6, 4}, {0, 4}, {0, 0}, {6, 0}};
    const trn_polygon whole = {notched, 7};
    assert_false(contains(whole, POLYGON(spanned)));
    assert_false(contains(whole, POLYGON(over_the_notch)));
    assert_true(overlaps(whole, POLYGON(over_the_notch)));
    assert_false(contains(whole, POLYGON(wedge)));
    assert_false(overlaps(whole, POLYGON(wedge)));
    assert_false(overlaps(whole, POLYGON(half_wedge)));
    assert_true(contains(whole, POLYGON(foot)));
    assert_true(overlaps(POLYGON(wedge), POLYGON(half_wedge)));
}

static void a_notch_in_one_side_is_seen_from_every_first_corner(void **state)
{
    (void)state;
    const trn_point notched[] = {{0, 0}, {6, 0}, {6, 4}, {4, 4}, {3, 1}, {2, 4}, {0, 4}};
    trn_point room[COUNT(notched)];
    for (size_t first = 0; first < COUNT(notched); first++)
        check_notch(begun_at(notched, COUNT(notched), first, room).corners);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rotation_holds_cosine_and_sine),
        cmocka_unit_test(rotation_by_nothing_is_exact),
        cmocka_unit_test(a_positive_rotation_lifts_the_toe),
        cmocka_unit_test(a_point_above_the_trunnion_moves_towards_the_heel),
        cmocka_unit_test(rotations_add_and_keep_the_distance),
        cmocka_unit_test(distance_is_that_of_pythagoras_in_any_order),
        cmocka_unit_test(area_of_a_rectangle),
        cmocka_unit_test(area_of_a_triangle_with_its_sides),
        cmocka_unit_test(area_of_regular_polygons),
        cmocka_unit_test(area_of_an_outline_with_a_bay_is_that_of_its_rectangles),
        cmocka_unit_test(area_is_the_same_for_either_sense_and_any_first_corner),
        cmocka_unit_test(area_far_from_the_origin_loses_no_bit),
        cmocka_unit_test(area_of_less_than_three_corners_is_zero),
        cmocka_unit_test(area_of_corners_in_one_line_is_zero),
        cmocka_unit_test(simple_outlines_are_told_as_simple),
        cmocka_unit_test(outlines_that_cross_are_not_simple),
        cmocka_unit_test(outlines_that_touch_themselves_are_not_simple),
        cmocka_unit_test(outlines_that_fold_back_on_themselves_are_not_simple),
        cmocka_unit_test(outlines_with_a_side_of_no_length_or_too_few_corners_are_not_simple),
        cmocka_unit_test(a_polygon_contains_what_lies_inside_it),
        cmocka_unit_test(a_polygon_contains_itself_and_what_touches_its_sides),
        cmocka_unit_test(a_polygon_does_not_contain_what_crosses_or_lies_outside),
        cmocka_unit_test(a_polygon_does_not_contain_what_spans_its_bay_between_corners_inside),
        cmocka_unit_test(overlap_is_told_for_crossing_and_nested_outlines),
        cmocka_unit_test(overlap_is_told_where_no_corner_lies_inside_the_other),
        cmocka_unit_test(overlap_does_not_count_a_touch_or_a_bay),
        cmocka_unit_test(a_notch_in_one_side_is_seen_from_every_first_corner),
    };
    return cmocka_run_group_tests_name("geometry", tests, NULL, NULL);
}
