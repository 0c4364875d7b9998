/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Characters of UTF-8: which they are, and those that nobody sees. */
#ifndef DSC_CHARACTERS_H
#define DSC_CHARACTERS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* All of these take a text of a byte at least. */

/* The code point at text and its length in bytes; length 0 where the bytes are not UTF-8. */
uint32_t dsc_character_at(const unsigned char *text, size_t left, size_t *length);

/*
 * Bytes of the control character, line end or invisible character that starts text, 0 where none does: what would
 * break a line, reach a terminal as a command, or make two texts look alike that differ.
 */
size_t dsc_control_length(const char *text, size_t length);

/* Whether the first character of text, or the last, is a blank of some kind: at an end nobody sees it. */
bool dsc_ends_blank(const char *text, size_t length);

#endif
