/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Polygons whose corners come from decimal text and from several units: what touches on paper is off by rounding. */
#include "assertions.h"

#include "sample.h"
#include "trunnion/geometry.h"

#define POLYGON(corners) ((trn_polygon){corners, COUNT(corners)})

static double hair_above(double value)
{
    return nextafter(value, HUGE_VAL);
}

static double hair_below(double value)
{
    return nextafter(value, -HUGE_VAL);
}

static const trn_point block[] = {{-8.0, -2.4}, {-4.0, -2.4}, {-4.0, 0.3}, {-8.0, 0.3}};

static void a_void_up_to_the_side_of_its_block_may_be_a_hair_too_wide(void **state)
{
    (void)state;
    const trn_point right[] = {{-5.0, -1.0}, {hair_above(-4.0), -1.0}, {hair_above(-4.0), 0.0}, {-5.0, 0.0}};
    const trn_point left[] = {{hair_below(-8.0), -1.0}, {-7.0, -1.0}, {-7.0, 0.0}, {hair_below(-8.0), 0.0}};
    const trn_point above[] = {{-6.0, -1.0}, {-5.0, -1.0}, {-5.0, hair_above(0.3)}, {-6.0, hair_above(0.3)}};
    const trn_point below[] = {{-6.0, hair_below(-2.4)}, {-5.0, hair_below(-2.4)}, {-5.0, 0.0}, {-6.0, 0.0}};
    assert_true(trn_polygon_contains(POLYGON(block), POLYGON(right)));
    assert_true(trn_polygon_contains(POLYGON(block), POLYGON(left)));
    assert_true(trn_polygon_contains(POLYGON(block), POLYGON(above)));
    assert_true(trn_polygon_contains(POLYGON(block), POLYGON(below)));
}

static void a_void_in_the_corner_of_its_block_may_be_a_hair_too_large(void **state)
{
    (void)state;
    const trn_point corner[] = {
        {-5.0, -1.0}, {hair_above(-4.0), -1.0}, {hair_above(-4.0), hair_above(0.3)}, {-5.0, hair_above(0.3)}};
    assert_true(trn_polygon_contains(POLYGON(block), POLYGON(corner)));
}

static void a_void_that_is_really_too_wide_is_not_inside(void **state)
{
    (void)state;
    const trn_point right[] = {{-5.0, -1.0}, {-4.0 + 1e-9, -1.0}, {-4.0 + 1e-9, 0.0}, {-5.0, 0.0}};
    assert_false(trn_polygon_contains(POLYGON(block), POLYGON(right)));
}

static void neighbours_that_share_a_side_but_for_a_hair_do_not_overlap(void **state)
{
    (void)state;
    const trn_point first[] = {{-7.0, -1.0}, {hair_above(-6.0), -1.0}, {hair_above(-6.0), 0.0}, {-7.0, 0.0}};
    const trn_point second[] = {{-6.0, -1.0}, {-5.0, -1.0}, {-5.0, 0.0}, {-6.0, 0.0}};
    assert_false(trn_polygon_overlaps(POLYGON(first), POLYGON(second)));
    assert_false(trn_polygon_overlaps(POLYGON(second), POLYGON(first)));
}

static void neighbours_that_share_more_than_a_hair_overlap(void **state)
{
    (void)state;
    const trn_point first[] = {{-7.0, -1.0}, {-6.0 + 1e-9, -1.0}, {-6.0 + 1e-9, 0.0}, {-7.0, 0.0}};
    const trn_point second[] = {{-6.0, -1.0}, {-5.0, -1.0}, {-5.0, 0.0}, {-6.0, 0.0}};
    assert_true(trn_polygon_overlaps(POLYGON(first), POLYGON(second)));
}

static void a_corner_a_hair_off_a_slanted_side_touches_it(void **state)
{
    (void)state;
    const trn_point touching[] = {{0.0, 0.0}, {3.0, 0.3}, {3.0, 2.0}, {1.0, hair_above(0.1)}, {0.0, 2.0}};
    const trn_point clear[] = {{0.0, 0.0}, {3.0, 0.3}, {3.0, 2.0}, {1.0, 0.1 + 1e-9}, {0.0, 2.0}};
    assert_false(trn_polygon_is_simple(POLYGON(touching)));
    assert_true(trn_polygon_is_simple(POLYGON(clear)));
}

static void rounding_is_judged_by_the_size_of_the_figures_and_not_by_metres(void **state)
{
    (void)state;
    const double sizes[] = {1e-3, 1.0, 1e3};
    for (size_t k = 0; k < COUNT(sizes); k++) {
        double s = sizes[k];
        const trn_point near_side[] = {{0.0, 0.0}, {3.0 * s, 0.3 * s}, {3.0 * s, 2.0 * s},
                                       {1.0 * s, 0.1 * s * (1.0 + 1e-11)}, {0.0, 2.0 * s}};
        const trn_point on_side[] = {{0.0, 0.0}, {3.0 * s, 0.3 * s}, {3.0 * s, 2.0 * s},
                                     {1.0 * s, 0.1 * s * (1.0 + 2e-14)}, {0.0, 2.0 * s}};
        assert_true(trn_polygon_is_simple(POLYGON(near_side)));
        assert_false(trn_polygon_is_simple(POLYGON(on_side)));
    }
}

static void a_hair_off_a_side_is_judged_alike_wherever_the_side_lies(void **state)
{
    (void)state;
    const double low[] = {-1.0, 0.0, -2.0};
    for (size_t i = 0; i < COUNT(low); i++) {
        double b = low[i];
        const trn_point upright[] = {
            {3.0, b}, {3.0, b + 2.0}, {0.0, b + 2.0}, {hair_below(3.0), b + 1.0}, {0.0, b}};
        const trn_point level[] = {{b, 3.0}, {b + 1.0, hair_below(3.0)}, {b, 0.0}, {b + 2.0, 0.0}, {b + 2.0, 3.0}};
        assert_false(trn_polygon_is_simple(POLYGON(upright)));
        assert_false(trn_polygon_is_simple(POLYGON(level)));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_void_up_to_the_side_of_its_block_may_be_a_hair_too_wide),
        cmocka_unit_test(a_void_in_the_corner_of_its_block_may_be_a_hair_too_large),
        cmocka_unit_test(a_void_that_is_really_too_wide_is_not_inside),
        cmocka_unit_test(neighbours_that_share_a_side_but_for_a_hair_do_not_overlap),
        cmocka_unit_test(neighbours_that_share_more_than_a_hair_overlap),
        cmocka_unit_test(a_corner_a_hair_off_a_slanted_side_touches_it),
        cmocka_unit_test(a_hair_off_a_side_is_judged_alike_wherever_the_side_lies),
        cmocka_unit_test(rounding_is_judged_by_the_size_of_the_figures_and_not_by_metres),
    };
    return cmocka_run_group_tests_name("polygon_rounding", tests, NULL, NULL);
}
