/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the JSON of cycle's answers has in common. */
#ifndef CYCLE_JSON_H
#define CYCLE_JSON_H

#include "cycle.h"
#include "present/json.h"

/* An object with the leaf and its case. */
json_t *cycle_object(const cycle *of);

/* What was asked to happen. Not 0 where that failed, as of the next. */
int put_upsets(json_t *object, const cycle *of);

/* How a run of a direction ended. */
int put_end(json_t *object, const cycle *of, trn_direction direction, const trn_run *run);

/* How far it ran back and past its travel, and what is held against what in which wind; null where untold. */
int put_hold(json_t *object, const trn_run *run, bool there);

/* How the toe came down, or null. */
json_t *seat_json(const trn_seat *seat);

#endif
