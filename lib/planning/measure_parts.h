/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The parts of a measurement: readings brought to the leaf, doubts about the fit.
 */
#ifndef MEASURE_PARTS_H
#define MEASURE_PARTS_H

#include "trunnion/balance.h"
#include "trunnion/fit.h"
#include "trunnion/measure.h"
#include "trunnion/moments.h"

/* A, B and friction. */
enum { MSR_COEFFICIENTS = 3 };

/* A reading within the window as the fit takes it: T = A cos - B sin + s share F + known. */
typedef struct msr_row {
    size_t index; /* of its reading in the record */
    double cosine;
    double sine;
    double sense; /* s: +1 opening, -1 closing */
    double share; /* of the friction at the mean reaction */
    double known_Nm;
    double reaction_N;
} msr_row;

/* A measurement at work. */
typedef struct msr_work {
    const trn_leaf *leaf;
    const trn_record *record;
    const trn_measure_settings *settings;
    double from_rad;
    double to_rad;
    trn_balance described;
    trn_loading calm;               /* of the leaf in calm air, moving friction */
    trn_wind wind;                  /* of the record, its speed and side set for each reading */
    double *speeds_rad_s;           /* of the leaf at each reading, from its times; NULL where they are not asked */
    trn_measured_reading *readings; /* all of the record */
    msr_row *rows;                  /* those within the window */
    size_t count;
    double *design; /* room for count rows of two columns more than the fit has */
    double *values;
    double *weights;
    double mean_angle_rad;
    double mean_reaction_N;
    double drag_Nm; /* known share of the friction, where that goes by the reaction */
} msr_work;

static inline trn_measured_reading *msr_reading(const msr_work *work, const msr_row *row)
{
    return &work->readings[row->index];
}

static inline double msr_sense(trn_direction direction)
{
    return direction == TRN_OPENING ? 1 : -1;
}

/* measure_leaf.c: whether the description has what the record needs. */
trn_status msr_check_sections(const trn_leaf *leaf, const trn_record *record, bool friction_by_reaction,
                              trn_error *error);

/* Speeds of the leaf by the times of the record into speeds: NaN where a reading stands alone. */
trn_status msr_speeds(const trn_record *record, double *speeds_rad_s, trn_error *error);

/* Torque at the leaf of one reading, N m in the opening sense; NaN where it has none. */
double msr_torque_at_leaf(const msr_work *work, size_t index);

/* Known moment of a reading's wind, N m, positive closes. */
double msr_wind_moment(const msr_work *work, const trn_reading *reading);

/* measure_doubts.c: what speaks against trusting the fit. */
trn_status msr_find_doubts(const msr_work *work, trn_measurement *measurement, trn_error *error);

/* measure_runs.c: probability of as odd a number of runs among so many signs of either kind, both sides. */
double msr_runs_probability(size_t runs, size_t plus, size_t minus);

/* The least such probability over the directions of the runs, and where; 1 where there is none. */
typedef struct msr_pattern {
    double probability;
    const trn_measured_reading *at;
    size_t groups;
    size_t patterned; /* groups below 1 per cent */
} msr_pattern;

trn_status msr_find_pattern(const msr_work *work, msr_pattern *found, trn_error *error);

#endif
