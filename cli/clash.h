/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files named twice on one command line: what is written must be neither what is read nor written again. */
#ifndef CLASH_H
#define CLASH_H

#include "exit_status.h"
#include "options.h"

/* A sentence and EXIT_BAD_INPUT where --plot or -o would overwrite an input or each other. */
exit_status clash_check(const options *asked);

#endif
