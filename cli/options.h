/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of a command. */
#ifndef OPTIONS_H
#define OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "exit_status.h"
#include "trunnion/leaf.h"

typedef enum output_format { FORMAT_TABLE, FORMAT_JSON, FORMAT_CSV } output_format;

/* What a command takes: kinds of options (option_table.c says which belong to each), and words beside them. */
enum {
    TAKES_CASE = 1,     /* all cases unless one is named */
    TAKES_ONE_CASE = 2, /* the first unless another is named */
    TAKES_STEP = 4,
    TAKES_AT = 8,
    TAKES_FIT = 16,
    TAKES_PLAN = 32,
    TAKES_MOTION = 64,
    TAKES_SPREAD = 128,
    TAKES_LEAF = 256,      /* a leaf file */
    TAKES_LEAVES = 512,    /* further ones too */
    TAKES_RECORD = 1024,   /* the record of a balance test behind the leaf file */
    TAKES_NAME = 2048,     /* a name, no leaf */
    TAKES_NEW_FILE = 4096, /* a file that is to be made */
    TAKES_UNITS = 8192,
    GIVES_TEXT = 16384,  /* -o */
    GIVES_RESULT = 32768 /* --json, --csv, --plot */
};

/* The most additions of one run, and the most that goes wrong in one. */
enum { ADDITIONS_MAX = 64, FAULTS_MAX = 16 };

/* The plot that is drawn where standard output goes. */
#define PLOT_HERE "-"

typedef struct options {
    unsigned takes;        /* of the command */
    uint64_t given;        /* a bit for each option of the table that was given a value */
    const char *leaf_file; /* "-": standard input */
    const char *leaf_name; /* once it was read, and likewise its own units */
    trn_units own_units;
    struct { /* files behind it: further leaves, or with --merge shards */
        const char **names;
        size_t count;
        size_t room;
    } further;
    struct batch *batch; /* where results of several leaves gather; NULL: one leaf */
    const char *name;    /* of what is asked for, NULL: all */
    output_format format;
    bool format_given;
    const char *output_file; /* NULL: standard output */
    const char *plot_file;   /* NULL: no plot */
    bool units_given;        /* in place of the leaf file's */
    trn_units units;
    bool quiet;
    bool verbose;
    const char *case_name; /* NULL: all, or the first */
    bool step_given;
    double step_deg;
    double at_deg;
    const char *record_file; /* "-": standard input */
    bool from_given;         /* the window of a balance test */
    double from_deg;
    bool to_given;
    double to_deg;
    bool ordinary;
    bool friction_by_reaction;
    const char *additions[ADDITIONS_MAX]; /* what if these were added to the leaf */
    size_t addition_count;
    double seconds;                 /* limit of the search for a plan; 0: as the library has it */
    const char *faults[FAULTS_MAX]; /* what goes wrong while the leaf moves */
    size_t fault_count;
    bool sweep; /* the fault without an angle, over all of them */
    const char *gust;
    const char *wind_record_file; /* "-": standard input */
    bool every_given;             /* the step of a trace */
    double every_s;
    bool switches;
    bool drift_given;
    double drift_deg;
    bool operation;
    bool help;
    bool version;
    bool merge;
    struct {
        uint64_t samples; /* 0: as many as the tolerance needs */
        int digits;       /* 0: as the library has it; likewise the seed and the threads */
        bool seed_given;
        uint64_t seed;
        int threads;
        uint32_t shard; /* 0: the whole */
        uint32_t shards;
    } spread;
} options;

/*
 * Read the options that follow the name of a command; takes says which it has.
 * On EXIT_BAD_INPUT a sentence was printed.
 */
exit_status options_read(const char *command, unsigned takes, int argument_count, char **arguments, options *asked);

/* Give back what options_read took, whatever it returned. */
void options_free(options *asked);

#endif
