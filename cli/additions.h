/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What-if additions (--add): put into the leaf, and told in every heading. */
#ifndef ADDITIONS_H
#define ADDITIONS_H

#include <jansson.h>
#include <stdio.h>

#include "exit_status.h"
#include "options.h"
#include "trunnion/describe.h"

/* Add to a description what the options ask for; a sentence names the place in a text that is not right. */
exit_status additions_apply(const options *asked, trn_description *description);

/* A line for each under the first line of a table. */
void additions_in_table(const options *asked, const char *text, size_t length, FILE *stream);

/* The member "additions" of a result that was written as JSON; without additions the text stays as it is. */
exit_status additions_in_json(const options *asked, const char *text, size_t length, FILE *stream);

/* The gnuplot string "additions", with which titles end: a line for each, but of many the first ones and how many more.
 */
void additions_in_plot(const options *asked, FILE *script);

/* How many lines it has, in a script "addition_lines". */
size_t additions_drawn(const options *asked);

#endif
