/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "checks.h"
#include "require.h"
#include "trunnion/run.h"

/* More events than any run has that is not caught in a circle. */
#define EVENTS_MAX ((size_t)2000)

static void check_finite(const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        REQUIRE(isfinite(numbers[i]));
    }
}

static void check_run(const trn_run *run)
{
    const trn_run_work *work = &run->work;
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
                              run->seat.speed_rad_s,
                              run->seat.toe_speed_m_s,
                              run->seat.energy_J,
                              run->seat.toe_force_N,
                              run->seat.buffer_force_N};
    check_finite(numbers, sizeof numbers / sizeof numbers[0]);
    REQUIRE(run->hold_factor >= 0);
    REQUIRE(run->event_count > 0 && run->event_count < EVENTS_MAX);
    for (size_t i = 1; i < run->event_count; i++) {
        REQUIRE(run->events[i].time_s >= run->events[i - 1].time_s);
    }
    const bool moves = run->end == TRN_END_LEFT || run->end == TRN_END_MOVING;
    REQUIRE(moves || !(fabs(run->end_speed_rad_s) > 0));
}

void check_runs_with(const trn_leaf *leaf, trn_run_setting setting)
{
    trn_run run;
    trn_error error;
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        setting.direction = (trn_direction)direction;
        const trn_status status = trn_leaf_run(leaf, &setting, &run, &error);
        if (status != TRN_OK) {
            REQUIRE(error.status == status);
            check_message(error.text, sizeof error.text);
            return;
        }
        check_run(&run);
        trn_run_free(&run);
    }
}

void check_runs(const trn_leaf *leaf)
{
    if (leaf->travel == NULL || leaf->drive == NULL) {
        return;
    }
    trn_run_setting setting = trn_default_run_setting(leaf);
    setting.tolerance = 1e-6;
    check_runs_with(leaf, setting);
    /* One upset of each leaf, so that many leaves are tried; which one hangs on the leaf. */
    const size_t kinds = TRN_UPSET_GUST + 1;
    const size_t kind = (leaf->part_count + leaf->surface_count + leaf->case_count + leaf->brake_count) % kinds;
    const trn_upset upset = {.kind = (trn_upset_kind)kind,
                             .angle_rad = 0.6 * leaf->opens_to_rad,
                             .gust = {.by_speed = true, .rise_m_s = 25, .lasts_s = 10}};
    setting.upsets = &upset;
    setting.upset_count = 1;
    check_runs_with(leaf, setting);
}
