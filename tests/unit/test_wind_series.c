/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Records of wind that are right are read to the last digit; those that are not are refused at their place. */
#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/describe_run.h"
#include "trunnion/record.h"

static void print_faults(const trn_faults *faults)
{
    for (size_t i = 0; i < faults->count; i++) {
        print_error("%d:%d: %s\n", faults->at[i].line, faults->at[i].column, faults->at[i].text);
    }
}

static trn_wind_series read_well(const char *text)
{
    trn_faults faults;
    trn_wind_series series;
    const trn_status status = trn_wind_series_read(text, strlen(text), &series, &faults);
    if (status != TRN_OK) {
        print_faults(&faults);
    }
    assert_int_equal(status, TRN_OK);
    assert_int_equal(faults.count, 0);
    assert_ptr_equal(series.record.points, series.points);
    return series;
}

static trn_faults read_badly(const char *text, size_t length)
{
    trn_faults faults;
    trn_wind_series untouched = {.record = {.count = 77}};
    assert_int_equal(trn_wind_series_read(text, length, &untouched, &faults), TRN_BAD_DESCRIPTION);
    assert_int_equal(untouched.record.count, 77);
    assert_null(untouched.points);
    assert_true(faults.count > 0);
    return faults;
}

static void assert_refused(const char *text, int line, int column, const char *words)
{
    const trn_faults faults = read_badly(text, strlen(text));
    if (faults.count != 1 || faults.at[0].line != line || faults.at[0].column != column ||
        !strstr(faults.at[0].text, words)) {
        print_error("want %d:%d: ... %s ...\n", line, column, words);
        print_faults(&faults);
    }
    assert_int_equal(faults.count, 1);
    assert_int_equal(faults.at[0].line, line);
    assert_int_equal(faults.at[0].column, column);
    assert_non_null(strstr(faults.at[0].text, words));
}

static void speeds_and_pressures_in_any_unit(void **state)
{
    (void)state;
    trn_wind_series series = read_well("time [s],speed [m/s]\n0,6.25\n0.5,7\n");
    assert_true(series.record.by_speed);
    assert_int_equal(series.record.count, 2);
    assert_same_bits(series.points[0].time_s, 0);
    assert_same_bits(series.points[0].value, 6.25);
    assert_same_bits(series.points[1].time_s, 0.5);
    assert_same_bits(series.points[1].value, 7);
    trn_wind_series_free(&series);
    assert_null(series.points);
    assert_null(series.record.points);
    assert_int_equal(series.record.count, 0);
    trn_wind_series_free(&series);
    series = read_well("pressure [psf],time [min]\n2,1.5\n");
    assert_false(series.record.by_speed);
    assert_int_equal(series.record.count, 1);
    assert_close(series.points[0].time_s, 90, 1e-15);
    assert_close(series.points[0].value, 2 * 47.88025898033584, 1e-14);
    trn_wind_series_free(&series);
    series = read_well("time [ms],speed [mph]\n0,10\n1,0\n");
    assert_close(series.points[0].value, 4.4704, 1e-14);
    assert_close(series.points[1].time_s, 0.001, 1e-14);
    assert_same_bits(series.points[1].value, 0);
    trn_wind_series_free(&series);
}

static void the_same_record_in_other_forms(void **state)
{
    (void)state;
    static const char *const forms[] = {
        "time [s],pressure [Pa]\n1,5\n2.5,60\n",
        "time [s],pressure [Pa]\r\n1,5\r\n2.5,60\r\n",
        "time [s],pressure [Pa]\n1,5\n2.5,60",
        "time [s],pressure [Pa]\r\n1,5\n2.5,60\n\n \n\r\n\t\n",
        "\357\273\277time [s],pressure [Pa]\n1,5\n2.5,60\n",
        "  time  [ s ] ,\tpressure [Pa]  \n 1 , 5 \n2.5 ,\t+60\n",
        "\"time [s]\",\"pressure [Pa]\"\n\"1\",\"5\"\n\"2.5\", \"60\" \n",
        "time[s],pressure[Pa]\n1.,.5e1\n250e-2,6E1\n",
        "pressure [Pa],time [s]\n5,1\n60,2.5\n",
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        trn_wind_series series = read_well(forms[i]);
        assert_int_equal(series.record.count, 2);
        assert_false(series.record.by_speed);
        assert_same_bits(series.points[0].time_s, 1);
        assert_same_bits(series.points[0].value, 5);
        assert_same_bits(series.points[1].time_s, 2.5);
        assert_same_bits(series.points[1].value, 60);
        trn_wind_series_free(&series);
    }
}

#define HEAD "time [s],speed [m/s]\n"

static void places_and_words(void **state)
{
    (void)state;
    assert_refused("", 1, 1, "the record is empty: expected headings such as time [s],speed [m/s]");
    assert_refused("\xEF\xBB\xBF", 1, 1, "the record is empty");
    assert_refused(HEAD, 2, 1, "there is no reading");
    assert_refused(HEAD "1,5\n\n2,6\n", 3, 1, "an empty line within the record");
    assert_refused(HEAD "1\n", 2, 1, "the line has 1 field: expected 2");
    assert_refused(HEAD "1,5,6\n", 2, 5, "the line has 3 fields: expected 2");
    assert_refused(HEAD ",5\n", 2, 1, "time: the value is missing");
    assert_refused(HEAD "1,\n", 2, 3, "speed: the value is missing");
    assert_refused(HEAD "1,nan\n", 2, 3, "\"nan\" is not right");
    assert_refused(HEAD "1,inf\n", 2, 3, "\"inf\" is not right");
    assert_refused(HEAD "1,0x10\n", 2, 3, "\"0x10\" is not right");
    assert_refused(HEAD "1,5 m/s\n", 2, 3, "its unit stands in the heading");
    assert_refused(HEAD "1,-1\n", 2, 3, "a wind speed from 0 to 100 m/s");
    assert_refused(HEAD "1,100.5\n", 2, 3, "a wind speed from 0 to 100 m/s");
    assert_refused("time [s],pressure [Pa]\n1,-1\n", 2, 3, "a wind pressure from 0 to 100 kPa");
    assert_refused("time [s],pressure [bar]\n1,1.5\n", 2, 3, "a wind pressure from 0 to 100 kPa");
    assert_refused(HEAD "-0.5,5\n", 2, 1, "a time from 0 to 1e12 s");
    assert_refused(HEAD "1e400,5\n", 2, 1, "a time from 0 to 1e12 s");
    assert_refused(HEAD "1,5\n1,6\n", 3, 1, "time: 1 s does not come after 1 s: expected times that ascend");
    assert_refused(HEAD "1,5\n3,6\n2,7\n", 4, 1, "2 s does not come after 3 s");
    assert_refused("speed [m/s],time [s]\n5,1\n6,0.5\n", 3, 3, "0.5 s does not come after 1 s");
    assert_refused(HEAD "1,\"5\n2,6\n", 2, 3, "the quote is not closed");
    assert_refused(HEAD "1,5\r2,6\r", 2, 4, "a carriage return without a line feed");
}

static void headings_that_are_not_right(void **state)
{
    (void)state;
    assert_refused("speed [m/s]\n5\n", 1, 1, "there is no heading \"time [s]\"");
    assert_refused("time [s]\n1\n", 1, 1, "there is no heading of what was measured: expected time [s], and one of");
    assert_refused("time,speed [m/s]\n1,5\n", 1, 1, "time: the unit is missing: expected time [s]");
    assert_refused("time [m],speed [m/s]\n1,5\n", 1, 1, "time: the unit \"m\" has the wrong dimension");
    assert_refused("time [s],speed [rpm]\n1,5\n", 1, 10, "speed: the unit \"rpm\" has the wrong dimension");
    assert_refused("time [s],sped [m/s]\n1,5\n", 1, 10, "unknown heading \"sped\": did you mean \"speed\"?");
    assert_refused("time [s],wind force\n1,5\n", 1, 10,
                   "unknown heading \"wind force\": expected time [s], and one of speed [m/s] and pressure [Pa]");
    assert_refused("time [s],speed [m/s],pressure [Pa]\n1,5,6\n", 1, 22, "expected one of speed and pressure");
    assert_refused("time [s],speed [m/s],time [s]\n1,5,6\n", 1, 22, "the heading \"time\" stands twice");
    assert_refused("time [s];speed [m/s]\n1;5\n", 1, 9, "parted by semicolons");
    assert_refused("0,5\n1,6\n", 1, 1, "the first line holds a number: expected headings, time [s]");
    assert_refused("time [s],\n1,\n", 1, 10, "a heading is missing: expected a name such as time [s]");
    assert_refused("time [s,speed [m/s]\n1,5\n", 1, 1, "a bracket that does not end it: expected such as time [s]");
}

static void faults_are_told_together(void **state)
{
    (void)state;
    const char *const text = HEAD "x,y\n2,5\n1,6\n";
    const trn_faults faults = read_badly(text, strlen(text));
    assert_int_equal(faults.count, 3);
    assert_int_equal(faults.at[2].line, 4);
    assert_non_null(strstr(faults.at[2].text, "1 s does not come after 2 s"));
    char many[4000] = HEAD;
    for (int i = 0; i < 30; i++) {
        strcat(many, "0,x\n");
    }
    const trn_faults full = read_badly(many, strlen(many));
    assert_int_equal(full.count, TRN_FAULTS_MAX);
    assert_true(full.more);
}

static void hostile_bytes(void **state)
{
    (void)state;
    const trn_faults nul = read_badly(HEAD "1,5\0,6\n", sizeof HEAD - 1 + 7);
    assert_int_equal(nul.at[0].line, 2);
    assert_non_null(strstr(nul.at[0].text, "U+0000"));
    const trn_faults broken = read_badly(HEAD "1,\xFF\n", sizeof HEAD - 1 + 4);
    assert_int_equal(broken.at[0].column, 3);
    assert_non_null(strstr(broken.at[0].text, "UTF-8"));
    const size_t length = (size_t)4 << 20;
    static const char noises[] = "\",x\n;[ \t1";
    char *noise = malloc(length);
    assert_non_null(noise);
    for (size_t kind = 0; kind < sizeof noises - 1; kind++) {
        memset(noise, noises[kind], length);
        (void)read_badly(noise, length);
        memcpy(noise, HEAD, sizeof HEAD - 1);
        (void)read_badly(noise, length);
    }
    free(noise);
}

static void too_long(void **state)
{
    (void)state;
    char *text = calloc(TRN_RECORD_MAX + 1, 1);
    assert_non_null(text);
    const trn_faults faults = read_badly(text, TRN_RECORD_MAX + 1);
    assert_non_null(strstr(faults.at[0].text, "at most 128 MiB"));
    free(text);
}

static void many_lines(void **state)
{
    (void)state;
    const size_t lines = 100000;
    char *text = malloc(lines * 32 + 100);
    assert_non_null(text);
    char *at = stpcpy(text, HEAD);
    for (size_t i = 0; i < lines; i++) {
        at += sprintf(at, "%zu.25,%zu.5\n", i, i % 99);
    }
    trn_wind_series series = read_well(text);
    assert_int_equal(series.record.count, lines);
    for (size_t i = 0; i < lines; i++) {
        assert_same_bits(series.points[i].time_s, (double)i + 0.25);
        assert_same_bits(series.points[i].value, (double)(i % 99) + 0.5);
    }
    trn_wind_series_free(&series);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(speeds_and_pressures_in_any_unit),
        cmocka_unit_test(the_same_record_in_other_forms),
        cmocka_unit_test(places_and_words),
        cmocka_unit_test(headings_that_are_not_right),
        cmocka_unit_test(faults_are_told_together),
        cmocka_unit_test(hostile_bytes),
        cmocka_unit_test(too_long),
        cmocka_unit_test(many_lines),
    };
    return cmocka_run_group_tests_name("wind_series", tests, NULL, NULL);
}
