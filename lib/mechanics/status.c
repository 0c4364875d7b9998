/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/status.h"

#include <stdarg.h>
#include <stdio.h>

const char *trn_status_text(trn_status status)
{
    switch (status) {
#define STATUS_CASE(name, text) \
    case name:                  \
        return text;
        TRN_STATUS_LIST(STATUS_CASE)
#undef STATUS_CASE
    }
    return "unknown status";
}

trn_status trn_error_set(trn_error *error, trn_status status, const char *format, ...)
{
    if (error != NULL) {
        va_list arguments;
        va_start(arguments, format);
        error->status = status;
        (void)vsnprintf(error->text, sizeof error->text, format, arguments);
        va_end(arguments);
    }
    return status;
}
