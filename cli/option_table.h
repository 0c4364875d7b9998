/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one table of options: what reads them, helps with them and completes them goes by it. */
#ifndef OPTION_TABLE_H
#define OPTION_TABLE_H

#include "options.h"

/* What the value of an option is, as far as a shell can complete it. */
typedef enum value_kind {
    VALUE_NONE, /* the option takes none */
    VALUE_TEXT,
    VALUE_WORDS, /* the words of the entry, among others */
    VALUE_CASE,  /* a case, or a holding, of the leaf file */
    VALUE_FILE,
    VALUE_TABLE,  /* a CSV file */
    VALUE_PICTURE /* a file to draw, which may be left out */
} value_kind;

typedef struct option_entry {
    const char *name; /* without its dashes */
    char letter;      /* its short form; 0: none */
    value_kind kind;
    const char *value; /* what help calls the value */
    unsigned takes;    /* the commands that have it are those with one of these */
    const char *words; /* for VALUE_WORDS, one a line */
    const char *help;  /* lines of it; what stands before the first ';' or ':' says it in short */
    exit_status (*apply)(options *asked, const char *value);
} option_entry;

extern const option_entry option_entries[];
extern const size_t option_count;

/* Whether a command that takes these has the option. */
bool option_belongs(const option_entry *entry, unsigned takes);

/* Whether its values gather, as its help then says; any other option with a value is given once. */
bool option_repeats(const option_entry *entry);

#endif
