/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every call for memory of the library failed in turn: TRN_NO_MEMORY or the very result, and nothing kept. */
#include "failing_memory.h"
#include "subjects.h"

typedef struct outcome {
    trn_status status;
    uint64_t bits;
    long calls;
    long kept;
} outcome;

static outcome attempt(const library_call *call, const subject *of, long nth, bool forever)
{
    digest into = {DIGEST_START};
    const long kept = memory_kept();
    memory_fails(nth, forever);
    const trn_status status = call->work(of, &into);
    const long calls = memory_holds();
    return (outcome){status, into.bits, calls, memory_kept() - kept};
}

/* The first some hundred one by one, then every so many of the rest, so that each part of a long work is met. */
static long next_after(long nth, long calls)
{
    const long one_by_one = 300;
    return nth < one_by_one ? nth + 1 : nth + 1 + (calls - one_by_one) / 200;
}

static void fail_each(const library_call *call, const subject *of, bool forever)
{
    (void)attempt(call, of, 0, false); /* what is kept for the process is there from now on */
    const outcome whole = attempt(call, of, 0, false);
    assert_int_equal(whole.kept, 0);
    assert_int_not_equal(whole.status, TRN_NO_MEMORY);
    for (long nth = 1; nth <= whole.calls; nth = next_after(nth, whole.calls)) {
        const outcome seen = attempt(call, of, nth, forever);
        const bool told = seen.status == TRN_NO_MEMORY;
        const bool same = seen.status == whole.status && seen.bits == whole.bits;
        if ((!told && !same) || seen.kept != 0) {
            print_error("%s of %s: call %ld of %ld%s: status %d, kept %ld\n", call->name, of->name, nth, whole.calls,
                        forever ? " and all after it" : "", (int)seen.status, seen.kept);
        }
        assert_true(told || same);
        assert_int_equal(seen.kept, 0);
    }
}

/* valgrind's own malloc stands in the place of ours. */
static void skip_where_nothing_is_counted(void)
{
    memory_fails(0, false);
    char *volatile piece = malloc(1);
    free(piece);
    if (memory_holds() == 0) {
        skip();
    }
}

static void memory_that_fails_is_told_and_given_back(void **state)
{
    const library_call *call = *state;
    skip_where_nothing_is_counted();
    for (size_t i = 0; i < SUBJECTS; i++) {
        fail_each(call, &subjects[i], false);
        fail_each(call, &subjects[i], true);
    }
}

static void mechanics_asks_for_no_memory(void **state)
{
    (void)state;
    skip_where_nothing_is_counted();
    for (size_t i = 0; i < SUBJECTS; i++) {
        for (size_t k = 0; k < LIBRARY_CALLS; k++) {
            const outcome seen = attempt(&library_calls[k], &subjects[i], 0, false);
            if (library_calls[k].takes_no_memory) {
                assert_int_equal(seen.calls, 0);
            } else if (seen.status == TRN_OK) {
                assert_true(seen.calls > 0);
            }
        }
    }
}

int main(void)
{
    struct CMUnitTest tests[LIBRARY_CALLS + 1] = {cmocka_unit_test(mechanics_asks_for_no_memory)};
    char names[LIBRARY_CALLS][80];
    for (size_t i = 0; i < LIBRARY_CALLS; i++) {
        (void)snprintf(names[i], sizeof names[i], "memory_that_fails_is_told_and_given_back: %s",
                       library_calls[i].name);
        tests[i + 1] = (struct CMUnitTest){.name = names[i],
                                           .test_func = memory_that_fails_is_told_and_given_back,
                                           .initial_state = (void *)&library_calls[i]};
    }
    return cmocka_run_group_tests(tests, read_subjects, free_subjects);
}
