/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON through jansson: one object, numbers at full precision. */
#ifndef PRESENT_JSON_H
#define PRESENT_JSON_H

#include <jansson.h>
#include <stdio.h>

#include "exit_status.h"

/*
 * Write an object and drop it. NULL is what jansson gives where memory ran
 * out or a number is not finite: a sentence is printed, nothing is written.
 */
exit_status json_write(json_t *object, FILE *stream);

#endif
