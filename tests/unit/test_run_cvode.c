/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole openings and closings of random leaves, held against SUNDIALS CVODE:
 * the equation of motion written once more (oracle_leaf.h, oracle_motion.h) and
 * followed from event to event by its root finding (oracle_run.h).
 */
#include "leaf_count.h"
#include "oracle_run.h"
#include "random_run.h"
#include "running.h"

/* How far apart the two may be, relative to the size of the thing. */
static const double enough = 1e-6;

/* Of one kind, in order: events at one moment may be told in either order. */
static const trn_run_event *oracle_nth(const oracle_run *by, trn_event_kind kind, size_t number)
{
    for (size_t i = 0; i < by->event_count; i++)
        if (by->events[i].kind == kind && number-- == 0)
            return &by->events[i];
    return NULL;
}

static void print_both(const random_run *made, const trn_run *run, const oracle_run *by)
{
    print_error("%s, %s\n", plot_words(made->shows), made->setting.direction == TRN_OPENING ? "opening" : "closing");
    for (size_t i = 0; i < run->event_count || i < by->event_count; i++) {
        const trn_run_event a = i < run->event_count ? run->events[i] : (trn_run_event){0};
        const trn_run_event b = i < by->event_count ? by->events[i] : (trn_run_event){0};
        print_error("%12.7f s %12.8f deg %-20s | %12.7f s %12.8f deg %s\n", a.time_s, a.angle_rad / DEGREE,
                    trn_event_words(a.kind), b.time_s, b.angle_rad / DEGREE, trn_event_words(b.kind));
    }
}

/* The largest difference that was seen, to be told. */
static double worst_event;
static double worst_work;

static bool agree(double got, double want, double size, double *worst)
{
    const double share = fabs(got - want) / size;
    *worst = fmax(*worst, share);
    return share <= enough;
}

static bool same_event(const trn_run_event *got, const trn_run_event *want, const random_run *made)
{
    return agree(got->time_s, want->time_s, fmax(want->time_s, 1.0), &worst_event) &&
           agree(got->angle_rad, want->angle_rad, made->leaf.opens_to_rad, &worst_event) &&
           agree(got->speed_rad_s, want->speed_rad_s, fmax(fabs(want->speed_rad_s), made->travel.speed_rad_s),
                 &worst_event) &&
           got->which == want->which;
}

static bool same_events(const random_run *made, const trn_run *run, const oracle_run *by)
{
    bool good = run->event_count == by->event_count;
    size_t seen[TRN_EVENT_LEFT_TRAVEL + 1] = {0};
    for (size_t i = 0; good && i < run->event_count; i++) {
        const trn_event_kind kind = run->events[i].kind;
        const trn_run_event *want = oracle_nth(by, kind, seen[kind]++);
        good = want != NULL && same_event(&run->events[i], want, made);
        if (!good)
            print_error("differs in %s\n", trn_event_words(kind));
    }
    return good;
}

static bool same_works(const trn_run *run, const oracle_run *by)
{
    const oracle_leaf *of = &by->in.of;
    const double start = of->travel_sign > 0 ? 0.0 : of->leaf->opens_to_rad;
    const double rise =
        of->a_Nm * (sin(by->at[AT_ANGLE]) - sin(start)) + of->b_Nm * (cos(by->at[AT_ANGLE]) - cos(start));
    const double inertia = of->leaf_inertia + of->rotor_inertia * of->ratio * of->ratio;
    const double moves = by->in.mode == ORACLE_RESTS ? 0.0 : inertia * by->at[AT_SPEED] * by->at[AT_SPEED] / 2;
    const trn_run_work *got = &run->work;
    const double pairs[][2] = {{got->motors_J, by->at[AT_MOTORS]},
                               {got->driving_J, by->at[AT_DRIVING]},
                               {got->potential_J, rise},
                               {got->kinetic_J, moves},
                               {got->friction_J, by->at[AT_FRICTION]},
                               {got->gears_J, by->at[AT_GEARS]},
                               {got->brakes_J, by->at[AT_BRAKES]},
                               {got->wind_J, by->at[AT_WIND]},
                               {got->seat_J, by->at[AT_SEAT]}};
    double largest = 0;
    for (size_t i = 0; i < COUNT(pairs); i++)
        largest = fmax(largest, fabs(pairs[i][1]));
    for (size_t i = 0; largest > 0 && i < COUNT(pairs); i++) {
        if (!agree(pairs[i][0], pairs[i][1], largest, &worst_work)) {
            print_error("work %zu of motors, driving, potential, kinetic, friction, gears, brakes, wind, seat: "
                        "%.12g J, want %.12g J\n",
                        i, pairs[i][0], pairs[i][1]);
            return false;
        }
    }
    return true;
}

typedef struct figure {
    const char *words;
    double got;
    double want;
    double size; /* 0: its own */
    double within;
} figure;

static bool same_figures(const random_run *made, const trn_run *run, const oracle_run *by)
{
    const double powered = fmin(by->power_off_s, by->time_s);
    const bool line = made->motors.control == TRN_CONTROL_LINE;
    const figure figures[] = {
        {"switch time", run->time_s, by->switch_time_s, 1.0, enough},
        {"switch speed", run->switch_speed_rad_s, by->switch_speed_rad_s, made->travel.speed_rad_s, enough},
        {"end angle", run->end_angle_rad, by->at[AT_ANGLE], made->leaf.opens_to_rad, enough},
        {"break-away torque", run->break_away_Nm, by->break_away_Nm, 0, enough},
        /* Peaks are looked for between steps by both. */
        {"peak torque", run->peak_motor_Nm, by->peak_motor_Nm, 0, 1e-5},
        {"root mean square torque", run->rms_motor_Nm,
         powered > 0 ? sqrt(by->at[AT_SQUARES] / powered) : run->rms_motor_Nm, 0, enough},
        {"peak deceleration", run->peak_deceleration_rad_s2, by->peak_deceleration, made->travel.speed_rad_s, 1e-5},
        {"lag", run->lag_s, line ? run->lag_s : by->lag_s, 1.0, enough},
        {"seating speed", run->seat.speed_rad_s, by->seat.speed_rad_s, made->travel.speed_rad_s, enough},
        {"seating energy", run->seat.energy_J, by->seat.energy_J, 1.0, enough},
        {"toe force", run->seat.toe_force_N, by->toe_force_N, 1.0, 1e-3},
        {"buffer force", run->seat.buffer_force_N, by->buffer_force_N, 1.0, 1e-3},
    };
    for (size_t i = 0; i < COUNT(figures); i++) {
        const figure *one = &figures[i];
        if (!is_close(one->got, one->want, one->within, one->size)) {
            print_error("%s: got %.12g, want %.12g\n", one->words, one->got, one->want);
            return false;
        }
    }
    return run->end == by->end && run->seat.seated == by->seat.seated && run->reached_switch == by->in.passed_full;
}

/* One leaf, opening and closing. */
static size_t unlike(uint64_t number)
{
    static random_run made;
    static oracle_run by;
    size_t unlike = 0;
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        make_random_run(&made, number, (trn_direction)direction);
        made.setting.tolerance = 1e-11;
        trn_run run = run_of(&made.leaf, &made.setting);
        oracle_make_run(&by, &made.leaf, &made.setting, 1e-11, 8);
        if (!same_events(&made, &run, &by) || !same_works(&run, &by) || !same_figures(&made, &run, &by)) {
            print_error("leaf %d: ends as %d, the oracle as %d\n", (int)number, (int)run.end, (int)by.end);
            print_both(&made, &run, &by);
            unlike++;
        }
        oracle_free(&by);
        trn_run_free(&run);
    }
    return unlike;
}

static void runs_of_random_leaves_agree_with_an_independent_integrator(void **state)
{
    (void)state;
    const uint64_t leaves = leaf_count(60);
    size_t wrong = 0;
    for (uint64_t number = 0; number < leaves; number++)
        wrong += unlike(number);
    print_message("# %d leaves: events and angles within %.1e, works within %.1e\n", (int)leaves, worst_event,
                  worst_work);
    assert_int_equal(wrong, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(runs_of_random_leaves_agree_with_an_independent_integrator),
    };
    return cmocka_run_group_tests_name("run against CVODE", tests, NULL, NULL);
}
