/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file refusing.h
 * The library's own calls for memory, refused by their number: the linker puts these in their place (see Makefile).
 * What other libraries ask for they get, so that the calls are few enough to refuse each of them.
 */
#ifndef TRN_TEST_REFUSING_H
#define TRN_TEST_REFUSING_H

#include <stdatomic.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/status.h"

static atomic_long asked;
static atomic_long refused_call; /* 0: none */
static atomic_long held;

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
void __wrap_free(void *old);

static inline bool is_refused(void)
{
    return atomic_fetch_add(&asked, 1) + 1 == atomic_load(&refused_call);
}

static inline void *hold(void *piece)
{
    atomic_fetch_add(&held, piece != NULL);
    return piece;
}

void *__wrap_malloc(size_t size)
{
    return is_refused() ? NULL : hold(__real_malloc(size));
}

void *__wrap_calloc(size_t count, size_t size)
{
    return is_refused() ? NULL : hold(__real_calloc(count, size));
}

void *__wrap_realloc(void *old, size_t size)
{
    if (is_refused()) {
        return NULL;
    }
    void *piece = __real_realloc(old, size);
    return old == NULL ? hold(piece) : piece;
}

void __wrap_free(void *old)
{
    atomic_fetch_sub(&held, old != NULL);
    __real_free(old);
}

/** Work that asks for memory; it gives back all that it took. */
typedef trn_status refusable(void *context);

/** Work with its nth call refused. */
static inline trn_status work_refused(refusable *work, void *context, long nth)
{
    const long before = atomic_load(&held);
    atomic_store(&asked, 0);
    atomic_store(&refused_call, nth);
    const trn_status status = work(context);
    atomic_store(&refused_call, 0);
    assert_int_equal(atomic_load(&held), before);
    return status;
}

/** Each call of some work refused in turn: that is told, and nothing is kept. Gives the number of calls. */
static inline long refuse_each(refusable *work, void *context, trn_status otherwise)
{
    (void)work_refused(work, context, 0); /* what is kept for the process is there from now on */
    assert_int_equal(work_refused(work, context, 0), otherwise);
    const long calls = atomic_load(&asked);
    for (long nth = 1; nth <= calls; nth++) {
        const trn_status status = work_refused(work, context, nth);
        if (status != TRN_NO_MEMORY) {
            print_error("call %ld of %ld: status %d\n", nth, calls, (int)status);
        }
        assert_int_equal(status, TRN_NO_MEMORY);
    }
    return calls;
}

#endif
