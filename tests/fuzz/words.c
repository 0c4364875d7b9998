/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words.h"

#include <string.h>

#include "require.h"

static const char *const kind_names[WORD_KINDS] = {
    [WORD_KEY] = "key=\"", [WORD_VALUE] = "value=\"", [WORD_UNIT] = "unit=\"", [WORD_NUMBER] = "number=\""};

/* The word of a line goes to its kind; words with an escape are libFuzzer's alone. */
static void take_line(const char *line, words kinds[WORD_KINDS])
{
    for (size_t kind = 0; kind < WORD_KINDS; kind++) {
        const size_t front = strlen(kind_names[kind]);
        if (strncmp(line, kind_names[kind], front) != 0 || strchr(line, '\\')) {
            continue;
        }
        const size_t length = strcspn(line + front, "\"");
        words *into = &kinds[kind];
        REQUIRE(length > 0 && length < WORD_ROOM && into->count < WORDS_MAX);
        memcpy(into->at[into->count], line + front, length);
        into->at[into->count][length] = '\0';
        into->count++;
    }
}

void words_read(const char *path, words kinds[WORD_KINDS])
{
    FILE *file = fopen(path, "r");
    if (!file) {
        perror(path);
        exit(EXIT_FAILURE);
    }
    char line[256];
    while (fgets(line, sizeof line, file)) {
        take_line(line, kinds);
    }
    fclose(file);
    for (size_t kind = 0; kind < WORD_KINDS; kind++) {
        REQUIRE(kinds[kind].count > 0);
    }
}
