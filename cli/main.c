/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <fcntl.h>
#include <stdio.h>
#include <string.h>

#include "batch.h"
#include "commands.h"
#include "draft.h"
#include "help.h"
#include "message.h"
#include "present/json.h"
#include "trunnion/version.h"

static exit_status end_of_help(void)
{
    return fflush(stdout) == 0 ? EXIT_DONE : fail(EXIT_MACHINE, "cannot write standard output");
}

static exit_status tell_version(void)
{
    (void)puts("trunnion " TRN_VERSION);
    return end_of_help();
}

static exit_status tell_help(const command_entry *about)
{
    if (about != NULL) {
        help_command(about, stdout);
    } else {
        help_general(stdout);
    }
    return end_of_help();
}

static exit_status unknown_command(const char *name)
{
    const char *meant = command_meant(name);
    return meant != NULL
               ? fail(EXIT_BAD_INPUT, "unknown command '%s': did you mean %s? 'trunnion --help' lists all", name, meant)
               : fail(EXIT_BAD_INPUT, "unknown command '%s': 'trunnion --help' lists the commands", name);
}

static exit_status work(const command_entry *wanted, const options *asked)
{
    message_choose(asked->quiet, asked->verbose);
    const exit_status status =
        asked->further.count > 0 && !asked->merge ? batch_run(asked, wanted->run) : wanted->run(asked);
    message_time();
    return status;
}

static exit_status run_command(const command_entry *wanted, int argument_count, char **arguments)
{
    options asked;
    exit_status status = options_read(wanted->name, wanted->takes, argument_count, arguments, &asked);
    if (status == EXIT_DONE) {
        status = asked.version ? tell_version() : asked.help ? tell_help(wanted) : work(wanted, &asked);
    }
    options_free(&asked);
    return status;
}

/*
 * Whoever starts us may have closed these: no file of ours shall get their number, and then what is meant for them. To
 * read or write them goes on failing.
 */
static void keep_standard_streams(void)
{
    static const int useless[] = {O_WRONLY, O_RDONLY, O_WRONLY};
    for (int i = 0; i < 3; i++) {
        if (fcntl(i, F_GETFD) < 0) {
            (void)open("/dev/null", useless[i]);
        }
    }
}

/* A sentence goes out whole: those of several programs at once do not run into each other. */
static void keep_sentences_whole(void)
{
    static char line[4096];
    (void)setvbuf(stderr, line, _IOLBF, sizeof line);
}

int main(int argument_count, char **arguments)
{
    keep_standard_streams();
    keep_sentences_whole();
    draft_guard_signals();
    json_guard_memory();
    if (argument_count < 2) {
        help_general(stderr);
        return EXIT_BAD_INPUT;
    }
    const char *first = arguments[1];
    if (strcmp(first, "--version") == 0) {
        return (int)tell_version();
    }
    if (strcmp(first, "--help") == 0 || strcmp(first, "-h") == 0 || strcmp(first, "help") == 0) {
        const command_entry *about = argument_count > 2 ? command_find(arguments[2]) : NULL;
        return (int)(argument_count > 2 && about == NULL ? unknown_command(arguments[2]) : tell_help(about));
    }
    const command_entry *wanted = command_find(first);
    return (int)(wanted != NULL ? run_command(wanted, argument_count - 1, arguments + 1) : unknown_command(first));
}
