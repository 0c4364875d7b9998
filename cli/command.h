/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The commands: one file each, one line each in the table of commands.c. */
#ifndef COMMAND_H
#define COMMAND_H

#include "exit_status.h"
#include "options.h"

exit_status command_weigh(const options *asked);
exit_status command_curve(const options *asked);
exit_status command_explain(const options *asked);
exit_status command_drive(const options *asked);
exit_status command_brake(const options *asked);
exit_status command_wind(const options *asked);
exit_status command_cycle(const options *asked);
exit_status command_measure(const options *asked);
exit_status command_ballast(const options *asked);
exit_status command_spread(const options *asked);
exit_status command_report(const options *asked);
exit_status command_new(const options *asked);
exit_status command_schema(const options *asked);
exit_status command_completion(const options *asked);

#endif
