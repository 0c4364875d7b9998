/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values that are held against each other: where the bound lies, and that one not read well is the only fault. */
#include "describing.h"

/* A section with one fault, at the value or the key behind the mark @. */
static void refuse(const char *section, const char *words)
{
    char text[2048];
    snprintf(text, sizeof text, LEAST "%s", section);
    assert_refused_at_mark(text, words);
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
#define BLOCK                                                                                                    \
    "  - {name: b, unit_weight: 1 t/m3, width: 2 m, outline: [[0 m, 0 m], [9 m, 0 m], [9 m, 9 m], [0 m, 9 m]], " \
    "voids: "

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
    refuse(MOTORS "speed: 9 rpm, installed: 2, running: @3}\n",
           "running: 3 is more than are installed: expected at most 2");
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

static void a_balance_target_is_told_in_one_way(void **state)
{
    (void)state;
    refuse("balance_target: {toe_reaction: [1 N, 2 N], @A: [1 N m, 2 N m]}\n",
           "\"A\" does not go with toe_reaction and angle: expected either these or A and B");
    refuse("balance_target: {@B: [1 N m, 2 N m], angle: [1 deg, 2 deg]}\n", "\"B\" does not go with toe_reaction");
    refuse("balance_target: {B: [1 N m, 2 N m], toe_reaction: [1 N, 2 N], @A: [1 N m, 2 N m], angle: [1 deg, 2 deg]}\n",
           "\"A\" does not go with toe_reaction");
    refuse("balance_target: @{toe_reaction: [1 N, 2 N]}\n",
           "key \"angle\" is missing: expected toe_reaction and angle, or");
    refuse("balance_target: @{angle: [1 deg, 2 deg]}\n", "key \"toe_reaction\" is missing");
    refuse("balance_target: @{A: [1 N m, 2 N m]}\n", "key \"B\" is missing");
    refuse("balance_target: @{B: [1 N m, 2 N m]}\n", "key \"A\" is missing");
    refuse("balance_target: @{}\n", "key \"toe_reaction\" is missing");
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

static void the_keys_of_a_part_make_a_shape(void **state)
{
    (void)state;
    static const char missing[] =
        "is missing: expected weight, at (point); weight or weight_per_length, from, to (bar)";
    refuse("  - @{name: b}\n", "the part has no shape: expected weight, at (point)");
    refuse("  - @{name: b, weight: 1 t}\n", "the keys do not make a shape: expected weight, at (point)");
    refuse("  - @{name: b, at: [1 m, 1 m]}\n", "key \"weight\" is missing");
    refuse("  - @{name: b, at: [1 m, 1 m]}\n", missing);
    refuse("  - @{name: b, weight_per_area: 1 t/m2, width: 1 m, from: [1 m, 1 m]}\n", "key \"to\" is missing");
    refuse("  - @{name: b, unit_weight: 1 t/m3, outline: [[0 m, 0 m], [1 m, 0 m], [1 m, 1 m]]}\n", "key \"width\" is");
    refuse("  - {name: b, weight: 1 t, at: [1 m, 1 m], @from: [1 m, 1 m]}\n",
           "\"from\" does not go with the keys before it: expected weight, at (point)");
    refuse("  - {name: b, weight: 1 t, from: [1 m, 1 m], to: [2 m, 1 m], @gyration: 1 m}\n",
           "\"gyration\" does not go");
    refuse("  - {name: b, unit_weight: 1 t/m3, @weight: 1 t}\n", "\"weight\" does not go with the keys before it");
    static const char slab[] = LEAST "  - {name: b, weight_per_area: 1 t/m2}\n";
    const trn_faults faults = read_badly(slab, strlen(slab));
    assert_int_equal(faults.count, 3);
    assert_fault(&faults, 0, LEAST_LINES + 1, 5, "key \"width\" is missing");
    assert_fault(&faults, 1, LEAST_LINES + 1, 5, "key \"from\" is missing");
    assert_fault(&faults, 2, LEAST_LINES + 1, 5, "key \"to\" is missing");
}

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
    assert_refused_at_mark("leaf: x\nopens_to: @70\ntoe: 1 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n" TRAVEL
                           "near_open: 60 deg, near_closed: 7 deg, full_open: 65 deg}\n",
                           "a unit is missing");
}

#define TABLE "law: table, table: [[0 rpm, 2 N m], [9 rpm, 1 N m]]"
#define WELL_TRAVELLED TRAVEL "near_open: 60 deg, near_closed: 7 deg}\n"
#define STEPPED "steps: [{name: up, motion: raise}, {name: down, motion: lower}]\n"

static void a_drive_is_of_one_kind(void **state)
{
    (void)state;
    static const char rack[] = "rack: {radius: 4 m, pinion: -170 deg, pressure_angle: 20 deg}";
    char section[512];
    snprintf(section, sizeof section, "drive: {ratio: 2, efficiency: 1, %s}\n", rack);
    accept(section);
    snprintf(section, sizeof section, STRUT "on_leaf: [3 m, 2 m], pinion: [-4 m, 6 m]}, @%s}\n", rack);
    refuse(section, "\"rack\" goes with ratio only: expected ratio, or no rack");
    snprintf(section, sizeof section, CYLINDER "bore: 28 cm, rod: 27 cm}, @%s}\n", rack);
    refuse(section, "\"rack\" goes with ratio only");
    refuse("drive: @{efficiency: 1}\n", "the drive has no kind: expected one of ratio, strut, cylinder");
    refuse("drive: @{ratio: 2}\n", "key \"efficiency\" is missing");
    refuse(CYLINDER "bore: 28 cm, rod: 27 cm}, @ratio: 2}\n", "\"ratio\" makes a second kind of drive");
    refuse("drive: {ratio: 2, @cylinder: {on_leaf: [3 m, -1 m], anchor: [1 m, -6 m], pressure: 250 bar, bore: 28 cm,\n"
           "  rod: 27 cm}}\n",
           "\"cylinder\" makes a second kind of drive");
}

static void flags_and_choices_are_words(void **state)
{
    (void)state;
    static const char *const flags[] = {"true",  "True",  "TRUE",  "yes", "Yes", "YES", "on",  "On",  "ON",
                                        "false", "False", "FALSE", "no",  "No",  "NO",  "off", "Off", "OFF"};
    for (size_t i = 0; i < sizeof flags / sizeof *flags; i++) {
        char text[256];
        snprintf(text, sizeof text, LEAST "cases: [{name: a, accelerating: %s}]\n", flags[i]);
        trn_description *description = read_well(text);
        assert_int_equal(trn_description_leaf(description)->cases[0].accelerating, i < 9);
        trn_description_free(description);
    }
    refuse("cases: [{name: a, accelerating: @y}]\n", "accelerating: \"y\" is neither: expected true or false");
    refuse("cases: [{name: a, accelerating: @[on]}]\n", "accelerating: found a list: expected true or false");
    refuse("cases: [{name: a, friction: @{starting: 1}}]\n",
           "friction: found keys with values: expected starting or moving");
    refuse("cases: [{name: a, friction: @none}]\n", "friction: \"none\" is not known: expected starting or moving");
    refuse("wind_limits: {from: @port}\n", "from: \"port\" is not known: expected heel, toe or adverse");
    refuse("uncertainties: [{of: @girth, sd: 1 %}]\n",
           "of: \"girth\" is not known: expected weight, unit weight, x, y, moving friction, starting friction, drag, "
           "efficiency, wind pressure, wind speed, solidity or ice");
    refuse(MOTORS "speed: 9 rpm, installed: @1.5}\n", "installed: \"1.5\" is not whole: expected a whole number");
    refuse(MOTORS "speed: 9 rpm, installed: @-1.5}\n", "installed: \"-1.5\" is not whole");
    refuse(MOTORS "speed: 9 rpm, installed: @1 m}\n", "installed: \"m\" does not belong here: expected a whole number");
    refuse(MOTORS "speed: 9 rpm, installed: @100 %}\n", "installed: \"%\" does not belong here");
}

/* A value on its bounds and beyond them; %s stands for it. */
typedef struct bounded {
    const char *section;
    const char *on[2];
    const char *beyond[2];
    const char *words;
} bounded;

#define RACK "drive: {ratio: 2, efficiency: 1, rack: {radius: 4 m, "
#define WIND "cases: [{name: a, wind: {speed: 1 m/s, "
#define PROFILE WIND "profile: {reference_height: 1 m, trunnion_height: 0 m, lowest: 1 m, "

static const bounded bounds[] = {
    {RACK "pinion: 0 deg, pressure_angle: %s}}\n", {"0 deg", "40 deg"}, {"-0.001 deg", "40.001 deg"}, "from 0 to 40"},
    {RACK "pressure_angle: 9 deg, pinion: %s}}\n",
     {"-180 deg", "180 deg"},
     {"-180.1 deg", "180.1 deg"},
     "from -180 to"},
    {TRUNNION "{moving: 0, starting: %s}}\n", {"0", "100 %"}, {"-0.001", "1.001"}, "from 0 to 1"},
    {TRUNNION "{moving: 0, starting: 0}, drag: %s}\n", {"0 N m", "1 N m"}, {"-1 N m", "-1 kN m"}, "of 0 or more"},
    {"drive: {ratio: 2, efficiency: %s}\n", {"1e-15", "1"}, {"0", "1.001"}, "over 0, at most 1"},
    {"drive: {efficiency: 1, ratio: %s}\n", {"1e-15", "1e15"}, {"0", "-1"}, "over 0"},
    {MOTORS "installed: 1, speed: 9 rpm, peak: %s}\n", {"1", "9"}, {"0.999", "0"}, "of 1 or more"},
    {MOTORS "speed: 9 rpm, installed: %s}\n", {"1", "1000000"}, {"0", "1000001"}, "a whole number from 1 to 1000000"},
    {POCKET "room: 1000000, blocks: %s}]\n", {"0", "1000000"}, {"-1", "1000001"}, "a whole number from 0 to 1000000"},
    {SURFACE "from: [0 m, 0 m], to: [1 m, 0 m], solidity: %s}]\n", {"0", "1"}, {"-0.1", "1.1"}, "from 0 to 1"},
    {PROFILE "exponent: %s}}}]\n", {"0", "1"}, {"-0.1", "1.1"}, "from 0 to 1"},
    {WIND "law: incidence, normal_coefficient: [[%s, 1], [90 deg, 1]]}}]\n",
     {"0 deg", "89 deg"},
     {"-1 deg", "91 deg"},
     "from 0 to 90 degree"},
    {WIND "density: %s}}]\n", {"1 kg/m3", "2 kg/m3"}, {"0 kg/m3", "-1 kg/m3"}, "over 0"},
    {"balance_target: {toe_reaction: [1 N, 2 N], angle: [%s, 180 deg]}\n",
     {"-180 deg", "179 deg"},
     {"-181 deg", "181 deg"},
     "from -180 to 180 degree"},
    {"duty: {openings_per_hour: %s, hold_open: 0 s}\n", {"1", "1e-15"}, {"0", "-1"}, "over 0"},
    {"duty: {openings_per_hour: 1, hold_open: 0 s, hours_without_openings: %s}\n",
     {"0", "23.99"},
     {"-1", "-0.001"},
     "of 0 or more"},
};

static void single_values_keep_to_their_bounds(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bounds / sizeof *bounds; i++) {
        for (size_t k = 0; k < 2; k++) {
            char section[512];
            char marked[64];
            snprintf(section, sizeof section, bounds[i].section, bounds[i].on[k]);
            accept(section);
            snprintf(marked, sizeof marked, "@%s", bounds[i].beyond[k]);
            snprintf(section, sizeof section, bounds[i].section, marked);
            refuse(section, bounds[i].words);
        }
    }
}

/* What comes after a fault and is right does not make up for it. */
static void a_fault_stays_one_beside_what_is_right(void **state)
{
    (void)state;
    refuse(MOTORS "speed: 9 rpm, installed: 2, running: @3, " TABLE "}\n", "running: 3 is more than are installed");
    refuse(MOTORS "speed: 9 rpm, installed: 2, @peak: 2, " TABLE "}\n",
           "\"peak\" goes with law constant only: the law here is table");
    refuse(BLOCK "[{width: @3 m, outline: [[5 m, 5 m], [6 m, 5 m], [5 m, 6 m]]}, {width: 1 m, " SQUARE "}]}\n",
           "width: the void is wider than its block");
    refuse(CYLINDER "bore: 28 cm, rod: 27 cm, count: @0}}\n", "count: \"0\" is out of bounds");
    refuse("drive: {cylinder: {on_leaf: @[0 m, 0 m], anchor: [1 m, -6 m], pressure: 250 bar, bore: 1 m, rod: 0 m}}\n",
           "on_leaf: the point is the trunnion");
    refuse("drive: {ratio: 2, efficiency: [@2, 0.9]}\n", "efficiency: \"2\" is out of bounds");
    refuse(TRAVEL "near_open: 60 deg, near_closed: 7 deg, full_open: @59 deg, full_closed: 1 deg}\n" STEPPED,
           "full_open: the switch is not above the near one");
    refuse(TRAVEL "near_open: @70 deg, near_closed: 7 deg}\n" STEPPED "cases: [{name: calm}]\n",
           "near_open: the switch is not below the full opening");
    refuse("pockets: [{name: p, at: [1 m, 1 m], block: 1 kg, blocks: 0, room: 1},\n"
           "          {name: @p, at: [1 m, 1 m], block: 1 kg, blocks: 0, room: 1}]\n" WELL_TRAVELLED STEPPED,
           "name: \"p\" is used before, in line 6");
    refuse("cases: [{name: a}, {name: @a}, {name: b}]\n", "name: \"a\" is used before, in line 6");
    refuse("cases: [{name: a, friction: @none}, {name: b}]\n", "friction: \"none\" is not known");
    refuse("cases: [{name: a, wind: {speed: 1 m/s, law: incidence, @pressure: 1 Pa,\n"
           "  normal_coefficient: [[0 deg, 1], [1 deg, 1]]}}]\n",
           "a wind has both pressure and speed");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(machinery_up_to_its_bounds),
        cmocka_unit_test(travel_up_to_its_bounds),
        cmocka_unit_test(a_balance_target_is_told_in_one_way),
        cmocka_unit_test(bodies_up_to_their_bounds),
        cmocka_unit_test(the_keys_of_a_part_make_a_shape),
        cmocka_unit_test(voids_are_held_against_their_block),
        cmocka_unit_test(a_drive_is_of_one_kind),
        cmocka_unit_test(flags_and_choices_are_words),
        cmocka_unit_test(single_values_keep_to_their_bounds),
        cmocka_unit_test(a_fault_stays_one_beside_what_is_right),
        cmocka_unit_test(one_that_was_not_read_well_is_the_only_fault),
    };
    return cmocka_run_group_tests_name("describe related", tests, NULL, NULL);
}
