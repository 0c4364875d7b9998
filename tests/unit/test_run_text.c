/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Upsets and gusts in words: each is read whole, or refused at its column. */
#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "comma_locale.h"
#include "trunnion/describe_run.h"

#define DEGREE 0.017453292519943295769

static trn_upset_text upset_of(const char *text)
{
    trn_error error = {.text = ""};
    trn_upset_text upset;
    const trn_status status = trn_upset_read(text, &upset, &error);
    if (status != TRN_OK) {
        print_error("%s: %s\n", text, error.text);
    }
    assert_int_equal(status, TRN_OK);
    return upset;
}

static trn_gust gust_of(const char *text)
{
    trn_error error = {.text = ""};
    trn_gust gust;
    const trn_status status = trn_gust_read(text, &gust, &error);
    if (status != TRN_OK) {
        print_error("%s: %s\n", text, error.text);
    }
    assert_int_equal(status, TRN_OK);
    return gust;
}

/* The words of a refusal begin with the column; what was to be filled stays as it was. */
static void expect_words(trn_status status, const trn_error *error, const char *text, int column, const char *words)
{
    char start[32];
    snprintf(start, sizeof start, "column %d: ", column);
    if (status != TRN_OUT_OF_DOMAIN || strncmp(error->text, start, strlen(start)) != 0 || !strstr(error->text, words)) {
        print_error("%s\n got %s\nwant %s... %s ...\n", text, error->text, start, words);
    }
    assert_int_equal(status, TRN_OUT_OF_DOMAIN);
    assert_int_equal(error->status, TRN_OUT_OF_DOMAIN);
    assert_int_equal(strncmp(error->text, start, strlen(start)), 0);
    assert_non_null(strstr(error->text, words));
}

static void assert_upset_refused(const char *text, int column, const char *words)
{
    trn_error error = {.text = ""};
    trn_upset_text upset;
    trn_upset_text before;
    memset(&upset, 0x5A, sizeof upset);
    memcpy(&before, &upset, sizeof before);
    const trn_status status = trn_upset_read(text, &upset, &error);
    expect_words(status, &error, text, column, words);
    assert_memory_equal(&upset, &before, sizeof upset);
}

static void assert_gust_refused(const char *text, int column, const char *words)
{
    trn_error error = {.text = ""};
    trn_gust gust;
    trn_gust before;
    memset(&gust, 0x5A, sizeof gust);
    memcpy(&before, &gust, sizeof before);
    const trn_status status = trn_gust_read(text, &gust, &error);
    expect_words(status, &error, text, column, words);
    assert_memory_equal(&gust, &before, sizeof gust);
}

static void every_kind_is_read(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        trn_upset_kind kind;
        bool has_angle;
    } kinds[] = {
        {"power lost at 40deg", TRN_UPSET_POWER_LOST, true},
        {"emergency stop at 40 degree", TRN_UPSET_EMERGENCY_STOP, true},
        {"pedal released at 40 deg", TRN_UPSET_PEDAL_RELEASED, true},
        {"  motor \t out  at\t40deg ", TRN_UPSET_MOTOR_OUT, true},
        {"gust 12 m/s for 8 s at 40deg", TRN_UPSET_GUST, true},
        {"power lost", TRN_UPSET_POWER_LOST, false},
        {"brake out", TRN_UPSET_BRAKE_OUT, false},
        {"near switch missed", TRN_UPSET_NEAR_SWITCH_MISSED, false},
        {"gust 12 m/s for 8 s", TRN_UPSET_GUST, false},
    };
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        const trn_upset_text read = upset_of(kinds[i].text);
        assert_int_equal(read.upset.kind, kinds[i].kind);
        assert_int_equal(read.has_angle, kinds[i].has_angle);
        assert_close(read.upset.angle_rad, kinds[i].has_angle ? 40 * DEGREE : 0, 1e-15);
        assert_true(read.opening && read.closing);
    }
}

static void a_direction_is_read(void **state)
{
    (void)state;
    trn_upset_text read = upset_of("power lost at 0.5 rad closing");
    assert_same_bits(read.upset.angle_rad, 0.5);
    assert_true(read.closing && !read.opening);
    read = upset_of("brake out opening");
    assert_true(read.opening && !read.closing);
    read = upset_of("\tpower\t lost\tat\t0.5 rad\tclosing\t");
    assert_same_bits(read.upset.angle_rad, 0.5);
    assert_true(read.closing && !read.opening);
    read = upset_of("gust 90 Pa for 8 s closing ");
    assert_true(read.closing && !read.opening && !read.has_angle);
    read = upset_of("gust 90 Pa for 8 s at 0 deg opening");
    assert_true(read.opening && !read.closing && read.has_angle);
    assert_same_bits(read.upset.angle_rad, 0);
}

static void gusts_by_speed_and_by_pressure(void **state)
{
    (void)state;
    trn_gust gust = gust_of("12 m/s for 8 s at 20 s");
    assert_true(gust.by_speed);
    assert_same_bits(gust.rise_m_s, 12);
    assert_same_bits(gust.rise_Pa, 0);
    assert_same_bits(gust.lasts_s, 8);
    assert_same_bits(gust.start_s, 20);
    gust = gust_of(" 2 psf  for  0.5min");
    assert_false(gust.by_speed);
    assert_close(gust.rise_Pa, 2 * 47.88025898033584, 1e-14);
    assert_same_bits(gust.rise_m_s, 0);
    assert_close(gust.lasts_s, 30, 1e-15);
    assert_same_bits(gust.start_s, 0);
    /* at is a unit of pressure too, the technical atmosphere. */
    gust = gust_of("0.001 at for 8 s at 1 min");
    assert_false(gust.by_speed);
    assert_close(gust.rise_Pa, 98.0665, 1e-12);
    assert_close(gust.start_s, 60, 1e-15);
    assert_same_bits(gust_of("0 m/s for 8 s").rise_m_s, 0);
    const trn_upset_text read = upset_of("gust 47 km/h for 8 s at 12 deg closing");
    assert_true(read.upset.gust.by_speed);
    assert_close(read.upset.gust.rise_m_s, 47 / 3.6, 1e-14);
    assert_same_bits(read.upset.gust.lasts_s, 8);
    assert_same_bits(read.upset.gust.start_s, 0);
}

static void kinds_that_are_not_known(void **state)
{
    (void)state;
    assert_upset_refused("", 1, "the fault is missing");
    assert_upset_refused("  ", 3, "the fault is missing");
    assert_upset_refused("at 40deg", 1, "the fault is missing");
    assert_upset_refused("powr lost at 40deg", 1, "unknown fault \"powr lost\": did you mean \"power lost\"?");
    assert_upset_refused(" brake outt", 2, "did you mean \"brake out\"?");
    assert_upset_refused("guts 12 m/s for 8 s", 1, "unknown fault \"guts\": did you mean \"gust\"?");
    assert_upset_refused("Power lost at 40deg", 1, "did you mean \"power lost\"?");
    assert_upset_refused("powerlost at 40deg", 1, "did you mean \"power lost\"?");
    assert_upset_refused("earthquake at 40deg", 1, "unknown fault \"earthquake\": expected power lost, emergency stop");
    assert_upset_refused("power", 1, "unknown fault \"power\"");
    assert_upset_refused("brakes out", 1, "did you mean \"brake out\"?");
    /* The words are right and their order is not. */
    assert_upset_refused("at 40deg power lost", 10, "power lost goes first: expected such as power lost at 40deg");
    assert_upset_refused("at 40deg\tpower\tlost", 10, "power lost goes first");
    assert_upset_refused("at 40deg motor outside", 1, "the fault is missing");
    assert_upset_refused("40deg  motor  out", 8, "motor out goes first: expected such as motor out at 40deg");
    assert_upset_refused("opening brake out", 9, "brake out goes first: expected such as brake out closing");
    assert_upset_refused("at 40deg gust 12 m/s for 8 s", 10, "such as gust 12 m/s for 8 s at 40deg closing");
    assert_upset_refused("at 40deg nopower lost", 1, "the fault is missing");
}

static void what_does_not_belong_is_refused(void **state)
{
    (void)state;
    assert_upset_refused("power lost 40deg", 12, "\"40deg\" is not understood: expected at and an angle");
    assert_upset_refused("power lost at", 14, "the value is missing: expected an angle");
    assert_upset_refused("power lost at closing", 15, "the value is missing: expected an angle");
    assert_upset_refused("power lost at 40", 15, "a unit is missing: expected an angle");
    assert_upset_refused("power lost at 40 m", 15, "wrong dimension: expected an angle");
    assert_upset_refused("power lost at 121deg", 15, "from 0 to 120 degree");
    assert_upset_refused("power lost at -1deg", 15, "from 0 to 120 degree");
    assert_upset_refused("power lost at nan deg", 15, "does not start with a number");
    assert_upset_refused("power lost at 40deg closing opening", 29, "expected the end");
    assert_upset_refused("power lost closing at 40deg", 20, "the angle goes before the direction");
    assert_upset_refused("power lost at 40deg at 50deg", 15, "expected an angle");
    assert_upset_refused("brake out at 40deg", 11, "brake out is of the whole run: expected no angle");
    assert_upset_refused("near switch missed at 40deg", 20, "of the whole run");
    /* A character of two bytes is one column. */
    assert_upset_refused("power lost \xC3\xB6 \xC3\xB6 at 40deg", 12, "is not understood");
    assert_upset_refused("power lost at 40deg closing \xC3\xB6", 29, "expected the end");
}

static void gusts_that_are_not_right(void **state)
{
    (void)state;
    assert_gust_refused("", 1, "the value is missing: expected a speed such as 47 km/h, or a pressure such as 90 Pa");
    assert_gust_refused("12 m/s", 7, "how long the gust lasts is missing");
    assert_gust_refused("12 m/s at 20 s", 8, "how long the gust lasts is missing");
    assert_gust_refused("12 m/s for", 11, "the value is missing: expected a time");
    assert_gust_refused("12 m/s for at 20 s", 12, "the value is missing: expected a time");
    assert_gust_refused("12 for 8 s", 1, "a unit is missing: expected a speed");
    assert_gust_refused("12 kg for 8 s", 1, "wrong dimension: expected a speed such as 47 km/h, or a pressure");
    assert_gust_refused("-12 m/s for 8 s", 1, "a speed of 0 or more");
    assert_gust_refused("-12 Pa for 8 s", 1, "\"-12 Pa\" is out of bounds: expected a pressure of 0 or more");
    assert_gust_refused("12 m/s for 0 s", 12, "a time over 0");
    assert_gust_refused("12 m/s for 8 m", 12, "expected a time");
    assert_gust_refused("12 m/s for 8 s at -1 s", 19, "a time of 0 or more");
    assert_gust_refused("12 m/s for 8 s at 40deg", 19, "expected a time");
    assert_gust_refused("12 m/s for 8 s at", 18, "the value is missing: expected a time");
    assert_gust_refused("gust 12 m/s for 8 s", 1, "a speed or a pressure goes first: expected such as 12 m/s for 8 s");
    assert_gust_refused("8 s at 20 s 12 m/s", 1, "a speed or a pressure goes first");
    assert_gust_refused("for 8 s 12 m/s", 1, "a speed or a pressure goes first");
    assert_gust_refused("at 20 s 12 m/s for 8 s", 1, "a speed or a pressure goes first");
    assert_gust_refused("12 m/s at 20 s for 8 s", 8, "how long the gust lasts goes before at");
    assert_gust_refused("  ", 3, "the value is missing: expected a speed");
    assert_upset_refused("gust", 5, "the value is missing: expected a speed");
    assert_upset_refused("gust at 40deg", 6, "a speed or a pressure goes first");
    assert_upset_refused("gust for 8 s 12 m/s at 40deg", 6, "a speed or a pressure goes first");
    assert_upset_refused("gust 12 m/s at 40deg", 13, "how long the gust lasts is missing");
    assert_upset_refused("gust 12 m/s for 8 s at 20 s", 24, "expected an angle");
}

static void hostile_texts(void **state)
{
    (void)state;
    assert_upset_refused("power lost\nat 40deg", 11, "a control character");
    assert_upset_refused("power lost at \x1B[2J", 15, "U+001B is not allowed");
    assert_upset_refused("power lost at 40deg \xFF", 21, "not valid UTF-8");
    assert_upset_refused("power lost \xE2\x80\xAE", 12, "a control character");
    assert_gust_refused("12 m/s for 8 s\r", 15, "a control character");
    const size_t length = (size_t)4 << 20;
    char *noise = malloc(length + 1);
    assert_non_null(noise);
    static const char noises[] = " \tab1.-[";
    for (size_t i = 0; i < sizeof noises - 1; i++) {
        trn_error error;
        trn_upset_text upset;
        trn_gust gust;
        memset(noise, noises[i], length);
        noise[length] = '\0';
        assert_int_equal(trn_upset_read(noise, &upset, &error), TRN_OUT_OF_DOMAIN);
        assert_int_equal(trn_gust_read(noise, &gust, &error), TRN_OUT_OF_DOMAIN);
        memcpy(noise, "gust 1 m/s for ", 15);
        assert_int_equal(trn_upset_read(noise, &upset, &error), TRN_OUT_OF_DOMAIN);
    }
    free(noise);
}

/* A decimal comma of the program's own locale changes nothing; the locale stays. */
static void the_locale_is_of_no_matter(void **state)
{
    (void)state;
    char folder[] = COMMA_LOCALE_FOLDER;
    set_comma_locale(folder);
    assert_close(upset_of("power lost at 40.5deg").upset.angle_rad, 40.5 * DEGREE, 1e-15);
    assert_same_bits(gust_of("12.5 m/s for 8.5 s").lasts_s, 8.5);
    assert_string_equal(localeconv()->decimal_point, ",");
    end_comma_locale(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_is_read),
        cmocka_unit_test(a_direction_is_read),
        cmocka_unit_test(gusts_by_speed_and_by_pressure),
        cmocka_unit_test(kinds_that_are_not_known),
        cmocka_unit_test(what_does_not_belong_is_refused),
        cmocka_unit_test(gusts_that_are_not_right),
        cmocka_unit_test(hostile_texts),
        cmocka_unit_test(the_locale_is_of_no_matter),
    };
    return cmocka_run_group_tests_name("run_text", tests, NULL, NULL);
}
