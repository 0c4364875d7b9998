/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file describe_run.h
 * What a run is told in words: an upset, a gust, a record of wind.
 */
#ifndef TRN_DESCRIBE_RUN_H
#define TRN_DESCRIBE_RUN_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/describe.h"
#include "trunnion/run.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** An upset as it was written. */
typedef struct trn_upset_text {
    trn_upset upset; /**< what goes wrong */
    bool has_angle; /**< false: none was written */
    bool opening;   /**< it is for opening runs */
    bool closing;   /**< it is for closing runs */
} trn_upset_text;

/**
 * Read an upset (UTF-8, ended by NUL):
 *
 *     power lost at 40deg
 *     power lost at 40deg closing          of closings only; of both without a word
 *     emergency stop at 40deg
 *     pedal released at 40deg
 *     motor out at 40deg
 *     brake out                            of the whole run: no angle
 *     near switch missed                   of the whole run: no angle
 *     gust 12 m/s for 8 s at 40deg         or of a pressure: gust 90 Pa for 8 s
 *
 * The angle may be left out, for who runs through the angles.
 * Fails with TRN_OUT_OF_DOMAIN, in words that begin with "column N: ", the
 * place in the text, from 1 in characters; with TRN_NO_UNITS.
 */
trn_status trn_upset_read(const char *text, trn_upset_text *upset, trn_error *error);

/** Read a gust, such as "12 m/s for 8 s at 20 s" (0 s where no start is given). Fails as trn_upset_read does. */
trn_status trn_gust_read(const char *text, trn_gust *gust, trn_error *error);

/** A record of wind and the memory behind it. */
typedef struct trn_wind_series {
    trn_wind_record record; /**< what the mechanics takes; it points to points */
    trn_wind_point *points; /**< the memory behind it */
} trn_wind_series;

/**
 * Read a record of wind of length bytes, as trn_record_read reads a balance
 * test: columns time [s] and either speed [m/s] or pressure [Pa], in any units
 * of these; time ascends from 0 or more. On TRN_OK the series must be freed.
 */
trn_status trn_wind_series_read(const char *text, size_t length, trn_wind_series *series, trn_faults *faults);

/** Free a series; one of all zero is allowed. */
void trn_wind_series_free(trn_wind_series *series);

#ifdef __cplusplus
}
#endif

#endif
