/* SPDX-License-Identifier: GPL-3.0-or-later */
/* style.css and script.js, put into the program when it is built. */
#ifndef REPORT_EMBEDDED_H
#define REPORT_EMBEDDED_H

#include <stddef.h>

extern const char report_style[];
extern const size_t report_style_length;
extern const char report_script[];
extern const size_t report_script_length;

#endif
