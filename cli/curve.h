/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The curves of the cases asked for, as computed once for every form. */
#ifndef CURVE_H
#define CURVE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "angles.h"
#include "exit_status.h"
#include "options.h"
#include "present/display.h"
#include "row.h"
#include "trunnion/moments.h"

typedef struct curves {
    const trn_leaf *leaf;
    const trn_case *cases; /* case_count in a row */
    size_t case_count;
    angle_list angles;
    trn_moments *rows; /* case by case, angles.count each */
    display shown;
    bool every_column; /* in CSV: also those that such a leaf does not have */
} curves;

/* Fill angles and rows for the cases that are set; on any status end with curves_free. */
exit_status curves_compute(const options *asked, double step_deg, curves *all);
void curves_free(curves *all);

/* A column in which every row is zero, or that the leaf does not have, would only fill the page. */
bool curves_column_is_empty(const column *of, const trn_moments *rows, size_t count);

/* The rows of one case. */
const trn_moments *curves_of(const curves *all, size_t case_index);

/* The gnuplot script: components of the first case over the motor torque of all. */
exit_status curve_plot(const void *result, FILE *script);

#endif
