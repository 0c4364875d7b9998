/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the command completion has to say of itself. */
#ifndef COMPLETION_H
#define COMPLETION_H

#include <stdio.h>

/* The shells that there are scripts for, one a line. */
void completion_names(FILE *stream);

#endif
