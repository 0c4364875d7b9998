/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The runs test against the count of all orders of so many signs. */
#include "../../lib/planning/measure_parts.h"

#include "assertions.h"

enum { SIGNS_MOST = 12 };

static size_t ones_in(unsigned bits)
{
    size_t count = 0;
    for (; bits != 0; bits &= bits - 1)
        count++;
    return count;
}

static size_t runs_in(unsigned bits, size_t signs)
{
    const unsigned changes = (bits ^ (bits >> 1)) & ((1u << (signs - 1)) - 1);
    return ones_in(changes) + 1;
}

/* Orders with so many runs, and of all those with as many signs of the one kind. */
static void count_orders(size_t plus, size_t minus, size_t *with_runs, size_t *all)
{
    const size_t signs = plus + minus;
    *all = 0;
    for (size_t i = 0; i <= SIGNS_MOST; i++)
        with_runs[i] = 0;
    for (unsigned bits = 0; bits < 1u << signs; bits++)
        if (ones_in(bits) == plus) {
            with_runs[runs_in(bits, signs)]++;
            ++*all;
        }
}

static void the_probability_is_that_of_all_orders_of_the_signs(void **state)
{
    (void)state;
    for (size_t plus = 1; plus < SIGNS_MOST; plus++)
        for (size_t minus = 1; plus + minus <= SIGNS_MOST; minus++) {
            size_t with_runs[SIGNS_MOST + 1];
            size_t all = 0;
            count_orders(plus, minus, with_runs, &all);
            size_t fewer = 0;
            for (size_t runs = 2; runs <= plus + minus; runs++) {
                const double at_most = (double)(fewer + with_runs[runs]) / (double)all;
                const double at_least = (double)(all - fewer) / (double)all;
                const double want = fmin(1, 2 * fmin(at_most, at_least));
                assert_near(msr_runs_probability(runs, plus, minus), want, 1e-12);
                fewer += with_runs[runs];
            }
        }
}

static void signs_of_one_kind_say_nothing(void **state)
{
    (void)state;
    for (size_t count = 0; count < 5; count++) {
        assert_near(msr_runs_probability(1, count, 0), 1, 0);
        assert_near(msr_runs_probability(1, 0, count), 1, 0);
    }
}

static void many_signs_are_no_trouble(void **state)
{
    (void)state;
    /* The mean number of runs, and some six standard deviations below it. */
    assert_true(msr_runs_probability(251, 250, 250) > 0.9);
    assert_true(msr_runs_probability(184, 250, 250) < 1e-8);
    assert_true(msr_runs_probability(318, 250, 250) < 1e-8);
}

/* Residuals of two runs in both directions, of 1, -1 and 0, the readings in any order. */
static void signs_are_counted_by_run_and_direction_along_the_angle(void **state)
{
    (void)state;
    enum { GROUPS = 4, EACH = 9 };
    static const int signs[GROUPS][EACH] = {{1, 1, 1, 1, 0, -1, -1, -1, -1},
                                            {1, 1, -1, 0, 1, -1, -1, 1, 1},
                                            {1, -1, 1, -1, 1, -1, 1, -1, 1},
                                            {1, 1, 1, 0, 1, 1, 0, 1, 1}};
    trn_measured_reading readings[GROUPS * EACH + 1];
    msr_row rows[GROUPS * EACH + 1];
    for (int i = 0; i < GROUPS * EACH; i++) {
        const int at = i * 7 % (GROUPS * EACH);
        const int group = i / EACH;
        readings[at] = (trn_measured_reading){.line = i,
                                              .run = 1 + group / 2,
                                              .direction = group % 2 ? TRN_CLOSING : TRN_OPENING,
                                              .angle_rad = 0.1 * (i % EACH),
                                              .residual_Nm = signs[group][i % EACH],
                                              .use = TRN_READING_USED};
        rows[i].index = (size_t)i;
    }
    /* One that is not used says nothing. */
    readings[GROUPS * EACH] = (trn_measured_reading){.run = 3, .residual_Nm = 1, .use = TRN_READING_REJECTED};
    rows[GROUPS * EACH].index = GROUPS * EACH;
    const msr_work work = {.readings = readings, .rows = rows, .count = GROUPS * EACH + 1};
    msr_pattern found;
    assert_int_equal(msr_find_pattern(&work, &found, NULL), TRN_OK);
    assert_int_equal(found.groups, GROUPS);
    /* Two runs of four and four are met by 2 of 70 orders, either side of the mean: 4/70. Nine runs of nine are 1 of
       126, at the other end: 2/126. Signs of one kind say nothing. */
    assert_near(msr_runs_probability(2, 4, 4), 4.0 / 70, 1e-12);
    assert_near(found.probability, 2.0 / 126, 1e-12);
    assert_int_equal(found.at->run, 2);
    assert_int_equal(found.at->direction, TRN_OPENING);
    assert_int_equal(found.patterned, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_probability_is_that_of_all_orders_of_the_signs),
        cmocka_unit_test(signs_of_one_kind_say_nothing),
        cmocka_unit_test(many_signs_are_no_trouble),
        cmocka_unit_test(signs_are_counted_by_run_and_direction_along_the_angle),
    };
    return cmocka_run_group_tests_name("measure runs", tests, NULL, NULL);
}
