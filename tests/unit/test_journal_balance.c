/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reaction and friction solved together: N = |others + (moment + k N) per_moment|. */
#include "machinery.h"

static double carried(trn_journal_load load, double arm_m, double reaction_N)
{
    double overcome = load.moment_Nm + arm_m * reaction_N;
    return hypot(load.others.x + overcome * load.per_moment.x, load.others.y + overcome * load.per_moment.y);
}

static void the_reaction_is_what_the_forces_make_of_it(void **state)
{
    (void)state;
    for (int way = 0; way < 360; way += 10) {
        for (int i = -4; i <= 4; i++) {
            for (double tightness = 0.0; tightness < 0.995; tightness += 0.09) {
                trn_journal_load load = {.others = {2e5, -9e5},
                                         .moment_Nm = 5e5 * i,
                                         .per_moment = {0.8 * cos(way * DEGREE), 0.8 * sin(way * DEGREE)}};
                double arm = tightness / 0.8;
                double reaction = trn_journal_reaction(load, arm);
                assert_true(reaction >= 0);
                assert_close(reaction, carried(load, arm, reaction), 1e-12 / (1.0 - tightness));
            }
        }
    }
}

static void without_friction_it_is_the_resultant(void **state)
{
    (void)state;
    trn_journal_load load = {.others = {-4e5, -1e6}, .moment_Nm = 3e5, .per_moment = {2.0, 0.5}};
    assert_close(trn_journal_reaction(load, 0.0), hypot(2e5, -8.5e5), 1e-15);
}

static void without_a_place_for_the_force_friction_changes_nothing(void **state)
{
    (void)state;
    trn_journal_load load = {.others = {3e5, -4e5}, .moment_Nm = 7e5};
    assert_close(trn_journal_reaction(load, 0.0432), 5e5, 1e-15);
}

/* A force along the load: N = W + S with S h = k N, so N = W/(1 - k/h); against it, N = W/(1 + k/h). */
static void a_force_along_or_against_the_load_has_a_closed_form(void **state)
{
    (void)state;
    trn_journal_load along = {.others = {0, -1e6}, .moment_Nm = 0, .per_moment = {0, -0.5}};
    trn_journal_load against = {.others = {0, -1e6}, .moment_Nm = 0, .per_moment = {0, 0.5}};
    assert_close(trn_journal_reaction(along, 0.2), 1e6 / 0.9, 1e-14);
    assert_close(trn_journal_reaction(against, 0.2), 1e6 / 1.1, 1e-14);
}

static void two_loads_in_one_line_stay_exact_where_they_nearly_cancel(void **state)
{
    (void)state;
    trn_journal_load load = {.others = {0, -1e6}, .moment_Nm = 2e6, .per_moment = {0, 0.5 * (1 - 1e-9)}};
    /* others and force leave 1e-3 N downwards, which friction lifts to 1e-3/(1 + k v). */
    assert_near(trn_journal_reaction(load, 0.2), 1e-3 / 1.1, 1e-9);
}

static void nothing_presses_where_nothing_acts(void **state)
{
    (void)state;
    trn_journal_load load = {.per_moment = {0.3, 0.4}};
    assert_near(trn_journal_reaction(load, 0.3), 0.0, 0.0);
}

static void the_reaction_is_in_step_with_the_loads(void **state)
{
    (void)state;
    trn_journal_load load = {.others = {2e5, -9e5}, .moment_Nm = -3e5, .per_moment = {0.7, -0.2}};
    trn_journal_load triple = {.others = {6e5, -27e5}, .moment_Nm = -9e5, .per_moment = {0.7, -0.2}};
    assert_close(trn_journal_reaction(triple, 0.4), 3.0 * trn_journal_reaction(load, 0.4), 1e-14);
}

static void the_reaction_does_not_know_north(void **state)
{
    (void)state;
    trn_journal_load load = {.others = {2e5, -9e5}, .moment_Nm = -3e5, .per_moment = {0.7, -0.2}};
    double want = trn_journal_reaction(load, 0.4);
    for (int degrees = 15; degrees < 360; degrees += 15) {
        trn_rotation rotation = trn_rotation_by(degrees * DEGREE);
        trn_journal_load turned = {.others = trn_point_rotate(load.others, rotation),
                                   .moment_Nm = load.moment_Nm,
                                   .per_moment = trn_point_rotate(load.per_moment, rotation)};
        assert_close(trn_journal_reaction(turned, 0.4), want, 1e-13);
    }
}

static void friction_locks_from_the_circle_inwards(void **state)
{
    (void)state;
    assert_false(trn_journal_locks((trn_point){3.0, 4.0}, 0.2 * (1 - 1e-12)));
    assert_true(trn_journal_locks((trn_point){3.0, 4.0}, 0.2 * (1 + 1e-12)));
    assert_true(trn_journal_locks((trn_point){2.0, 0.0}, 0.5));
    assert_false(trn_journal_locks((trn_point){3.0, 4.0}, 0.0));
    assert_false(trn_journal_locks((trn_point){0.0, 0.0}, 1.0));
}

static void the_reaction_grows_without_bound_towards_locking(void **state)
{
    (void)state;
    trn_journal_load load = {.others = {1e5, -1e6}, .moment_Nm = 1e5, .per_moment = {1.0, 0.0}};
    double before = 0.0;
    for (double gap = 0.5; gap > 1e-9; gap /= 2) {
        double reaction = trn_journal_reaction(load, 1.0 - gap);
        assert_true(reaction > before);
        before = reaction;
    }
    assert_true(before > 1e13);
}

static void the_friction_circle_has_coefficient_times_radius(void **state)
{
    (void)state;
    assert_close(trn_journal_friction_arm(&machinery_journal, TRN_FRICTION_STARTING), 0.18 * 0.24, 1e-15);
    assert_close(trn_journal_friction_arm(&machinery_journal, TRN_FRICTION_MOVING), 0.12 * 0.24, 1e-15);
    assert_same_bits(trn_journal_friction_arm(NULL, TRN_FRICTION_MOVING), 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reaction_is_what_the_forces_make_of_it),
        cmocka_unit_test(without_friction_it_is_the_resultant),
        cmocka_unit_test(without_a_place_for_the_force_friction_changes_nothing),
        cmocka_unit_test(a_force_along_or_against_the_load_has_a_closed_form),
        cmocka_unit_test(two_loads_in_one_line_stay_exact_where_they_nearly_cancel),
        cmocka_unit_test(nothing_presses_where_nothing_acts),
        cmocka_unit_test(the_reaction_is_in_step_with_the_loads),
        cmocka_unit_test(the_reaction_does_not_know_north),
        cmocka_unit_test(friction_locks_from_the_circle_inwards),
        cmocka_unit_test(the_reaction_grows_without_bound_towards_locking),
        cmocka_unit_test(the_friction_circle_has_coefficient_times_radius),
    };
    return cmocka_run_group_tests_name("journal balance", tests, NULL, NULL);
}
