/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file spread.h
 * What uncertain inputs do to the demands on drive and brakes.
 *
 * Two ways side by side. First order: JCGM 100:2008 (GUM), 5.1 and 5.2, at the
 * expectations of the inputs; what has one group is fully correlated. Monte
 * Carlo: JCGM 101:2008; where the demand is not linear in the inputs, this is
 * the one to quote.
 *
 * A run goes on by trn_spread_advance until it is done; then the results can
 * be read. The same leaf, settings and seed give the same bits for any number
 * of threads and any split into shards.
 */
#ifndef TRN_SPREAD_H
#define TRN_SPREAD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "trunnion/leaf.h"
#include "trunnion/sobol.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A run, from trn_spread_new to trn_spread_free. */
typedef struct trn_spread trn_spread;

/** The most samples of one run. */
#define TRN_SPREAD_SAMPLES_MAX UINT64_C(1000000000000)

/** The most parts that a run is shared out in. */
#define TRN_SPREAD_SHARDS_MAX 100000

/** What a run looks at, and how many samples it draws. */
typedef struct trn_spread_settings {
    const trn_case *cases; /**< of the leaf */
    size_t case_count; /**< at least 1 */
    const double *angles_rad; /**< where demands are looked at, within the travel */
    size_t angle_count; /**< at least 1 */
    uint64_t seed; /**< of the samples */
    uint64_t samples;   /**< 0: as many as the tolerance needs, JCGM 101, 7.9 */
    uint64_t most;      /**< then at most so many; default 1 000 000 */
    int digits;         /**< significant digits of the largest standard deviation of each case and direction, 1 or 2:
                             they set the tolerance (7.9.2); default 2 */
    int threads;        /**< at least 1; default 1 */
    uint32_t shards;    /**< 0: the whole; else a part of so many, and samples must be given */
    uint32_t shard;     /**< which part, 1 to shards */
    bool without_indices; /**< Sobol's indices are not wanted, and stay 0 */
} trn_spread_settings;

/** No cases and angles yet; two digits, one thread, the whole run. */
trn_spread_settings trn_default_spread_settings(void);

/** How a quantity lies. */
typedef struct trn_spread_values {
    double mean; /**< mean */
    double sd; /**< standard deviation */
    double p05; /**< 5 % lie below */
    double p50; /**< half lie below */
    double p95; /**< 95 % lie below */
    double error; /**< twice the largest standard error of the five, as numbers of this run */
} trn_spread_values;

/** A demand at an angle. */
typedef struct trn_spread_row {
    double angle_rad; /**< opening angle */
    trn_direction direction; /**< of travel */
    trn_spread_values demand_Nm; /**< at the leaf, as trn_moments' opening_Nm and closing_Nm */
    double first_mean_Nm;        /**< first order: the demand at the expectations of the inputs */
    double first_sd_Nm;          /**< and its standard uncertainty */
    double limit_Nm;             /**< the demand that takes all that is allowed at the expected efficiency; or 0 */
} trn_spread_row;

/** One direction of a case over all angles. */
typedef struct trn_spread_side {
    trn_spread_values peak_use;    /**< share of what motors or cylinders are allowed, the largest of all angles */
    double over_limit_probability; /**< that it is over 1; 0 where there is no limit */
    double tolerance_Nm;           /**< JCGM 101, 7.9.2, of the demands; with a fixed number of samples too */
    double error_Nm;               /**< the largest error of them */
} trn_spread_side;

/** What the inputs of one variable do to a case's governing quantity: its use, or the demand where nothing limits. */
typedef struct trn_spread_effect {
    double first_order;   /**< change for one standard deviation, with its sign */
    double low;           /**< with these inputs at their 5 % quantiles, the others at their expectations */
    double high;          /**< and at their 95 % */
    trn_sobol_index sobol; /**< shares of the quantity's variance */
} trn_spread_effect;

/** What came of a case. */
typedef struct trn_spread_case {
    const char *name; /**< as described */
    bool has_limit;              /**< drive and motors, or cylinders */
    const trn_spread_row *rows;  /**< opening, then closing; angle_count of each */
    trn_spread_side sides[2];    /**< by trn_direction */
    double over_limit_probability; /**< that it is passed in either direction */
    size_t governing;            /**< row with the largest use, or demand, at the expectations */
    double governing_value;      /**< there: use, or N m */
    const trn_spread_effect *effects; /**< one a variable */
} trn_spread_case;

/** How the brakes hold. */
typedef struct trn_spread_holding {
    const char *name; /**< as described */
    double capacity_Nm; /**< of all brakes at the leaf */
    double required;              /**< factor */
    trn_spread_values demand_Nm;  /**< the largest of all angles */
    double not_held_probability;  /**< that capacity over demand is less than required */
} trn_spread_holding;

/** What came of a run. */
typedef struct trn_spread_result {
    uint64_t samples; /**< how many were drawn */
    bool within_tolerance; /**< of every case and direction */
    const char *const *variables; /**< what each is: "deck: weight", "group: concrete" */
    size_t variable_count; /**< at least 1 */
    const trn_spread_case *cases; /**< one of each of the settings' cases */
    size_t case_count; /**< as the settings have */
    const trn_spread_holding *holdings; /**< of the leaf, where it has brakes */
    size_t holding_count; /**< 0 without brakes */
    uint64_t sobol_samples; /**< base samples; 2 + variables evaluations each */
} trn_spread_result;

/**
 * Make a run ready; leaf and settings' arrays must outlive it. Freed with trn_spread_free.
 * Fails with TRN_MISSING_SECTION where nothing is uncertain, with
 * TRN_OUT_OF_DOMAIN as trn_uncertainty_input or for settings that are none, as
 * trn_loading_prepare for any case or holding, also with friction at the
 * largest value that its distribution takes, and with TRN_NO_MEMORY.
 */
trn_status trn_spread_new(const trn_leaf *leaf, const trn_spread_settings *settings, trn_spread **spread,
                          trn_error *error);
/** Free a run; NULL is allowed. */
void trn_spread_free(trn_spread *spread);

/** Work for a fraction of a second or so; done is the share of the work that is done, 1 at the end. */
trn_status trn_spread_advance(trn_spread *spread, double *done, trn_error *error);

/** The results of a whole run that is done; they live as long as the run. */
const trn_spread_result *trn_spread_result_of(const trn_spread *spread);

/**
 * A shard that is done, as bytes for a file; freed with free. Machines of any
 * kind read them. Fails with TRN_NO_MEMORY.
 */
trn_status trn_spread_pack(const trn_spread *spread, unsigned char **bytes, size_t *length, trn_error *error);

/** What the bytes of a shard say of the run that they belong to. */
typedef struct trn_spread_shard {
    uint64_t seed; /**< of the run */
    uint64_t samples; /**< of the whole run */
    uint32_t shards; /**< parts of the run */
    uint32_t shard; /**< which part, 1 to shards */
} trn_spread_shard;

/** Read that; TRN_OUT_OF_DOMAIN, with words, where the bytes are not those of a shard, or are damaged: samples and
 *  shards are then within 1 to TRN_SPREAD_SAMPLES_MAX and TRN_SPREAD_SHARDS_MAX. */
trn_status trn_spread_peek(const unsigned char *bytes, size_t length, trn_spread_shard *shard, trn_error *error);

/**
 * Put a shard's bytes into a run made by trn_spread_new with the samples and
 * the seed of the shard and with shards 0. When all are in, trn_spread_advance
 * finishes the run. Fails with TRN_OUT_OF_DOMAIN where they belong to another
 * leaf, other settings or another kind of machine, are in already, or hold
 * what no run writes; the run is then as it was.
 */
trn_status trn_spread_join(trn_spread *spread, const unsigned char *bytes, size_t length, trn_error *error);

/** The first shard of shards that is not in yet; 0 where all are. */
uint32_t trn_spread_lacking(const trn_spread *spread);

/** One sample at one angle, of the settings' cases and angles. */
typedef struct trn_spread_question {
    size_t case_index; /**< into the settings' cases */
    trn_direction direction; /**< of travel */
    size_t angle_index; /**< into the settings' angles */
    uint64_t sample; /**< number of the sample, from 0 */
} trn_spread_question;

/**
 * The demand at the leaf, N m, and the use that the run computes for one
 * sample: for who wants to look at it. Sample k of the run is sample k of
 * trn_sample_inputs with the seed's stream 0; its variables are numbered in
 * the order of the parts, those of a linked counterweight, and the
 * uncertainties, each with its first member. One thread at a time.
 */
void trn_spread_demand(trn_spread *spread, const trn_spread_question *asked, double *demand_Nm, double *use);

#ifdef __cplusplus
}
#endif

#endif
