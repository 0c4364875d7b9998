/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences on standard error. */
#ifndef MESSAGE_H
#define MESSAGE_H

#include "exit_status.h"

/* Print "trunnion: ..." and return status, so that a failing function ends in "return fail(...)". */
__attribute__((format(printf, 2, 3))) exit_status fail(exit_status status, const char *format, ...);

/* Print "trunnion: not met: ..." and return EXIT_NOT_MET. */
__attribute__((format(printf, 1, 2))) exit_status not_met(const char *format, ...);

/* Print "trunnion: warning: ...". */
__attribute__((format(printf, 1, 2))) void warn(const char *format, ...);

/* Fail with a sentence on memory that ran out. */
exit_status fail_memory(void);

#endif
