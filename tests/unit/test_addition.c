/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "describing.h"
#include "trunnion/addition.h"
#include "trunnion/balance.h"

#define G0 9.80665

#define SECTIONS                                                                                 \
    LEAST "surfaces:\n"                                                                          \
          "  - {name: deck, from: [1 m, 0.5 m], to: [11 m, 1.5 m], width: 6 m, solidity: 0.5}\n" \
          "  - {name: walk way, from: [1 m, 1 m], to: [3 m, 1 m], width: 1 m}\n"                 \
          "pockets:\n"                                                                           \
          "  - {name: heel pocket, at: [-3 m, 0.5 m], block: 40 kg, blocks: 10, room: 30}\n"     \
          "linked_counterweight:\n"                                                              \
          "  pivot: [-4 m, 3 m]\n"                                                               \
          "  pin_on_leaf: [-2 m, 0.5 m]\n"                                                       \
          "  pin_on_counterweight: [-6 m, 3.5 m]\n"                                              \
          "  parts: [{name: box, weight: 5 t, at: [-6 m, 3 m]}]\n"                               \
          "  pockets: [{name: box pocket, at: [-6.2 m, 3.1 m], block: 40 kg, blocks: 4, room: 9}]\n"

static trn_description *with(const char *const *texts, size_t count)
{
    trn_description *description = read_well(SECTIONS);
    for (size_t i = 0; i < count; i++) {
        trn_error error = {.text = ""};
        trn_status status = trn_description_add(description, texts[i], &error);
        if (status != TRN_OK) {
            print_error("%s: %s\n", texts[i], error.text);
        }
        assert_int_equal(status, TRN_OK);
    }
    return description;
}

static trn_description *with_one(const char *text)
{
    return with(&text, 1);
}

static const trn_part *last_part(const trn_description *description)
{
    const trn_leaf *leaf = trn_description_leaf(description);
    return &leaf->parts[leaf->part_count - 1];
}

static trn_body body_of(const trn_description *description)
{
    return trn_leaf_body(trn_description_leaf(description));
}

static void weight_per_area_lies_on_the_whole_surface(void **state)
{
    (void)state;
    trn_description *description = with_one("overlay: 35 kg/m2 on deck");
    const trn_part *part = last_part(description);
    assert_string_equal(part->name, "overlay");
    const trn_body body = trn_part_body(part, (trn_point){0, 0});
    const double length = sqrt(101);
    assert_close(body.weight_N, 35 * G0 * 6 * length, 1e-14);
    assert_close(body.a_Nm, 35 * G0 * 6 * length * 6, 1e-14);
    assert_close(body.b_Nm, 35 * G0 * 6 * length * 1, 1e-14);
    assert_close(body.inertia_kg_m2, 35 * 6 * length * (101.0 / 12 + 37), 1e-14);
    trn_description_free(description);
}

static void a_weight_at_a_point(void **state)
{
    (void)state;
    trn_description *description = with_one(" cable tray :120 kg at[ 6 m,0.9 m ] ");
    const trn_part *part = last_part(description);
    assert_string_equal(part->name, "cable tray");
    assert_int_equal(part->shape, TRN_SHAPE_POINT);
    assert_close(part->weight_N, 120 * G0, 1e-15);
    assert_close(part->at.x, 6, 0);
    assert_close(part->at.y, 0.9, 0);
    trn_description_free(description);
}

static void a_line_takes_weight_or_weight_per_length(void **state)
{
    (void)state;
    static const char *const texts[] = {"paint: 0.4 kN/m from [1 m, 0.8 m] to [21 m, 0.8 m]",
                                        "rail: 8 kN from [1 m, 0.8 m] to [21 m, 0.8 m]",
                                        "no rail: -8 kN from [1 m, 0.8 m]to [21 m, 0.8 m]"};
    trn_description *description = with(texts, 3);
    const trn_part *parts = trn_description_leaf(description)->parts;
    const trn_point origin = {0, 0};
    for (size_t i = 1; i <= 3; i++) {
        const double sign = i == 3 ? -1 : 1;
        const trn_body body = trn_part_body(&parts[i], origin);
        assert_close(body.weight_N, sign * 8000, 1e-14);
        assert_close(body.a_Nm, sign * 8000 * 11, 1e-14);
        assert_close(body.b_Nm, sign * 8000 * 0.8, 1e-14);
        assert_close(body.inertia_kg_m2, sign * 8000 / G0 * (400.0 / 12 + 121.64), 1e-14);
    }
    trn_description_free(description);
}

static void blocks_go_into_either_body(void **state)
{
    (void)state;
    static const char *const texts[] = {"blocks: +12 in heel pocket", "less: -4 in box pocket",
                                        "more: 3 in heel pocket"};
    trn_description *description = with(texts, 3);
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->pockets[0].blocks, 25);
    assert_int_equal(leaf->linked_counterweight->pockets[0].blocks, 0);
    assert_int_equal(leaf->part_count, 1);
    trn_description_free(description);
}

static void additions_superpose(void **state)
{
    (void)state;
    static const char *const texts[] = {"overlay: 35 kg/m2 on deck", "cable: 120 kg at [6 m, 0.9 m]",
                                        "old asphalt: -20 kg/m2 on walk way", "blocks: +12 in heel pocket"};
    trn_description *plain = read_well(SECTIONS);
    const trn_body before = body_of(plain);
    trn_body sum = before;
    for (size_t i = 0; i < 4; i++) {
        trn_description *one = with_one(texts[i]);
        const trn_body alone = body_of(one);
        sum.weight_N += alone.weight_N - before.weight_N;
        sum.a_Nm += alone.a_Nm - before.a_Nm;
        sum.b_Nm += alone.b_Nm - before.b_Nm;
        sum.inertia_kg_m2 += alone.inertia_kg_m2 - before.inertia_kg_m2;
        trn_description_free(one);
    }
    trn_description *all = with(texts, 4);
    const trn_body body = body_of(all);
    assert_close(body.weight_N, sum.weight_N, 1e-13);
    assert_close(body.a_Nm, sum.a_Nm, 1e-13);
    assert_close(body.b_Nm, sum.b_Nm, 1e-13);
    assert_close(body.inertia_kg_m2, sum.inertia_kg_m2, 1e-13);
    trn_description_free(plain);
    trn_description_free(all);
}

static void what_is_taken_away_again_leaves_the_leaf_as_it_was(void **state)
{
    (void)state;
    static const char *const texts[] = {"overlay: 35 kg/m2 on deck",
                                        "no overlay: -35 kg/m2 on deck",
                                        "cable: 120 kg at [6 m, 0.9 m]",
                                        "no cable: -120 kg at [6 m, 0.9 m]",
                                        "rail: 3 kN from [0 m, 1 m] to [3 m, 5 m]",
                                        "no rail: -0.6 kN/m from [3 m, 5 m] to [0 m, 1 m]",
                                        "in: +7 in heel pocket",
                                        "out: -7 in heel pocket"};
    trn_description *plain = read_well(SECTIONS);
    trn_description *all = with(texts, 8);
    const trn_body before = body_of(plain);
    const trn_body after = body_of(all);
    assert_close(after.weight_N, before.weight_N, 1e-13);
    assert_close(after.a_Nm, before.a_Nm, 1e-13);
    assert_close(after.b_Nm, before.b_Nm, 1e-12);
    assert_close(after.inertia_kg_m2, before.inertia_kg_m2, 1e-13);
    assert_int_equal(trn_description_leaf(all)->pockets[0].blocks, 10);
    trn_description_free(plain);
    trn_description_free(all);
}

static void arrays_reached_before_stay_as_they_were(void **state)
{
    (void)state;
    trn_description *description = read_well(SECTIONS);
    const trn_leaf before = *trn_description_leaf(description);
    trn_error error;
    assert_int_equal(trn_description_add(description, "a: 1 kg at [1 m, 1 m]", &error), TRN_OK);
    assert_int_equal(trn_description_add(description, "b: +1 in heel pocket", &error), TRN_OK);
    assert_int_equal(trn_description_add(description, "c: +1 in box pocket", &error), TRN_OK);
    assert_int_equal(before.part_count, 1);
    assert_string_equal(before.parts[0].name, "girder");
    assert_int_equal(before.pockets[0].blocks, 10);
    assert_int_equal(before.linked_counterweight->pockets[0].blocks, 4);
    assert_int_equal(trn_description_leaf(description)->linked_counterweight->pockets[0].blocks, 5);
    trn_description_free(description);
}

static void a_name_of_an_earlier_addition_is_taken(void **state)
{
    (void)state;
    trn_description *description = with_one("cable: 120 kg at [6 m, 0.9 m]");
    trn_error error;
    assert_int_equal(trn_description_add(description, "cable: 1 kg at [1 m, 1 m]", &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "another name"));
    assert_int_equal(trn_description_leaf(description)->part_count, 2);
    trn_description_free(description);
}

typedef struct refusal {
    const char *text;
    int column;
    const char *words;
} refusal;

static const refusal refusals[] = {
    {"", 1, "the name is missing"},
    {"35 kg/m2 on deck", 1, "a name, a colon, an amount and where"},
    {" : 35 kg/m2 on deck", 1, "the name is missing"},
    {"overlay", 1, "the name is missing"},
    {"overlay:", 9, "the amount is missing"},
    {"overlay: on deck", 10, "the amount is missing"},
    {"overlay: heavy on deck", 10, "the amount is missing"},
    {"overlay: 35 kg/m2", 18, "on SURFACE, at [x, y], from [x, y] to [x, y], or in POCKET"},
    {"overlay: 35 kg/m2 upon deck", 28, "where is missing"},
    {"overlay: 35 kg/m on deck", 10, "wrong dimension: expected a weight per area"},
    {"overlay: 35 on deck", 10, "a unit is missing"},
    {"overlay: 3,5 kg/m2 on deck", 10, "the decimal mark is a point"},
    {"overlay: 1e400 kg/m2 on deck", 10, "out of range"},
    {"overlay: 0x10 kg/m2 on deck", 10, "unknown unit"},
    {"overlay: nan kg/m2 on deck", 10, "the amount is missing"},
    {"overlay: 0 kg/m2 on deck", 10, "nothing is added"},
    {"overlay: 35 kg/m2 on", 21, "the name of the surface is missing"},
    {"overlay: 35 kg/m2 on dekc", 22, "expected one of \"deck\", \"walk way\""},
    {"überzug: 35 kg/m on deck", 10, "wrong dimension"},
    {"girder: 35 kg/m2 on deck", 1, "another name"},
    {"  box: 35 kg/m2 on deck", 3, "another name"},
    {"cable: 120 m at [6 m, 0.9 m]", 8, "expected a weight"},
    {"cable: 120 kg at", 17, "the point is missing"},
    {"cable: 120 kg at 6 m, 0.9 m", 18, "the point is missing"},
    {"cable: 120 kg at [6 m; 0.9 m]", 19, "\",\" is missing"},
    {"cable: 120 kg at [6 m, 0.9 m", 23, "\"]\" is missing"},
    {"cable: 120 kg at [6, 0.9 m]", 19, "a unit is missing"},
    {"cable: 120 kg at [6 m, 0.9 kg]", 24, "expected a length"},
    {"cable: 120 kg at [6 m, 0.9 m] up", 31, "expected the end"},
    {"paint: 0.4 kN/m from [1 m, 0.8 m]", 34, "expected to [x, y]"},
    {"paint: 0.4 kN/m from [1 m, 0.8 m] [2 m, 1 m]", 35, "expected to [x, y]"},
    {"paint: 0.4 kN/m from [1 m, 0.8 m] to", 37, "the point is missing"},
    {"paint: 0.4 kN/m from [1 m, 0.8 m] t", 35, "expected to [x, y]"},
    {"paint: 0.4 kN/m from [1 m, 0.8 m] to [1 m, 0.8 m]", 38, "the same point"},
    {"paint: 0.4 kN/m2 from [1 m, 0.8 m] to [2 m, 0.8 m]", 8, "weight per length"},
    {"paint: 0.4 kN/m2 from [1 m, 0.8 m] to [2 m, 0.8 m]", 8, "or a weight such as"},
    {"paint: 0 kN from [1 m, 0.8 m] to [2 m, 0.8 m]", 8, "nothing is added"},
    {"blocks: +12 in heel", 16, "expected one of \"heel pocket\", \"box pocket\""},
    {"blocks: +12 in", 15, "the name of the pocket is missing"},
    {"blocks: 1.5 in heel pocket", 9, "a whole number of blocks"},
    {"blocks: 0 in heel pocket", 9, "a whole number of blocks"},
    {"blocks: 40 kg in heel pocket", 9, "a whole number of blocks"},
    {"blocks: 2000000 in heel pocket", 9, "a whole number of blocks"},
    {"blocks: +21 in heel pocket", 16, "a change from -10 to +20"},
    {"blocks: -11 in heel pocket", 16, "a change from -10 to +20"},
    {"blocks: +6 in box pocket", 15, "4 of at most 9 blocks"},
    {"gone: -4 t at [1 m, 1 m]", 7, "nothing is left of the leaf"},
    {"gone: 4 t at [1 m, 1 m]\n", 24, "control character"},
    {"gone: 4 t at [1 m, 1 m]\x1b[31m", 24, "not allowed"},
    {"gone: 4 t \xff at [1 m, 1 m]", 11, "UTF-8"},
};

static void each_refusal_names_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof *refusals; i++) {
        trn_description *description = read_well(SECTIONS);
        const trn_leaf before = *trn_description_leaf(description);
        trn_error error = {.text = ""};
        char place[32];
        snprintf(place, sizeof place, "column %d: ", refusals[i].column);
        assert_int_equal(trn_description_add(description, refusals[i].text, &error), TRN_OUT_OF_DOMAIN);
        if (strncmp(error.text, place, strlen(place)) != 0 || !strstr(error.text, refusals[i].words)) {
            fail_msg("%s: got %s, want %s...%s", refusals[i].text, error.text, place, refusals[i].words);
        }
        assert_memory_equal(&before, trn_description_leaf(description), sizeof before);
        trn_description_free(description);
    }
}

static void a_long_name_is_refused(void **state)
{
    (void)state;
    char text[300];
    trn_error error;
    memset(text, 'n', 201);
    strcpy(text + 201, ": 1 kg at [1 m, 1 m]");
    trn_description *description = read_well(SECTIONS);
    assert_int_equal(trn_description_add(description, text, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "at most 200"));
    assert_int_equal(trn_description_add(description, text + 1, &error), TRN_OK);
    trn_description_free(description);
}

static void a_leaf_without_surfaces_or_pockets_says_so(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST);
    trn_error error;
    assert_int_equal(trn_description_add(description, "a: 1 kg/m2 on deck", &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "has no surfaces"));
    assert_int_equal(trn_description_add(description, "a: 1 in heel", &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "has no pockets"));
    trn_description_free(description);
}

static void an_inch_is_no_word_of_place(void **state)
{
    (void)state;
    trn_description *description = with_one("strip: 1 lbf/in from [0 in, 1 m] to [100 in, 1 m]");
    assert_close(trn_part_body(last_part(description), (trn_point){0, 0}).weight_N, 444.82216152605, 1e-13);
    trn_description_free(description);
}

static void the_kinds_keep_to_their_functions(void **state)
{
    (void)state;
    trn_leaf leaf = trn_default_leaf();
    trn_addition blocks = {.name = "a", .kind = TRN_ADDITION_IN_POCKET, .place = "p", .blocks = 1};
    trn_addition point = {.name = "a", .kind = TRN_ADDITION_AT_POINT, .weight_N = 1};
    trn_part part;
    size_t index;
    int count;
    assert_int_equal(trn_addition_part(&leaf, &blocks, &part, NULL), TRN_OUT_OF_DOMAIN);
    assert_int_equal(trn_addition_blocks(&leaf, &point, &index, &count, NULL), TRN_OUT_OF_DOMAIN);
    assert_int_equal(trn_addition_part(&leaf, &point, &part, NULL), TRN_OK);
}

static void many_surfaces_are_listed_as_far_as_there_is_room(void **state)
{
    (void)state;
    trn_surface surfaces[60];
    trn_leaf leaf = trn_default_leaf();
    trn_addition overlay = {.name = "a", .kind = TRN_ADDITION_ON_SURFACE, .place = "none", .weight_per_area_N_m2 = 1};
    trn_part part;
    trn_error error;
    for (size_t i = 0; i < 60; i++) {
        surfaces[i] = (trn_surface){.name = "a surface"};
    }
    leaf.surfaces = surfaces;
    leaf.surface_count = 60;
    assert_int_equal(trn_addition_part(&leaf, &overlay, &part, &error), TRN_OUT_OF_DOMAIN);
    assert_true(strlen(error.text) < 220);
    assert_string_equal(error.text + strlen(error.text) - 5, ", ...");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weight_per_area_lies_on_the_whole_surface),
        cmocka_unit_test(a_weight_at_a_point),
        cmocka_unit_test(a_line_takes_weight_or_weight_per_length),
        cmocka_unit_test(blocks_go_into_either_body),
        cmocka_unit_test(additions_superpose),
        cmocka_unit_test(what_is_taken_away_again_leaves_the_leaf_as_it_was),
        cmocka_unit_test(arrays_reached_before_stay_as_they_were),
        cmocka_unit_test(a_name_of_an_earlier_addition_is_taken),
        cmocka_unit_test(each_refusal_names_its_place),
        cmocka_unit_test(a_long_name_is_refused),
        cmocka_unit_test(a_leaf_without_surfaces_or_pockets_says_so),
        cmocka_unit_test(an_inch_is_no_word_of_place),
        cmocka_unit_test(the_kinds_keep_to_their_functions),
        cmocka_unit_test(many_surfaces_are_listed_as_far_as_there_is_room),
    };
    return cmocka_run_group_tests_name("addition", tests, NULL, NULL);
}
