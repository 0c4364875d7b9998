/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "describing.h"

/* A text with a value at line 3, column 6. */
static void refuse_toe(const char *toe, const char *words)
{
    char *text = with_toe(toe);
    assert_refused(text, 3, 6, words);
    free(text);
}

static void every_fault_of_a_text_is_told_in_the_order_of_places(void **state)
{
    (void)state;
    static const char text[] = "leaf: x\n"
                               "opens_to: 130 degree\n"
                               "toe: 12\n"
                               "parts:\n"
                               "  - {name: a, weight: -1 t, at: [1 m, 2 kg]}\n"
                               "  - {name: a, weight: 1 t, at: [1 m, 2 m]}\n"
                               "colour: grey\n";
    trn_faults faults = read_badly(text, strlen(text));
    assert_int_equal(faults.count, 6);
    assert_false(faults.more);
    assert_fault(&faults, 0, 2, 11, "at most 120 degree");
    assert_fault(&faults, 1, 3, 6, "a unit is missing");
    assert_fault(&faults, 2, 5, 23, "a weight over 0");
    assert_fault(&faults, 3, 5, 39, "a length");
    assert_fault(&faults, 4, 6, 12, "used before, in line 5");
    assert_fault(&faults, 5, 7, 1, "unknown key \"colour\"");
}

static trn_faults read_parts_without_weight(int count)
{
    char *text = repeated("leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts:\n",
                          "  - {weight: 0 t, at: [1 m, 0 m], name: a}\n", "", (size_t)count * 44 - 40);
    trn_faults faults = read_badly(text, strlen(text));
    free(text);
    return faults;
}

static void twenty_faults_are_kept_and_more_are_said_to_follow(void **state)
{
    (void)state;
    trn_faults faults = read_parts_without_weight(60);
    assert_int_equal(faults.count, TRN_FAULTS_MAX);
    assert_true(faults.more);
    /* The first ones: a zero weight in each line, and from the second on a name used before. */
    assert_fault(&faults, 0, 5, 14, "a weight over 0");
    assert_fault(&faults, 1, 6, 14, "a weight over 0");
    assert_fault(&faults, 2, 6, 41, "used before");
    assert_fault(&faults, 19, 15, 14, "a weight over 0");
}

static void an_early_fault_found_late_takes_its_place(void **state)
{
    (void)state;
    /* Names are compared after all parts were read: the fault in line 6 is found after twenty others. */
    trn_faults faults = read_parts_without_weight(30);
    for (size_t i = 1; i < faults.count; i++) {
        const trn_fault *before = &faults.at[i - 1];
        const trn_fault *after = &faults.at[i];
        assert_true(before->line < after->line || (before->line == after->line && before->column < after->column));
    }
}

static void columns_count_characters(void **state)
{
    (void)state;
    assert_refused("leaf: \xC3\xBC\xF0\x9F\x98\x80\nopens_to: 1 rad\ntoe: 1 m\n"
                   "parts: [{name: \xC3\xBC\xF0\x9F\x98\x80, weight: 1, at: [1 m, 0 m]}]\n",
                   4, 28, "a unit is missing");
    assert_refused("leaf: \xC3\xBC\xE2\x82\xAC\x01\n", 1, 9, "U+0001");
}

static void the_mark_of_byte_order_is_no_column(void **state)
{
    (void)state;
    assert_refused("\xEF\xBB\xBFleaf: \x02\n", 1, 7, "U+0002");
    assert_refused("\xEF\xBB\xBF[leaf]\n", 1, 1, "found a list");
    assert_refused("leaf: \xEF\xBB\xBF\n", 1, 7, "U+FEFF");
}

static void a_missing_key_is_told_where_its_mapping_starts(void **state)
{
    (void)state;
    assert_refused(LEAST "duty: {hold_open: 6 min}\n", LEAST_LINES + 1, 7, "key \"openings_per_hour\" is missing");
    assert_refused(LEAST "duty:\n  hold_open: 6 min\n", LEAST_LINES + 2, 3, "key \"openings_per_hour\" is missing");
}

static void a_doubled_key_is_told_at_the_second(void **state)
{
    (void)state;
    assert_refused(LEAST "toe: 3 m\n", LEAST_LINES + 1, 1,
                   "\"toe\" is given twice in the description: first in line 3");
    assert_refused(LEAST "duty: {hold_open: 6 min, openings_per_hour: 1, 'hold_open': 6 min}\n", LEAST_LINES + 1, 48,
                   "\"hold_open\" is given twice in duty");
}

static void an_unknown_key_gets_the_nearest_known_one(void **state)
{
    (void)state;
    assert_refused(LEAST "unit: us\n", LEAST_LINES + 1, 1, "did you mean \"units\"");
    assert_refused(LEAST "posted_wnid: 3 m/s\n", LEAST_LINES + 1, 1, "did you mean \"posted_wind\"");
    assert_refused(LEAST "teo: 3 m\n", LEAST_LINES + 1, 1, "did you mean \"toe\"");
    assert_refused(LEAST "Duty: {}\n", LEAST_LINES + 1, 1, "did you mean \"duty\"");
    assert_refused(LEAST "wibble: 3\n", LEAST_LINES + 1, 1, "expected one of leaf, opens_to, toe");
}

static void a_misspelt_key_is_not_missing_as_well(void **state)
{
    (void)state;
    assert_refused("laef: x\nopens_to: 1 rad\ntoe: 1 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n", 1, 1,
                   "did you mean \"leaf\"");
    assert_refused(LEAST "cases: [{name: a, wind: {sped: 3 m/s}}]\n", LEAST_LINES + 1, 26, "did you mean \"speed\"");
    assert_refused(LEAST "  - {name: b, weight: 1 t, att: [1 m, 0 m]}\n", LEAST_LINES + 1, 28, "did you mean \"at\"");
}

static void a_fault_behind_two_aliases_is_told_once(void **state)
{
    (void)state;
    assert_refused(LEAST "surfaces:\n  - {name: a, from: &p [0 m, 0], to: [1 m, 0 m], width: 1 m}\n"
                         "  - {name: b, from: *p, to: [2 m, 0 m], width: 1 m}\n",
                   LEAST_LINES + 2, 30, "a unit is missing");
}

static void texts_are_one_line_of_fair_length(void **state)
{
    (void)state;
    char *name = repeated("leaf: ", "x", "", 200);
    char *text =
        repeated(name, "x", "\nopens_to: 1 rad\ntoe: 1 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n", 0);
    assert_refused(text, 1, 7, "has 202 bytes: expected at most 200");
    free(text);
    free(name);
    refuse_toe("\"\"", "value is missing");
    static const char *const breaks[] = {"\\t", "\\n", "\\x7f", "\\x85", "\\x9b"};
    for (size_t i = 0; i < sizeof breaks / sizeof *breaks; i++) {
        char broken[256];
        snprintf(broken, sizeof broken, LEAST "cases: [{name: \"a%sb\"}]\n", breaks[i]);
        assert_refused(broken, LEAST_LINES + 1, 16, "a control character");
    }
}

static void read_named(const char *name, bool good, const char *words)
{
    char text[256];
    snprintf(text, sizeof text, LEAST "cases: [{name: \"%s\"}]\n", name);
    if (good) {
        trn_description_free(read_well(text));
    } else {
        assert_refused(text, LEAST_LINES + 1, 16, words);
    }
}

/* Two names that look alike are not told apart by anyone. */
static void what_nobody_sees_is_no_part_of_a_text(void **state)
{
    (void)state;
    static const unsigned unseen[] = {0x2028, 0x2029,  0xAD,    0x34F,   0x61C,   0x115F,   0x1160,
                                      0x17B4, 0x180E,  0x200B,  0x200D,  0x202E,  0x2060,   0x2069,
                                      0x206F, 0x3164,  0xFDD0,  0xFE0F,  0xFFA0,  0xFFF9,   0xFFFE,
                                      0xFFFF, 0x1FFFE, 0x1D173, 0xE0041, 0xE0100, 0x10FFFF, 0xFEFF};
    static const unsigned seen[] = {0xA1, 0xE9, 0x621, 0x905, 0x2013, 0x2212, 0x4E00, 0xAC00, 0x1F309, 0xFFFD, 0x10000};
    static const unsigned blank[] = {0x20, 0xA0, 0x1680, 0x2003, 0x202F, 0x205F, 0x2800, 0x3000};
    char name[48];
    for (size_t i = 0; i < sizeof unseen / sizeof *unseen; i++) {
        char words[48];
        snprintf(name, sizeof name, "a\\U%08Xb", unseen[i]);
        snprintf(words, sizeof words, "the text holds U+%04X, which cannot be seen", unseen[i]);
        read_named(name, false, words);
    }
    for (size_t i = 0; i < sizeof seen / sizeof *seen; i++) {
        snprintf(name, sizeof name, "\\U%08X", seen[i]);
        read_named(name, true, "");
    }
    for (size_t i = 0; i < sizeof blank / sizeof *blank; i++) {
        char escaped[16];
        snprintf(escaped, sizeof escaped, "\\U%08X", blank[i]);
        for (size_t k = 0; k < 4; k++) {
            snprintf(name, sizeof name, "%s%s%s", k >= 2 ? "a" : "", escaped, k % 2 == 1 ? "b" : "");
            read_named(name, k == 3, "begins or ends with a blank");
        }
    }
}

static void what_yaml_can_do_beyond_values_is_refused(void **state)
{
    (void)state;
    refuse_toe("!!str 24 m", "a tag");
    refuse_toe("!len 24 m", "a tag (!len) is not read");
    assert_refused(LEAST "duty: {<<: {hold_open: 1 s}, openings_per_hour: 1, hold_open: 1 s}\n", LEAST_LINES + 1, 8,
                   "merge");
    assert_refused(LEAST "---\nleaf: y\n", LEAST_LINES + 1, 1, "second document");
    assert_refused(LEAST "{a: b}: c\n", LEAST_LINES + 1, 1, "no plain text");
    assert_refused(LEAST "duty: *nothing\n", LEAST_LINES + 1, 7, "alias *nothing has no anchor");
}

static void a_tag_does_not_hide_the_other_faults(void **state)
{
    (void)state;
    static const char text[] = LEAST "units: !x metric\nposted_wind: 3\n";
    trn_faults faults = read_badly(text, strlen(text));
    assert_int_equal(faults.count, 2);
    assert_fault(&faults, 0, LEAST_LINES + 1, 8, "a tag (!x)");
    assert_fault(&faults, 1, LEAST_LINES + 2, 14, "a unit is missing");
}

static void a_fault_of_yaml_has_the_words_and_place_of_libyaml(void **state)
{
    (void)state;
    assert_refused("leaf: [x\ntoe: 3 m\n", 2, 4, "did not find expected ',' or ']'");
    assert_refused("leaf: x: y\n", 1, 8, "mapping values are not allowed");
    assert_refused("duty:\n\thold_open: 1\n", 2, 1, "a tab");
}

static void nothing_at_all_is_a_fault(void **state)
{
    (void)state;
    assert_refused("", 1, 1, "the description is empty");
    assert_refused("# only words\n", 1, 1, "the description is empty");
    assert_refused("~\n", 1, 1, "the description is empty");
    assert_refused("---\n", 1, 1, "the description is empty");
    static const char *const nothings[] = {"", "~", "null", "Null", "NULL"};
    for (size_t i = 0; i < sizeof nothings / sizeof *nothings; i++) {
        char text[256];
        snprintf(text, sizeof text, LEAST "duty: %s\n", nothings[i]);
        assert_refused(text, LEAST_LINES + 1, i == 0 ? 6 : 7, "duty: found nothing: expected keys with values");
    }
    assert_refused(LEAST "duty: 'null'\n", LEAST_LINES + 1, 7, "duty: found a single value: expected keys");
}

static void a_message_shows_no_control_characters_and_no_half_ones(void **state)
{
    (void)state;
    refuse_toe("\"\\e[31m\"", "\"?[31m\" does not start with a number");
    refuse_toe("\"\\x9b\\u2028z\"", "\"?????z\" does not start with a number");
    char *umlauts = repeated("\"x", "\xC3\xBC", "\"", 180);
    char *text = with_toe(umlauts);
    trn_faults faults = read_badly(text, strlen(text));
    assert_non_null(strstr(faults.at[0].text, "\xC3\xBC...\" does not start"));
    free(text);
    free(umlauts);
}

static void numbers_of_a_section_are_held_against_each_other(void **state)
{
    (void)state;
    assert_refused(LEAST "motors: {installed: 2, running: 3, power: 1 kW, speed: 1 rpm}\n", LEAST_LINES + 1, 33,
                   "expected at most 2");
    assert_refused(LEAST "trunnion: {journal_diameter: 1 m, friction: {moving: 0.2, starting: 0.1}}\n", LEAST_LINES + 1,
                   54, "more than starting");
    assert_refused(LEAST "travel: {speed: 1 deg/s, accelerate_in: 1 s, creep: 1, near_closed: 9 deg, near_open: 9 deg, "
                         "decelerate_in: 1 s}\n",
                   LEAST_LINES + 1, 87, "near_closed below near_open");
    assert_refused(LEAST
                   "travel: {speed: 1 deg/s, accelerate_in: 1 s, creep: 1, near_closed: 9 deg, near_open: 70 deg, "
                   "decelerate_in: 1 s}\n",
                   LEAST_LINES + 1, 87, "less than opens_to");
}

/* A list of so many items, all alike, behind the least leaf; the caller frees it. */
static char *list_of(const char *start, const char *item, const char *end, size_t count)
{
    char *text = repeated("", item, "", count * strlen(item) - 1);
    char *whole = malloc(strlen(start) + strlen(text) + strlen(end) + 1);
    assert_non_null(whole);
    stpcpy(stpcpy(stpcpy(whole, start), text), end);
    free(text);
    return whole;
}

static void lists_have_a_least_and_a_most(void **state)
{
    (void)state;
    const int line = LEAST_LINES + 1;
    assert_refused("leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts: []\n", 4, 8,
                   "parts: the list of parts has 0: expected at least 1");
    assert_refused(LEAST "cases: []\n", line, 8, "cases: the list of cases has 0: expected at least 1");
    assert_refused(LEAST "motors: {installed: 1, power: 1 kW, speed: 9 rpm, law: table, table: [[0 rpm, 1 N m]]}\n",
                   line, 70, "table: the list of points has 1: expected at least 2");
    assert_refused(LEAST "wind_limits: {law: incidence, normal_coefficient: [[0 degree, 0]]}\n", line, 51,
                   "normal_coefficient: the list of points has 1: expected at least 2");
    assert_refused(LEAST "cases: [{name: a, wind: {speed: 1 m/s, law: incidence, normal_coefficient: []}}]\n", line, 76,
                   "normal_coefficient: the list of points has 0: expected at least 2");
    assert_refused(LEAST "drive: {ratio: 2, efficiency: []}\n", line, 31, "efficiency: the list is empty");
    assert_refused(LEAST "  - {name: a, unit_weight: 1 t/m3, width: 1 m, outline: [[0 m, 0 m], [1 m, 0 m]]}\n", line,
                   57, "outline: the list of corners has 2: expected at least 3");
    char *text =
        list_of(LEAST "  - {name: a, unit_weight: 1 t/m3, width: 1 m, outline: [", "[1 m, 1 m], ", "]}\n", 257);
    assert_refused(text, line, 57, "outline: the list of corners has 257: expected at most 256");
    free(text);
    text = list_of(LEAST "steps: [", "{name: a, takes: 1 s}, ", "]\n", 65);
    assert_refused(text, line, 8, "steps: the list of steps has 65: expected at most 64");
    free(text);
    text = list_of(LEAST "steps: [{name: a, takes: 1 s, gives: [", "lamps red, ", "]}]\n", 17);
    assert_refused(text, line, 38, "gives: the list of conditions has 17: expected at most 16");
    free(text);
    text = list_of(LEAST "uncertainties: [", "{of: efficiency, sd: 1 %}, ", "]\n", 1001);
    assert_refused(text, line, 16, "uncertainties: the list of uncertainties has 1001: expected at most 1000");
    free(text);
}

static void names_are_compared_within_their_section_only(void **state)
{
    (void)state;
    trn_description_free(read_well(
        LEAST "surfaces: [{name: girder, from: [0 m, 0 m], to: [1 m, 0 m], width: 1 m}]\ncases: [{name: girder}]\n"));
    assert_refused(LEAST "cases: [{name: a}, {name: b}, {name: a}]\n", LEAST_LINES + 1, 38, "used before");
}

static void pockets_of_both_bodies_have_different_names(void **state)
{
    (void)state;
    assert_refused(
        LEAST
        "pockets: [{name: p, at: [1 m, 1 m], block: 1 kg, blocks: 0, room: 1}]\n"
        "linked_counterweight: {pivot: [-9 m, 6 m], pin_on_leaf: [-5 m, 1 m], pin_on_counterweight: [-14 m, 7 m],\n"
        "  parts: [{name: w, weight: 1 t, at: [1 m, 1 m]}],\n"
        "  pockets: [{name: p, at: [1 m, 1 m], block: 1 kg, blocks: 0, room: 1}]}\n",
        LEAST_LINES + 4, 20, "used before, in line 6");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_fault_of_a_text_is_told_in_the_order_of_places),
        cmocka_unit_test(twenty_faults_are_kept_and_more_are_said_to_follow),
        cmocka_unit_test(an_early_fault_found_late_takes_its_place),
        cmocka_unit_test(columns_count_characters),
        cmocka_unit_test(the_mark_of_byte_order_is_no_column),
        cmocka_unit_test(a_missing_key_is_told_where_its_mapping_starts),
        cmocka_unit_test(a_doubled_key_is_told_at_the_second),
        cmocka_unit_test(an_unknown_key_gets_the_nearest_known_one),
        cmocka_unit_test(a_misspelt_key_is_not_missing_as_well),
        cmocka_unit_test(a_fault_behind_two_aliases_is_told_once),
        cmocka_unit_test(texts_are_one_line_of_fair_length),
        cmocka_unit_test(what_nobody_sees_is_no_part_of_a_text),
        cmocka_unit_test(what_yaml_can_do_beyond_values_is_refused),
        cmocka_unit_test(a_tag_does_not_hide_the_other_faults),
        cmocka_unit_test(a_fault_of_yaml_has_the_words_and_place_of_libyaml),
        cmocka_unit_test(nothing_at_all_is_a_fault),
        cmocka_unit_test(a_message_shows_no_control_characters_and_no_half_ones),
        cmocka_unit_test(numbers_of_a_section_are_held_against_each_other),
        cmocka_unit_test(lists_have_a_least_and_a_most),
        cmocka_unit_test(names_are_compared_within_their_section_only),
        cmocka_unit_test(pockets_of_both_bodies_have_different_names),
    };
    return cmocka_run_group_tests_name("describe faults", tests, NULL, NULL);
}
