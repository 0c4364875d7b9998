/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every command does that reads the record of a balance test. */
#ifndef MEASURE_H
#define MEASURE_H

#include "exit_status.h"
#include "options.h"
#include "trunnion/measure.h"

/* How the options want a record fitted. */
trn_measure_settings measure_settings(const options *asked);

/* A fit that cannot be made is the record's fault, one that lacks a section the leaf's: a sentence names the file. */
exit_status fail_measure(const options *asked, const trn_error *error);

#endif
