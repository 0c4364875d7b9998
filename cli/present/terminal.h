/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What standard output is: a terminal, how large, and whether it draws pictures. */
#ifndef PRESENT_TERMINAL_H
#define PRESENT_TERMINAL_H

#include <stdbool.h>

typedef struct terminal_size {
    int columns;
    int cell_width_px; /* 0: not told */
} terminal_size;

/* Where standard output is no terminal: by the variable COLUMNS, or 80. */
terminal_size terminal_measure(void);

/*
 * Whether standard output is a terminal that says (primary device attributes,
 * attribute 4) that it draws sixels. It is asked, and waited for half a second
 * at most, only where it is the terminal that this process is run from.
 */
bool terminal_draws_sixels(void);

#endif
