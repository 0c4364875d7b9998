/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What cannot be measured is refused in words, and the result stays as it was. */
#include "measuring.h"

static bench of;

static void assert_refused_with(trn_measure_settings settings, trn_status status, const char *words)
{
    trn_measurement found;
    trn_measurement before;
    trn_error error = {.text = ""};
    memset(&found, 0x5A, sizeof found);
    memcpy(&before, &found, sizeof found);
    const trn_status got = trn_leaf_measure(&of.leaf, &of.record, &settings, NULL, &found, &error);
    if (got != status || !strstr(error.text, words))
        print_error("want ... %s ... in: %s\n", words, error.text);
    assert_int_equal(got, status);
    assert_int_equal(error.status, status);
    assert_non_null(strstr(error.text, words));
    assert_memory_equal(&found, &before, sizeof found);
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, NULL, &found, NULL), status);
}

static void assert_refused(trn_status status, const char *words)
{
    assert_refused_with(trn_default_measure_settings(), status, words);
}

static void make(trn_record_kind kind)
{
    make_leaf(&of, 0, false);
    make_record(&of, (making){.kind = kind, .noise = 0.01, .seed = 1});
}

static void one_direction_alone(void **state)
{
    (void)state;
    make(TRN_RECORD_LEAF_TORQUE);
    of.record.count = 60;
    assert_refused(TRN_OUT_OF_DOMAIN, "readings of opening alone: one direction cannot part balance from friction");
    of.record.readings = of.readings + 60;
    assert_refused(TRN_OUT_OF_DOMAIN, "readings of closing alone");
    of.record.count = 1;
    assert_refused(TRN_OUT_OF_DOMAIN, "1 reading from 8 to 66 degree: expected at least 4");
}

static void four_readings_are_enough(void **state)
{
    (void)state;
    make_leaf(&of, 0, false);
    make_record(&of, (making){.kind = TRN_RECORD_LEAF_TORQUE, .each_way = 2});
    trn_measurement found = fit_well(&of, (trn_measure_settings){.ordinary = true});
    assert_close(found.a_Nm.value, of.a_Nm, 1e-9);
    of.record.count = 3;
    assert_refused(TRN_OUT_OF_DOMAIN, "3 readings from 8 to 66 degree: expected at least 4");
}

static void angles_that_are_all_one(void **state)
{
    (void)state;
    make(TRN_RECORD_LEAF_TORQUE);
    for (size_t i = 0; i < of.record.count; i++)
        of.readings[i].angle_rad = 0.5;
    assert_refused(TRN_OUT_OF_DOMAIN, "do not part A, B and friction");
}

static void windows_that_are_none(void **state)
{
    (void)state;
    make(TRN_RECORD_LEAF_TORQUE);
    const double ends[][2] = {{0.6, 0.6}, {0.7, 0.6}, {-0.1, 0.6}, {0.1, 75.1 * BENCH_DEGREE}, {0.1, (double)NAN}};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        const trn_measure_settings settings = {
            .from_given = true, .from_rad = ends[i][0], .to_given = true, .to_rad = ends[i][1]};
        assert_refused_with(settings, TRN_OUT_OF_DOMAIN, "degree is none");
    }
    of.leaf.travel = NULL;
    assert_refused(TRN_MISSING_SECTION, "'travel'");
    assert_refused_with((trn_measure_settings){.from_given = true, .from_rad = 0.2}, TRN_MISSING_SECTION, "'travel'");
    const trn_measure_settings both = {.from_given = true, .from_rad = 0.2, .to_given = true, .to_rad = 1};
    trn_measurement found = fit_well(&of, both);
    assert_close(found.from_rad, 0.2, 1e-15);
}

static void sections_that_lack(void **state)
{
    (void)state;
    make(TRN_RECORD_MOTOR_TORQUE);
    of.leaf.drive = NULL;
    assert_refused(TRN_MISSING_SECTION, "'drive'");
    make(TRN_RECORD_MOTOR_POWER);
    of.leaf.drive = NULL;
    assert_refused(TRN_MISSING_SECTION, "'drive'");
    make(TRN_RECORD_SHAFT_TORQUE);
    of.leaf.gauged_shaft = NULL;
    assert_refused(TRN_MISSING_SECTION, "'gauged_shaft'");
    make(TRN_RECORD_SHAFT_STRAIN);
    of.leaf.gauged_shaft = NULL;
    assert_refused(TRN_MISSING_SECTION, "'gauged_shaft'");
    make(TRN_RECORD_LEAF_TORQUE);
    of.record.has_wind = true;
    of.leaf.surface_count = 0;
    assert_refused(TRN_MISSING_SECTION, "'surfaces'");
    make(TRN_RECORD_LEAF_TORQUE);
    of.leaf.trunnion = NULL;
    assert_refused_with((trn_measure_settings){.friction_by_reaction = true}, TRN_MISSING_SECTION, "'trunnion'");
    trn_measurement found = fit_well(&of, trn_default_measure_settings());
    assert_false(found.has_coefficient);
    make(TRN_RECORD_MOTOR_POWER);
    of.leaf.travel = NULL;
    const trn_measure_settings both = {.from_given = true, .from_rad = 0.2, .to_given = true, .to_rad = 1};
    assert_refused_with(both, TRN_MISSING_SECTION, "'travel'");
}

static void cylinders_and_dead_points(void **state)
{
    (void)state;
    make(TRN_RECORD_MOTOR_TORQUE);
    of.drive.kind = TRN_DRIVE_CYLINDER;
    of.drive.cylinder = (trn_cylinder){
        .on_leaf = {3, -1}, .anchor = {1, -6}, .bore_m = 0.28, .rod_m = 0.18, .count = 2, .pressure_Pa = 25e6};
    assert_refused(TRN_OUT_OF_DOMAIN, "cylinders");
    of.record.kind = TRN_RECORD_LEAF_TORQUE;
    trn_measurement found = fit_well(&of, trn_default_measure_settings());
    assert_true(found.used > 100);
    make(TRN_RECORD_MOTOR_TORQUE);
    of.drive.kind = TRN_DRIVE_STRUT;
    of.drive.strut.pinion = (trn_point){1, 6};
    assert_refused(TRN_DEAD_POINT, "dead point");
}

static void power_of_a_leaf_that_does_not_move(void **state)
{
    (void)state;
    make_leaf(&of, 0, false);
    make_record(&of, (making){.kind = TRN_RECORD_MOTOR_POWER, .has_time = true});
    for (size_t i = 29; i < 32; i++)
        of.readings[i].angle_rad = of.readings[30].angle_rad;
    assert_refused(TRN_OUT_OF_DOMAIN, "line 32 of the record: the leaf does not move in its direction");
    make_record(&of, (making){.kind = TRN_RECORD_MOTOR_POWER, .has_time = true});
    of.readings[10].run = 77;
    assert_refused(TRN_OUT_OF_DOMAIN, "line 12 of the record");
    /* Outside the window it may stand still. */
    make_record(&of, (making){.kind = TRN_RECORD_MOTOR_POWER, .has_time = true});
    for (size_t i = 0; i < 3; i++)
        of.readings[i].angle_rad = 7 * BENCH_DEGREE;
    static trn_measured_reading readings[BENCH_READINGS];
    const trn_measure_settings settings = trn_default_measure_settings();
    trn_measurement found;
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, readings, &found, NULL), TRN_OK);
    assert_int_equal(found.outside, 3);
    assert_true(isnan(readings[1].torque_Nm));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_direction_alone),
        cmocka_unit_test(four_readings_are_enough),
        cmocka_unit_test(angles_that_are_all_one),
        cmocka_unit_test(windows_that_are_none),
        cmocka_unit_test(sections_that_lack),
        cmocka_unit_test(cylinders_and_dead_points),
        cmocka_unit_test(power_of_a_leaf_that_does_not_move),
    };
    return cmocka_run_group_tests_name("measurements that cannot be made", tests, NULL, NULL);
}
