/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exact_loads.h"

namespace
{

/* Straight lines between points, the end values beyond them. */
template <typename Point>
exact between_points(const Point *points, size_t count, const exact &at, double Point::*place, double Point::*value)
{
    if (at.value <= points[0].*place)
        return points[0].*value;
    for (size_t i = 1; i < count; i++) {
        const Point &low = points[i - 1];
        const Point &high = points[i];
        if (at.value <= high.*place)
            return low.*value +
                   (at - low.*place) / gap_of_given(high.*place, low.*place) * gap_of_given(high.*value, low.*value);
    }
    return points[count - 1].*value;
}

exact power(const exact &base, const exact &exponent)
{
    const mpfr::mpreal value = mpfr::pow(base.value, exponent.value);
    return {value, value.toDouble() * (1 + magnitude(exponent) * base.size / magnitude(base))};
}

/* Along a strip, t from 0 to 1: the integrals of the height factor f and of f t, by the antiderivative of the power. */
struct strip {
    exact whole;
    exact moment;
};

/* The part of a strip of which the height goes from `from` to `to`, in the profile or below its lowest height. */
strip stretch(const trn_wind_profile &on, const exact &first, const exact &rise, const exact &from, const exact &to)
{
    const mpfr::mpreal p = exact(2 * on.exponent).value;
    const bool below = from.value + to.value < 2 * on.lowest_m;
    const mpfr::mpreal low = below ? exact(on.lowest_m).value : exact(1).value;
    const mpfr::mpreal grows = below ? mpfr::mpreal(0) : p;
    const mpfr::mpreal scale = mpfr::pow(low / on.reference_height_m, p);
    const auto integral = [&](int more, const mpfr::mpreal &z) {
        return mpfr::pow(z, grows + more + 1) / (grows + more + 1);
    };
    const auto over = [&](int more) { return integral(more, to.value) - integral(more, from.value); };
    const mpfr::mpreal whole = scale * over(0) / rise.value;
    const mpfr::mpreal moment = scale * (over(1) - first.value * over(0)) / (rise.value * rise.value);
    /* What the heights are off by, the factor is off by p times. */
    const double off = 1 + (below ? 0 : p.toDouble() * (from.size / magnitude(from) + to.size / magnitude(to)));
    return {{whole, std::fabs(whole.toDouble()) * off}, {moment, std::fabs(moment.toDouble()) * off}};
}

strip strip_between(const trn_wind_profile *profile, const exact &y_first, const exact &y_second)
{
    if (profile == NULL)
        return {1, exact(1) / 2};
    const exact first = profile->trunnion_height_m + y_first;
    const exact second = profile->trunnion_height_m + y_second;
    const exact rise = second - first;
    const exact lowest = profile->lowest_m;
    if (mpfr::abs(rise.value) < 1e-25) {
        const exact factor = height_factor(*profile, first);
        return {factor, factor / 2};
    }
    if ((first.value < lowest.value) == (second.value < lowest.value))
        return stretch(*profile, first, rise, first, second);
    const strip one = stretch(*profile, first, rise, first, lowest);
    const strip other = stretch(*profile, first, rise, lowest, second);
    return {one.whole + other.whole, one.moment + other.moment};
}

} // namespace

exact wind_pressure(const trn_wind &wind)
{
    return wind.by_speed ? exact(wind.coefficient) * wind.density_kg_m3 * wind.speed_m_s * wind.speed_m_s / 2
                         : exact(wind.pressure_Pa);
}

exact height_factor(const trn_wind_profile &profile, const exact &height)
{
    return power(max(height, profile.lowest_m) / profile.reference_height_m, 2 * profile.exponent);
}

exact normal_coefficient(const trn_wind &wind, const exact &incidence)
{
    return between_points(wind.table, wind.table_count, incidence, &trn_incidence_point::incidence_rad,
                          &trn_incidence_point::coefficient);
}

bool strikes_level(const trn_leaf &leaf, double angle)
{
    bool level = false;
    for (size_t i = 0; i < leaf.surface_count; i++) {
        const exact_point along = turned(gap(leaf.surfaces[i].from, leaf.surfaces[i].to), turn_by(angle));
        level = level || magnitude(along.y) < 1e-13 * magnitude(length_of(along));
    }
    return level;
}

exact_wind wind_on(const trn_surface &surface, const trn_wind &wind, double angle)
{
    const exact_turn turn = turn_by(angle);
    const exact_point first = turned(given(surface.from), turn);
    const exact_point second = turned(given(surface.to), turn);
    const exact_point rise = turned(gap(surface.from, surface.to), turn);
    const exact length = length_of(gap(surface.from, surface.to));
    const exact_point along = {rise.x / length, rise.y / length};
    const strip load = strip_between(wind.profile, first.y, second.y);
    const exact area = exact(surface.width_m) * surface.solidity * length;
    if (wind.law == TRN_WIND_PROJECTED) {
        const exact across = area * abs(along.y);
        return {across * (first.y * load.whole + rise.y * load.moment), {across * load.whole, 0}};
    }
    exact normal = area;
    if (wind.law == TRN_WIND_INCIDENCE)
        normal = normal * normal_coefficient(wind, atan2(abs(along.y), abs(along.x))) * (along.y.value > 0 ? 1 : -1);
    const exact_point closed = gap(surface.from, surface.to);
    const exact arm = dot(given(surface.from), closed) / length;
    return {normal * (arm * load.whole + length * load.moment),
            {normal * load.whole * along.y, -normal * load.whole * along.x}};
}

exact_wind wind_on(const trn_leaf &leaf, const trn_wind &wind, double angle)
{
    exact_wind total = {0, {0, 0}};
    for (size_t i = 0; i < leaf.surface_count; i++)
        if (leaf.surfaces[i].takes_wind) {
            const exact_wind one = wind_on(leaf.surfaces[i], wind, angle);
            total = {total.moment + one.moment, total.force + one.force};
        }
    return total;
}

exact rated_torque(const trn_motors &motors)
{
    return exact(motors.power_W) / motors.speed_rad_s;
}

exact peak_torque(const trn_motors &motors)
{
    exact largest = 0;
    for (size_t i = 0; i < motors.table_count; i++)
        largest = max(largest, motors.table[i].torque_Nm);
    return motors.law == TRN_TORQUE_TABLE
               ? largest
               : (motors.law == TRN_TORQUE_INDUCTION ? motors.breakdown : motors.peak) * rated_torque(motors);
}

exact breakdown_slip(const trn_motors &motors)
{
    const exact rated = gap_of_given(motors.synchronous_rad_s, motors.speed_rad_s) / motors.synchronous_rad_s;
    const exact m = motors.breakdown;
    return rated * (m + sqrt(itself(m * m - 1)));
}

exact motor_torque(const trn_motors &motors, const exact &speed)
{
    if (motors.law == TRN_TORQUE_TABLE)
        return between_points(motors.table, motors.table_count, speed, &trn_torque_point::speed_rad_s,
                              &trn_torque_point::torque_Nm);
    if (motors.law == TRN_TORQUE_CONSTANT)
        return exact(motors.peak) * motors.power_W / max(speed, motors.speed_rad_s);
    const exact slip = (motors.synchronous_rad_s - speed) / motors.synchronous_rad_s;
    const exact most = breakdown_slip(motors);
    return 2 * motors.breakdown * rated_torque(motors) * slip * most / (slip * slip + most * most);
}

exact_drive drive_at(const trn_drive &drive, double angle)
{
    if (drive.kind == TRN_DRIVE_RATIO) {
        const trn_rack &rack = drive.rack;
        const exact_turn to = turn_by(rack.pinion_rad);
        const exact push = tangent_of(rack.pressure_angle_rad);
        if (!(rack.radius_m > 0))
            return {drive.ratio, 0, 0, 0, {0, 0}, {0, 0}};
        return {drive.ratio, 0, 0, rack.radius_m, {-to.sine, to.cosine}, {-push * to.cosine, -push * to.sine}};
    }
    const bool strut = drive.kind == TRN_DRIVE_STRUT;
    const exact_point fixed = given(strut ? drive.strut.pinion : drive.cylinder.anchor);
    const exact_point pin = turned(given(strut ? drive.strut.on_leaf : drive.cylinder.on_leaf), turn_by(angle));
    const exact_point line = pin - fixed;
    const exact length = length_of(line);
    const exact arm = cross(fixed, pin) / length;
    const exact_point along = {line.x / length, line.y / length};
    if (!strut)
        return {0, 0, length, arm, along, {0, 0}};
    const exact turns = exact(drive.strut.ratio) / drive.strut.pinion_radius_m;
    const exact bend = (dot(fixed, pin) - arm * arm) / length;
    return {abs(arm) * turns, (arm.value < 0 ? -bend : bend) * turns, length, arm, along, {0, 0}};
}

exact drive_torque(const exact &demand, const exact &ratio, double efficiency)
{
    return demand.value >= 0 ? demand / (ratio * efficiency) : demand * efficiency / ratio;
}

exact cylinder_pressure(const trn_cylinder &cylinder, const exact &force)
{
    const exact bore = exact(cylinder.bore_m) * cylinder.bore_m;
    const exact rod = force.value >= 0 ? exact(0) : exact(cylinder.rod_m) * cylinder.rod_m;
    return abs(force) / (cylinder.count * (pi() / 4 * (bore - rod)));
}

exact drive_dead_point(const trn_drive &drive)
{
    const bool strut = drive.kind == TRN_DRIVE_STRUT;
    const exact_point pin = given(strut ? drive.strut.on_leaf : drive.cylinder.on_leaf);
    const exact_point fixed = given(strut ? drive.strut.pinion : drive.cylinder.anchor);
    const exact angle = atan2(cross(pin, fixed), dot(pin, fixed));
    return angle.value < 0 ? angle + pi() : angle;
}

exact friction_arm(const trn_journal *journal, trn_friction_state state)
{
    if (journal == NULL)
        return 0;
    return exact(state == TRN_FRICTION_STARTING ? journal->friction.starting : journal->friction.moving) *
           journal->diameter_m / 2;
}

/* What the forces are off by, their resultant is off by, and by what it adds to itself. */
exact reaction_of(const exact_point &without, const exact_point &per_moment, const exact &arm)
{
    const mpfr::mpreal k = arm.value;
    const mpfr::mpreal a = 1 - k * k * dot(per_moment, per_moment).value;
    const mpfr::mpreal b = k * dot(without, per_moment).value;
    const mpfr::mpreal root = (b + mpfr::sqrt(b * b + a * dot(without, without).value)) / a;
    const double held = 1 - magnitude(arm) * magnitude(length_of(per_moment));
    const double added = arm.size * root.toDouble() * std::hypot(per_moment.x.size, per_moment.y.size);
    return {root, (std::hypot(without.x.size, without.y.size) + added) / held};
}

exact travel_acceleration(const trn_travel &travel)
{
    return exact(travel.speed_rad_s) / travel.accelerate_in_s;
}

exact ice_moment(const trn_leaf &leaf, double ice, double angle)
{
    const exact_body body = ice_body(leaf, ice);
    const exact_turn turn = turn_by(angle);
    return body.a * turn.cosine - body.b * turn.sine;
}

exact inertia_at(const trn_leaf &leaf, const trn_case &load_case, double angle)
{
    const exact own = leaf_body(leaf).inertia + ice_body(leaf, load_case.ice_N_m2).inertia;
    if (leaf.linked_counterweight == NULL)
        return own;
    const exact rate = link_at(*leaf.linked_counterweight, angle).rate;
    return own + link_body(*leaf.linked_counterweight).inertia * rate * rate;
}
