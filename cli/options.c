/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "options.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

#include "angles.h"
#include "clash.h"
#include "message.h"
#include "options_spread.h"
#include "present/plot.h"
#include "trunnion/describe.h"

enum {
    OPTION_JSON = 256,
    OPTION_CSV,
    OPTION_PLOT,
    OPTION_CASE,
    OPTION_STEP,
    OPTION_AT,
    OPTION_HELP,
    OPTION_FROM,
    OPTION_TO,
    OPTION_ORDINARY,
    OPTION_BY_REACTION,
    OPTION_ADD,
    OPTION_RECORD,
    OPTION_SECONDS,
    OPTION_FAULT,
    OPTION_SWEEP,
    OPTION_GUST,
    OPTION_WIND_RECORD,
    OPTION_EVERY,
    OPTION_SWITCHES,
    OPTION_DRIFT,
    OPTION_OPERATION,
    OPTION_SAMPLES,
    OPTION_DIGITS,
    OPTION_SEED,
    OPTION_THREADS,
    OPTION_SHARD,
    OPTION_MERGE
};

/* A search for a plan. */
#define SECONDS_LEAST 0.01
#define SECONDS_MOST 86400.0

/* The step of a trace. */
#define EVERY_LEAST_S 0.001
#define EVERY_MOST_S 3600.0

/* How far a limit switch drifts. */
#define DRIFT_LEAST_DEG 0.001
#define DRIFT_MOST_DEG 30.0

/* What getopt gives for a word that is no option. */
enum { LEAF_FILE = 1 };

static const struct option known[] = {
    {"json", no_argument, NULL, OPTION_JSON},
    {"csv", no_argument, NULL, OPTION_CSV},
    {"output", required_argument, NULL, 'o'},
    {"plot", required_argument, NULL, OPTION_PLOT},
    {"case", required_argument, NULL, OPTION_CASE},
    {"step", required_argument, NULL, OPTION_STEP},
    {"at", required_argument, NULL, OPTION_AT},
    {"help", no_argument, NULL, OPTION_HELP},
    {"from", required_argument, NULL, OPTION_FROM},
    {"to", required_argument, NULL, OPTION_TO},
    {"ordinary", no_argument, NULL, OPTION_ORDINARY},
    {"friction-by-reaction", no_argument, NULL, OPTION_BY_REACTION},
    {"add", required_argument, NULL, OPTION_ADD},
    {"record", required_argument, NULL, OPTION_RECORD},
    {"seconds", required_argument, NULL, OPTION_SECONDS},
    {"fault", required_argument, NULL, OPTION_FAULT},
    {"sweep", no_argument, NULL, OPTION_SWEEP},
    {"gust", required_argument, NULL, OPTION_GUST},
    {"wind-record", required_argument, NULL, OPTION_WIND_RECORD},
    {"every", required_argument, NULL, OPTION_EVERY},
    {"switches", no_argument, NULL, OPTION_SWITCHES},
    {"drift", required_argument, NULL, OPTION_DRIFT},
    {"operation", no_argument, NULL, OPTION_OPERATION},
    {"samples", required_argument, NULL, OPTION_SAMPLES},
    {"digits", required_argument, NULL, OPTION_DIGITS},
    {"seed", required_argument, NULL, OPTION_SEED},
    {"threads", required_argument, NULL, OPTION_THREADS},
    {"shard", required_argument, NULL, OPTION_SHARD},
    {"merge", no_argument, NULL, OPTION_MERGE},
    {NULL, 0, NULL, 0},
};

static unsigned mask_of(int option)
{
    switch (option) {
    case OPTION_CASE:
        return TAKES_CASE;
    case OPTION_STEP:
        return TAKES_STEP;
    case OPTION_AT:
        return TAKES_AT;
    case OPTION_FROM:
    case OPTION_TO:
    case OPTION_ORDINARY:
    case OPTION_BY_REACTION:
        return TAKES_FIT;
    case OPTION_RECORD:
    case OPTION_SECONDS:
        return TAKES_PLAN;
    case OPTION_FAULT:
    case OPTION_SWEEP:
    case OPTION_GUST:
    case OPTION_WIND_RECORD:
    case OPTION_EVERY:
    case OPTION_SWITCHES:
    case OPTION_DRIFT:
    case OPTION_OPERATION:
        return TAKES_MOTION;
    case OPTION_SAMPLES:
    case OPTION_DIGITS:
    case OPTION_SEED:
    case OPTION_THREADS:
    case OPTION_SHARD:
    case OPTION_MERGE:
        return TAKES_SPREAD;
    default:
        return 0;
    }
}

static bool belongs(int option, unsigned takes)
{
    const unsigned mask = mask_of(option);
    if ((takes & TAKES_NAME) != 0) {
        return option == 'o' || option == OPTION_HELP;
    }
    return mask == 0 || (mask & takes) != 0;
}

static exit_status set_format(options *asked, output_format format)
{
    if (asked->format_given && asked->format != format) {
        return fail(EXIT_BAD_INPUT, "--json and --csv exclude each other: give one of them");
    }
    asked->format = format;
    asked->format_given = true;
    return EXIT_DONE;
}

static exit_status set_step(options *asked, const char *text)
{
    asked->step_given = true;
    return angle_option("--step", text, STEP_LEAST_DEG, STEP_MOST_DEG, &asked->step_deg);
}

static exit_status add(options *asked, const char *text)
{
    if (asked->addition_count == ADDITIONS_MAX) {
        return fail(EXIT_BAD_INPUT, "--add '%s': expected at most %d additions", text, ADDITIONS_MAX);
    }
    asked->additions[asked->addition_count++] = text;
    return EXIT_DONE;
}

/* Decimal digits and a point; all of the text or nothing. */
static exit_status set_seconds(options *asked, const char *text)
{
    char *end = NULL;
    const bool plain = text[0] != '\0' && strspn(text, "0123456789.") == strlen(text);
    asked->seconds = plain ? strtod(text, &end) : 0;
    if (!plain || *end != '\0' || !(asked->seconds >= SECONDS_LEAST && asked->seconds <= SECONDS_MOST)) {
        return fail(EXIT_BAD_INPUT, "--seconds %s: expected a number of seconds from %g to %g, such as 30", text,
                    SECONDS_LEAST, SECONDS_MOST);
    }
    return EXIT_DONE;
}

static exit_status add_fault(options *asked, const char *text)
{
    if (asked->fault_count == FAULTS_MAX) {
        return fail(EXIT_BAD_INPUT, "--fault '%s': expected at most %d faults", text, FAULTS_MAX);
    }
    asked->faults[asked->fault_count++] = text;
    return EXIT_DONE;
}

static exit_status set_every(options *asked, const char *text)
{
    trn_error error;
    const trn_status status = trn_time_read(text, &asked->every_s, &error);
    if (status == TRN_NO_MEMORY || status == TRN_NO_UNITS) {
        return fail(EXIT_MACHINE, "%s", trn_status_text(status));
    }
    if (status != TRN_OK) {
        return fail(EXIT_BAD_INPUT, "--every %s: %s", text, error.text);
    }
    if (!(asked->every_s >= EVERY_LEAST_S && asked->every_s <= EVERY_MOST_S)) {
        return fail(EXIT_BAD_INPUT, "--every %s: expected a time from %g to %g s, such as 0.5s", text, EVERY_LEAST_S,
                    EVERY_MOST_S);
    }
    asked->every_given = true;
    return EXIT_DONE;
}

/* The options of a leaf that moves in time. */
static exit_status apply_motion(options *asked, int option)
{
    switch (option) {
    case OPTION_FAULT:
        return add_fault(asked, optarg);
    case OPTION_SWEEP:
        asked->sweep = true;
        return EXIT_DONE;
    case OPTION_GUST:
        asked->gust = optarg;
        return EXIT_DONE;
    case OPTION_WIND_RECORD:
        asked->wind_record_file = optarg;
        return EXIT_DONE;
    case OPTION_EVERY:
        return set_every(asked, optarg);
    case OPTION_SWITCHES:
        asked->switches = true;
        return EXIT_DONE;
    case OPTION_DRIFT:
        asked->drift_given = true;
        return angle_option("--drift", optarg, DRIFT_LEAST_DEG, DRIFT_MOST_DEG, &asked->drift_deg);
    default:
        asked->operation = true;
        return EXIT_DONE;
    }
}

static exit_status apply(options *asked, int option)
{
    if (mask_of(option) == TAKES_MOTION) {
        return apply_motion(asked, option);
    }
    switch (option) {
    case OPTION_JSON:
        return set_format(asked, FORMAT_JSON);
    case OPTION_CSV:
        return set_format(asked, FORMAT_CSV);
    case 'o':
        asked->output_file = optarg;
        return EXIT_DONE;
    case OPTION_PLOT:
        asked->plot_file = optarg;
        return plot_form_check(optarg);
    case OPTION_CASE:
        asked->case_name = optarg;
        return EXIT_DONE;
    case OPTION_STEP:
        return set_step(asked, optarg);
    case OPTION_AT:
        return angle_option("--at", optarg, 0, 120, &asked->at_deg);
    case OPTION_FROM:
        asked->from_given = true;
        return angle_option("--from", optarg, 0, 120, &asked->from_deg);
    case OPTION_TO:
        asked->to_given = true;
        return angle_option("--to", optarg, 0, 120, &asked->to_deg);
    case OPTION_ORDINARY:
        asked->ordinary = true;
        return EXIT_DONE;
    case OPTION_BY_REACTION:
        asked->friction_by_reaction = true;
        return EXIT_DONE;
    case OPTION_ADD:
        return add(asked, optarg);
    case OPTION_RECORD:
        asked->record_file = optarg;
        return EXIT_DONE;
    case OPTION_SECONDS:
        return set_seconds(asked, optarg);
    case OPTION_SAMPLES:
        return spread_samples(asked, optarg);
    case OPTION_DIGITS:
        return spread_digits(asked, optarg);
    case OPTION_SEED:
        return spread_seed(asked, optarg);
    case OPTION_THREADS:
        return spread_threads(asked, optarg);
    case OPTION_SHARD:
        return spread_shard(asked, optarg);
    case OPTION_MERGE:
        asked->merge = true;
        return EXIT_DONE;
    default:
        asked->help = true;
        return EXIT_DONE;
    }
}

static exit_status unknown(const char *command, int option, char **arguments)
{
    const char *given = arguments[optind - 1];
    if (option == ':') {
        return fail(EXIT_BAD_INPUT, "option %s lacks its value: see 'trunnion %s --help'", given, command);
    }
    if (optopt != 0 && optopt < OPTION_JSON) {
        return fail(EXIT_BAD_INPUT, "unknown option '-%c': see 'trunnion %s --help'", optopt, command);
    }
    return fail(EXIT_BAD_INPUT, "unknown option '%s', or a value that it does not take: see 'trunnion %s --help'",
                given, command);
}

/* The files of a command, in words. */
static const char *form_of_files(unsigned takes)
{
    return (takes & TAKES_RECORD) != 0 ? "LEAF RECORD.csv" : "LEAF";
}

static exit_status take_record_file(const char *command, const char *file, options *asked)
{
    if (asked->record_file != NULL) {
        return fail(EXIT_BAD_INPUT,
                    "one leaf file and one record: '%s' is left over; the form is 'trunnion %s LEAF RECORD.csv "
                    "[options]'",
                    file, command);
    }
    asked->record_file = file;
    return EXIT_DONE;
}

static exit_status take_name(const char *command, const char *name, options *asked)
{
    if (asked->name != NULL) {
        return fail(EXIT_BAD_INPUT, "one name at a time: '%s' is left over; the form is 'trunnion %s [NAME]'", name,
                    command);
    }
    asked->name = name;
    return EXIT_DONE;
}

static exit_status take_file(const char *command, unsigned takes, const char *file, options *asked)
{
    if ((takes & TAKES_NAME) != 0) {
        return take_name(command, file, asked);
    }
    if (asked->leaf_file != NULL && (takes & TAKES_RECORD) != 0) {
        return take_record_file(command, file, asked);
    }
    if (asked->leaf_file != NULL && (takes & TAKES_SPREAD) != 0) {
        return spread_merged(asked, file);
    }
    if (asked->leaf_file != NULL) {
        return fail(EXIT_BAD_INPUT,
                    "one leaf file at a time: '%s' is left over; the form is 'trunnion %s LEAF [options]'", file,
                    command);
    }
    asked->leaf_file = file;
    return EXIT_DONE;
}

/* One option, or a word that is none: the leaf file. */
static exit_status take(const char *command, unsigned takes, int option, int index, char **arguments, options *asked)
{
    if (option == '?' || option == ':') {
        return unknown(command, option, arguments);
    }
    if (option == LEAF_FILE) {
        return take_file(command, takes, optarg, asked);
    }
    if (!belongs(option, takes)) {
        return fail(EXIT_BAD_INPUT, "'trunnion %s' takes no --%s: see 'trunnion %s --help'", command, known[index].name,
                    command);
    }
    return apply(asked, option);
}

static exit_status check_files(const char *command, unsigned takes, const options *asked)
{
    const bool leaf_is_input = asked->leaf_file != NULL && strcmp(asked->leaf_file, "-") == 0;
    if (leaf_is_input && asked->wind_record_file != NULL && strcmp(asked->wind_record_file, "-") == 0) {
        return fail(EXIT_BAD_INPUT, "only one of the leaf file and the record of wind can be -, standard input");
    }
    const bool record_missing = (takes & TAKES_RECORD) != 0 && asked->record_file == NULL;
    if (leaf_is_input && asked->record_file != NULL && strcmp(asked->record_file, "-") == 0) {
        return fail(EXIT_BAD_INPUT, "only one of the leaf file and the record can be -, standard input");
    }
    if (asked->leaf_file != NULL && !record_missing) {
        const exit_status status = (takes & TAKES_SPREAD) != 0 ? spread_check(asked) : EXIT_DONE;
        return status == EXIT_DONE ? clash_check(asked) : status;
    }
    return fail(EXIT_BAD_INPUT, "no %s: the form is 'trunnion %s %s [options]', with - for standard input",
                asked->leaf_file == NULL ? "leaf file" : "record", command, form_of_files(takes));
}

exit_status options_read(const char *command, unsigned takes, int argument_count, char **arguments, options *asked)
{
    int option;
    int index = 0;
    exit_status status = EXIT_DONE;
    *asked = (options){.format = FORMAT_TABLE, .step_deg = 1, .drift_deg = 1};
    opterr = 0;
    /* The dash first: options may follow the leaf file, whatever the environment asks of getopt. */
    while (status == EXIT_DONE && (option = getopt_long(argument_count, arguments, "-:o:", known, &index)) != -1) {
        status = take(command, takes, option, index, arguments, asked);
    }
    for (int i = optind; i < argument_count && status == EXIT_DONE; i++) {
        status = take_file(command, takes, arguments[i], asked);
    }
    if (status == EXIT_DONE && !asked->help && (takes & TAKES_NAME) == 0) {
        status = check_files(command, takes, asked);
    }
    return status;
}

void options_free(options *asked)
{
    free(asked->spread.merged);
    asked->spread.merged = NULL;
}
