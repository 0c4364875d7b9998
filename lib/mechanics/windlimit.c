/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/windlimit.h"

#include <math.h>

#include "search.h"
#include "statics.h"
#include "support.h"
#include "trunnion/holding.h"
#include "trunnion/moments.h"

/* A question made ready: the leaf in calm air, and what 1 Pa of dynamic pressure adds. */
typedef struct limiter {
    trn_leaf leaf;
    trn_motors motors;
    trn_case load_case;
    trn_loading loading;
    trn_wind_question question;
    double pressure_per_q; /* p over q: the coefficient */
    double highest_q_Pa;
    double allowed; /* torque of a motor, pressure in a cylinder, or moment of the brakes */
} limiter;

static trn_status check_sections(const trn_leaf *leaf, trn_action action, trn_error *error)
{
    if (leaf->wind_limits == NULL) {
        return missing_section(error, "wind_limits");
    }
    if (action == TRN_HOLD) {
        return leaf->brake_count == 0 ? missing_section(error, "brakes") : TRN_OK;
    }
    if (leaf->drive == NULL) {
        return missing_section(error, "drive");
    }
    return leaf->drive->kind != TRN_DRIVE_CYLINDER && leaf->motors == NULL ? missing_section(error, "motors") : TRN_OK;
}

static double allowed_for(const limiter *made)
{
    const trn_leaf *leaf = &made->leaf;
    const trn_wind_limits *limits = leaf->wind_limits;
    if (made->question.action == TRN_HOLD) {
        const double out = made->question.brake_out ? trn_brake_strongest(leaf) : 0;
        return (trn_brake_capacity(leaf) - out) / limits->hold_factor;
    }
    return limits->motor_limit * (leaf->drive->kind == TRN_DRIVE_CYLINDER ? leaf->drive->cylinder.pressure_Pa
                                                                          : trn_motor_rated_torque(leaf->motors));
}

static trn_status prepare(const trn_leaf *leaf, trn_wind_question question, limiter *made, trn_error *error)
{
    trn_status status = check_sections(leaf, question.action, error);
    if (status != TRN_OK) {
        return status;
    }
    const trn_wind *wind = &leaf->wind_limits->wind;
    made->leaf = *leaf;
    made->question = question;
    if (leaf->motors != NULL && question.action != TRN_HOLD) {
        made->motors = *leaf->motors;
        made->motors.running = question.motors_running;
        made->leaf.motors = &made->motors;
    }
    made->load_case = trn_default_case();
    made->load_case.friction = leaf->wind_limits->friction;
    made->load_case.wind = *wind;
    made->load_case.wind.from = TRN_WIND_FROM_HEEL;
    made->pressure_per_q = wind->law == TRN_WIND_INCIDENCE ? 1 : wind->coefficient;
    made->highest_q_Pa = 0.5 * wind->density_kg_m3 * TRN_WIND_HIGHEST * TRN_WIND_HIGHEST;
    made->allowed = allowed_for(made);
    return trn_loading_prepare(&made->leaf, &made->load_case, &made->loading, error);
}

/* One side of the wind at one angle; q is what is looked for. */
typedef struct gust {
    trn_loading loading; /* a copy: its pressure is set anew for each q */
    const limiter *of;
    double side; /* +1 from the heel, -1 from the toe */
    const pose *at;
    trn_wind_action unit; /* of 1 Pa from the heel */
} gust;

static trn_moments moments_in(const gust *in, double q_Pa)
{
    trn_loading loading = in->loading;
    loading.pressure_Pa = in->side * q_Pa * in->of->pressure_per_q;
    return pose_moments(&loading, in->at, in->unit);
}

static double demand_in(const gust *in, double q_Pa)
{
    const trn_moments at = moments_in(in, q_Pa);
    return in->of->question.action == TRN_RAISE ? at.opening_Nm : at.closing_Nm;
}

/* How far the drive is beyond what is allowed, as a share of it. */
static double excess(double q_Pa, const void *context)
{
    const gust *in = context;
    const trn_moments at = moments_in(in, q_Pa);
    const bool raise = in->of->question.action == TRN_RAISE;
    const double asked = at.has_pressure ? (raise ? at.pressure_opening_Pa : at.pressure_closing_Pa)
                                         : fabs(raise ? at.motor_opening_Nm : at.motor_closing_Nm);
    return asked / in->of->allowed - 1;
}

static double fallen_demand(double q_Pa, const void *context)
{
    return -demand_in(context, q_Pa);
}

/* The first q at which the drive is at its limit. The demand is convex in q
   (friction grows with the resultant), so that before it rises it may fall
   once: then the overhauling limit may be passed on the way down. */
static double first_limit(const gust *in)
{
    const double highest = in->of->highest_q_Pa;
    if (!(excess(0, in) <= 0)) {
        return 0;
    }
    if (demand_in(in, highest * 1e-6) < demand_in(in, 0) &&
        demand_in(in, highest) > demand_in(in, highest * (1 - 1e-6))) {
        const double lowest = search_peak(fallen_demand, in, 0, highest);
        if (excess(lowest, in) > 0) {
            return search_root(excess, in, 0, lowest);
        }
    }
    return excess(highest, in) > 0 ? search_root(excess, in, 0, highest) : HUGE_VAL;
}

static double drive_limit(const limiter *of, double angle_rad)
{
    const pose at = pose_at(&of->loading, angle_rad);
    const trn_wind_action unit = pose_unit_wind(&of->loading, at.rotation);
    double lowest = HUGE_VAL;
    for (int side = -1; side <= 1; side += 2) {
        const gust in = {.loading = of->loading, .of = of, .side = side, .at = &at, .unit = unit};
        lowest = fmin(lowest, first_limit(&in));
    }
    return lowest;
}

/* The moment of the wind grows evenly with q, and one side of it adds to the balance. */
static double hold_limit(const limiter *of, double angle_rad)
{
    const double balance = fabs(trn_loading_balance(&of->loading, angle_rad));
    const trn_wind_action unit = trn_wind_on_surfaces(of->leaf.surfaces, of->leaf.surface_count, &of->load_case.wind,
                                                      trn_rotation_by(angle_rad));
    const double left = of->allowed - balance;
    if (left < 0) {
        return 0;
    }
    const double moment = fabs(unit.moment_Nm) * of->pressure_per_q;
    return moment * of->highest_q_Pa >= left ? left / moment : HUGE_VAL;
}

static double limit_speed(const limiter *of, double angle_rad)
{
    const double q = of->question.action == TRN_HOLD ? hold_limit(of, angle_rad) : drive_limit(of, angle_rad);
    return q <= of->highest_q_Pa ? sqrt(2 * q / of->leaf.wind_limits->wind.density_kg_m3) : HUGE_VAL;
}

trn_status trn_wind_limits_at(const trn_leaf *leaf, trn_wind_question question, const double *angles_rad, size_t count,
                              double *speeds_m_s, trn_error *error)
{
    limiter of = {0};
    const trn_status status = prepare(leaf, question, &of, error);
    if (status != TRN_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        speeds_m_s[i] = limit_speed(&of, angles_rad[i]);
    }
    return TRN_OK;
}

/* Where nothing limits the wind, any speed beyond what is looked for will do to compare. */
static double slowness(double angle_rad, const void *context)
{
    return -fmin(limit_speed(context, angle_rad), 2 * TRN_WIND_HIGHEST);
}

trn_status trn_wind_limit(const trn_leaf *leaf, trn_wind_question question, trn_wind_lowest *lowest, trn_error *error)
{
    limiter of = {0};
    const trn_status status = prepare(leaf, question, &of, error);
    if (status != TRN_OK) {
        return status;
    }
    const size_t parts = (size_t)ceil(leaf->opens_to_rad / DEGREE);
    const double angle = search_largest(slowness, &of, 0, leaf->opens_to_rad, parts);
    *lowest = (trn_wind_lowest){.speed_m_s = limit_speed(&of, angle), .angle_rad = angle};
    return TRN_OK;
}

trn_status trn_wind_comes_down(const trn_leaf *leaf, int motors_running, bool *comes_down, trn_error *error)
{
    limiter raise = {0};
    limiter lower = {0};
    trn_status status = prepare(leaf, (trn_wind_question){TRN_RAISE, motors_running, false}, &raise, error);
    if (status == TRN_OK) {
        status = prepare(leaf, (trn_wind_question){TRN_LOWER, motors_running, false}, &lower, error);
    }
    if (status != TRN_OK) {
        return status;
    }
    const int degrees = (int)ceil(leaf->opens_to_rad / DEGREE - 1e-9);
    double up = HUGE_VAL;
    double down = HUGE_VAL;
    bool always = true;
    for (int i = 0; i <= degrees && always; i++) {
        const double angle = fmin(i * DEGREE, leaf->opens_to_rad);
        up = fmin(up, limit_speed(&raise, angle));
        down = fmin(down, limit_speed(&lower, angle));
        always = down > 0 && down >= up * (1 - 1e-9);
    }
    *comes_down = always;
    return TRN_OK;
}

/* The upper bound of each number, m/s; 12 has none. */
static const double above[] = {0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7, 24.4, 28.4, 32.6};

int trn_beaufort_within(double speed_m_s)
{
    int number = -1;
    for (size_t i = 0; i < sizeof above / sizeof above[0] && above[i] <= speed_m_s; i++) {
        number++;
    }
    return number;
}

int trn_beaufort(double speed_m_s)
{
    const double tenths = nearbyint(speed_m_s * 10) / 10;
    int number = 0;
    for (size_t i = 0; i < sizeof above / sizeof above[0] && tenths > above[i] + 1e-9; i++) {
        number++;
    }
    return number;
}
