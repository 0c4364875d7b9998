/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "describing.h"

#define DEGREE (3.14159265358979323846 / 180)
#define G0 9.80665

static void the_least_leaf_has_its_values_and_no_sections(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST);
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_string_equal(leaf->name, "Osier Reach");
    assert_close(leaf->opens_to_rad, 70 * DEGREE, 1e-15);
    assert_close(leaf->toe_m, 12, 0);
    assert_int_equal(leaf->units, TRN_UNITS_METRIC);
    assert_int_equal(leaf->part_count, 1);
    assert_int_equal(leaf->pocket_count + leaf->surface_count + leaf->brake_count + leaf->holding_count, 0);
    assert_null(leaf->linked_counterweight);
    assert_null(leaf->trunnion);
    assert_null(leaf->drive);
    assert_null(leaf->motors);
    assert_null(leaf->travel);
    assert_null(leaf->wind_limits);
    assert_null(leaf->balance_target);
    assert_null(leaf->duty);
    assert_null(leaf->gauged_shaft);
    assert_same_bits(leaf->posted_wind_m_s, 0);
    trn_description_free(description);
}

static void without_cases_there_is_still_air(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_case still_air = trn_default_case();
    assert_int_equal(leaf->case_count, 1);
    assert_string_equal(leaf->cases[0].name, "still air");
    assert_int_equal(leaf->cases[0].friction, still_air.friction);
    assert_close(leaf->cases[0].motor_limit, 1, 0);
    trn_description_free(description);
}

static void a_point_has_weight_place_and_gyration(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST "  - {name: lock, weight: 2.1 kN, at: [11 m, -20 cm], gyration: 0.4 m, count: 3, uncertainty: 5 %}\n");
    const trn_part *part = &trn_description_leaf(description)->parts[1];
    assert_string_equal(part->name, "lock");
    assert_int_equal(part->shape, TRN_SHAPE_POINT);
    assert_int_equal(part->count, 3);
    assert_close(part->uncertainty.sd, 0.05, 1e-15);
    assert_close(part->weight_N, 2100, 1e-15);
    assert_close(part->at.x, 11, 0);
    assert_close(part->at.y, -0.2, 1e-15);
    assert_close(part->gyration_m, 0.4, 1e-15);
    trn_description_free(description);
}

static void a_part_stands_once_and_is_certain_unless_told(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST);
    const trn_part *part = &trn_description_leaf(description)->parts[0];
    assert_close(part->weight_N, 3000 * G0, 1e-15);
    assert_int_equal(part->count, 1);
    assert_same_bits(part->uncertainty.sd, 0);
    assert_same_bits(part->gyration_m, 0);
    trn_description_free(description);
}

static void bars_and_slabs_have_ends(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "  - {name: rail, weight: 5 kN, from: [-1 m, 2 m], to: [3 m, 4 m]}\n"
                        "  - {name: beam, weight_per_length: 100 kg/m, from: [0 m, 0 m], to: [9 m, 1 m]}\n"
                        "  - {name: deck, weight_per_area: 95 kg/m2, width: 9 m, from: [0 m, 1 m], to: [9 m, 1 m]}\n");
    const trn_part *parts = trn_description_leaf(description)->parts;
    assert_int_equal(parts[1].shape, TRN_SHAPE_BAR);
    assert_close(parts[1].weight_N, 5000, 0);
    assert_same_bits(parts[1].weight_per_length_N_m, 0);
    assert_close(parts[1].from.x, -1, 0);
    assert_close(parts[1].from.y, 2, 0);
    assert_close(parts[1].to.x, 3, 0);
    assert_close(parts[1].to.y, 4, 0);
    assert_int_equal(parts[2].shape, TRN_SHAPE_BAR);
    assert_same_bits(parts[2].weight_N, 0);
    assert_close(parts[2].weight_per_length_N_m, 100 * G0, 1e-15);
    assert_int_equal(parts[3].shape, TRN_SHAPE_SLAB);
    assert_close(parts[3].weight_per_area_N_m2, 95 * G0, 1e-15);
    assert_close(parts[3].width_m, 9, 0);
    trn_description_free(description);
}

static void a_block_has_an_outline_and_voids(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "  - name: heel\n    unit_weight: 2450 kg/m3\n    width: 8.6 m\n"
                        "    outline: [[-8 m, -2 m], [-4 m, -2 m], [-4 m, 0 m], [-8 m, 0 m]]\n"
                        "    voids: [{width: 2 m, outline: [[-7 m, -1 m], [-6 m, -1 m], [-6 m, -0.5 m]]}]\n");
    const trn_part *part = &trn_description_leaf(description)->parts[1];
    assert_int_equal(part->shape, TRN_SHAPE_BLOCK);
    assert_close(part->unit_weight_N_m3, 2450 * G0, 1e-15);
    assert_close(part->width_m, 8.6, 1e-15);
    assert_int_equal(part->outline.count, 4);
    assert_close(part->outline.corners[2].x, -4, 0);
    assert_same_bits(part->outline.corners[2].y, 0);
    assert_int_equal(part->void_count, 1);
    assert_close(part->voids[0].width_m, 2, 0);
    assert_int_equal(part->voids[0].outline.count, 3);
    assert_close(part->voids[0].outline.corners[2].y, -0.5, 0);
    trn_description_free(description);
}

static void an_outline_may_run_in_either_sense(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST "  - {name: one, unit_weight: 24 kN/m3, width: 1 m, outline: [[0 m, 0 m], [1 m, 0 m], [1 m, 1 m]]}\n"
              "  - {name: two, unit_weight: 24 kN/m3, width: 1 m, outline: [[1 m, 1 m], [1 m, 0 m], [0 m, 0 m]]}\n");
    assert_int_equal(trn_description_leaf(description)->part_count, 3);
    trn_description_free(description);
}

static void pockets_hold_blocks(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "pockets: [{name: heel, at: [-7.6 m, 0.4 m], block: 45 kg, blocks: 40, room: 90}]\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->pocket_count, 1);
    assert_string_equal(leaf->pockets[0].name, "heel");
    assert_close(leaf->pockets[0].at.x, -7.6, 1e-15);
    assert_close(leaf->pockets[0].block_N, 45 * G0, 1e-15);
    assert_int_equal(leaf->pockets[0].blocks, 40);
    assert_int_equal(leaf->pockets[0].room, 90);
    trn_description_free(description);
}

static void a_pocket_may_be_full(void **state)
{
    (void)state;
    trn_description_free(
        read_well(LEAST "pockets: [{name: heel, at: [-7 m, 0 m], block: 45 kg, blocks: 90, room: 90}]\n"));
}

#define LINKED                                                                                                         \
    "linked_counterweight:\n"                                                                                          \
    "  pivot: [-9 m, 6 m]\n"                                                                                           \
    "  pin_on_leaf: [-5 m, 1 m]\n"                                                                                     \
    "  pin_on_counterweight: [-14 m, 7 m]\n"                                                                           \
    "  parts: [{name: block, weight: 210 t, at: [-13.5 m, 6.8 m]}]\n"

static void a_linked_counterweight_has_its_own_parts_and_pockets(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST LINKED "  journal_diameter: 300 mm\n  friction: {starting: 0.18, moving: 0.12}\n"
                               "  pockets: [{name: rear, at: [-14 m, 6 m], block: 40 kg, blocks: 2, room: 3}]\n");
    const trn_linked_counterweight *linked = trn_description_leaf(description)->linked_counterweight;
    assert_non_null(linked);
    assert_close(linked->pivot.x, -9, 0);
    assert_close(linked->pin_on_leaf.y, 1, 0);
    assert_close(linked->pin_on_counterweight.x, -14, 0);
    assert_close(linked->journal.diameter_m, 0.3, 1e-15);
    assert_close(linked->journal.friction.starting, 0.18, 1e-15);
    assert_close(linked->journal.friction.moving, 0.12, 1e-15);
    assert_same_bits(linked->journal.drag_Nm, 0);
    assert_int_equal(linked->part_count, 1);
    assert_close(linked->parts[0].weight_N, 210000 * G0, 1e-15);
    assert_int_equal(linked->pocket_count, 1);
    assert_int_equal(linked->pockets[0].room, 3);
    trn_description_free(description);
}

static void a_linked_counterweight_without_a_journal_is_frictionless(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST LINKED);
    assert_same_bits(trn_description_leaf(description)->linked_counterweight->journal.diameter_m, 0);
    trn_description_free(description);
}

static void the_mark_of_byte_order_and_windows_line_ends_change_nothing(void **state)
{
    (void)state;
    trn_description *description = read_well(
        "\xEF\xBB\xBFleaf: x\r\nopens_to: 70 degree\r\ntoe: 12 m\r\nparts:\r\n  - name: y\r\n    weight: 1 t\r\n"
        "    at: [1 m, 0 m]");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_string_equal(leaf->name, "x");
    assert_string_equal(leaf->parts[0].name, "y");
    trn_description_free(description);
}

static void an_alias_stands_for_its_value(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: x\nopens_to: 70 degree\ntoe: &far 12 m\nparts:\n"
                  "  - {name: a, weight: &w 3 kN, at: &p [*far, 1 m]}\n  - {name: b, weight: *w, at: *p}\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_close(leaf->parts[1].weight_N, 3000, 0);
    assert_close(leaf->parts[1].at.x, 12, 0);
    trn_description_free(description);
}

static void the_last_anchor_of_a_name_counts(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: x\nopens_to: 70 degree\ntoe: &l 12 m\nparts:\n  - {name: a, weight: 1 t, at: [&l 5 m, *l]}\n");
    assert_close(trn_description_leaf(description)->parts[0].at.y, 5, 0);
    trn_description_free(description);
}

static void what_is_nothing_when_plain_is_a_text_in_quotes(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: \"~\"\nopens_to: 1 rad\ntoe: 1 m\nparts: [{name: 'null', weight: 1 t, at: [1 m, 0 m]}]\n");
    assert_string_equal(trn_description_leaf(description)->name, "~");
    assert_string_equal(trn_description_leaf(description)->parts[0].name, "null");
    trn_description_free(description);
}

static void the_text_need_not_end_in_nul(void **state)
{
    (void)state;
    char text[] = LEAST "garbage";
    trn_faults faults;
    trn_description *description = NULL;
    assert_int_equal(trn_description_read(text, strlen(LEAST), &description, &faults), TRN_OK);
    trn_description_free(description);
}

static void the_description_outlives_its_text(void **state)
{
    (void)state;
    char text[] = LEAST;
    trn_description *description = read_well(text);
    memset(text, '?', sizeof text);
    assert_string_equal(trn_description_leaf(description)->name, "Osier Reach");
    assert_string_equal(trn_description_leaf(description)->parts[0].name, "girder");
    trn_description_free(description);
}

static void freeing_nothing_is_allowed(void **state)
{
    (void)state;
    trn_description_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_least_leaf_has_its_values_and_no_sections),
        cmocka_unit_test(without_cases_there_is_still_air),
        cmocka_unit_test(a_point_has_weight_place_and_gyration),
        cmocka_unit_test(a_part_stands_once_and_is_certain_unless_told),
        cmocka_unit_test(bars_and_slabs_have_ends),
        cmocka_unit_test(a_block_has_an_outline_and_voids),
        cmocka_unit_test(an_outline_may_run_in_either_sense),
        cmocka_unit_test(pockets_hold_blocks),
        cmocka_unit_test(a_pocket_may_be_full),
        cmocka_unit_test(a_linked_counterweight_has_its_own_parts_and_pockets),
        cmocka_unit_test(a_linked_counterweight_without_a_journal_is_frictionless),
        cmocka_unit_test(the_mark_of_byte_order_and_windows_line_ends_change_nothing),
        cmocka_unit_test(an_alias_stands_for_its_value),
        cmocka_unit_test(the_last_anchor_of_a_name_counts),
        cmocka_unit_test(what_is_nothing_when_plain_is_a_text_in_quotes),
        cmocka_unit_test(the_text_need_not_end_in_nul),
        cmocka_unit_test(the_description_outlives_its_text),
        cmocka_unit_test(freeing_nothing_is_allowed),
    };
    return cmocka_run_group_tests_name("describe", tests, NULL, NULL);
}
