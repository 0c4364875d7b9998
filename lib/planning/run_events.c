/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What happens in a run, and what follows from it. */
#include <math.h>

#include "run_parts.h"

static double forward(const run_state *of)
{
    return travel_sign(of->moving.commanded);
}

static void set_reference(run_state *of, double target_rad_s, double rate_rad_s2)
{
    const double speed = straight_at(of->moving.reference, of->time_s);
    const double gap = target_rad_s - speed;
    const double slope = gap < 0 ? -rate_rad_s2 : rate_rad_s2;
    const bool there = !(fabs(gap) > 1e-14 * fabs(target_rad_s));
    of->target_rad_s = target_rad_s;
    of->target_s = there ? HUGE_VAL : of->time_s + gap / slope;
    of->moving.reference =
        (straight){.start_s = of->time_s, .value = there ? target_rad_s : speed, .slope = there ? 0 : slope};
}

static double fall_rate(const trn_travel *travel)
{
    const double fall = (travel->speed_rad_s - travel->creep * travel->speed_rad_s) / travel->decelerate_in_s;
    return fall > 0 ? fall : travel->speed_rad_s / travel->decelerate_in_s;
}

static void power_off(run_state *of)
{
    if (!of->power_on) {
        return;
    }
    of->power_on = false;
    of->power_off_s = of->time_s;
    of->moving.mode = MODE_OFF;
    of->tripped = true;
    of->tripped_s = of->time_s;
    run_note(of, TRN_EVENT_POWER_OFF, 0);
    run_pass_moment(of);
}

/* The torque that following takes, against the drive's limits: 0 within, else the side that lacks. */
static int short_side(const run_state *of)
{
    motion following = of->moving;
    following.mode = MODE_FOLLOW;
    following.sense = following.commanded;
    const motion_now now = motion_at(&following, of->time_s, of->now.at[ANGLE], of->now.at[SPEED]);
    if (now.motor_Nm > now.drive_limit_Nm * (1 + RUN_HAIR)) {
        return 1;
    }
    return now.motor_Nm < -now.hold_limit_Nm * (1 + RUN_HAIR) ? -1 : 0;
}

void run_choose_mode(run_state *of)
{
    motion *moving = &of->moving;
    if (!of->power_on || moving->mode == MODE_LINE) {
        return;
    }
    const double gap = straight_at(moving->reference, of->time_s) - forward(of) * of->now.at[SPEED];
    const double hair = 2 * RUN_HAIR * of->leaf->travel->speed_rad_s;
    int side = gap > hair ? 1 : -1;
    if (fabs(gap) <= hair) {
        side = short_side(of);
    }
    const bool was_limited = moving->mode == MODE_LIMIT;
    moving->mode = side == 0 ? MODE_FOLLOW : MODE_LIMIT;
    moving->side = side;
    if (moving->mode == MODE_LIMIT && !was_limited) {
        run_note(of, TRN_EVENT_DRIVE_AT_LIMIT, 0);
    }
}

void run_reach_limit(run_state *of)
{
    run_choose_mode(of);
    if (of->moving.mode == MODE_FOLLOW) {
        /* On the limit to the last bit: the next step shows on which side. */
        const motion_now now = motion_at(&of->moving, of->time_s, of->now.at[ANGLE], of->now.at[SPEED]);
        of->moving.mode = MODE_LIMIT;
        of->moving.side = now.motor_Nm > 0 ? 1 : -1;
        run_note(of, TRN_EVENT_DRIVE_AT_LIMIT, 0);
    }
}

/* The leaf is at the speed that its reference ends at. */
void run_arrive_at_target(run_state *of)
{
    if (of->at_target || of->target_s < HUGE_VAL || of->pedal_up) {
        return;
    }
    of->at_target = true;
    run_note(of, of->creeping ? TRN_EVENT_CREEP : TRN_EVENT_FULL_SPEED, 0);
}

void run_catch_up(run_state *of)
{
    run_note(of, TRN_EVENT_CAUGHT_UP, 0);
    of->moving.mode = MODE_FOLLOW;
    run_choose_mode(of);
    if (of->moving.mode == MODE_FOLLOW) {
        run_arrive_at_target(of);
    }
}

static bool may_close(const run_state *of)
{
    return of->now.at[ANGLE] > 0 && !of->run.seat.seated;
}

/* With the power on: the most the drive gives at rest. */
static double torque_at_rest(const run_state *of)
{
    motion still = of->moving;
    if (still.mode != MODE_LINE) {
        still.mode = MODE_LIMIT;
        still.side = 1;
    }
    return motion_at(&still, of->time_s, of->now.at[ANGLE], 0).motor_Nm;
}

/* What moves a leaf must exceed what holds it by more than rounding, so that a leaf that came to rest stays. */
static const double grip_hair = 1e-9;

static bool goes(const run_state *of, double angle_rad, trn_direction there, double given_Nm)
{
    const motion *moving = &of->moving;
    if (of->power_on) {
        const double needed = motion_torque_to_move(moving, of->time_s, angle_rad, there);
        return given_Nm - needed > grip_hair * (fabs(given_Nm) + fabs(needed));
    }
    const double grip = motion_grip(moving, of->time_s, angle_rad, there);
    if (grip >= 0) {
        return false;
    }
    const trn_direction back = there == TRN_OPENING ? TRN_CLOSING : TRN_OPENING;
    return grip < -grip_hair * (grip + motion_grip(moving, of->time_s, angle_rad, back));
}

bool run_begins_to_move(run_state *of, trn_direction *direction)
{
    const trn_direction ahead = of->moving.commanded;
    const trn_direction back = ahead == TRN_OPENING ? TRN_CLOSING : TRN_OPENING;
    const double angle = of->now.at[ANGLE];
    if (of->run.seat.seated) {
        return false;
    }
    for (int i = 0; i < 2; i++) {
        const trn_direction there = i == 0 ? ahead : back;
        if (there == TRN_CLOSING && !may_close(of)) {
            continue;
        }
        if (goes(of, angle, there, i == 0 ? torque_at_rest(of) : -torque_at_rest(of))) {
            *direction = there;
            return true;
        }
    }
    return false;
}

static void keep_break_away(run_state *of, trn_direction direction)
{
    const bool motors = of->leaf->drive->kind != TRN_DRIVE_CYLINDER && of->moving.running > 0;
    if (of->power_on && motors && direction == of->moving.commanded) {
        const double needed = motion_torque_to_move(&of->moving, of->time_s, of->now.at[ANGLE], direction);
        const double torque = of->moving.mode == MODE_LINE ? torque_at_rest(of) : needed;
        of->run.break_away_Nm = torque / of->moving.running;
    }
}

static bool all_set(const run_state *of)
{
    for (size_t i = 0; i < of->leaf->brake_count; i++) {
        if (!of->set[i]) {
            return false;
        }
    }
    return true;
}

/* A leaf that swings to and fro so often is given up. */
enum { REVERSALS_MAX = 50 };

void run_start_moving(run_state *of, trn_direction direction)
{
    of->reversals += direction == of->moving.commanded ? 0 : 1;
    if (of->reversals > REVERSALS_MAX) {
        of->resting = false;
        of->ended = true;
        return;
    }
    of->run.slipped = of->run.slipped || (!of->power_on && all_set(of));
    keep_break_away(of, direction);
    run_reach_target(of);
    of->resting = false;
    of->announced = false;
    of->moving.sense = direction;
    of->step_s = of->power_on ? of->leaf->travel->accelerate_in_s / 128 : 1e-2;
    run_note(of, direction == of->moving.commanded ? TRN_EVENT_BROKE_AWAY : TRN_EVENT_RAN_BACK, 0);
    run_choose_mode(of);
}

void run_come_to_rest(run_state *of)
{
    trn_direction direction;
    of->resting = true;
    of->now.at[SPEED] = 0;
    if (of->pedal_up) {
        power_off(of);
    }
    if (of->run.seat.seated || !run_begins_to_move(of, &direction)) {
        run_note_rest(of);
    }
}

static void meet_shoes(run_state *of)
{
    const trn_seating *seating = of->leaf->seating;
    trn_seat *seat = &of->run.seat;
    const double speed = -of->now.at[SPEED];
    seat->seated = true;
    seat->speed_rad_s = speed;
    seat->toe_speed_m_s = speed * of->leaf->toe_m;
    seat->energy_J = motion_inertia(&of->moving, 0) * speed * speed / 2;
    seat->has_force = seating != NULL && seating->shoe_stiffness_N_m > 0;
    run_note(of, TRN_EVENT_SEATED, 0);
    if (!seat->has_force) {
        of->now.at[FLOW + SEAT] += seat->energy_J;
        of->now.at[SPEED] = 0;
        of->resting = true;
        of->announced = true;
    }
}

static void strike(run_state *of, size_t which)
{
    const trn_upset *upset = &of->setting->upsets[which];
    of->happened[which] = true;
    run_note(of, TRN_EVENT_UPSET, which);
    switch (upset->kind) {
    case TRN_UPSET_POWER_LOST:
    case TRN_UPSET_EMERGENCY_STOP:
        power_off(of);
        break;
    case TRN_UPSET_PEDAL_RELEASED:
        if (of->moving.mode == MODE_LINE || of->resting) {
            power_off(of);
        } else if (of->power_on) {
            of->pedal_up = true;
            set_reference(of, 0, fall_rate(of->leaf->travel));
            run_choose_mode(of);
        }
        break;
    case TRN_UPSET_MOTOR_OUT:
        of->moving.running -= of->moving.running > 0 ? 1 : 0;
        run_choose_mode(of);
        break;
    case TRN_UPSET_GUST:
        of->struck = upset->gust;
        of->struck.start_s = of->time_s;
        of->moving.gusts[1] = &of->struck;
        break;
    case TRN_UPSET_BRAKE_OUT:          /* GCOVR_EXCL_LINE: what is so from the start is no mark on the way */
    case TRN_UPSET_NEAR_SWITCH_MISSED: /* GCOVR_EXCL_LINE: the same */
        break;                         /* GCOVR_EXCL_LINE: the same */
    }
}

static void pass_near_switch(run_state *of)
{
    const trn_travel *travel = of->leaf->travel;
    of->near_passed = true;
    run_note(of, TRN_EVENT_NEAR_SWITCH, 0);
    if (!of->power_on || of->pedal_up || of->moving.mode == MODE_LINE) {
        return;
    }
    const double creep = travel->creep * travel->speed_rad_s;
    const bool climbs = straight_at(of->moving.reference, of->time_s) < creep;
    of->creeping = true;
    of->at_target = false;
    set_reference(of, creep, climbs ? trn_travel_acceleration(travel) : fall_rate(travel));
    run_choose_mode(of);
    if (of->moving.mode == MODE_FOLLOW) {
        run_arrive_at_target(of);
    }
}

static void pass_full_switch(run_state *of)
{
    const trn_travel *travel = of->leaf->travel;
    const double speed = forward(of) * of->now.at[SPEED];
    of->switch_passed = true;
    of->run.reached_switch = true;
    of->run.time_s = of->time_s;
    of->run.switch_speed_rad_s = speed;
    of->run.at_creep = speed <= travel->creep * travel->speed_rad_s * (1 + 1e-9);
    run_note(of, TRN_EVENT_FULL_SWITCH, 0);
    power_off(of);
}

void run_pass_mark(run_state *of, mark passed)
{
    switch (passed.kind) {
    case MARK_UPSET:
        strike(of, passed.which);
        break;
    case MARK_NEAR_SWITCH:
        pass_near_switch(of);
        break;
    case MARK_FULL_SWITCH:
        pass_full_switch(of);
        break;
    case MARK_BUFFERS:
        of->moving.on_buffers = of->moving.sense == TRN_CLOSING;
        if (of->moving.on_buffers) {
            run_note(of, TRN_EVENT_BUFFER_MET, 0);
        }
        break;
    case MARK_SHOES:
        meet_shoes(of);
        break;
    case MARK_BOUND:
        run_note(of, TRN_EVENT_LEFT_TRAVEL, 0);
        of->ended = true;
        break;
    case MARK_BEND:
    case MARK_NONE:
        break;
    }
}

/* Keep the nearest of the marks that lie ahead; of two at one angle the first asked. */
static void offer(mark *nearest, double *distance, double ahead_rad, mark other)
{
    if (ahead_rad >= 0 && ahead_rad < *distance) {
        *distance = ahead_rad;
        *nearest = other;
    }
}

static void offer_switches(const run_state *of, mark *nearest, double *distance)
{
    const trn_travel *travel = of->leaf->travel;
    const bool opening = of->moving.commanded == TRN_OPENING;
    const double sign = forward(of);
    const double angle = of->now.at[ANGLE];
    const double full_open = travel->full_open_rad > 0 ? travel->full_open_rad : of->leaf->opens_to_rad;
    const double near = opening ? travel->near_open_rad : travel->near_closed_rad;
    const double full = opening ? full_open : travel->full_closed_rad;
    for (size_t i = 0; i < of->setting->upset_count; i++) {
        const double at = of->setting->upsets[i].angle_rad;
        if (!of->happened[i]) {
            offer(nearest, distance, sign * (at - angle), (mark){MARK_UPSET, at, i});
        }
    }
    if (!of->near_passed) {
        offer(nearest, distance, sign * (near - angle), (mark){MARK_NEAR_SWITCH, near, 0});
    }
    if (!of->switch_passed) {
        offer(nearest, distance, sign * (full - angle), (mark){MARK_FULL_SWITCH, full, 0});
    }
}

mark run_next_mark(const run_state *of)
{
    mark nearest = {MARK_NONE, 0, 0};
    double distance = HUGE_VAL;
    const double angle = of->now.at[ANGLE];
    if (of->moving.sense == of->moving.commanded) {
        offer_switches(of, &nearest, &distance);
    }
    const bool to_buffers = of->moving.on_buffers == (of->moving.sense == TRN_OPENING);
    if (of->buffers_rad > 0 && to_buffers) {
        offer(&nearest, &distance, travel_sign(of->moving.sense) * (of->buffers_rad - angle),
              (mark){MARK_BUFFERS, of->buffers_rad, 0});
    }
    double bend;
    if (run_next_bend(of, angle, of->moving.sense, &bend)) {
        offer(&nearest, &distance, fabs(bend - angle), (mark){MARK_BEND, bend, 0});
    }
    if (of->moving.sense == TRN_OPENING) {
        offer(&nearest, &distance, of->highest_rad - angle, (mark){MARK_BOUND, of->highest_rad, 0});
        return nearest;
    }
    if (!of->run.seat.seated) {
        offer(&nearest, &distance, angle, (mark){MARK_SHOES, 0, 0});
    }
    offer(&nearest, &distance, angle - of->lowest_rad, (mark){MARK_BOUND, of->lowest_rad, 0});
    return nearest;
}

double run_time_to_mark(const run_state *of, mark next)
{
    if (of->moving.mode != MODE_FOLLOW || next.kind == MARK_NONE) {
        return HUGE_VAL;
    }
    const double sign = travel_sign(of->moving.sense);
    const double way = sign * (next.angle_rad - of->now.at[ANGLE]);
    const double speed = sign * of->now.at[SPEED];
    const double square = speed * speed + 2 * of->moving.reference.slope * way;
    return square > 0 ? 2 * way / (speed + sqrt(square)) : HUGE_VAL;
}
