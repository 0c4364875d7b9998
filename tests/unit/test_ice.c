/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "sample.h"
#include "trunnion/ice.h"

static const trn_surface deck = {.from = {1.0, 2.0}, .to = {7.0, 10.0}, .width_m = 4.0, .solidity = 0.25,
                                 .takes_ice = true};

static void ice_weighs_its_gross_area_at_the_mid_point(void **state)
{
    (void)state;
    trn_body ice = trn_ice_body(&deck, 1, 120.0);
    assert_close(ice.weight_N, 4800.0, 1e-14);
    assert_close(ice.a_Nm, 4800.0 * 4.0, 1e-14);
    assert_close(ice.b_Nm, 4800.0 * 6.0, 1e-14);
    assert_close(ice.inertia_kg_m2, 4800.0 / TRN_STANDARD_GRAVITY * (100.0 / 12.0 + 52.0), 1e-14);
}

static void ice_does_not_ask_for_solidity_or_wind(void **state)
{
    (void)state;
    trn_surface open = deck;
    open.solidity = 0.0;
    open.takes_wind = true;
    assert_close(trn_ice_body(&open, 1, 120.0).weight_N, 4800.0, 1e-14);
}

static void ice_lies_only_on_strips_that_take_it(void **state)
{
    (void)state;
    trn_body all = trn_ice_body(sample_surfaces, COUNT(sample_surfaces), 120.0);
    trn_body sum = {0};
    const size_t taking[] = {0, 2, 3};
    for (size_t i = 0; i < COUNT(taking); i++)
        sum = trn_body_sum(sum, trn_ice_body(&sample_surfaces[taking[i]], 1, 120.0));
    assert_false(sample_surfaces[1].takes_ice);
    assert_near(trn_ice_body(&sample_surfaces[1], 1, 120.0).weight_N, 0.0, 0.0);
    assert_close(all.weight_N, sum.weight_N, 1e-14);
    assert_close(all.a_Nm, sum.a_Nm, 1e-13);
    assert_close_at(all.b_Nm, sum.b_Nm, 1e-13, all.weight_N);
    assert_close(all.inertia_kg_m2, sum.inertia_kg_m2, 1e-13);
    assert_true(sum.weight_N > 120.0 * 9.0 * 23.5);
}

static void ice_is_a_slab_of_its_weight_per_area(void **state)
{
    (void)state;
    trn_part slab = trn_default_part();
    slab.shape = TRN_SHAPE_SLAB;
    slab.weight_per_area_N_m2 = 120.0;
    slab.width_m = deck.width_m;
    slab.from = deck.from;
    slab.to = deck.to;
    trn_body want = trn_part_body(&slab, (trn_point){0.0, 0.0});
    trn_body ice = trn_ice_body(&deck, 1, 120.0);
    for (int i = 0; i <= 8; i++) {
        trn_rotation rotation = trn_rotation_by(0.2 * i);
        assert_close_at(trn_body_moment(ice, rotation), trn_body_moment(want, rotation), 1e-14, 4800.0 * 8.0);
    }
    assert_close(ice.inertia_kg_m2, want.inertia_kg_m2, 1e-14);
}

static void the_moment_of_ice_is_that_of_its_weight_at_the_turned_mid_point(void **state)
{
    (void)state;
    trn_body ice = trn_ice_body(&deck, 1, 120.0);
    for (int i = -4; i <= 8; i++) {
        double x = map_point((plane_map){.turn_rad = 0.2 * i}, (trn_point){4.0, 6.0}).x;
        assert_close_at(trn_body_moment(ice, trn_rotation_by(0.2 * i)), 4800.0 * x, 1e-13, 4800.0 * 7.0);
    }
}

static void a_leaf_turned_by_an_angle_has_the_shifted_ice(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    mapped_leaf turned;
    map_leaf((plane_map){.turn_rad = 0.9}, &leaf, &turned);
    trn_body ice = trn_ice_body(leaf.surfaces, leaf.surface_count, 90.0);
    trn_body other = trn_ice_body(turned.surfaces, leaf.surface_count, 90.0);
    for (int i = -6; i <= 6; i++)
        assert_close_at(trn_body_moment(other, trn_rotation_by(0.2 * i)),
                        trn_body_moment(ice, trn_rotation_by(0.2 * i + 0.9)), 1e-12, ice.weight_N * 12.0);
}

static void a_strip_cut_in_two_has_the_ice_of_the_whole(void **state)
{
    (void)state;
    trn_surface halves[2] = {deck, deck};
    halves[0].to = (trn_point){2.5, 4.0};
    halves[1].from = halves[0].to;
    trn_body whole = trn_ice_body(&deck, 1, 75.0);
    trn_body cut = trn_ice_body(halves, 2, 75.0);
    assert_close(cut.weight_N, whole.weight_N, 1e-14);
    assert_close(cut.a_Nm, whole.a_Nm, 1e-14);
    assert_close(cut.b_Nm, whole.b_Nm, 1e-14);
    assert_close(cut.inertia_kg_m2, whole.inertia_kg_m2, 1e-13);
}

static void no_ice_or_no_strip_weighs_nothing(void **state)
{
    (void)state;
    assert_near(trn_ice_body(&deck, 1, 0.0).weight_N, 0.0, 0.0);
    assert_near(trn_ice_body(&deck, 1, 0.0).inertia_kg_m2, 0.0, 0.0);
    assert_near(trn_ice_body(NULL, 0, 120.0).weight_N, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ice_weighs_its_gross_area_at_the_mid_point),
        cmocka_unit_test(ice_does_not_ask_for_solidity_or_wind),
        cmocka_unit_test(ice_lies_only_on_strips_that_take_it),
        cmocka_unit_test(ice_is_a_slab_of_its_weight_per_area),
        cmocka_unit_test(the_moment_of_ice_is_that_of_its_weight_at_the_turned_mid_point),
        cmocka_unit_test(a_leaf_turned_by_an_angle_has_the_shifted_ice),
        cmocka_unit_test(a_strip_cut_in_two_has_the_ice_of_the_whole),
        cmocka_unit_test(no_ice_or_no_strip_weighs_nothing),
    };
    return cmocka_run_group_tests_name("ice", tests, NULL, NULL);
}
