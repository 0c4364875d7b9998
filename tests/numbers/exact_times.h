/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file exact_times.h
 * Limits of the wind, holding, and what goes by time, from the formulas alone, in exact numbers.
 */
#ifndef TRN_TEST_EXACT_TIMES_H
#define TRN_TEST_EXACT_TIMES_H

#include <vector>

#include "exact_loads.h"

exact brake_capacity(const trn_leaf &leaf);
exact brake_strongest(const trn_leaf &leaf);
exact holding_demand(const trn_leaf &leaf, const trn_holding &holding, double angle);

/* The speed up to which the drive or the brakes do, at an angle: HUGE_VAL beyond TRN_WIND_HIGHEST. */
exact wind_limit(const trn_leaf &leaf, trn_wind_question question, double angle);

exact pressure_at(const trn_wind &wind, const trn_gust *gust, const trn_wind_record *record, double time);

struct exact_phase {
    exact start;
    exact speed;
    exact acceleration;
    exact duration;
};

std::vector<exact_phase> phases_of(const trn_travel &travel, double opens_to, trn_direction direction);

/* A stop of a leaf of which the weight turns nothing, on a constant ratio, by one brake that sets at once. */
struct exact_stop {
    exact time;
    exact run;
    exact peak;
    exact heat;
};

exact_stop stop_of(const trn_leaf &leaf);

#endif
