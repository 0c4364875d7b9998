/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the near switches may stand, and what a drift of one does. */
#ifndef CYCLE_SWITCHES_H
#define CYCLE_SWITCHES_H

#include "cycle.h"

/* The given switch, and the same a drift too early and too late. */
enum { SWITCH_EARLY, SWITCH_GIVEN, SWITCH_LATE, SWITCH_KINDS };
extern const char *const switch_names[SWITCH_KINDS];

typedef struct switches {
    cycle *of;
    trn_switch_place places[DIRECTIONS];
} switches;

/* Where a switch of a kind stands, and what comes of it. */
double switch_at_rad(const switches *found, trn_direction direction, int kind);
const trn_run *switch_run(const switches *found, trn_direction direction, int kind);

exit_status switches_plot(const void *result, FILE *script);

#endif
