/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A program of its own: once the database of units was read, it stays for the process. */
#include "describing.h"
#include "trunnion/record.h"

static void without_a_database_of_units_there_is_neither_leaf_nor_fault(void **state)
{
    (void)state;
    trn_faults faults = {.count = 7, .more = true};
    trn_description *description = NULL;
    assert_int_equal(trn_description_read(LEAST, strlen(LEAST), &description, &faults), TRN_NO_UNITS);
    assert_null(description);
    assert_int_equal(faults.count, 0);
    assert_false(faults.more);
}

/* Faults found before the reading ended early are not the whole of them. */
static void faults_found_before_are_not_kept(void **state)
{
    (void)state;
    char *text = repeated(LEAST, "unknown: 1\n", "", (TRN_FAULTS_MAX + 1) * strlen("unknown: 1\n"));
    trn_faults faults;
    trn_description *description = NULL;
    assert_int_equal(trn_description_read(text, strlen(text), &description, &faults), TRN_NO_UNITS);
    assert_null(description);
    assert_int_equal(faults.count, 0);
    assert_false(faults.more);
    free(text);
}

static void a_record_without_units_has_no_faults(void **state)
{
    (void)state;
    char *text = repeated("colour,", "colour,", "angle [deg],direction,leaf torque [N m]\n8,opening,5\n", 20);
    trn_faults faults;
    trn_record record = {.count = 77};
    assert_int_equal(trn_record_read(text, strlen(text), &record, &faults), TRN_NO_UNITS);
    assert_int_equal(record.count, 77);
    assert_int_equal(faults.count, 0);
    assert_false(faults.more);
    free(text);
}

static void an_angle_says_that_there_are_no_units(void **state)
{
    (void)state;
    double angle = -7;
    trn_error error = {0};
    assert_int_equal(trn_angle_read("40deg", &angle, &error), TRN_NO_UNITS);
    assert_int_equal(error.status, TRN_NO_UNITS);
    assert_string_equal(error.text, trn_status_text(TRN_NO_UNITS));
    assert_close(angle, -7, 0);
}

static void a_record_needs_units(void **state)
{
    (void)state;
    static const char text[] = "shaft strain [km/km],angle [deg],direction\n5,8,opening\n";
    trn_faults faults = {.count = 7};
    trn_record record = {.count = 7};
    assert_int_equal(trn_record_read(text, strlen(text), &record, &faults), TRN_NO_UNITS);
    assert_int_equal(record.count, 7);
}

static void faults_before_the_first_unit_need_no_database(void **state)
{
    (void)state;
    assert_refused("leaf: [\n", 2, 1, "not YAML");
}

static void the_database_is_tried_again(void **state)
{
    (void)state;
    assert_int_equal(unsetenv("UDUNITS2_XML_PATH"), 0);
    trn_description_free(read_well(LEAST));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_database_of_units_there_is_neither_leaf_nor_fault),
        cmocka_unit_test(faults_found_before_are_not_kept),
        cmocka_unit_test(a_record_without_units_has_no_faults),
        cmocka_unit_test(an_angle_says_that_there_are_no_units),
        cmocka_unit_test(a_record_needs_units),
        cmocka_unit_test(faults_before_the_first_unit_need_no_database),
        cmocka_unit_test(the_database_is_tried_again),
    };
    setenv("UDUNITS2_XML_PATH", "/nowhere/units.xml", 1);
    return cmocka_run_group_tests_name("describe without units", tests, NULL, NULL);
}
