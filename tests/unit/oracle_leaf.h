/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file oracle_leaf.h
 * A leaf on a drive of one ratio, written once more from the design pages and
 * from nothing of the library's: what oracle_run.h integrates.
 *
 * Points and bars, projected wind, ice, friction by the resultant of weights
 * and wind, rotors, motors by each law, brakes, shoes and buffers.
 */
#ifndef TRN_TEST_ORACLE_LEAF_H
#define TRN_TEST_ORACLE_LEAF_H

#include <float.h>

#include "assertions.h"
#include "trunnion/run.h"

/* What does not change in a run. */
typedef struct oracle_leaf {
    const trn_leaf *leaf;
    const trn_case *load_case;
    double travel_sign; /* +1 opening, -1 closing */
    double wind_sign;   /* +1 from the heel */
    double weight_N;
    double a_Nm;
    double b_Nm;
    double leaf_inertia; /* with ice */
    double rotor_inertia;
    double ratio;
    double efficiency;
} oracle_leaf;

static inline void oracle_add_weight(oracle_leaf *of, double weight, double x, double y, double own_inertia)
{
    of->weight_N += weight;
    of->a_Nm += weight * x;
    of->b_Nm += weight * y;
    of->leaf_inertia += own_inertia + weight / 9.80665 * (x * x + y * y);
}

static inline void oracle_add_bar(oracle_leaf *of, double weight, trn_point from, trn_point to)
{
    const double dx = to.x - from.x;
    const double dy = to.y - from.y;
    oracle_add_weight(of, weight, (from.x + to.x) / 2, (from.y + to.y) / 2,
                      weight / 9.80665 * (dx * dx + dy * dy) / 12);
}

static inline void oracle_add_parts(oracle_leaf *of)
{
    for (size_t i = 0; i < of->leaf->part_count; i++) {
        const trn_part *part = &of->leaf->parts[i];
        const double weight = part->count * part->weight_N;
        if (part->shape == TRN_SHAPE_POINT)
            oracle_add_weight(of, weight, part->at.x, part->at.y,
                              weight / 9.80665 * part->gyration_m * part->gyration_m);
        else if (part->shape == TRN_SHAPE_BAR && part->weight_N > 0)
            oracle_add_bar(of, weight, part->from, part->to);
        else
            fail_msg("the oracle knows points and bars of a weight only");
    }
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        const trn_surface *on = &of->leaf->surfaces[i];
        const double length = hypot(on->to.x - on->from.x, on->to.y - on->from.y);
        if (on->takes_ice)
            oracle_add_bar(of, of->load_case->ice_N_m2 * on->width_m * length, on->from, on->to);
    }
}

static inline oracle_leaf oracle_of(const trn_leaf *leaf, const trn_case *load_case, trn_direction direction)
{
    const bool opening = direction == TRN_OPENING;
    oracle_leaf of = {.leaf = leaf,
                      .load_case = load_case,
                      .travel_sign = opening ? 1.0 : -1.0,
                      .ratio = leaf->drive->ratio,
                      .efficiency = leaf->drive->efficiency};
    switch (load_case->wind.from) {
    case TRN_WIND_FROM_HEEL:
        of.wind_sign = 1.0;
        break;
    case TRN_WIND_FROM_TOE:
        of.wind_sign = -1.0;
        break;
    default:
        of.wind_sign = opening ? 1.0 : -1.0;
    }
    of.rotor_inertia = leaf->motors->installed * leaf->motors->inertia_kg_m2;
    oracle_add_parts(&of);
    return of;
}

/* What acts on the leaf at an angle, in a pressure; moments are positive when they close. */
typedef struct oracle_load {
    double weight_Nm;
    double wind_Nm;
    double along_N;
} oracle_load;

static inline oracle_load oracle_load_at(const oracle_leaf *of, double angle, double pressure)
{
    const double c = cos(angle);
    const double s = sin(angle);
    oracle_load load = {.weight_Nm = of->a_Nm * c - of->b_Nm * s};
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        const trn_surface *on = &of->leaf->surfaces[i];
        const double rise = s * (on->to.x - on->from.x) + c * (on->to.y - on->from.y);
        const double middle = (s * (on->to.x + on->from.x) + c * (on->to.y + on->from.y)) / 2;
        const double force = on->takes_wind ? pressure * on->solidity * on->width_m * fabs(rise) : 0.0;
        load.along_N += of->wind_sign * force;
        load.wind_Nm += of->wind_sign * force * middle;
    }
    return load;
}

/* The toe's force carries part of the weight. */
static inline double oracle_friction(const oracle_leaf *of, oracle_load load, double toe_N, bool resting)
{
    const trn_journal *journal = of->leaf->trunnion;
    if (journal == NULL)
        return 0;
    const bool starting = resting || of->load_case->friction == TRN_FRICTION_STARTING;
    const double mu = starting ? journal->friction.starting : journal->friction.moving;
    return mu * hypot(load.along_N, of->weight_N - toe_N) * journal->diameter_m / 2 + journal->drag_Nm;
}

/* The pressure of a steady or recorded wind with gusts on it; each gust begins at its start_s. */
static inline double oracle_gust_rise(const trn_gust *gust, double time)
{
    const double since = time - gust->start_s;
    if (!(since > 0) || !(since < gust->lasts_s))
        return 0;
    const double whole = gust->by_speed ? gust->rise_m_s : gust->rise_Pa;
    return whole * (1 - cos(2 * 3.14159265358979323846 * since / gust->lasts_s)) / 2;
}

static inline double oracle_recorded(const trn_wind_record *record, double time)
{
    const trn_wind_point *at = record->points;
    if (time <= at[0].time_s)
        return at[0].value;
    for (size_t i = 1; i < record->count; i++)
        if (time < at[i].time_s)
            return at[i - 1].value +
                   (at[i].value - at[i - 1].value) * (time - at[i - 1].time_s) / (at[i].time_s - at[i - 1].time_s);
    return at[record->count - 1].value;
}

static inline double oracle_pressure(const trn_wind *wind, const trn_wind_record *record, const trn_gust *gusts,
                                     size_t gust_count, double time)
{
    const double per_square = wind->coefficient * wind->density_kg_m3 / 2;
    double pressure = wind->by_speed ? per_square * wind->speed_m_s * wind->speed_m_s : wind->pressure_Pa;
    if (record != NULL) {
        const double value = oracle_recorded(record, time);
        pressure = record->by_speed ? per_square * value * value : value;
    }
    for (size_t i = 0; i < gust_count; i++) {
        const double rise = oracle_gust_rise(&gusts[i], time);
        const double speed = sqrt(pressure / per_square) + rise;
        pressure = gusts[i].by_speed ? per_square * speed * speed : pressure + rise;
    }
    return pressure;
}

/* Torque of one motor by its law, at a speed in the direction of travel (negative: it is turned backwards). */
static inline double oracle_kloss(const trn_motors *motors, double speed)
{
    const double rated_slip = 1 - motors->speed_rad_s / motors->synchronous_rad_s;
    const double more = motors->breakdown;
    const double breakdown_slip = rated_slip * (more + sqrt(more * more - 1));
    const double slip = 1 - speed / motors->synchronous_rad_s;
    const double most = more * motors->power_W / motors->speed_rad_s;
    return 2 * most * slip * breakdown_slip / (slip * slip + breakdown_slip * breakdown_slip);
}

static inline double oracle_table(const trn_motors *motors, double speed)
{
    const trn_torque_point *at = motors->table;
    if (speed <= at[0].speed_rad_s)
        return at[0].torque_Nm;
    for (size_t i = 1; i < motors->table_count; i++)
        if (speed < at[i].speed_rad_s)
            return at[i - 1].torque_Nm + (at[i].torque_Nm - at[i - 1].torque_Nm) * (speed - at[i - 1].speed_rad_s) /
                                             (at[i].speed_rad_s - at[i - 1].speed_rad_s);
    return at[motors->table_count - 1].torque_Nm;
}

static inline double oracle_law(const trn_motors *motors, double speed)
{
    if (motors->law == TRN_TORQUE_INDUCTION)
        return oracle_kloss(motors, speed);
    if (motors->law == TRN_TORQUE_TABLE)
        return oracle_table(motors, speed);
    const double reached = fmax(speed, motors->speed_rad_s);
    return motors->peak * motors->power_W / reached;
}

/* Force of shoes and buffers on the toe, upward. The buffer's own force may be below 0: it then does not touch. */
static inline double oracle_buffer_raw(const trn_seating *seat, double height, double closing_speed)
{
    return seat->buffer_preload_N + seat->buffer_stiffness_N_m * (seat->buffer_stroke_m - height) +
           seat->buffer_damping_N_s_m * closing_speed;
}

typedef struct oracle_seat {
    double buffers_N;
    double shoes_N;
} oracle_seat;

static inline oracle_seat oracle_seat_force(const oracle_leaf *of, double angle, double speed)
{
    const trn_seating *seat = of->leaf->seating;
    oracle_seat force = {0};
    if (seat == NULL)
        return force;
    const double height = of->leaf->toe_m * sin(angle);
    if (seat->buffer_stroke_m > 0 && height < seat->buffer_stroke_m)
        force.buffers_N = fmax(oracle_buffer_raw(seat, height, -of->leaf->toe_m * cos(angle) * speed), 0.0);
    if (height < 0)
        force.shoes_N = -seat->shoe_stiffness_N_m * height;
    return force;
}

/* Share of a brake's torque, a time after its trip. */
static inline double oracle_brake_share(const trn_brake *brake, double since)
{
    const double setting = since - brake->delay_s;
    if (!(setting > 0))
        return 0;
    return setting < brake->set_time_s ? setting / brake->set_time_s : 1;
}

static inline size_t oracle_strongest_brake(const trn_leaf *leaf)
{
    size_t best = 0;
    for (size_t i = 1; i < leaf->brake_count; i++)
        if (leaf->brakes[i].torque_Nm * leaf->brakes[i].ratio > leaf->brakes[best].torque_Nm * leaf->brakes[best].ratio)
            best = i;
    return best;
}

#endif
