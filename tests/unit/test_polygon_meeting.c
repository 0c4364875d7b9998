/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Polygons that meet so that neither a corner nor the middle of a side tells: only a crossing or a piece of side. */
#include "assertions.h"

#include "sample.h"
#include "trunnion/geometry.h"

#define POLYGON(corners) ((trn_polygon){corners, COUNT(corners)})

static void a_notch_beside_the_middle_of_a_side_is_crossed(void **state)
{
    (void)state;
    const trn_point notched[] = {{0.0, 0.0}, {6.0, 0.0}, {6.0, 4.0}, {2.5, 4.0}, {2.0, 1.0}, {1.5, 4.0}, {0.0, 4.0}};
    const trn_point strip[] = {{1.0, 2.0}, {5.0, 2.0}, {5.0, 2.2}, {1.0, 2.2}};
    assert_false(trn_polygon_contains(POLYGON(notched), POLYGON(strip)));
    assert_true(trn_polygon_overlaps(POLYGON(notched), POLYGON(strip)));
}

static void strips_that_cross_beside_their_middles_overlap(void **state)
{
    (void)state;
    const trn_point across[] = {{-3.0, 0.0}, {9.0, 0.0}, {9.0, 1.0}, {-3.0, 1.0}};
    const trn_point upright[] = {{-1.0, -2.0}, {1.0, -2.0}, {1.0, 9.0}, {-1.0, 9.0}};
    assert_true(trn_polygon_overlaps(POLYGON(across), POLYGON(upright)));
    assert_true(trn_polygon_overlaps(POLYGON(upright), POLYGON(across)));
    assert_false(trn_polygon_contains(POLYGON(across), POLYGON(upright)));
}

static void a_bay_spanned_by_a_piece_of_a_side_is_not_contained(void **state)
{
    (void)state;
    const trn_point plate[] = {{0.0, 0.0}, {6.0, 0.0}, {6.0, 5.0}, {2.0, 5.0},
                               {2.0, 1.0}, {1.0, 1.0}, {1.0, 5.0}, {0.0, 5.0}};
    const trn_point hook[] = {{1.0, 5.0}, {4.0, 5.0}, {4.0, 4.0}, {2.0, 4.0}, {2.0, 1.0}, {1.0, 1.0}};
    assert_false(trn_polygon_contains(POLYGON(plate), POLYGON(hook)));
    assert_true(trn_polygon_overlaps(POLYGON(plate), POLYGON(hook)));
}

/* The room within a ring that is open at a slit is no part of the ring, whichever corner its list begins with. */
static void what_fills_a_ring_with_a_slit_is_not_contained(void **state)
{
    (void)state;
    const trn_point ring[] = {{7.0, 10.0}, {10.0, 10.0}, {10.0, 0.0},  {0.0, 0.0},   {0.0, 10.0},  {6.0, 10.0},
                              {6.0, 12.0}, {-2.0, 12.0}, {-2.0, -2.0}, {12.0, -2.0}, {12.0, 12.0}, {7.0, 12.0}};
    const trn_point room[] = {{0.0, 0.0}, {10.0, 0.0}, {10.0, 10.0}, {0.0, 10.0}};
    trn_point turned[COUNT(ring)];
    for (size_t first = 0; first < COUNT(ring); first++) {
        for (size_t i = 0; i < COUNT(ring); i++) {
            turned[i] = ring[(first + i) % COUNT(ring)];
        }
        assert_true(trn_polygon_is_simple(POLYGON(turned)));
        assert_false(trn_polygon_contains(POLYGON(turned), POLYGON(room)));
        assert_false(trn_polygon_overlaps(POLYGON(turned), POLYGON(room)));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_notch_beside_the_middle_of_a_side_is_crossed),
        cmocka_unit_test(strips_that_cross_beside_their_middles_overlap),
        cmocka_unit_test(a_bay_spanned_by_a_piece_of_a_side_is_not_contained),
        cmocka_unit_test(what_fills_a_ring_with_a_slit_is_not_contained),
    };
    return cmocka_run_group_tests_name("polygon_meeting", tests, NULL, NULL);
}
