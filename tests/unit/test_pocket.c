/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/pocket.h"

static const trn_pocket pocket = {.name = "heel", .at = {-7.0, -2.0}, .block_N = 441.0, .blocks = 12, .room = 60};

static void a_pocket_weighs_the_blocks_in_it_and_not_its_room(void **state)
{
    (void)state;
    trn_body body = trn_pocket_body(&pocket, (trn_point){0.0, 0.0});
    assert_close(body.weight_N, 5292.0, 1e-15);
    assert_close(body.a_Nm, -7.0 * 5292.0, 1e-15);
    assert_close(body.b_Nm, -2.0 * 5292.0, 1e-15);
    assert_close(body.inertia_kg_m2, 5292.0 / 9.80665 * 53.0, 1e-14);
}

static void a_pocket_about_a_pivot_has_its_arms_from_there(void **state)
{
    (void)state;
    trn_body body = trn_pocket_body(&pocket, (trn_point){-9.0, 1.0});
    assert_close(body.weight_N, 5292.0, 1e-15);
    assert_close(body.a_Nm, 2.0 * 5292.0, 1e-15);
    assert_close(body.b_Nm, -3.0 * 5292.0, 1e-15);
    assert_close(body.inertia_kg_m2, 5292.0 / 9.80665 * 13.0, 1e-14);
}

static void an_empty_pocket_is_nothing(void **state)
{
    (void)state;
    trn_pocket empty = pocket;
    empty.blocks = 0;
    trn_body body = trn_pocket_body(&empty, (trn_point){0.0, 0.0});
    assert_near(body.weight_N, 0.0, 0.0);
    assert_near(body.a_Nm, 0.0, 0.0);
    assert_near(body.b_Nm, 0.0, 0.0);
    assert_near(body.inertia_kg_m2, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pocket_weighs_the_blocks_in_it_and_not_its_room),
        cmocka_unit_test(a_pocket_about_a_pivot_has_its_arms_from_there),
        cmocka_unit_test(an_empty_pocket_is_nothing),
    };
    return cmocka_run_group_tests_name("pocket", tests, NULL, NULL);
}
