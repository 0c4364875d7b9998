/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "commands.h"
#include "completion_shells.h"
#include "option_table.h"

/* Text within the specification of an option: brackets and colons would end it. */
static void description(FILE *stream, const char *text)
{
    const size_t length = strcspn(text, ":;");
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '\'') {
            (void)fputs("'\\''", stream);
        } else if (text[i] == '[' || text[i] == ']') {
            (void)fprintf(stream, "\\%c", text[i]);
        } else {
            (void)fputc(text[i] == '\n' ? ' ' : text[i], stream);
        }
    }
}

/* What completes a value; words are handed to a function, so that blanks in them are quoted as the person began. */
static void action(FILE *stream, const option_entry *entry)
{
    static const char *const actions[] = {[VALUE_TEXT] = " ",
                                          [VALUE_CASE] = "_trunnion_cases",
                                          [VALUE_FILE] = "_files",
                                          [VALUE_TABLE] = "_files -g \"*.csv\"",
                                          [VALUE_PICTURE] = "_files -g \"*.(svg|png|pdf|gp)\""};
    if (entry->kind == VALUE_WORDS) {
        (void)fprintf(stream, "_trunnion_words %s", entry->name);
    } else {
        (void)fputs(actions[entry->kind], stream);
    }
}

static void specification(FILE *stream, const option_entry *entry)
{
    const bool repeats = option_repeats(entry);
    const char *sign = entry->kind == VALUE_NONE ? "" : "=";
    const char *value_mark = entry->kind == VALUE_NONE ? "" : entry->kind == VALUE_PICTURE ? "::" : ":";
    (void)fputs("        ", stream);
    if (entry->letter != 0) {
        (void)fprintf(stream, "'(-%c --%s)'{-%c,--%s%s}'", entry->letter, entry->name, entry->letter, entry->name,
                      sign);
    } else {
        (void)fprintf(stream, "'%s--%s%s", repeats ? "*" : "", entry->name, sign);
    }
    (void)fputc('[', stream);
    description(stream, entry->help);
    (void)fprintf(stream, "]%s", value_mark);
    if (entry->kind != VALUE_NONE) {
        (void)fprintf(stream, "%s:", entry->value);
        action(stream, entry);
    }
    (void)fputs("'\n", stream);
}

static void operands(FILE *stream, const command_entry *about)
{
    static const char leaf[] = "leaf file:_files -g \"*.(yaml|yml)\"'";
    (void)fputs("        ", stream);
    if (about->names != NULL) {
        (void)fprintf(stream, "'1:name:_trunnion_words %s'", about->name);
    } else if ((about->takes & TAKES_RECORD) != 0) {
        (void)fprintf(stream, "'1:%s '2:record of a balance test:_files -g \"*.csv\"'", leaf);
    } else {
        (void)fprintf(stream, "'%s:%s", (about->takes & TAKES_LEAVES) != 0 ? "*" : "1", leaf);
    }
    (void)fputc('\n', stream);
}

static void arguments_of(FILE *stream, const command_entry *about)
{
    (void)fprintf(stream, "    %s) specifications=(\n", about->name);
    for (size_t i = 0; i < option_count; i++) {
        if (option_belongs(&option_entries[i], about->takes)) {
            specification(stream, &option_entries[i]);
        }
    }
    operands(stream, about);
    (void)fputs("        ) ;;\n", stream);
}

static void command_list(FILE *stream)
{
    (void)fputs("        names=(\n", stream);
    for (size_t i = 0; i < command_count; i++) {
        (void)fprintf(stream, "            '%s:", commands[i].name);
        description(stream, commands[i].answers);
        (void)fputs("'\n", stream);
    }
    (void)fputs("        )\n        _describe command names\n        return\n", stream);
}

static void word_lists(FILE *stream)
{
    (void)fputs("_trunnion_words() {\n    local -a words_\n    case $@[-1] in\n", stream);
    for (size_t i = 0; i < option_count; i++) {
        const option_entry *entry = &option_entries[i];
        if (entry->kind == VALUE_WORDS && (i == 0 || strcmp(entry->name, option_entries[i - 1].name) != 0)) {
            (void)fprintf(stream, "    %s) words_=(", entry->name);
            shell_words(stream, entry->words);
            (void)fputs(" ) ;;\n", stream);
        }
    }
    for (size_t i = 0; i < command_count; i++) {
        if (commands[i].names != NULL) {
            (void)fprintf(stream, "    %s) words_=(\n", commands[i].name);
            commands[i].names(stream);
            (void)fputs("    ) ;;\n", stream);
        }
    }
    (void)fputs("    esac\n    compadd \"${@[1,-2]}\" -a words_\n}\n\n", stream);
}

static const char cases[] =
    "# The cases of the first word that is a leaf file; of brake the holdings.\n"
    "_trunnion_cases() {\n"
    "    local word\n"
    "    local -a names teller=(curve --step 360deg)\n"
    "    [[ $words_of[2] != brake ]] || teller=(brake)\n"
    "    for word in \"${(@Q)words_of[3,-1]}\"; do\n"
    "        word=${word/#\\~\\//$HOME/}\n"
    "        if [[ -f $word && $word == *.y*ml ]]; then\n"
    "            names=(\"${(@fu)$(\"${(Q)words_of[1]}\" $teller --csv -- $word 2> /dev/null |\n"
    "                sed -nE -e 1d -e '/^\"/{s/^\"(([^\"]|\"\")*)\",.*/\\1/' -e 's/\"\"/\"/g' -e p -e d -e '}' -e "
    "'s/,.*//p')}\")\n"
    "            # A quote that is open here may end another of a line before: what a shell would obey is offered "
    "outside of\n"
    "            # quotes only, and a backtick nowhere.\n"
    "            names=(\"${(@)names:#*\\`*}\")\n"
    "            [[ -z $compstate[quote] ]] || names=(\"${(@)names:#*[\\\"\\'\\$\\\\!;&|<>]*}\")\n"
    "            compadd \"$@\" -a names\n"
    "            return\n"
    "        fi\n"
    "    done\n"
    "    return 1\n"
    "}\n\n";

void completion_zsh(FILE *stream)
{
    (void)fputs("#compdef trunnion\n# zsh completion of trunnion, made by: trunnion completion zsh\n\n", stream);
    word_lists(stream);
    (void)fputs(cases, stream);
    (void)fputs("_trunnion() {\n    local -a names specifications words_of=(\"${(@)words}\")\n"
                "    if (( CURRENT == 2 )); then\n",
                stream);
    command_list(stream);
    (void)fputs("    fi\n    case $words[2] in\n", stream);
    for (size_t i = 0; i < command_count; i++) {
        arguments_of(stream, &commands[i]);
    }
    (void)fputs(
        "    *) return 1 ;;\n    esac\n    shift words\n    (( CURRENT-- ))\n"
        "    _arguments -s -S $specifications\n}\n\n"
        "if [[ $funcstack[1] == _trunnion ]]; then\n    _trunnion \"$@\"\nelse\n    compdef _trunnion trunnion\nfi\n",
        stream);
}
