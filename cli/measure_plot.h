/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a balance test found, and its plot. */
#ifndef MEASURE_PLOT_H
#define MEASURE_PLOT_H

#include <stdbool.h>
#include <stdio.h>

#include "exit_status.h"
#include "present/display.h"
#include "trunnion/balance.h"
#include "trunnion/measure.h"

typedef struct measured {
    const trn_leaf *leaf;
    const trn_record *record;
    trn_balance described;
    display shown;
    bool ordinary;
    bool friction_by_reaction;
    trn_measured_reading *readings; /* of the record, in its order */
    trn_measurement found;
} measured;

/* Readings and fitted curves over the angle; below, what is left. */
exit_status measure_plot(const void *result, FILE *script);

#endif
