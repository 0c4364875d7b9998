/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The solver behind a plan: its time limit, its environment, its memory; what is refused. */
#include <glpk.h>
#include <pthread.h>
#include <time.h>

#include "ballast_sample.h"

static double seconds_on_the_clock(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void the_time_limit_is_kept(void **state)
{
    (void)state;
    sample of;
    set_up_nasty(&of, 0.02);
    of.settings.seconds = 1;
    const double start = seconds_on_the_clock();
    plan_well(&of);
    const double taken = seconds_on_the_clock() - start;
    print_message("# %.2f s\n", taken);
    assert_true(taken < 2);
    assert_false(of.plan.feasible);
    assert_int_equal(of.plan.obstacle.cause, TRN_CAUSE_TIME);
    assert_true(of.plan.obstacle.miss_Nm < 5000);
}

static void a_search_cut_short_tells_what_is_proved(void **state)
{
    (void)state;
    static const double limits_s[] = {0.002, 0.01, 0.05, 0.2};
    sample whole;
    set_up_nasty(&whole, 100);
    whole.settings.seconds = 60;
    plan_well(&whole);
    assert_true(whole.plan.feasible);
    assert_int_equal(whole.plan.gap_blocks, 0);
    for (int i = 0; i < 4; i++) {
        sample brief;
        set_up_nasty(&brief, 100);
        brief.settings.seconds = limits_s[i];
        plan_well(&brief);
        print_message("# %g s: %s, %d handled, gap %d of %d\n", limits_s[i], brief.plan.feasible ? "a plan" : "none",
                      brief.plan.blocks_handled, brief.plan.gap_blocks, whole.plan.blocks_handled);
        if (brief.plan.feasible) {
            assert_true(brief.plan.blocks_handled >= whole.plan.blocks_handled);
            assert_true(brief.plan.blocks_handled - brief.plan.gap_blocks <= whole.plan.blocks_handled);
        } else {
            assert_int_equal(brief.plan.obstacle.cause, TRN_CAUSE_TIME);
        }
    }
}

static void the_same_leaf_gets_the_same_plan(void **state)
{
    (void)state;
    sample first;
    sample again;
    set_up_nasty(&first, 2000);
    plan_well(&first);
    set_up_nasty(&again, 2000);
    plan_well(&again);
    assert_true(first.plan.feasible);
    for (int i = 0; i < POCKETS; i++) {
        assert_int_equal(first.moves[i].after, again.moves[i].after);
    }
    assert_same_bits(first.plan.after.closed_moment_Nm, again.plan.after.closed_moment_Nm);
    assert_same_bits(first.plan.margin_Nm, again.plan.margin_Nm);
}

static void *plan_in_thread(void *context)
{
    sample *of = context;
    for (int i = 0; i < 20; i++) {
        trn_leaf_ballast(&of->leaf, &of->settings, of->moves, &of->plan, NULL);
    }
    return NULL;
}

static void threads_do_not_disturb_each_other(void **state)
{
    (void)state;
    sample of[3];
    pthread_t threads[2];
    for (int i = 0; i < 3; i++) {
        set_up_nasty(&of[i], 2000);
    }
    for (int i = 0; i < 2; i++) {
        assert_int_equal(pthread_create(&threads[i], NULL, plan_in_thread, &of[i]), 0);
    }
    plan_well(&of[2]);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(pthread_join(threads[i], NULL), 0);
        for (int k = 0; k < POCKETS; k++) {
            assert_int_equal(of[i].moves[k].after, of[2].moves[k].after);
        }
    }
}

static void a_callers_own_problem_outlives_the_planning(void **state)
{
    (void)state;
    sample of;
    set_up_nasty(&of, 2000);
    glp_prob *own = glp_create_prob();
    glp_add_cols(own, 3);
    const int terminal = glp_term_out(GLP_ON);
    plan_well(&of);
    assert_int_equal(glp_get_num_cols(own), 3);
    assert_int_equal(glp_term_out(terminal), GLP_ON);
    glp_delete_prob(own);
    glp_free_env();
}

static void memory_that_runs_out_in_the_solver_is_told(void **state)
{
    (void)state;
    sample of;
    set_up_nasty(&of, 2000);
    glp_init_env();
    void *filler = glp_alloc(1, 1000000);
    glp_mem_limit(1);
    assert_int_equal(trn_leaf_ballast(&of.leaf, &of.settings, of.moves, &of.plan, NULL), TRN_NO_MEMORY);
    glp_free(filler);
    glp_free_env();
    plan_well(&of);
    assert_true(of.plan.feasible);
}

static void what_is_missing_or_senseless_is_refused(void **state)
{
    (void)state;
    const trn_moment_covariance senseless = {.aa = 1, .ab = 2, .bb = 1};
    sample of;
    trn_error error = {.text = ""};
    set_up(&of);
    of.leaf.pocket_count = 0;
    assert_int_equal(trn_leaf_ballast(&of.leaf, &of.settings, of.moves, &of.plan, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'pockets'"));
    set_up(&of);
    of.leaf.balance_target = NULL;
    assert_int_equal(trn_leaf_ballast(&of.leaf, &of.settings, of.moves, &of.plan, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'balance_target'"));
    set_up(&of);
    of.settings.seconds = 0;
    assert_int_equal(trn_leaf_ballast(&of.leaf, &of.settings, of.moves, &of.plan, &error), TRN_OUT_OF_DOMAIN);
    of.settings.seconds = (double)NAN;
    assert_int_equal(trn_leaf_ballast(&of.leaf, &of.settings, of.moves, &of.plan, &error), TRN_OUT_OF_DOMAIN);
    set_up(&of);
    of.settings.measured = &senseless;
    assert_int_equal(trn_leaf_ballast(&of.leaf, &of.settings, of.moves, &of.plan, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "covariance"));
}

static void a_correction_changes_moments_alone(void **state)
{
    (void)state;
    sample of;
    trn_part parts[1 + TRN_CORRECTION_PARTS];
    set_up(&of);
    const trn_balance before = trn_leaf_balance(&of.leaf);
    const trn_leaf corrected = trn_leaf_correct(&of.leaf, -7700, 6400, parts);
    const trn_balance after = trn_leaf_balance(&corrected);
    assert_close(after.closed_moment_Nm, -7700, 1e-12);
    assert_close(after.moment_Nm * sin(after.angle_rad), 6400, 1e-12);
    assert_close(after.weight_N, before.weight_N, 1e-15);
    assert_close(after.inertia_kg_m2, before.inertia_kg_m2, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_time_limit_is_kept),
        cmocka_unit_test(a_search_cut_short_tells_what_is_proved),
        cmocka_unit_test(the_same_leaf_gets_the_same_plan),
        cmocka_unit_test(threads_do_not_disturb_each_other),
        cmocka_unit_test(a_callers_own_problem_outlives_the_planning),
        cmocka_unit_test(memory_that_runs_out_in_the_solver_is_told),
        cmocka_unit_test(what_is_missing_or_senseless_is_refused),
        cmocka_unit_test(a_correction_changes_moments_alone),
    };
    return cmocka_run_group_tests_name("ballast solver", tests, NULL, NULL);
}
