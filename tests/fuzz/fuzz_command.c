/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The bytes are a command line: words, each ended by a NUL. They are read as the tool reads them, twice; some of the
 * quick commands are then run as asked, on an example in place of the files that were named. Nothing is written.
 */
#include <getopt.h>
#include <math.h>
#include <string.h>

#include "command_line.h"
#include "commands.h"
#include "help.h"
#include "option_table.h"
#include "require.h"
#include "target.h"

enum { WORDS_MOST = 60, RUN_ONE_OF = 4 };

typedef struct line {
    char *words[WORDS_MOST + 1];
    int count;
} line;

static line line_of(char *text, size_t size)
{
    line made = {.count = 0};
    for (size_t at = 0; at < size && made.count < WORDS_MOST; at += strlen(text + at) + 1) {
        made.words[made.count++] = text + at;
    }
    return made;
}

static bool is_within(double value, double least, double most)
{
    return value >= least && value <= most;
}

static void check_spread(const options *asked)
{
    REQUIRE(asked->spread.threads >= 0 && asked->spread.threads <= 1024);
    REQUIRE(asked->spread.digits >= 0 && asked->spread.digits <= 2);
    REQUIRE(asked->spread.shard <= asked->spread.shards);
    REQUIRE(asked->spread.shards == 0 || asked->spread.shard > 0);
}

/* Whatever was asked for, what the options hold is what the commands may rely on. */
static void check_options(const options *asked)
{
    REQUIRE(is_within(asked->step_deg, 0.0009, 361) && is_within(asked->drift_deg, 0.0009, 31));
    REQUIRE(is_within(asked->at_deg, 0, 121) && is_within(asked->from_deg, 0, 121));
    REQUIRE(is_within(asked->to_deg, 0, 121));
    REQUIRE(!(asked->seconds > 0) || is_within(asked->seconds, 0.001, 1e6));
    REQUIRE(!asked->every_given || is_within(asked->every_s, 0.0009, 1e4));
    REQUIRE(asked->addition_count <= ADDITIONS_MAX && asked->fault_count <= FAULTS_MAX);
    REQUIRE(asked->format <= FORMAT_CSV && asked->units <= TRN_UNITS_US);
    check_spread(asked);
    if (asked->help || asked->version || (asked->takes & TAKES_LEAF) == 0) {
        return;
    }
    REQUIRE(asked->leaf_file != NULL);
    REQUIRE((asked->takes & TAKES_RECORD) == 0 || asked->record_file != NULL);
}

/* A sentence beside a refusal, and no word without one. */
static exit_status read_line(const command_entry *wanted, line *given, options *asked)
{
    optind = 0;
    said_begin();
    const exit_status status = options_read(wanted->name, wanted->takes, given->count, given->words, asked);
    const size_t said = said_end();
    REQUIRE(status == EXIT_DONE || status == EXIT_BAD_INPUT);
    REQUIRE((status == EXIT_BAD_INPUT) == (said > 0));
    return status;
}

static void check_help(const command_entry *wanted)
{
    char *text = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&text, &length);
    REQUIRE(stream != NULL);
    help_command(wanted, stream);
    REQUIRE(fclose(stream) == 0 && length > 0);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    REQUIRE(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    line given = line_of(text, size);
    const command_entry *wanted = given.count > 0 ? command_find(given.words[0]) : NULL;
    if (wanted != NULL) {
        options asked;
        options again;
        const exit_status status = read_line(wanted, &given, &asked);
        REQUIRE(read_line(wanted, &given, &again) == status);
        options_free(&again);
        if (status == EXIT_DONE) {
            check_options(&asked);
        }
        if (status == EXIT_DONE && asked.help) {
            check_help(wanted);
        } else if (status == EXIT_DONE && !asked.version && size % RUN_ONE_OF == 0) {
            run_quick(wanted, &asked, size / RUN_ONE_OF);
        }
        options_free(&asked);
    }
    free(text);
    return 0;
}
