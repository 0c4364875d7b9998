/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON through jansson: one object, numbers at full precision. */
#ifndef PRESENT_JSON_H
#define PRESENT_JSON_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

#include "exit_status.h"

/*
 * End the process with a sentence where jansson gets no memory: it would drop pieces of texts without a word, and abort
 * in its reader. Called once, at the start; nothing is half written while an object is made.
 */
void json_guard_memory(void);

/*
 * Write an object and drop it. NULL is what jansson gives where a number is
 * not finite: a sentence is printed, nothing is written.
 */
exit_status json_write(json_t *object, FILE *stream);

/* Set a number, or null where there is none. Not 0 where that failed. */
int json_put(json_t *object, const char *key, bool there, double value);

/* The name of a file; null for one that is no UTF-8, which JSON cannot tell. */
json_t *json_name(const char *name);

/* The value, or NULL (and the value dropped) where something failed on the way to it. */
json_t *json_unless(int failed, json_t *value);

#endif
