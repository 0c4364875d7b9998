/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The parts of the reader of records: fields of a CSV text, headings, cells.
 */
#ifndef RECORD_PARTS_H
#define RECORD_PARTS_H

#include <stdbool.h>
#include <stddef.h>

#include "faults.h"
#include "quantity.h"
#include "trunnion/record.h"

/* record_fields.c: where the reading stands in the text. */
typedef struct rec_scanner {
    const char *at;
    const char *end;
    dsc_place place; /* of at */
} rec_scanner;

/* A field without its quotes and the blanks around it. */
typedef struct rec_field {
    const char *text;
    size_t length;
    dsc_place place;
    bool quoted;
} rec_field;

typedef enum rec_after {
    REC_COMMA,    /* another field of the line follows */
    REC_LINE_END, /* the line, or the text, ends */
    REC_BROKEN    /* a fault was added after which fields cannot be told apart */
} rec_after;

/* The next field; what stands after it is passed. */
rec_after rec_next_field(rec_scanner *from, trn_faults *faults, rec_field *field);

/* record_headings.c: what a column holds. */
typedef enum rec_role {
    REC_ANGLE,
    REC_DIRECTION,
    REC_LEAF_TORQUE, /* from here to REC_MOTOR_POWER in the order of trn_record_kind */
    REC_MOTOR_TORQUE,
    REC_SHAFT_TORQUE,
    REC_SHAFT_STRAIN,
    REC_MOTOR_POWER,
    REC_TIME,
    REC_RUN,
    REC_WIND_SPEED,
    REC_WIND_SIDE,
    REC_ROLES /* none of them */
} rec_role;

typedef struct rec_column {
    rec_role role; /* REC_ROLES: a heading at fault, its cells are passed over */
    double scale;  /* SI units in one of the column's */
} rec_column;

/* More headings than there are roles are doubled or unknown: they are counted, and at fault. */
#define REC_COLUMNS_KEPT ((size_t)16)

typedef struct rec_columns {
    size_t count;
    rec_column at[REC_COLUMNS_KEPT];
    dsc_place found[REC_ROLES]; /* line 0 where there is none */
    rec_role value;             /* the one of torque, strain or power; REC_ROLES where there is none */
} rec_columns;

/* The name of a role as it stands in a heading. */
const char *rec_role_name(rec_role role);

bool rec_has(const rec_columns *columns, rec_role role);

/*
 * Read the first line. Returns TRN_OK also where headings are at fault; *usable
 * is false where the lines that follow cannot be read by them at all.
 */
trn_status rec_read_headings(rec_scanner *from, dsc_units *units, trn_faults *faults, rec_columns *columns,
                             bool *usable);

/* record_cells.c: put a cell into the reading; false, with a fault, where it does not obey. */
bool rec_read_cell(const rec_field *cell, const rec_column *column, trn_faults *faults, trn_reading *into);

#endif
