/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file exact_loads.h
 * Wind, drive, motors, friction and the balance of forces, from the formulas alone, in exact numbers.
 */
#ifndef TRN_TEST_EXACT_LOADS_H
#define TRN_TEST_EXACT_LOADS_H

#include "exact_bodies.h"

struct exact_wind {
    exact moment;
    exact_point force;
};

exact wind_pressure(const trn_wind &wind);
exact height_factor(const trn_wind_profile &profile, const exact &height);
exact normal_coefficient(const trn_wind &wind, const exact &incidence);
/* Wind of 1 Pa from the heel on one surface, or on all that take wind. */
exact_wind wind_on(const trn_surface &surface, const trn_wind &wind, double angle);
exact_wind wind_on(const trn_leaf &leaf, const trn_wind &wind, double angle);
/* True where a strip is so near level that its last place says which side the wind strikes. */
bool strikes_level(const trn_leaf &leaf, double angle);

exact rated_torque(const trn_motors &motors);
exact peak_torque(const trn_motors &motors);
exact breakdown_slip(const trn_motors &motors);
exact motor_torque(const trn_motors &motors, const exact &speed);

struct exact_drive {
    exact ratio;
    exact ratio_change;
    exact length;
    exact arm;
    exact_point along;
    exact_point spread;
};

exact_drive drive_at(const trn_drive &drive, double angle);
exact drive_torque(const exact &demand, const exact &ratio, double efficiency);
exact cylinder_pressure(const trn_cylinder &cylinder, const exact &force);
exact drive_dead_point(const trn_drive &drive);

exact friction_arm(const trn_journal *journal, trn_friction_state state);
/* N = |without + k N v| */
exact reaction_of(const exact_point &without, const exact_point &per_moment, const exact &arm);

/* A leaf in one direction of travel: what trn_moments says of it. */
struct exact_way {
    exact wind;
    exact friction;
    exact demand;
    exact motor;
    exact reaction;
    exact force;
    exact pressure;
    exact link;
    exact counterweight_reaction;
};

exact_way way_of(const trn_leaf &leaf, const trn_case &load_case, trn_direction direction, double angle);
exact inertia_at(const trn_leaf &leaf, const trn_case &load_case, double angle);
exact ice_moment(const trn_leaf &leaf, double ice, double angle);
exact travel_acceleration(const trn_travel &travel);

#endif
