/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "draft.h"
#include "message.h"
#include "present/caution.h"
#include "trunnion/version.h"

typedef struct command {
    const char *name;
    const char *answers;
    const char *example;
    unsigned takes;
    exit_status (*run)(const options *asked);
} command;

static const command commands[] = {
    {"weigh", "what the leaf weighs, where its centre of gravity is, how far out of balance it is",
     "trunnion weigh examples/metric.yaml --json", 0, command_weigh},
    {"curve", "moments and motor torque against opening angle, every case",
     "trunnion curve examples/metric.yaml --case calm --step 5deg --plot curve.svg", TAKES_CASE | TAKES_STEP,
     command_curve},
    {"explain", "one angle and case worked by hand: each term, its formula with numbers put in, its sum",
     "trunnion explain examples/metric.yaml --at 40deg --case calm", TAKES_CASE | TAKES_AT, command_explain},
    {"drive", "which case governs the motors, at which angle, with what margin; duty; one motor out",
     "trunnion drive examples/metric.yaml", TAKES_CASE, command_drive},
    {"brake", "holding demand against brake capacity; one brake out; emergency stop from the worst angle",
     "trunnion brake examples/metric.yaml", TAKES_CASE, command_brake},
    {"wind", "the wind that still lets the leaf raise, lower, hold, angle by angle; against the posted limit",
     "trunnion wind examples/metric.yaml --plot card.pdf", TAKES_STEP, command_wind},
    {"cycle", "an opening and a closing in time: switches, creep, seating, faults, the whole operation",
     "trunnion cycle examples/metric.yaml --fault 'power lost at 40deg'", TAKES_CASE | TAKES_STEP | TAKES_MOTION,
     command_cycle},
    {"measure", "balance and friction from a balance test record (CSV), with uncertainty",
     "trunnion measure examples/metric.yaml examples/records/metric.csv --plot fit.svg", TAKES_RECORD | TAKES_FIT,
     command_measure},
    {"ballast", "which blocks to move to bring the leaf into its target",
     "trunnion ballast examples/metric.yaml --add 'overlay: 8 kg/m2 on deck'", TAKES_PLAN | TAKES_FIT, command_ballast},
    {"spread", "how uncertain inputs spread the curves and the margins",
     "trunnion spread examples/uncertain.yaml --plot spread.svg", TAKES_CASE | TAKES_STEP | TAKES_SPREAD,
     command_spread},
    {"report", "one self-contained HTML page of all that the description allows, with its pictures",
     "trunnion report examples/metric.yaml -o leaf.html", TAKES_CASE | GIVES_PAGE, command_report},
    {"schema", "the JSON Schema of the leaf file, or of a command's JSON, by name; without a name: which there are",
     "trunnion schema leaf -o leaf.json", TAKES_NAME, command_schema},
};

static const size_t command_count = sizeof commands / sizeof commands[0];

static void print_general_help(FILE *stream)
{
    (void)fputs("trunnion " TRN_VERSION ": the mechanics of a counterweighted trunnion leaf\n\n"
                "usage: trunnion COMMAND LEAF [options]      LEAF is a file, or - for standard input\n\n",
                stream);
    for (size_t i = 0; i < command_count; i++) {
        (void)fprintf(stream, "  %-8s %s\n", commands[i].name, commands[i].answers);
    }
    (void)fputs("\n'trunnion COMMAND --help' tells a command's options and gives an example.\n\n" CAUTION "\n", stream);
}

static void print_help_without_leaf(const command *about)
{
    (void)printf("usage: trunnion %s [NAME] [options]\n\n%s\n\n"
                 "  -o FILE         write there, whole or not at all\n"
                 "  --help          this text\n"
                 "  --version       the version\n\n"
                 "Exit status: 0 done, 2 bad usage, 3 the machine failed (file, memory).\n\n"
                 "example: %s\n",
                 about->name, about->answers, about->example);
}

/* The options that only some commands have. */
static void print_own_options(unsigned takes)
{
    if ((takes & TAKES_FIT) != 0) {
        (void)fputs("  --from ANGLE    where the window of steady speed begins: near_closed unless given\n"
                    "  --to ANGLE      where it ends: near_open unless given\n"
                    "  --ordinary      least squares: every reading counts alike, outliers too\n"
                    "  --friction-by-reaction\n"
                    "                  friction in proportion to the trunnion's reaction, not one for all angles\n",
                    stdout);
    }
    if ((takes & TAKES_PLAN) != 0) {
        (void)fputs("  --seconds N     how long to search at most: 10 unless given\n"
                    "  --record FILE   the leaf as measured: plan from this record of a balance test (CSV), and keep\n"
                    "                  the target at 95 % confidence; what --add tells comes after the test\n",
                    stdout);
    }
    if ((takes & TAKES_MOTION) != 0) {
        (void)fputs("  --fault TEXT    what goes wrong, as often as needed: 'power lost at 40deg', 'emergency stop at\n"
                    "                  40deg', 'pedal released at 40deg', 'motor out at 40deg', 'brake out', 'near\n"
                    "                  switch missed', 'gust 12 m/s for 8 s at 40deg'; with 'opening' or 'closing'\n"
                    "                  behind it in that direction only\n"
                    "  --sweep         the fault that is given without its angle, at all angles\n"
                    "  --gust TEXT     a gust: '12 m/s for 8 s at 20 s', '90 Pa for 8 s'\n"
                    "  --wind-record FILE\n"
                    "                  wind in time (CSV: time [s], and speed [m/s] or pressure [Pa]); - for standard\n"
                    "                  input\n"
                    "  --every TIME    the step of the trace: a round one for 200 rows at most unless given\n"
                    "  --switches      where the near switches may stand, and what a drift of one does\n"
                    "  --drift ANGLE   how far it drifts: 1deg unless given\n"
                    "  --operation     the time line of the whole operation, by the section 'steps'\n",
                    stdout);
    }
    if ((takes & TAKES_SPREAD) != 0) {
        (void)fputs(
            "  --digits N      draw until so many digits, 1 or 2, of the largest standard deviation of each case\n"
            "                  and direction stand (JCGM 101, 7.9), at most 1e6 samples: 2 unless given\n"
            "  --samples N     draw so many samples instead\n"
            "  --seed N        the seed of the samples: 1 unless given\n"
            "  --threads N     threads: one a processor unless given; the result does not depend on it\n"
            "  --shard K/N     only the K-th of N parts of the samples, into -o FILE\n"
            "  --merge FILES   put all N parts together, with the --step and --case of the parts\n",
            stdout);
    }
}

static void print_help(const command *about)
{
    static const char forms[] = "  --json          one JSON object, SI units and degrees\n"
                                "  --csv           CSV with the same names in its header\n";
    static const char plot[] = "  --plot FILE     draw FILE.svg, .png or .pdf, or write the gnuplot script FILE.gp;\n"
                               "                  alone it stands in place of the table\n";
    const bool gives_page = (about->takes & GIVES_PAGE) != 0;
    if ((about->takes & TAKES_NAME) != 0) {
        print_help_without_leaf(about);
        return;
    }
    const bool has_record = (about->takes & TAKES_RECORD) != 0;
    (void)printf("usage: trunnion %s LEAF%s [options]\n\n%s\n\n", about->name, has_record ? " RECORD.csv" : "",
                 about->answers);
    (void)fputs("  LEAF            the leaf file; - for standard input\n", stdout);
    if (has_record) {
        (void)fputs("  RECORD.csv      the record of a balance test; - for standard input\n", stdout);
    }
    if ((about->takes & TAKES_CASE) != 0) {
        (void)fputs("  --case NAME     only the case of that name\n", stdout);
    }
    if ((about->takes & TAKES_STEP) != 0) {
        (void)fputs("  --step ANGLE    the step between angles: 1deg unless given (5deg in a table)\n", stdout);
    }
    if ((about->takes & TAKES_AT) != 0) {
        (void)fputs("  --at ANGLE      the opening angle: 0deg, closed, unless given\n", stdout);
    }
    print_own_options(about->takes);
    (void)printf("  --add TEXT      what if: 'overlay: 35 kg/m2 on deck', 'cable: 120 kg at [6 m, 0.9 m]',\n"
                 "                  'paint: 0.4 kN/m from [1 m, 0.8 m] to [20 m, 0.8 m]',\n"
                 "                  'old deck: -20 kg/m2 on deck', 'blocks: +12 in heel pocket'; as often as needed\n"
                 "%s"
                 "  -o FILE         write there, whole or not at all\n"
                 "%s"
                 "  --help          this text\n"
                 "  --version       the version\n\n"
                 "Exit status: 0 done, 1 done but a requirement is not met, 2 bad input or usage,\n"
                 "3 the machine failed (file, gnuplot, memory).\n\n"
                 "example: %s\n",
                 gives_page ? "" : forms, gives_page ? "" : plot, about->example);
}

static exit_status end_of_help(void)
{
    return fflush(stdout) == 0 ? EXIT_DONE : fail(EXIT_MACHINE, "cannot write standard output");
}

static exit_status run_command(const command *wanted, int argument_count, char **arguments)
{
    options asked;
    exit_status status = options_read(wanted->name, wanted->takes, argument_count, arguments, &asked);
    if (status == EXIT_DONE && asked.help) {
        print_help(wanted);
        status = end_of_help();
    } else if (status == EXIT_DONE) {
        status = wanted->run(&asked);
    }
    options_free(&asked);
    return status;
}

int main(int argument_count, char **arguments)
{
    draft_guard_signals();
    if (argument_count < 2) {
        print_general_help(stderr);
        return EXIT_BAD_INPUT;
    }
    for (int i = 1; i < argument_count && strcmp(arguments[i], "--") != 0; i++) {
        if (strcmp(arguments[i], "--version") == 0) {
            (void)puts("trunnion " TRN_VERSION);
            return (int)end_of_help();
        }
    }
    if (strcmp(arguments[1], "--help") == 0 || strcmp(arguments[1], "help") == 0) {
        print_general_help(stdout);
        return (int)end_of_help();
    }
    for (size_t i = 0; i < command_count; i++) {
        if (strcmp(arguments[1], commands[i].name) == 0) {
            return (int)run_command(&commands[i], argument_count - 1, arguments + 1);
        }
    }
    return (int)fail(EXIT_BAD_INPUT, "unknown command '%s': 'trunnion --help' lists the commands", arguments[1]);
}
