/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panels of the picture of a run, and the events in them. */
#ifndef CYCLE_PANELS_H
#define CYCLE_PANELS_H

#include "cycle_plot.h"

/* The most events that are told under the panels of a direction. */
enum { EVENTS_DRAWN = 14 };

/* Between what values the curves of a direction run. */
typedef struct extent {
    double least_rad;
    double most_rad;
    double least_rad_s;
    double most_rad_s;
    double least_effort; /* torque; below 0 where the motors hold the leaf back */
    double most_effort;
} extent;

typedef struct panels {
    const cycle *of;
    FILE *script;
    trn_run runs[DIRECTIONS];
    trn_direction direction; /* that is being drawn */
    column_place place;
    extent drawn;
    double page_pt; /* height of the page */
    double top;     /* of the panels, share of the page */
    double height;  /* of each, with its labels */
    int count;      /* of panels under each other */
    double from_s;  /* what the time axis being drawn shows */
    double to_s;
} panels;

/* The run that is being drawn. */
const trn_run *drawn_run(const panels *of);

/* So many points of height as a share of the page. */
double share_of(const panels *of, double pt);

/* A line up through the panel at each event in the time that it shows, and its number above. */
void mark_events(const panels *of, bool numbers);

/* Since when the events at the end stand too near to each other for numbers of their own on an axis of the whole run.
 */
double crowded_since_s(const panels *of);

/* Number, time, angle, name and detail of each event, under the panels. */
void list_events(const panels *of);

#endif
