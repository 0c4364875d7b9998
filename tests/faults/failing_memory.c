/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Linked into a test, or put before the tool by LD_PRELOAD, where the environment tells what fails: FAIL_AT=N the
 * nth call, FAIL_FOREVER=1 all after it too; FAIL_COUNT=FILE gets the number of calls.
 */
#define _GNU_SOURCE
#include "failing_memory.h"

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <gsl/gsl_matrix.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>
#include <unistd.h>

/* What stands behind malloc: the C library, or the sanitizer that took its place. */
#ifdef SANITIZED
#define BEHIND(name) __interceptor_##name
#else
#define BEHIND(name) __libc_##name
#endif
extern void *BEHIND(malloc)(size_t size);
extern void *BEHIND(calloc)(size_t count, size_t size);
extern void *BEHIND(realloc)(void *old, size_t size);
extern void BEHIND(free)(void *old);

static atomic_bool counting;
static atomic_bool forever_after;
static atomic_long calls;
static atomic_long failing;
static atomic_long kept;
/* What the libraries took when they were loaded, and keep. */
static long kept_before;
static bool (*watch)(long nth);
/* Reached without a call: sanitizers take that one over, and are not ready when the first memory is asked for. */
static _Thread_local int within_udunits __attribute__((tls_model("initial-exec")));

static bool fails(void)
{
    if (!atomic_load(&counting) || within_udunits > 0) {
        return false;
    }
    const long nth = atomic_load(&failing);
    const long call = atomic_fetch_add(&calls, 1) + 1;
    const bool failed =
        watch != NULL ? watch(call) : nth > 0 && (call == nth || (call > nth && atomic_load(&forever_after)));
    if (failed) {
        errno = ENOMEM;
    }
    return failed;
}

static void *taken(void *piece)
{
    atomic_fetch_add(&kept, piece != NULL && within_udunits == 0);
    return piece;
}

void *malloc(size_t size)
{
    return fails() ? NULL : taken(BEHIND(malloc)(size));
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : taken(BEHIND(calloc)(count, size));
}

void *realloc(void *old, size_t size)
{
    if (fails()) {
        return NULL;
    }
    void *piece = BEHIND(realloc)(old, size);
    return old == NULL ? taken(piece) : piece;
}

void free(void *old)
{
    atomic_fetch_sub(&kept, old != NULL && within_udunits == 0);
    BEHIND(free)(old);
}

#ifdef SANITIZED
/* The sanitizer's own would take memory past us. */
char *strdup(const char *text)
{
    const size_t size = strlen(text) + 1;
    char *copy = malloc(size);
    return copy != NULL ? memcpy(copy, text, size) : NULL;
}

/* To search for leaks takes longer than all else: not where every piece was given back. */
int __lsan_is_turned_off(void);
int __lsan_is_turned_off(void)
{
    return atomic_load(&kept) == kept_before;
}

/* GSL forgets the head of a matrix whose block it did not get. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:gsl_matrix_alloc\n";
}
#endif

void memory_fails(long nth, bool forever)
{
    atomic_store(&failing, nth);
    atomic_store(&forever_after, forever);
    atomic_store(&calls, 0);
    atomic_store(&counting, true);
}

void memory_watched(bool (*by)(long nth))
{
    watch = by;
}

long memory_holds(void)
{
    atomic_store(&counting, false);
    return atomic_load(&calls);
}

long memory_kept(void)
{
    return atomic_load(&kept);
}

static void *real(const char *name)
{
    void *found = dlsym(RTLD_NEXT, name);
    if (found == NULL) {
        abort();
    }
    return found;
}

ut_system *ut_read_xml(const char *path)
{
    within_udunits++;
    ut_system *system = ((ut_system * (*)(const char *)) real("ut_read_xml"))(path);
    within_udunits--;
    return system;
}

ut_unit *ut_parse(const ut_system *system, const char *text, ut_encoding encoding)
{
    within_udunits++;
    ut_unit *unit =
        ((ut_unit * (*)(const ut_system *, const char *, ut_encoding)) real("ut_parse"))(system, text, encoding);
    within_udunits--;
    return unit;
}

void ut_free(ut_unit *unit)
{
    within_udunits++;
    ((void (*)(ut_unit *))real("ut_free"))(unit);
    within_udunits--;
}

/* GSL forgets the head of a matrix whose block it did not get: that is not ours to give back. */
gsl_matrix *gsl_matrix_alloc(size_t rows, size_t columns)
{
    const long before = atomic_load(&kept);
    gsl_matrix *made = ((gsl_matrix * (*)(size_t, size_t)) real("gsl_matrix_alloc"))(rows, columns);
    if (made == NULL) {
        atomic_store(&kept, before);
    }
    return made;
}

__attribute__((constructor)) static void begin(void)
{
    const char *at = getenv("FAIL_AT");
    kept_before = atomic_load(&kept);
    if (at != NULL) {
        /* A program that the tool starts has memory. */
        (void)unsetenv("LD_PRELOAD");
        memory_fails(strtol(at, NULL, 10), getenv("FAIL_FOREVER") != NULL);
    }
}

__attribute__((destructor)) static void end(void)
{
    const char *file = getenv("FAIL_COUNT");
    const long count = memory_holds();
    const int descriptor = file != NULL ? open(file, O_WRONLY | O_CREAT | O_TRUNC, 0666) : -1;
    if (descriptor >= 0) {
        (void)dprintf(descriptor, "%ld\n", count);
        (void)close(descriptor);
    }
}
