/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What brake found, and how it is judged. */
#ifndef BRAKE_H
#define BRAKE_H

#include <stdbool.h>
#include <stddef.h>

#include "angles.h"
#include "exit_status.h"
#include "options.h"
#include "present/display.h"
#include "trunnion/holding.h"

typedef struct brake_result {
    const trn_leaf *leaf;
    const trn_holding *holdings;
    size_t count;
    display shown;
    trn_holding_rating *ratings;
    bool has_stop; /* whether the leaf has a travel to be stopped in */
    trn_stop stop;
    double *heats_J; /* of one brake of each entry */
    angle_list angles;
    double *demands_Nm; /* holding by holding, for the plot */
} brake_result;

/* Rate the holdings that are set, and the worst stop; on any status end with brake_free. */
exit_status brake_compute(const options *asked, brake_result *of);
void brake_free(brake_result *of);

/* Sentences on standard error for what is not met, and the status. */
exit_status brake_verdict(const brake_result *of);

/* A leaf that runs past its end is not stopped by its brakes. */
bool brake_stops(const trn_stop *stop);

/* How much hotter a brake becomes in the stop, K, where its heat capacity is known. */
double brake_temperature_rise(const brake_result *of, size_t index);

/* A factor of holding in words. */
const char *brake_factor_text(double factor, char text[DISPLAY_TEXT]);

#endif
