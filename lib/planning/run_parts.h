/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The parts of a run, for run*.c.
 *
 * A run goes from event to event: a step of the integration ends at the
 * next moment known beforehand (a ramp's end, a brake, a knot of the wind) or
 * at what happens within it (an angle passed, rest, the drive's limit); the
 * event changes the mode, and the run goes on from there.
 */
#ifndef RUN_PARTS_H
#define RUN_PARTS_H

#include "../mechanics/motion.h"
#include "../mechanics/stepper.h"
#include "../mechanics/stiff.h"
#include "trunnion/run.h"

/* Where the state keeps what. */
enum { ANGLE, SPEED, FLOW };
_Static_assert(FLOW + FLOWS == STEPPER_SIZE, "the state holds angle, speed and the flows");

/* Below this share of its size a difference is rounding. */
#define RUN_HAIR 1e-12

/* An angle at which something happens. */
typedef enum mark_kind {
    MARK_NONE,
    MARK_UPSET,
    MARK_NEAR_SWITCH,
    MARK_FULL_SWITCH,
    MARK_BUFFERS,
    MARK_SHOES,
    MARK_BEND, /* of the wind's law: a step across it has no order */
    MARK_BOUND
} mark_kind;

typedef struct mark {
    mark_kind kind;
    double angle_rad;
    size_t which; /* upset */
} mark;

typedef struct run_state {
    const trn_leaf *leaf;
    const trn_run_setting *setting;
    motion moving;
    trn_gust struck; /* the gust of an upset, once it blows */
    double time_s;
    stepper_state now;
    bool carried; /* the last step ended where nothing happens: its end is the next one's start */
    stepper_state carried_rates;
    motion_now carried_now;
    double step_s; /* the length that the last step suggests */
    double scales[STEPPER_SIZE];
    bool resting;
    bool announced; /* the rest has its event */
    bool power_on;
    bool pedal_up; /* the reference falls to rest, then the power goes off */
    double power_off_s;
    double target_rad_s; /* of the reference */
    double target_s;     /* when it is reached; HUGE_VAL: it is */
    bool at_target;      /* the leaf has had its event of full speed or creep */
    bool creeping;       /* past the near switch */
    bool tripped;
    double tripped_s;
    bool *set;        /* brakes that have set */
    size_t brake_out; /* the group that lacks one brake; of no group: the count of groups */
    bool near_missed;
    bool *happened; /* upsets */
    bool near_passed;
    bool switch_passed;
    bool ended;
    double furthest; /* in the direction of travel: angle opening, minus angle closing */
    double buffers_rad; /* where the toe meets the buffers; 0: there are none */
    double *bends_rad;  /* where the wind's law bends, ascending */
    size_t bend_count;
    double lowest_rad; /* bounds of what is followed */
    double highest_rad;
    double off_buffers_s;  /* when the toe came off them */
    double side_changed_s; /* gear loss */
    size_t trials;         /* steps tried */
    int reversals;
    int events_at_once;
    double checked_s;
    trn_run run;
    size_t row_room;
    size_t event_room;
    size_t next_row;
    bool no_memory;
    bool too_many_rows;
} run_state;

/* run_record.c: what is kept of a run. */
void run_note(run_state *of, trn_event_kind kind, size_t which);
void run_note_rest(run_state *of);
void run_add_row(run_state *of, double time_s, double angle_rad, double speed_rad_s);

/* A step between two states, and the polynomial between them. */
typedef struct run_span {
    double start_s;
    double length_s;
    double angle_rad[2];
    double speed_rad_s[2];
    double acceleration_rad_s2[2];
} run_span;

typedef struct run_point {
    double time_s;
    double angle_rad;
    double speed_rad_s;
} run_point;

/* At a share, 0 to 1, of a span: the polynomial of degree 5 through angle, speed and acceleration of both ends. */
run_point run_point_in(const run_span *span, double share);

/* Take rows, peaks and lag of a span that was run; now: at its start, middle and end. */
void run_keep_span(run_state *of, const run_span *span, const motion_now now[3]);

/* Rows and lag of a rest from the present to a time. */
void run_keep_rest(run_state *of, double until_s);

/* run_step.c: a step of motion, to its end or to what happens first. */
trn_status run_step(run_state *of, trn_error *error);

/* run_events.c: what happens. */
bool run_begins_to_move(run_state *of, trn_direction *direction);
void run_start_moving(run_state *of, trn_direction direction);
mark run_next_mark(const run_state *of);
void run_pass_mark(run_state *of, mark passed);
void run_come_to_rest(run_state *of);
void run_reach_limit(run_state *of);
void run_catch_up(run_state *of);
void run_choose_mode(run_state *of);
void run_arrive_at_target(run_state *of);

/* Until the leaf is there, where that is known: a drive that follows its reference moves it as that says. */
double run_time_to_mark(const run_state *of, mark next);

/* run_moments.c: moments known beforehand, and what they bring. */
double run_next_moment(const run_state *of);
void run_pass_moment(run_state *of);

/* Level the reference where its ramp is over. */
void run_reach_target(run_state *of);

/* Brakes of a group that set. */
int run_brakes_in(const run_state *of, size_t group);

/* run_bends.c: for the time of a step what bends goes on as it is at its start (see motion), and then no more. */
void run_hold_bends(run_state *of, const motion_now *start);
void run_release_bends(run_state *of);

/* The angles at which the wind on a surface bends; false where memory ran out. */
bool run_find_bends(run_state *of);

/* The next of them from an angle on; false where there is none. */
bool run_next_bend(const run_state *of, double angle_rad, trn_direction direction, double *bend_rad);

/* run_rest.c: wait at rest until the leaf moves or the next moment comes, or end there. */
void run_rest(run_state *of);

/* run_end.c: what is said of a run that is over. */
trn_status run_conclude(run_state *of, trn_error *error);

#endif
