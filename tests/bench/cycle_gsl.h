/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One opening or closing by GSL's rk8pd, events found by steps of it that end there. */
#ifndef CYCLE_GSL_H
#define CYCLE_GSL_H

#include "trunnion/trunnion.h"

typedef struct gsl_answer {
    double switch_s;
    double end_rad;
    double motors_J;
    double friction_J;
    double gears_J;
} gsl_answer;

/* Of a leaf on a drive of one ratio within its limits, in still air with moving friction; body is its own. */
gsl_answer gsl_cycle(const trn_leaf *leaf, trn_body body, trn_direction direction, double tolerance);

#endif
