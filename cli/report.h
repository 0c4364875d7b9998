/* SPDX-License-Identifier: GPL-3.0-or-later */
/* report: everything that a description allows, on one page. */
#ifndef REPORT_H
#define REPORT_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "ballast.h"
#include "brake.h"
#include "curve.h"
#include "cycle.h"
#include "cycle_sweep.h"
#include "drive_plot.h"
#include "exit_status.h"
#include "options.h"
#include "present/chart.h"
#include "present/display.h"
#include "present/html.h"
#include "spread.h"
#include "weigh.h"
#include "wind.h"

/* The step of the data in the page, and that of its tables, degrees. */
#define REPORT_STEP_DEG 1.0
#define REPORT_TABLE_STEP_DEG 5.0

/* The standard faults, one a line of their table. */
enum { REPORT_FAULTS = 5 };

/* A fault in one direction, at its worst angle. */
typedef struct fault_row {
    const char *words;
    bool there;      /* whether it can happen to this leaf in this direction */
    bool at_angle;   /* whether it happens at an angle, not in the whole run */
    sweep_row worst; /* of a fault of the whole run: the run */
} fault_row;

/* A requirement and what became of it; texts with units. */
typedef struct verdict {
    const char *anchor; /* the section that tells more */
    const char *what;
    const char *name; /* of a case or holding; NULL: none */
    const char *way;  /* the direction, or empty */
    char found[512];
    char limit[512];
    char margin[256];
    bool met;
} verdict;

/* Whether a section can be computed, and which keys are missing where not. */
typedef struct section_state {
    bool there;
    char missing[240]; /* empty, or a sentence; may be set beside there, for what is left out */
} section_state;

typedef struct report {
    const options *asked;
    const trn_leaf *leaf;
    const char *checksum;
    display shown;
    const trn_case *cases; /* those asked for */
    size_t case_count;
    trn_case *movable; /* of them, those whose moments can be computed */
    size_t movable_count;
    account weighed;
    section_state has_curves, has_drive, has_brakes, has_wind, has_cycle, has_spread, has_target;
    curves curves;
    drive_result drive;
    brake_result brakes;
    wind_result wind;
    cycle cycle;
    spread_result spread;
    trn_spread *spread_run; /* behind spread */
    fault_row faults[REPORT_FAULTS * DIRECTIONS];
    bool has_plan; /* whether there are pockets to plan with */
    ballast_result plan;
    verdict *verdicts;
    size_t verdict_count;
    json_t *data; /* for the script: angles, series, charts, the side view */
    int data_failed;
} report;

/* report_compute.c: all results; on any status end with report_free. */
exit_status report_compute(report *of);
void report_free(report *of);

/* report_faults.c */
exit_status report_run_faults(report *of);

/* report_spread.c: draw the samples; a leaf of which nothing is uncertain has none. */
exit_status report_draw_spread(report *of);

/* report_verdicts.c: every requirement; the sentences on standard error, and the status. */
exit_status report_judge(report *of);
exit_status report_tell_status(const report *of);
void report_write_verdicts(const report *of, html *page);

/* A share over what is asked; what needs nothing has no end of it. */
void verdict_margin(verdict *one, double share);

/* report_arrival.c: found, limit and margin of a run, of what failed where it is not met. */
void report_judge_arrival(const report *of, const trn_run *run, verdict *one);

/* report_remedies.c: what would help where something is not met. */
void report_write_remedies(const report *of, html *page);

/* report_page.c: the whole page. */
exit_status report_write(report *of, html *page);

/* The sections, a file each. */
void report_side_view(report *of, html *page);
void report_weigh(report *of, html *page);
void report_curves(report *of, html *page);
void report_drive(report *of, html *page);
void report_brakes(report *of, html *page);
void report_wind(report *of, html *page);
void report_cycle(report *of, html *page);
void report_faults(const report *of, html *page);
void report_spread(report *of, html *page);
void report_target(report *of, html *page);

/* report_data.c: what the script of the page works with, and programs may: cli/schemas/report.json tells it. */
exit_status data_begin(report *of);
void data_series(report *of, const char *name, const double *values, size_t count);
void data_chart(report *of, const chart *drawn, const char *axis);
void data_line(report *of, const chart *drawn, const char *series, double factor, int style);
void data_readout(report *of, const char *series, const char *case_name, quantity what, const char *words);
void data_write(report *of, html *page);

/* Room for the name of a series, such as "case 3 balance_Nm". */
enum { SERIES_NAME = 96 };

#endif
