/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"
#include "trunnion/operation.h"

#define WORDS(...)                                                                                 \
    {                                                                                              \
        (const char *const[]){__VA_ARGS__}, sizeof((const char *[]){__VA_ARGS__}) / sizeof(char *) \
    }

enum { STOP, LOCKS_OUT, RAISE, HOLD, LOWER, LOCKS_IN, GO, STEPS };

/* A whole operation, in order; tests change a step of their own copy. */
static const trn_step operation_steps[STEPS] = {
    [STOP] = {.name = "stop", .takes_s = 20, .road = TRN_ROAD_CLOSES, .gives = WORDS("traffic stopped")},
    [LOCKS_OUT] = {.name = "locks out",
                   .takes_s = 9,
                   .needs = WORDS("traffic stopped"),
                   .ends = WORDS("locks in"),
                   .gives = WORDS("locks out", "ready")},
    [RAISE] = {.name = "raise", .motion = TRN_STEP_RAISES, .takes_s = 1000, .needs = WORDS("ready", "locks out")},
    [HOLD] = {.name = "hold", .takes_s = 300},
    [LOWER] = {.name = "lower", .motion = TRN_STEP_LOWERS, .takes_s = 1000, .gives = WORDS("leaf closed")},
    [LOCKS_IN] = {.name = "locks in",
                  .takes_s = 9,
                  .needs = WORDS("leaf closed"),
                  .ends = WORDS("locks out"),
                  .gives = WORDS("locks in")},
    [GO] = {.name = "go",
            .takes_s = 15,
            .road = TRN_ROAD_OPENS,
            .needs = WORDS("locks in", "traffic stopped"),
            .ends = WORDS("traffic stopped")},
};

static void copy_steps(trn_step into[STEPS])
{
    memcpy(into, operation_steps, sizeof operation_steps);
}

static void assert_unmet(const trn_step *steps, size_t count, size_t step, size_t need, const char *words)
{
    trn_error error = {.text = ""};
    trn_unmet unmet = {99, 99};
    assert_int_equal(trn_operation_check(steps, count, &unmet, &error), TRN_OUT_OF_DOMAIN);
    assert_int_equal(error.status, TRN_OUT_OF_DOMAIN);
    assert_string_equal(error.text, words);
    assert_int_equal(unmet.step, step);
    assert_int_equal(unmet.need, need);
    assert_int_equal(trn_operation_check(steps, count, NULL, NULL), TRN_OUT_OF_DOMAIN);
}

static void an_operation_in_order_is_right(void **state)
{
    (void)state;
    trn_unmet unmet = {99, 98};
    assert_int_equal(trn_operation_check(operation_steps, STEPS, &unmet, NULL), TRN_OK);
    assert_int_equal(unmet.step, 99);
    assert_int_equal(unmet.need, 98);
    assert_int_equal(trn_operation_check(NULL, 0, NULL, NULL), TRN_OK);
}

static void a_need_that_nobody_gave(void **state)
{
    (void)state;
    trn_step steps[STEPS];
    copy_steps(steps);
    steps[LOCKS_OUT].gives.count = 1;
    assert_unmet(steps, STEPS, RAISE, 0, "step \"raise\" needs \"ready\", which no earlier step gives");
    copy_steps(steps);
    steps[LOWER].gives.count = 0;
    assert_unmet(steps, STEPS, LOCKS_IN, 0, "step \"locks in\" needs \"leaf closed\", which no earlier step gives");
    /* The steps before are right by themselves. */
    assert_int_equal(trn_operation_check(steps, LOCKS_IN, NULL, NULL), TRN_OK);
}

static void a_need_that_was_ended(void **state)
{
    (void)state;
    trn_step steps[STEPS];
    copy_steps(steps);
    steps[HOLD].ends = steps[STOP].gives;
    assert_unmet(steps, STEPS, GO, 1, "step \"go\" needs \"traffic stopped\", which step \"hold\" ended");
    /* Given again after it ended. */
    steps[LOCKS_IN].gives = steps[STOP].gives;
    steps[GO].needs = steps[STOP].gives;
    assert_int_equal(trn_operation_check(steps, STEPS, NULL, NULL), TRN_OK);
}

/* needs are asked when a step begins, before its own ends; ends come at the start of a step, gives at its end. */
static void the_order_within_a_step(void **state)
{
    (void)state;
    const trn_step steps[] = {
        {.name = "a", .gives = WORDS("x")},
        {.name = "b", .needs = WORDS("x"), .ends = WORDS("x"), .gives = WORDS("x")},
        {.name = "c", .needs = WORDS("x"), .ends = WORDS("x")},
        {.name = "d", .needs = WORDS("x")},
    };
    assert_int_equal(trn_operation_check(steps, 3, NULL, NULL), TRN_OK);
    assert_unmet(steps, 4, 3, 0, "step \"d\" needs \"x\", which step \"c\" ended");
    const trn_step itself[] = {{.name = "a", .needs = WORDS("x"), .gives = WORDS("x")}};
    assert_unmet(itself, 1, 0, 0, "step \"a\" needs \"x\", which no earlier step gives");
}

static void times_add_up(void **state)
{
    (void)state;
    trn_step_time times[STEPS];
    trn_operation operation;
    assert_int_equal(trn_operation_times(operation_steps, STEPS, 80.5, 85.25, times, &operation, NULL), TRN_OK);
    static const double ends[STEPS] = {20, 29, 109.5, 409.5, 494.75, 503.75, 518.75};
    for (size_t i = 0; i < STEPS; i++) {
        assert_same_bits(times[i].start_s, i == 0 ? 0 : ends[i - 1]);
        assert_same_bits(times[i].end_s, ends[i]);
    }
    assert_same_bits(operation.total_s, 518.75);
    assert_same_bits(operation.road_closed_s, 518.75);
    assert_int_equal(trn_operation_times(NULL, 0, 1, 1, NULL, &operation, NULL), TRN_OK);
    assert_same_bits(operation.total_s, 0);
    assert_same_bits(operation.road_closed_s, 0);
}

static double closed_s(const trn_step *steps, size_t count)
{
    trn_step_time times[STEPS];
    trn_operation operation;
    assert_int_equal(trn_operation_times(steps, count, 80, 85, times, &operation, NULL), TRN_OK);
    return operation.road_closed_s;
}

/* From the start of the step that closes it to the end of the one that opens it. */
static void the_road_is_closed_between(void **state)
{
    (void)state;
    trn_step steps[STEPS];
    copy_steps(steps);
    steps[STOP].road = TRN_ROAD_UNCHANGED;
    assert_same_bits(closed_s(steps, STEPS), 0);
    steps[LOCKS_OUT].road = TRN_ROAD_CLOSES;
    assert_same_bits(closed_s(steps, STEPS), 9 + 80 + 300 + 85 + 9 + 15);
    /* Closed once more while closed, which changes nothing. */
    steps[HOLD].road = TRN_ROAD_CLOSES;
    assert_same_bits(closed_s(steps, STEPS), 9 + 80 + 300 + 85 + 9 + 15);
    /* Never opened: to the end. */
    steps[GO].road = TRN_ROAD_UNCHANGED;
    assert_same_bits(closed_s(steps, STEPS), 9 + 80 + 300 + 85 + 9 + 15);
    assert_same_bits(closed_s(steps, HOLD), 9 + 80);
    /* Two closures. */
    copy_steps(steps);
    steps[LOCKS_OUT].road = TRN_ROAD_OPENS;
    steps[LOWER].road = TRN_ROAD_CLOSES;
    assert_same_bits(closed_s(steps, STEPS), 20 + 9 + 85 + 9 + 15);
}

static void nothing_is_touched_where_a_need_is_not_met(void **state)
{
    (void)state;
    trn_step steps[STEPS];
    copy_steps(steps);
    steps[STOP].gives.count = 0;
    trn_step_time times[STEPS] = {{7, 8}};
    trn_operation operation = {9, 10};
    trn_error error = {.text = ""};
    assert_int_equal(trn_operation_times(steps, STEPS, 80, 85, times, &operation, &error), TRN_OUT_OF_DOMAIN);
    assert_string_equal(error.text, "step \"locks out\" needs \"traffic stopped\", which no earlier step gives");
    assert_same_bits(times[0].start_s, 7);
    assert_same_bits(times[0].end_s, 8);
    assert_same_bits(operation.total_s, 9);
    assert_same_bits(operation.road_closed_s, 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_operation_in_order_is_right),
        cmocka_unit_test(a_need_that_nobody_gave),
        cmocka_unit_test(a_need_that_was_ended),
        cmocka_unit_test(the_order_within_a_step),
        cmocka_unit_test(times_add_up),
        cmocka_unit_test(the_road_is_closed_between),
        cmocka_unit_test(nothing_is_touched_where_a_need_is_not_met),
    };
    return cmocka_run_group_tests_name("operation", tests, NULL, NULL);
}
