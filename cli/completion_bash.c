/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "commands.h"
#include "completion_shells.h"
#include "option_table.h"

void shell_quoted(FILE *stream, const char *text, size_t length)
{
    (void)fputc('\'', stream);
    for (size_t i = 0; i < length && text[i] != '\0'; i++) {
        if (text[i] == '\'') {
            (void)fputs("'\\''", stream);
        } else {
            (void)fputc(text[i] == '\n' ? ' ' : text[i], stream);
        }
    }
    (void)fputc('\'', stream);
}

void shell_words(FILE *stream, const char *lines)
{
    while (*lines != '\0') {
        const size_t length = strcspn(lines, "\n");
        (void)fputc(' ', stream);
        shell_quoted(stream, lines, length);
        lines += length + (lines[length] == '\n');
    }
}

/* What completes the value of an option; its words where it has some. */
static void value(FILE *stream, const option_entry *entry)
{
    static const char *const makers[] = {[VALUE_CASE] = "_trunnion_cases",
                                         [VALUE_FILE] = "_trunnion_files ''",
                                         [VALUE_TABLE] = "_trunnion_files csv",
                                         [VALUE_PICTURE] = "_trunnion_files svg png pdf gp",
                                         [VALUE_TEXT] = ":"};
    if (entry->kind == VALUE_WORDS) {
        (void)fputs("_trunnion_words", stream);
        shell_words(stream, entry->words);
    } else {
        (void)fputs(makers[entry->kind], stream);
    }
}

static bool is_repeated(size_t index)
{
    return index > 0 && strcmp(option_entries[index].name, option_entries[index - 1].name) == 0;
}

static void values(FILE *stream)
{
    (void)fputs("# What may stand behind an option; fails for one without a value.\n_trunnion_value() {\n"
                "    case $1 in\n",
                stream);
    for (size_t i = 0; i < option_count; i++) {
        const option_entry *entry = &option_entries[i];
        if (entry->kind != VALUE_NONE && !is_repeated(i)) {
            (void)fprintf(stream, "    --%s", entry->name);
            if (entry->letter != 0) {
                (void)fprintf(stream, " | -%c", entry->letter);
            }
            (void)fputs(") ", stream);
            value(stream, entry);
            (void)fputs(" ;;\n", stream);
        }
    }
    (void)fputs("    *) return 1 ;;\n    esac\n}\n\n", stream);
}

static void options_of(FILE *stream, const command_entry *about)
{
    (void)fprintf(stream, "    %s) _trunnion_words", about->name);
    for (size_t i = 0; i < option_count; i++) {
        const option_entry *entry = &option_entries[i];
        if (option_belongs(entry, about->takes)) {
            (void)fprintf(stream, " --%s", entry->name);
            if (entry->letter != 0) {
                (void)fprintf(stream, " -%c", entry->letter);
            }
        }
    }
    (void)fputs(" ;;\n", stream);
}

/* The names are words of our own, a line each. */
static void words_of(FILE *stream, const command_entry *about)
{
    (void)fprintf(stream, "    %s) ", about->name);
    if (about->names != NULL) {
        (void)fputs("local -a names=(\n", stream);
        about->names(stream);
        (void)fputs("    ); _trunnion_words \"${names[@]}\"", stream);
    } else {
        (void)fputs((about->takes & TAKES_RECORD) != 0 ? "_trunnion_files yaml yml csv" : "_trunnion_files yaml yml",
                    stream);
    }
    (void)fputs(" ;;\n", stream);
}

static void by_command(FILE *stream, const char *name, const char *says, void (*one)(FILE *, const command_entry *))
{
    (void)fprintf(stream, "# %s\n%s() {\n    case $1 in\n", says, name);
    for (size_t i = 0; i < command_count; i++) {
        one(stream, &commands[i]);
    }
    (void)fputs("    esac\n}\n\n", stream);
}

/* Names come from files: they are compared and quoted, never expanded. */
static const char helpers[] =
    "# A word with a backslash before all that means something to a shell.\n"
    "_trunnion_escaped() {\n"
    "    local i letter\n"
    "    shown=''\n"
    "    for ((i = 0; i < ${#1}; i++)); do\n"
    "        letter=${1:i:1}\n"
    "        [[ $letter != [][\\\"\\'\\`\\$\\\\\\!\\;\\&\\|\\<\\>\\ \\(\\)\\{\\}*?#~^] ]] || shown+=\\\\\n"
    "        shown+=$letter\n"
    "    done\n"
    "}\n"
    "\n"
    "# Of these words those that go on from what was typed, quoted as it was. They may come from a file, and a quote "
    "that is\n"
    "# open here may end another of a line before: what a shell would obey is offered outside of quotes only, and a "
    "backtick\n"
    "# nowhere.\n"
    "_trunnion_words() {\n"
    "    local word shown\n"
    "    for word; do\n"
    "        if [[ $cur == [\\\"\\']* ]]; then\n"
    "            [[ $word == *[\\\"\\'\\`\\$\\\\\\!\\;\\&\\|\\<\\>]* || $word != \"${cur:1}\"* ]] || "
    "COMPREPLY+=(\"$word\")\n"
    "        elif [[ $word != *\\`* && ${cur//\\\\?/} != *[\\\"\\'\\`\\$]* ]]; then\n"
    "            _trunnion_escaped \"$word\"\n"
    "            [[ $word != \"$cur\"* && $shown != \"$cur\"* ]] || COMPREPLY+=(\"$shown\")\n"
    "        fi\n"
    "    done\n"
    "}\n"
    "\n"
    "# Folders, and files with these endings; '' is any.\n"
    "_trunnion_files() {\n"
    "    local name ending\n"
    "    compopt -o filenames 2> /dev/null\n"
    "    while IFS= read -r name; do\n"
    "        for ending; do\n"
    "            if [[ -d $name || -z $ending || $name == *.$ending ]]; then COMPREPLY+=(\"$name\"); break; fi\n"
    "        done\n"
    "    done < <(compgen -f -- \"$cur\")\n"
    "}\n\n"
    "# The cases of the first word that is a leaf file; of brake the holdings.\n"
    "_trunnion_cases() {\n"
    "    local word names teller=(curve --step 360deg)\n"
    "    [[ ${COMP_WORDS[1]} != brake ]] || teller=(brake)\n"
    "    for word in \"${COMP_WORDS[@]:2}\"; do\n"
    "        word=${word/#\\~\\//$HOME/}\n"
    "        if [[ -f $word && $word == *.y*ml ]]; then\n"
    "            mapfile -t names < <(\"${COMP_WORDS[0]}\" \"${teller[@]}\" --csv -- \"$word\" 2> /dev/null |\n"
    "                sed -nE -e 1d -e '/^\"/{s/^\"(([^\"]|\"\")*)\",.*/\\1/' -e 's/\"\"/\"/g' -e p -e d -e '}' -e "
    "'s/,.*//p' | sort -u)\n"
    "            _trunnion_words \"${names[@]}\"\n"
    "            return\n"
    "        fi\n"
    "    done\n"
    "}\n\n";

static const char entrance[] =
    "_trunnion() {\n"
    "    local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD - 1]}\n"
    "    COMPREPLY=()\n"
    "    if [[ $COMP_CWORD -eq 1 ]]; then\n"
    "        _trunnion_commands\n"
    "        return\n"
    "    fi\n"
    "    # --case=NAME comes in three words.\n"
    "    if [[ $cur == = ]]; then cur=''; elif [[ $prev == = ]]; then prev=${COMP_WORDS[COMP_CWORD - 2]}; fi\n"
    "    if [[ $cur != -* || $prev == --plot && $cur == - ]] && _trunnion_value \"$prev\"; then\n"
    "        return\n"
    "    fi\n"
    "    if [[ $cur == -* ]]; then\n"
    "        _trunnion_options \"${COMP_WORDS[1]}\"\n"
    "    else\n"
    "        _trunnion_operands \"${COMP_WORDS[1]}\"\n"
    "    fi\n"
    "}\n\n"
    "complete -F _trunnion trunnion\n";

void completion_bash(FILE *stream)
{
    (void)fputs("# bash completion of trunnion, made by: trunnion completion bash\n\n", stream);
    (void)fputs(helpers, stream);
    (void)fputs("_trunnion_commands() {\n    _trunnion_words --help --version", stream);
    for (size_t i = 0; i < command_count; i++) {
        (void)fprintf(stream, " %s", commands[i].name);
    }
    (void)fputs("\n}\n\n", stream);
    values(stream);
    by_command(stream, "_trunnion_options", "The options of a command.", options_of);
    by_command(stream, "_trunnion_operands", "What a command works on.", words_of);
    (void)fputs(entrance, stream);
}
