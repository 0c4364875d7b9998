/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is kept of a run: events, rows of the trace, peaks. */
#include <math.h>
#include <stdlib.h>

#include "../mechanics/search.h"
#include "run_parts.h"

/* Room for one more item of size bytes; false, and the run remembers it, where memory ran out. */
static bool make_room(run_state *of, void **items, size_t count, size_t *room, size_t size)
{
    if (count < *room) {
        return true;
    }
    const size_t wanted = *room == 0 ? 32 : 2 * *room;
    void *moved = realloc(*items, wanted * size);
    if (moved == NULL) {
        of->no_memory = true;
        return false;
    }
    *items = moved;
    *room = wanted;
    return true;
}

void run_note(run_state *of, trn_event_kind kind, size_t which)
{
    void *items = of->run.events;
    if (make_room(of, &items, of->run.event_count, &of->event_room, sizeof *of->run.events)) {
        of->run.events = items;
        of->run.events[of->run.event_count++] = (trn_run_event){.kind = kind,
                                                                .time_s = of->time_s,
                                                                .angle_rad = of->now.at[ANGLE],
                                                                .speed_rad_s = of->now.at[SPEED],
                                                                .which = which};
    }
}

static double per_motor(const run_state *of, double torque_Nm)
{
    const bool motors = of->leaf->drive->kind != TRN_DRIVE_CYLINDER && of->moving.running > 0;
    return motors ? torque_Nm / of->moving.running : 0;
}

/* A leaf that stalls has its drive at the limit. */
static motion_now at_rest(const run_state *of, double time_s, double angle_rad)
{
    motion still = of->moving;
    still.mode = of->power_on && of->moving.mode != MODE_LINE ? MODE_LIMIT : of->moving.mode;
    still.side = 1;
    motion_now now = motion_at(&still, time_s, angle_rad, 0);
    return now;
}

void run_add_row(run_state *of, double time_s, double angle_rad, double speed_rad_s)
{
    void *items = of->run.rows;
    of->too_many_rows = of->run.row_count == TRN_RUN_ROWS_MAX;
    if (of->too_many_rows || !make_room(of, &items, of->run.row_count, &of->row_room, sizeof *of->run.rows)) {
        return;
    }
    of->run.rows = items;
    const motion_now now =
        of->resting ? at_rest(of, time_s, angle_rad) : motion_at(&of->moving, time_s, angle_rad, speed_rad_s);
    of->run.rows[of->run.row_count++] = (trn_run_row){.time_s = time_s,
                                                      .angle_rad = angle_rad,
                                                      .speed_rad_s = speed_rad_s,
                                                      .motor_Nm = per_motor(of, now.motor_Nm),
                                                      .limit_Nm = per_motor(of, now.drive_limit_Nm),
                                                      .pressure_Pa = now.pressure_Pa,
                                                      .wind_Pa = now.wind_Pa};
}

run_point run_point_in(const run_span *span, double share)
{
    const double h = span->length_s;
    const double x = share;
    /* Taylor at the start up to the square, and what the end adds of the powers 3, 4, 5. */
    const double speed = span->speed_rad_s[0] * h;
    const double bend = span->acceleration_rad_s2[0] * h * h;
    const double a = span->angle_rad[1] - span->angle_rad[0] - speed - bend / 2;
    const double b = span->speed_rad_s[1] * h - speed - bend;
    const double c = span->acceleration_rad_s2[1] * h * h - bend;
    const double third = 10 * a - 4 * b + c / 2;
    const double fourth = -15 * a + 7 * b - c;
    const double fifth = 6 * a - 3 * b + c / 2;
    const double angle = span->angle_rad[0] + x * (speed + x * (bend / 2 + x * (third + x * (fourth + x * fifth))));
    const double rate = speed + x * (bend + x * (3 * third + x * (4 * fourth + x * 5 * fifth)));
    return (run_point){span->start_s + x * h, angle, rate / h};
}

/* Torque of each motor, or pressure, at a share of a span. */
typedef struct effort {
    const run_state *of;
    const run_span *span;
} effort;

static double effort_of(const run_state *of, const motion_now *now)
{
    return of->leaf->drive->kind == TRN_DRIVE_CYLINDER ? now->pressure_Pa : fabs(per_motor(of, now->motor_Nm));
}

static double effort_at(double share, const void *context)
{
    const effort *made = context;
    const run_point at = run_point_in(made->span, share);
    const motion_now now = motion_at(&made->of->moving, at.time_s, at.angle_rad, at.speed_rad_s);
    return effort_of(made->of, &now);
}

/* The largest effort of a span: at an end, or where the parabola through three points promises more than ever before.
 */
static void keep_effort(run_state *of, const run_span *span, const motion_now now[3])
{
    const bool cylinders = of->leaf->drive->kind == TRN_DRIVE_CYLINDER;
    double *peak = cylinders ? &of->run.peak_pressure_Pa : &of->run.peak_motor_Nm;
    const effort made = {of, span};
    const double first = effort_of(of, &now[0]);
    const double middle = effort_of(of, &now[1]);
    const double last = effort_of(of, &now[2]);
    *peak = fmax(*peak, fmax(first, fmax(middle, last)));
    const double slope = last - first;
    const double bend = first - 2 * middle + last;
    const double vertex = 0.5 - slope / (4 * bend);
    if (bend < 0 && vertex > 0 && vertex < 1 && middle - slope * slope / (8 * bend) > *peak) {
        *peak = fmax(*peak, effort_at(search_peak(effort_at, &made, 0, 1), &made));
    }
}

static void keep_deceleration(run_state *of, const motion_now now[3])
{
    const double sign = travel_sign(of->moving.sense);
    for (int i = 0; i < 3; i++) {
        if (!(now[i].seat_N > 0)) {
            of->run.peak_deceleration_rad_s2 =
                fmax(of->run.peak_deceleration_rad_s2, -sign * now[i].acceleration_rad_s2);
        }
    }
}

/* The most is at an end of a span: the shoes are deepest where the leaf comes to rest. */
static void keep_seat(run_state *of, const motion_now now[3])
{
    for (int i = 0; i < 3; i++) {
        of->run.seat.toe_force_N = fmax(of->run.seat.toe_force_N, now[i].seat_N);
        of->run.seat.buffer_force_N = fmax(of->run.seat.buffer_force_N, now[i].buffer_N);
    }
}

/* The rows up to a time, the end included; where they lie on the span, or all at rest. */
static void keep_rows(run_state *of, const run_span *span, double until_s)
{
    const double every = of->setting->sample_every_s;
    const double last_s = of->setting->sample_until_s > 0 ? fmin(of->setting->sample_until_s, until_s) : until_s;
    while (every > 0 && !of->no_memory && !of->too_many_rows && (double)of->next_row * every <= last_s) {
        const double time = (double)of->next_row * every;
        run_point at = {time, of->now.at[ANGLE], 0};
        if (span != NULL) {
            at = run_point_in(span, (time - span->start_s) / span->length_s);
        }
        run_add_row(of, time, at.angle_rad, at.speed_rad_s);
        of->next_row++;
    }
}

void run_keep_span(run_state *of, const run_span *span, const motion_now now[3])
{
    keep_rows(of, span, span->start_s + span->length_s);
    if (of->power_on) {
        keep_effort(of, span, now);
        of->run.lag_s += of->moving.mode == MODE_LIMIT ? span->length_s : 0;
    } else {
        keep_deceleration(of, now);
    }
    if (of->moving.sense == TRN_CLOSING) {
        keep_seat(of, now);
    }
}

/* Of each motor, while the leaf rests with its power on. */
static double stalled_torque(const run_state *of)
{
    return per_motor(of, at_rest(of, of->time_s, of->now.at[ANGLE]).motor_Nm);
}

void run_note_rest(run_state *of)
{
    of->announced = true;
    run_note(of, of->power_on ? TRN_EVENT_STALLED : TRN_EVENT_STOPPED, 0);
    if (of->power_on) {
        of->run.peak_motor_Nm = fmax(of->run.peak_motor_Nm, fabs(stalled_torque(of)));
        of->run.peak_pressure_Pa =
            fmax(of->run.peak_pressure_Pa, at_rest(of, of->time_s, of->now.at[ANGLE]).pressure_Pa);
    }
}

void run_keep_rest(run_state *of, double until_s)
{
    keep_rows(of, NULL, until_s);
    if (of->power_on) {
        const double torque = stalled_torque(of);
        of->now.at[FLOW + SQUARES] += torque * torque * (until_s - of->time_s);
        of->run.lag_s += until_s - of->time_s;
    }
}
