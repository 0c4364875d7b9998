/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/gust.h"

#include <math.h>

#define PI 3.14159265358979323846

/* (1 - cos 2x)/2 is sin2 x, which keeps its digits where the gust begins and ends. */
static double share_of_rise(const trn_gust *gust, double time_s)
{
    const double share = (time_s - gust->start_s) / gust->lasts_s;
    if (!(share > 0 && share < 1)) {
        return 0;
    }
    const double sine = sin(PI * share);
    return sine * sine;
}

static double value_at(const trn_wind_record *record, double time_s)
{
    const trn_wind_point *points = record->points;
    size_t low = 0;
    size_t high = record->count - 1;
    if (time_s <= points[low].time_s) {
        return points[low].value;
    }
    if (time_s >= points[high].time_s) {
        return points[high].value;
    }
    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;
        if (points[middle].time_s <= time_s) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const double share = (time_s - points[low].time_s) / (points[high].time_s - points[low].time_s);
    return points[low].value + share * (points[high].value - points[low].value);
}

/* The wind without the gust, with the speed or the pressure that it has at a time. */
static trn_wind wind_before_gust(const trn_wind *wind, const trn_wind_record *record, double time_s)
{
    trn_wind now = *wind;
    if (record != NULL) {
        const double value = value_at(record, time_s);
        now.by_speed = record->by_speed;
        now.speed_m_s = record->by_speed ? value : 0;
        now.pressure_Pa = record->by_speed ? 0 : value;
    }
    return now;
}

double trn_wind_pressure_at(const trn_wind *wind, const trn_gust *gust, const trn_wind_record *record, double time_s)
{
    trn_wind now = wind_before_gust(wind, record, time_s);
    const double share = gust != NULL ? share_of_rise(gust, time_s) : 0;
    if (gust == NULL || !(share > 0)) {
        return trn_wind_pressure(&now);
    }
    if (!gust->by_speed) {
        return trn_wind_pressure(&now) + share * gust->rise_Pa;
    }
    if (!now.by_speed) {
        now.by_speed = true;
        now.speed_m_s = sqrt(2 * now.pressure_Pa / (now.coefficient * now.density_kg_m3));
    }
    now.speed_m_s += share * gust->rise_m_s;
    return trn_wind_pressure(&now);
}
