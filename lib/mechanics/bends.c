/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bends.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "support.h"

#define RIGHT_ANGLE (90 * DEGREE)

/* What lies closer together is one bend: far beyond rounding of an angle, and of no matter to a moment. */
static const double apart_rad = 1e-12;
static const double beside_rad = 1e-10;

/* Bends of surfaces with less of the area are no more than a hair of the leaf's; all of them would take time with the
   square of how many there are. */
static const double least_share = 0.005;

/* How many points of a wind's table lie at most at an incidence. */
static size_t points_up_to(const trn_wind *wind, double incidence_rad)
{
    size_t low = 0;
    size_t high = wind->table_count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (wind->table[middle].incidence_rad <= incidence_rad) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

/* How far a surface turns until its incidence, which rises, bends. */
static double turns_while_rising(const trn_wind *wind, double incidence_rad)
{
    const size_t above = points_up_to(wind, incidence_rad);
    const double point = above < wind->table_count ? wind->table[above].incidence_rad : RIGHT_ANGLE;
    return fmin(incidence_rad < beside_rad ? beside_rad : RIGHT_ANGLE, point) - incidence_rad;
}

/* The same, while it falls. */
static double turns_while_falling(const trn_wind *wind, double incidence_rad)
{
    const size_t up_to = points_up_to(wind, incidence_rad);
    const double point = up_to > 0 ? wind->table[up_to - 1].incidence_rad : 0;
    return incidence_rad - fmax(incidence_rad > beside_rad ? beside_rad : 0, point);
}

/* In a quarter turn the incidence rises from level to upright, and in the next one it falls again. */
static double next_on_surface(const trn_surface *surface, const trn_wind *wind, double angle_rad)
{
    const double slope = atan2(surface->to.y - surface->from.y, surface->to.x - surface->from.x);
    const double inclination = slope + angle_rad + apart_rad;
    const double quarter = floor(inclination / RIGHT_ANGLE);
    const double turned = inclination - quarter * RIGHT_ANGLE;
    const bool rises = fabs(fmod(quarter, 2)) < 0.5;
    const double turns = rises ? turns_while_rising(wind, turned) : turns_while_falling(wind, RIGHT_ANGLE - turned);
    return angle_rad + apart_rad + turns;
}

/* That takes wind, or 0. */
static double windy_area(const trn_surface *surface)
{
    return surface->takes_wind ? trn_point_distance(surface->from, surface->to) * surface->width_m : 0;
}

double next_wind_bend(double angle_rad, const void *context)
{
    const wind_on_leaf *of = context;
    if (of->wind == NULL || of->wind->law == TRN_WIND_NORMAL) {
        return HUGE_VAL;
    }
    double whole = 0;
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        whole += windy_area(&of->leaf->surfaces[i]);
    }
    double next = HUGE_VAL;
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        if (windy_area(&of->leaf->surfaces[i]) > least_share * whole) {
            next = fmin(next, next_on_surface(&of->leaf->surfaces[i], of->wind, angle_rad));
        }
    }
    return next;
}

search_range travel_in_steps(const wind_on_leaf *blown, double step_rad)
{
    const double opens_to = blown->leaf->opens_to_rad;
    return (search_range){
        .high = opens_to, .parts = (size_t)ceil(opens_to / step_rad), .next_bend = next_wind_bend, .bends = blown};
}
