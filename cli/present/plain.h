/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts that nobody has vetted, such as the name of a file, for a person's eyes. */
#ifndef PRESENT_PLAIN_H
#define PRESENT_PLAIN_H

#include <stdio.h>

/*
 * Print a text so that no terminal obeys it: a control character, one that turns the direction of writing, and a byte
 * that is no UTF-8 come as \x and two hexadecimal digits a byte. Returns how many columns were taken.
 */
size_t plain_print(FILE *stream, const char *text);

#endif
