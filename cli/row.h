/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The columns of a row of moments: their names, units, and whether a leaf has them. */
#ifndef ROW_H
#define ROW_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "present/display.h"
#include "trunnion/moments.h"

/* What a column needs of the leaf: without motors a motor's torque is null, the other needs leave the column out. */
typedef enum column_need { NEEDS_NOTHING, NEEDS_MOTOR, NEEDS_FORCE, NEEDS_PRESSURE, NEEDS_LINK } column_need;

/* The columns of a row, in the order in which they are shown. */
typedef struct column {
    const char *key;   /* in JSON and CSV */
    const char *over;  /* heading of the table, first line */
    const char *under; /* and second */
    quantity what;
    size_t offset;
    column_need need; /* what the leaf must have */
} column;

enum { COLUMN_COUNT = 21 };
extern const column columns[COLUMN_COUNT];

/* The member of a row that is a double at an offset. */
double row_value(const trn_moments *row, size_t offset);

double column_value(const column *of, const trn_moments *row);

/* Whether the leaf has what the column shows. */
bool column_has(const column *of, const trn_moments *row);

/* A column that leaves of this kind do not have at all; a motor's torque is then null, but there. */
bool column_absent(const column *of, const trn_moments *row);

/* A row as JSON, null where there is no motor; NULL where that failed. */
json_t *row_json(double angle_deg, const trn_moments *row);

#endif
