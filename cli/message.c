/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "message.h"

#include <stdarg.h>
#include <stdio.h>

static void say(const char *beginning, const char *format, va_list arguments)
{
    (void)fputs(beginning, stderr);
    (void)vfprintf(stderr, format, arguments);
    (void)fputc('\n', stderr);
}

exit_status fail(exit_status status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("trunnion: ", format, arguments);
    va_end(arguments);
    return status;
}

exit_status not_met(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("trunnion: not met: ", format, arguments);
    va_end(arguments);
    return EXIT_NOT_MET;
}

void warn(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("trunnion: warning: ", format, arguments);
    va_end(arguments);
}

exit_status fail_memory(void)
{
    return fail(EXIT_MACHINE, "memory ran out");
}
