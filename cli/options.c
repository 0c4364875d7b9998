/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "options.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

#include "clash.h"
#include "help.h"
#include "message.h"
#include "option_table.h"
#include "options_spread.h"

/* What getopt gives for a word that is no option, and for the first entry of the table. */
enum { WORD = 1, FIRST_ENTRY = 256, ENTRIES_MAX = 64 };

/* The table as getopt has it; an option whose help differs between commands stands in it twice and here once. */
static void list_for_getopt(struct option list[ENTRIES_MAX + 1])
{
    size_t count = 0;
    for (size_t i = 0; i < option_count && count < ENTRIES_MAX; i++) {
        const option_entry *entry = &option_entries[i];
        if (i > 0 && strcmp(entry->name, option_entries[i - 1].name) == 0) {
            continue;
        }
        list[count++] = (struct option){.name = entry->name,
                                        .has_arg = entry->kind == VALUE_NONE      ? no_argument
                                                   : entry->kind == VALUE_PICTURE ? optional_argument
                                                                                  : required_argument,
                                        .val = FIRST_ENTRY + (int)i};
    }
    list[count] = (struct option){0};
}

/* The entry that a command has of this name; NULL where it has none. */
static const option_entry *entry_for(const char *name, unsigned takes)
{
    for (size_t i = 0; i < option_count; i++) {
        if (strcmp(option_entries[i].name, name) == 0 && option_belongs(&option_entries[i], takes)) {
            return &option_entries[i];
        }
    }
    return NULL;
}

static const char *name_of(int option)
{
    for (size_t i = 0; i < option_count; i++) {
        if (option == FIRST_ENTRY + (int)i || option == option_entries[i].letter) {
            return option_entries[i].name;
        }
    }
    return "";
}

static exit_status unknown(const char *command, int option, char **arguments)
{
    const char *given = arguments[optind - 1];
    if (option == ':') {
        return fail(EXIT_BAD_INPUT, "option %s lacks its value: see 'trunnion %s --help'", given, command);
    }
    if (optopt != 0 && optopt < FIRST_ENTRY) {
        return fail(EXIT_BAD_INPUT, "unknown option '-%c': see 'trunnion %s --help'", optopt, command);
    }
    return fail(EXIT_BAD_INPUT, "unknown option '%s', or a value that it does not take: see 'trunnion %s --help'",
                given, command);
}

static exit_status take_further(options *asked, const char *file)
{
    if (asked->further.count == asked->further.room) {
        const size_t room = 2 * asked->further.room + 16;
        const char **grown = realloc(asked->further.names, room * sizeof *grown);
        if (grown == NULL) {
            return fail_memory();
        }
        asked->further.names = grown;
        asked->further.room = room;
    }
    asked->further.names[asked->further.count++] = file;
    return EXIT_DONE;
}

/* A word behind the command: a leaf file first, then what the command takes. */
static exit_status take_word(const char *command, const char *word, options *asked)
{
    const unsigned takes = asked->takes;
    const char **place = (takes & (TAKES_NAME | TAKES_NEW_FILE)) != 0              ? &asked->name
                         : asked->leaf_file != NULL && (takes & TAKES_RECORD) != 0 ? &asked->record_file
                                                                                   : &asked->leaf_file;
    if (*place == NULL) {
        *place = word;
        return EXIT_DONE;
    }
    if ((takes & TAKES_LEAVES) != 0) {
        return take_further(asked, word);
    }
    return fail(EXIT_BAD_INPUT, "'%s' is left over: the form is 'trunnion %s %s [options]'", word, command,
                help_words(takes));
}

/* A value may be left out at the end, or where another option follows; - stands for one that is. */
static const char *value_after(int argument_count, char **arguments)
{
    const char *next = optind < argument_count ? arguments[optind] : NULL;
    if (next == NULL || (next[0] == '-' && next[1] != '\0')) {
        return NULL;
    }
    optind++;
    return next;
}

/* The last of two values would count, and nothing would show it. */
static exit_status check_once(const option_entry *entry, const char *value, options *asked)
{
    const uint64_t bit = (uint64_t)1 << (entry - option_entries);
    if (entry->kind == VALUE_NONE || option_repeats(entry)) {
        return EXIT_DONE;
    }
    if ((asked->given & bit) != 0) {
        return fail(EXIT_BAD_INPUT, "--%s%s%s is given a second time: expected it once", entry->name,
                    value != NULL ? " " : "", value != NULL ? value : "");
    }
    asked->given |= bit;
    return EXIT_DONE;
}

/* One option, or a word that is none. */
static exit_status take(const char *command, int option, int argument_count, char **arguments, options *asked)
{
    if (option == '?' || option == ':') {
        return unknown(command, option, arguments);
    }
    if (option == 'h') {
        asked->help = true;
        return EXIT_DONE;
    }
    if (option == WORD) {
        return take_word(command, optarg, asked);
    }
    const char *name = name_of(option);
    const option_entry *entry = entry_for(name, asked->takes);
    if (entry == NULL) {
        return fail(EXIT_BAD_INPUT, "'trunnion %s' takes no --%s: see 'trunnion %s --help'", command, name, command);
    }
    const char *value = optarg;
    if (entry->kind == VALUE_PICTURE && value == NULL) {
        value = value_after(argument_count, arguments);
    }
    const exit_status status = check_once(entry, value, asked);
    return status == EXIT_DONE ? entry->apply(asked, value) : status;
}

static size_t is_input(const char *file)
{
    return file != NULL && strcmp(file, "-") == 0;
}

static exit_status check_input(const options *asked)
{
    size_t times = is_input(asked->leaf_file) + is_input(asked->record_file) + is_input(asked->wind_record_file);
    for (size_t i = 0; i < asked->further.count; i++) {
        times += is_input(asked->further.names[i]);
    }
    return times <= 1 ? EXIT_DONE
                      : fail(EXIT_BAD_INPUT, "only one of the files that are read can be -, standard input");
}

static exit_status check_plot(const options *asked)
{
    if (asked->plot_file == NULL) {
        return EXIT_DONE;
    }
    const bool here = strcmp(asked->plot_file, PLOT_HERE) == 0;
    const bool to_file = asked->output_file != NULL && strcmp(asked->output_file, "-") != 0;
    if (here && !to_file && (asked->format_given || asked->output_file != NULL)) {
        return fail(EXIT_BAD_INPUT,
                    "--plot draws where standard output goes, unless it has a file: give one to it, or to -o");
    }
    if (!here && asked->further.count > 0 && !asked->merge) {
        return fail(EXIT_BAD_INPUT, "--plot %s: one file holds the plot of one leaf, %zu are given", asked->plot_file,
                    asked->further.count + 1);
    }
    return EXIT_DONE;
}

static exit_status check_files(const char *command, const options *asked)
{
    const unsigned takes = asked->takes;
    const bool record_missing = (takes & TAKES_RECORD) != 0 && asked->record_file == NULL;
    if (asked->leaf_file == NULL || record_missing) {
        return fail(EXIT_BAD_INPUT, "no %s: the form is 'trunnion %s %s [options]', with - for standard input",
                    asked->leaf_file == NULL ? "leaf file" : "record", command, help_words(takes));
    }
    exit_status status = check_input(asked);
    if (status == EXIT_DONE && (takes & TAKES_SPREAD) != 0) {
        status = spread_check(asked);
    }
    if (status == EXIT_DONE) {
        status = check_plot(asked);
    }
    return status == EXIT_DONE ? clash_check(asked) : status;
}

exit_status options_read(const char *command, unsigned takes, int argument_count, char **arguments, options *asked)
{
    struct option list[ENTRIES_MAX + 1];
    int option;
    exit_status status = EXIT_DONE;
    *asked = (options){.takes = takes, .format = FORMAT_TABLE, .step_deg = 1, .drift_deg = 1};
    list_for_getopt(list);
    opterr = 0;
    /* The dash first: options may follow the leaf file, whatever the environment asks of getopt. */
    while (status == EXIT_DONE && (option = getopt_long(argument_count, arguments, "-:o:h", list, NULL)) != -1) {
        status = take(command, option, argument_count, arguments, asked);
    }
    for (int i = optind; i < argument_count && status == EXIT_DONE; i++) {
        status = take_word(command, arguments[i], asked);
    }
    if (status == EXIT_DONE && asked->quiet && asked->verbose) {
        return fail(EXIT_BAD_INPUT, "--quiet and --verbose exclude each other: give one of them");
    }
    if (status == EXIT_DONE && !asked->help && !asked->version && (takes & TAKES_LEAF) != 0) {
        status = check_files(command, asked);
    }
    return status;
}

void options_free(options *asked)
{
    free(asked->further.names);
    asked->further.names = NULL;
}
