/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/travel.h"

#include <math.h>

double trn_travel_acceleration(const trn_travel *travel)
{
    return travel->speed_rad_s / travel->accelerate_in_s;
}

/* The phases as they are laid one after the other, by the angle run so far. */
typedef struct course {
    trn_phase *phases;
    size_t count;
    double origin_rad;
    double sign;
    double run_rad;
    double speed_rad_s;
} course;

static void lay(course *on, double acceleration, double duration)
{
    if (!(duration > 0)) {
        return;
    }
    on->phases[on->count++] = (trn_phase){.start_rad = on->origin_rad + on->sign * on->run_rad,
                                          .speed_rad_s = on->speed_rad_s,
                                          .acceleration_rad_s2 = acceleration,
                                          .duration_s = duration};
    on->run_rad += duration * (on->speed_rad_s + acceleration * duration / 2);
    on->speed_rad_s += acceleration * duration;
}

/* Change the speed at a rate until it is target or the angle run is limit. */
static void lay_ramp(course *on, double acceleration, double target, double limit)
{
    const double gap = target - on->speed_rad_s;
    const double rate = gap < 0 ? -acceleration : acceleration;
    const double whole = gap / rate;
    const double left = limit - on->run_rad;
    const double run = whole * (on->speed_rad_s + gap / 2);
    if (run <= left) {
        lay(on, rate, whole);
        on->speed_rad_s = target;
        return;
    }
    const double end = sqrt(fmax(on->speed_rad_s * on->speed_rad_s + 2 * rate * left, 0));
    lay(on, rate, (end - on->speed_rad_s) / rate);
}

static void lay_steady(course *on, double limit)
{
    lay(on, 0, (limit - on->run_rad) / on->speed_rad_s);
}

size_t trn_travel_phases(const trn_travel *travel, double opens_to_rad, trn_direction direction,
                         trn_phase phases[TRN_PHASES_MAX])
{
    const bool opening = direction == TRN_OPENING;
    const double near = opening ? travel->near_open_rad : opens_to_rad - travel->near_closed_rad;
    const double creep = travel->creep * travel->speed_rad_s;
    const double fall = (travel->speed_rad_s - creep) / travel->decelerate_in_s;
    course on = {.phases = phases, .origin_rad = opening ? 0 : opens_to_rad, .sign = opening ? 1 : -1};
    lay_ramp(&on, trn_travel_acceleration(travel), travel->speed_rad_s, near);
    lay_steady(&on, near);
    /* A leaf that has not come up to creep speed yet goes on climbing to it. */
    const bool slow = on.speed_rad_s < creep;
    lay_ramp(&on, slow || !(fall > 0) ? trn_travel_acceleration(travel) : fall, creep, opens_to_rad);
    lay_steady(&on, opens_to_rad);
    return on.count;
}
