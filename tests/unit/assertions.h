/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file assertions.h
 * Assertions on numbers for the unit tests, on top of cmocka.
 *
 * cmocka's own float assertions compare as float and take NaN as equal to
 * anything, so they are never used. Ours compare as double, and a NaN or an
 * infinity on either side always fails.
 */
#ifndef TRN_TEST_ASSERTIONS_H
#define TRN_TEST_ASSERTIONS_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

/** True if got is within relative of want, measured on the larger of |want| and scale. */
static inline bool is_close(double got, double want, double relative, double scale)
{
    return isfinite(got) && isfinite(want) && fabs(got - want) <= relative * fmax(fabs(want), scale);
}

/** True if got is within absolute of want. */
static inline bool is_near(double got, double want, double absolute)
{
    return isfinite(got) && isfinite(want) && fabs(got - want) <= absolute;
}

/** True if both have the same bits: tells 0 from -0, and one NaN equals itself. */
static inline bool is_same_bits(double got, double want)
{
    return memcmp(&got, &want, sizeof got) == 0;
}

static inline void check_close(double got, double want, double relative, double scale, const char *words,
                               const char *file, int line)
{
    if (!is_close(got, want, relative, scale)) {
        print_error("%s: got %.17g, want %.17g within %g of the larger of it and %g\n", words, got, want, relative,
                    scale);
        _fail(file, line);
    }
}

static inline void check_near(double got, double want, double absolute, const char *words, const char *file, int line)
{
    if (!is_near(got, want, absolute)) {
        print_error("%s: got %.17g, want %.17g within %g\n", words, got, want, absolute);
        _fail(file, line);
    }
}

static inline void check_same_bits(double got, double want, const char *words, const char *file, int line)
{
    if (!is_same_bits(got, want)) {
        print_error("%s: got %.17g (%a), want the very bits of %.17g (%a)\n", words, got, got, want, want);
        _fail(file, line);
    }
}

/** Within relative of want. A want of 0 asks for 0 itself: say a scale with assert_close_at. */
#define assert_close(got, want, relative) check_close(got, want, relative, 0.0, #got, __FILE__, __LINE__)

/** The same, for values that may cancel: scale is the size of the terms that make up the value. */
#define assert_close_at(got, want, relative, scale) check_close(got, want, relative, scale, #got, __FILE__, __LINE__)

/** Within absolute of want. */
#define assert_near(got, want, absolute) check_near(got, want, absolute, #got, __FILE__, __LINE__)

/** Bit for bit the same double. */
#define assert_same_bits(got, want) check_same_bits(got, want, #got, __FILE__, __LINE__)

#endif
