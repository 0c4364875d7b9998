/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Roots and peaks: where they are, and how often the function is asked for them. */
#include "../../lib/mechanics/search.h"

#include <float.h>

#include "assertions.h"

/* A function of a number, and how often it was asked. */
typedef struct asked {
    int kind;
    double place;
    int *count;
} asked;

static double value_at(double x, const void *context)
{
    const asked *of = context;
    const double off = x - of->place;
    ++*of->count;
    switch (of->kind) {
    case 0:
        return off;
    case 1:
        return exp(9 * off) - 1;
    case 2:
        return off * off * off;
    case 3:
        return off < 0 ? -1 : 1;
    case 4:
        return 1 - exp(-40 * off);
    default:
        return atan(1e4 * off);
    }
}

static void a_root_is_found_to_its_last_bits_and_soon(void **state)
{
    (void)state;
    const int most[] = {9, 33, 129, 67, 37, 24};
    for (int kind = 0; kind < 6; kind++)
        for (double place = 0.013; place < 1; place += 0.0897)
            for (int turned = 0; turned < 2; turned++) {
                int count = 0;
                const asked of = {kind, place, &count};
                const double root = search_root(value_at, &of, turned ? -0.5 : 0, turned ? 1 : 1.5);
                /* The cube is zero to all digits well beside its root. */
                assert_near(root, place, kind == 2 ? 1e-5 : 4 * DBL_EPSILON * place);
                if (count > most[kind])
                    fail_msg("kind %d at %g: asked %d times", kind, place, count);
            }
}

static void a_root_at_an_end_is_found(void **state)
{
    (void)state;
    int count = 0;
    const asked of = {0, 0.25, &count};
    assert_near(search_root(value_at, &of, 0.25, 1), 0.25, 1e-15);
    assert_near(search_root(value_at, &of, -1, 0.25), 0.25, 1e-15);
}

/* A hill at a place, or none but the slope towards it. */
static double hill(double x, const void *context)
{
    const double *place = context;
    return -fabs(x - *place) * (x < *place ? 1 : 0.3);
}

static void a_peak_is_found_within_and_at_either_end(void **state)
{
    (void)state;
    for (double place = -0.2; place < 1.3; place += 0.0371) {
        const double want = fmin(fmax(place, 0), 1);
        assert_near(search_peak(hill, &place, 0, 1), want, 2e-9);
        assert_near(search_peak(hill, &place, 0, 1), want, 1e-9 * fmax(1e-3, 2 * want) + 1e-15);
        assert_near(search_largest(hill, &place, 0, 1, 7), want, 2e-9);
    }
    const double at_nothing = 0;
    assert_near(search_peak(hill, &at_nothing, -1e-3, 1e-3), 0, 2e-12);
}

/* Two hills, the second one higher by a hair, or as high. */
typedef struct hills {
    double first;
    double second;
    double higher;
} hills;

static double two_hills(double x, const void *context)
{
    const hills *of = context;
    return fmax(1 - 40 * fabs(x - of->first), 1 + of->higher - 40 * fabs(x - of->second));
}

static void the_highest_of_two_hills_is_found_and_the_first_of_equal_ones(void **state)
{
    (void)state;
    const hills unlike = {0.25, 0.75, 0.01};
    const hills like = {0.25, 0.75, 0};
    const hills ends = {0, 1, 0};
    const hills at_end = {0.5, 1, 0.01};
    assert_near(search_largest(two_hills, &unlike, 0, 1, 8), 0.75, 2e-9);
    assert_near(search_largest(two_hills, &like, 0, 1, 8), 0.25, 2e-9);
    assert_near(search_largest(two_hills, &ends, 0, 1, 8), 0, 0);
    assert_near(search_largest(two_hills, &at_end, 0, 1, 8), 1, 0);
    assert_near(search_largest(two_hills, &unlike, 0, 1, 33), 0.75, 2e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_root_is_found_to_its_last_bits_and_soon),
        cmocka_unit_test(a_root_at_an_end_is_found),
        cmocka_unit_test(a_peak_is_found_within_and_at_either_end),
        cmocka_unit_test(the_highest_of_two_hills_is_found_and_the_first_of_equal_ones),
    };
    return cmocka_run_group_tests_name("search", tests, NULL, NULL);
}
