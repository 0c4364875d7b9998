/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The equation of motion of run.h between two events: what the leaf does at a
 * moment, and where the power goes.
 */
#ifndef MOTION_H
#define MOTION_H

#include "statics.h"
#include "trunnion/run.h"

/* Who decides the torque. */
typedef enum drive_mode {
    MODE_OFF,    /* nobody: the power is off */
    MODE_FOLLOW, /* the reference: the torque is what that takes */
    MODE_LIMIT,  /* the law: the most that it gives, one way or the other */
    MODE_LINE    /* the motors' curve, across the line */
} drive_mode;

/* A value that changes at one rate. */
typedef struct straight {
    double start_s;
    double value;
    double slope;
} straight;

static inline double straight_at(straight line, double time_s)
{
    return line.value + line.slope * (time_s - line.start_s);
}

/* The most gusts of one run: the setting's, and one of an upset. */
enum { GUSTS_MAX = 2 };

typedef struct motion {
    trn_loading loading; /* of the leaf with its drive */
    trn_case load_case;
    const trn_wind_record *record;
    const trn_gust *gusts[GUSTS_MAX];
    trn_direction commanded; /* of the run */
    trn_direction sense;     /* of the motion */
    drive_mode mode;
    double side;        /* MODE_LIMIT: +1 drives in the commanded direction, -1 holds back */
    bool on_buffers;    /* their force begins at once: which side of them the leaf is, its angle does not tell */
    int running;        /* motors */
    straight reference; /* speed in the commanded direction */
    straight brakes;    /* moment of the brakes at the leaf */
} motion;

/* Where the power goes, W, from which trn_run_work is integrated; the last is torque squared. */
enum { MOTORS, DRIVING, FRICTION, GEARS, BRAKES, WIND, SEAT, SQUARES, FLOWS };

typedef struct motion_now {
    double acceleration_rad_s2; /* positive opens */
    double motor_Nm;            /* of all motors, at their shafts, in the commanded direction; cylinders: at the leaf */
    double net_Nm;              /* of it, what goes through the gears, in the direction of motion */
    double drive_limit_Nm;      /* the most in the commanded direction, and */
    double hold_limit_Nm;       /* against it; both 0 or more */
    double pressure_Pa;         /* cylinders, as motor_Nm asks */
    double wind_Pa;
    double buffer_N;
    double buffer_push_N; /* what springs and dampers would give: below 0 the toe comes off them */
    double seat_N;        /* buffers and shoes */
    double flows[FLOWS];
} motion_now;

/* speed: positive opens. */
motion_now motion_at(const motion *of, double time_s, double angle_rad, double speed_rad_s);

/* Pressure p of the wind at a time: of the strongest gust. */
double motion_wind_pressure(const motion *of, double time_s);

/*
 * How the leaf rests at an angle and a time: the torque (as motor_Nm) above
 * which it goes in a direction, with starting friction. With the power off the
 * moment at the leaf, brakes included, below 0 where the leaf goes by itself.
 */
double motion_torque_to_move(const motion *of, double time_s, double angle_rad, trn_direction direction);
double motion_grip(const motion *of, double time_s, double angle_rad, trn_direction direction);

/* Inertia about the trunnion with the rotors, kg m2, and the height of all weights as energy, J. */
double motion_inertia(const motion *of, double angle_rad);
double motion_potential(const motion *of, double angle_rad);

/* With the power off a cylinder's oil holds so much, in a direction of motion; other drives nothing. */
double motion_oil_grip(const motion *of, double angle_rad, trn_direction direction);

#endif
