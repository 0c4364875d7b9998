/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a leaf weighs, item by item. */
#ifndef WEIGH_H
#define WEIGH_H

#include <stddef.h>

#include "exit_status.h"
#include "present/display.h"
#include "trunnion/balance.h"

/* A line of the account: a part, or the blocks in a pocket. */
typedef struct item {
    const char *name;
    trn_body body;
    trn_point centroid;
} item;

typedef struct account {
    const trn_leaf *leaf;
    trn_balance balance;
    display shown;
    item *items; /* parts, pockets, then those of a linked counterweight; free them */
    size_t count;
} account;

/* The link of a linked counterweight must have no dead point (trn_leaf_check_motion). */
exit_status account_make(const trn_leaf *leaf, account *made);

/* What the sign of the closed moment says. */
const char *account_tendency(const account *of);

#endif
