/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs under torques that can be integrated by hand: constant, constant power, straight lines, Kloss, brakes. */
#include "running.h"

/* Constant torque from rest: the leaf lags behind a hasty reference, theta = M t2/(2 J). */
static void a_constant_torque_gives_a_constant_acceleration(void **state)
{
    (void)state;
    for (int gears = 0; gears < 2; gears++) {
        rig on;
        set_rig(&on);
        set_hurry(&on);
        set_torque(&on, 3e4);
        on.drive.ratio = gears ? 40.0 : 1.0;
        on.drive.efficiency = gears ? 0.8 : 1.0;
        on.motors.inertia_kg_m2 = gears ? 200.0 : 0.0;
        on.trunnion.drag_Nm = 5e3;
        on.travel.near_open_rad = 0.5;
        on.travel.full_open_rad = 1.2;
        trn_run run = rig_run(&on);
        const double force = 3e4 * on.drive.ratio * on.drive.efficiency - 5e3;
        const double inertia = 1e6 + on.motors.inertia_kg_m2 * on.drive.ratio * on.drive.ratio * on.drive.efficiency;
        const double gain = force / inertia;
        const trn_run_event near = event_of(&run, TRN_EVENT_NEAR_SWITCH, 0);
        assert_close(near.time_s, sqrt(2 * 0.5 / gain), 1e-10);
        assert_close(near.speed_rad_s, sqrt(2 * 0.5 * gain), 1e-10);
        assert_close(run.peak_motor_Nm, 3e4, 1e-12);
        assert_close(event_of(&run, TRN_EVENT_DRIVE_AT_LIMIT, 0).time_s + 1.0, 1.0, 1e-5);
        trn_run_free(&run);
    }
}

/* The leaf lags, the reference waits at full speed, and is met when M t/J is that speed. */
static void a_lagging_leaf_catches_up_when_its_speed_is_that_of_the_reference(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_torque(&on, 1.25e3);
    on.travel.near_open_rad = 1.2;
    on.travel.full_open_rad = 1.45;
    trn_run run = rig_run(&on);
    const double gain = 1.25e3 / 1e6;
    const double caught_s = 0.02 / gain;
    assert_close(event_of(&run, TRN_EVENT_CAUGHT_UP, 0).time_s, caught_s, 1e-10);
    assert_close(event_of(&run, TRN_EVENT_CAUGHT_UP, 0).angle_rad, gain * caught_s * caught_s / 2, 1e-10);
    assert_close(event_of(&run, TRN_EVENT_FULL_SPEED, 0).time_s, caught_s, 1e-10);
    const double near_s = caught_s + (1.2 - gain * caught_s * caught_s / 2) / 0.02;
    assert_close(event_of(&run, TRN_EVENT_NEAR_SWITCH, 0).time_s, near_s, 1e-10);
    /* It falls no faster than the same torque lets it: from full speed to creep at the same rate. */
    const double slow_s = 0.016 / gain;
    assert_close(event_of(&run, TRN_EVENT_CREEP, 0).time_s, near_s + slow_s, 1e-10);
    assert_close(run.lag_s, caught_s + slow_s, 1e-9);
    trn_run_free(&run);
}

/* The weight asks R cos(theta - 0.6) of the drive, most at 0.6; a drive that gives a hair less is at its limit for a
   moment, within a step or not, and one that gives a hair more never is. */
static void a_limit_that_is_only_grazed_is_found(void **state)
{
    (void)state;
    static const double lacks[] = {1e-3, 1e-5, 1e-7, -1e-7};
    for (int i = 0; i < 4; i++) {
        rig on;
        set_rig(&on);
        on.parts[0] = trn_default_part();
        on.parts[0].weight_N = 1e5;
        on.parts[0].at = (trn_point){2 * cos(0.6), -2 * sin(0.6)};
        on.setting.tolerance = 1e-10;
        set_torque(&on, 2e5 * (1 - lacks[i]));
        trn_run run = rig_run(&on);
        assert_int_equal(count_events(&run, TRN_EVENT_DRIVE_AT_LIMIT), lacks[i] > 0);
        if (lacks[i] > 0) {
            const double angle = event_of(&run, TRN_EVENT_DRIVE_AT_LIMIT, 0).angle_rad;
            assert_near(angle, 0.6 - acos(1 - lacks[i]), 1e-11);
        }
        trn_run_free(&run);
    }
}

/* Beyond rated speed the power is constant: J omega2/2 grows by P t, J omega3/3 by P theta. */
static void constant_power_beyond_rated_speed(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_hurry(&on);
    on.motors.speed_rad_s = 0.1;
    on.motors.power_W = 2e3;
    on.travel.near_open_rad = 0.9;
    on.travel.full_open_rad = 1.4;
    trn_run run = rig_run(&on);
    const double gain = 2e4 / 1e6;
    const double knee_s = 0.1 / gain;
    const double knee_rad = gain * knee_s * knee_s / 2;
    const trn_run_event near = event_of(&run, TRN_EVENT_NEAR_SWITCH, 0);
    const double cubed = 0.001 + 3 * 2e3 / 1e6 * (0.9 - knee_rad);
    assert_close(near.speed_rad_s, cbrt(cubed), 1e-9);
    assert_close(near.time_s, knee_s + 1e6 * (pow(cubed, 2.0 / 3.0) - 0.01) / (2 * 2e3), 1e-9);
    trn_run_free(&run);
}

/* A torque that falls on a straight line with speed (as in Dubey, Fundamentals of Electrical Drives, Ex. 2.2, where
   J = 10 kg m2 and T = 100 - 0.15 N): omega = omega0 (1 - exp(-t/tau)). */
static void a_torque_that_falls_with_speed_gives_an_exponential_approach(void **state)
{
    (void)state;
    for (int line = 0; line < 2; line++) {
        rig on;
        set_rig(&on);
        set_hurry(&on);
        set_wheel(&on, 1e7);
        const double per_turn = 1000.0; /* motor turns for each of the leaf, so that a long run is a small angle */
        on.drive.ratio = per_turn;
        const double idle = 100.0 / 0.15 * HALF_TURN / 30;
        on.knots[0] = (trn_torque_point){0, 100.0};
        on.knots[1] = (trn_torque_point){idle, 0.0};
        on.motors.law = TRN_TORQUE_TABLE;
        on.motors.table = on.knots;
        on.motors.table_count = 2;
        on.motors.control = line ? TRN_CONTROL_LINE : TRN_CONTROL_REFERENCE;
        const double tau = 10.0 * idle / 100.0;
        const double time = tau * log(20.0); /* to 95 per cent */
        const double run_rad = idle * (time - 0.95 * tau) / per_turn;
        on.travel.near_open_rad = run_rad;
        on.travel.full_open_rad = 1.4;
        trn_run run = rig_run(&on);
        const trn_run_event near = event_of(&run, TRN_EVENT_NEAR_SWITCH, 0);
        assert_close(near.speed_rad_s * per_turn, 0.95 * idle, 1e-9);
        assert_close(near.time_s, time, 1e-9);
        /* The published reversal, from -100 to 95 per cent, is longer by ln 2: 25.753 s. */
        assert_near(near.time_s + tau * log(2.0), 25.753, 0.0005);
        trn_run_free(&run);
    }
}

/* Kloss across the line, unloaded: J d omega/dt = 2 Tb/(s/sb + sb/s) is integrated over the slip.
   t = J omega_s/(2 Tb) ((1 - s2)/(2 sb) - sb ln s), and the angle likewise with (1 - s). */
static void an_induction_motor_runs_up_as_kloss_integrates(void **state)
{
    (void)state;
    for (double slip = 0.8; slip > 0.05; slip -= 0.1) {
        rig on;
        set_rig(&on);
        set_wheel(&on, 1e6);
        on.drive.ratio = 400.0;
        on.motors = (trn_motors){.installed = 2,
                                 .running = 2,
                                 .power_W = 6e3,
                                 .speed_rad_s = 96.0,
                                 .peak = 1.0,
                                 .law = TRN_TORQUE_INDUCTION,
                                 .synchronous_rad_s = 100.0,
                                 .breakdown = 2.6,
                                 .control = TRN_CONTROL_LINE};
        const double at_motor = 1e6 / (400.0 * 400.0);
        const double most = 2 * 2.6 * 6e3 / 96.0;
        const double sb = 0.04 * (2.6 + sqrt(2.6 * 2.6 - 1));
        const double scale = at_motor * 100.0 / (2 * most);
        const double time = scale * ((1 - slip * slip) / (2 * sb) - sb * log(slip));
        const double upper = 1.0 / 6.0 / sb - sb;
        const double lower = (slip * slip / 2 - slip * slip * slip / 3) / sb + sb * (log(slip) - slip);
        const double angle = scale * 100.0 * (upper - lower) / 400.0;
        assert_true(angle < 0.9);
        on.travel.near_open_rad = angle;
        on.travel.full_open_rad = 1.0;
        trn_run run = rig_run(&on);
        const trn_run_event near = event_of(&run, TRN_EVENT_NEAR_SWITCH, 0);
        assert_close(near.time_s, time, 1e-9);
        assert_close(near.speed_rad_s * 400.0, 100.0 * (1 - slip), 1e-9);
        trn_run_free(&run);
    }
}

/* A brake that rises on a straight line in its set time after its delay, worked by hand. */
static void a_brake_that_sets_stops_as_the_cubic_says(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, (trn_brake){"brake", 2, 500.0, 10.0, 0.4, 0.6, 0.0});
    set_upset(&on, TRN_UPSET_EMERGENCY_STOP, 0.7);
    trn_run run = rig_run(&on);
    const double rate = 1e4 / 1e6; /* deceleration of the whole brake */
    const double ramped = 0.02 - rate * 0.6 / 2;
    const double rest_s = 0.4 + 0.6 + ramped / rate;
    const double ramp_rad = 0.02 * 0.6 - rate * 0.6 * 0.6 / 6;
    const trn_run_event off = event_of(&run, TRN_EVENT_POWER_OFF, 0);
    const trn_run_event stopped = event_of(&run, TRN_EVENT_STOPPED, 0);
    assert_int_equal(run.end, TRN_END_STOPPED);
    assert_close(off.angle_rad, 0.7, 1e-13);
    assert_close(stopped.time_s - off.time_s, rest_s, 1e-10);
    assert_close(run.end_angle_rad - 0.7, 0.02 * 0.4 + ramp_rad + ramped * ramped / (2 * rate), 1e-9);
    assert_close(run.peak_deceleration_rad_s2, rate, 1e-10);
    assert_close(run.work.brakes_J, 1e6 * 0.02 * 0.02 / 2, 1e-9);
    assert_close(event_of(&run, TRN_EVENT_BRAKE_SET, 0).time_s - off.time_s, 1.0, 1e-10);
    assert_true(isinf(run.hold_factor));
    assert_true(trn_run_is_safe(&run));
    trn_run_free(&run);
}

/* The strongest brake out: half the torque, twice the time. */
static void a_brake_that_does_not_set_is_missing(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, (trn_brake){"brake", 2, 500.0, 10.0, 0.0, 1e-3, 0.0});
    trn_upset both[] = {{.kind = TRN_UPSET_POWER_LOST, .angle_rad = 0.7}, {.kind = TRN_UPSET_BRAKE_OUT}};
    on.setting.upsets = both;
    on.setting.upset_count = 2;
    trn_run run = rig_run(&on);
    const double rate = 5e3 / 1e6;
    /* A ramp of 1 ms: half of it is lost. */
    assert_close(event_of(&run, TRN_EVENT_STOPPED, 0).time_s - event_of(&run, TRN_EVENT_POWER_OFF, 0).time_s,
                 0.02 / rate + 0.5e-3, 1e-9);
    trn_run_free(&run);
}

/* A rack presses its leaf into the trunnion while it drives; with the power off it carries nothing. */
static void a_rack_without_power_adds_no_friction(void **state)
{
    (void)state;
    double run_on[2];
    double rubbed[2];
    for (int i = 0; i < 2; i++) {
        rig on;
        set_rig(&on);
        on.parts[0].at.x = 0.05;
        on.trunnion = (trn_journal){.diameter_m = 0.5, .friction = {0.2, 0.1}, .drag_Nm = 0};
        if (i == 1)
            on.drive.rack = (trn_rack){.radius_m = 0.4, .pinion_rad = -2.0, .pressure_angle_rad = 0.35};
        set_brake(&on, (trn_brake){"brake", 1, 1e6, 1.0, 0.5, 0.5, 0.0});
        set_upset(&on, TRN_UPSET_POWER_LOST, 0.7);
        trn_run run = rig_run(&on);
        run_on[i] = run.end_angle_rad - 0.7;
        rubbed[i] = run.work.friction_J;
        trn_run_free(&run);
    }
    assert_true(run_on[0] > 1e-4);
    assert_close(run_on[1], run_on[0], 1e-9);
    assert_true(fabs(rubbed[1] / rubbed[0] - 1) > 1e-3);
}

/* What breaks the leaf away, to the last hair: limit against load and starting friction. */
static void the_drive_breaks_the_leaf_away_where_its_limit_is_more_than_starting_friction(void **state)
{
    (void)state;
    for (int more = 0; more < 2; more++) {
        rig on;
        set_rig(&on);
        on.parts[0].at.x = 0.02;
        on.trunnion = (trn_journal){.diameter_m = 0.5, .friction = {0.2, 0.1}, .drag_Nm = 2e3};
        on.drive = (trn_drive){.kind = TRN_DRIVE_RATIO, .ratio = 100.0, .efficiency = 0.75};
        const double weight = on.parts[0].weight_N;
        const double needed = (weight * 0.02 + 0.2 * weight * 0.25 + 2e3) / (100.0 * 0.75);
        set_torque(&on, needed * (more ? 1 + 1e-7 : 1 - 1e-7));
        on.travel.full_open_rad = 1.45;
        set_brake(&on, (trn_brake){"brake", 1, 5e6, 1.0, 0.1, 0.1, 0.0});
        trn_run run = rig_run(&on);
        if (more) {
            assert_int_equal(count_events(&run, TRN_EVENT_BROKE_AWAY), 1);
            assert_close(run.break_away_Nm, needed, 1e-9);
        } else {
            assert_int_equal(count_events(&run, TRN_EVENT_BROKE_AWAY), 0);
            assert_int_equal(run.end, TRN_END_STALLED);
            assert_true(run.end_angle_rad == 0 && run.end_time_s == 0);
            assert_false(trn_run_is_safe(&run));
        }
        trn_run_free(&run);
    }
}

/* A motor out halves what there is; the leaf slows down by what is missing. */
static void a_motor_out_slows_a_leaf_that_needs_both(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    on.trunnion.drag_Nm = 1.5e4;
    on.motors.installed = on.motors.running = 2;
    set_torque(&on, 1e4);
    set_upset(&on, TRN_UPSET_MOTOR_OUT, 0.7);
    trn_run run = rig_run(&on);
    /* 10 kN m are left against 15: 5 kN m slow down, to a standstill after J omega2/2 = 5 kN m times the way. */
    assert_int_equal(run.end, TRN_END_STALLED);
    assert_close(run.end_angle_rad, 0.7 + 1e6 * 0.02 * 0.02 / 2 / 5e3, 1e-9);
    assert_close(run.end_time_s - event_of(&run, TRN_EVENT_UPSET, 0).time_s, 0.02 * 1e6 / 5e3, 1e-9);
    trn_run_free(&run);
}

/* The near switch ends a step at 0.7 of the gust: halfway of it, and at its end, the motors still suffice. */
static void a_peak_between_two_looks_is_not_overlooked(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    const double near_s = 8.0 + (1.3 - 0.08) / 0.02;
    set_deck(&on);
    const trn_wind_action of_one_Pa =
        trn_wind_on_surfaces(&on.surface, 1, &on.load_case.wind, trn_rotation_by(1.3 - 0.2 * 0.02));
    const trn_gust gust = {.rise_Pa = 1e4 / 0.82 / fabs(of_one_Pa.moment_Nm), .lasts_s = 1.0, .start_s = near_s - 0.7};
    set_torque(&on, 1e4);
    on.setting.gust = &gust;
    trn_run fine = rig_run(&on);
    on.setting.tolerance = 1e-3;
    trn_run coarse = rig_run(&on);
    const double met_s = event_of(&fine, TRN_EVENT_DRIVE_AT_LIMIT, 0).time_s;
    assert_near(event_of(&coarse, TRN_EVENT_DRIVE_AT_LIMIT, 0).time_s, met_s, 1e-6);
    /* sin2(pi t) = 0.82 */
    assert_near(met_s - gust.start_s, asin(sqrt(0.82)) / 3.14159265358979323846, 2e-3);
    trn_run_free(&fine);
    trn_run_free(&coarse);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_constant_torque_gives_a_constant_acceleration),
        cmocka_unit_test(a_lagging_leaf_catches_up_when_its_speed_is_that_of_the_reference),
        cmocka_unit_test(a_limit_that_is_only_grazed_is_found),
        cmocka_unit_test(constant_power_beyond_rated_speed),
        cmocka_unit_test(a_torque_that_falls_with_speed_gives_an_exponential_approach),
        cmocka_unit_test(an_induction_motor_runs_up_as_kloss_integrates),
        cmocka_unit_test(a_brake_that_sets_stops_as_the_cubic_says),
        cmocka_unit_test(a_brake_that_does_not_set_is_missing),
        cmocka_unit_test(a_rack_without_power_adds_no_friction),
        cmocka_unit_test(the_drive_breaks_the_leaf_away_where_its_limit_is_more_than_starting_friction),
        cmocka_unit_test(a_motor_out_slows_a_leaf_that_needs_both),
        cmocka_unit_test(a_peak_between_two_looks_is_not_overlooked),
    };
    return cmocka_run_group_tests_name("run torque", tests, NULL, NULL);
}
