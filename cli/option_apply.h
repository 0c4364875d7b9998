/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each option does: reads its value; a sentence is printed where that is not right. */
#ifndef OPTION_APPLY_H
#define OPTION_APPLY_H

#include "options.h"

typedef exit_status option_apply(options *asked, const char *value);

option_apply apply_json;
option_apply apply_csv;
option_apply apply_output;
option_apply apply_plot;
option_apply apply_units;
option_apply apply_case;
option_apply apply_step;
option_apply apply_at;
option_apply apply_from;
option_apply apply_to;
option_apply apply_ordinary;
option_apply apply_by_reaction;
option_apply apply_add;
option_apply apply_record;
option_apply apply_seconds;
option_apply apply_fault;
option_apply apply_sweep;
option_apply apply_gust;
option_apply apply_wind_record;
option_apply apply_every;
option_apply apply_switches;
option_apply apply_drift;
option_apply apply_operation;
option_apply apply_merge;
option_apply apply_quiet;
option_apply apply_verbose;
option_apply apply_help;
option_apply apply_version;

#endif
