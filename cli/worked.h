/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A calculation worked by hand: steps, each with its formula, its numbers and its value. */
#ifndef WORKED_H
#define WORKED_H

#include <stdbool.h>
#include <stddef.h>

#include "present/display.h"
#include "trunnion/moments.h"

typedef struct step {
    const char *section;
    char *term;    /* what the step finds */
    char *formula; /* in symbols */
    char *numbers; /* the same with numbers put in; empty where the value is given */
    quantity what;
    double value; /* SI */
} step;

typedef struct worked {
    display shown;
    const char *section; /* of the steps that follow */
    step *steps;
    size_t count;
    size_t room;
    bool failed; /* memory ran out */
} worked;

/* Add a step: term and formula as they are, numbers in the manner of printf. */
__attribute__((format(printf, 6, 7))) void worked_step(worked *made, const char *term, const char *formula,
                                                       quantity what, double value, const char *numbers, ...);

void worked_free(worked *made);

/* Work one angle of a loading, all terms of trn_loading_moments. */
void work_moments(worked *made, const trn_loading *loading, double angle_rad);

#endif
