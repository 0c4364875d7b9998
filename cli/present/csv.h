/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV by RFC 4180: CR LF line ends, quotes where a text needs them. */
#ifndef PRESENT_CSV_H
#define PRESENT_CSV_H

#include <stdbool.h>
#include <stdio.h>

/* One field; first says whether it begins its line. */
void csv_text(FILE *stream, const char *text, bool first);

/* A number with all its digits. */
void csv_number(FILE *stream, double value, bool first);

/* A field with nothing in it: a value that there is not. */
void csv_nothing(FILE *stream, bool first);

/* A number where there is one, else nothing; never the first of its line. */
void csv_number_if(FILE *stream, bool there, double value);

void csv_end_line(FILE *stream);

#endif
