/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scripts of completion, written from the tables of commands and options. */
#ifndef COMPLETION_SHELLS_H
#define COMPLETION_SHELLS_H

#include <stdio.h>

void completion_bash(FILE *stream);
void completion_zsh(FILE *stream);

/* A text in single quotes, as both shells read it, up to its end or so many bytes. */
void shell_quoted(FILE *stream, const char *text, size_t length);

/* Lines of a text as words in quotes, each after a blank. */
void shell_words(FILE *stream, const char *lines);

#endif
