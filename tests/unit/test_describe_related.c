/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values that are held against each other: where the bound lies, and that one not read well is the only fault. */
#include "describing.h"

/* A section with one fault, at the value or the key behind the mark @. */
static void refuse(const char *section, const char *words)
{
    char text[1024] = LEAST;
    const char *mark = strchr(section, '@');
    assert_non_null(mark);
    int line = LEAST_LINES + 1;
    const char *start = section;
    for (const char *c = section; c < mark; c++) {
        if (*c == '\n') {
            line++;
            start = c + 1;
        }
    }
    snprintf(text + strlen(text), sizeof text - strlen(text), "%.*s%s", (int)(mark - section), section, mark + 1);
    assert_refused(text, line, (int)(mark - start) + 1, words);
}

static void accept(const char *section)
{
    char text[1024];
    snprintf(text, sizeof text, LEAST "%s", section);
    trn_description_free(read_well(text));
}

#define SHAFT "gauged_shaft: {ratio: 12, shafts: 2, shear_modulus: 82 GPa, efficiency: 0.93, "
#define TRUNNION "trunnion: {journal_diameter: 1 m, friction: "
#define CYLINDER "drive: {cylinder: {on_leaf: [3 m, -1 m], anchor: [1 m, -6 m], pressure: 250 bar, "
#define STRUT "drive: {efficiency: 1, strut: {pinion_radius: 0.4 m, ratio: 180, "
#define MOTORS "motors: {power: 1 kW, "
#define INDUCTION "law: induction, breakdown: 2, "
#define POCKET "pockets: [{name: p, at: [1 m, 1 m], block: 1 kg, "
#define TRAVEL "travel: {speed: 1 deg/s, accelerate_in: 8 s, creep: 15 %, decelerate_in: 6 s, "
#define LINKED "linked_counterweight: {parts: [{name: w, weight: 1 t, at: [1 m, 1 m]}], "
#define SURFACE "surfaces: [{name: s, width: 1 m, "
#define BAR "  - {name: b, weight: 1 t, "
#define BLOCK                                                                                                          \
    "  - {name: b, unit_weight: 1 t/m3, width: 2 m, outline: [[0 m, 0 m], [9 m, 0 m], [9 m, 9 m], [0 m, 9 m]], voids: "

static void machinery_up_to_its_bounds(void **state)
{
    (void)state;
    accept(SHAFT "bore: 199 mm, diameter: 200 mm}\n");
    refuse(SHAFT "bore: @200 mm, diameter: 200 mm}\n", "bore: the bore leaves no shaft: expected less than 0.2 m");
    accept(CYLINDER "bore: 280 mm, rod: 279 mm}}\n");
    refuse(CYLINDER "bore: 280 mm, rod: @280 mm}}\n", "rod: the rod fills the bore: expected less than 0.28 m");
    accept(TRUNNION "{starting: 0.1, moving: 0.1}}\n");
    refuse(TRUNNION "{starting: 0.1, moving: @0.11}}\n", "moving: 0.11 is more than starting: expected at most 0.1");
    accept(MOTORS "speed: 9 rpm, installed: 2, running: 2}\n");
    refuse(MOTORS "speed: 9 rpm, installed: 2, running: @3}\n", "running: 3 is more than are installed: expected at most 2");
    accept(MOTORS "installed: 1, speed: 900 rpm, " INDUCTION "synchronous: 901 rpm}\n");
    refuse(MOTORS "installed: 1, speed: 900 rpm, " INDUCTION "synchronous: @900 rpm}\n",
           "synchronous: the synchronous speed is not over the rated speed: expected more than 94.2478 rad/s");
    refuse(MOTORS "installed: 1, speed: 9 rpm, law: table, table: [[0 rpm, 1 N m], [@0 rpm, 2 N m]]}\n",
           "table: the value is not above the one before it: expected an ascending table");
    refuse("drive: {ratio: 2, efficiency: @[1e-8, 1e-8]}\n", "efficiency: the product of the stages is out of range");
}

static void travel_up_to_its_bounds(void **state)
{
    (void)state;
    accept(TRAVEL "near_open: 69 deg, near_closed: 68 deg, full_open: 70 deg, full_closed: 67 deg}\n");
    refuse(TRAVEL "near_open: @70 deg, near_closed: 7 deg}\n", "near_open: the switch is not below the full opening");
    refuse(TRAVEL "near_open: 60 deg, near_closed: 7 deg, full_open: @70.1 deg}\n",
           "full_open: the switch is beyond the full opening: expected at most opens_to");
    refuse(TRAVEL "near_open: 60 deg, near_closed: 7 deg, full_open: @60 deg}\n",
           "full_open: the switch is not above the near one: expected more than near_open");
    refuse(TRAVEL "near_open: 60 deg, near_closed: 7 deg, full_closed: @7 deg}\n",
           "full_closed: the switch is not below the near one: expected less than near_closed");
    refuse(TRAVEL "near_open: 7 deg, near_closed: @7 deg}\n", "near_closed: the near switches are out of order");
    refuse(TRAVEL "near_closed: 7 deg, near_open: @7 deg}\n", "near_open: the near switches are out of order");
    refuse("duty: {openings_per_hour: 1, hold_open: 1 s, hours_without_openings: @24}\n",
           "hours_without_openings: no hour of the day is left");
    refuse("balance_target: {A: [2 N m, @2 N m], B: [1 N m, 2 N m]}\n", "A: the window is empty or reversed");
}

static void bodies_up_to_their_bounds(void **state)
{
    (void)state;
    accept(POCKET "room: 3, blocks: 3}]\n");
    refuse(POCKET "room: 3, blocks: @4}]\n", "blocks: 4 blocks are more than the room takes: expected at most 3");
    accept(SURFACE "from: [1 m, 2 m], to: [1 m, 3 m]}]\n");
    accept(SURFACE "from: [1 m, 3 m], to: [1 m, 2 m]}]\n");
    accept(SURFACE "from: [2 m, 2 m], to: [1 m, 2 m]}]\n");
    refuse(SURFACE "from: [1 m, 2 m], to: @[1 m, 2 m]}]\n", "to: the ends are the same point: expected a strip");
    refuse(BAR "from: [1 m, 2 m], to: @[1 m, 2 m]}\n", "to: the ends are the same point: expected a part");
    refuse(STRUT "on_leaf: @[0 m, 0 m], pinion: [1 m, 1 m]}}\n", "on_leaf: the point is the trunnion");
    refuse(STRUT "on_leaf: [1 m, 1 m], pinion: @[0 m, 0 m]}}\n", "pinion: the point is the trunnion");
    refuse(STRUT "on_leaf: [1 m, 1 m], pinion: @[1 m, 1 m]}}\n", "pinion: both ends are the same point");
    refuse(LINKED "pivot: @[0 m, 0 m], pin_on_leaf: [2 m, 1 m], pin_on_counterweight: [3 m, 1 m]}\n",
           "pivot: the point leaves a bar of the linkage without length");
    refuse(LINKED "pivot: [1 m, 1 m], pin_on_leaf: @[0 m, 0 m], pin_on_counterweight: [3 m, 1 m]}\n",
           "pin_on_leaf: the point leaves a bar of the linkage without length");
    refuse(LINKED "pivot: [1 m, 1 m], pin_on_leaf: [2 m, 1 m], pin_on_counterweight: @[1 m, 1 m]}\n",
           "pin_on_counterweight: the point leaves a bar of the linkage without length");
    refuse(LINKED "pivot: [1 m, 1 m], pin_on_leaf: [2 m, 1 m], pin_on_counterweight: @[2 m, 1 m]}\n",
           "pin_on_counterweight: the point leaves a bar of the linkage without length");
}

#define SQUARE "outline: [[1 m, 1 m], [2 m, 1 m], [2 m, 2 m], [1 m, 2 m]]"

static void voids_are_held_against_their_block(void **state)
{
    (void)state;
    accept(BLOCK "[{width: 2 m, " SQUARE "}]}\n");
    refuse(BLOCK "[{width: @2.1 m, " SQUARE "}]}\n", "width: the void is wider than its block: expected at most 2 m");
    refuse(BLOCK "[{width: 1 m, outline: @[[8 m, 1 m], [10 m, 1 m], [8 m, 2 m]]}]}\n",
           "outline: the void leaves the outline of its block");
    refuse(BLOCK "[{width: 1 m, outline: [[5 m, 5 m], [6 m, 5 m], [5 m, 6 m]]}, {width: 1 m, " SQUARE "},\n"
                 " {width: 1 m, outline: @[[1.5 m, 1.5 m], [3 m, 1.5 m], [3 m, 3 m]]}]}\n",
           "outline: the void overlaps void 2 of the block: expected them apart");
    refuse(BLOCK "@[{width: 2 m, outline: [[0 m, 0 m], [9 m, 0 m], [9 m, 9 m], [0 m, 9 m]]}]}\n",
           "voids: the voids leave nothing of the block");
}

/* What is not read well is not there to be held against anything, though half of it may be. */
static void one_that_was_not_read_well_is_the_only_fault(void **state)
{
    (void)state;
    static const char *const sections[] = {
        SHAFT "bore: 199 mm, diameter: @200}\n",
        SHAFT "diameter: @200}\n",
        SHAFT "bore: @2, diameter: 1 m}\n",
        CYLINDER "bore: @280, rod: 279 mm}}\n",
        CYLINDER "bore: 28 cm, rod: @2}}\n",
        TRUNNION "{starting: @0.1 m, moving: 0.1}}\n",
        TRUNNION "{starting: 0.1, moving: @0.2 m}}\n",
        MOTORS "speed: 9 rpm, installed: @2 m, running: 2}\n",
        MOTORS "speed: 9 rpm, installed: 2, running: @2 m}\n",
        MOTORS "installed: 1, speed: 900 rpm, " INDUCTION "synchronous: @900}\n",
        MOTORS "installed: 1, speed: @900, " INDUCTION "synchronous: 9 rpm}\n",
        MOTORS "installed: 1, speed: 9 rpm, law: @tables, table: [[0 rpm, 1 N m], [1 rpm, 2 N m]]}\n",
        MOTORS "installed: 1, speed: 9 rpm, law: table, table: [[1 rpm, 1 N m], [@1, 2 N m]]}\n",
        TRAVEL "near_open: @60, near_closed: 7 deg}\n",
        TRAVEL "near_open: @60, near_closed: 7 deg, full_open: 70 deg}\n",
        TRAVEL "near_open: 60 deg, near_closed: @7, full_closed: 1 deg}\n",
        TRAVEL "near_open: 60 deg, near_closed: 7 deg, full_open: @70}\n",
        TRAVEL "near_open: 60 deg, near_closed: 7 deg, full_closed: @7}\n",
        "duty: {openings_per_hour: 1, hold_open: 1 s, hours_without_openings: @24 h}\n",
        "balance_target: {A: [2 N m, @2], B: [1 N m, 2 N m]}\n",
        POCKET "room: @3 m, blocks: 3}]\n",
        POCKET "room: 3, blocks: @3 m}]\n",
        SURFACE "from: [0 m, @2], to: [0 m, 0 m]}]\n",
        SURFACE "from: [0 m, 0 m], to: [0 m, @2]}]\n",
        BAR "from: [0 m, @2], to: [0 m, 0 m]}\n",
        BAR "from: [0 m, 0 m], to: [0 m, @2]}\n",
        STRUT "on_leaf: [@1, 0 m], pinion: [1 m, 1 m]}}\n",
        STRUT "on_leaf: [1 m, 1 m], pinion: [0 m, @2]}}\n",
        STRUT "on_leaf: [1 m, @1], pinion: [1 m, 0 m]}}\n",
        STRUT "on_leaf: [1 m, 0 m], pinion: [1 m, @1]}}\n",
        LINKED "pivot: [0 m, @1], pin_on_leaf: [2 m, 1 m], pin_on_counterweight: [0 m, 0 m]}\n",
        LINKED "pivot: [1 m, 1 m], pin_on_leaf: [0 m, @1], pin_on_counterweight: [0 m, 0 m]}\n",
        LINKED "pivot: [1 m, 0 m], pin_on_leaf: [2 m, 1 m], pin_on_counterweight: [1 m, @1]}\n",
        BLOCK "[{width: 3 m, outline: [[1 m, 1 m], [2 m, 1 m], [1 m, @2]]}]}\n",
        BLOCK "[{width: @3, outline: [[8 m, 1 m], [10 m, 1 m], [8 m, 2 m]]}]}\n",
        "  - {name: b, unit_weight: 1 t/m3, width: @2, outline: [[0 m, 0 m], [9 m, 0 m], [9 m, 9 m]],\n"
        "     voids: [{width: 2 m, outline: [[1 m, 0.2 m], [2 m, 0.2 m], [2 m, 1 m]]}]}\n",
        "  - {name: b, unit_weight: 1 t/m3, width: 2 m, outline: [[0 m, 0 m], [9 m, 0 m], [9 m, @9]],\n"
        "     voids: [{width: 2 m, outline: [[1 m, 0.2 m], [2 m, 0.2 m], [2 m, 1 m]]}]}\n",
        "drive: {ratio: 2, efficiency: [@1e-8 m, 1e-8]}\n",
        "wind_limits: {law: @incidences, normal_coefficient: [[0 deg, 1], [1 deg, 1]]}\n",
    };
    for (size_t i = 0; i < sizeof sections / sizeof *sections; i++) {
        refuse(sections[i], "expected");
    }
    assert_refused("leaf: x\nopens_to: 70\ntoe: 1 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n" TRAVEL
                   "near_open: 60 deg, near_closed: 7 deg, full_open: 65 deg}\n",
                   2, 11, "a unit is missing");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(machinery_up_to_its_bounds),
        cmocka_unit_test(travel_up_to_its_bounds),
        cmocka_unit_test(bodies_up_to_their_bounds),
        cmocka_unit_test(voids_are_held_against_their_block),
        cmocka_unit_test(one_that_was_not_read_well_is_the_only_fault),
    };
    return cmocka_run_group_tests_name("describe related", tests, NULL, NULL);
}
