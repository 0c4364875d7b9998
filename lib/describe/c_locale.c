/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "c_locale.h"

bool dsc_c_locale_enter(dsc_c_locale *entered)
{
    entered->own = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    if (!entered->own) {
        return false;
    }
    entered->before = uselocale(entered->own);
    return true;
}

void dsc_c_locale_leave(dsc_c_locale *entered)
{
    uselocale(entered->before);
    freelocale(entered->own);
}
