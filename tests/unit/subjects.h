/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The leaves that every call of the library is tried on. */
#ifndef SUBJECTS_H
#define SUBJECTS_H

#include "every_call.h"

/* For a program's setup and teardown: a leaf of every drive and sort. */
enum { SUBJECTS = 6 };
static subject subjects[SUBJECTS];

static inline int read_subjects(void **state)
{
    (void)state;
    subject_read(&subjects[0], "us", "examples/us.yaml", "examples/records/us_windy.csv");
    subject_read(&subjects[1], "metric", "examples/metric.yaml", "examples/records/metric_power.csv");
    subject_read(&subjects[2], "linked", "examples/linked.yaml", "examples/records/metric.csv");
    subject_read(&subjects[3], "strut", "examples/strut.yaml", "examples/records/metric.csv");
    subject_read(&subjects[4], "cylinder", "examples/cylinder.yaml", "examples/records/metric.csv");
    subject_read(&subjects[5], "uncertain", "examples/uncertain.yaml", "examples/records/metric.csv");
    return 0;
}

static inline int free_subjects(void **state)
{
    (void)state;
    for (size_t i = 0; i < SUBJECTS; i++) {
        subject_free(&subjects[i]);
    }
    return 0;
}

#endif
