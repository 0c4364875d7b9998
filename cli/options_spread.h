/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of spread. */
#ifndef OPTIONS_SPREAD_H
#define OPTIONS_SPREAD_H

#include "options.h"

/* Each reads the text of one option; a sentence is printed where it is not right. */
exit_status spread_samples(options *asked, const char *text);
exit_status spread_digits(options *asked, const char *text);
exit_status spread_seed(options *asked, const char *text);
exit_status spread_threads(options *asked, const char *text);
exit_status spread_shard(options *asked, const char *text);

/* Whether the options go together. */
exit_status spread_check(const options *asked);

#endif
