/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences on standard error, the one place from which they come: a person's text within them is made harmless. */
#ifndef MESSAGE_H
#define MESSAGE_H

#include <stdbool.h>

#include "exit_status.h"

/* Which sentences are said: all but warnings and notes where quiet, notes too where verbose. Starts the clock. */
void message_choose(bool quiet, bool verbose);

/* Whether nothing shall come out that is no error and no file. */
bool message_is_quiet(void);

/* The file that sentences are about from now on, where there are several; NULL: there is but one. It must outlive them.
 */
void message_about(const char *file);

/* Print a line of its own, such as "FILE:LINE:COLUMN: ...". */
__attribute__((format(printf, 1, 2))) void tell_line(const char *format, ...);

/* Print "trunnion: ..." and return status, so that a failing function ends in "return fail(...)". */
__attribute__((format(printf, 2, 3))) exit_status fail(exit_status status, const char *format, ...);

/* The same of a file, which is named once. */
exit_status fail_about(exit_status status, const char *file, const char *text);

/* Print "trunnion: not met: ..." and return EXIT_NOT_MET. */
__attribute__((format(printf, 1, 2))) exit_status not_met(const char *format, ...);

/* Print "trunnion: warning: ...", unless quiet. */
__attribute__((format(printf, 1, 2))) void warn(const char *format, ...);

/* Print "trunnion: note: ..." where verbose. */
__attribute__((format(printf, 1, 2))) void note(const char *format, ...);

/* A note on the time since message_choose. */
void message_time(void);

/* Fail with a sentence on memory that ran out. */
exit_status fail_memory(void);

#endif
