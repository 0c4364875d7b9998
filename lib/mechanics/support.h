/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What several files of this folder say alike. */
#ifndef SUPPORT_H
#define SUPPORT_H

#include "trunnion/status.h"

/* Radians in a degree. */
#define DEGREE (3.14159265358979323846 / 180)

/* Fail for want of a section of the description. */
static inline trn_status missing_section(trn_error *error, const char *section)
{
    trn_error_set(error, TRN_MISSING_SECTION, "the description needs the section '%s'", section);
    return TRN_MISSING_SECTION;
}

#endif
