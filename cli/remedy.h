/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would help where a requirement is not met: a sentence each. NULL, or a false, where it is met. */
#ifndef REMEDY_H
#define REMEDY_H

#include "brake.h"
#include "cycle.h"
#include "drive_plot.h"
#include "wind.h"

/* Room for such a sentence. */
enum { REMEDY_WORDS = 400 };

/* Cases and duty: a higher ratio where the motors run below their rated speed, else more power. */
const char *remedy_drive(const drive_result *of, char text[REMEDY_WORDS]);

/* Holdings, the worst of them; and the emergency stop. */
const char *remedy_holding(const brake_result *of, char text[REMEDY_WORDS]);
const char *remedy_stop(const brake_result *of);

/* The posted wind. */
const char *remedy_wind(const wind_result *of, char text[REMEDY_WORDS]);

/* A run that must arrive, or that a fault stops. */
const char *remedy_run(const cycle *of, trn_direction direction, const trn_run *run);

#endif
