/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits of the wind, of exact_times.h. */
#include <algorithm>

#include "exact_times.h"

namespace
{

/* What the demand is less its limit, as a function of the dynamic pressure: k |still + q push| - left + q moment. */
struct excess {
    exact_point still;
    exact_point push;
    exact arm;
    exact left;
    exact moment;
    int sense; /* +1: it may not rise above 0; -1: it may not fall below */
};

mpfr::mpreal value_of(const excess &of, const mpfr::mpreal &q)
{
    const mpfr::mpreal x = of.still.x.value + q * of.push.x.value;
    const mpfr::mpreal y = of.still.y.value + q * of.push.y.value;
    return of.arm.value * mpfr::hypot(x, y) - of.left.value + q * of.moment.value;
}

/* What q is off by: what the excess is, over its slope. */
exact with_size(const excess &of, const mpfr::mpreal &q)
{
    const double at = q.toDouble();
    const exact_point load = of.still + exact(q, at) * of.push;
    const exact length = length_of(load);
    const double slope = (of.arm * dot(load, of.push) / length + of.moment).value.toDouble();
    const double off = of.arm.size * length.size + of.left.size + at * of.moment.size;
    return {q, at + off / std::fabs(slope)};
}

/* Where the excess may be zero: without friction a straight line, else among the zeros of a quadratic. */
std::vector<mpfr::mpreal> zeros_of(const excess &of)
{
    if (!(of.arm.value > 0))
        return {of.left.value / of.moment.value};
    const mpfr::mpreal k2 = of.arm.value * of.arm.value;
    const mpfr::mpreal a = k2 * dot(of.push, of.push).value - of.moment.value * of.moment.value;
    const mpfr::mpreal b = k2 * dot(of.still, of.push).value + of.left.value * of.moment.value;
    const mpfr::mpreal c = k2 * dot(of.still, of.still).value - of.left.value * of.left.value;
    const mpfr::mpreal square = b * b - a * c;
    std::vector<mpfr::mpreal> zeros;
    if (square < 0)
        return zeros;
    for (int side = -1; side <= 1; side += 2)
        zeros.push_back(a != 0 ? (-b + side * mpfr::sqrt(square)) / a : -c / (2 * b));
    std::sort(zeros.begin(), zeros.end());
    return zeros;
}

/* The first zero at which the excess goes the wrong way. */
exact first_limit(const excess &of)
{
    if (of.sense * value_of(of, 0) > 0)
        return 0;
    for (const mpfr::mpreal &q : zeros_of(of))
        if (q >= 0 && of.sense * value_of(of, q * (1 + 1e-20) + 1e-30) > 0)
            return with_size(of, q);
    return HUGE_VAL;
}

exact_point drive_force(const exact_drive &drive, int way, int side, const exact &demand)
{
    if (!(magnitude(drive.arm) > 0))
        return {0, 0};
    return demand * exact_point{way / drive.arm * drive.along.x + side / abs(drive.arm) * drive.spread.x,
                                way / drive.arm * drive.along.y + side / abs(drive.arm) * drive.spread.y};
}

/* The demand at which torque or pressure is what is allowed, driving (side +1) or overhauled (-1). */
exact demand_allowed(const trn_leaf &leaf, const exact_drive &drive, int running, int way, int side)
{
    const exact efficiency = leaf.drive->efficiency;
    const exact share = leaf.wind_limits->motor_limit * (side > 0 ? efficiency : 1 / efficiency);
    if (leaf.drive->kind != TRN_DRIVE_CYLINDER)
        return side * share * rated_torque(*leaf.motors) * running * drive.ratio;
    const trn_cylinder &cylinder = leaf.drive->cylinder;
    const bool pulls = side * way * drive.arm.value < 0;
    const exact bore = exact(cylinder.bore_m) * cylinder.bore_m;
    const exact area = pi() / 4 * (pulls ? bore - exact(cylinder.rod_m) * cylinder.rod_m : bore);
    return side * share * cylinder.pressure_Pa * cylinder.count * area * abs(drive.arm);
}

exact drive_limit(const trn_leaf &leaf, trn_wind_question question, double angle)
{
    const trn_wind_limits &limits = *leaf.wind_limits;
    const int way = question.action == TRN_RAISE ? 1 : -1;
    trn_case calm = trn_default_case();
    calm.friction = limits.friction;
    trn_leaf idle = leaf;
    idle.drive = NULL;
    const exact_way bare = way_of(idle, calm, way > 0 ? TRN_OPENING : TRN_CLOSING, angle);
    const exact arm = friction_arm(leaf.trunnion, limits.friction);
    /* Without a drive, friction is that of both trunnions under known loads: the link's share is what is left over. */
    const exact link_friction = {(bare.friction - arm * bare.reaction).value, bare.friction.size};
    exact_point on_leaf = {0, 0};
    if (leaf.linked_counterweight != NULL) {
        const exact_link link = link_at(*leaf.linked_counterweight, angle);
        on_leaf = {-bare.link * link.along.x, -bare.link * link.along.y};
    }
    const exact_wind unit = wind_on(leaf, limits.wind, angle);
    const exact per_q = limits.wind.law == TRN_WIND_INCIDENCE ? exact(1) : exact(limits.wind.coefficient);
    const exact_drive drive = drive_at(*leaf.drive, angle);
    exact lowest = HUGE_VAL;
    for (int side = -1; side <= 1; side += 2) {
        const exact demand = demand_allowed(leaf, drive, question.motors_running, way, side);
        const exact_point still =
            on_leaf + drive_force(drive, way, side, demand) - exact_point{0, leaf_body(leaf).weight};
        const exact left = demand - (way * balance_at(leaf, angle) + link_friction);
        for (int from = -1; from <= 1; from += 2)
            lowest =
                min(lowest,
                    first_limit({still, from * per_q * unit.force, arm, left, from * way * per_q * unit.moment, side}));
    }
    return lowest;
}

exact hold_limit(const trn_leaf &leaf, bool brake_out, double angle)
{
    const trn_wind_limits &limits = *leaf.wind_limits;
    const exact capacity = brake_out ? brake_capacity(leaf) - brake_strongest(leaf) : brake_capacity(leaf);
    const exact left = capacity / limits.hold_factor - abs(balance_at(leaf, angle));
    const exact per_q = limits.wind.law == TRN_WIND_INCIDENCE ? exact(1) : exact(limits.wind.coefficient);
    const exact moment = per_q * abs(wind_on(leaf, limits.wind, angle).moment);
    if (left.value < 0)
        return 0;
    return moment.value > 0 ? left / moment : exact(HUGE_VAL);
}

} // namespace

exact wind_limit(const trn_leaf &leaf, trn_wind_question question, double angle)
{
    const exact q =
        question.action == TRN_HOLD ? hold_limit(leaf, question.brake_out, angle) : drive_limit(leaf, question, angle);
    const exact speed = sqrt(2 * q / leaf.wind_limits->wind.density_kg_m3);
    return speed.value <= TRN_WIND_HIGHEST ? speed : exact(HUGE_VAL);
}
