/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Records that are right are read to the last digit; those that are not are refused at their place. */
#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/record.h"

#define DEGREE 0.017453292519943295769

static void print_faults(const trn_faults *faults)
{
    for (size_t i = 0; i < faults->count; i++)
        print_error("%d:%d: %s\n", faults->at[i].line, faults->at[i].column, faults->at[i].text);
}

static trn_record read_well(const char *text)
{
    trn_faults faults;
    trn_record record;
    const trn_status status = trn_record_read(text, strlen(text), &record, &faults);
    if (status != TRN_OK)
        print_faults(&faults);
    assert_int_equal(status, TRN_OK);
    assert_int_equal(faults.count, 0);
    return record;
}

static trn_faults read_badly(const char *text, size_t length)
{
    trn_faults faults;
    trn_record untouched = {.count = 77};
    assert_int_equal(trn_record_read(text, length, &untouched, &faults), TRN_BAD_DESCRIPTION);
    assert_int_equal(untouched.count, 77);
    assert_null(untouched.readings);
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

static void every_column_is_read(void **state)
{
    (void)state;
    trn_record record = read_well("time [min],run,angle [rad],direction,leaf torque [kip ft],wind speed [mph],"
                                  "wind side\n"
                                  "1.5,3,0.25,opening,-12.5,10,toe\n"
                                  "2,0,1,closing,3e2,0,heel\n");
    assert_int_equal(record.kind, TRN_RECORD_LEAF_TORQUE);
    assert_true(record.has_time && record.has_wind);
    assert_int_equal(record.count, 2);
    const trn_reading *first = &record.readings[0];
    assert_close(first->time_s, 90, 1e-15);
    assert_int_equal(first->run, 3);
    assert_same_bits(first->angle_rad, 0.25);
    assert_int_equal(first->direction, TRN_OPENING);
    assert_close(first->value, -12.5 * 1355.8179483314004, 1e-14);
    assert_close(first->wind_speed_m_s, 4.4704, 1e-14);
    assert_int_equal(first->wind_from, TRN_WIND_FROM_TOE);
    assert_int_equal(first->line, 2);
    const trn_reading *second = &record.readings[1];
    assert_int_equal(second->run, 0);
    assert_int_equal(second->direction, TRN_CLOSING);
    assert_int_equal(second->wind_from, TRN_WIND_FROM_HEEL);
    assert_close(second->value, 300 * 1355.8179483314004, 1e-14);
    trn_record_free(&record);
    assert_null(record.readings);
    trn_record_free(&record);
}

static void every_kind_has_its_units(void **state)
{
    (void)state;
    static const struct {
        const char *heading;
        trn_record_kind kind;
        double one;
    } kinds[] = {
        {"leaf torque [kN m]", TRN_RECORD_LEAF_TORQUE, 1000},
        {"motor torque [N m]", TRN_RECORD_MOTOR_TORQUE, 1},
        {"motor torque [lbf in]", TRN_RECORD_MOTOR_TORQUE, 0.1129848290276167},
        {"shaft torque [N.m]", TRN_RECORD_SHAFT_TORQUE, 1},
        {"shaft strain [1e-6]", TRN_RECORD_SHAFT_STRAIN, 1e-6},
        {"shaft strain [1]", TRN_RECORD_SHAFT_STRAIN, 1},
        {"shaft strain [%]", TRN_RECORD_SHAFT_STRAIN, 0.01},
        {"shaft strain [\xC2\xB5m/m]", TRN_RECORD_SHAFT_STRAIN, 1e-6},
        {"shaft strain [0.001]", TRN_RECORD_SHAFT_STRAIN, 1e-3},
        {"motor power [kW]", TRN_RECORD_MOTOR_POWER, 1000},
        {"motor power [hp]", TRN_RECORD_MOTOR_POWER, 745.69987158227022},
    };
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        char text[200];
        snprintf(text, sizeof text, "angle [\xC2\xB0],direction,%s\n30,opening,0.0625\n", kinds[i].heading);
        trn_record record = read_well(text);
        assert_int_equal(record.kind, kinds[i].kind);
        assert_close(record.readings[0].value, 0.0625 * kinds[i].one, 1e-14);
        assert_close(record.readings[0].angle_rad, 30 * DEGREE, 1e-15);
        assert_int_equal(record.readings[0].run, 1);
        assert_int_equal(record.readings[0].wind_from, TRN_WIND_FROM_ADVERSE);
        assert_false(record.has_time || record.has_wind);
        trn_record_free(&record);
    }
}

static void the_same_record_in_other_forms(void **state)
{
    (void)state;
    static const char *const forms[] = {
        "angle [deg],direction,leaf torque [N m]\n8,opening,5\n9.5,closing,-6\n",
        "angle [deg],direction,leaf torque [N m]\r\n8,opening,5\r\n9.5,closing,-6\r\n",
        "angle [deg],direction,leaf torque [N m]\n8,opening,5\n9.5,closing,-6",
        "angle [deg],direction,leaf torque [N m]\r\n8,opening,5\n9.5,closing,-6\n\n \n\r\n\t\n",
        "\357\273\277angle [deg],direction,leaf torque [N m]\n8,opening,5\n9.5,closing,-6\n",
        "  angle  [ deg ] ,\tdirection , leaf torque [N m]  \n 8 , opening, 5 \n9.5 ,closing,\t-6\n",
        "angle\t[\tdeg\t]\t,direction\t,leaf torque [N m]\t\n\t8\t,\topening\t,5\t\n9.5\t,closing\t,-6\t\n",
        "\"angle [deg]\",\"direction\",\"leaf torque [N m]\"\n\"8\",\"opening\",\"5\"\n\"9.5\", \"closing\" ,\"-6\"\n",
        "angle[deg],direction,leaf torque[N m]\n8.,opening,+5\n.95e1,closing,-0.6e+1\n",
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        trn_record record = read_well(forms[i]);
        assert_int_equal(record.count, 2);
        assert_close(record.readings[1].angle_rad, 9.5 * DEGREE, 1e-15);
        assert_same_bits(record.readings[0].value, 5);
        assert_same_bits(record.readings[1].value, -6);
        assert_int_equal(record.readings[1].direction, TRN_CLOSING);
        assert_int_equal(record.readings[1].line, 3);
        trn_record_free(&record);
    }
}

#define HEAD "angle [deg],direction,leaf torque [N m]\n"
#define TIMED "time [s],angle [deg],direction,leaf torque [N m]\n"

static void places_and_words(void **state)
{
    (void)state;
    assert_refused("", 1, 1, "the record is empty");
    assert_refused("\xEF\xBB\xBF", 1, 1, "the record is empty");
    assert_refused(HEAD, 2, 1, "there is no reading");
    assert_refused(HEAD "\n\n", 2, 1, "there is no reading");
    assert_refused(HEAD "8,opening,5\n\n9,opening,6\n", 3, 1, "an empty line within the record");
    assert_refused(HEAD "8,opening\n", 2, 3, "the line has 2 fields: expected 3");
    assert_refused(HEAD "8,opening,5,\n", 2, 13, "the line has 4 fields: expected 3");
    assert_refused(HEAD "8,opening,5,6\n", 2, 13, "the decimal mark is a point");
    assert_refused(HEAD ",opening,5\n", 2, 1, "angle: the value is missing");
    assert_refused(HEAD "8,opening,\n", 2, 11, "leaf torque: the value is missing");
    assert_refused(HEAD "8,,5\n", 2, 3, "direction: the value is missing: expected opening or closing");
    assert_refused(HEAD "8,Opening,5\n", 2, 3, "\"Opening\" is not right: expected opening or closing");
    assert_refused(HEAD "8,opening,5 N m\n", 2, 11, "its unit stands in the heading");
    assert_refused(HEAD "8,opening,nan\n", 2, 11, "\"nan\" is not right");
    assert_refused(HEAD "8,opening,inf\n", 2, 11, "\"inf\" is not right");
    assert_refused(HEAD "8,opening,0x10\n", 2, 11, "\"0x10\" is not right");
    assert_refused(HEAD "8,opening,1e400\n", 2, 11, "up to 1e12 N m");
    assert_refused(HEAD "8,opening,1e-400\n", 2, 11, "is not right");
    assert_refused(HEAD "8,opening,2e12\n", 2, 11, "up to 1e12 N m");
    assert_refused(HEAD "8e,opening,5\n", 2, 1, "\"8e\" is not right");
    assert_refused(HEAD "151,opening,5\n", 2, 1, "from -30 to 150 degree");
    assert_refused(HEAD "-31,opening,5\n", 2, 1, "from -30 to 150 degree");
    assert_refused(HEAD "\"8,5\",opening,5\n", 2, 1, "the decimal mark is a point");
    assert_refused(HEAD "8,opening,\"5\n9,opening,6\n", 2, 11, "the quote is not closed");
    assert_refused(HEAD "8,opening,\"5\"6\n", 2, 14, "text after the closing quote");
    assert_refused(HEAD "8,opening,5\r9,opening,6\r", 2, 12, "a carriage return without a line feed");
    /* A character of two bytes is one column. */
    assert_refused(HEAD "8,opening,\xC3\xB6\n", 2, 11, "is not right");
    assert_refused("\"\xC3\xB6\",angle [deg],direction,leaf torque [N m]\n", 1, 1, "unknown heading");
    assert_refused("angle [\xC2\xB0],direktion,leaf torque [N m]\n8,opening,5\n", 1, 11, "direktion");
}

static void a_number_has_at_most_100_characters(void **state)
{
    (void)state;
    char text[400] = HEAD "8,opening,1.";
    const size_t start = strlen(text);
    memset(text + start, '0', 98);
    strcpy(text + start + 98, "\n");
    trn_record record = read_well(text);
    assert_same_bits(record.readings[0].value, 1);
    trn_record_free(&record);
    strcpy(text + start + 98, "0\n");
    assert_refused(text, 2, 11, "expected a number of at most 100 characters");
}

static void headings_that_are_not_right(void **state)
{
    (void)state;
    assert_refused("direction,leaf torque [N m]\nopening,5\n", 1, 1, "there is no heading \"angle [degree]\"");
    assert_refused("angle [deg],leaf torque [N m]\n8,5\n", 1, 1, "there is no heading \"direction\"");
    assert_refused("angle [deg],direction\n8,opening\n", 1, 1, "there is no heading of what was measured");
    assert_refused("angle,direction,leaf torque [N m]\n8,opening,5\n", 1, 1, "angle: the unit is missing");
    assert_refused("angle [],direction,leaf torque [N m]\n8,opening,5\n", 1, 1, "angle: the unit is missing");
    assert_refused("angle [kg],direction,leaf torque [N m]\n8,opening,5\n", 1, 1, "wrong dimension");
    assert_refused("angle [deg],direction,leaf torque [Nm]\n8,opening,5\n", 1, 23, "did you mean \"N m\"?");
    assert_refused("angle [deg],direction,leaf torque [kJ]\n8,opening,5\n", 1, 23, "a unit of energy");
    assert_refused("angle [deg],direction [x],leaf torque [N m]\n8,opening,5\n", 1, 13, "no unit belongs here");
    assert_refused("angle [deg],direction,leaf torque [N m\n8,opening,5\n", 1, 23, "a bracket that does not end it");
    assert_refused("angle [deg],direction,leaf torque [N m] x\n8,opening,5\n", 1, 23, "a bracket that does not end it");
    assert_refused("angle [deg],direktion,leaf torque [N m]\n8,opening,5\n", 1, 13, "did you mean \"direction\"?");
    assert_refused("angle [deg],dirxxxion,leaf torque [N m]\n8,opening,5\n", 1, 13, "did you mean \"direction\"?");
    assert_refused("angle [deg],dirxxxxon,leaf torque [N m]\n8,opening,5\n", 1, 13,
                   "unknown heading \"dirxxxxon\": expected angle [degree], direction, and one of");
    assert_refused("angle [deg],direction,weather,leaf torque [N m]\n8,opening,5,6\n", 1, 23,
                   "unknown heading \"weather\"");
    assert_refused("angle [deg],direction,leaf torque [N m],angle [rad]\n8,opening,5,1\n", 1, 41, "stands twice");
    assert_refused("angle [deg],direction,leaf torque [N m],motor power [W]\n8,opening,5,1\n", 1, 41,
                   "expected one of torque, strain and power");
    assert_refused("angle [deg],direction,leaf torque [N m],\n8,opening,5,\n", 1, 41, "a heading is missing");
    assert_refused("angle [deg],direction,shaft strain [ue]\n8,opening,5\n", 1, 23, "no unit of strain");
    assert_refused("angle [deg],direction,shaft strain [2]\n8,opening,0.01\n", 1, 23, "no unit of strain");
    /* A quote within quotes is doubled, and the comma after it belongs to the field. */
    assert_refused("angle [deg],\"di\"\"rect\"\", ion\",leaf torque [N m]\n8,opening,5\n", 1, 13,
                   "unknown heading \"di\"\"rect\"\", ion\"");
    assert_refused("angle [deg],direction,shaft strain [0]\n8,opening,5\n", 1, 23, "no unit of strain");
    assert_refused("angle [deg],direction,shaft strain [m]\n8,opening,5\n", 1, 23, "no unit of strain");
    assert_refused("angle [deg],direction,shaft strain [1]\n8,opening,50\n", 2, 11, "a strain up to 0.1");
    assert_refused("angle [deg];direction;leaf torque [N m]\n8;opening;5\n", 1, 12, "parted by semicolons");
    assert_refused("angle [deg]\tdirection\tleaf torque [N m]\n8\topening\t5\n", 1, 12, "parted by tabs");
    assert_refused("8,opening,5\n", 1, 1, "the first line holds a number");
    assert_refused("angle [deg],direction,leaf torque [N m],wind side\n8,opening,5,heel\n", 1, 41,
                   "without \"wind speed\"");
}

static void runs_winds_and_times(void **state)
{
    (void)state;
    assert_refused("run,angle [deg],direction,leaf torque [N m]\n1.5,8,opening,5\n", 2, 1,
                   "a whole number from 0 to 9999");
    assert_refused("run,angle [deg],direction,leaf torque [N m]\n10000,8,opening,5\n", 2, 1, "from 0 to 9999");
    assert_refused("run,angle [deg],direction,leaf torque [N m]\n-1,8,opening,5\n", 2, 1, "from 0 to 9999");
    assert_refused("run,angle [deg],direction,leaf torque [N m]\n,8,opening,5\n", 2, 1, "run: the value is missing");
    assert_refused("wind speed [m/s],angle [deg],direction,leaf torque [N m]\n-1,8,opening,5\n", 2, 1,
                   "from 0 to 100 m/s");
    assert_refused("wind speed [m/s],wind side,angle [deg],direction,leaf torque [N m]\n1,left,8,opening,5\n", 2, 3,
                   "heel or toe");
    assert_refused(TIMED "1,8,opening,5\n1,9,opening,6\n", 3, 1, "does not come after 1 s");
    assert_refused(TIMED "1,8,opening,5\n2,9,opening,6\n1.5,9,opening,6\n", 4, 1, "1.5 s does not come after 2 s");
    /* Each direction of each run has a time of its own. */
    trn_record record = read_well("run,time [s],angle [deg],direction,leaf torque [N m]\n"
                                  "1,5,8,opening,5\n1,1,8,closing,5\n2,1,8,opening,5\n"
                                  "1,6,8,opening,5\n2,2,8,opening,5\n");
    assert_int_equal(record.count, 5);
    trn_record_free(&record);
}

static void faults_are_told_together(void **state)
{
    (void)state;
    const trn_faults two = read_badly(HEAD "8,up,x\n9,opening,6\n", strlen(HEAD) + 19);
    assert_int_equal(two.count, 2);
    assert_false(two.more);
    char text[4000] = HEAD;
    for (int i = 0; i < 30; i++)
        strcat(text, "8,up,5\n");
    const trn_faults many = read_badly(text, strlen(text));
    assert_int_equal(many.count, TRN_FAULTS_MAX);
    assert_true(many.more);
    assert_int_equal(many.at[0].line, 2);
    assert_int_equal(many.at[TRN_FAULTS_MAX - 1].line, 21);
    char wide[4000] = "";
    for (int i = 0; i < 15; i++)
        strcat(wide, "angle [deg],colour,");
    strcat(wide, "direction\n8,5\n");
    const trn_faults headings = read_badly(wide, strlen(wide));
    assert_int_equal(headings.count, TRN_FAULTS_MAX);
}

static void hostile_bytes(void **state)
{
    (void)state;
    const trn_faults nul = read_badly(HEAD "8,open\0ing,5\n", sizeof HEAD - 1 + 13);
    assert_int_equal(nul.at[0].line, 2);
    assert_non_null(strstr(nul.at[0].text, "U+0000"));
    const trn_faults broken = read_badly(HEAD "8,opening,\xFF\n", sizeof HEAD - 1 + 12);
    assert_int_equal(broken.at[0].column, 11);
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
    assert_int_equal(faults.at[0].line, 1);
    assert_int_equal(faults.at[0].column, 1);
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
    for (size_t i = 0; i < lines; i++)
        at += sprintf(at, "%zu.25,%s,%zu\n", i % 70, i % 2 ? "opening" : "closing", i);
    trn_record record = read_well(text);
    assert_int_equal(record.count, lines);
    for (size_t i = 0; i < lines; i++) {
        assert_same_bits(record.readings[i].value, (double)i);
        assert_int_equal(record.readings[i].line, i + 2);
    }
    trn_record_free(&record);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_column_is_read),
        cmocka_unit_test(every_kind_has_its_units),
        cmocka_unit_test(the_same_record_in_other_forms),
        cmocka_unit_test(places_and_words),
        cmocka_unit_test(a_number_has_at_most_100_characters),
        cmocka_unit_test(headings_that_are_not_right),
        cmocka_unit_test(runs_winds_and_times),
        cmocka_unit_test(faults_are_told_together),
        cmocka_unit_test(hostile_bytes),
        cmocka_unit_test(too_long),
        cmocka_unit_test(many_lines),
    };
    return cmocka_run_group_tests_name("record", tests, NULL, NULL);
}
