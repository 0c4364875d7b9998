/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is uncertain: how a description tells it, and the inputs that come of it. */
#include "describing.h"

#define PARTS(text)                                                     \
    "leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\n"               \
    "parts: [{name: girder, weight: 3 t, at: [4 m, 0.5 m], " text "}]\n"

#define SECTIONS                                                                                    \
    PARTS("gyration: 1 m")                                                                          \
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}, drag: 2 kN m}\n" \
    "surfaces: [{name: deck, from: [0 m, 0 m], to: [9 m, 0 m], width: 5 m, solidity: 0.6}]\n"       \
    "drive: {ratio: 900, efficiency: [0.9, 0.9]}\n"                                                 \
    "cases: [{name: windy, wind: {pressure: 200 Pa}}, {name: gust, wind: {speed: 10 m/s}, ice: 10 kg/m2}]\n"

static void assert_distribution(trn_distribution got, trn_distribution want)
{
    assert_int_equal(got.shape, want.shape);
    assert_int_equal(got.by_range, want.by_range);
    assert_int_equal(got.relative, want.relative);
    assert_close_at(got.sd, want.sd, 1e-15, 0);
    assert_close_at(got.low, want.low, 1e-15, 0);
    assert_close_at(got.high, want.high, 1e-15, 0);
    assert_true((got.group == NULL) == (want.group == NULL));
    assert_true(got.group == NULL || strcmp(got.group, want.group) == 0);
}

static void assert_part(const char *text, trn_distribution want)
{
    trn_description *description = read_well(text);
    assert_distribution(trn_description_leaf(description)->parts[0].uncertainty, want);
    trn_description_free(description);
}

static void of_a_part(void **state)
{
    (void)state;
    assert_part(PARTS("gyration: 0 m"), (trn_distribution){.shape = TRN_NORMAL});
    assert_part(PARTS("uncertainty: 3 %"), (trn_distribution){.relative = true, .sd = 0.03});
    assert_part(PARTS("uncertainty: {sd: 0.04}"), (trn_distribution){.relative = true, .sd = 0.04});
    assert_part(PARTS("uncertainty: {sd: 4 %, shape: triangular, group: steel}"),
                (trn_distribution){.shape = TRN_TRIANGULAR, .relative = true, .sd = 0.04, .group = "steel"});
    assert_part(PARTS("uncertainty: {range: [-100 %, 0 %]}"),
                (trn_distribution){.shape = TRN_UNIFORM, .by_range = true, .relative = true, .low = -1});
    assert_part(PARTS("uncertainty: {range: [-2 %, 5 %]}"),
                (trn_distribution){
                    .shape = TRN_UNIFORM, .by_range = true, .relative = true, .low = -0.02, .high = 0.05});
}

/* One entry of the section, and the input that it makes; a normal one's ends are the bounds of what can be. */
static void assert_input(const char *entry, trn_input want, trn_described list)
{
    char text[2000];
    trn_error error = {0};
    trn_input got = {0};
    trn_uncertain_place place;
    snprintf(text, sizeof text, "%suncertainties: [{%s}]\n", SECTIONS, entry);
    trn_description *description = read_well(text);
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->uncertainty_count, 1);
    assert_int_equal(trn_uncertainty_input(leaf, &leaf->uncertainties[0], &got, &place, &error), TRN_OK);
    assert_int_equal(got.shape, want.shape);
    assert_int_equal(place.list, list);
    if (want.shape == TRN_NORMAL) {
        assert_close_at(got.mean, want.mean, 1e-14, 1);
        assert_close(got.sd, want.sd, 1e-14);
    } else {
        assert_close_at(got.low, want.low, 1e-14, 1);
        assert_close_at(got.high, want.high, 1e-14, 1);
    }
    if (want.shape == TRN_TRIANGULAR) {
        assert_close_at(got.mode, want.mode, 1e-14, 1);
    }
    trn_description_free(description);
}

static trn_input normal(double mean, double sd)
{
    return (trn_input){.shape = TRN_NORMAL, .mean = mean, .sd = sd};
}

static trn_input even(double low, double high)
{
    return (trn_input){.shape = TRN_UNIFORM, .low = low, .high = high};
}

static void of_all_else(void **state)
{
    (void)state;
    const double newtons = 3000 * 9.80665;
    assert_input("of: weight, on: girder, sd: 2 %", normal(1, 0.02), TRN_DESCRIBED_PART);
    assert_input("of: weight, on: girder, sd: 1 kN", normal(1, 1000 / newtons), TRN_DESCRIBED_PART);
    assert_input("of: weight, on: girder, range: [2.9 t, 3.3 t]", even(2.9 / 3, 1.1), TRN_DESCRIBED_PART);
    assert_input("of: x, on: girder, sd: 20 mm", normal(0, 0.02), TRN_DESCRIBED_PART);
    assert_input("of: y, on: girder, range: [-1 cm, 2 cm]", even(-0.01, 0.02), TRN_DESCRIBED_PART);
    assert_input("of: moving friction, sd: 10 %", normal(0.12, 0.012), TRN_DESCRIBED_TRUNNION);
    assert_input("of: moving friction, sd: 0.02", normal(0.12, 0.02), TRN_DESCRIBED_TRUNNION);
    assert_input("of: starting friction, range: [-50 %, 50 %]", even(0.09, 0.27), TRN_DESCRIBED_TRUNNION);
    assert_input("of: moving friction, range: [0.08, 0.18], shape: triangular",
                 (trn_input){.shape = TRN_TRIANGULAR, .low = 0.08, .high = 0.18, .mode = 0.12}, TRN_DESCRIBED_TRUNNION);
    assert_input("of: drag, sd: 300 N m", normal(2000, 300), TRN_DESCRIBED_TRUNNION);
    assert_input("of: efficiency, sd: 0.03, shape: uniform", even(0.81 - 0.03 * sqrt(3), 0.81 + 0.03 * sqrt(3)),
                 TRN_DESCRIBED_DRIVE);
    assert_input("of: wind pressure, sd: 20 %", normal(1, 0.2), TRN_DESCRIBED_CASES);
    assert_input("of: wind pressure, on: windy, range: [100 Pa, 0.3 kPa]", even(0.5, 1.5), TRN_DESCRIBED_CASES);
    assert_input("of: wind speed, range: [8 m/s, 13 m/s]", even(0.8, 1.3), TRN_DESCRIBED_CASES);
    assert_input("of: solidity, on: deck, sd: 5 %, shape: triangular",
                 (trn_input){.shape = TRN_TRIANGULAR, .low = 0.6 - 0.03 * sqrt(6), .high = 0.6 + 0.03 * sqrt(6),
                             .mode = 0.6},
                 TRN_DESCRIBED_SURFACE);
    assert_input("of: ice, on: gust, range: [0 kg/m2, 15 kg/m2]", even(0, 1.5), TRN_DESCRIBED_CASES);
}

/* A normal distribution is cut at its bound, which lies beyond three standard deviations. */
static void cut_at_a_bound(void **state)
{
    (void)state;
    trn_error error;
    trn_input input;
    trn_description *description =
        read_well(SECTIONS "uncertainties: [{of: moving friction, sd: 0.04}, {of: efficiency, sd: 0.0633}]\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(trn_uncertainty_input(leaf, &leaf->uncertainties[0], &input, NULL, &error), TRN_OK);
    assert_same_bits(input.low, 0);
    assert_same_bits(input.high, 1);
    assert_int_equal(trn_uncertainty_input(leaf, &leaf->uncertainties[1], &input, NULL, &error), TRN_OK);
    assert_same_bits(input.low, 0.01);
    trn_description_free(description);
}

/* What an entry says, with the mark @ before its fault, and the words. */
static const struct {
    const char *entries;
    const char *words;
} refused[] = {
    {"@{of: weight, on: girder}",
     "key \"sd\" or \"range\" is missing: expected one, such as sd: 3 % or range: [-2 %, 5 %] or"},
    {"{of: weight, on: girder, sd: 1 %, @range: [1 %, 2 %]}", "an uncertainty has both sd and range"},
    {"{of: weight, on: girder, range: [1 %, 2 %], @sd: 1 %}", "an uncertainty has both sd and range"},
    {"{of: weight, on: girder, sd: @0 %}", "sd: \"0 %\" is out of bounds: expected a pure number over 0, at most 1"},
    {"{of: weight, on: girder, sd: @101 %}",
     "sd: \"101 %\" is out of bounds: expected a pure number over 0, at most 1"},
    {"{of: weight, on: girder, sd: @0 N}", "sd: \"0 N\" is out of bounds: expected a weight over 0"},
    {"{of: weight, on: girder, sd: @0.02}", "sd: a unit is missing: expected a weight"},
    {"{of: x, on: girder, sd: @2 %}", "sd: \"%\" has no place in a unit"},
    {"{of: weight, on: girder, range: [1 %, @1 %]}", "range: the range ends where it begins, or before"},
    {"{of: weight, on: girder, range: [1 kN, @0.9 kN]}", "range: the range ends where it begins, or before"},
    {"{of: weight, on: girder, range: [1 %, @2 kN]}", "range: one end is in per cent and one is not"},
    {"{of: weight, on: girder, range: [@-101 %, 2 %]}",
     "range: \"-101 %\" is out of bounds: expected a pure number of -100 %"},
    {"{of: weight, on: girder, range: @[1 %]}", "range: found a list of another length"},
    {"{of: weight, on: girder, range: @[1 %, 2 %, 3 %]}", "range: found a list of another length"},
    {"{of: weight, on: girder, range: @1 %}",
     "range: found a single value: expected two values such as [-2 %, 5 %] or"},
    {"{of: weight, on: girder, range: [1 %, 2 %], shape: @normal}", "shape: a normal distribution has no range"},
    {"{of: weight, on: girder, range: [1 %, 2 %], shape: @flat}", "shape: \"flat\" is not known"},
    {"{of: @girth, on: girder, sd: 1 %}", "of: \"girth\" is not known"},
    {"@{of: weight, sd: 1 %}", "key \"on\" is missing: expected the name of what has the weight"},
    {"{of: efficiency, @on: drive, sd: 1 %}", "\"on\" does not go with efficiency"},
    {"@{of: weight, on: grider, sd: 1 %}", "the leaf has no weight of 'grider'"},
    {"{of: drag, sd: 1 %}, @{of: drag, sd: 2 %}", "the uncertainty of this drag is given twice"},
    {"{of: x, on: girder, sd: 1 m}, {of: y, on: girder, sd: 1 m}, @{of: x, on: girder, sd: 2 m}",
     "the uncertainty of this x is given twice"},
    {"{of: wind pressure, on: windy, sd: 1 %}, @{of: wind pressure, on: windy, sd: 1 %}",
     "the uncertainty of this wind pressure is given twice"},
};

static void what_is_not_right_is_refused_at_its_place(void **state)
{
    (void)state;
    char text[2000];
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        snprintf(text, sizeof text, "%suncertainties: [%s]\n", SECTIONS, refused[i].entries);
        assert_refused_at_mark(text, refused[i].words);
    }
    assert_refused_at_mark(PARTS("uncertainty: @101 %"), "uncertainty: \"101 %\" is out of bounds");
    assert_refused_at_mark(PARTS("uncertainty: {sd: @0}"), "sd: \"0\" is out of bounds");
    assert_refused_at_mark(PARTS("uncertainty: {range: [-1, @-1.5]}"), "range: \"-1.5\" is out of bounds");
    assert_refused_at_mark(PARTS("uncertainty: @{group: steel}"), "key \"sd\" or \"range\" is missing");
    assert_refused_at_mark(PARTS("uncertainty: 2 %") "uncertainties: [@{of: weight, on: girder, sd: 1 %}]\n",
                           "the part tells its own uncertainty of weight: expected one of the two");
    assert_refused_at_mark(
        PARTS("uncertainty: {range: [1 %, 2 %]}") "uncertainties: [@{of: weight, on: girder, sd: 1 %}]\n",
        "the part tells its own uncertainty of weight");
    trn_description_free(read_well(LEAST
                                   "  - {name: beam, weight: 1 t, at: [1 m, 1 m]}\n"
                                   "uncertainties: [{of: x, on: girder, sd: 1 m}, {of: x, on: beam, sd: 1 m}]\n"));
    trn_description_free(read_well(
        PARTS("uncertainty: 2 %") "uncertainties: [{of: x, on: girder, sd: 1 m}, {of: y, on: girder, sd: 1 m}]\n"));
}

/* Per cent of all but a weight's share is told by its sign; the unit weight of a block is its weight told otherwise. */
static void a_unit_weight_is_a_weight_told_twice(void **state)
{
    (void)state;
    static const char block[] =
        "leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts:\n"
        "  - {name: b, unit_weight: 1 t/m3, width: 1 m, outline: [[0 m, 0 m], [1 m, 0 m], [1 m, 1 m]]}\n";
    char text[2000];
    snprintf(text, sizeof text,
             "%suncertainties: [{of: unit weight, on: b, sd: 1 %%}, @{of: weight, on: b, sd: 1 %%}]\n", block);
    assert_refused_at_mark(text, "the uncertainty of this weight is given twice");
}

/* What no description can say, a program can: it is refused in words. */
static void refused_from_a_program(void **state)
{
    (void)state;
    trn_description *description = read_well(SECTIONS);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_error error = {0};
    trn_input input;
    trn_uncertainty of = {.of = TRN_UNCERTAIN_DRAG, .distribution = {.by_range = true, .low = 1, .high = 2}};
    assert_int_equal(trn_uncertainty_input(leaf, &of, &input, NULL, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "drag of the leaf: expected a range"));
    of.of = TRN_UNCERTAIN_WEIGHT;
    assert_int_equal(trn_uncertainty_input(leaf, &of, &input, NULL, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "the leaf has no weight"));
    for (int i = 0; i < TRN_UNCERTAIN_COUNT; i++) {
        assert_true(strlen(trn_uncertain_word((trn_uncertain)i)) > 0);
    }
    trn_description_free(description);
}

static void assert_entry_refused(const char *entry, int column, const char *words)
{
    char text[2000];
    snprintf(text, sizeof text, "%suncertainties: [{%s}]\n", SECTIONS, entry);
    assert_refused(text, 9, column, words);
}

static void what_contradicts_itself_is_refused(void **state)
{
    (void)state;
    assert_entry_refused("of: weight, on: girder, range: [2 %, 3 t]", 55, "one end is in per cent and one is not");
    assert_entry_refused("of: efficiency, on: drive, sd: 2 %", 34, "\"on\" does not go with efficiency");
    assert_entry_refused("of: drag, sd: 5 %}, {of: drag, sd: 6 %", 38, "of this drag is given twice");
    assert_refused("leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\n"
                   "parts: [{name: block, unit_weight: 24 kN/m3, width: 2 m, "
                   "outline: [[0 m, 0 m], [1 m, 0 m], [0 m, 1 m]]}]\n"
                   "uncertainties: [{of: weight, on: block, sd: 2 %}, {of: unit weight, on: block, sd: 3 %}]\n",
                   5, 51, "of this unit weight is given twice");
    assert_refused(PARTS("uncertainty: 3 %") "uncertainties: [{of: weight, on: girder, sd: 2 %}]\n", 5, 17,
                   "tells its own uncertainty of weight");
    assert_refused(PARTS("uncertainty: {range: [-2 %, 5 %]}") "uncertainties: [{of: weight, on: girder, sd: 2 %}]\n",
                   5, 17, "tells its own uncertainty of weight");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(of_a_part),
        cmocka_unit_test(of_all_else),
        cmocka_unit_test(cut_at_a_bound),
        cmocka_unit_test(what_is_not_right_is_refused_at_its_place),
        cmocka_unit_test(a_unit_weight_is_a_weight_told_twice),
        cmocka_unit_test(refused_from_a_program),
        cmocka_unit_test(what_contradicts_itself_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
