/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files that are finished before they stand under their name. */
#ifndef DRAFT_H
#define DRAFT_H

#include "exit_status.h"

/* A file that is being made beside the one it shall become. */
typedef struct draft {
    char *path;   /* the unfinished file; NULL where the target is written in place */
    char *target; /* the file that it shall become */
} draft;

/*
 * Make an empty unfinished file for target. A target that exists and is no
 * ordinary file (a device, a pipe) has none: its path stays NULL. On EXIT_DONE
 * end with draft_finish or draft_discard; an interruption removes the file.
 */
exit_status draft_open(const char *target, draft *made);
exit_status draft_finish(draft *made);
void draft_discard(draft *made);

/* Remove an unfinished file when a signal ends the process; called once, at the start. */
void draft_guard_signals(void);

#endif
