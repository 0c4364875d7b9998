/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan whose solver gives up, or gets no memory: a plan at hand stays one, and what is not known is not said. */
#include <glpk.h>

#include "ballast_sample.h"
#include "refusing.h"

/* How the solver gives up at one of its searches. */
typedef enum giving_up { NEVER, WITH_NOTHING, WITH_WHAT_IT_HAS } giving_up;

static giving_up gives_up;
static long searches;
static long given_up; /* which search */
static bool simplex_fails;
static bool no_environment;
static bool no_threads;

/* The linker puts these in place of GLPK's (see Makefile). */
int __real_glp_intopt(glp_prob *problem, const glp_iocp *settings);
int __real_glp_simplex(glp_prob *problem, const glp_smcp *settings);
int __real_glp_init_env(void);
const char *__real_glp_config(const char *option);
int __wrap_glp_intopt(glp_prob *problem, const glp_iocp *settings);
int __wrap_glp_simplex(glp_prob *problem, const glp_smcp *settings);
int __wrap_glp_init_env(void);
const char *__wrap_glp_config(const char *option);

int __wrap_glp_intopt(glp_prob *problem, const glp_iocp *settings)
{
    if (++searches != given_up || gives_up == NEVER) {
        return __real_glp_intopt(problem, settings);
    }
    if (gives_up == WITH_WHAT_IT_HAS) {
        (void)__real_glp_intopt(problem, settings);
    }
    return GLP_ETMLIM;
}

int __wrap_glp_simplex(glp_prob *problem, const glp_smcp *settings)
{
    return simplex_fails ? GLP_EFAIL : __real_glp_simplex(problem, settings);
}

int __wrap_glp_init_env(void)
{
    return no_environment ? 2 : __real_glp_init_env();
}

const char *__wrap_glp_config(const char *option)
{
    return no_threads ? NULL : __real_glp_config(option);
}

/* Targets on both sides of half a turn: two regions, of which the second alone holds the best plan. */
static void set_up_two_regions(sample *of)
{
    set_up(of);
    of->part.weight_N = 9000;
    of->part.at = (trn_point){-1, 0};
    of->pockets[0] = (trn_pocket){.name = "up", .at = {5, 3}, .block_N = 400, .room = 9};
    of->pockets[1] = (trn_pocket){.name = "down", .at = {5, -3}, .block_N = 400, .room = 9};
    of->leaf.pocket_count = 2;
    of->target.toe_reaction_N = (trn_window){-110, -90};
    of->target.angle_rad = (trn_window){-120 * DEGREE, 120 * DEGREE};
}

/* Ties in blocks and in weight, which take a search each. */
static void set_up_ties(sample *of)
{
    set_up(of);
    of->leaf.pocket_count = 3;
    of->pockets[0] = (trn_pocket){.name = "near", .at = {-4, 0}, .block_N = 500, .blocks = 5, .room = 10};
    of->pockets[1] = (trn_pocket){.name = "far", .at = {-5, 0}, .block_N = 400, .blocks = 5, .room = 10};
    of->pockets[2] = (trn_pocket){.name = "far too", .at = {-5, 0}, .block_N = 400, .blocks = 5, .room = 10};
    of->target.by_moments = true;
    of->target.a_Nm = (trn_window){-24100, -23900};
    of->target.b_Nm = (trn_window){0, 10000};
}

static void set_up_between_blocks(sample *of)
{
    set_up(of);
    of->target.by_moments = true;
    of->target.a_Nm = (trn_window){-9200, -8700};
    of->target.b_Nm = (trn_window){0, 10000};
}

static void set_up_out_of_reach(sample *of)
{
    set_up(of);
    of->target.toe_reaction_N = (trn_window){-650, -550};
    of->target.angle_rad = (trn_window){100 * DEGREE, 130 * DEGREE};
}

static void (*const set_ups[])(sample *of) = {set_up_two_regions, set_up_ties, set_up_between_blocks,
                                              set_up_out_of_reach};
enum { SET_UPS = sizeof set_ups / sizeof *set_ups };

static trn_status plan(void *of)
{
    sample *made = of;
    return trn_leaf_ballast(&made->leaf, &made->settings, made->moves, &made->plan, NULL);
}

static void each_piece_of_memory(void **state)
{
    (void)state;
    for (size_t i = 0; i < SET_UPS; i++) {
        sample of;
        set_ups[i](&of);
        assert_true(refuse_each(plan, &of, TRN_OK) > 10);
    }
}

/* Whether a search was given up or not, a plan is one, and no better than the best; without one, time was short. */
static void judge(const sample *whole, const sample *brief)
{
    if (brief->plan.feasible) {
        assert_true(whole->plan.feasible);
        assert_true(brief->plan.blocks_handled >= whole->plan.blocks_handled);
        assert_true(brief->plan.blocks_handled - brief->plan.gap_blocks <= whole->plan.blocks_handled);
    } else if (whole->plan.feasible) {
        assert_int_equal(brief->plan.obstacle.cause, TRN_CAUSE_TIME);
    }
}

static void give_up_each(const sample *whole, void (*set)(sample *of), giving_up how, long count)
{
    for (long nth = 1; nth <= count; nth++) {
        sample brief;
        set(&brief);
        gives_up = how;
        given_up = nth;
        searches = 0;
        plan_well(&brief);
        gives_up = NEVER;
        judge(whole, &brief);
    }
}

static void each_search_given_up(void **state)
{
    (void)state;
    for (size_t i = 0; i < SET_UPS; i++) {
        sample whole;
        set_ups[i](&whole);
        searches = 0;
        plan_well(&whole);
        const long count = searches;
        assert_true(count >= 3);
        give_up_each(&whole, set_ups[i], WITH_NOTHING, count);
        give_up_each(&whole, set_ups[i], WITH_WHAT_IT_HAS, count);
    }
}

static void a_plan_at_hand_stays_where_ties_are_given_up(void **state)
{
    (void)state;
    sample of;
    set_up_ties(&of);
    gives_up = WITH_NOTHING;
    given_up = 2;
    searches = 0;
    plan_well(&of);
    gives_up = NEVER;
    assert_true(of.plan.feasible);
    assert_int_equal(of.plan.blocks_handled, 3);
    assert_int_equal(of.plan.gap_blocks, 0);
}

static void what_the_solver_has_may_not_be_the_best(void **state)
{
    (void)state;
    sample of;
    set_up_ties(&of);
    gives_up = WITH_WHAT_IT_HAS;
    given_up = 1;
    searches = 0;
    plan_well(&of);
    gives_up = NEVER;
    assert_int_equal(searches, 1);
    assert_true(of.plan.feasible);
    assert_int_equal(of.plan.blocks_handled, 3);
}

/* Two regions without a plan: that is not proved where the search of one was given up. */
static void what_one_region_does_not_decide_is_not_decided(void **state)
{
    (void)state;
    for (long nth = 0; nth <= 2; nth++) {
        sample of;
        set_up_two_regions(&of);
        of.target.toe_reaction_N = (trn_window){-60, -40};
        gives_up = WITH_NOTHING;
        given_up = nth;
        searches = 0;
        plan_well(&of);
        gives_up = NEVER;
        assert_false(of.plan.feasible);
        assert_int_equal(of.plan.obstacle.cause, nth == 0 ? TRN_CAUSE_WHOLE_BLOCKS : TRN_CAUSE_TIME);
    }
}

static void a_solver_that_fails_decides_nothing(void **state)
{
    (void)state;
    sample of;
    set_up_ties(&of);
    simplex_fails = true;
    plan_well(&of);
    simplex_fails = false;
    assert_false(of.plan.feasible);
    assert_int_equal(of.plan.obstacle.cause, TRN_CAUSE_TIME);
    assert_int_equal(of.plan.blocks_handled, 0);
}

static void a_solver_without_its_environment_has_no_memory(void **state)
{
    (void)state;
    sample of;
    set_up_ties(&of);
    no_environment = true;
    assert_int_equal(plan(&of), TRN_NO_MEMORY);
    no_environment = false;
    assert_int_equal(plan(&of), TRN_OK);
}

static void a_solver_that_threads_share_is_locked_and_let_go(void **state)
{
    (void)state;
    sample whole;
    sample of;
    set_up_ties(&whole);
    plan_well(&whole);
    set_up_ties(&of);
    no_threads = true;
    plan_well(&of);
    plan_well(&of);
    no_threads = false;
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(of.moves[i].after, whole.moves[i].after);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_piece_of_memory),
        cmocka_unit_test(each_search_given_up),
        cmocka_unit_test(a_plan_at_hand_stays_where_ties_are_given_up),
        cmocka_unit_test(what_the_solver_has_may_not_be_the_best),
        cmocka_unit_test(what_one_region_does_not_decide_is_not_decided),
        cmocka_unit_test(a_solver_that_fails_decides_nothing),
        cmocka_unit_test(a_solver_without_its_environment_has_no_memory),
        cmocka_unit_test(a_solver_that_threads_share_is_locked_and_let_go),
    };
    return cmocka_run_group_tests_name("refused to the solver", tests, NULL, NULL);
}
