/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The defaults that a description says it took. */
#include "describing.h"

static const trn_taken_default *find(const trn_description *description, const char *of, const char *key,
                                     const char *value)
{
    const trn_taken_default *taken = NULL;
    const size_t count = trn_description_defaults(description, &taken);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(taken[i].of, of) == 0 && strcmp(taken[i].key, key) == 0 && strcmp(taken[i].value, value) == 0) {
            return &taken[i];
        }
    }
    return NULL;
}

static void each_says_what_how_often_and_where(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "cases:\n"
                                                   "  - {name: a, wind: {speed: 10 m/s}}\n"
                                                   "  - {name: b, friction: starting, motor_limit: 1}\n"
                                                   "  - {name: c, accelerating: true}\n");
    const trn_taken_default *limit = find(description, "a case", "motor_limit", "1");
    assert_non_null(limit);
    assert_int_equal(limit->times, 2);
    assert_int_equal(limit->line, LEAST_LINES + 2);
    const trn_taken_default *friction = find(description, "a case", "friction", "moving");
    assert_non_null(friction);
    assert_int_equal(friction->times, 2);
    assert_int_equal(find(description, "a case", "accelerating", "false")->times, 2);
    assert_int_equal(find(description, "a wind", "density", "1.25 kg/m3")->times, 1);
    assert_int_equal(find(description, "a wind", "law", "projected")->times, 1);
    assert_int_equal(find(description, "a part", "count", "1")->line, LEAST_LINES);
    assert_int_equal(find(description, "the description", "units", "metric")->times, 1);
    trn_description_free(description);
}

static void what_is_given_is_no_default(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nunits: metric\nparts:\n"
                  "  - {name: girder, weight: 3 t, at: [4 m, 0.5 m], count: 1, gyration: 0 m}\n"
                  "trunnion: {journal_diameter: 0.3 m, friction: {starting: 0.2, moving: 0.1}, drag: 0 N m}\n"
                  "cases: [{name: c, friction: moving, accelerating: false, ice: 0 N/m2, motor_limit: 1}]\n");
    const trn_taken_default *taken = NULL;
    assert_int_equal(trn_description_defaults(description, &taken), 0);
    trn_description_free(description);
}

/* A number of 0 says of most keys that there is nothing of the kind; of some someone may have forgotten it. */
static void some_numbers_of_0_are_told(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "trunnion: {journal_diameter: 0.3 m, friction: {starting: 0.2, moving: 0.1}}\n");
    assert_non_null(find(description, "trunnion", "drag", "0 N m"));
    assert_non_null(find(description, "a part", "gyration", "0 m"));
    assert_null(find(description, "a part", "weight_per_length", "0 N/m"));
    assert_null(find(description, "the description", "trunnion", "none, frictionless"));
    assert_non_null(find(description, "the description", "cases", "one, still air"));
    trn_description_free(description);
}

/* A default that what else is given leaves without a meaning was not taken. */
static void what_has_no_meaning_is_not_told(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "cases:\n"
                        "  - {name: a, wind: {pressure: 10 Pa}}\n"
                        "  - {name: b, wind: {speed: 9 m/s, law: incidence, normal_coefficient: [[0 degree, 0], [90 "
                        "degree, 1]]}}\n"
                        "wind_limits: {law: incidence, normal_coefficient: [[0 degree, 0], [90 degree, 1]]}\n");
    assert_null(find(description, "a wind", "coefficient", "1"));
    assert_null(find(description, "wind_limits", "coefficient", "1"));
    assert_int_equal(find(description, "a wind", "density", "1.25 kg/m3")->times, 1);
    assert_non_null(find(description, "wind_limits", "density", "1.25 kg/m3"));
    trn_description_free(description);
}

/* What a check fills in: motors run as many as are installed, and brings different values for one key. */
static void values_may_differ(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "motors: {installed: 3, power: 5 kW, speed: 900 rpm}\n");
    assert_non_null(find(description, "motors", "running", "3"));
    trn_description_free(description);
    description = read_well(
        LEAST
        "motors: {installed: 1, power: 5 kW, speed: 900 rpm, law: induction, synchronous: 1000 rpm, breakdown: 2}\n");
    assert_non_null(find(description, "motors", "control", "line"));
    assert_null(find(description, "motors", "control", "reference"));
    trn_description_free(description);
}

/* More kinds than there is room for at first. */
static void many_kinds_have_room(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "surfaces: [{name: s, from: [0 m, 0 m], to: [9 m, 0 m], width: 4 m}]\n"
                        "motors: {installed: 3, power: 5 kW, speed: 900 rpm}\n"
                        "brakes: [{name: b, torque: 2 N m, ratio: 9, delay: 0 s, set_time: 0 s}]\n"
                        "cases: [{name: c, wind: {speed: 10 m/s}}]\n"
                        "holding: [{name: h, wind: {speed: 10 m/s}}]\n"
                        "wind_limits: {}\n");
    const trn_taken_default *taken = NULL;
    const size_t count = trn_description_defaults(description, &taken);
    assert_true(count > 16);
    for (size_t i = 0; i < count; i++) {
        assert_true(taken[i].times >= 1 && taken[i].line >= 1 && taken[i].value[0] != '\0');
    }
    assert_int_equal(find(description, "a wind", "coefficient", "1")->times, 2);
    assert_int_equal(find(description, "a part", "count", "1")->times, 1);
    trn_description_free(description);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_says_what_how_often_and_where),
        cmocka_unit_test(what_is_given_is_no_default),
        cmocka_unit_test(some_numbers_of_0_are_told),
        cmocka_unit_test(what_has_no_meaning_is_not_told),
        cmocka_unit_test(values_may_differ),
        cmocka_unit_test(many_kinds_have_room),
    };
    return cmocka_run_group_tests_name("describe defaults", tests, NULL, NULL);
}
