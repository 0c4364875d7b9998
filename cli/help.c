/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "help.h"

#include <string.h>

#include "option_table.h"
#include "present/caution.h"
#include "trunnion/version.h"

/* Where the words of an option begin. */
enum { INDENT = 18 };

void help_general(FILE *stream)
{
    size_t widest = 0;
    (void)fputs("trunnion " TRN_VERSION ": the mechanics of a counterweighted trunnion leaf\n\n"
                "usage: trunnion COMMAND LEAF [options]      LEAF is a file, or - for standard input\n\n",
                stream);
    for (size_t i = 0; i < command_count; i++) {
        const size_t width = strlen(commands[i].name);
        widest = width > widest ? width : widest;
    }
    for (size_t i = 0; i < command_count; i++) {
        (void)fprintf(stream, "  %-*s  %s\n", (int)widest, commands[i].name, commands[i].answers);
    }
    (void)fputs("\n'trunnion COMMAND --help' tells a command's options and gives an example. 'trunnion new leaf.yaml'\n"
                "writes a leaf file to start from.\n\n" CAUTION "\n",
                stream);
}

const char *help_words(unsigned takes)
{
    return (takes & TAKES_NAME) != 0       ? "[NAME]"
           : (takes & TAKES_NEW_FILE) != 0 ? "[FILE]"
           : (takes & TAKES_RECORD) != 0   ? "LEAF RECORD.csv"
           : (takes & TAKES_LEAVES) != 0   ? "LEAF..."
                                           : "LEAF";
}

/* The name of what is told, and beside it, or below it where it is long, its text. */
static void entry(FILE *stream, const char *name, const char *text)
{
    const int width = fprintf(stream, "  %s", name);
    (void)fprintf(stream, "%s%*s", width < INDENT ? "" : "\n", width < INDENT ? INDENT - width : INDENT, "");
    for (; *text != '\0'; text++) {
        (void)fputc(*text, stream);
        if (*text == '\n') {
            (void)fprintf(stream, "%*s", INDENT, "");
        }
    }
    (void)fputc('\n', stream);
}

static void words(FILE *stream, const command_entry *about)
{
    if ((about->takes & TAKES_LEAF) != 0) {
        entry(stream, "LEAF",
              (about->takes & TAKES_LEAVES) != 0
                  ? "the leaf file; - for standard input; several are worked one after the other"
                  : "the leaf file; - for standard input");
    }
    if ((about->takes & TAKES_RECORD) != 0) {
        entry(stream, "RECORD.csv", "the record of a balance test; - for standard input");
    }
    if ((about->takes & TAKES_NEW_FILE) != 0) {
        entry(stream, "FILE", "the file to be made, which must not be there; standard output unless given");
    }
    if (about->names != NULL) {
        (void)fputs("NAME is one of:\n", stream);
        about->names(stream);
        (void)fputc('\n', stream);
    }
}

static void option(FILE *stream, const option_entry *told)
{
    char name[80];
    const bool optional = told->kind == VALUE_PICTURE;
    const char *dashes = told->letter != 0 ? "-" : "--";
    const char letter[] = {told->letter, '\0'};
    (void)snprintf(name, sizeof name, "%s%s%s%s%s%s", dashes, told->letter != 0 ? letter : told->name,
                   told->value != NULL ? " " : "", optional ? "[" : "", told->value != NULL ? told->value : "",
                   optional ? "]" : "");
    entry(stream, name, told->help);
}

void help_command(const command_entry *about, FILE *stream)
{
    (void)fprintf(stream, "usage: trunnion %s %s [options]\n\n%s\n\n", about->name, help_words(about->takes),
                  about->answers);
    words(stream, about);
    for (size_t i = 0; i < option_count; i++) {
        if (option_belongs(&option_entries[i], about->takes)) {
            option(stream, &option_entries[i]);
        }
    }
    (void)fputs((about->takes & TAKES_LEAF) != 0
                    ? "\nExit status: 0 done, 1 done but a requirement is not met, 2 bad input or usage,\n"
                      "3 the machine failed (file, gnuplot, memory).\n"
                    : "\nExit status: 0 done, 2 bad usage, 3 the machine failed (file, memory).\n",
                stream);
    (void)fprintf(stream, "\nexample: %s\n", about->example);
}
