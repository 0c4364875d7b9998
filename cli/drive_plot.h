/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What drive found, and its plot. */
#ifndef DRIVE_PLOT_H
#define DRIVE_PLOT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"
#include "present/display.h"
#include "trunnion/rating.h"

typedef struct drive_result {
    const trn_leaf *leaf;
    const trn_case *cases;
    size_t case_count;
    display shown;
    double per_W;        /* of what the series of motor sizes runs in */
    trn_rating *all;     /* opening and closing of each case */
    trn_rating *one_out; /* the same with one motor out, where left is over 0 */
    int left;            /* motors that run when one is out */
    bool has_duty;
    trn_duty_rating duty;
} drive_result;

/* Bars: the use of what is allowed, case by case, both directions. */
exit_status drive_plot(const void *result, FILE *script);

#endif
