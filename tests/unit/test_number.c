/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as text: what printf writes, to the last byte, and what reads back to the same bits. */
#include <float.h>
#include <stdio.h>
#include <stdlib.h>

#include "../../cli/present/number.h"
#include "assertions.h"
#include "chance.h"

static void check_text(double value)
{
    char got[NUMBER_TEXT];
    char want[NUMBER_TEXT];
    memset(got, 'x', sizeof got);
    number_text(value, got);
    (void)snprintf(want, sizeof want, "%.17g", value);
    assert_string_equal(got, want);
    if (!isnan(value))
        assert_same_bits(strtod(got, NULL), value);
}

static void check_around(double value)
{
    double below = value;
    double above = value;
    for (int i = 0; i < 4; i++) {
        check_text(below);
        check_text(-above);
        below = nextafter(below, 0);
        above = nextafter(above, HUGE_VAL);
    }
}

static void any_bits_are_written_as_printf_writes_them(void **state)
{
    (void)state;
    uint64_t chances = 1;
    for (int i = 0; i < 200000; i++) {
        const uint64_t bits = (uint64_t)(even(&chances) * 0x1p32) << 32 | (uint64_t)(even(&chances) * 0x1p32);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (isfinite(value))
            check_text(value);
    }
}

static void numbers_of_every_size_are_written_as_printf_writes_them(void **state)
{
    (void)state;
    uint64_t chances = 2;
    for (int i = 0; i < 300000; i++)
        check_text(pow(10.0, between(&chances, -7.0, 19.0)) * (i % 2 == 0 ? 1 : -1));
}

static void short_numbers_are_written_without_zeros(void **state)
{
    (void)state;
    uint64_t chances = 3;
    for (int i = 0; i < 100000; i++)
        check_text(floor(between(&chances, 0.0, 1e6)) / pow(10.0, floor(between(&chances, 0.0, 10.0))));
}

/* Halves, quarters and so on of great whole numbers, of which the 17th figure is a tie. */
static void ties_go_to_even(void **state)
{
    (void)state;
    uint64_t chances = 4;
    for (int places = 1; places <= 12; places++)
        for (int i = 0; i < 5000; i++) {
            const double step = pow(2.0, -places);
            const double most = 0x1p53 * step;
            check_text((2 * floor(between(&chances, most / 4, most / 2) / 2 / step) + 1) * step);
        }
}

static void powers_of_ten_and_two_have_neighbours(void **state)
{
    (void)state;
    for (int power = -10; power <= 25; power++) {
        check_around(pow(10.0, power));
        check_around(5 * pow(10.0, power));
    }
    for (int power = -30; power <= 70; power++)
        check_around(ldexp(1.0, power));
}

static void the_ends_of_the_doubles_are_written(void **state)
{
    (void)state;
    const double ends[] = {0.0, -0.0, DBL_MIN, DBL_TRUE_MIN, DBL_MAX, -DBL_MAX, HUGE_VAL, -HUGE_VAL, (double)NAN};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++)
        check_text(ends[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_bits_are_written_as_printf_writes_them),
        cmocka_unit_test(numbers_of_every_size_are_written_as_printf_writes_them),
        cmocka_unit_test(short_numbers_are_written_without_zeros),
        cmocka_unit_test(ties_go_to_even),
        cmocka_unit_test(powers_of_ten_and_two_have_neighbours),
        cmocka_unit_test(the_ends_of_the_doubles_are_written),
    };
    return cmocka_run_group_tests_name("number", tests, NULL, NULL);
}
