/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Random leaves, from sane ones to such as nobody builds: every run ends with a
 * status or a stated end, in numbers that are numbers, after a bounded count of
 * steps.
 */
#include "../../lib/mechanics/stepper.h"
#include "absurd_machine.h"
#include "leaf_count.h"
#include "running.h"

/* A second where a step is dear; a sane leaf takes half of it at most. */
enum { STEPS_ENOUGH = 41000, EVENTS_ENOUGH = 10000 };

/* The linker puts this in the stepper's place (see Makefile). */
static size_t steps;
static jmp_buf endless;

stepper_step __real_stepper_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                                 const stepper_state *start_rates, double length);
stepper_step __wrap_stepper_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                                 const stepper_state *start_rates, double length);

stepper_step __wrap_stepper_take(stepper_rates rates, const void *context, double time, const stepper_state *start,
                                 const stepper_state *start_rates, double length)
{
    if (++steps > 100 * STEPS_ENOUGH)
        longjmp(endless, 1);
    return __real_stepper_take(rates, context, time, start, start_rates, length);
}

static bool numbers_are_numbers(const trn_run *run)
{
    const trn_run_work *work = &run->work;
    const trn_seat *seat = &run->seat;
    const double numbers[] = {run->time_s,
                              run->switch_speed_rad_s,
                              run->end_time_s,
                              run->end_angle_rad,
                              run->end_speed_rad_s,
                              run->peak_motor_Nm,
                              run->break_away_Nm,
                              run->rms_motor_Nm,
                              run->peak_pressure_Pa,
                              run->peak_deceleration_rad_s2,
                              run->lag_s,
                              work->motors_J,
                              work->driving_J,
                              work->potential_J,
                              work->kinetic_J,
                              work->friction_J,
                              work->gears_J,
                              work->brakes_J,
                              work->wind_J,
                              work->seat_J,
                              seat->speed_rad_s,
                              seat->toe_speed_m_s,
                              seat->energy_J,
                              seat->toe_force_N,
                              seat->buffer_force_N};
    for (size_t i = 0; i < COUNT(numbers); i++) {
        if (!isfinite(numbers[i])) {
            print_error("number %zu is %g\n", i, numbers[i]);
            return false;
        }
    }
    return !isnan(run->hold_factor) && run->hold_factor >= 0;
}

static bool events_in_order(const trn_run *run)
{
    double before = 0;
    for (size_t i = 0; i < run->event_count; i++) {
        const trn_run_event *one = &run->events[i];
        if (!(one->time_s >= before) || !isfinite(one->angle_rad) || !isfinite(one->speed_rad_s)) {
            print_error("event %zu, %s, at %g s after %g s\n", i, trn_event_words(one->kind), one->time_s, before);
            return false;
        }
        before = one->time_s;
    }
    return run->event_count > 0 && run->event_count <= EVENTS_ENOUGH && before <= run->end_time_s;
}

/* A failed run leaves what it should have filled alone, and says why. */
static bool refused_properly(const trn_run *run, const trn_error *error, trn_status status, size_t level)
{
    static const trn_run untouched;
    const bool stuck = status == TRN_DEAD_POINT || status == TRN_LOCKED;
    return memcmp(run, &untouched, sizeof untouched) == 0 && error->status == status && strlen(error->text) > 10 &&
           (stuck || (status == TRN_OUT_OF_DOMAIN && level > 0));
}

typedef struct tally {
    size_t ends[TRN_END_MOVING + 1];
    size_t refused;
    size_t wrong;
    size_t most_steps;
} tally;

static void try_run(const random_machine *made, size_t level, uint64_t number, tally *of)
{
    trn_run run;
    memset(&run, 0, sizeof run);
    trn_error error = {.status = TRN_OK};
    steps = 0;
    if (setjmp(endless) != 0) {
        print_error("leaf %d, absurdity %zu: a run that does not end\n", (int)number, level);
        of->wrong++;
        return;
    }
    const trn_status status = trn_leaf_run(&made->base.leaf, &made->base.setting, &run, &error);
    bool good = steps <= STEPS_ENOUGH;
    if (status == TRN_OK) {
        good = numbers_are_numbers(&run) && events_in_order(&run) && good && run.end <= TRN_END_MOVING;
        good = good && (level > 0 || run.end != TRN_END_MOVING);
        of->ends[run.end]++;
    } else {
        good = refused_properly(&run, &error, status, level) && good;
        of->refused++;
    }
    of->most_steps = steps > of->most_steps ? steps : of->most_steps;
    if (!good) {
        print_error("leaf %d %s, absurdity %zu: %s: status %d, end %d after %g s, %zu steps, %zu events %s\n",
                    (int)number, made->base.setting.direction == TRN_OPENING ? "opening" : "closing", level,
                    plot_words(made->base.shows), (int)status, (int)run.end, run.end_time_s, steps, run.event_count,
                    status == TRN_OK ? "" : error.text);
        of->wrong++;
    }
    trn_run_free(&run);
}

static void every_run_ends_in_numbers_and_in_time(void **state)
{
    (void)state;
    static random_machine made;
    const uint64_t leaves = leaf_count(500);
    tally of = {.wrong = 0};
    for (uint64_t number = 0; number < leaves; number++) {
        for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
            const size_t level = make_absurd_machine(&made, number, (trn_direction)direction);
            try_run(&made, level, number, &of);
        }
    }
    print_message(
        "# %d leaves: %zu arrived, %zu stopped, %zu stalled, %zu seated, %zu left, %zu still moving, %zu refused; "
        "at most %zu steps\n",
        (int)leaves, of.ends[0], of.ends[1], of.ends[2], of.ends[3], of.ends[4], of.ends[5], of.refused, of.most_steps);
    assert_int_equal(of.wrong, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_run_ends_in_numbers_and_in_time),
    };
    return cmocka_run_group_tests_name("absurd runs", tests, NULL, NULL);
}
