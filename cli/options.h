/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of a command. */
#ifndef OPTIONS_H
#define OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "exit_status.h"

typedef enum output_format { FORMAT_TABLE, FORMAT_JSON, FORMAT_CSV } output_format;

/*
 * Which options a command takes beside those that every command takes. One that takes a name takes no leaf, and of
 * the options only -o and --help.
 */
enum {
    TAKES_CASE = 1,
    TAKES_STEP = 2,
    TAKES_AT = 4,
    TAKES_RECORD = 64,
    TAKES_FIT = 128,
    TAKES_PLAN = 256,
    TAKES_MOTION = 512,
    TAKES_SPREAD = 1024,
    GIVES_PAGE = 2048, /* in place of table, JSON, CSV and plot */
    TAKES_NAME = 4096
};

/* The most additions of one run, and the most that goes wrong in one. */
enum { ADDITIONS_MAX = 64, FAULTS_MAX = 16 };

typedef struct options {
    const char *leaf_file; /* "-": standard input */
    const char *name;      /* of what is asked for, NULL: all */
    output_format format;
    bool format_given;
    const char *output_file; /* NULL: standard output */
    const char *plot_file;   /* NULL: no plot */
    const char *case_name;   /* NULL: all, or the first */
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
    bool merge;
    struct {
        uint64_t samples; /* 0: as many as the tolerance needs */
        int digits;       /* 0: as the library has it; likewise the seed and the threads */
        bool seed_given;
        uint64_t seed;
        int threads;
        uint32_t shard; /* 0: the whole */
        uint32_t shards;
        const char **merged; /* files of shards */
        size_t merged_count;
        size_t merged_room;
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
