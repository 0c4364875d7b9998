/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file spreading.h
 * Runs of samples for the unit tests.
 */
#ifndef TRN_TEST_SPREADING_H
#define TRN_TEST_SPREADING_H

#include "describing.h"
#include "trunnion/spread.h"

/** Angles from closed to open. */
enum { SPREAD_ANGLES = 9 };

static double spread_angles[SPREAD_ANGLES];

static inline trn_spread_settings spread_settings(const trn_leaf *leaf)
{
    trn_spread_settings settings = trn_default_spread_settings();
    for (size_t i = 0; i < SPREAD_ANGLES; i++) {
        spread_angles[i] = leaf->opens_to_rad * (double)i / (SPREAD_ANGLES - 1);
    }
    settings.cases = leaf->cases;
    settings.case_count = leaf->case_count;
    settings.angles_rad = spread_angles;
    settings.angle_count = SPREAD_ANGLES;
    settings.samples = 200;
    return settings;
}

static inline trn_spread *spread_begin(const trn_leaf *leaf, const trn_spread_settings *settings)
{
    trn_error error = {0};
    trn_spread *run = NULL;
    if (trn_spread_new(leaf, settings, &run, &error) != TRN_OK) {
        print_error("%s\n", error.text);
        fail();
    }
    return run;
}

static inline void spread_finish(trn_spread *run)
{
    trn_error error = {0};
    double done = 0;
    double before = 0;
    while (done < 1) {
        if (trn_spread_advance(run, &done, &error) != TRN_OK) {
            print_error("%s\n", error.text);
            fail();
        }
        assert_true(done >= before || done < 1);
        before = done;
    }
}

static inline trn_spread *spread_run(const trn_leaf *leaf, const trn_spread_settings *settings)
{
    trn_spread *run = spread_begin(leaf, settings);
    spread_finish(run);
    return run;
}

#endif
