/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One fault over all angles. */
#ifndef CYCLE_SWEEP_H
#define CYCLE_SWEEP_H

#include "angles.h"
#include "cycle.h"

/* What comes of the fault at one angle. */
typedef struct sweep_row {
    trn_direction direction;
    double angle_deg; /* of the fault */
    bool happens;     /* false: the leaf does not come to that angle */
    double fault_s;   /* when it happens */
    double rest_s;    /* when the leaf came to rest for good */
    trn_run run;      /* without its trace and events */
} sweep_row;

typedef struct sweep {
    cycle *of;
    size_t fault; /* which of the faults */
    sweep_row *rows;
    size_t count; /* first all of the opening, then all of the closing */
} sweep;

/* Run the leaf at every angle of the list; rows are then count of them, to be freed. */
exit_status sweep_make(const angle_list *angles, sweep *swept);

/* From the fault to the end, degrees in the direction of travel. */
double sweep_run_on_deg(const sweep_row *row);

exit_status sweep_plot(const void *result, FILE *script);

#endif
