/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv.h"

#include <string.h>

#include "number.h"

static void separate(FILE *stream, bool first)
{
    if (!first) {
        (void)fputc(',', stream);
    }
}

void csv_text(FILE *stream, const char *text, bool first)
{
    separate(stream, first);
    if (strpbrk(text, ",\"\r\n") == NULL) {
        (void)fputs(text, stream);
        return;
    }
    (void)fputc('"', stream);
    for (; *text != '\0'; text++) {
        if (*text == '"') {
            (void)fputc('"', stream);
        }
        (void)fputc(*text, stream);
    }
    (void)fputc('"', stream);
}

void csv_number(FILE *stream, double value, bool first)
{
    separate(stream, first);
    char text[NUMBER_TEXT];
    number_text(value, text);
    (void)fputs(text, stream);
}

void csv_nothing(FILE *stream, bool first)
{
    separate(stream, first);
}

void csv_number_if(FILE *stream, bool there, double value)
{
    if (there) {
        csv_number(stream, value, false);
    } else {
        csv_nothing(stream, false);
    }
}

void csv_end_line(FILE *stream)
{
    (void)fputs("\r\n", stream);
}
