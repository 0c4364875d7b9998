/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/wind.h"

#include <math.h>

#include "quadrature.h"

trn_wind trn_default_wind(void)
{
    return (trn_wind){
        .coefficient = 1, .density_kg_m3 = 1.25, .law = TRN_WIND_PROJECTED, .from = TRN_WIND_FROM_ADVERSE};
}

double trn_wind_pressure(const trn_wind *wind)
{
    if (!wind->by_speed) {
        return wind->pressure_Pa;
    }
    return wind->coefficient * 0.5 * wind->density_kg_m3 * wind->speed_m_s * wind->speed_m_s;
}

double trn_wind_sense(trn_wind_side from, trn_direction direction)
{
    if (from == TRN_WIND_FROM_ADVERSE) {
        return direction == TRN_OPENING ? 1 : -1;
    }
    return from == TRN_WIND_FROM_HEEL ? 1 : -1;
}

double trn_wind_normal_coefficient(const trn_incidence_point *table, size_t count, double incidence_rad)
{
    if (count == 0) {
        return 0;
    }
    if (incidence_rad <= table[0].incidence_rad) {
        return table[0].coefficient;
    }
    /* The incidence is over that of the point below, and not over that of the point above, if there is one. */
    size_t below = 0;
    size_t above = count;
    while (above - below > 1) {
        const size_t middle = below + (above - below) / 2;
        *(incidence_rad <= table[middle].incidence_rad ? &above : &below) = middle;
    }
    if (above == count) {
        return table[below].coefficient;
    }
    const trn_incidence_point low = table[below];
    const trn_incidence_point high = table[above];
    const double share = (incidence_rad - low.incidence_rad) / (high.incidence_rad - low.incidence_rad);
    return low.coefficient + share * (high.coefficient - low.coefficient);
}

double trn_wind_height_factor(const trn_wind_profile *profile, double height_m)
{
    if (profile == NULL) {
        return 1;
    }
    return pow(fmax(height_m, profile->lowest_m) / profile->reference_height_m, 2 * profile->exponent);
}

/* How the pressure lies along a strip, t from 0 at its first end to 1 at its
   second: the integrals of the height factor f and of f t. */
typedef struct strip_load {
    double whole;  /* integral of f dt: 1 where uniform */
    double moment; /* integral of f t dt: 1/2 where uniform */
} strip_load;

/* The heights of the two ends of a strip. */
typedef struct end_heights {
    double first;
    double second;
} end_heights;

static strip_load panel_load(const trn_wind_profile *profile, end_heights z, double t_low, double t_high)
{
    const double middle = (t_low + t_high) / 2;
    const double half = (t_high - t_low) / 2;
    strip_load load = {0, 0};
    for (size_t i = 0; i < GAUSS_POINTS; i++) {
        for (int side = -1; side <= 1; side += 2) {
            const double t = middle + side * half * gauss[i].node;
            const double factor =
                half * gauss[i].weight * trn_wind_height_factor(profile, z.first + t * (z.second - z.first));
            load.whole += factor;
            load.moment += factor * t;
        }
    }
    return load;
}

/* A panel ends where the profile has its kink and then wherever the height
   has doubled: within it the power law is so smooth that 12 points give all
   the digits. */
static strip_load integrate_strip(const trn_wind_profile *profile, end_heights z)
{
    const double low = fmin(z.first, z.second);
    const double high = fmax(z.first, z.second);
    strip_load total = {0, 0};
    if (!(high > low)) {
        return panel_load(profile, z, 0, 1);
    }
    double from = low;
    double to = low < profile->lowest_m ? profile->lowest_m : 2 * low;
    while (from < high) {
        to = fmin(to, high);
        const double t_from = (from - z.first) / (z.second - z.first);
        const double t_to = (to - z.first) / (z.second - z.first);
        const strip_load panel = panel_load(profile, z, fmin(t_from, t_to), fmax(t_from, t_to));
        total.whole += panel.whole;
        total.moment += panel.moment;
        from = to;
        to = 2 * from;
    }
    return total;
}

/* A strip from y_m that rises by rise_m. */
static strip_load load_on_strip(const trn_wind_profile *profile, double y_m, double rise_m)
{
    if (profile == NULL) {
        return (strip_load){.whole = 1, .moment = 0.5};
    }
    const double height = profile->trunnion_height_m + y_m;
    return integrate_strip(profile, (end_heights){height, height + rise_m});
}

/* A strip that lies level but for rounding shows the wind neither side. */
static double side_struck(double sine)
{
    const double rounding = 1e-15;
    return (sine > rounding) - (sine < -rounding);
}

/* The coefficient on a pressure that acts normal to the surface, with the
   side that the wind strikes as its sign. The incidence is asin |sine|, by
   atan2 because asin loses half its digits near a right angle. */
static double normal_factor(const trn_wind *wind, trn_point along)
{
    if (wind->law == TRN_WIND_NORMAL) {
        return 1;
    }
    const double incidence = atan2(fabs(along.y), fabs(along.x));
    return side_struck(along.y) * trn_wind_normal_coefficient(wind->table, wind->table_count, incidence);
}

trn_wind_action trn_wind_on_surface(const trn_surface *surface, const trn_wind *wind, trn_rotation rotation)
{
    const double length = trn_point_distance(surface->from, surface->to);
    const trn_point first = trn_point_rotate(surface->from, rotation);
    /* The closed direction turned, as the ends of a short strip far out would leave it no digits. */
    const trn_point closed = {surface->to.x - surface->from.x, surface->to.y - surface->from.y};
    const trn_point rise = trn_point_rotate(closed, rotation);
    const trn_point along = {rise.x / length, rise.y / length};
    const strip_load load = load_on_strip(wind->profile, first.y, rise.y);
    const double area = surface->solidity * surface->width_m * length;
    if (wind->law == TRN_WIND_PROJECTED) {
        const double across = area * fabs(along.y);
        return (trn_wind_action){.moment_Nm = across * (first.y * load.whole + rise.y * load.moment),
                                 .force = {across * load.whole, 0}};
    }
    const double normal = area * normal_factor(wind, along);
    const double arm = first.x * along.x + first.y * along.y;
    return (trn_wind_action){.moment_Nm = normal * (arm * load.whole + length * load.moment),
                             .force = {normal * load.whole * along.y, -normal * load.whole * along.x}};
}

trn_wind_action trn_wind_on_surfaces(const trn_surface *surfaces, size_t count, const trn_wind *wind,
                                     trn_rotation rotation)
{
    trn_wind_action total = {0};
    for (size_t i = 0; i < count; i++) {
        if (surfaces[i].takes_wind) {
            const trn_wind_action one = trn_wind_on_surface(&surfaces[i], wind, rotation);
            total.moment_Nm += one.moment_Nm;
            total.force.x += one.force.x;
            total.force.y += one.force.y;
        }
    }
    return total;
}
