/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file gust.h
 * Wind that changes with time: a gust of one shape, or a record.
 */
#ifndef TRN_GUST_H
#define TRN_GUST_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/wind.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * A gust that rises and falls once: u(t) = rise/2 (1 - cos(2 pi t/lasts)) on
 * top of the steady wind, t from its start on; nothing before and after. The
 * rise is one of the speed or one of the pressure, as by_speed says.
 * Source: the "1 - cosine" discrete gust, as in IEC 61400-1 ed. 3, 6.3.2.
 */
typedef struct trn_gust {
    bool by_speed; /**< true: rise_m_s counts; false: rise_Pa counts */
    double rise_m_s; /**< by_speed: 0 or more */
    double rise_Pa;  /**< else: 0 or more, of the pressure p */
    double lasts_s;  /**< over 0 */
    double start_s;  /**< from the release of the brakes, 0 or more */
} trn_gust;

/** One line of a record of wind. */
typedef struct trn_wind_point {
    double time_s; /**< from the release of the brakes, ascending in a record */
    double value;  /**< speed in m/s or pressure p in Pa, 0 or more */
} trn_wind_point;

/** A record of wind: straight lines between its points, the end values beyond them; in place of the steady wind. */
typedef struct trn_wind_record {
    bool by_speed; /**< whether the values are speeds; else pressures */
    const trn_wind_point *points; /**< count of them */
    size_t count; /**< at least 1 */
} trn_wind_record;

/**
 * The pressure p at a time, Pa. A speed (steady, of the record, of the gust)
 * becomes a pressure by the coefficient and density of wind: C rho v2/2. A
 * gust by speed on a wind by pressure adds to the speed that has that
 * pressure; a gust by pressure adds to the pressure.
 * gust and record may be NULL.
 */
double trn_wind_pressure_at(const trn_wind *wind, const trn_gust *gust, const trn_wind_record *record, double time_s);

#ifdef __cplusplus
}
#endif

#endif
