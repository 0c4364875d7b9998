/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of samples, and how it is told. */
#ifndef SPREAD_H
#define SPREAD_H

#include <stdio.h>

#include "angles.h"
#include "exit_status.h"
#include "options.h"
#include "present/display.h"
#include "trunnion/spread.h"

typedef struct spread_result {
    const trn_leaf *leaf;
    const trn_case *cases;
    angle_list angles;
    display shown;
    uint64_t seed;
    const trn_spread_result *run;
} spread_result;

/* Settings from the options; cases and angles are the caller's. */
trn_spread_settings spread_settings(const options *asked);

/* Draw all samples of a run that is ready, with a bar on a terminal. */
exit_status spread_finish(const options *asked, trn_spread *run);

/* A variable of a case, and its total index. */
typedef struct spread_share {
    double total;
    size_t variable;
} spread_share;

/* The variables of a case in the order of their total index, the largest first; as many as there are. */
void spread_order(const spread_result *of, const trn_spread_case *about, spread_share *order);

/* Height of the plot, points: a row for each case, and one for the holdings. */
double spread_height(const trn_spread_result *run);

/* The words of a direction. */
const char *spread_direction(trn_direction direction);

/* A chance beyond which a limit or a holding is told as passed. */
#define SPREAD_CHANCE 0.05

/* Room for a sentence on a case or a holding. */
enum { SPREAD_WORDS = 300 };

enum { SPREAD_PERCENT = 32 };

/* A chance above 0 in percent, without the sign: two digits of it or, near certainty, of what it lacks. */
const char *spread_percent(double chance, char text[SPREAD_PERCENT]);

/* The sentence on the index-th limit or holding that is passed with more chance than that; NULL beyond the last. */
const char *spread_note(const spread_result *of, size_t index, char text[SPREAD_WORDS]);

/* spread_table.c, spread_json.c, spread_plot.c: fans and tornadoes. */
exit_status spread_table(const void *result, FILE *stream);
exit_status spread_csv(const void *result, FILE *stream);
exit_status spread_json(const void *result, FILE *stream);
exit_status spread_plot(const void *result, FILE *script);

#endif
