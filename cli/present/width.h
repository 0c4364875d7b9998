/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How wide a text stands on a terminal or in a plot. */
#ifndef PRESENT_WIDTH_H
#define PRESENT_WIDTH_H

#include <stddef.h>

/* Columns of a text in UTF-8: two of an East Asian wide character, none of a combining mark. */
size_t text_width(const char *text);

/*
 * How many bytes of the text fit where so many letters of middle width do, in the fonts of plots, in which a W is wider
 * than an i; marks stay with the character they belong to.
 */
size_t text_fitting(const char *text, size_t letters);

#endif
