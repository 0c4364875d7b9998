/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The assertions of these tests, tested first: they must fail when they should. */
#define _POSIX_C_SOURCE 200809L

#include "assertions.h"

#include <float.h>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

static void close_accepts_the_value_itself_and_a_hair_within(void **state)
{
    (void)state;
    assert_true(is_close(3.0, 3.0, 0.0, 0.0));
    assert_true(is_close(1000.0 + 0.99e-9, 1000.0, 1e-12, 0.0));
    assert_true(is_close(-1000.0 - 0.99e-9, -1000.0, 1e-12, 0.0));
}

static void close_refuses_a_hair_beyond(void **state)
{
    (void)state;
    assert_false(is_close(1000.0 + 1.01e-9, 1000.0, 1e-12, 0.0));
    assert_false(is_close(1000.0 - 1.01e-9, 1000.0, 1e-12, 0.0));
    assert_false(is_close(nextafter(1.0, 2.0), 1.0, 0.0, 0.0));
}

static void close_refuses_the_wrong_sign(void **state)
{
    (void)state;
    assert_false(is_close(-5.0, 5.0, 1e-3, 0.0));
    assert_false(is_close(5.0, -5.0, 1e-3, 0.0));
}

static void close_to_zero_asks_for_zero_unless_a_scale_is_given(void **state)
{
    (void)state;
    assert_true(is_close(-0.0, 0.0, 1e-3, 0.0));
    assert_false(is_close(DBL_MIN, 0.0, 1e-3, 0.0));
    assert_true(is_close(0.9e-9, 0.0, 1e-12, 1000.0));
    assert_false(is_close(1.1e-9, 0.0, 1e-12, 1000.0));
}

static void close_refuses_nan_on_either_side_or_as_tolerance(void **state)
{
    (void)state;
    double nothing = nan("");
    assert_false(is_close(nothing, 1.0, 1e9, 1.0));
    assert_false(is_close(1.0, nothing, 1e9, 1.0));
    assert_false(is_close(nothing, nothing, 1e9, 1.0));
    assert_false(is_close(1.0, 1.0, nothing, 1.0));
}

static void close_refuses_infinity_on_either_side(void **state)
{
    (void)state;
    double endless = HUGE_VAL;
    assert_false(is_close(endless, 1.0, 1.0, 1.0));
    assert_false(is_close(1.0, endless, 1.0, 1.0));
    assert_false(is_close(endless, endless, 1.0, 1.0));
    assert_false(is_close(endless, -endless, 1.0, 1.0));
}

static void near_accepts_within_and_refuses_a_hair_beyond(void **state)
{
    (void)state;
    assert_true(is_near(0.5, 0.25, 0.25));
    assert_false(is_near(nextafter(0.5, 1.0), 0.25, 0.25));
    assert_false(is_near(-1e-15, 0.25, 0.25));
}

static void near_refuses_nan_and_infinity(void **state)
{
    (void)state;
    double nothing = nan("");
    double endless = HUGE_VAL;
    assert_false(is_near(nothing, 1.0, 1e9));
    assert_false(is_near(1.0, nothing, 1e9));
    assert_false(is_near(1.0, 1.0, nothing));
    assert_false(is_near(endless, endless, 1.0));
    assert_false(is_near(1.0, endless, endless));
}

static void same_bits_tells_neighbours_and_zeros_apart(void **state)
{
    (void)state;
    assert_true(is_same_bits(0.1, 0.1));
    assert_false(is_same_bits(nextafter(0.1, 1.0), 0.1));
    assert_false(is_same_bits(0.0, -0.0));
}

static void same_bits_takes_a_nan_for_itself_but_not_for_a_number(void **state)
{
    (void)state;
    double nothing = nan("");
    assert_true(is_same_bits(nothing, nothing));
    assert_false(is_same_bits(nothing, 0.0));
}

static void ends_in_a_failed_close(void **state)
{
    (void)state;
    assert_close(nan(""), 1.0, 1e9);
}

static void ends_in_a_failed_close_at(void **state)
{
    (void)state;
    assert_close_at(1.0, 0.0, 1e-3, 1.0);
}

static void ends_in_a_failed_near(void **state)
{
    (void)state;
    assert_near(1.0, 2.0, 0.5);
}

static void ends_in_failed_bits(void **state)
{
    (void)state;
    assert_same_bits(0.0, -0.0);
}

static void ends_well(void **state)
{
    (void)state;
    assert_close(1.0, 1.0, 0.0);
    assert_close_at(1e-4, 0.0, 1e-3, 1.0);
    assert_near(1.0, 1.5, 0.5);
    assert_same_bits(-0.0, -0.0);
}

/* In a process of its own, with its output thrown away, so that a failure
   that is wanted does not count as one of ours. Returns the failed tests. */
static int failures_of(CMUnitTestFunction test)
{
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        int nowhere = open("/dev/null", O_WRONLY);
        dup2(nowhere, STDOUT_FILENO);
        dup2(nowhere, STDERR_FILENO);
        const struct CMUnitTest inner[] = {{"inner", test, NULL, NULL, NULL}};
        _exit(cmocka_run_group_tests_name("inner", inner, NULL, NULL));
    }
    int status = -1;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void the_macros_fail_the_test_that_uses_them(void **state)
{
    (void)state;
    assert_int_equal(failures_of(ends_in_a_failed_close), 1);
    assert_int_equal(failures_of(ends_in_a_failed_close_at), 1);
    assert_int_equal(failures_of(ends_in_a_failed_near), 1);
    assert_int_equal(failures_of(ends_in_failed_bits), 1);
}

static void the_macros_let_a_good_test_pass(void **state)
{
    (void)state;
    assert_int_equal(failures_of(ends_well), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(close_accepts_the_value_itself_and_a_hair_within),
        cmocka_unit_test(close_refuses_a_hair_beyond),
        cmocka_unit_test(close_refuses_the_wrong_sign),
        cmocka_unit_test(close_to_zero_asks_for_zero_unless_a_scale_is_given),
        cmocka_unit_test(close_refuses_nan_on_either_side_or_as_tolerance),
        cmocka_unit_test(close_refuses_infinity_on_either_side),
        cmocka_unit_test(near_accepts_within_and_refuses_a_hair_beyond),
        cmocka_unit_test(near_refuses_nan_and_infinity),
        cmocka_unit_test(same_bits_tells_neighbours_and_zeros_apart),
        cmocka_unit_test(same_bits_takes_a_nan_for_itself_but_not_for_a_number),
        cmocka_unit_test(the_macros_fail_the_test_that_uses_them),
        cmocka_unit_test(the_macros_let_a_good_test_pass),
    };
    return cmocka_run_group_tests_name("assertions", tests, NULL, NULL);
}
