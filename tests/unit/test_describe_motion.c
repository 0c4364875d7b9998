/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections that a motion in time needs: full switches, motor control, seating, steps, hours without openings. */
#include "describing.h"

#define DEGREE 0.017453292519943295769

#define TRAVEL                                                                                                       \
    LEAST "travel: {speed: 1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 60 degree, near_closed: 7 degree,\n" \
          "  decelerate_in: 6 s"

static void full_switches_are_at_the_ends_unless_told(void **state)
{
    (void)state;
    trn_description *description = read_well(TRAVEL "}\n");
    assert_same_bits(trn_description_leaf(description)->travel->full_open_rad, 0);
    assert_same_bits(trn_description_leaf(description)->travel->full_closed_rad, 0);
    trn_description_free(description);
    description = read_well(TRAVEL ", full_open: 70 degree, full_closed: 0.5 degree}\n");
    assert_close(trn_description_leaf(description)->travel->full_open_rad, 70 * DEGREE, 1e-15);
    assert_close(trn_description_leaf(description)->travel->full_closed_rad, 0.5 * DEGREE, 1e-15);
    trn_description_free(description);
    assert_refused(TRAVEL ", full_open: 59 degree}\n", LEAST_LINES + 2, 34, "expected more than near_open");
    assert_refused(TRAVEL ", full_open: 71 degree}\n", LEAST_LINES + 2, 34, "expected at most opens_to");
}

#define MOTORS LEAST "motors: {installed: 2, power: 30 kW, speed: 870 rpm"

static trn_motor_control control_of(const char *text)
{
    trn_description *description = read_well(text);
    const trn_motor_control control = trn_description_leaf(description)->motors->control;
    trn_description_free(description);
    return control;
}

static void an_induction_motor_is_on_the_line_unless_told(void **state)
{
    (void)state;
    assert_int_equal(control_of(MOTORS "}\n"), TRN_CONTROL_REFERENCE);
    assert_int_equal(control_of(MOTORS ", control: line}\n"), TRN_CONTROL_LINE);
    assert_int_equal(control_of(MOTORS ", law: table, table: [[0 rpm, 500 N m], [870 rpm, 329 N m]]}\n"),
                     TRN_CONTROL_REFERENCE);
    assert_int_equal(control_of(MOTORS ", law: induction, synchronous: 900 rpm, breakdown: 2.5}\n"), TRN_CONTROL_LINE);
    assert_int_equal(control_of(MOTORS ", law: induction, synchronous: 900 rpm, breakdown: 2.5, control: reference}\n"),
                     TRN_CONTROL_REFERENCE);
}

static void seating_is_kept_in_si(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "seating: {shoe_stiffness: 40 MN/m, buffers: {stroke: 60 mm,\n"
                                                   "  preload: 4 kN, stiffness: 300 kN/m, damping: 90 kN s/m}}\n");
    const trn_seating *seating = trn_description_leaf(description)->seating;
    assert_close(seating->shoe_stiffness_N_m, 40e6, 1e-15);
    assert_close(seating->buffer_stroke_m, 0.06, 1e-15);
    assert_close(seating->buffer_preload_N, 4000, 1e-15);
    assert_close(seating->buffer_stiffness_N_m, 300e3, 1e-15);
    assert_close(seating->buffer_damping_N_s_m, 90e3, 1e-15);
    trn_description_free(description);
    const double pound_force_N = 4.4482216152605;
    description = read_well(LEAST "seating: {buffers: {stroke: 2.5 in, damping: 500 lbf s/in, preload: 0.9 kip},\n"
                                  "  shoe_stiffness: 230 kip/in}\n");
    seating = trn_description_leaf(description)->seating;
    assert_close(seating->shoe_stiffness_N_m, 230e3 * pound_force_N / 0.0254, 1e-14);
    assert_close(seating->buffer_stroke_m, 0.0635, 1e-15);
    assert_close(seating->buffer_damping_N_s_m, 500 * pound_force_N / 0.0254, 1e-14);
    assert_close(seating->buffer_preload_N, 900 * pound_force_N, 1e-14);
    trn_description_free(description);
}

static void shoes_or_buffers_alone(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "seating: {shoe_stiffness: 1 N/m}\n");
    const trn_seating *seating = trn_description_leaf(description)->seating;
    assert_same_bits(seating->shoe_stiffness_N_m, 1);
    assert_same_bits(seating->buffer_stroke_m, 0);
    trn_description_free(description);
    description = read_well(LEAST "seating: {buffers: {stroke: 1 m, stiffness: 2 N/m}}\n");
    seating = trn_description_leaf(description)->seating;
    assert_same_bits(seating->shoe_stiffness_N_m, 0);
    assert_same_bits(seating->buffer_preload_N, 0);
    assert_same_bits(seating->buffer_damping_N_s_m, 0);
    trn_description_free(description);
    description = read_well(LEAST "seating: {buffers: {stroke: 1 m, preload: 3 N}}\n");
    assert_same_bits(trn_description_leaf(description)->seating->buffer_preload_N, 3);
    trn_description_free(description);
    /* Any force will do, however small; none will not. */
    trn_description_free(read_well(LEAST "seating: {buffers: {stroke: 1 m, stiffness: 1e-9 N/m}}\n"));
    trn_description_free(read_well(LEAST "seating: {buffers: {stroke: 1 m, preload: 1e-9 N}}\n"));
    trn_description_free(read_well(LEAST "seating: {buffers: {stroke: 1 m, damping: 1e-9 N s/m}}\n"));
    assert_refused_at_mark(LEAST
                           "seating: {buffers: @{stroke: 1 m, stiffness: 0 N/m, preload: 0 N, damping: 0 N s/m}}\n",
                           "buffers that resist nothing: expected a preload, a stiffness or a damping over 0");
    assert_refused_at_mark(LEAST "seating: @{}\n",
                           "the seating says nothing: expected shoe_stiffness, buffers, or both");
    assert_refused_at_mark(LEAST "seating: {buffers: {stroke: 1 m, preload: @1}}\n", "a unit is missing");
    assert_refused_at_mark(LEAST "seating: {buffers: {stroke: 1 m, damping: @1}}\n", "a unit is missing");
    /* A value that was not read well is the one fault. */
    assert_refused(LEAST "seating: {buffers: {stroke: 1 m, stiffness: 2}}\n", LEAST_LINES + 1, 45,
                   "a unit is missing: expected a stiffness");
}

static void steps_are_kept_with_their_conditions(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "steps:\n"
                        "  - {name: stop, takes: 0.5 min, gives: [stopped, all clear], road: closes}\n"
                        "  - {name: raise, motion: raise, needs: [stopped, all clear], gives: open}\n"
                        "  - {name: lower, motion: lower, needs: open, ends: [open]}\n"
                        "  - {name: go, takes: 0 s, ends: stopped, road: opens}\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->step_count, 4);
    const trn_step *steps = leaf->steps;
    assert_string_equal(steps[0].name, "stop");
    assert_int_equal(steps[0].motion, TRN_STEP_STILL);
    assert_close(steps[0].takes_s, 30, 1e-15);
    assert_int_equal(steps[0].road, TRN_ROAD_CLOSES);
    assert_int_equal(steps[0].needs.count, 0);
    assert_int_equal(steps[0].gives.count, 2);
    assert_string_equal(steps[0].gives.names[1], "all clear");
    assert_int_equal(steps[1].motion, TRN_STEP_RAISES);
    assert_int_equal(steps[1].road, TRN_ROAD_UNCHANGED);
    assert_int_equal(steps[1].needs.count, 2);
    assert_string_equal(steps[1].needs.names[0], "stopped");
    assert_int_equal(steps[1].gives.count, 1);
    assert_string_equal(steps[1].gives.names[0], "open");
    assert_int_equal(steps[2].motion, TRN_STEP_LOWERS);
    assert_string_equal(steps[2].ends.names[0], "open");
    assert_same_bits(steps[3].takes_s, 0);
    assert_int_equal(steps[3].road, TRN_ROAD_OPENS);
    trn_description_free(description);
    description = read_well(LEAST "steps: []\n");
    assert_int_equal(trn_description_leaf(description)->step_count, 0);
    trn_description_free(description);
    description = read_well(LEAST "steps: [{name: wait, takes: 1 s, needs: []}]\n");
    assert_int_equal(trn_description_leaf(description)->steps[0].needs.count, 0);
    trn_description_free(description);
}

#define BEFORE LEAST "steps:\n  - {name: stop, takes: 30 s, gives: [traffic stopped, lamps red]}\n"

static void the_first_need_that_is_not_met_is_told(void **state)
{
    (void)state;
    const int line = LEAST_LINES + 3;
    assert_refused(
        BEFORE "  - {name: raise, motion: raise, needs: trafic stopped}\n", line, 41,
        "needs: step \"raise\" needs \"trafic stopped\", which no earlier step gives: did you mean \"traffic "
        "stopped\"?");
    assert_refused(BEFORE "  - {name: raise, motion: raise, needs: [lamps red, \"power on\"]}\n", line, 53,
                   "needs \"power on\", which no step gives: expected an earlier step to give it");
    /* One need at a time: those after it may follow from it. */
    assert_refused(BEFORE "  - {name: raise, motion: raise, needs: [a first one, a second one]}\n"
                          "  - {name: hold, takes: 1 s, needs: [a third one]}\n",
                   line, 42, "\"a first one\"");
    assert_refused(BEFORE "  - {name: raise, motion: raise, ends: [lamps red]}\n"
                          "  - {name: hold, takes: 1 s, needs: [lamps red]}\n",
                   line + 1, 38, "needs \"lamps red\", which step \"raise\" ended: expected one that still holds");
    /* A step that is at fault in itself is told first; the others are then not held against each other. */
    assert_refused(BEFORE "  - {name: raise, motion: raise, needs: [nothing known], takes: 1 s}\n", line, 58,
                   "both \"takes\" and \"motion\"");
}

static void leaf_and_road_go_by_turns(void **state)
{
    (void)state;
    const int line = LEAST_LINES + 2;
    assert_refused(LEAST "steps:\n  - {name: a, motion: lower}\n  - {name: b, motion: raise}\n", line, 23,
                   "motion: the leaf is not raised: expected a step that raises it before");
    assert_refused(LEAST "steps:\n  - {name: a, motion: raise}\n  - {name: b, takes: 1 s}\n"
                         "  - {name: c, motion: raise}\n  - {name: d, motion: lower}\n",
                   line + 2, 23, "motion: the leaf is raised already: expected a step that lowers it before");
    assert_refused(LEAST "steps:\n  - {name: a, takes: 1 s, road: opens}\n  - {name: b, takes: 1 s}\n", line, 33,
                   "road: the road is not closed: expected a step that closes it before");
    assert_refused(LEAST "steps:\n  - {name: a, takes: 1 s, road: closes}\n  - {name: b, takes: 1 s, road: opens}\n"
                         "  - {name: c, takes: 1 s, road: opens}\n",
                   line + 2, 33, "road: the road is not closed");
    trn_description_free(read_well(LEAST "steps:\n  - {name: a, takes: 1 s, road: closes}\n"
                                         "  - {name: b, motion: raise}\n  - {name: c, motion: lower}\n"
                                         "  - {name: d, takes: 1 s, road: opens}\n  - {name: e, motion: raise}\n"));
    const trn_faults faults =
        read_badly(LEAST "steps: [{name: a, motion: lower}, {name: b, takes: 1 s, road: opens}]\n",
                   strlen(LEAST "steps: [{name: a, motion: lower}, {name: b, takes: 1 s, road: opens}]\n"));
    assert_int_equal(faults.count, 2);
}

static void what_a_step_ends_was_given(void **state)
{
    (void)state;
    const int line = LEAST_LINES + 3;
    assert_refused(BEFORE "  - {name: raise, motion: raise, ends: lamps rde}\n", line, 40,
                   "ends: \"lamps rde\" was given by no earlier step: did you mean \"lamps red\"?");
    assert_refused(BEFORE "  - {name: raise, motion: raise, ends: [lamps red, gate down], needs: lamps red}\n", line,
                   52, "ends: \"gate down\" was given by no earlier step: expected one that was");
    assert_refused(BEFORE "  - {name: raise, motion: raise, gives: gate down, ends: gate down}\n", line, 58,
                   "ends: \"gate down\" was given by no earlier step");
    assert_refused(BEFORE "  - {name: raise, motion: raise, needs: gate down}\n"
                          "  - {name: lower, motion: lower, gives: gate down}\n",
                   line, 41, "needs \"gate down\", which step \"lower\" gives, and no earlier one");
    static const char ended[] = LEAST "steps:\n  - {name: a, takes: 1 s, ends: lamps red}\n"
                                      "  - {name: b, takes: 1 s, needs: lamps red}\n";
    const trn_faults faults = read_badly(ended, strlen(ended));
    assert_int_equal(faults.count, 2);
    assert_fault(&faults, 0, line - 1, 33, "ends: \"lamps red\" was given by no earlier step");
    assert_fault(&faults, 1, line, 34, "needs \"lamps red\", which step \"a\" ended: expected one that still holds");
    assert_refused(LEAST "steps: [{name: a, takes: 1 s, gives: {b: c}}]\n", LEAST_LINES + 1, 38,
                   "gives: found keys with values: expected a list of conditions, or one");
    assert_refused(LEAST "steps: [{name: a, motion: raise, takes: 1 s}]\n", LEAST_LINES + 1, 34,
                   "both \"takes\" and \"motion\"");
    assert_refused(LEAST "steps: [{name: a, takes: 1 s, motion: raise}]\n", LEAST_LINES + 1, 31,
                   "both \"takes\" and \"motion\"");
    assert_refused(LEAST "steps: [{name: a}]\n", LEAST_LINES + 1, 9, "key \"takes\" is missing: expected takes, or");
}

/* What a description may hold at most is worked in a moment. */
static void as_many_steps_and_conditions_as_may_be(void **state)
{
    (void)state;
    static char text[400000] = LEAST "steps:\n";
    char *at = text + strlen(text);
    for (int i = 0; i < 64; i++) {
        at += sprintf(at, "  - {name: s%d, takes: 1 s, needs: [", i);
        for (int j = 0; i > 0 && j < 16; j++) {
            at += sprintf(at, "%sa condition of some length %d %d", j > 0 ? ", " : "", i - 1, j);
        }
        at += sprintf(at, "], gives: [");
        for (int j = 0; j < 16; j++) {
            at += sprintf(at, "%sa condition of some length %d %d", j > 0 ? ", " : "", i, j);
        }
        at += sprintf(at, "]}\n");
    }
    trn_description *description = read_well(text);
    assert_int_equal(trn_description_leaf(description)->step_count, 64);
    trn_description_free(description);
}

static void hours_without_openings_are_hours_of_a_day(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "duty: {openings_per_hour: 1, hold_open: 6 min}\n");
    assert_same_bits(trn_description_leaf(description)->duty->hours_without_openings, 0);
    trn_description_free(description);
    description = read_well(
        LEAST "duty: {openings_per_hour: 1, hold_open: 6 min, hours_without_openings: 23.75, case: still air}\n");
    assert_same_bits(trn_description_leaf(description)->duty->hours_without_openings, 23.75);
    assert_string_equal(trn_description_leaf(description)->duty->case_name, "still air");
    trn_description_free(description);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(full_switches_are_at_the_ends_unless_told),
        cmocka_unit_test(an_induction_motor_is_on_the_line_unless_told),
        cmocka_unit_test(seating_is_kept_in_si),
        cmocka_unit_test(shoes_or_buffers_alone),
        cmocka_unit_test(steps_are_kept_with_their_conditions),
        cmocka_unit_test(the_first_need_that_is_not_met_is_told),
        cmocka_unit_test(leaf_and_road_go_by_turns),
        cmocka_unit_test(what_a_step_ends_was_given),
        cmocka_unit_test(as_many_steps_and_conditions_as_may_be),
        cmocka_unit_test(hours_without_openings_are_hours_of_a_day),
    };
    return cmocka_run_group_tests_name("describe motion", tests, NULL, NULL);
}
