/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/journal.h"

static const trn_journal journal = {.diameter_m = 0.48, .friction = {.starting = 0.18, .moving = 0.12},
                                    .drag_Nm = 700.0};

static void the_coefficient_is_that_of_the_state(void **state)
{
    (void)state;
    assert_same_bits(trn_friction_coefficient(&journal.friction, TRN_FRICTION_STARTING), 0.18);
    assert_same_bits(trn_friction_coefficient(&journal.friction, TRN_FRICTION_MOVING), 0.12);
}

static void friction_is_coefficient_times_reaction_times_radius_and_drag(void **state)
{
    (void)state;
    assert_close(trn_journal_friction(&journal, TRN_FRICTION_MOVING, 5e6), 0.12 * 5e6 * 0.24 + 700.0, 1e-15);
    assert_close(trn_journal_friction(&journal, TRN_FRICTION_STARTING, 5e6), 0.18 * 5e6 * 0.24 + 700.0, 1e-15);
}

static void drag_remains_where_nothing_presses(void **state)
{
    (void)state;
    assert_close(trn_journal_friction(&journal, TRN_FRICTION_MOVING, 0.0), 700.0, 1e-15);
}

static void friction_grows_in_step_with_the_reaction(void **state)
{
    (void)state;
    trn_journal dry = journal;
    dry.drag_Nm = 0.0;
    double one = trn_journal_friction(&dry, TRN_FRICTION_MOVING, 1e6);
    assert_close(trn_journal_friction(&dry, TRN_FRICTION_MOVING, 3e6), 3.0 * one, 1e-15);
    dry.diameter_m *= 2.0;
    assert_close(trn_journal_friction(&dry, TRN_FRICTION_MOVING, 1e6), 2.0 * one, 1e-15);
}

static void no_journal_is_frictionless(void **state)
{
    (void)state;
    assert_same_bits(trn_journal_friction(NULL, TRN_FRICTION_STARTING, 5e6), 0.0);
}

static void the_handbook_form_lies_above_the_friction_circle_by_what_the_angle_says(void **state)
{
    (void)state;
    for (int i = 1; i <= 50; i++) {
        double mu = 0.02 * i;
        trn_journal dry = {.diameter_m = 2.0, .friction = {.starting = mu, .moving = mu}};
        double circle = 1e6 * sin(atan(mu));
        double handbook = trn_journal_friction(&dry, TRN_FRICTION_MOVING, 1e6);
        assert_true(handbook > circle);
        assert_close(handbook / circle, sqrt(1.0 + mu * mu), 1e-14);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_coefficient_is_that_of_the_state),
        cmocka_unit_test(friction_is_coefficient_times_reaction_times_radius_and_drag),
        cmocka_unit_test(drag_remains_where_nothing_presses),
        cmocka_unit_test(friction_grows_in_step_with_the_reaction),
        cmocka_unit_test(no_journal_is_frictionless),
        cmocka_unit_test(the_handbook_form_lies_above_the_friction_circle_by_what_the_angle_says),
    };
    return cmocka_run_group_tests_name("journal", tests, NULL, NULL);
}
