/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cycle_words.h"

#include <math.h>
#include <string.h>

#include "angles.h"

const char *const direction_words[DIRECTIONS] = {[TRN_OPENING] = "opening", [TRN_CLOSING] = "closing"};

const char *end_name(trn_run_end end)
{
    static const char *const names[] = {
        [TRN_END_ARRIVED] = "arrived", [TRN_END_STOPPED] = "stopped", [TRN_END_STALLED] = "stalled",
        [TRN_END_SEATED] = "seated",   [TRN_END_LEFT] = "left",       [TRN_END_MOVING] = "moving",
    };
    return names[end];
}

bool run_rests(const trn_run *run)
{
    return run->end != TRN_END_LEFT && run->end != TRN_END_MOVING;
}

bool has_factor(const trn_run *run)
{
    return run_rests(run) && isfinite(run->hold_factor);
}

double rest_s(const trn_run *run)
{
    double since_s = run->end_time_s;
    for (size_t i = 0; i < run->event_count && run_rests(run); i++) {
        const trn_event_kind kind = run->events[i].kind;
        if (kind == TRN_EVENT_STOPPED || kind == TRN_EVENT_STALLED || kind == TRN_EVENT_SEATED) {
            since_s = run->events[i].time_s;
        }
    }
    return since_s;
}

double ready_s(const trn_run *run)
{
    double since_s = rest_s(run);
    for (size_t i = 0; i < run->event_count && run_rests(run); i++) {
        if (run->events[i].kind == TRN_EVENT_BRAKE_SET) {
            since_s = fmax(since_s, run->events[i].time_s);
        }
    }
    return since_s;
}

/* Where an arrived leaf came to rest: a closing leaf rests on its shoes or short of them. */
static const char *arrival(const trn_run *run, trn_direction direction)
{
    if (direction == TRN_OPENING) {
        return "came to rest";
    }
    return run->seat.seated ? "came to rest on its shoes," : "came to rest short of its shoes,";
}

/* Behind a text what no leaf should do, in the words of sentences and rows alike: ", RAN BACK by ...". */
static void add_mishaps(const cycle *of, const trn_run *run, char text[RUN_WORDS])
{
    char number[DISPLAY_TEXT];
    const bool past = run_rests(run) && run->past_end_rad > TRN_RUN_PAST_END_MAX;
    size_t so_far = strlen(text);
    if (run->ran_back_rad > TRN_RUN_BACK_MAX) {
        (void)snprintf(text + so_far, RUN_WORDS - so_far, ", RAN BACK by %.2f°", degrees_of(run->ran_back_rad));
        so_far = strlen(text);
    }
    if (past) {
        (void)snprintf(text + so_far, RUN_WORDS - so_far, ", RAN PAST its travel by %.2f°",
                       degrees_of(run->past_end_rad));
        so_far = strlen(text);
    }
    if (!trn_run_seats_gently(run, of->leaf->travel)) {
        (void)snprintf(text + so_far, RUN_WORDS - so_far, ", LANDED HARD at %s %s",
                       display_text(&of->shown, QUANTITY_TOE_SPEED, run->seat.toe_speed_m_s, number),
                       of->shown.of[QUANTITY_TOE_SPEED].unit);
    }
}

static void put_end_words(const trn_run *run, double since_s, trn_direction direction, char text[RUN_WORDS])
{
    const double exact_deg = degrees_of(run->end_angle_rad);
    const double angle_deg = fabs(exact_deg) < 0.005 ? 0 : exact_deg;
    const char *full = direction == TRN_OPENING ? "full-open" : "full-closed";
    switch (run->end) {
    case TRN_END_ARRIVED:
        (void)snprintf(text, RUN_WORDS, "passed its %s switch after %.2f s and %s at %.2f degree after %.2f s", full,
                       run->time_s, arrival(run, direction), angle_deg, since_s);
        break;
    case TRN_END_STOPPED:
        (void)snprintf(text, RUN_WORDS,
                       "came to rest at %.2f degree after %.2f s, the power off, short of its %s switch", angle_deg,
                       since_s, full);
        break;
    case TRN_END_STALLED:
        (void)snprintf(text, RUN_WORDS,
                       "stands still at %.2f degree since %.2f s, the power on: all that the drive gives does not "
                       "move it",
                       angle_deg, since_s);
        break;
    case TRN_END_SEATED:
        (void)snprintf(text, RUN_WORDS, "ran back and came down on its shoes, at rest after %.2f s", since_s);
        break;
    case TRN_END_LEFT:
        (void)snprintf(text, RUN_WORDS,
                       "ran past the end of its travel at %.2f degree after %.2f s, still at %.3f degree/s: nothing "
                       "described stops it there",
                       angle_deg, run->end_time_s, fabs(degrees_of(run->end_speed_rad_s)));
        break;
    default:
        (void)snprintf(
            text, RUN_WORDS,
            "had found no rest when its computation was given up after %.2f s, at %.2f degree with %.3f degree/s",
            run->end_time_s, angle_deg, fabs(degrees_of(run->end_speed_rad_s)));
        break;
    }
}

const char *end_words(const cycle *of, const trn_run *run, double since_s, trn_direction direction,
                      char text[RUN_WORDS])
{
    put_end_words(run, since_s, direction, text);
    add_mishaps(of, run, text);
    return text;
}

/* Why a leaf rests that is not held. */
static const char *rest_by(const cycle *of, const trn_run *run)
{
    return wind_changes(of)            ? "by friction, or in less wind"
           : run->hold_capacity_Nm > 0 ? "with the help of friction"
                                       : "by friction only";
}

/* Capacity and demand at the leaf, and the wind that the demand is reckoned in. */
static void add_holding(const cycle *of, const trn_run *run, char text[RUN_WORDS])
{
    const size_t length = strlen(text);
    char capacity[DISPLAY_TEXT];
    char demand[DISPLAY_TEXT];
    char wind[DISPLAY_TEXT];
    char factor[DISPLAY_TEXT];
    (void)snprintf(
        text + length, RUN_WORDS - length, ": %s against %s %s, %s times, in a wind of %s %s%s, no friction credited",
        display_text(&of->shown, QUANTITY_MOMENT, run->hold_capacity_Nm, capacity),
        display_text(&of->shown, QUANTITY_MOMENT, run->hold_demand_Nm, demand), of->shown.of[QUANTITY_MOMENT].unit,
        factor_words(run->hold_factor, factor), display_text(&of->shown, QUANTITY_PRESSURE, run->hold_wind_Pa, wind),
        of->shown.of[QUANTITY_PRESSURE].unit, wind_changes(of) ? ", the strongest of the run" : "");
}

const char *hold_words(const cycle *of, const trn_run *run, char text[RUN_WORDS])
{
    const bool power_on = run->end == TRN_END_STALLED;
    const bool holds = run->hold_factor >= 1;
    if (!run_rests(run)) {
        (void)snprintf(text, RUN_WORDS, "it does not come to rest");
    } else if (!isfinite(run->hold_factor)) {
        (void)snprintf(text, RUN_WORDS, "nothing needs to be held there");
    } else {
        (void)snprintf(text, RUN_WORDS, "%s %s %s", power_on ? "with the power off," : "there",
                       of->by_cylinders ? "brakes and shut valves" : "the brakes",
                       holds ? (power_on ? "would hold" : "hold") : (power_on ? "would NOT hold" : "do NOT hold"));
        add_holding(of, run, text);
        const size_t length = strlen(text);
        (void)snprintf(text + length, RUN_WORDS - length, "%s%s", holds || power_on ? "" : "; it rests ",
                       holds || power_on ? "" : rest_by(of, run));
    }
    return text;
}

const char *creep_words(const cycle *of, const trn_run *run, char text[RUN_WORDS])
{
    char number[DISPLAY_TEXT];
    text[0] = '\0';
    if (run->reached_switch && !run->at_creep) {
        (void)snprintf(text, RUN_WORDS, "It was NOT down to creep at the full switch, but at %s %s%s",
                       display_text(&of->shown, QUANTITY_ANGULAR_SPEED, run->switch_speed_rad_s, number),
                       of->shown.of[QUANTITY_ANGULAR_SPEED].unit,
                       run_by_curve(of) ? ": motors across the line obey no near switch, and have no creep" : "");
    }
    return text;
}

const char *short_verdict(const cycle *of, const trn_run *run, char text[RUN_WORDS])
{
    static const char *const words[] = {
        [TRN_END_ARRIVED] = "arrives", [TRN_END_STOPPED] = "rests",
        [TRN_END_STALLED] = "stalls",  [TRN_END_SEATED] = "runs back onto its shoes",
        [TRN_END_LEFT] = "RUNS PAST",  [TRN_END_MOVING] = "NO REST FOUND",
    };
    const bool rests = run->end == TRN_END_ARRIVED || run->end == TRN_END_STOPPED || run->end == TRN_END_SEATED;
    const bool not_held = rests && run->hold_factor < 1;
    (void)snprintf(text, RUN_WORDS, not_held ? "rests %s, NOT HELD" : "%s",
                   not_held ? rest_by(of, run) : words[run->end]);
    add_mishaps(of, run, text);
    return text;
}

const char *factor_words(double factor, char text[DISPLAY_TEXT])
{
    (void)snprintf(text, DISPLAY_TEXT, isfinite(factor) ? factor < 100 ? "%.2f" : "over 100" : "none needed", factor);
    return text;
}

const char *event_subject(const cycle *of, trn_direction direction, const trn_run_event *event)
{
    if (event->kind == TRN_EVENT_BRAKE_SET) {
        return of->leaf->brakes[event->which].name;
    }
    return event->kind == TRN_EVENT_UPSET ? of->asked->faults[of->of[direction].fault_of[event->which]] : NULL;
}

/* What a torque, a speed or an energy was at an event. */
static const char *with_number(const cycle *of, const char *before, quantity what, double value, const char *after,
                               char text[RUN_WORDS])
{
    char number[DISPLAY_TEXT];
    (void)snprintf(text, RUN_WORDS, "%s%s %s%s", before, display_text(&of->shown, what, value, number),
                   of->shown.of[what].unit, after);
    return text;
}

bool run_by_curve(const cycle *of)
{
    return !of->by_cylinders && of->leaf->motors->control == TRN_CONTROL_LINE;
}

/* What a near switch does: nothing to a leaf whose power is off, nor to one that slows down already. */
static const char *near_switch_words(const cycle *of, trn_direction direction, const trn_run_event *event)
{
    const cycle_direction *one = &of->of[direction];
    for (size_t i = 0; i < one->run.event_count && one->run.events[i].time_s < event->time_s; i++) {
        const trn_run_event *before = &one->run.events[i];
        if (before->kind == TRN_EVENT_POWER_OFF) {
            return "does nothing: the power is off";
        }
        if (before->kind == TRN_EVENT_UPSET && one->upsets[before->which].kind == TRN_UPSET_PEDAL_RELEASED) {
            return "does nothing: it slows down to rest already";
        }
    }
    return run_by_curve(of) ? "the motors run on by their own curve" : "slows down from here to creep";
}

const char *event_detail(const cycle *of, trn_direction direction, const trn_run_event *event, char text[RUN_WORDS])
{
    const trn_run *run = &of->of[direction].run;
    const char *subject = event_subject(of, direction, event);
    if (subject != NULL) {
        return subject;
    }
    switch (event->kind) {
    case TRN_EVENT_BROKE_AWAY:
        return of->by_cylinders ? ""
               : run->break_away_Nm < 0
                   ? with_number(of, "pushed off; held back with ", QUANTITY_TORQUE, -run->break_away_Nm, " each", text)
                   : with_number(of, "", QUANTITY_TORQUE, run->break_away_Nm, " from each motor", text);
    case TRN_EVENT_DRIVE_AT_LIMIT:
        return "the load asks more: the leaf falls behind its speed";
    case TRN_EVENT_CAUGHT_UP:
        return "the leaf follows its reference again";
    case TRN_EVENT_NEAR_SWITCH:
        return near_switch_words(of, direction, event);
    case TRN_EVENT_POWER_OFF:
        return of->leaf->brake_count > 0 ? "the brakes trip"
               : of->by_cylinders        ? "the valves shut"
                                         : "there are no brakes";
    case TRN_EVENT_STALLED:
        return "all that the drive gives does not move it";
    case TRN_EVENT_RAN_BACK:
        return "it moves against its direction of travel";
    case TRN_EVENT_BUFFER_MET:
    case TRN_EVENT_SEATED:
        return with_number(of, "the toe at ", QUANTITY_TOE_SPEED, fabs(event->speed_rad_s) * of->leaf->toe_m, "", text);
    case TRN_EVENT_LEFT_TRAVEL:
        return "nothing described stops it there";
    default:
        return "";
    }
}
