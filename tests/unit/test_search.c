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

static double never(double x, const void *context)
{
    (void)x;
    (void)context;
    return HUGE_VAL;
}

static double largest_of(search_function f, const void *context, size_t parts)
{
    const search_range over = {.high = 1, .parts = parts, .next_bend = never};
    return search_largest(f, context, &over);
}

static void a_peak_is_found_within_and_at_either_end(void **state)
{
    (void)state;
    for (double place = -0.2; place < 1.3; place += 0.0371) {
        const double want = fmin(fmax(place, 0), 1);
        assert_near(search_peak(hill, &place, 0, 1), want, 2e-9);
        assert_near(search_peak(hill, &place, 0, 1), want, 1e-9 * fmax(1e-3, 2 * want) + 1e-15);
        assert_near(largest_of(hill, &place, 7), want, 2e-9);
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
    assert_near(largest_of(two_hills, &unlike, 8), 0.75, 2e-9);
    assert_near(largest_of(two_hills, &like, 8), 0.25, 2e-9);
    assert_near(largest_of(two_hills, &ends, 8), 0, 0);
    assert_near(largest_of(two_hills, &at_end, 8), 1, 0);
    assert_near(largest_of(two_hills, &unlike, 33), 0.75, 2e-9);
}

/* The samples of a fourth part say the second hill; between them the first is the higher. */
static void the_best_sample_need_not_be_beside_the_highest_peak(void **state)
{
    (void)state;
    const hills of = {0.3, 0.75, -0.01};
    assert_true(two_hills(0.75, &of) > two_hills(0.25, &of));
    assert_near(largest_of(two_hills, &of, 8), 0.3, 2e-9);
    const hills turned = {0.25, 0.7, 0.01};
    assert_true(two_hills(0.25, &turned) > two_hills(0.75, &turned));
    assert_near(largest_of(two_hills, &turned, 8), 0.7, 2e-9);
}

/* Places in order, the last infinite. */
static double next_place(double x, const void *context)
{
    const double *place = context;
    while (*place <= x)
        place++;
    return *place;
}

/* Nothing but a needle at a place. */
static double needle(double x, const void *context)
{
    const double *place = context;
    return fmax(1 - 1e7 * fabs(x - *place), 0);
}

static void what_no_part_ends_at_is_found_at_a_bend(void **state)
{
    (void)state;
    const double bends[] = {0.1, 0.2317, 0.5, 0.97, HUGE_VAL};
    const search_range over = {.high = 1, .parts = 8, .next_bend = next_place, .bends = bends};
    for (size_t i = 0; i + 1 < sizeof bends / sizeof bends[0]; i++)
        assert_same_bits(search_largest(needle, &bends[i], &over), bends[i]);
    assert_same_bits(largest_of(needle, &bends[1], 8), 0);
}

typedef struct visited {
    double x[64];
    size_t count;
} visited;

static void take(double x, double value, void *context)
{
    visited *all = context;
    assert_true(value <= 1.01);
    all->x[all->count++] = x;
}

static void samples_and_peaks_are_visited_in_order(void **state)
{
    (void)state;
    const double bends[] = {0.1, 0.25, 0.99, HUGE_VAL};
    const search_range over = {.high = 1, .parts = 4, .next_bend = next_place, .bends = bends};
    const hills of = {0.6, 0.45, 0};
    const double want[] = {0, 0.1, 0.25, 0.45, 0.5, 0.75, 0.99, 1};
    visited all = {.count = 0};
    search_visit(two_hills, &of, &over, take, &all);
    assert_int_equal(all.count, sizeof want / sizeof want[0]);
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        assert_near(all.x[i], want[i], 2e-9);
    /* A peak beyond its sample, and one at the end. */
    const hills beyond = {0.55, 1, 0};
    const double then[] = {0, 0.1, 0.25, 0.5, 0.55, 0.75, 0.99, 1};
    all.count = 0;
    search_visit(two_hills, &beyond, &over, take, &all);
    size_t found = 0;
    for (size_t i = 0; i < all.count; i++)
        if (found < sizeof then / sizeof then[0] && fabs(all.x[i] - then[found]) < 2e-9)
            found++;
    assert_int_equal(found, sizeof then / sizeof then[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_root_is_found_to_its_last_bits_and_soon),
        cmocka_unit_test(a_root_at_an_end_is_found),
        cmocka_unit_test(a_peak_is_found_within_and_at_either_end),
        cmocka_unit_test(the_highest_of_two_hills_is_found_and_the_first_of_equal_ones),
        cmocka_unit_test(the_best_sample_need_not_be_beside_the_highest_peak),
        cmocka_unit_test(what_no_part_ends_at_is_found_at_a_bend),
        cmocka_unit_test(samples_and_peaks_are_visited_in_order),
    };
    return cmocka_run_group_tests_name("search", tests, NULL, NULL);
}
