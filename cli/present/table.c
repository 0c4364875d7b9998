/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table.h"

#include <stdlib.h>
#include <string.h>

#include "message.h"

table table_make(const char *alignment, size_t heading_rows)
{
    return (table){.alignment = alignment,
                   .columns = strlen(alignment),
                   .heading_rows = heading_rows};
}

static bool make_room(table *made)
{
    if (made->count < made->room) {
        return true;
    }
    const size_t room = made->room == 0 ? 256 : 2 * made->room;
    char **cells = realloc(made->cells, room * sizeof *cells);
    if (cells == NULL) {
        return false;
    }
    made->cells = cells;
    made->room = room;
    return true;
}

void table_cell(table *made, const char *text)
{
    if (made->failed || !make_room(made)) {
        made->failed = true;
        return;
    }
    made->cells[made->count] = strdup(text);
    made->failed = made->cells[made->count] == NULL;
    made->count++;
}

/* Characters, not bytes: the continuation bytes of UTF-8 do not count. */
static size_t width_of(const char *text)
{
    size_t width = 0;
    for (; *text != '\0'; text++) {
        width += ((unsigned char)*text & 0xC0) != 0x80;
    }
    return width;
}

static size_t column_width(const table *made, size_t column)
{
    size_t widest = 0;
    for (size_t i = column; i < made->count; i += made->columns) {
        const size_t width = width_of(made->cells[i]);
        widest = width > widest ? width : widest;
    }
    return widest;
}

static void print_blanks(size_t count, FILE *stream)
{
    while (count-- > 0) {
        (void)fputc(' ', stream);
    }
}

static void print_rule(const size_t *widths, size_t columns, FILE *stream)
{
    size_t length = 2 * (columns - 1);
    for (size_t column = 0; column < columns; column++) {
        length += widths[column];
    }
    while (length-- > 0) {
        (void)fputc('-', stream);
    }
    (void)fputc('\n', stream);
}

/* No blanks stand at the end of a line. */
static void print_row(const table *made, size_t row, const size_t *widths, FILE *stream)
{
    size_t owed = 0;
    for (size_t column = 0; column < made->columns; column++) {
        const char *text = made->cells[row * made->columns + column];
        const size_t blanks = widths[column] - width_of(text);
        const bool right = made->alignment[column] == 'r';
        if (text[0] != '\0') {
            print_blanks(owed + (right ? blanks : 0), stream);
            (void)fputs(text, stream);
            owed = right ? 0 : blanks;
        } else {
            owed += widths[column];
        }
        owed += 2;
    }
    (void)fputc('\n', stream);
}

static void free_cells(table *made)
{
    for (size_t i = 0; i < made->count; i++) {
        free(made->cells[i]);
    }
    free(made->cells);
    *made = (table){0};
}

exit_status table_print(table *made, FILE *stream)
{
    size_t *widths = malloc(made->columns * sizeof *widths);
    const bool failed = made->failed || widths == NULL || made->columns == 0;
    if (!failed) {
        for (size_t column = 0; column < made->columns; column++) {
            widths[column] = column_width(made, column);
        }
        for (size_t row = 0; row < made->count / made->columns; row++) {
            if (row == made->heading_rows && row > 0) {
                print_rule(widths, made->columns, stream);
            }
            print_row(made, row, widths, stream);
        }
    }
    free(widths);
    free_cells(made);
    return failed ? fail_memory() : EXIT_DONE;
}
