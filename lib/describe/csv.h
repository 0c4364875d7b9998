/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables of numbers as CSV (RFC 4180), with units in their headings.
 *
 * A form says which columns a table may have; the reader finds the columns,
 * and hands on line after line. Every line is handed on or is at fault.
 */
#ifndef DSC_CSV_H
#define DSC_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "faults.h"
#include "quantity.h"
#include "trunnion/status.h"

/* csv_fields.c: where the reading stands in the text. */
typedef struct csv_scanner {
    const char *at;
    const char *end;
    dsc_place place; /* of at */
} csv_scanner;

/* A field without its quotes and the blanks around it. */
typedef struct csv_field {
    const char *text;
    size_t length;
    dsc_place place;
    bool quoted;
} csv_field;

typedef enum csv_after {
    CSV_COMMA,    /* another field of the line follows */
    CSV_LINE_END, /* the line, or the text, ends */
    CSV_BROKEN    /* a fault was added after which fields cannot be told apart */
} csv_after;

/* The next field; what stands after it is passed. */
csv_after csv_next_field(csv_scanner *from, trn_faults *faults, csv_field *field);

typedef enum csv_need {
    CSV_WHERE_WANTED,
    CSV_REQUIRED,
    CSV_ONE_OF /* of the columns so marked there is one */
} csv_need;

/* What a column may hold. */
typedef struct csv_role {
    const char *name;
    const char *example; /* of a unit; NULL: no unit belongs there */
    dsc_kind kind;       /* pure: the unit is a number, as people write it for strain */
    csv_need need;
    const char *beside; /* the column that this one cannot be without; NULL: none */
    double low;         /* SI: beyond these a number is one of another unit, or of a broken gauge */
    double high;
    const char *bounds; /* in words */
} csv_role;

/* The most roles of a form. */
#define CSV_ROLES_MAX ((size_t)16)

/* More headings than there are roles are doubled or unknown: they are counted, and at fault. */
#define CSV_COLUMNS_KEPT CSV_ROLES_MAX

typedef struct csv_column {
    size_t role;  /* the form's count: a heading at fault, its cells are passed over */
    double scale; /* SI units in one of the column's */
} csv_column;

typedef struct csv_columns {
    size_t count;
    csv_column at[CSV_COLUMNS_KEPT];
    dsc_place found[CSV_ROLES_MAX]; /* line 0 where there is none */
    size_t value;                   /* the one role of those that stand for each other; the form's count: none */
} csv_columns;

/* A line that has as many fields as there are headings. */
typedef struct csv_line {
    csv_field fields[CSV_COLUMNS_KEPT];
    size_t count;
    int number;
    dsc_place last;
    dsc_place surplus; /* of the first field beyond the headings */
} csv_line;

/* Take a line; what is wrong with it becomes a fault. Another status than TRN_OK ends the reading. */
typedef trn_status csv_take(void *into, const csv_line *line, const csv_columns *columns, trn_faults *faults);

typedef struct csv_form {
    const char *example;  /* a first line */
    const char *headings; /* what is expected of it, in words */
    const char *further;  /* what else may stand there, to follow these words */
    const char *one_of;   /* the columns of which there is one, in words */
    const csv_role *roles;
    size_t role_count;
    csv_take *take;
} csv_form;

bool csv_has(const csv_columns *columns, size_t role);

/*
 * csv_headings.c: read the first line. Returns TRN_OK also where headings are
 * at fault; *usable is false where the lines that follow cannot be read by
 * them at all.
 */
trn_status csv_read_headings(csv_scanner *from, const csv_form *form, dsc_units *units, trn_faults *faults,
                             csv_columns *columns, bool *usable);

/*
 * csv.c: read a table of length bytes. TRN_BAD_DESCRIPTION where there are
 * faults; otherwise faults is left empty.
 */
trn_status csv_read(const char *text, size_t length, const csv_form *form, void *into, csv_columns *columns,
                    trn_faults *faults);

/* The items of count with room for one more, or NULL when memory ran out: they are then where they were. */
void *csv_room_for_one(void *items, size_t count, size_t *room, size_t size);

/* Say what is wrong with a cell; always false. */
bool csv_refuse(const csv_field *cell, const csv_role *role, trn_faults *faults, const char *expected);

/* The number of a cell in SI; false, with a fault, where it is none or is out of the role's bounds. */
bool csv_read_number(const csv_field *cell, const csv_role *role, double scale, trn_faults *faults, double *value);

#endif
