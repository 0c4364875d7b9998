/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tool's exit status says. */
#ifndef EXIT_STATUS_H
#define EXIT_STATUS_H

typedef enum exit_status {
    EXIT_DONE = 0,      /* done, every requirement met */
    EXIT_NOT_MET = 1,   /* done, a requirement is not met */
    EXIT_BAD_INPUT = 2, /* bad input or usage */
    EXIT_MACHINE = 3    /* the machine failed us: file, gnuplot, memory */
} exit_status;

#endif
