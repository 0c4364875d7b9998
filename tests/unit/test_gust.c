/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"
#include "trunnion/gust.h"

#define PI 3.14159265358979323846

static trn_wind by_speed(double speed_m_s)
{
    trn_wind wind = trn_default_wind();
    wind.by_speed = true;
    wind.speed_m_s = speed_m_s;
    wind.coefficient = 1.2;
    return wind;
}

static trn_wind by_pressure(double pressure_Pa)
{
    trn_wind wind = trn_default_wind();
    wind.pressure_Pa = pressure_Pa;
    return wind;
}

/* C rho v2/2 of the winds above. */
static double of_speed(double speed_m_s)
{
    return 1.2 * 0.5 * 1.25 * speed_m_s * speed_m_s;
}

static void a_steady_wind_is_the_same_at_any_time(void **state)
{
    (void)state;
    const trn_wind speed = by_speed(10);
    const trn_wind pressure = by_pressure(123);
    const trn_gust gust = {.by_speed = true, .rise_m_s = 5, .lasts_s = 8, .start_s = 20};
    static const double times[] = {0, 1, 20, 28, 1e9};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        assert_close(trn_wind_pressure_at(&speed, NULL, NULL, times[i]), of_speed(10), 1e-15);
        assert_same_bits(trn_wind_pressure_at(&pressure, NULL, NULL, times[i]), 123);
        /* Before a gust, after it and at its very ends nothing is added, not even a rounding. */
        assert_same_bits(trn_wind_pressure_at(&pressure, &gust, NULL, times[i]), 123);
    }
}

/* 1 - cosine: value 0, a quarter of the way half, U at mid, symmetric, mean U/2 (published check 12.1). */
static void a_gust_of_pressure_has_the_shape(void **state)
{
    (void)state;
    const trn_wind wind = by_pressure(50);
    const trn_gust gust = {.rise_Pa = 90, .lasts_s = 8, .start_s = 20};
    assert_close(trn_wind_pressure_at(&wind, &gust, NULL, 24), 140, 1e-15);
    assert_close(trn_wind_pressure_at(&wind, &gust, NULL, 22), 95, 1e-15);
    assert_close(trn_wind_pressure_at(&wind, &gust, NULL, 26), 95, 1e-15);
    const size_t count = 1000;
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        const double share = (double)i / (double)count;
        const double rise = trn_wind_pressure_at(&wind, &gust, NULL, 20 + 8 * share) - 50;
        assert_close_at(rise, 45 * (1 - cos(2 * PI * share)), 1e-13, 90);
        sum += rise;
    }
    assert_close(sum / (double)count, 45, 1e-12);
}

/* Near its start (1 - cos) would lose every digit: the rise goes with the square of the time. */
static void the_first_moment_of_a_gust_keeps_its_digits(void **state)
{
    (void)state;
    const trn_wind calm = by_pressure(0);
    const trn_gust gust = {.rise_Pa = 90, .lasts_s = 8};
    const double t = 1e-9;
    assert_close(trn_wind_pressure_at(&calm, &gust, NULL, t), 90 * (PI * t / 8) * (PI * t / 8), 1e-14);
}

static void a_gust_of_speed_adds_to_the_speed(void **state)
{
    (void)state;
    const trn_gust gust = {.by_speed = true, .rise_m_s = 6, .lasts_s = 4};
    const trn_wind speed = by_speed(10);
    assert_close(trn_wind_pressure_at(&speed, &gust, NULL, 2), of_speed(16), 1e-15);
    assert_close(trn_wind_pressure_at(&speed, &gust, NULL, 1), of_speed(13), 1e-15);
    /* A wind by pressure has the speed that gives it, by its own coefficient and density. */
    trn_wind pressure = by_pressure(of_speed(10));
    pressure.coefficient = 1.2;
    assert_close(trn_wind_pressure_at(&pressure, &gust, NULL, 2), of_speed(16), 1e-14);
    const trn_wind calm = by_pressure(0);
    assert_close(trn_wind_pressure_at(&calm, &gust, NULL, 2), 0.5 * 1.25 * 36, 1e-15);
}

static void a_gust_of_pressure_adds_to_the_pressure_of_a_speed(void **state)
{
    (void)state;
    const trn_gust gust = {.rise_Pa = 90, .lasts_s = 4};
    const trn_wind speed = by_speed(10);
    assert_close(trn_wind_pressure_at(&speed, &gust, NULL, 2), of_speed(10) + 90, 1e-15);
}

static const trn_wind_point points[] = {{1, 4}, {2, 8}, {4, 2}, {4.5, 0}, {10, 11}};
#define POINTS (sizeof points / sizeof points[0])

static void a_record_is_straight_between_its_points(void **state)
{
    (void)state;
    const trn_wind wind = by_speed(99);
    const trn_wind_record record = {.points = points, .count = POINTS};
    for (size_t i = 0; i < POINTS; i++) {
        assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, points[i].time_s), points[i].value);
    }
    assert_close(trn_wind_pressure_at(&wind, NULL, &record, 1.25), 5, 1e-15);
    assert_close(trn_wind_pressure_at(&wind, NULL, &record, 3), 5, 1e-15);
    assert_close(trn_wind_pressure_at(&wind, NULL, &record, 4.25), 1, 1e-15);
    assert_close(trn_wind_pressure_at(&wind, NULL, &record, 7.25), 5.5, 1e-15);
    assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, 0), 4);
    assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, -1), 4);
    assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, 1e9), 11);
}

static void a_record_of_speeds_goes_by_the_coefficient(void **state)
{
    (void)state;
    trn_wind wind = by_pressure(777);
    wind.coefficient = 1.2;
    const trn_wind_record record = {.by_speed = true, .points = points, .count = POINTS};
    assert_close(trn_wind_pressure_at(&wind, NULL, &record, 1.5), of_speed(6), 1e-15);
    const trn_gust gust = {.by_speed = true, .rise_m_s = 3, .lasts_s = 1, .start_s = 1};
    assert_close(trn_wind_pressure_at(&wind, &gust, &record, 1.5), of_speed(9), 1e-15);
}

static void a_record_of_one_point(void **state)
{
    (void)state;
    const trn_wind wind = by_speed(99);
    const trn_wind_record record = {.points = points, .count = 1};
    assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, 0), 4);
    assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, 1), 4);
    assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, 2), 4);
}

/* The place in a long record is found however long it is, at its points and between them. */
static void a_long_record(void **state)
{
    (void)state;
    enum { COUNT = 4097 };
    static trn_wind_point many[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        many[i] = (trn_wind_point){(double)i, (double)(i * i % 97)};
    }
    const trn_wind wind = by_speed(99);
    for (size_t count = 2; count <= COUNT; count = count < 40 ? count + 1 : 2 * count - 1) {
        const trn_wind_record record = {.points = many, .count = count};
        for (size_t i = 0; i + 1 < count; i++) {
            assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, (double)i), many[i].value);
            assert_same_bits(trn_wind_pressure_at(&wind, NULL, &record, (double)i + 0.5),
                             many[i].value + 0.5 * (many[i + 1].value - many[i].value));
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_steady_wind_is_the_same_at_any_time),
        cmocka_unit_test(a_gust_of_pressure_has_the_shape),
        cmocka_unit_test(the_first_moment_of_a_gust_keeps_its_digits),
        cmocka_unit_test(a_gust_of_speed_adds_to_the_speed),
        cmocka_unit_test(a_gust_of_pressure_adds_to_the_pressure_of_a_speed),
        cmocka_unit_test(a_record_is_straight_between_its_points),
        cmocka_unit_test(a_record_of_speeds_goes_by_the_coefficient),
        cmocka_unit_test(a_record_of_one_point),
        cmocka_unit_test(a_long_record),
    };
    return cmocka_run_group_tests_name("gust", tests, NULL, NULL);
}
