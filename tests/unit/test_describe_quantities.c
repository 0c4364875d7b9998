/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <pthread.h>

#include "comma_locale.h"
#include "describing.h"

#define PI 3.14159265358979323846
#define G0 9.80665
#define POUND 0.45359237
#define FOOT 0.3048

static double toe_of(const char *toe)
{
    char *text = with_toe(toe);
    trn_description *description = read_well(text);
    double length = trn_description_leaf(description)->toe_m;
    trn_description_free(description);
    free(text);
    return length;
}

static void refuse_toe(const char *toe, const char *words)
{
    char *text = with_toe(toe);
    assert_refused(text, 3, 6, words);
    free(text);
}

static double weight_of(const char *weight)
{
    char text[256];
    snprintf(text, sizeof text, "leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts: [{name: y, weight: %s, at: [1 m, 0 m]}]\n",
             weight);
    trn_description *description = read_well(text);
    double force = trn_description_leaf(description)->parts[0].weight_N;
    trn_description_free(description);
    return force;
}

static void a_number_has_a_point_and_an_exponent_or_not(void **state)
{
    (void)state;
    assert_close(toe_of("24 m"), 24, 0);
    assert_close(toe_of("24. m"), 24, 0);
    assert_close(toe_of(".5 m"), 0.5, 0);
    assert_close(toe_of("+2.5e1 m"), 25, 0);
    assert_close(toe_of("2.5E+1 m"), 25, 0);
    assert_close(toe_of("250e-1m"), 25, 0);
    assert_close(toe_of("007 m"), 7, 0);
    assert_close(toe_of("0.30000000000000004 m"), 0.30000000000000004, 0);
}

static void the_blank_before_the_unit_may_be_left_out(void **state)
{
    (void)state;
    assert_close(toe_of("24m"), 24, 0);
    assert_close(toe_of("24    m"), 24, 0);
    assert_close(toe_of("\"  24\tm  \""), 24, 0);
    assert_close(toe_of("\"\t24\t \tm\t\""), 24, 0);
    assert_close(toe_of("\" \t 24 m \t \""), 24, 0);
}

static void lengths_come_in_many_units(void **state)
{
    (void)state;
    assert_close(toe_of("2400 mm"), 2.4, 1e-15);
    assert_close(toe_of("10 ft"), 10 * FOOT, 1e-15);
    assert_close(toe_of("10 inches"), 0.254, 1e-15);
    assert_close(toe_of("3 \xC2\xB5m"), 3e-6, 1e-15);
    assert_close(toe_of("3 \xCE\xBCm"), 3e-6, 1e-15);
    assert_close(toe_of("3 m3/m\xC2\xB2"), 3, 1e-15);
    assert_close(toe_of("3 m2 m^-1"), 3, 1e-15);
}

static void a_mass_weighs_by_standard_gravity(void **state)
{
    (void)state;
    assert_close(weight_of("1 kg"), G0, 1e-15);
    assert_close(weight_of("2.1 t"), 2100 * G0, 1e-15);
    assert_close(weight_of("1 lb"), POUND * G0, 1e-15);
    assert_close(weight_of("1 kgf"), G0, 1e-15);
    assert_close(weight_of("1 N"), 1, 0);
    assert_close(weight_of("2 kips"), 2000 * POUND * G0, 1e-15);
    assert_close(weight_of("2 kip"), 2000 * POUND * G0, 1e-15);
}

static void products_of_units_are_written_in_many_ways(void **state)
{
    (void)state;
    static const char *const ways[] = {
        "3 kg m/s2", "3 kg*m/s2",   "3 kg.m/s^2",    "3 kg m s-2", "3 kg\xC2\xB7m/s\xC2\xB2",
        "3 kg-m/s2", "3 kg m / s2", "3 (kg m)/(s s)"};
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        assert_close(weight_of(ways[i]), 3, 1e-15);
    }
}

static void division_goes_from_left_to_right(void **state)
{
    (void)state;
    assert_close(weight_of("3 kN/m m"), 3000, 1e-15);
    assert_close(weight_of("3 kN/(m m-1)"), 3000, 1e-15);
}

static void the_names_of_our_own_are_exact(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: x\nopens_to: 70deg\ntoe: 1 m\nparts:\n"
                  "  - {name: a, weight_per_area: 20 psf, width: 1 m, from: [0 m, 0 m], to: [1 m, 0 m]}\n"
                  "  - {name: b, unit_weight: 150 pcf, width: 1 m, outline: [[0 m, 0 m], [1 m, 0 m], [1 m, 1 m]]}\n"
                  "motors: {installed: 1, power: 40 hp, speed: 90 deg/s}\nposted_wind: 30 mph\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_close(leaf->opens_to_rad, 70 * PI / 180, 1e-15);
    assert_close(leaf->parts[0].weight_per_area_N_m2, 20 * POUND * G0 / (FOOT * FOOT), 1e-15);
    assert_close(leaf->parts[1].unit_weight_N_m3, 150 * POUND * G0 / (FOOT * FOOT * FOOT), 1e-15);
    assert_close(leaf->motors->power_W, 40 * 550 * FOOT * POUND * G0, 1e-15);
    assert_close(leaf->motors->speed_rad_s, PI / 2, 1e-15);
    assert_close(leaf->posted_wind_m_s, 30 * 1609.344 / 3600, 1e-15);
    trn_description_free(description);
}

static void the_degree_sign_is_a_degree(void **state)
{
    (void)state;
    double angle = 0;
    assert_int_equal(trn_angle_read("40\xC2\xB0", &angle, NULL), TRN_OK);
    assert_close(angle, 40 * PI / 180, 1e-15);
}

static void a_bound_holds_to_the_last_digit(void **state)
{
    (void)state;
    trn_description *description = read_well("leaf: x\nopens_to: 120 degree\ntoe: 1 m\n"
                                             "parts: [{name: y, weight: 1 t, at: [1 m, 0 m], uncertainty: 100 %}]\n");
    assert_true(trn_description_leaf(description)->opens_to_rad <= 120 * (PI / 180));
    assert_close(trn_description_leaf(description)->parts[0].uncertainty.sd, 1, 0);
    trn_description_free(description);
    description = read_well("leaf: x\nopens_to: 2.0943951023931966 rad\ntoe: 1 m\n"
                            "parts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n");
    assert_true(trn_description_leaf(description)->opens_to_rad <= 120 * (PI / 180));
    trn_description_free(description);
    assert_refused("leaf: x\nopens_to: 120.0000001 degree\ntoe: 1 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n",
                   2, 11, "at most 120 degree");
}

static void numbers_are_read_whole_or_refused(void **state)
{
    (void)state;
    refuse_toe("3,35 m", "decimal mark is a point");
    refuse_toe("0x10 m", "unknown unit");
    refuse_toe("nan m", "does not start with a number");
    refuse_toe("inf m", "does not start with a number");
    refuse_toe("--3 m", "does not start with a number");
    refuse_toe(". m", "does not start with a number");
    refuse_toe("+ 3 m", "does not start with a number");
    refuse_toe("0.452*00E003", "has no place in a unit");
    refuse_toe("1 2 m", "has no place in a unit");
    refuse_toe("24 m 3", "has no place in a unit");
    refuse_toe("3e m", "the number of \"3e m\" cannot be read: expected one exponent at most, of digits");
    refuse_toe("3E+ m", "the number of \"3E+ m\" cannot be read");
    refuse_toe("3e", "the number of \"3e\" cannot be read");
    refuse_toe("3e1e2 m", "the number of \"3e1e2 m\" cannot be read");
    refuse_toe("\xE2\x88\x92"
               "3 m",
               "starts with the sign U+2212: expected the - of the keyboard for a number below 0");
    refuse_toe("\xE2\x88\x92"
               "3",
               "starts with the sign U+2212");
    refuse_toe("\xE2\x88\x92", "does not start with a number");
    refuse_toe("\xE2\x88\x93"
               "3 m",
               "does not start with a number");
    refuse_toe("1e400 m", "out of range");
    refuse_toe("1e-400 m", "out of range");
    refuse_toe("1.1e15 m", "out of range");
    refuse_toe("0.9e-15 m", "out of range");
    refuse_toe("2e14 km", "out of range");
}

static void a_number_has_at_most_200_characters(void **state)
{
    (void)state;
    char number[256] = "1.";
    memset(number + 2, '0', 198);
    strcpy(number + 200, " m");
    assert_close(toe_of(number), 1, 0);
    strcpy(number + 200, "0 m");
    refuse_toe(number, "the number is too long: expected at most 200 characters");
}

static void the_widest_magnitudes_are_taken(void **state)
{
    (void)state;
    assert_close(toe_of("1e15 m"), 1e15, 0);
    assert_close(toe_of("1e-15 m"), 1e-15, 0);
}

static void what_udunits_would_let_pass_is_refused(void **state)
{
    (void)state;
    refuse_toe("24 m)", "has no place in a unit");
    refuse_toe("24 (m", "not closed");
    refuse_toe("24 m since 1", "has no place in a unit");
    refuse_toe("\"24 m @ 3\"", "has no place in a unit");
    refuse_toe("24 10 m", "has no place in a unit");
    refuse_toe("24 m--2", "has no place in a unit");
    refuse_toe("24 m/", "breaks off");
    refuse_toe("24 m2m-1", "has no place in a unit");
    refuse_toe("24 degC", "origin of its own");
    refuse_toe("24 m999", "has no place in a unit");
    refuse_toe("24 m rad", "wrong dimension");
    refuse_toe("24 m/m", "wrong dimension");
    refuse_toe("24 m A", "wrong dimension");
    refuse_toe("24 %", "has no place in a unit");
    char *long_unit = repeated("24 m", " m/m", "", 240);
    refuse_toe(long_unit, "the unit is too long");
    free(long_unit);
    long_unit = repeated("24 m", " m/m", "", 180);
    assert_close(toe_of(long_unit), 24, 0);
    free(long_unit);
}

/* A metre told in so many letters. */
static void put_long_metre(char *text, size_t letters)
{
    char *at = stpcpy(text, "24 m");
    for (int i = 0; i < 48; i++) {
        at = stpcpy(at, " m/m");
    }
    memset(at, ' ', letters - 196);
    strcpy(at + letters - 196, "m/m");
}

static void a_unit_has_at_most_200_letters(void **state)
{
    (void)state;
    char text[256];
    put_long_metre(text, 200);
    assert_int_equal(strlen(text), strlen("24 ") + 200);
    assert_close(toe_of(text), 24, 0);
    put_long_metre(text, 201);
    refuse_toe(text, "the unit is too long: expected a length such as 14.5 m");
}

static void exponents_are_of_one_or_two_digits_and_not_0(void **state)
{
    (void)state;
    assert_close(toe_of("3 m^1"), 3, 0);
    assert_close(toe_of("3 m+1"), 3, 0);
    assert_close(toe_of("3 m^+2/m"), 3, 0);
    assert_close(toe_of("3 m13 m-12"), 3, 0);
    assert_close(toe_of("3 (m2)/(m)"), 3, 0);
    assert_close(toe_of("3 (m2)-1 m3"), 3, 0);
    assert_close(toe_of("3 ((m))"), 3, 0);
    assert_close(toe_of("3 m10 m-9"), 3, 0);
    /* The 2 is an exponent here as well, and no factor. */
    refuse_toe("3 (m)2 s/s", "wrong dimension");
    refuse_toe("3 (m)-2 s/s", "wrong dimension");
    assert_close(toe_of("3 (m)2 m-1"), 3, 0);
    assert_close(toe_of("3 (m)+2/m"), 3, 0);
    assert_close(weight_of("3 kN/(m)2 m m"), 3000, 1e-15);
    assert_close(weight_of("3 (kN)-1 (kN)2"), 3000, 1e-15);
    refuse_toe("3 m0 m", "\"0\" has no place in a unit");
    refuse_toe("3 m00 m", "\"0\" has no place in a unit");
    refuse_toe("3 m^0 m", "\"^\" has no place in a unit");
    refuse_toe("3 m100", "\"1\" has no place in a unit");
    refuse_toe("3 m^", "\"^\" has no place in a unit");
    refuse_toe("3 m^^2", "\"^\" has no place in a unit");
    refuse_toe("3 m^-", "\"^\" has no place in a unit");
    refuse_toe("3 m+", "\"+\" has no place in a unit");
    refuse_toe("3 ()", "\")\" has no place in a unit");
    refuse_toe("3 (m", "a bracket is not closed");
    refuse_toe("3 m(m)", "wrong dimension");
    refuse_toe("3 (m))", "\")\" has no place in a unit");
    refuse_toe("3 m//m", "\"/\" has no place in a unit");
    refuse_toe("3 m.", "the unit breaks off");
    refuse_toe("3 /m", "\"/\" has no place in a unit");
    refuse_toe("3 m,", "\",\" has no place in a unit (the decimal mark is a point)");
    refuse_toe("3 \xE2\x82\xACm", "\"\xE2\x82\xAC\" has no place in a unit: expected");
    refuse_toe("3 \xC2\xB2", "\"2\" has no place in a unit");
}

static void units_of_all_names_of_our_own(void **state)
{
    (void)state;
    assert_close(toe_of("3 m slugs/slug"), 3, 0);
    assert_close(toe_of("3 m horsepower/hp"), 3, 0);
    assert_close(toe_of("3 m deg/\xC2\xB0"), 3, 0);
    assert_close(weight_of("1 slug"), POUND * G0 / FOOT * G0, 1e-15);
    assert_close(toe_of("3 km\xE2\x8B\x85mm/m"), 3, 1e-15);
    assert_close(toe_of("3 m\xC2\xB3/m\xC2\xB2"), 3, 0);
}

static void an_unknown_unit_gets_the_one_that_was_meant(void **state)
{
    (void)state;
    refuse_toe("24 metter", "did you mean \"meter\"");
    refuse_toe("24 Km", "did you mean \"km\"");
    refuse_toe("24 knm", "unknown unit \"knm\" (did you mean \"kN m\"?)");
    refuse_toe("24 LBS", "unknown unit \"LBS\" (did you mean \"lb\"?)");
    refuse_toe("24 MM", "unknown unit \"MM\" (did you mean \"mm\"?)");
    refuse_toe("24 metrr", "unknown unit \"metrr\" (did you mean \"meter\"?)");
    refuse_toe("24 mettrr", "unknown unit \"mettrr\" (did you mean \"meter\"?)");
    refuse_toe("24 mxxrr", "unknown unit \"mxxrr\": expected a length");
    refuse_toe("24 qq", "unknown unit \"qq\": expected a length");
    refuse_toe("24 m qqqq", "unknown unit \"qqqq\": expected a length");
    refuse_toe("24 kNm", "did you mean \"kN m\"");
    refuse_toe("24 qqqq", "unknown unit \"qqqq\": expected a length");
}

static void hertz_is_no_angular_speed(void **state)
{
    (void)state;
    assert_refused(LEAST "motors: {installed: 1, power: 1 kW, speed: 14.5 Hz}\n", LEAST_LINES + 1, 44,
                   "wrong dimension");
    assert_refused(LEAST "motors: {installed: 1, power: 1 kW, speed: 14.5 1/s}\n", LEAST_LINES + 1, 44,
                   "no place in a unit");
}

static void a_unit_is_not_taken_for_one_that_starts_alike(void **state)
{
    (void)state;
    /* Both belong to one place of the cache of units. */
    char *text = with_toe("1 m.yard /um");
    trn_description *description = read_well(text);
    assert_close(trn_description_leaf(description)->parts[0].at.x, 1, 0);
    trn_description_free(description);
    free(text);
}

static void energy_is_no_torque(void **state)
{
    (void)state;
    static const char *const energies[] = {"300 J", "3 kJ", "3 kW h", "3 erg", "300 W s", "3 BTU"};
    for (size_t i = 0; i < sizeof energies / sizeof *energies; i++) {
        char text[512];
        snprintf(text, sizeof text, "%sbalance_target: {A: [0 N m, %s], B: [0 N m, 1 N m]}\n", LEAST, energies[i]);
        assert_refused(text, LEAST_LINES + 1, 29, "is a unit of energy: expected a torque");
    }
}

static void one_angle_is_read_as_in_a_description(void **state)
{
    (void)state;
    double angle = -7;
    trn_error error = {0};
    assert_int_equal(trn_angle_read("40deg", &angle, &error), TRN_OK);
    assert_close(angle, 40 * PI / 180, 1e-15);
    assert_int_equal(trn_angle_read(" -0.7 rad ", &angle, &error), TRN_OK);
    assert_close(angle, -0.7, 0);
}

static void a_bad_angle_leaves_the_last_one(void **state)
{
    (void)state;
    double angle = -7;
    trn_error error = {0};
    assert_int_equal(trn_angle_read("40", &angle, &error), TRN_OUT_OF_DOMAIN);
    assert_int_equal(error.status, TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "a unit is missing: expected an angle such as"));
    assert_int_equal(trn_angle_read("40 m", &angle, &error), TRN_OUT_OF_DOMAIN);
    assert_int_equal(trn_angle_read("", &angle, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "missing"));
    assert_int_equal(trn_angle_read("x", &angle, NULL), TRN_OUT_OF_DOMAIN);
    assert_close(angle, -7, 0);
}

static void one_time_is_read_as_in_a_description(void **state)
{
    (void)state;
    double time = -7;
    trn_error error = {0};
    assert_int_equal(trn_time_read("2 min", &time, &error), TRN_OK);
    assert_close(time, 120, 0);
    assert_int_equal(trn_time_read("40deg", &time, &error), TRN_OUT_OF_DOMAIN);
    assert_int_equal(trn_time_read("0.5", &time, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "a unit is missing: expected a time such as"));
    assert_close(time, 120, 0);
}

static void the_locale_of_the_caller_changes_nothing_and_stays(void **state)
{
    (void)state;
    char folder[] = COMMA_LOCALE_FOLDER;
    set_comma_locale(folder);
    assert_close(toe_of("3.35 m"), 3.35, 0);
    assert_close(weight_of("1.5 kips"), 1500 * POUND * G0, 1e-15);
    refuse_toe("3,35 m", "decimal mark is a point");
    refuse_toe("0.5e-15 m", "from 1e-15 to 1e+15");
    double angle = 0;
    assert_int_equal(trn_angle_read("0.5 rad", &angle, NULL), TRN_OK);
    assert_close(angle, 0.5, 0);
    assert_string_equal(localeconv()->decimal_point, ",");
    end_comma_locale(folder);
}

static void *read_often(void *into)
{
    bool *same = into;
    *same = true;
    for (int i = 0; i < 200; i++) {
        double angle = 0;
        trn_status status = trn_angle_read(i % 2 ? "40deg" : "0.25 turn", &angle, NULL);
        *same = *same && status == TRN_OK && is_close(angle, i % 2 ? 40 * PI / 180 : PI / 2, 1e-15, 0);
    }
    return NULL;
}

static void threads_may_read_at_the_same_time(void **state)
{
    (void)state;
    pthread_t threads[4];
    bool same[4] = {false};
    for (size_t i = 0; i < 4; i++) {
        assert_int_equal(pthread_create(&threads[i], NULL, read_often, &same[i]), 0);
    }
    for (size_t i = 0; i < 4; i++) {
        pthread_join(threads[i], NULL);
        assert_true(same[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        /* First, so that the database of units is read under a decimal comma as well. */
        cmocka_unit_test(the_locale_of_the_caller_changes_nothing_and_stays),
        cmocka_unit_test(a_number_has_a_point_and_an_exponent_or_not),
        cmocka_unit_test(the_blank_before_the_unit_may_be_left_out),
        cmocka_unit_test(lengths_come_in_many_units),
        cmocka_unit_test(a_mass_weighs_by_standard_gravity),
        cmocka_unit_test(products_of_units_are_written_in_many_ways),
        cmocka_unit_test(division_goes_from_left_to_right),
        cmocka_unit_test(the_names_of_our_own_are_exact),
        cmocka_unit_test(the_degree_sign_is_a_degree),
        cmocka_unit_test(a_bound_holds_to_the_last_digit),
        cmocka_unit_test(numbers_are_read_whole_or_refused),
        cmocka_unit_test(a_number_has_at_most_200_characters),
        cmocka_unit_test(the_widest_magnitudes_are_taken),
        cmocka_unit_test(what_udunits_would_let_pass_is_refused),
        cmocka_unit_test(a_unit_has_at_most_200_letters),
        cmocka_unit_test(exponents_are_of_one_or_two_digits_and_not_0),
        cmocka_unit_test(units_of_all_names_of_our_own),
        cmocka_unit_test(an_unknown_unit_gets_the_one_that_was_meant),
        cmocka_unit_test(hertz_is_no_angular_speed),
        cmocka_unit_test(a_unit_is_not_taken_for_one_that_starts_alike),
        cmocka_unit_test(energy_is_no_torque),
        cmocka_unit_test(one_angle_is_read_as_in_a_description),
        cmocka_unit_test(a_bad_angle_leaves_the_last_one),
        cmocka_unit_test(one_time_is_read_as_in_a_description),
        cmocka_unit_test(threads_may_read_at_the_same_time),
    };
    return cmocka_run_group_tests_name("describe quantities", tests, NULL, NULL);
}
