/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What drive found, how it is judged, and its plot. */
#ifndef DRIVE_PLOT_H
#define DRIVE_PLOT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"
#include "options.h"
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

/* Rate the cases that are set, and the duty; on any status end with drive_free. */
exit_status drive_compute(const options *asked, drive_result *of);
void drive_free(drive_result *of);

/* Sentences on standard error for what is not met, and the status. */
exit_status drive_verdict(const drive_result *of);

/* The case that a duty is reckoned in. */
const char *drive_duty_case(const trn_leaf *leaf);

/* Rated power of a motor with which every case (of ratings: all, or one_out) and the duty would be met. */
double drive_needed_power(const drive_result *of, const trn_rating *ratings);

/* Motor sizes of the R20 series from the needed power on. */
enum { DRIVE_SIZES = 3 };
void drive_next_sizes(const drive_result *of, double sizes_W[DRIVE_SIZES]);

/* Bars: the use of what is allowed, case by case, both directions. */
exit_status drive_plot(const void *result, FILE *script);

#endif
