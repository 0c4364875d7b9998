/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan for the blocks, and how it is told. */
#ifndef BALLAST_H
#define BALLAST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"
#include "options.h"
#include "present/display.h"
#include "trunnion/ballast.h"
#include "trunnion/measure.h"

typedef struct ballast_result {
    const trn_leaf *leaf; /* as described, or as measured */
    trn_leaf after;
    trn_leaf_room room; /* behind after */
    display shown;
    trn_ballast_move *moves;
    size_t count;
    trn_ballast_plan plan;
    const trn_measurement *measured; /* NULL: by the description alone */
} ballast_result;

/*
 * Plan for the leaf that is set, as described (measured NULL) or as measured; on any status end with ballast_free.
 * The search ends after what the options say.
 */
exit_status ballast_compute(const options *asked, const trn_moment_covariance *covariance, ballast_result *of);
void ballast_free(ballast_result *of);

/* A bound of a target: its key, its words, and its value by the leaf's target. */
typedef struct bound_words {
    const char *key;
    const char *words;
} bound_words;

bound_words ballast_bound(trn_ballast_bound bound);

/* The words of a cause, and its key. */
typedef struct cause_words {
    const char *key;
    const char *words;
} cause_words;

cause_words ballast_cause(trn_ballast_cause cause);

/* What no plan does, behind "no plan": where time ran out there may be one. */
const char *ballast_no_plan(trn_ballast_cause cause);

/* The two windows of a leaf's target: toe reaction and angle, or A and B. */
typedef struct target_window {
    const char *key;
    const char *words;
    quantity what;
    bool in_degrees;
    trn_window given;
    bool is_widened; /* a plan exists with the window as wide as that */
    trn_window widened;
} target_window;

enum { TARGET_WINDOWS = 2 };

void ballast_windows(const ballast_result *of, target_window windows[TARGET_WINDOWS]);

/* Room for a sentence about a plan. */
enum { BALLAST_WORDS = 400 };

/* What would help where there is no plan, a sentence an index; NULL: that would not. */
enum { BALLAST_HELPS = TARGET_WINDOWS + 2 };
const char *ballast_help(const ballast_result *of, size_t index, char text[BALLAST_WORDS]);

/* That the moves leave the closed leaf counterweight heavy; NULL: they do not, or there are none. */
const char *ballast_danger(const ballast_result *of, char text[BALLAST_WORDS]);

/* ballast_table.c: the work order; ballast_json.c; ballast_plot.c: the balance moment before and after. */
exit_status ballast_table(const void *result, FILE *stream);
exit_status ballast_json(const void *result, FILE *stream);
exit_status ballast_plot(const void *result, FILE *script);

#endif
