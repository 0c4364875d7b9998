/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "message.h"

#include <stdarg.h>
#include <stdio.h>

exit_status fail(exit_status status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    (void)fputs("trunnion: ", stderr);
    (void)vfprintf(stderr, format, arguments);
    (void)fputc('\n', stderr);
    va_end(arguments);
    return status;
}

exit_status fail_memory(void)
{
    return fail(EXIT_MACHINE, "memory ran out");
}
