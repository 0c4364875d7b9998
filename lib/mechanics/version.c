/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/version.h"

const char *trn_version(void)
{
    return TRN_VERSION;
}
