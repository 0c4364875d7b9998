/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "option_table.h"

#include <string.h>

#include "option_apply.h"
#include "options_spread.h"

#define EVERY_COMMAND (~0U)
#define RESULT_OF_ONE (TAKES_AT | TAKES_FIT) /* of those that take further leaves none has these */
#define FAULT_WORDS \
    "power lost\nemergency stop\npedal released\nmotor out\nbrake out\nnear switch missed\ngust 12 m/s for 8 s\n"

const option_entry option_entries[] = {
    {"case", 0, VALUE_CASE, "NAME", TAKES_CASE, NULL, "only the case of that name; of brake, the holding", apply_case},
    {"case", 0, VALUE_CASE, "NAME", TAKES_ONE_CASE, NULL, "the case of that name: the first unless given", apply_case},
    {"step", 0, VALUE_TEXT, "ANGLE", TAKES_STEP, NULL, "the step between angles: 1deg unless given (5deg in a table)",
     apply_step},
    {"at", 0, VALUE_TEXT, "ANGLE", TAKES_AT, NULL, "the opening angle: 0deg unless given, closed", apply_at},
    {"from", 0, VALUE_TEXT, "ANGLE", TAKES_FIT, NULL,
     "where the window of steady speed begins: near_closed unless given", apply_from},
    {"to", 0, VALUE_TEXT, "ANGLE", TAKES_FIT, NULL, "where it ends: near_open unless given", apply_to},
    {"ordinary", 0, VALUE_NONE, NULL, TAKES_FIT, NULL, "least squares: every reading counts alike, outliers too",
     apply_ordinary},
    {"friction-by-reaction", 0, VALUE_NONE, NULL, TAKES_FIT, NULL,
     "friction in proportion to the trunnion's reaction, not one for all angles", apply_by_reaction},
    {"seconds", 0, VALUE_TEXT, "N", TAKES_PLAN, NULL, "how long to search at most: 10 unless given", apply_seconds},
    {"record", 0, VALUE_TABLE, "FILE", TAKES_PLAN, NULL,
     "the leaf as measured: plan from this record of a balance test (CSV), and keep\n"
     "the target at 95 % confidence; what --add tells comes after the test; - for\n"
     "standard input",
     apply_record},
    {"fault", 0, VALUE_WORDS, "TEXT", TAKES_MOTION, FAULT_WORDS,
     "what goes wrong, as often as needed: 'power lost at 40deg', 'emergency stop at\n"
     "40deg', 'pedal released at 40deg', 'motor out at 40deg', 'brake out', 'near\n"
     "switch missed', 'gust 12 m/s for 8 s at 40deg'; with 'opening' or 'closing'\n"
     "behind it in that direction only",
     apply_fault},
    {"sweep", 0, VALUE_NONE, NULL, TAKES_MOTION, NULL, "the fault that is given without its angle, at all angles",
     apply_sweep},
    {"gust", 0, VALUE_WORDS, "TEXT", TAKES_MOTION, "12 m/s for 8 s at 20 s\n90 Pa for 8 s\n",
     "a gust: '12 m/s for 8 s at 20 s', '90 Pa for 8 s'", apply_gust},
    {"wind-record", 0, VALUE_TABLE, "FILE", TAKES_MOTION, NULL,
     "wind in time (CSV: time [s], and speed [m/s] or pressure [Pa]); - for standard\n"
     "input",
     apply_wind_record},
    {"every", 0, VALUE_TEXT, "TIME", TAKES_MOTION, NULL,
     "the step of the trace: a round one for 200 rows at most unless given", apply_every},
    {"switches", 0, VALUE_NONE, NULL, TAKES_MOTION, NULL,
     "where the near switches may stand, and what a drift of one does", apply_switches},
    {"drift", 0, VALUE_TEXT, "ANGLE", TAKES_MOTION, NULL, "how far it drifts: 1deg unless given", apply_drift},
    {"operation", 0, VALUE_NONE, NULL, TAKES_MOTION, NULL,
     "the time line of the whole operation, by the section 'steps'", apply_operation},
    {"digits", 0, VALUE_WORDS, "N", TAKES_SPREAD, "1\n2\n",
     "draw until so many digits, 1 or 2, of the largest standard deviation of each case\n"
     "and direction stand (JCGM 101, 7.9), at most 1e6 samples: 2 unless given",
     spread_digits},
    {"samples", 0, VALUE_TEXT, "N", TAKES_SPREAD, NULL, "draw so many samples instead", spread_samples},
    {"seed", 0, VALUE_TEXT, "N", TAKES_SPREAD, NULL, "the seed of the samples: 1 unless given", spread_seed},
    {"threads", 0, VALUE_TEXT, "N", TAKES_SPREAD, NULL,
     "threads: one a processor unless given; the result does not depend on it", spread_threads},
    {"shard", 0, VALUE_TEXT, "K/N", TAKES_SPREAD, NULL, "only the K-th of N parts of the samples, into -o FILE",
     spread_shard},
    {"merge", 0, VALUE_NONE, NULL, TAKES_SPREAD, NULL,
     "put all N parts together, the files behind LEAF, with the --step and --case of the\nparts", apply_merge},
    {"add", 0, VALUE_TEXT, "TEXT", TAKES_LEAF, NULL,
     "what if: 'overlay: 35 kg/m2 on deck', 'cable: 120 kg at [6 m, 0.9 m]',\n"
     "'paint: 0.4 kN/m from [1 m, 0.8 m] to [20 m, 0.8 m]',\n"
     "'old deck: -20 kg/m2 on deck', 'blocks: +12 in heel pocket'; as often as needed",
     apply_add},
    {"units", 0, VALUE_WORDS, "UNITS", TAKES_LEAF, "metric\nus\n",
     "tables and plots in metric or us units: the leaf file's unless given", apply_units},
    {"units", 0, VALUE_WORDS, "UNITS", TAKES_UNITS, "metric\nus\n", "those of the file: metric unless given, or us",
     apply_units},
    {"json", 0, VALUE_NONE, NULL, RESULT_OF_ONE, NULL, "one JSON object, SI units and degrees", apply_json},
    {"json", 0, VALUE_NONE, NULL, TAKES_LEAVES, NULL,
     "one JSON object, SI units and degrees; of several leaves an array of them", apply_json},
    {"csv", 0, VALUE_NONE, NULL, GIVES_RESULT, NULL, "CSV with the same names in its header", apply_csv},
    {"output", 'o', VALUE_FILE, "FILE", GIVES_TEXT, NULL, "write there, whole or not at all; - for standard output",
     apply_output},
    {"plot", 0, VALUE_PICTURE, "FILE", GIVES_RESULT, NULL,
     "draw FILE.svg, .png or .pdf, or write the gnuplot script FILE.gp; without a\n"
     "file, or with -, draw where standard output goes; alone it stands in place of\n"
     "the table",
     apply_plot},
    {"quiet", 0, VALUE_NONE, NULL, EVERY_COMMAND, NULL,
     "nothing on standard output, of messages only errors and what is not met", apply_quiet},
    {"verbose", 0, VALUE_NONE, NULL, EVERY_COMMAND, NULL,
     "tell what was read, which defaults were taken, which case, how long it took", apply_verbose},
    {"help", 0, VALUE_NONE, NULL, EVERY_COMMAND, NULL, "this text", apply_help},
    {"version", 0, VALUE_NONE, NULL, EVERY_COMMAND, NULL, "the version", apply_version},
};

const size_t option_count = sizeof option_entries / sizeof option_entries[0];

bool option_belongs(const option_entry *entry, unsigned takes)
{
    return (entry->takes & takes) != 0;
}

bool option_repeats(const option_entry *entry)
{
    return strstr(entry->help, "as often as needed") != NULL;
}
