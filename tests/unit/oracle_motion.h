/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file oracle_motion.h
 * The equation of motion of oracle_leaf.h, in each of the ways in which a leaf
 * moves, as the right hand side and the root functions that CVODE asks for.
 */
#ifndef TRN_TEST_ORACLE_MOTION_H
#define TRN_TEST_ORACLE_MOTION_H

#include <nvector/nvector_serial.h>

#include "oracle_leaf.h"

typedef enum oracle_mode { ORACLE_RESTS, ORACLE_FOLLOWS, ORACLE_AT_LIMIT, ORACLE_ON_LINE, ORACLE_OFF } oracle_mode;

/* Angle and speed, and the integrals that go with them. */
enum {
    AT_ANGLE,
    AT_SPEED,
    AT_MOTORS,
    AT_DRIVING,
    AT_FRICTION,
    AT_GEARS,
    AT_BRAKES,
    AT_WIND,
    AT_SEAT,
    AT_SQUARES,
    STATES
};

enum { ORACLE_UPSETS = 4, ORACLE_GUSTS = 3, ORACLE_LEVELS = 6, ORACLE_KNOTS = 8 };

enum {
    ROOT_NEAR,
    ROOT_FULL,
    ROOT_REST,
    ROOT_CATCH,
    ROOT_OVER,
    ROOT_UNDER,
    ROOT_GEAR,
    ROOT_BUFFER,
    ROOT_CLAMP,
    ROOT_SHOE,
    ROOT_FAR,
    ROOT_RATED,
    ROOT_FORWARD,
    ROOT_BACKWARD,
    ROOT_UPSET,
    ROOT_LEVEL = ROOT_UPSET + ORACLE_UPSETS,
    ROOT_KNOT = ROOT_LEVEL + ORACLE_LEVELS,
    ROOTS = ROOT_KNOT + ORACLE_KNOTS
};

/* A speed that changes at a rate until it is what it shall be. */
typedef struct oracle_reference {
    double from_s;
    double from_rad_s;
    double target_rad_s;
    double rate_rad_s2; /* signed */
    double until_s;
} oracle_reference;

typedef struct oracle_motion {
    oracle_leaf of;
    const trn_run_setting *setting;
    oracle_mode mode;
    double sense;      /* +1 where the leaf opens, -1 where it closes: of this stretch of the motion */
    double limit_sign; /* of the torque at its limit */
    oracle_reference reference;
    int running;
    double trip_s; /* of the brakes; infinite before */
    bool brake_out;
    bool creeping;    /* the near switch has been passed with power: the reference goes to creep */
    double at_target; /* the speed of which it was said that the leaf is at it */
    bool at_rated;    /* across the line: the motors have come to their rated speed */
    bool pedal_up;
    bool lags;
    bool announced; /* that it rests */
    bool seated;
    bool passed_near;
    bool passed_full;
    bool upset_done[ORACLE_UPSETS];
    trn_gust gusts[ORACLE_GUSTS];
    size_t gust_count;
    double begins_s; /* of the stretch that is integrated: what jumps at its ends counts on its side of them */
    double ends_s;
} oracle_motion;

static inline double oracle_reference_at(const oracle_reference *by, double time)
{
    return time < by->until_s ? by->from_rad_s + by->rate_rad_s2 * (time - by->from_s) : by->target_rad_s;
}

static inline double oracle_within(const oracle_motion *in, double time)
{
    const double hair = 1e-12 * fmax(1.0, fabs(time));
    return fmax(fmin(time, in->ends_s - hair), in->begins_s + hair);
}

/* How many of a kind of brakes set. */
static inline int oracle_brakes_in(const oracle_motion *in, size_t which)
{
    const trn_leaf *leaf = in->of.leaf;
    return leaf->brakes[which].count - (in->brake_out && which == oracle_strongest_brake(leaf) ? 1 : 0);
}

static inline double oracle_brakes(const oracle_motion *in, double time)
{
    const trn_leaf *leaf = in->of.leaf;
    double sum = 0;
    for (size_t i = 0; i < leaf->brake_count; i++) {
        const trn_brake *brake = &leaf->brakes[i];
        const int setting = brake->count - (in->brake_out && i == oracle_strongest_brake(leaf) ? 1 : 0);
        sum +=
            setting * brake->torque_Nm * brake->ratio * oracle_brake_share(brake, oracle_within(in, time) - in->trip_s);
    }
    return sum;
}

/* What acts at a moment, in the direction of travel, N m at the leaf and at the motors' shafts together. */
typedef struct oracle_balance {
    double acceleration; /* in the direction of travel */
    double torque;       /* of all running motors */
    double geared;       /* of it, what goes into the gears: less the rotors' */
    double gear_factor;  /* efficiency, or its inverse */
    double gear_sign;    /* a number that changes its sign where the power through the gears does */
    double against;      /* weight, ice, wind, seat */
    double wind;         /* positive closes */
    double seat;         /* positive opens */
    double friction;
    double brakes;
} oracle_balance;

/* The most that drives, or that brakes: beyond synchronous speed the law itself is below 0 and can only brake. */
static inline double oracle_limit(const oracle_motion *in, double sign, double speed)
{
    const double law = oracle_law(in->of.leaf->motors, fabs(speed) * in->of.ratio);
    return in->running * (sign > 0 ? fmax(law, 0.0) : fabs(law));
}

static inline oracle_balance oracle_loads(const oracle_motion *in, double time, double angle, double speed)
{
    const oracle_leaf *of = &in->of;
    const double pressure = oracle_pressure(&of->load_case->wind, in->setting->wind_record, in->gusts, in->gust_count,
                                            oracle_within(in, time));
    const oracle_load load = oracle_load_at(of, angle, pressure);
    const oracle_seat seat = oracle_seat_force(of, angle, speed);
    oracle_balance at = {.wind = load.wind_Nm, .seat = of->leaf->toe_m * cos(angle) * (seat.buffers_N + seat.shoes_N)};
    at.against = of->travel_sign * (load.weight_Nm + load.wind_Nm - at.seat);
    at.friction = oracle_friction(of, load, seat.buffers_N + seat.shoes_N, in->mode == ORACLE_RESTS);
    at.brakes = oracle_brakes(in, time);
    return at;
}

static inline void oracle_follow(const oracle_motion *in, double time, oracle_balance *at)
{
    const oracle_leaf *of = &in->of;
    at->acceleration = oracle_within(in, time) < in->reference.until_s ? in->reference.rate_rad_s2 : 0;
    const double demand = at->against + at->friction + of->leaf_inertia * at->acceleration;
    at->gear_sign = demand;
    at->gear_factor = demand > 0 ? of->efficiency : 1 / of->efficiency;
    at->geared = demand / (of->ratio * at->gear_factor);
    at->torque = at->geared + of->rotor_inertia * of->ratio * at->acceleration;
}

static inline void oracle_push(const oracle_motion *in, double torque, oracle_balance *at)
{
    const oracle_leaf *of = &in->of;
    const double along = in->sense * of->travel_sign; /* of the motion, to the direction of travel */
    const double resists = at->against + along * (at->friction + at->brakes);
    at->torque = torque;
    at->gear_sign = along * (torque * of->leaf_inertia + of->rotor_inertia * of->ratio * resists);
    at->gear_factor = at->gear_sign > 0 ? of->efficiency : 1 / of->efficiency;
    at->acceleration = (torque * of->ratio * at->gear_factor - resists) /
                       (of->leaf_inertia + of->rotor_inertia * of->ratio * of->ratio * at->gear_factor);
    at->geared = torque - of->rotor_inertia * of->ratio * at->acceleration;
}

static inline void oracle_coast(const oracle_motion *in, oracle_balance *at)
{
    const oracle_leaf *of = &in->of;
    const double along = in->sense * of->travel_sign;
    at->gear_factor = 1;
    at->acceleration = -(at->against + along * (at->friction + at->brakes)) /
                       (of->leaf_inertia + of->rotor_inertia * of->ratio * of->ratio);
}

static inline bool oracle_has_power(const oracle_motion *in)
{
    return isinf(in->trip_s);
}

/* A drive that cannot move the leaf gives its limit. */
static inline double oracle_torque_at_rest(const oracle_motion *in)
{
    if (!oracle_has_power(in))
        return 0;
    const trn_motors *motors = in->of.leaf->motors;
    return motors->control == TRN_CONTROL_LINE ? in->running * oracle_law(motors, 0.0) : oracle_limit(in, 1.0, 0.0);
}

static inline oracle_balance oracle_balance_at(const oracle_motion *in, double time, double angle, double speed)
{
    oracle_balance at = oracle_loads(in, time, angle, speed);
    switch (in->mode) {
    case ORACLE_FOLLOWS:
        oracle_follow(in, time, &at);
        break;
    case ORACLE_AT_LIMIT:
        oracle_push(in, in->limit_sign * oracle_limit(in, in->limit_sign, speed), &at);
        break;
    case ORACLE_ON_LINE:
        oracle_push(in, in->running * oracle_law(in->of.leaf->motors, in->of.travel_sign * speed * in->of.ratio), &at);
        break;
    case ORACLE_OFF:
        oracle_coast(in, &at);
        break;
    case ORACLE_RESTS:
        at.torque = oracle_torque_at_rest(in);
        break;
    }
    return at;
}

static inline int oracle_rates(realtype time, N_Vector state, N_Vector rates, void *context)
{
    const oracle_motion *in = context;
    const realtype *at = N_VGetArrayPointer(state);
    realtype *to = N_VGetArrayPointer(rates);
    const double speed = in->mode == ORACLE_RESTS ? 0.0 : at[AT_SPEED];
    const oracle_balance now = oracle_balance_at(in, time, at[AT_ANGLE], speed);
    const double shaft = in->of.travel_sign * speed * in->of.ratio;
    const double each = in->running > 0 ? now.torque / in->running : 0.0;
    to[AT_ANGLE] = speed;
    to[AT_SPEED] = in->of.travel_sign * now.acceleration;
    to[AT_MOTORS] = now.torque * shaft;
    to[AT_DRIVING] = fmax(now.torque * shaft, 0.0);
    to[AT_FRICTION] = now.friction * in->sense * speed;
    to[AT_GEARS] = now.geared * shaft * (1 - now.gear_factor);
    to[AT_BRAKES] = now.brakes * in->sense * speed;
    to[AT_WIND] = now.wind * speed;
    to[AT_SEAT] = -now.seat * speed;
    to[AT_SQUARES] = each * each;
    return 0;
}

/* What the drive can do for a leaf at rest: forward in the direction of travel, or backward. */
typedef struct oracle_urge {
    double forward; /* by how much it overcomes what holds the leaf; over 0 moves it */
    double backward;
} oracle_urge;

static inline oracle_urge oracle_urge_at(const oracle_motion *in, double time, double angle)
{
    oracle_motion resting = *in;
    resting.mode = ORACLE_RESTS;
    const oracle_balance at = oracle_loads(&resting, time, angle, 0.0);
    const double torque = oracle_torque_at_rest(in);
    const double force = torque * in->of.ratio;
    const double holds = at.friction + at.brakes;
    const double forward = force * in->of.efficiency - at.against - holds;
    const double backward = at.against - force / in->of.efficiency - holds;
    const bool shod = in->of.travel_sign > 0 && !(angle > 0); /* on its shoes: it cannot close further */
    return (oracle_urge){in->seated ? -1.0 : forward, in->seated || shod ? -1.0 : backward};
}

/* The angles of the two switches of this direction. */
static inline double oracle_near_angle(const oracle_motion *in)
{
    const trn_travel *travel = in->of.leaf->travel;
    return in->of.travel_sign > 0 ? travel->near_open_rad : travel->near_closed_rad;
}

static inline double oracle_full_angle(const oracle_motion *in)
{
    const trn_travel *travel = in->of.leaf->travel;
    if (in->of.travel_sign < 0)
        return travel->full_closed_rad;
    return travel->full_open_rad > 0 ? travel->full_open_rad : in->of.leaf->opens_to_rad;
}

/* Angles at which something is met, roots only while it still can be. */
static inline void oracle_angle_roots(const oracle_motion *in, double angle, realtype *roots)
{
    const double ahead = in->of.travel_sign;
    if (!in->passed_near)
        roots[ROOT_NEAR] = ahead * (oracle_near_angle(in) - angle);
    if (!in->passed_full)
        roots[ROOT_FULL] = ahead * (oracle_full_angle(in) - angle);
    for (size_t i = 0; i < in->setting->upset_count; i++)
        if (!in->upset_done[i])
            roots[ROOT_UPSET + i] = ahead * (in->setting->upsets[i].angle_rad - angle);
    for (size_t i = 0; i < in->of.leaf->surface_count; i++) {
        const trn_surface *on = &in->of.leaf->surfaces[i];
        roots[ROOT_LEVEL + i] = sin(angle) * (on->to.x - on->from.x) + cos(angle) * (on->to.y - on->from.y);
    }
    const trn_seating *seat = in->of.leaf->seating;
    roots[ROOT_SHOE] = angle;
    if (seat != NULL && seat->buffer_stroke_m > 0)
        roots[ROOT_BUFFER] = in->of.leaf->toe_m * sin(angle) - seat->buffer_stroke_m;
    roots[ROOT_FAR] = in->of.leaf->opens_to_rad + 30 * 3.14159265358979323846 / 180 - angle;
}

/* What changes the equation itself. */
static inline void oracle_drive_roots(const oracle_motion *in, double time, double angle, double speed, realtype *roots)
{
    const oracle_balance at = oracle_balance_at(in, time, angle, speed);
    const trn_motors *motors = in->of.leaf->motors;
    const double shaft = fabs(speed) * in->of.ratio;
    if (in->mode == ORACLE_FOLLOWS) {
        roots[ROOT_OVER] = oracle_limit(in, 1.0, speed) - at.torque;
        roots[ROOT_UNDER] = at.torque + oracle_limit(in, -1.0, speed);
    } else {
        roots[ROOT_REST] = in->sense * speed;
    }
    /* With a hair of hysteresis: the lag begins from nothing, and rounding is no catching up. */
    if (in->mode == ORACLE_AT_LIMIT)
        roots[ROOT_CATCH] = in->limit_sign * (oracle_reference_at(&in->reference, time) - in->of.travel_sign * speed) +
                            1e-12 * in->of.leaf->travel->speed_rad_s;
    if (in->mode == ORACLE_ON_LINE && !in->at_rated)
        roots[ROOT_RATED] = motors->speed_rad_s - in->of.travel_sign * speed * in->of.ratio;
    if (in->mode != ORACLE_OFF)
        roots[ROOT_GEAR] = at.gear_sign;
    if (motors->law == TRN_TORQUE_CONSTANT)
        roots[ROOT_KNOT] = shaft - motors->speed_rad_s;
    for (size_t i = 0; motors->law == TRN_TORQUE_TABLE && i < motors->table_count && i < ORACLE_KNOTS; i++)
        roots[ROOT_KNOT + i] = shaft - motors->table[i].speed_rad_s;
    const trn_seating *seat = in->of.leaf->seating;
    const double height = in->of.leaf->toe_m * sin(angle);
    if (seat != NULL && seat->buffer_stroke_m > 0 && height < seat->buffer_stroke_m)
        roots[ROOT_CLAMP] = oracle_buffer_raw(seat, height, -in->of.leaf->toe_m * cos(angle) * speed);
}

static inline int oracle_roots(realtype time, N_Vector state, realtype *roots, void *context)
{
    const oracle_motion *in = context;
    const realtype *at = N_VGetArrayPointer(state);
    for (int i = 0; i < ROOTS; i++)
        roots[i] = 1.0;
    if (in->mode == ORACLE_RESTS) {
        const oracle_urge urge = oracle_urge_at(in, time, at[AT_ANGLE]);
        roots[ROOT_FORWARD] = urge.forward;
        roots[ROOT_BACKWARD] = urge.backward;
        return 0;
    }
    oracle_angle_roots(in, at[AT_ANGLE], roots);
    oracle_drive_roots(in, time, at[AT_ANGLE], at[AT_SPEED], roots);
    return 0;
}

#endif
