/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file run.h
 * An opening or a closing in time: from the release of the brakes to rest,
 * with whatever goes wrong on the way.
 *
 * The motion, with s = +1 opening and -1 closing and all moments at the leaf:
 *
 *   (J + J_P psi'^2) theta'' + J_P psi' psi'' theta'^2
 *       = G - balance - wind - ice + seat - sgn(theta') (F + B)
 *
 * G is what the drive gives: torque of the running motors less what their
 * rotors' inertia takes, times the ratio, times the efficiency (divided by it
 * where the leaf drives the machinery). B are the brakes, without gear loss.
 * With the power off the rotors are the inertia i^2 Jm, without gear loss.
 * F is the friction of the case while moving, starting friction at rest: the
 * leaf then stays while |G - load| is at most F + B. Cylinders have no rotors;
 * with their power off their valves are shut, and the oil holds with the most
 * that the pressure gives.
 *
 * The reference is a speed over time: it climbs from the release of the brakes
 * on, and falls from its own value at the near switch, whether the leaf
 * follows or lags; a leaf that lags has caught up when its speed meets it. At
 * its limit a drive gives what its law gives at the shaft's speed, one way or
 * the other. The toe stands toe sin(theta) above the shoes, and falls on them
 * with the arm toe cos(theta); the run ends at their deepest compression, and
 * the rebound is not followed. Beyond opens_to the motion goes on as if
 * nothing were there, for 30 degrees, or to where a dead point or friction all
 * but locks the mechanism.
 *
 * While the drive follows its reference the motion is known and only torque
 * and work are integrated; else the equation is. Both by the pair of Dormand
 * and Prince (1980), order 5 with error estimate of order 4, restarted at
 * every event; an event is located on the fifth-degree polynomial through both
 * ends of its step and then stepped to. Not GSL's steppers: they take memory,
 * report through a handler that the whole process shares, and give nothing
 * between two steps, where the events lie.
 */
#ifndef TRN_RUN_H
#define TRN_RUN_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/gust.h"
#include "trunnion/leaf.h"
#include "trunnion/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Every kind of upset with the words for it. */
#define TRN_UPSET_LIST(X)                              \
    X(TRN_UPSET_POWER_LOST, "power lost")              \
    X(TRN_UPSET_EMERGENCY_STOP, "emergency stop")      \
    X(TRN_UPSET_PEDAL_RELEASED, "pedal released")      \
    X(TRN_UPSET_MOTOR_OUT, "motor out")                \
    X(TRN_UPSET_BRAKE_OUT, "brake out")                \
    X(TRN_UPSET_NEAR_SWITCH_MISSED, "near switch missed") \
    X(TRN_UPSET_GUST, "gust")

/** What goes wrong. */
typedef enum trn_upset_kind {
#define TRN_UPSET_NAME(name, words) name,
    TRN_UPSET_LIST(TRN_UPSET_NAME)
#undef TRN_UPSET_NAME
} trn_upset_kind;

/**
 * Something that goes wrong when the leaf passes an angle.
 *
 * power lost, emergency stop: power off, all brakes trip. pedal released: the
 * reference falls to rest as fast as it falls to creep; when the leaf has
 * come to rest the power goes off and the brakes trip. motor out: one running
 * motor less, none takes over. brake out: the brake that gives most at the
 * leaf does not set in the whole run. near switch missed: no creep in the
 * whole run. gust: it starts there.
 */
typedef struct trn_upset {
    trn_upset_kind kind; /**< what goes wrong */
    double angle_rad; /**< 0 to opens_to; of no matter for brake out and near switch missed */
    trn_gust gust;    /**< kind gust; its start_s is of no matter */
} trn_upset;

/** The most rows of a trace: of 1000 s, every millisecond. */
#define TRN_RUN_ROWS_MAX 1000000

/** What a run does, and in what. */
typedef struct trn_run_setting {
    const trn_case *load_case; /**< friction, wind and ice of the run */
    trn_direction direction; /**< of travel */
    const trn_gust *gust;               /**< NULL: none */
    const trn_wind_record *wind_record; /**< NULL: the case's steady wind */
    const trn_upset *upsets; /**< what goes wrong, upset_count of them */
    size_t upset_count; /**< 0 or more */
    double sample_every_s; /**< rows of the trace, over 0, that make at most TRN_RUN_ROWS_MAX; 0: no trace */
    double sample_until_s; /**< no rows after it; 0: up to the end of the run */
    double tolerance;      /**< relative error of a step, 1e-13 to 1e-3 */
} trn_run_setting;

/** The first case (still air without one), opening, no upset, no trace, tolerance 1e-10. */
trn_run_setting trn_default_run_setting(const trn_leaf *leaf);

/** Every kind of event with the words for it. */
#define TRN_EVENT_LIST(X)                          \
    X(TRN_EVENT_BRAKES_RELEASED, "brakes released") \
    X(TRN_EVENT_BROKE_AWAY, "broke away")          \
    X(TRN_EVENT_DRIVE_AT_LIMIT, "drive at its limit") \
    X(TRN_EVENT_CAUGHT_UP, "caught up")            \
    X(TRN_EVENT_FULL_SPEED, "full speed")          \
    X(TRN_EVENT_NEAR_SWITCH, "near switch")        \
    X(TRN_EVENT_CREEP, "creep")                    \
    X(TRN_EVENT_FULL_SWITCH, "full switch")        \
    X(TRN_EVENT_UPSET, "fault")                    \
    X(TRN_EVENT_POWER_OFF, "power off")            \
    X(TRN_EVENT_BRAKE_SET, "brake set")            \
    X(TRN_EVENT_STOPPED, "stopped")                \
    X(TRN_EVENT_STALLED, "stalled")                \
    X(TRN_EVENT_RAN_BACK, "ran back")              \
    X(TRN_EVENT_BUFFER_MET, "buffer met")          \
    X(TRN_EVENT_SEATED, "seated")                  \
    X(TRN_EVENT_LEFT_TRAVEL, "left the travel")

/** What happens in a run. */
typedef enum trn_event_kind {
#define TRN_EVENT_NAME(name, words) name,
    TRN_EVENT_LIST(TRN_EVENT_NAME)
#undef TRN_EVENT_NAME
} trn_event_kind;

/** The words for an event and for an upset; never NULL, also for a number that is none. */
const char *trn_event_words(trn_event_kind kind);
/** The words for an upset; never NULL. */
const char *trn_upset_words(trn_upset_kind kind);

/** Something that happened. */
typedef struct trn_run_event {
    trn_event_kind kind; /**< what happened */
    double time_s; /**< from the release of the brakes */
    double angle_rad; /**< opening angle */
    double speed_rad_s; /**< positive opens */
    size_t which;       /**< brake set: index into leaf->brakes; upset: index into the setting's upsets; else 0 */
} trn_run_event;

/** A row of the trace. */
typedef struct trn_run_row {
    double time_s; /**< from the release of the brakes */
    double angle_rad; /**< opening angle */
    double speed_rad_s; /**< positive opens */
    double motor_Nm;    /**< torque of each running motor, positive in the direction of travel; 0 with the power off */
    double limit_Nm;    /**< the most that its law gives at this speed, 0 or more */
    double pressure_Pa; /**< in each cylinder, 0 with the power off; 0 for other drives */
    double wind_Pa;     /**< pressure p of the wind */
} trn_run_row;

/** How a run ended. */
typedef enum trn_run_end {
    TRN_END_ARRIVED, /**< passed its full switch and came to rest (closing: on the shoes, or short of them) */
    TRN_END_STOPPED, /**< at rest, power off, before its full switch */
    TRN_END_STALLED, /**< at rest, power on, the drive cannot move it */
    TRN_END_SEATED,  /**< an opening leaf that ran back onto its shoes */
    TRN_END_LEFT,    /**< beyond the end of the travel and not at rest: nothing described stops it there */
    TRN_END_MOVING   /**< still moving when the run was given up */
} trn_run_end;

/**
 * Where work went, J, from the release of the brakes to the end of the run:
 * motors = potential + kinetic + friction + gears + brakes + wind + seat.
 */
typedef struct trn_run_work {
    double motors_J;      /**< of all motors (cylinders: of the oil), negative where they held back */
    double driving_J;     /**< of it, what was given */
    double potential_J;   /**< rise of leaf, ice, counterweight */
    double kinetic_J;     /**< of what still moves at the end; leaf, ice, counterweight, rotors */
    double friction_J;    /**< lost in trunnions and drag */
    double gears_J;       /**< lost in the gears */
    double brakes_J;      /**< turned to heat in the brakes (cylinders: at their shut valves) */
    double wind_J;        /**< done against the wind */
    double seat_J;        /**< taken by shoes and buffers */
} trn_run_work;

/** How the toe came down. */
typedef struct trn_seat {
    bool seated; /**< whether the toe came down; the rest is 0 where it did not */
    bool has_force;       /**< false: shoes of unknown stiffness */
    double speed_rad_s;   /**< closing speed at the shoes, 0 or more */
    double toe_speed_m_s; /**< the same at the toe */
    double energy_J;      /**< kinetic at the shoes: leaf, ice, counterweight, rotors */
    double toe_force_N;   /**< the most on buffers and shoes together, at the toe */
    double buffer_force_N; /**< the most on the buffers, at the toe; 0 without */
} trn_seat;

/** A run. What it points to was allocated: free it with trn_run_free. */
typedef struct trn_run {
    trn_run_end end; /**< how it ended */
    bool reached_switch;    /**< passed the full switch in its direction of travel */
    double time_s;          /**< brake release to the full switch; 0 where it was not reached */
    double switch_speed_rad_s; /**< speed in the direction of travel at the full switch */
    bool at_creep;          /**< followed its reference at creep speed (or below) when it reached the full switch */
    double end_time_s;      /**< at rest, brakes set, wind steady */
    double end_angle_rad; /**< opening angle at the end */
    double end_speed_rad_s; /**< at the end, positive opens */
    double peak_motor_Nm;   /**< largest torque of each running motor, moving or stalled, either sign; 0 or more */
    double break_away_Nm;   /**< torque of each running motor that broke it away from rest, signed as in the trace */
    double rms_motor_Nm;    /**< over the time that the power was on */
    double peak_pressure_Pa; /**< cylinders */
    double peak_deceleration_rad_s2; /**< from the moment that the power was off; 0 where it never was */
    double lag_s;           /**< how long the drive was at its limit */
    bool slipped;           /**< was moved from rest with its power off and all its brakes set */
    double ran_back_rad;    /**< how far it ran against its direction of travel from its furthest point, 0 or more */
    double past_end_rad;    /**< how far beyond opens_to it was at its furthest, 0 or more */
    double hold_wind_Pa;    /**< pressure p of the wind in which it must be held: the case's or the record's strongest,
                                 and on top of it the strongest gust */
    double hold_demand_Nm;  /**< the most that is to be held at the end, no friction credited; 0: nothing */
    double hold_capacity_Nm; /**< what the brakes (a cylinder's oil) give against it */
    double hold_factor;     /**< brakes over what is to be held at the end, in the case's wind; infinite: nothing */
    trn_run_work work; /**< where the work went */
    trn_seat seat; /**< how the toe came down */
    trn_run_row *rows; /**< the trace */
    size_t row_count; /**< 0 without a trace */
    trn_run_event *events; /**< what happened, in turn */
    size_t event_count; /**< at least 1 */
} trn_run;

/**
 * One opening (from closed) or closing (from opens_to), from the release of
 * the brakes at time 0. A run is given up (TRN_END_MOVING) ten minutes after
 * its power went off, after it has run back fifty times, or where it needs
 * more steps or events than any real motion does.
 *
 * Fails with TRN_MISSING_SECTION without drive or travel, or without motors
 * where the drive needs them, with TRN_OUT_OF_DOMAIN where numbers leave what
 * a double holds or the trace has over TRN_RUN_ROWS_MAX rows, with
 * TRN_NO_MEMORY, and as trn_loading_prepare does; *run is then untouched.
 */
trn_status trn_leaf_run(const trn_leaf *leaf, const trn_run_setting *setting, trn_run *run, trn_error *error);

/** Free what a run points to; a run of all zero is free already. */
void trn_run_free(trn_run *run);

/** How far a leaf may run back while its brakes set before it counts as one that ran away, rad: 2 degrees. */
#define TRN_RUN_BACK_MAX 0.034906585039886592

/**
 * How far beyond opens_to a leaf may run before it counts as one that left its travel, rad: 1 degree, own choice.
 * Brakes that trip at the full-open switch of a sound leaf take 0.1 degree from creep and 0.8 degree from full speed,
 * where a near switch was missed.
 */
#define TRN_RUN_PAST_END_MAX 0.017453292519943296

/**
 * True where the run ends at rest with its power off (not stalled), did not
 * slip through its brakes nor run back by more than TRN_RUN_BACK_MAX nor beyond
 * opens_to by more than TRN_RUN_PAST_END_MAX, and is held there (or nothing
 * needs holding).
 */
bool trn_run_is_safe(const trn_run *run);

/** True where the toe came down no faster than at creep speed (or did not come down). */
bool trn_run_seats_gently(const trn_run *run, const trn_travel *travel);

/** Where a near switch may stand, for one direction. */
typedef struct trn_switch_place {
    bool possible;          /**< false: at no place does the leaf arrive at creep speed */
    double given_rad; /**< as the travel has it */
    double nearest_rad;     /**< the place nearest to the end from which the leaf still arrives at creep speed */
    double margin_rad;      /**< how far before the nearest place the given one stands; negative: too late */
    trn_run early;          /**< with the given switch a drift too early */
    trn_run given; /**< with the switch as given */
    trn_run late;           /**< with the given switch a drift too late */
} trn_switch_place;

/**
 * The nearest near switch of a direction, to a ten-thousandth of a degree, and
 * what a switch does that has drifted by drift_rad (a degree, in general).
 * Runs have no trace; free the three of them. Fails as trn_leaf_run does.
 */
trn_status trn_leaf_switch_place(const trn_leaf *leaf, const trn_run_setting *setting, double drift_rad,
                                 trn_switch_place *place, trn_error *error);

#ifdef __cplusplus
}
#endif

#endif
