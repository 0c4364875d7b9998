/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/embedded.h"

/* Made by the Makefile, byte by byte, from the files that they are named after. */
const char report_style[] = {
#include "report/style.css.inc"
};
const size_t report_style_length = sizeof report_style;

const char report_script[] = {
#include "report/script.js.inc"
};
const size_t report_script_length = sizeof report_script;
