/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Numbers are read in the C locale, whatever the program's: set for this
 * thread, and put back.
 */
#ifndef DSC_C_LOCALE_H
#define DSC_C_LOCALE_H

#include <locale.h>
#include <stdbool.h>

typedef struct dsc_c_locale {
    locale_t own;
    locale_t before;
} dsc_c_locale;

/* False where memory ran out; else end with dsc_c_locale_leave. */
bool dsc_c_locale_enter(dsc_c_locale *entered);

void dsc_c_locale_leave(dsc_c_locale *entered);

#endif
