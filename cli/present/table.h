/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables for people: columns that line up, a heading of two lines. */
#ifndef PRESENT_TABLE_H
#define PRESENT_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "exit_status.h"

typedef struct table {
    const char *alignment; /* one l or r for each column */
    size_t columns;
    size_t heading_rows; /* the first rows, set off by a rule */
    char *text;          /* the cells one after the other, row by row, each with its NUL */
    size_t length;
    size_t text_room;
    size_t *starts; /* where each cell begins in text */
    size_t count;
    size_t start_room;
    bool failed; /* memory ran out: told by table_print */
} table;

/* alignment: l or r for each column, a text that outlives the table. */
table table_make(const char *alignment, size_t heading_rows);

/* The next cell of the row. */
void table_cell(table *made, const char *text);

/* Print the table, and free it. */
exit_status table_print(table *made, FILE *stream);

#endif
