/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include <string.h>

#include "command.h"
#include "completion.h"
#include "schemas.h"

/* What every command has that computes something of a leaf. */
#define OF_A_LEAF (TAKES_LEAF | GIVES_TEXT | GIVES_RESULT)
#define OF_LEAVES (OF_A_LEAF | TAKES_LEAVES)

const command_entry commands[] = {
    {"weigh", "what the leaf weighs, where its centre of gravity is, how far out of balance it is",
     "trunnion weigh examples/metric.yaml --json", OF_LEAVES, command_weigh, NULL},
    {"curve", "moments and motor torque against opening angle, every case",
     "trunnion curve examples/metric.yaml --case calm --step 5deg --plot curve.svg",
     OF_LEAVES | TAKES_CASE | TAKES_STEP, command_curve, NULL},
    {"explain", "one angle and case worked by hand: each term, its formula with numbers put in, its sum",
     "trunnion explain examples/metric.yaml --at 40deg --case calm", OF_A_LEAF | TAKES_ONE_CASE | TAKES_AT,
     command_explain, NULL},
    {"drive", "which case governs the motors, at which angle, with what margin; duty; one motor out",
     "trunnion drive examples/metric.yaml", OF_LEAVES | TAKES_CASE, command_drive, NULL},
    {"brake", "holding demand against brake capacity; one brake out; emergency stop from the worst angle",
     "trunnion brake examples/metric.yaml", OF_LEAVES | TAKES_CASE, command_brake, NULL},
    {"wind", "the wind that still lets the leaf raise, lower, hold, angle by angle; against the posted limit",
     "trunnion wind examples/metric.yaml --plot card.pdf", OF_LEAVES | TAKES_STEP, command_wind, NULL},
    {"cycle", "an opening and a closing in time: switches, creep, seating, faults, the whole operation",
     "trunnion cycle examples/metric.yaml --fault 'power lost at 40deg'",
     OF_LEAVES | TAKES_ONE_CASE | TAKES_STEP | TAKES_MOTION, command_cycle, NULL},
    {"measure", "balance and friction from a balance test record (CSV), with uncertainty",
     "trunnion measure examples/metric.yaml examples/records/metric.csv --plot fit.svg",
     OF_A_LEAF | TAKES_RECORD | TAKES_FIT, command_measure, NULL},
    {"ballast", "which blocks to move to bring the leaf into its target",
     "trunnion ballast examples/metric.yaml --add 'overlay: 8 kg/m2 on deck'", OF_A_LEAF | TAKES_PLAN | TAKES_FIT,
     command_ballast, NULL},
    {"spread", "how uncertain inputs spread the curves and the margins",
     "trunnion spread examples/uncertain.yaml --plot spread.svg", OF_LEAVES | TAKES_CASE | TAKES_STEP | TAKES_SPREAD,
     command_spread, NULL},
    {"report", "one self-contained HTML page of all that the description allows, with its pictures",
     "trunnion report examples/metric.yaml -o leaf.html", TAKES_LEAF | GIVES_TEXT | TAKES_CASE, command_report, NULL},
    {"new", "a leaf file to start from: every section with its units, defaults and where its values come from",
     "trunnion new leaf.yaml", TAKES_NEW_FILE | TAKES_UNITS, command_new, NULL},
    {"schema", "the JSON Schema of the leaf file, or of a command's JSON, by name; without a name: which there are",
     "trunnion schema leaf -o leaf.json", TAKES_NAME | GIVES_TEXT, command_schema, schema_names},
    {"completion", "a script with which a shell completes commands, options and their values, by the shell's name",
     "trunnion completion bash", TAKES_NAME | GIVES_TEXT, command_completion, completion_names},
};

const size_t command_count = sizeof commands / sizeof commands[0];

const command_entry *command_find(const char *name)
{
    for (size_t i = 0; i < command_count; i++) {
        if (strcmp(name, commands[i].name) == 0) {
            return &commands[i];
        }
    }
    return NULL;
}

/* What differs lies between the letters that both begin with and those that both end with. */
static bool is_one_slip(const char *name, const char *word)
{
    size_t left = strlen(name);
    size_t right = strlen(word);
    while (*name != '\0' && *name == *word) {
        name++;
        word++;
        left--;
        right--;
    }
    while (left > 0 && right > 0 && name[left - 1] == word[right - 1]) {
        left--;
        right--;
    }
    return (left <= 1 && right <= 1) || (left == 2 && right == 2 && name[0] == word[1] && name[1] == word[0]);
}

const char *command_meant(const char *name)
{
    for (size_t i = 0; i < command_count; i++) {
        if (is_one_slip(name, commands[i].name)) {
            return commands[i].name;
        }
    }
    return NULL;
}
