/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file addition.h
 * What if something were added to a leaf, or taken from it?
 *
 * An addition of weight becomes one more part of the leaf, of negative weight
 * where something is taken away; an addition of blocks changes the count in a
 * pocket. trn_description_add (describe.h) reads one from a line of text.
 */
#ifndef TRN_ADDITION_H
#define TRN_ADDITION_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What an addition is. */
typedef enum trn_addition_kind {
    TRN_ADDITION_ON_SURFACE, /**< weight per area on the gross area of a surface */
    TRN_ADDITION_AT_POINT,   /**< weight at a point */
    TRN_ADDITION_ALONG,      /**< weight, or weight per length, along a line */
    TRN_ADDITION_IN_POCKET   /**< blocks in a pocket of the leaf or of its linked counterweight */
} trn_addition_kind;

/** One addition. Which fields count depends on the kind; amounts are below 0 for what is taken away, never 0. */
typedef struct trn_addition {
    const char *name; /**< of the part that it becomes */
    trn_addition_kind kind; /**< which fields below count */
    const char *place;            /**< name of the surface or pocket */
    double weight_per_area_N_m2;  /**< on a surface */
    double weight_N;              /**< at a point; along a line: its weight, or 0 where per length */
    double weight_per_length_N_m; /**< along a line without weight_N */
    int blocks;                   /**< in a pocket */
    trn_point from;               /**< at a point: there; along a line: one end */
    trn_point to;                 /**< along a line: the other end, elsewhere */
} trn_addition;

/**
 * The part that an addition of weight becomes: a slab along the surface, a
 * point, or a bar. Fails with TRN_OUT_OF_DOMAIN where the leaf has no surface
 * of that name (the error lists those there are), or for an addition of blocks.
 */
trn_status trn_addition_part(const trn_leaf *leaf, const trn_addition *addition, trn_part *part, trn_error *error);

/**
 * The pocket that an addition of blocks goes to, and what is in it then:
 * *index counts through the leaf's pockets and on through those of its linked
 * counterweight. Fails with TRN_OUT_OF_DOMAIN where there is no pocket of that
 * name, where it would hold less than nothing or more than its room, or for an
 * addition of weight.
 */
trn_status trn_addition_blocks(const trn_leaf *leaf, const trn_addition *addition, size_t *index, int *blocks,
                               trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
