/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole library called from many threads at once, in several locales: the same bits as from one thread. */
#include <locale.h>
#include <pthread.h>

#include "leaf_count.h"
#include "subjects.h"

enum { THREADS = 8 };

/* A sanitizer's own frames want more. */
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define SMALL_STACK ((size_t)1024 * 1024)
#else
#define SMALL_STACK ((size_t)64 * 1024)
#endif

typedef struct answer {
    trn_status status;
    uint64_t bits;
} answer;

static answer alone[SUBJECTS][LIBRARY_CALLS];

static answer ask(size_t which, size_t call)
{
    digest into = {DIGEST_START};
    const trn_status status = library_calls[call].work(&subjects[which], &into);
    return (answer){status, into.bits};
}

/* What one thread answers. */
static int ask_alone(void **state)
{
    read_subjects(state);
    for (size_t i = 0; i < SUBJECTS; i++) {
        for (size_t k = 0; k < LIBRARY_CALLS; k++) {
            alone[i][k] = ask(i, k);
        }
    }
    return 0;
}

/* One thread among others: where it begins, and how many answers were not those of one thread. */
typedef struct asker {
    pthread_t thread;
    size_t first;
    size_t rounds;
    size_t wrong;
} asker;

static void *ask_all(void *of)
{
    asker *one = of;
    const size_t all = SUBJECTS * (size_t)LIBRARY_CALLS;
    /* Each in an order of its own, so that any two calls meet some time; every second thread has a comma in numbers. */
    const locale_t comma = one->first % 2 == 0 ? newlocale(LC_ALL_MASK, "de_DE.UTF-8", (locale_t)0) : (locale_t)0;
    if (comma != (locale_t)0) {
        (void)uselocale(comma);
    }
    for (size_t i = 0; i < one->rounds * all; i++) {
        const size_t at = (one->first * 7 + i * (one->first % 2 == 0 ? 1 : all - 1)) % all;
        const answer seen = ask(at / LIBRARY_CALLS, at % LIBRARY_CALLS);
        const answer *wanted = &alone[at / LIBRARY_CALLS][at % LIBRARY_CALLS];
        one->wrong += seen.status != wanted->status || seen.bits != wanted->bits;
    }
    if (comma != (locale_t)0) {
        (void)uselocale(LC_GLOBAL_LOCALE);
        freelocale(comma);
    }
    return NULL;
}

static void many_threads_get_the_same_bits(void **state)
{
    (void)state;
    asker askers[THREADS] = {0};
    for (size_t i = 0; i < THREADS; i++) {
        askers[i].first = i;
        /* Fewer where a build is slow. */
        askers[i].rounds = leaf_count(100) < 50 ? 1 : 3;
        assert_int_equal(pthread_create(&askers[i].thread, NULL, ask_all, &askers[i]), 0);
    }
    for (size_t i = 0; i < THREADS; i++) {
        assert_int_equal(pthread_join(askers[i].thread, NULL), 0);
        assert_int_equal(askers[i].wrong, 0);
    }
}

/* Most of them work, or the rest says nothing. */
static void the_work_is_done(void **state)
{
    (void)state;
    size_t done = 0;
    for (size_t i = 0; i < SUBJECTS; i++) {
        for (size_t k = 0; k < LIBRARY_CALLS; k++) {
            done += alone[i][k].status == TRN_OK;
            assert_int_not_equal(alone[i][k].status, TRN_NO_MEMORY);
        }
    }
    assert_true(done > SUBJECTS * (size_t)LIBRARY_CALLS * 2 / 3);
}

static void a_small_stack_is_enough(void **state)
{
    (void)state;
    pthread_attr_t attributes;
    asker one = {.first = 1, .rounds = 1};
    assert_int_equal(pthread_attr_init(&attributes), 0);
    assert_int_equal(pthread_attr_setstacksize(&attributes, SMALL_STACK), 0);
    assert_int_equal(pthread_create(&one.thread, &attributes, ask_all, &one), 0);
    assert_int_equal(pthread_join(one.thread, NULL), 0);
    assert_int_equal(one.wrong, 0);
    assert_int_equal(pthread_attr_destroy(&attributes), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_work_is_done),
        cmocka_unit_test(many_threads_get_the_same_bits),
        cmocka_unit_test(a_small_stack_is_enough),
    };
    return cmocka_run_group_tests(tests, ask_alone, free_subjects);
}
