/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole operation in time. */
#ifndef CYCLE_OPERATION_H
#define CYCLE_OPERATION_H

#include "cycle.h"
#include "trunnion/operation.h"

typedef struct operation {
    cycle *of;
    bool there; /* false: a motion does not arrive */
    trn_operation whole;
    trn_step_time *times;
} operation;

exit_status operation_plot(const void *result, FILE *script);

#endif
