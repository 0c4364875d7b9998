/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The totals of a leaf's balance as members of a JSON object: weigh's names, wherever a balance is told. */
#ifndef TOTALS_H
#define TOTALS_H

#include <jansson.h>

#include "trunnion/balance.h"

/* Set them in an object. Not 0 where that failed. */
int totals_put(json_t *object, const trn_balance *balance);

/* An object of them alone; NULL where that failed. */
json_t *totals_json(const trn_balance *balance);

#endif
