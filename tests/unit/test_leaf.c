/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/leaf.h"

static void the_default_case_is_still_air(void **state)
{
    (void)state;
    trn_case still = trn_default_case();
    assert_string_equal(still.name, "still air");
    assert_int_equal(still.friction, TRN_FRICTION_MOVING);
    assert_false(still.accelerating);
    assert_same_bits(still.ice_N_m2, 0.0);
    assert_same_bits(still.motor_limit, 1.0);
    assert_same_bits(trn_wind_pressure(&still.wind), 0.0);
    assert_same_bits(still.wind.density_kg_m3, 1.25);
}

static void the_default_leaf_has_no_parts_and_no_sections(void **state)
{
    (void)state;
    trn_leaf leaf = trn_default_leaf();
    assert_int_equal(leaf.part_count, 0);
    assert_int_equal(leaf.pocket_count, 0);
    assert_int_equal(leaf.surface_count, 0);
    assert_int_equal(leaf.brake_count, 0);
    assert_int_equal(leaf.case_count, 0);
    assert_int_equal(leaf.holding_count, 0);
    assert_null(leaf.linked_counterweight);
    assert_null(leaf.trunnion);
    assert_null(leaf.drive);
    assert_null(leaf.motors);
    assert_null(leaf.travel);
    assert_null(leaf.wind_limits);
    assert_null(leaf.balance_target);
    assert_null(leaf.duty);
    assert_null(leaf.gauged_shaft);
    assert_same_bits(leaf.posted_wind_m_s, 0.0);
    assert_int_equal(leaf.units, TRN_UNITS_METRIC);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_default_case_is_still_air),
        cmocka_unit_test(the_default_leaf_has_no_parts_and_no_sections),
    };
    return cmocka_run_group_tests_name("leaf", tests, NULL, NULL);
}
