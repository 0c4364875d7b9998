/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance_leaf.h"

#include "exact.h"

namespace
{

const double degree = 3.14159265358979323846 / 180;

} // namespace

/* Each in its turn: what one gives, the next may lean on. */
chance_leaf::chance_leaf(uint64_t number)
    : state(number * 0x9E6C63D0876A9A4BU + 11), leaf(trn_default_leaf()), load_case(trn_default_case()), holding(),
      profile(), linked(), trunnion(), drive(), motors(), travel(), limits()
{
    length = over_decades(&state, 8, 60);
    leaf.toe_m = length;
    leaf.opens_to_rad = between(&state, 40, 88) * degree;
    const int count = whole_between(&state, 2, 8);
    for (int i = 0; i < count; i++)
        parts.push_back(part());
    if (chance(&state, 0.7))
        give_pockets(pockets);
    if (chance(&state, 0.3))
        give_linked();
    give_counterweight();
    leaf.parts = parts.data();
    leaf.part_count = parts.size();
    leaf.pockets = pockets.data();
    leaf.pocket_count = pockets.size();
    give_surfaces();
    give_wind();
    give_drive();
    give_motors();
    give_brakes();
    give_rest();
}

double chance_leaf::off(double share)
{
    return between(&state, -share, share) * length;
}

trn_point chance_leaf::point(double x_low, double x_high, double y_off)
{
    return {between(&state, x_low, x_high) * length, off(y_off)};
}

/* Star-shaped about its middle, so that it is simple; either sense. */
trn_polygon chance_leaf::outline(trn_point middle, double size)
{
    const int count = whole_between(&state, 3, 9);
    const double sense = chance(&state, 0.5) ? 1 : -1;
    corners.emplace_back();
    for (int i = 0; i < count; i++) {
        const double angle = sense * (i + between(&state, 0.1, 0.9)) * 360 / count * degree;
        const double radius = size * between(&state, 0.5, 1);
        corners.back().push_back({middle.x + radius * std::cos(angle), middle.y + radius * std::sin(angle)});
    }
    return {corners.back().data(), corners.back().size()};
}

trn_part chance_leaf::part()
{
    trn_part made = trn_default_part();
    made.shape = trn_shape(whole_between(&state, TRN_SHAPE_POINT, TRN_SHAPE_BLOCK));
    made.count = whole_between(&state, 1, 3);
    made.at = point(-0.3, 1, 0.1);
    made.from = point(-0.3, 0.4, 0.1);
    made.to = point(0.4, 1, 0.1);
    made.gyration_m = chance(&state, 0.5) ? between(&state, 0, 2) : 0;
    if (made.shape == TRN_SHAPE_POINT || (made.shape == TRN_SHAPE_BAR && chance(&state, 0.5)))
        made.weight_N = over_decades(&state, 1e3, 1e6);
    made.weight_per_length_N_m = over_decades(&state, 100, 2e4);
    made.weight_per_area_N_m2 = over_decades(&state, 200, 3000);
    made.unit_weight_N_m3 = over_decades(&state, 5e3, 8e4);
    made.width_m = between(&state, 1, 15);
    if (made.shape == TRN_SHAPE_BLOCK) {
        const double size = between(&state, 0.02, 0.15) * length;
        made.outline = outline(made.at, size);
        voids.emplace_back();
        for (int i = whole_between(&state, 0, 2); i > 0; i--)
            voids.back().push_back(
                {made.width_m * between(&state, 0.1, 1),
                 outline({made.at.x + (i - 1.5) * 0.2 * size, made.at.y}, 0.12 * size * between(&state, 0.3, 1))});
        made.voids = voids.back().data();
        made.void_count = voids.back().size();
    }
    return made;
}

void chance_leaf::give_pockets(std::vector<trn_pocket> &into)
{
    for (int i = whole_between(&state, 1, 3); i > 0; i--) {
        trn_pocket made = {};
        made.at = point(-0.35, -0.2, 0.1);
        made.block_N = between(&state, 200, 900);
        made.blocks = whole_between(&state, 0, 80);
        made.room = 90;
        into.push_back(made);
    }
}

/* A point weight that leaves of the leaf's balance as little as chance says, to 1e-10 of it. */
void chance_leaf::give_counterweight()
{
    leaf.parts = parts.data();
    leaf.part_count = parts.size();
    const trn_body body = trn_leaf_body(&leaf);
    trn_part made = trn_default_part();
    made.at.x = -between(&state, 0.15, 0.35) * length;
    made.weight_N = std::fabs(body.a_Nm / made.at.x);
    const double left = over_decades(&state, 1e-10, 0.1) * (chance(&state, 0.5) ? 1 : -1);
    made.at.x *= body.a_Nm < 0 ? -1 : 1;
    made.at.y = -body.b_Nm / made.weight_N * (1 + off(0.1));
    made.weight_N *= 1 + left;
    made.gyration_m = between(&state, 0.5, 2);
    parts.push_back(made);
}

void chance_leaf::give_surfaces()
{
    for (int i = whole_between(&state, 1, 4); i > 0; i--) {
        trn_surface made = {};
        made.from = point(-0.3, 0.3, 0.1);
        made.to = {made.from.x + over_decades(&state, 0.01, 0.9) * length, made.from.y + off(0.1)};
        made.width_m = between(&state, 1, 15);
        made.solidity = between(&state, 0.1, 1);
        made.takes_ice = chance(&state, 0.6);
        made.takes_wind = chance(&state, 0.8);
        surfaces.push_back(made);
    }
    leaf.surfaces = surfaces.data();
    leaf.surface_count = surfaces.size();
}

void chance_leaf::give_wind()
{
    trn_wind &wind = load_case.wind;
    wind.by_speed = chance(&state, 0.5);
    wind.speed_m_s = between(&state, 0, 30);
    wind.pressure_Pa = between(&state, 0, 800);
    wind.coefficient = between(&state, 0.5, 2);
    wind.density_kg_m3 = between(&state, 1.1, 1.4);
    wind.law = trn_wind_law(whole_between(&state, TRN_WIND_PROJECTED, TRN_WIND_INCIDENCE));
    wind.from = trn_wind_side(whole_between(&state, TRN_WIND_FROM_HEEL, TRN_WIND_FROM_ADVERSE));
    double at = 0;
    for (int i = 0; i < 5; i++, at += between(&state, 0.1, 0.5))
        incidences.push_back({at, between(&state, 0, 2)});
    if (wind.law == TRN_WIND_INCIDENCE) {
        wind.table = incidences.data();
        wind.table_count = incidences.size();
    }
    if (chance(&state, 0.4)) {
        profile.exponent = between(&state, 0.05, 0.4);
        profile.reference_height_m = between(&state, 5, 20);
        profile.trunnion_height_m = between(&state, 2, 15);
        profile.lowest_m = between(&state, 0.5, 4);
        wind.profile = &profile;
    }
    limits.wind = wind;
    limits.wind.by_speed = true;
    limits.wind.speed_m_s = 0;
    holding.wind = wind;
}

/* A four-bar of which nothing more is known than that it has no dead point from 10 degrees below closed on. */
void chance_leaf::give_linked()
{
    linked.pivot = point(-0.5, -0.2, 0.3);
    linked.pin_on_leaf = point(-0.35, -0.05, 0.15);
    linked.pin_on_counterweight = {linked.pivot.x + off(0.3), linked.pivot.y + off(0.3)};
    leaf.linked_counterweight = &linked;
    leaf.opens_to_rad += 5 * degree;
    if (trn_leaf_check_motion(&leaf, NULL) != TRN_OK)
        leaf.linked_counterweight = NULL;
    leaf.opens_to_rad -= 5 * degree;
    linked.journal.diameter_m = between(&state, 0.1, 0.5);
    linked.journal.friction = {0.18, between(&state, 0.02, 0.15)};
    linked_parts.push_back(part());
    linked_parts.back().at = linked.pin_on_counterweight;
    give_pockets(linked_pockets);
    linked.parts = linked_parts.data();
    linked.part_count = linked_parts.size();
    linked.pockets = linked_pockets.data();
    linked.pocket_count = linked_pockets.size();
}

void chance_leaf::give_drive()
{
    drive.kind = trn_drive_kind(whole_between(&state, TRN_DRIVE_RATIO, TRN_DRIVE_CYLINDER));
    drive.efficiency = between(&state, 0.5, 1);
    drive.ratio = over_decades(&state, 200, 5000);
    if (chance(&state, 0.5))
        drive.rack = {between(&state, 0.1, 0.3) * length, between(&state, -3, 3), between(&state, 0, 0.5)};
    const trn_point pin = point(-0.2, 0.2, 0.1);
    const trn_point fixed = point(-0.3, 0.3, 0.4);
    drive.strut = {pin, fixed, between(&state, 0.1, 0.6), between(&state, 50, 400)};
    drive.cylinder.on_leaf = pin;
    drive.cylinder.anchor = fixed;
    drive.cylinder.bore_m = between(&state, 0.1, 0.5);
    drive.cylinder.rod_m = drive.cylinder.bore_m * between(&state, 0, 0.9);
    drive.cylinder.count = whole_between(&state, 1, 4);
    drive.cylinder.pressure_Pa = between(&state, 1e7, 3e7);
    leaf.drive = &drive;
}

void chance_leaf::give_motors()
{
    motors.installed = whole_between(&state, 1, 4);
    motors.running = whole_between(&state, 1, motors.installed);
    motors.power_W = over_decades(&state, 3e3, 3e5);
    motors.speed_rad_s = between(&state, 60, 180);
    motors.inertia_kg_m2 = between(&state, 0, 5);
    motors.peak = between(&state, 1, 3);
    motors.law = trn_torque_law(whole_between(&state, TRN_TORQUE_CONSTANT, TRN_TORQUE_TABLE));
    motors.synchronous_rad_s = motors.speed_rad_s * between(&state, 1.005, 1.1);
    motors.breakdown = chance(&state, 0.1) ? 1 : between(&state, 1, 3.5);
    double speed = 0;
    for (int i = 0; i < 5; i++, speed += between(&state, 5, 60))
        torques.push_back({speed, between(&state, 10, 900)});
    motors.table = torques.data();
    motors.table_count = torques.size();
    leaf.motors = &motors;
}

void chance_leaf::give_brakes()
{
    for (int i = whole_between(&state, 1, 3); i > 0; i--) {
        trn_brake made = {};
        made.count = whole_between(&state, 1, 3);
        made.torque_Nm = over_decades(&state, 50, 5e4);
        made.ratio = over_decades(&state, 1, 2000);
        made.delay_s = between(&state, 0, 1);
        made.set_time_s = between(&state, 0, 2);
        brakes.push_back(made);
    }
    leaf.brakes = brakes.data();
    leaf.brake_count = brakes.size();
}

void chance_leaf::give_rest()
{
    trunnion.diameter_m = between(&state, 0.1, 0.9);
    trunnion.friction = {between(&state, 0.1, 0.3), between(&state, 0.01, 0.1)};
    trunnion.drag_Nm = chance(&state, 0.5) ? between(&state, 0, 3000) : 0;
    leaf.trunnion = chance(&state, 0.85) ? &trunnion : NULL;
    travel.speed_rad_s = between(&state, 0.005, 0.04);
    travel.accelerate_in_s = between(&state, 1, 12);
    travel.creep = between(&state, 0.05, 1);
    travel.near_open_rad = leaf.opens_to_rad * between(&state, 0.55, 0.99);
    travel.near_closed_rad = leaf.opens_to_rad * between(&state, 0.01, 0.45);
    travel.decelerate_in_s = between(&state, 1, 10);
    leaf.travel = &travel;
    load_case.accelerating = chance(&state, 0.5);
    load_case.friction = chance(&state, 0.5) ? TRN_FRICTION_STARTING : TRN_FRICTION_MOVING;
    load_case.ice_N_m2 = chance(&state, 0.5) ? between(&state, 0, 500) : 0;
    load_case.motor_limit = between(&state, 0.5, 2);
    limits.friction = load_case.friction;
    limits.motor_limit = between(&state, 0.5, 2);
    limits.hold_factor = between(&state, 1, 2);
    leaf.wind_limits = &limits;
    holding.ice_N_m2 = load_case.ice_N_m2;
    holding.factor = between(&state, 1, 2);
    holding.friction_credit = chance(&state, 0.5) ? between(&state, 0, 1) : 0;
}
