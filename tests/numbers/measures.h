/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file measures.h
 * The library's functions on a random leaf, each against its exact value.
 */
#ifndef TRN_TEST_MEASURES_H
#define TRN_TEST_MEASURES_H

#include "bounds.h"
#include "chance_leaf.h"

void measure_geometry(bounds &on, chance_leaf &with);
void measure_bodies(bounds &on, chance_leaf &with);
void measure_balance(bounds &on, chance_leaf &with);
void measure_link(bounds &on, chance_leaf &with);
void measure_wind(bounds &on, chance_leaf &with, double angle);
void measure_motors(bounds &on, chance_leaf &with);
void measure_drive(bounds &on, chance_leaf &with, double angle);
void measure_journal(bounds &on, chance_leaf &with);
void measure_moments(bounds &on, chance_leaf &with, double angle);
void measure_holding(bounds &on, chance_leaf &with, double angle);
void measure_rating(bounds &on, chance_leaf &with);
void measure_limits(bounds &on, chance_leaf &with, double angle);
void measure_gust(bounds &on, chance_leaf &with);
void measure_travel(bounds &on, chance_leaf &with);
void measure_stop(bounds &on, chance_leaf &with);
void measure_inputs(bounds &on, chance_leaf &with);

/* Prints what compensation gains on leaves ever nearer to balance; true where it gives the last place of the result. */
bool near_balance(uint64_t leaves, bool print);

#endif
