/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle: an opening and a closing in time, and what else is asked of a leaf that moves. */
#ifndef CYCLE_H
#define CYCLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"
#include "options.h"
#include "present/display.h"
#include "trunnion/describe_run.h"
#include "trunnion/run.h"

enum { DIRECTIONS = 2 };

/* One direction of travel, and what goes wrong in it. */
typedef struct cycle_direction {
    bool asked; /* false: every fault is one of the other direction */
    trn_upset upsets[FAULTS_MAX];
    size_t fault_of[FAULTS_MAX]; /* which of the faults an upset is */
    size_t upset_count;
    trn_run run;
} cycle_direction;

typedef struct cycle {
    const options *asked;
    const trn_leaf *leaf;
    const trn_case *load_case;
    display shown;
    bool by_cylinders;
    bool has_gust;
    trn_gust gust;
    trn_wind_series wind; /* of no points without a record of wind */
    trn_upset_text faults[FAULTS_MAX];
    cycle_direction of[DIRECTIONS];
} cycle;

/* What --fault, --gust and --wind-record say; a sentence is printed where they, or options together, make no sense. */
exit_status cycle_read(const options *asked, const trn_leaf *leaf, cycle *of);
void cycle_free(cycle *of);

/* Whether a kind of fault happens at an angle, not in the whole run. */
bool cycle_at_angle(trn_upset_kind kind);

/* Whether --switches may seek a place beside a fault of that kind. */
bool cycle_beside_switches(trn_upset_kind kind);

/* The setting of a direction; the trace has rows every so many seconds, none at 0. */
trn_run_setting cycle_setting(const cycle *of, trn_direction direction, double every_s);

/* The same for the curve of a run in a picture, fine however coarse the trace that was asked for: until the leaf rests.
 */
trn_run_setting cycle_curve(const cycle *of, trn_direction direction, const trn_run *run);

/* Run a setting; a sentence is printed where that fails. */
exit_status cycle_run(const cycle *of, const trn_run_setting *setting, trn_run *run);

/* Run each direction that is asked, without a trace. */
exit_status cycle_run_all(cycle *of);

/* The same with a trace of so many seconds a row; 0: a round step for 200 rows at most. */
exit_status cycle_trace(cycle *of, double every_s);

/*
 * Whether a run did what it must: rest, be held, not run back far nor past its travel, land at creep or not at all; and
 * arrive at creep as well where nothing went wrong.
 */
bool cycle_met(const cycle *of, trn_direction direction, const trn_run *run);

/* The sentences and the status for runs that did not; with all_arrive each must reach its full switch too. */
exit_status cycle_verdict(const cycle *of, bool all_arrive);

/* The presentations, for deliver: of the runs in time, of a sweep, of the switches, of the operation. */
exit_status cycle_table(const void *result, FILE *stream);
exit_status cycle_csv(const void *result, FILE *stream);
exit_status cycle_json(const void *result, FILE *stream);
exit_status cycle_plot(const void *result, FILE *script);
exit_status cycle_sweep(cycle *of);
exit_status cycle_switches(cycle *of);
exit_status cycle_operation(cycle *of);

#endif
