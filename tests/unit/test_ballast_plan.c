/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single plans whose outcome can be seen by eye, and what stands in the way where there is none. */
#include "ballast_sample.h"

static void nothing_is_moved_on_target(void **state)
{
    (void)state;
    sample of;
    set_up(&of); /* A -8 000, toe reaction -800, angle 143.1 degrees */
    plan_well(&of);
    assert_true(of.plan.feasible);
    assert_int_equal(of.plan.blocks_handled, 0);
    assert_int_equal(of.plan.gap_blocks, 0);
    assert_int_equal(of.moves[0].change, 0);
    assert_int_equal(of.moves[0].after, 10);
    assert_close(of.plan.before.toe_reaction_N, -800, 1e-14);
    assert_same_bits(of.plan.after.toe_reaction_N, of.plan.before.toe_reaction_N);
    /* -800 is 100 from -700: 1 000 N m; the lines of the angles are further away. */
    assert_int_equal(of.plan.closest, TRN_BOUND_TOE_HIGH);
    assert_close(of.plan.margin_Nm, 1000, 1e-12);
}

static void fewest_blocks_just_reach_the_target(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    of.target.toe_reaction_N = (trn_window){-100, 350};
    of.target.angle_rad = (trn_window){-179 * DEGREE, 179 * DEGREE};
    plan_well(&of); /* each block taken out adds 2 000: -8 000 to at least -1 000 takes 4 */
    assert_true(of.plan.feasible);
    assert_int_equal(of.plan.blocks_handled, 4);
    assert_int_equal(of.moves[0].after, 6);
    assert_close_at(of.plan.after.closed_moment_Nm, 0, 1e-12, 8000);
}

static void a_window_that_a_single_plan_hits(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    /* Effects of 2 000.3 and 1 700.7: of all 31 by 41 plans one alone comes within a newton metre. */
    of.leaf.pocket_count = 2;
    of.pockets[0].block_N = 400.06;
    of.pockets[1] = (trn_pocket){.name = "side", .at = {-4, 1}, .block_N = 425.175, .blocks = 20, .room = 40};
    of.target.by_moments = true;
    const double a = 12000 - 17 * 2000.3 - 33 * 1700.7;
    of.target.a_Nm = (trn_window){a - 0.5, a + 0.5};
    of.target.b_Nm = (trn_window){-1e6, 1e6};
    plan_well(&of);
    assert_true(of.plan.feasible);
    assert_int_equal(of.moves[0].after, 17);
    assert_int_equal(of.moves[1].after, 33);
    assert_int_equal(of.plan.blocks_handled, 20);
}

static void ties_go_by_weight_and_then_by_the_order_of_pockets(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    /* The same moment by a heavy block near the trunnion or a light one far away, and the far one twice. */
    of.leaf.pocket_count = 3;
    of.pockets[0] = (trn_pocket){.name = "near", .at = {-4, 0}, .block_N = 500, .blocks = 5, .room = 10};
    of.pockets[1] = (trn_pocket){.name = "far", .at = {-5, 0}, .block_N = 400, .blocks = 5, .room = 10};
    of.pockets[2] = (trn_pocket){.name = "far too", .at = {-5, 0}, .block_N = 400, .blocks = 5, .room = 10};
    of.target.by_moments = true;
    of.target.a_Nm = (trn_window){-24100, -23900}; /* from -18 000: three blocks in */
    of.target.b_Nm = (trn_window){0, 10000};
    plan_well(&of);
    assert_int_equal(of.plan.blocks_handled, 3);
    assert_int_equal(of.moves[0].change, 0);
    assert_int_equal(of.moves[1].change, 3);
    assert_int_equal(of.moves[2].change, 0);
    of.target.a_Nm =
        (trn_window){-12100, -11900}; /* three out: the last pocket gives them, so that the first keeps most */
    plan_well(&of);
    assert_int_equal(of.moves[0].change, 0);
    assert_int_equal(of.moves[1].change, 0);
    assert_int_equal(of.moves[2].change, -3);
}

/* From A -9 000 to -1 000 at an angle within 120 degrees, by blocks before the trunnion, above it or below: two
   regions, as the window is wider than half a turn. */
static void set_up_two_ways(sample *of)
{
    set_up(of);
    of->part.weight_N = 9000;
    of->part.at = (trn_point){-1, 0};
    of->pockets[0] = (trn_pocket){.name = "above", .at = {5, 3}, .block_N = 400, .room = 9};
    of->pockets[1] = (trn_pocket){.name = "below", .at = {5, -3}, .block_N = 400, .room = 9};
    of->leaf.pocket_count = 2;
    of->target.toe_reaction_N = (trn_window){-110, -90};
    of->target.angle_rad = (trn_window){-120 * DEGREE, 120 * DEGREE};
}

static void assert_changes(sample *of, int above, int below)
{
    plan_well(of);
    assert_true(of->plan.feasible);
    assert_int_equal(of->moves[0].change, above);
    assert_int_equal(of->moves[1].change, below);
}

static void of_two_ways_the_better_is_taken(void **state)
{
    (void)state;
    sample of;
    set_up_two_ways(&of); /* three below and one above, or four above: as heavy, so the first pocket gets most */
    assert_changes(&of, 4, 0);
    of.pockets[1].at.x = 4; /* four above or five below */
    assert_changes(&of, 4, 0);
    of.pockets[1].block_N = 500; /* as many, and heavier below */
    assert_changes(&of, 4, 0);
    of.pockets[0].block_N = 500;
    of.pockets[0].at.x = 4;
    of.pockets[1].block_N = 400;
    of.pockets[1].at.x = 5; /* and lighter below */
    assert_changes(&of, 0, 4);
}

/* Moments so large that a double does not tell one newton metre: no plan is seen to be on a target of less. */
static void a_target_finer_than_numbers_is_not_met(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    const double huge_N = 1e12;
    trn_part box = trn_default_part();
    box.weight_N = huge_N;
    box.at = (trn_point){-10 + 1e4, 0};
    const trn_linked_counterweight linked = {.pivot = {-10, 0},
                                             .pin_on_leaf = {2, 3},
                                             .pin_on_counterweight = {-8, 3},
                                             .parts = &box,
                                             .part_count = 1};
    of.part.weight_N = huge_N;
    of.part.at = (trn_point){-1e4, 0};
    of.pockets[0] = (trn_pocket){.name = "toe", .at = {5, 0}, .block_N = 400.2, .room = 9}; /* 2 001 N m a block */
    of.leaf.linked_counterweight = &linked;
    of.target.by_moments = true;
    const double wanted_Nm = trn_leaf_balance(&of.leaf).closed_moment_Nm + 2001; /* odd, where numbers are even */
    of.target.a_Nm = (trn_window){wanted_Nm - 0.3, wanted_Nm + 0.3};
    of.target.b_Nm = (trn_window){-1e9, 1e9};
    plan_well(&of);
    assert_false(of.plan.feasible);
    assert_int_equal(of.plan.obstacle.cause, TRN_CAUSE_TIME);
    of.target.a_Nm = (trn_window){wanted_Nm - 2, wanted_Nm + 2};
    plan_well(&of);
    assert_true(of.plan.feasible);
    assert_int_equal(of.moves[0].change, 1);
}

static void a_bound_met_by_the_solver_alone_is_not_met(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    /* Each block out adds 2 000 to A = -8 000; the window begins a ten-millionth of a block above -2 000. */
    of.target.by_moments = true;
    of.target.a_Nm = (trn_window){-2000 + 1e-4, 1000};
    of.target.b_Nm = (trn_window){0, 10000};
    plan_well(&of);
    assert_true(of.plan.feasible);
    assert_int_equal(of.moves[0].change, -4);
    of.target.a_Nm.low = -2000; /* and at the very bound three will do */
    plan_well(&of);
    assert_int_equal(of.moves[0].change, -3);
}

static double lacking_brings(const sample *of)
{
    const trn_ballast_obstacle *obstacle = &of->plan.obstacle;
    assert_close_at(obstacle->weight_N * obstacle->at.x, obstacle->lacking_a_Nm, 1e-12, 1e-6);
    assert_close_at(obstacle->weight_N * obstacle->at.y, obstacle->lacking_b_Nm, 1e-12, 1e-6);
    return of->plan.after.closed_moment_Nm + obstacle->lacking_a_Nm;
}

static void too_little_room_is_told(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    /* 20 blocks more bring A to -48 000 at most; wanted is -56 000 to -53 500. */
    of.target.toe_reaction_N = (trn_window){-5600, -5350};
    plan_well(&of); /* the angle, too, is out of reach: B is 6 000 */
    assert_false(of.plan.feasible);
    of.target.angle_rad = (trn_window){90 * DEGREE, 180 * DEGREE};
    plan_well(&of);
    const trn_ballast_obstacle *obstacle = &of.plan.obstacle;
    assert_false(of.plan.feasible);
    assert_int_equal(obstacle->cause, TRN_CAUSE_ROOM);
    assert_int_equal(obstacle->bound, TRN_BOUND_TOE_HIGH);
    assert_int_equal(of.moves[0].after, 30);
    assert_int_equal(of.plan.blocks_handled, 20);
    assert_close(obstacle->miss_Nm, 5500, 1e-9);
    assert_true(obstacle->has_first);
    assert_close(obstacle->first.high, -4800, 1e-9);
    assert_same_bits(obstacle->first.low, -5600);
    assert_false(obstacle->has_second);
    assert_close(lacking_brings(&of), -53500, 1e-9);
    assert_close(obstacle->weight_N, 1100, 1e-9); /* 5 500 N m at the 5 m of the pocket */
    assert_close(obstacle->at.x, -5, 1e-9);
    assert_near(obstacle->at.y, 0, 1e-9);
    assert_true(obstacle->has_block_share); /* 17 of double weight: -56 000 */
    assert_same_bits(obstacle->block_share, 2);
}

static void whole_blocks_that_step_over_the_target_are_told(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    of.target.by_moments = true;
    of.target.a_Nm = (trn_window){-9200, -8700}; /* between -8 000 and -10 000 */
    of.target.b_Nm = (trn_window){0, 10000};
    plan_well(&of);
    const trn_ballast_obstacle *obstacle = &of.plan.obstacle;
    assert_false(of.plan.feasible);
    assert_int_equal(obstacle->cause, TRN_CAUSE_WHOLE_BLOCKS);
    assert_int_equal(obstacle->bound, TRN_BOUND_A_HIGH);
    assert_int_equal(of.plan.blocks_handled, 0);
    assert_close(obstacle->miss_Nm, 700, 1e-9);
    assert_close(obstacle->first.high, -8000, 1e-9);
    assert_close(lacking_brings(&of), -8700, 1e-12);
    assert_true(obstacle->has_block_share);
    assert_same_bits(obstacle->block_share, 0.5); /* 21 halves: -9 000 */
}

/* A leaf between whose reachable moments the target lies: one heavy block comes as near as two light ones. */
static void of_plans_as_near_the_one_with_the_fewest_moves_is_named(void **state)
{
    (void)state;
    for (int heavy = 0; heavy < 2; heavy++) {
        sample of;
        set_up(&of);
        of.leaf.pocket_count = 2;
        of.pockets[1 - heavy] = of.pockets[0];
        of.pockets[heavy] = (trn_pocket){.name = "heavy", .at = {-5, 0}, .block_N = 800, .blocks = 0, .room = 5};
        of.target.by_moments = true;
        of.target.a_Nm = (trn_window){-11500, -11000}; /* -8 000 now, in steps of 2 000: -12 000 is nearest */
        of.target.b_Nm = (trn_window){0, 10000};
        plan_well(&of);
        assert_false(of.plan.feasible);
        assert_close(of.plan.obstacle.miss_Nm, 500, 1e-9);
        assert_int_equal(of.plan.blocks_handled, 1);
        assert_int_equal(of.moves[heavy].change, 1);
    }
}

static void lighter_blocks_fill_the_same_room(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    of.pockets[0].room = 10; /* full; between nine and ten blocks lie 19 halves, of which 20 fit in */
    of.target.by_moments = true;
    of.target.a_Nm = (trn_window){-7200, -6800};
    of.target.b_Nm = (trn_window){0, 10000};
    plan_well(&of);
    assert_false(of.plan.feasible);
    assert_true(of.plan.obstacle.has_block_share);
    assert_same_bits(of.plan.obstacle.block_share, 0.5);
}

static void an_angle_out_of_reach_is_told(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    of.target.toe_reaction_N = (trn_window){-650, -550}; /* A = -6 000: one out, B stays 6 000, angle 135 degrees */
    of.target.angle_rad = (trn_window){100 * DEGREE, 130 * DEGREE};
    plan_well(&of);
    const trn_ballast_obstacle *obstacle = &of.plan.obstacle;
    assert_false(of.plan.feasible);
    assert_true(obstacle->has_second);
    assert_same_bits(obstacle->second.low, 100 * DEGREE);
    assert_close(obstacle->second.high, 135 * DEGREE, 1e-12);
    assert_true(obstacle->has_first); /* A = -4 000 lies at 123.7 degrees */
    assert_close(obstacle->first.high, -400, 1e-9);
    assert_same_bits(obstacle->first.low, -650);
}

static void an_angle_between_two_plans_is_widened_to_the_nearer(void **state)
{
    (void)state;
    /* A stays 12 000, B is 6 000 or 7 600: 26.57 or 32.35 degrees. */
    const double below = atan2(6000, 12000);
    const double above = atan2(7600, 12000);
    for (int up = 0; up < 2; up++) {
        sample of;
        set_up(&of);
        of.pockets[0] = (trn_pocket){.name = "high", .at = {0, 4}, .block_N = 400, .blocks = 0, .room = 5};
        of.target.toe_reaction_N = (trn_window){1100, 1300};
        of.target.angle_rad =
            up ? (trn_window){below + 2 * DEGREE, above - DEGREE} : (trn_window){below + DEGREE, above - 2 * DEGREE};
        plan_well(&of);
        const trn_ballast_obstacle *obstacle = &of.plan.obstacle;
        assert_false(of.plan.feasible);
        assert_false(obstacle->has_first);
        assert_true(obstacle->has_second);
        assert_close(obstacle->second.low, up ? of.target.angle_rad.low : below, 1e-12);
        assert_close(obstacle->second.high, up ? above : of.target.angle_rad.high, 1e-12);
    }
}

static void windows_that_exclude_each_other_are_told(void **state)
{
    (void)state;
    sample of;
    set_up(&of);
    of.target.toe_reaction_N = (trn_window){100, 200};
    of.target.angle_rad = (trn_window){100 * DEGREE, 130 * DEGREE};
    plan_well(&of);
    assert_false(of.plan.feasible);
    assert_int_equal(of.plan.obstacle.cause, TRN_CAUSE_TARGET);
    assert_same_bits(of.plan.obstacle.weight_N, 0);
    assert_false(of.plan.obstacle.has_block_share);
}

/* What a A + b B has over zero at A 8 000, B 6 000 beyond its 95 % confidence. */
static double over(const trn_moment_covariance *of, double a, double b)
{
    return a * 8000 + b * 6000 - TRN_NORMAL_975 * sqrt(a * a * of->aa + 2 * a * b * of->ab + b * b * of->bb);
}

static void a_measured_leaf_keeps_its_bounds_with_confidence(void **state)
{
    (void)state;
    const trn_moment_covariance measured = {.aa = 500 * 500, .ab = -0.3 * 500 * 400, .bb = 400 * 400};
    const double low = 20 * DEGREE;
    const double high = 50 * DEGREE;
    sample of;
    set_up(&of);
    of.target.toe_reaction_N = (trn_window){550, 2000};
    of.target.angle_rad = (trn_window){low, high};
    plan_well(&of); /* exact: seven out, A = 6 000 */
    assert_int_equal(of.moves[0].change, -7);
    of.settings.measured = &measured;
    plan_well(&of); /* 6 000 keeps 500 over 5 500: short of 1.96 times 500 */
    assert_true(of.plan.feasible);
    assert_int_equal(of.moves[0].change, -8);
    /* What is over at the bounds of the toe, of the lower and of the upper angle. */
    const double toe = 8000 - 5500 - TRN_NORMAL_975 * 500;
    const double over_low = over(&measured, -sin(low), cos(low));
    const double over_high = over(&measured, sin(high), -cos(high));
    assert_true(toe > 0 && over_low > 0 && over_high > 0);
    assert_close(of.plan.margin_Nm, fmin(toe, fmin(over_low, over_high)), 1e-9);
    assert_int_equal(of.plan.closest, TRN_BOUND_ANGLE_HIGH);
}

static void a_measurement_too_coarse_is_told(void **state)
{
    (void)state;
    const trn_moment_covariance coarse = {.aa = 900 * 900, .bb = 400 * 400};
    sample of;
    set_up(&of);
    of.settings.measured = &coarse; /* 3 000 N m of window against 2 * 1.96 * 900 */
    plan_well(&of);
    assert_false(of.plan.feasible);
    assert_int_equal(of.plan.obstacle.cause, TRN_CAUSE_MEASUREMENT);
    assert_false(of.plan.obstacle.has_block_share);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_moved_on_target),
        cmocka_unit_test(fewest_blocks_just_reach_the_target),
        cmocka_unit_test(a_window_that_a_single_plan_hits),
        cmocka_unit_test(ties_go_by_weight_and_then_by_the_order_of_pockets),
        cmocka_unit_test(of_two_ways_the_better_is_taken),
        cmocka_unit_test(a_target_finer_than_numbers_is_not_met),
        cmocka_unit_test(a_bound_met_by_the_solver_alone_is_not_met),
        cmocka_unit_test(too_little_room_is_told),
        cmocka_unit_test(whole_blocks_that_step_over_the_target_are_told),
        cmocka_unit_test(of_plans_as_near_the_one_with_the_fewest_moves_is_named),
        cmocka_unit_test(lighter_blocks_fill_the_same_room),
        cmocka_unit_test(an_angle_out_of_reach_is_told),
        cmocka_unit_test(an_angle_between_two_plans_is_widened_to_the_nearer),
        cmocka_unit_test(windows_that_exclude_each_other_are_told),
        cmocka_unit_test(a_measured_leaf_keeps_its_bounds_with_confidence),
        cmocka_unit_test(a_measurement_too_coarse_is_told),
    };
    return cmocka_run_group_tests_name("ballast plan", tests, NULL, NULL);
}
