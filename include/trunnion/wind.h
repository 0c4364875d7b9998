/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file wind.h
 * Wind on the surfaces of the leaf.
 */
#ifndef TRN_WIND_H
#define TRN_WIND_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A straight strip on which wind and ice act; heel end first. */
typedef struct trn_surface {
    const char *name; /**< for people, and to add to it */
    trn_point from;  /**< the end nearer the heel, m */
    trn_point to;    /**< the end nearer the toe, m */
    double width_m;  /**< across the bridge, over 0 */
    double solidity; /**< solid share of the gross area for wind, 0 to 1 */
    bool takes_ice; /**< whether ice lies on it */
    bool takes_wind; /**< whether wind acts on it */
} trn_surface;

/** How the pressure acts on a surface. */
typedef enum trn_wind_law {
    TRN_WIND_PROJECTED, /**< pressure acts horizontally on the vertical projection */
    TRN_WIND_NORMAL,    /**< pressure acts normal to the surface at every angle */
    TRN_WIND_INCIDENCE  /**< as normal, with a coefficient over the angle of incidence */
} trn_wind_law;

/** The side that the wind comes from. */
typedef enum trn_wind_side {
    TRN_WIND_FROM_HEEL,   /**< d = +1: pushes a raised leaf closed */
    TRN_WIND_FROM_TOE,    /**< d = -1 */
    TRN_WIND_FROM_ADVERSE /**< whichever resists the motion: heel when opening, toe when closing */
} trn_wind_side;

/** A direction of travel. */
typedef enum trn_direction { TRN_OPENING, TRN_CLOSING } trn_direction;

/** One point of a table of normal-force coefficients. */
typedef struct trn_incidence_point {
    double incidence_rad; /**< 0 to pi/2, ascending in a table */
    double coefficient;   /**< Cn, 0 or more */
} trn_incidence_point;

/** Wind that grows with height: pressure times (z/reference)^(2 exponent), z never below lowest. */
typedef struct trn_wind_profile {
    double exponent;           /**< of the speed, 0 to 1 */
    double reference_height_m; /**< over 0; where the case's pressure or speed holds */
    double trunnion_height_m;  /**< of the trunnion axis above ground */
    double lowest_m;           /**< over 0 */
} trn_wind_profile;

/** A wind: a pressure, or a speed that gives one. */
typedef struct trn_wind {
    bool by_speed;        /**< true: speed_m_s counts; false: pressure_Pa counts */
    double pressure_Pa;   /**< p (for incidence: q), 0 or more */
    double speed_m_s;     /**< v, 0 or more */
    double coefficient;   /**< C; default 1 */
    double density_kg_m3; /**< default 1.25, recommended by EN 1991-1-4, 4.5 */
    trn_wind_law law;     /**< default projected */
    trn_wind_side from;   /**< default adverse */
    const trn_incidence_point *table; /**< law incidence: straight lines between its points, ends held */
    size_t table_count; /**< at least 2 where the law is incidence */
    const trn_wind_profile *profile;  /**< NULL: the same at every height */
} trn_wind;

/** No wind: pressure 0, coefficient 1, density 1.25 kg/m3, projected, adverse, uniform. */
trn_wind trn_default_wind(void);

/** What the wind does to the leaf: its moment and its force. */
typedef struct trn_wind_action {
    double moment_Nm; /**< positive closes */
    trn_point force;  /**< N, x towards the toe side, y up */
} trn_wind_action;

/** Pressure p of a wind, Pa: as given, or C times 0.5 rho v2. */
double trn_wind_pressure(const trn_wind *wind);

/** d of a side for a direction of travel: +1 from the heel, -1 from the toe. */
double trn_wind_sense(trn_wind_side from, trn_direction direction);

/** Cn at an incidence: straight lines between the table's points, the end values beyond them. */
double trn_wind_normal_coefficient(const trn_incidence_point *table, size_t count, double incidence_rad);

/** Factor on the pressure at a height above ground; 1 without a profile. */
double trn_wind_height_factor(const trn_wind_profile *profile, double height_m);

/**
 * What wind of 1 Pa from the heel does to one surface of a leaf turned by
 * rotation; times p and d it is the action of any wind of that law.
 *
 * projected: F = b phi L |sin beta|, horizontal, at the mid-point.
 * normal: F = b phi L, M = F (P.t), force F (sin beta, -cos beta).
 * incidence: normal times Cn(i) and the sign of sin beta.
 * With a profile the strip is integrated (Gauss-Legendre on panels that end
 * where the profile has its kink and whose heights at most double).
 */
trn_wind_action trn_wind_on_surface(const trn_surface *surface, const trn_wind *wind, trn_rotation rotation);

/** The same over all surfaces that take wind. */
trn_wind_action trn_wind_on_surfaces(const trn_surface *surfaces, size_t count, const trn_wind *wind,
                                     trn_rotation rotation);

#ifdef __cplusplus
}
#endif

#endif
