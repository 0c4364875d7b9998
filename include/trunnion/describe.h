/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file describe.h
 * From the description of a leaf, a YAML text with units, to a trn_leaf.
 *
 * The only part of the library that knows YAML (libyaml) and units
 * (UDUNITS-2). It reads and checks; it computes no mechanics.
 *
 * Every text ends in a result or in faults within about a second: beside the
 * length, the levels of nesting (16), the values (1 250 000), the anchors
 * (256), the values that aliases stand for (100 000), the different units
 * (10 000) and the comparing of outlines are bounded.
 */
#ifndef TRN_DESCRIBE_H
#define TRN_DESCRIBE_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The most faults reported for one description. */
#define TRN_FAULTS_MAX 20

/** The longest description read, bytes. */
#define TRN_DESCRIPTION_MAX ((size_t)16 * 1024 * 1024)

/** One fault: where it is, what is wrong and what was expected. */
typedef struct trn_fault {
    int line;   /**< from 1 */
    int column; /**< from 1, in characters */
    char text[TRN_ERROR_TEXT]; /**< what is wrong, what was expected */
} trn_fault;

/** The faults of a description, in the order of their places. */
typedef struct trn_faults {
    size_t count; /**< how many are kept */
    bool more; /**< there are more than could be kept */
    trn_fault at[TRN_FAULTS_MAX]; /**< the faults */
} trn_faults;

/** Room for the value of a default in words. */
#define TRN_DEFAULT_VALUE 40

/** A default that was taken because its key was not given. */
typedef struct trn_taken_default {
    const char *of; /**< the section, such as "a case" */
    const char *key; /**< its key */
    char value[TRN_DEFAULT_VALUE]; /**< what holds, in words: a number in SI, a choice, true or false */
    int line; /**< of the first mapping that does without the key, from 1 */
    size_t times; /**< how many mappings do */
} trn_taken_default;

/** A description that was read: the leaf and the memory behind it. */
typedef struct trn_description trn_description;

/**
 * Read a description of length bytes (UTF-8; need not end in NUL).
 *
 * On TRN_OK *description is set and must be freed. On TRN_BAD_DESCRIPTION
 * faults says where and why, as many as can be found in one go. TRN_NO_MEMORY
 * and TRN_NO_UNITS leave both empty. The result does not depend on the locale.
 * The database of units is read at the first call and kept for the process;
 * calls from several threads are serialised where they read units.
 */
trn_status trn_description_read(const char *text, size_t length, trn_description **description, trn_faults *faults);

/** The leaf of a description; lives as long as the description. */
const trn_leaf *trn_description_leaf(const trn_description *description);

/**
 * The defaults that a description took, in the order in which they were first
 * taken; returns how many. A number that is 0 by default is among them where
 * someone may have forgotten it, such as an inertia; a default that what else
 * is given leaves without a meaning is not, such as the density of a wind by
 * pressure. The sections cases and trunnion are among them where the
 * description has none. They live as long as the description.
 */
size_t trn_description_defaults(const trn_description *description, const trn_taken_default **taken);

/**
 * Add to the leaf of a description, or take from it, by a line of text (UTF-8,
 * ended by NUL): a name, a colon, an amount, and where.
 *
 *     overlay: 35 kg/m2 on deck                            weight per area on a surface, its gross area
 *     cable: 120 kg at [6 m, 0.9 m]                        weight at a point
 *     paint: 0.4 kN/m from [1 m, 0.8 m] to [20 m, 0.8 m]   weight, or weight per length, along a line
 *     blocks: +12 in heel pocket                           blocks in a pocket
 *
 * An amount below 0 is taken away. What is added is a part of the leaf from
 * then on, so that its name must differ from those of the parts; something
 * must be left of the leaf. What trn_description_leaf gave before shows the
 * change; arrays that were reached through it before stay as they were.
 * Fails with TRN_OUT_OF_DOMAIN, in words that begin with "column N: ", the
 * place in the text, from 1 in characters; with TRN_NO_MEMORY or TRN_NO_UNITS.
 * The description is then as it was.
 */
trn_status trn_description_add(trn_description *description, const char *text, trn_error *error);

/** Free a description; NULL is allowed. */
void trn_description_free(trn_description *description);

/**
 * Read one angle, such as "40deg" or "0.7 rad", as the description reader
 * does, for options of a command. Fails with TRN_OUT_OF_DOMAIN and words.
 */
trn_status trn_angle_read(const char *text, double *angle_rad, trn_error *error);

/** The same for a time, such as "0.5s" or "2 min", in s. */
trn_status trn_time_read(const char *text, double *time_s, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
