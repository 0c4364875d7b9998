/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/windlimit.h"

#include <math.h>

#include "bends.h"
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
    bool by_law;    /* a motor that drives gives no more than its law does */
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

/*
 * A limit of the drive at one angle and the wind from one side. Where the
 * demand is at its limit, so is the driving force, and all that the trunnion
 * carries is known but for the q that is looked for:
 *     arm |still + q push| = left - q moment
 */
typedef struct drive_bound {
    trn_point still_N; /* what the trunnion carries in calm air, the force of the drive at its limit included */
    trn_point push_m2; /* what the wind adds, for each Pa of q */
    double arm_m;      /* of friction */
    double left_Nm;    /* what the limit leaves to this friction in calm air */
    double moment_m3;  /* what the wind takes of it, for each Pa of q */
    double sense;      /* +1: the demand rises to this limit; -1: it falls to it, the leaf overhauls */
} drive_bound;

/*
 * The first q at which the limit is passed. Squared, the equation is a
 * quadratic, a q2 + 2 b q + c = 0. The left side less the right is convex in q
 * (friction grows with the resultant): the demand goes beyond an upper limit
 * at the greater of its zeros, and first below a lower one at the lesser.
 */
static double first_limit(const drive_bound *at)
{
    const trn_point still = at->still_N;
    const trn_point push = at->push_m2;
    const double k = at->arm_m;
    const double carried = k * hypot(still.x, still.y);
    const double beyond = carried - at->left_Nm;
    if (at->sense * beyond > 0) {
        return 0;
    }
    const double grows = k * hypot(push.x, push.y);
    const double a = (grows - at->moment_m3) * (grows + at->moment_m3);
    const double b = k * k * (still.x * push.x + still.y * push.y) + at->left_Nm * at->moment_m3;
    const double c = beyond * (carried + at->left_Nm);
    /* b2 - a c, written so that nothing cancels. */
    const double along =
        hypot(at->left_Nm * push.x + at->moment_m3 * still.x, at->left_Nm * push.y + at->moment_m3 * still.y);
    const double across = k * fabs(still.x * push.y - still.y * push.x);
    const double root = k * sqrt(fmax((along - across) * (along + across), 0));
    /* Two forms of the one zero: each adds where the other would cancel. */
    const double q = at->sense * b > 0 ? c / (-b - at->sense * root) : (at->sense * root - b) / a;
    const bool falls_back = at->sense < 0 && a > 0;
    const bool passes = falls_back ? along >= across && at->left_Nm >= q * at->moment_m3
                                   : at->sense * at->moment_m3 + (a > 0 ? grows : 0) > 0;
    return passes && q >= 0 ? q : HUGE_VAL;
}

/* The demand at which the drive is at its limit: sense +1 driving, -1 overhauled, when it is negative. */
static double demand_at_limit(const limiter *of, const trn_drive_state *at, trn_direction direction, double sense)
{
    const trn_drive *drive = of->leaf.drive;
    const double allowed = of->allowed * (sense > 0 ? drive->efficiency : 1 / drive->efficiency);
    if (drive->kind == TRN_DRIVE_CYLINDER) {
        const double force = sense * travel_sign(direction) * at->arm_m > 0 ? 1 : -1;
        return sense * allowed / trn_cylinder_pressure(&drive->cylinder, force) * fabs(at->arm_m);
    }
    const double given = of->by_law && sense > 0 ? fmax(torque_by_law(&of->leaf, at->ratio), 0) : HUGE_VAL;
    return sense * fmin(allowed, drive->efficiency * given) * of->motors.running * at->ratio;
}

/* The bound without its wind. */
static drive_bound calm_bound(const limiter *of, const pose *at, trn_direction direction, double sense)
{
    const trn_loading *loading = &of->loading;
    const trn_journal *journal = of->leaf.trunnion;
    const swing moving = {.direction = direction, .friction = of->load_case.friction};
    const link_forces link = link_in_balance(loading, at, moving);
    const double demand = demand_at_limit(of, &at->drive, direction, sense);
    const trn_point per_moment = drive_per_moment(&at->drive, direction, sense);
    const double overcome =
        travel_sign(direction) * at->balance_Nm + link.friction_Nm + (journal == NULL ? 0 : journal->drag_Nm);
    return (drive_bound){.still_N = {link.on_leaf.x + demand * per_moment.x,
                                     link.on_leaf.y + demand * per_moment.y - loading->body.weight_N},
                         .arm_m = trn_journal_friction_arm(journal, of->load_case.friction),
                         .left_Nm = demand - overcome,
                         .sense = sense};
}

static double drive_limit(const limiter *of, double angle_rad)
{
    pose at;
    pose_at(&of->loading, angle_rad, &at);
    const trn_wind_action unit = pose_unit_wind(&of->loading, at.rotation);
    const trn_direction direction = of->question.action == TRN_RAISE ? TRN_OPENING : TRN_CLOSING;
    double lowest = HUGE_VAL;
    for (int sense = -1; sense <= 1; sense += 2) {
        drive_bound bound = calm_bound(of, &at, direction, sense);
        for (int side = -1; side <= 1; side += 2) {
            const double pressure = side * of->pressure_per_q;
            bound.push_m2 = (trn_point){pressure * unit.force.x, pressure * unit.force.y};
            bound.moment_m3 = pressure * travel_sign(direction) * unit.moment_Nm;
            lowest = fmin(lowest, first_limit(&bound));
        }
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

static wind_on_leaf blown_on(const limiter *of)
{
    return (wind_on_leaf){&of->leaf, &of->load_case.wind};
}

/* Where nothing limits the wind, any speed beyond what is looked for will do to compare. */
static double slowness(double angle_rad, const void *context)
{
    return -fmin(limit_speed(context, angle_rad), 2 * TRN_WIND_HIGHEST);
}

static trn_status find_lowest(const trn_leaf *leaf, trn_wind_question question, bool by_law, trn_wind_lowest *lowest,
                              trn_error *error)
{
    limiter of = {.by_law = by_law};
    const trn_status status = prepare(leaf, question, &of, error);
    if (status != TRN_OK) {
        return status;
    }
    const wind_on_leaf blown = blown_on(&of);
    const search_range travel = travel_in_steps(&blown, DEGREE);
    const double angle = search_largest(slowness, &of, &travel);
    *lowest = (trn_wind_lowest){.speed_m_s = limit_speed(&of, angle), .angle_rad = angle};
    return TRN_OK;
}

trn_status trn_wind_limit(const trn_leaf *leaf, trn_wind_question question, trn_wind_lowest *lowest, trn_error *error)
{
    return find_lowest(leaf, question, false, lowest, error);
}

trn_status trn_wind_limit_by_law(const trn_leaf *leaf, trn_wind_question question, trn_wind_lowest *lowest,
                                 trn_error *error)
{
    return find_lowest(leaf, question, true, lowest, error);
}

/* On the way up: the lowest limits of raising and of lowering so far. */
typedef struct way_up {
    const limiter *raise;
    const limiter *lower;
    double up_m_s;
    double down_m_s;
    bool comes_down; /* from each angle so far */
} way_up;

/* Of where lowering is slow the angle alone counts: slowness knows no infinite speeds. */
static void go_on_to(double angle_rad, double slowness_of_lowering, void *context)
{
    (void)slowness_of_lowering;
    way_up *way = context;
    way->up_m_s = fmin(way->up_m_s, limit_speed(way->raise, angle_rad));
    way->down_m_s = fmin(way->down_m_s, limit_speed(way->lower, angle_rad));
    way->comes_down = way->comes_down && way->down_m_s > 0 && way->down_m_s >= way->up_m_s * (1 - 1e-9);
}

trn_status trn_wind_comes_down(const trn_leaf *leaf, int motors_running, bool *comes_down, trn_error *error)
{
    limiter raise = {0};
    limiter lower = {0};
    trn_status status = prepare(leaf, (trn_wind_question){TRN_RAISE, motors_running, false}, &raise, error);
    if (status == TRN_OK) {
        status = prepare(leaf, (trn_wind_question){TRN_LOWER, motors_running, false}, &lower, error);
    }
    if (status == TRN_OK) {
        const wind_on_leaf blown = blown_on(&lower);
        const search_range travel = travel_in_steps(&blown, DEGREE);
        way_up way = {.raise = &raise, .lower = &lower, .up_m_s = HUGE_VAL, .down_m_s = HUGE_VAL, .comes_down = true};
        search_visit(slowness, &lower, &travel, go_on_to, &way);
        *comes_down = way.comes_down;
    }
    return status;
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
