/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces that the sections of the report are made of. */
#ifndef REPORT_TEXT_H
#define REPORT_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "present/display.h"
#include "present/html.h"

/* A number with its unit. */
typedef struct amount {
    char text[DISPLAY_TEXT + 32];
} amount;

amount amount_of(const display *shown, quantity what, double value);

/* A section with its heading; its id is also where links lead. Ends with html_end. */
void text_section(html *page, const char *id, const char *heading);

/* A heading within a section, with a name behind it where there is one. */
void text_heading(html *page, const char *element, const char *words, const char *name);

/* A paragraph in the manner of printf; no text of the user's goes through it. */
__attribute__((format(printf, 2, 3))) void text_paragraph(html *page, const char *format, ...);

/* A caution or a note, told by word and border. */
__attribute__((format(printf, 3, 4))) void text_note(html *page, const char *kind, const char *format, ...);

/* What a section rests on: formulas with their sources. */
typedef struct basis {
    const char *term;
    const char *formula;
    const char *source;
} basis;

void text_basis(html *page, const basis *rows, size_t count);

/* Inputs: a list of names and values. Ends with html_end. */
void text_inputs(html *page, const char *caption);
__attribute__((format(printf, 3, 4))) void text_input(html *page, const char *name, const char *format, ...);

/* A column of a table: its words, its unit or "", and whether it holds numbers. */
typedef struct heading {
    const char *words;
    const char *unit;
    bool number;
} heading;

/*
 * A table in a region that scrolls by itself where it is wide. One whose rows are headed by words is stacked on a
 * narrow screen, a row below the other, and its cells carry their headings for that. The columns must outlive the
 * table. Ends with text_table_end.
 */
void text_table(html *page, const char *caption, const char *name, const heading *columns, size_t count);
void text_table_end(html *page);

/* A row: begins with the cell that heads it; then cells; ends with html_end. */
void text_row(html *page, const char *header);
void text_row_number(html *page, const char *number);
void text_row_named(html *page, const char *name);
void text_cell(html *page, const char *text);
void text_number(html *page, const char *text);
void text_amount(html *page, const display *shown, quantity what, double value);
void text_verdict(html *page, bool met);

/* A figure for charts. Ends with text_caption. */
void text_figure(html *page);
__attribute__((format(printf, 2, 3))) void text_caption(html *page, const char *format, ...);

#endif
