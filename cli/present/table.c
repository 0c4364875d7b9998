/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table.h"

#include <stdlib.h>
#include <string.h>

#include "message.h"
#include "width.h"

table table_make(const char *alignment, size_t heading_rows)
{
    return (table){.alignment = alignment, .columns = strlen(alignment), .heading_rows = heading_rows};
}

/* Room for wanted elements of a size, or false; what was there stays. */
static bool grow(void **memory, size_t *room, size_t wanted, size_t size)
{
    if (wanted <= *room) {
        return true;
    }
    const size_t more = wanted < 1024 ? 1024 : 2 * wanted;
    void *grown = realloc(*memory, more * size);
    if (grown == NULL) {
        return false;
    }
    *memory = grown;
    *room = more;
    return true;
}

void table_cell(table *made, const char *text)
{
    const size_t size = strlen(text) + 1;
    void *characters = made->text;
    void *starts = made->starts;
    const bool fits = grow(&characters, &made->text_room, made->length + size, 1) &&
                      grow(&starts, &made->start_room, made->count + 1, sizeof *made->starts);
    made->text = characters;
    made->starts = starts;
    if (made->failed || !fits) {
        made->failed = true;
        return;
    }
    (void)memcpy(made->text + made->length, text, size);
    made->starts[made->count++] = made->length;
    made->length += size;
}

static const char *cell(const table *made, size_t index)
{
    return made->text + made->starts[index];
}

static size_t column_width(const table *made, size_t column)
{
    size_t widest = 0;
    for (size_t i = column; i < made->count; i += made->columns) {
        const size_t width = text_width(cell(made, i));
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
        const char *text = cell(made, row * made->columns + column);
        const size_t blanks = widths[column] - text_width(text);
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

exit_status table_print(table *made, FILE *stream)
{
    size_t *widths = malloc(made->columns * sizeof *widths);
    const bool failed = made->failed || widths == NULL;
    if (!failed) {
        for (size_t column = 0; column < made->columns; column++) {
            widths[column] = column_width(made, column);
        }
        for (size_t row = 0; (row + 1) * made->columns <= made->count; row++) {
            if (row == made->heading_rows && row > 0) {
                print_rule(widths, made->columns, stream);
            }
            print_row(made, row, widths, stream);
        }
    }
    free(widths);
    free(made->text);
    free(made->starts);
    *made = (table){0};
    return failed ? fail_memory() : EXIT_DONE;
}
