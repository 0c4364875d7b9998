/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What wind found, and its card. */
#ifndef WIND_H
#define WIND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "angles.h"
#include "exit_status.h"
#include "options.h"
#include "present/display.h"
#include "trunnion/windlimit.h"

enum { WIND_ACTIONS = 6 };

/* One action and its limits. */
typedef struct wind_action {
    const char *words;
    bool there; /* whether the leaf has what the action needs */
    bool whole; /* nothing is out: what the posted limit is held against */
    trn_wind_question question;
    trn_wind_lowest lowest;
    trn_wind_lowest by_law; /* the same by what the motors' law gives, too */
    double *speeds_m_s; /* angle by angle */
} wind_action;

typedef struct wind_result {
    const trn_leaf *leaf;
    display shown;
    angle_list angles;
    wind_action actions[WIND_ACTIONS];
    bool comes_down; /* a leaf that could be raised in some wind can be brought down in it */
} wind_result;

/* Find all limits at the angles of a step; on any status end with wind_free. */
exit_status wind_compute(const options *asked, double step_deg, wind_result *of);
void wind_free(wind_result *of);

/* Sentences on standard error for what is not met, and the status. */
exit_status wind_verdict(const wind_result *of);

/* The lowest limit with nothing out, infinite where nothing limits. */
double wind_lowest_of_all(const wind_result *of);

/* Whether the motors' law gives less at the travel's speed than the limit of an action needs. */
bool wind_is_short_of_law(const wind_action *one);

/* Whether what the motors' law gives suffices up to the posted limit, with nothing out. */
bool wind_law_bears_posted(const wind_result *of);

/* The units in which a wind is told; Beaufort, the last, has no size. */
typedef struct wind_unit {
    const char *name;
    double m_s;
} wind_unit;

enum { WIND_UNITS = 5 };
extern const wind_unit wind_units[WIND_UNITS];

/* A limit in one unit, a dash where nothing limits it; in Beaufort the highest number that lies within it. */
const char *wind_speed_text(double speed_m_s, const wind_unit *unit, char text[DISPLAY_TEXT]);

/* Room for a speed in words. */
#define SPEED_TEXT 256

/* A finite speed in all of the units. */
const char *wind_speed_words(double speed_m_s, char text[SPEED_TEXT]);

/* The card for the operator's cabin. */
exit_status wind_card(const void *result, FILE *script);

#endif
