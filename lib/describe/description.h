/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a description holds: the leaf, and the memory that its arrays lie in.
 */
#ifndef DSC_DESCRIPTION_H
#define DSC_DESCRIPTION_H

#include "arena.h"
#include "defaults.h"
#include "trunnion/leaf.h"

struct trn_description {
    dsc_arena arena;
    trn_leaf leaf;
    dsc_defaults defaults;
};

#endif
