/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exact_times.h"

exact brake_capacity(const trn_leaf &leaf)
{
    exact sum = 0;
    for (size_t i = 0; i < leaf.brake_count; i++)
        sum = sum + leaf.brakes[i].count * exact(leaf.brakes[i].torque_Nm) * leaf.brakes[i].ratio;
    return sum;
}

exact brake_strongest(const trn_leaf &leaf)
{
    exact strongest = 0;
    for (size_t i = 0; i < leaf.brake_count; i++)
        strongest = max(strongest, exact(leaf.brakes[i].torque_Nm) * leaf.brakes[i].ratio);
    return strongest;
}

exact holding_demand(const trn_leaf &leaf, const trn_holding &holding, double angle)
{
    trn_leaf idle = leaf;
    idle.drive = NULL;
    trn_case still = trn_default_case();
    still.friction = TRN_FRICTION_STARTING;
    still.wind = holding.wind;
    still.ice_N_m2 = holding.ice_N_m2;
    exact most = 0;
    for (trn_wind_side from : {TRN_WIND_FROM_HEEL, TRN_WIND_FROM_TOE}) {
        if (holding.wind.from != TRN_WIND_FROM_ADVERSE && holding.wind.from != from)
            continue;
        still.wind.from = from;
        const exact_way opening = way_of(idle, still, TRN_OPENING, angle);
        const exact net = balance_at(leaf, angle) + ice_moment(leaf, holding.ice_N_m2, angle) + opening.wind;
        const exact friction = net.value > 0 ? way_of(idle, still, TRN_CLOSING, angle).friction : opening.friction;
        most = max(most, abs(net) - holding.friction_credit * friction);
    }
    return most;
}

exact pressure_at(const trn_wind &wind, const trn_gust *gust, const trn_wind_record *record, double time)
{
    trn_wind now = wind;
    exact value = wind.by_speed ? wind.speed_m_s : wind.pressure_Pa;
    if (record != NULL) {
        now.by_speed = record->by_speed;
        value = record->points[0].value;
        for (size_t i = 1; i < record->count; i++) {
            const trn_wind_point &low = record->points[i - 1];
            const trn_wind_point &high = record->points[i];
            if (time >= high.time_s)
                value = high.value;
            else if (time > low.time_s)
                value = low.value + gap_of_given(time, low.time_s) / gap_of_given(high.time_s, low.time_s) *
                                        gap_of_given(high.value, low.value);
        }
    }
    const exact per_square = exact(wind.coefficient) * wind.density_kg_m3 / 2;
    exact rise = 0;
    if (gust != NULL && time > gust->start_s && time < gust->start_s + gust->lasts_s) {
        const mpfr::mpreal share = (mpfr::mpreal(time) - gust->start_s) / gust->lasts_s;
        const mpfr::mpreal wave = (1 - mpfr::cos(2 * mpfr::const_pi() * share)) / 2;
        /* Towards its end the argument of the sine is off by its own last place. */
        const double slope = (2 * mpfr::const_pi() * share / mpfr::tan(mpfr::const_pi() * share)).toDouble();
        rise =
            exact(wave, wave.toDouble() * (1 + std::fabs(slope))) * (gust->by_speed ? gust->rise_m_s : gust->rise_Pa);
    }
    const bool rises = rise.value > 0;
    if (rises && gust->by_speed && !now.by_speed) {
        value = sqrt(value / per_square);
        now.by_speed = true;
    }
    if (rises && gust->by_speed)
        value = value + rise;
    const exact pressure = now.by_speed ? per_square * value * value : value;
    return rises && !gust->by_speed ? pressure + rise : pressure;
}

namespace
{

struct course {
    std::vector<exact_phase> phases;
    exact origin;
    int way;
    exact run;
    exact speed;
};

void lay(course &on, const exact &acceleration, const exact &duration)
{
    if (!(duration.value > 0))
        return;
    on.phases.push_back({on.origin + on.way * on.run, on.speed, acceleration, duration});
    on.run = on.run + duration * (on.speed + acceleration * duration / 2);
    on.speed = on.speed + acceleration * duration;
}

/* From one speed to another at a rate, or to a limit of the run if that comes first: v^2 = v0^2 + 2 a run. */
void ramp(course &on, const exact &rate, const exact &target, const exact &limit)
{
    const exact acceleration = target.value < on.speed.value ? -rate : rate;
    const exact time = (target - on.speed) / acceleration;
    const exact left = limit - on.run;
    if ((time * (on.speed + target) / 2).value <= left.value) {
        lay(on, acceleration, time);
        on.speed = target;
        return;
    }
    lay(on, acceleration, (sqrt(on.speed * on.speed + 2 * acceleration * left) - on.speed) / acceleration);
}

} // namespace

std::vector<exact_phase> phases_of(const trn_travel &travel, double opens_to, trn_direction direction)
{
    const bool opening = direction == TRN_OPENING;
    const exact climb = travel_acceleration(travel);
    const exact near = opening ? exact(travel.near_open_rad) : gap_of_given(opens_to, travel.near_closed_rad);
    const exact creep = exact(travel.creep) * travel.speed_rad_s;
    const exact fall = (travel.speed_rad_s - creep) / travel.decelerate_in_s;
    course on = {{}, opening ? 0 : opens_to, opening ? 1 : -1, 0, 0};
    ramp(on, climb, travel.speed_rad_s, near);
    lay(on, 0, (near - on.run) / on.speed);
    const bool slow = on.speed.value < creep.value;
    ramp(on, slow || !(fall.value > 0) ? climb : fall, creep, opens_to);
    lay(on, 0, (opens_to - on.run) / on.speed);
    return on.phases;
}

/* Constant moments: friction alone until the brake sets, then both. */
exact_stop stop_of(const trn_leaf &leaf)
{
    const trn_brake &brake = leaf.brakes[0];
    const exact friction =
        friction_arm(leaf.trunnion, TRN_FRICTION_MOVING) * leaf_body(leaf).weight + leaf.trunnion->drag_Nm;
    const exact rotors = leaf.motors->installed * exact(leaf.motors->inertia_kg_m2);
    const exact inertia = leaf_body(leaf).inertia + rotors * leaf.drive->ratio * leaf.drive->ratio;
    const exact before = friction / inertia;
    const exact at_leaf = brake.count * exact(brake.torque_Nm) * brake.ratio;
    const exact after = (friction + at_leaf) / inertia;
    const exact speed = leaf.travel->speed_rad_s;
    const exact left = speed - before * brake.delay_s;
    if (left.value <= 0)
        return {speed / before, speed * speed / (2 * before), before, 0};
    const exact braked = left * left / (2 * after);
    return {brake.delay_s + left / after, brake.delay_s * (speed + left) / 2 + braked, after,
            exact(brake.torque_Nm) * brake.ratio * braked};
}
