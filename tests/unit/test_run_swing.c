/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A leaf without power, brakes and friction is a physical pendulum: elliptic integrals say when it is where. */
#include <gsl/gsl_sf_ellint.h>

#include "running.h"

/* A uniform bar that hangs straight down when the leaf is open by hangs_at; from closed it is let go at once. */
static void set_bar(rig *on, double length, double hangs_at)
{
    set_rig(on);
    const double down = -QUARTER_TURN - hangs_at;
    on->parts[0] = trn_default_part();
    on->parts[0].shape = TRN_SHAPE_BAR;
    on->parts[0].weight_N = 3e5;
    on->parts[0].to = (trn_point){length * cos(down), length * sin(down)};
    on->leaf.opens_to_rad = 120 * DEGREE;
    set_upset(on, TRN_UPSET_POWER_LOST, 0.0);
}

/* Time from rest at the amplitude to an angle before the lowest place, for a pendulum of an equivalent length:
   sin(theta/2) = k sin(phi), t = sqrt(l/g) (K(k) - F(phi, k)). */
static double swing_time(double length, double amplitude, double before)
{
    const double k = sin(amplitude / 2);
    const double phi = asin(fmin(sin(before / 2) / k, 1.0));
    return sqrt(length / GRAVITY) *
           (gsl_sf_ellint_Kcomp(k, GSL_PREC_DOUBLE) - gsl_sf_ellint_F(phi, k, GSL_PREC_DOUBLE));
}

/* omega2 = 2 g/l (cos before - cos amplitude). */
static double swing_speed(double length, double amplitude, double before)
{
    return sqrt(2 * GRAVITY / length * (cos(before) - cos(amplitude)));
}

/* checks.md 2.37: from level and at rest to upright, t = K(sin 45) sqrt(2 L/(3 g)); worked for L = 1 m and g = 9.81. */
static void a_hinged_bar_falls_from_level_to_upright_in_the_time_of_the_closed_form(void **state)
{
    (void)state;
    rig on;
    set_bar(&on, 9.80665 / 9.81, 90 * DEGREE);
    on.travel.near_open_rad = 45 * DEGREE;
    on.travel.full_open_rad = 90 * DEGREE;
    trn_run run = rig_run(&on);
    const trn_run_event upright = event_of(&run, TRN_EVENT_FULL_SWITCH, 0);
    assert_close(upright.time_s, 0.48333371359331, 1e-10);
    assert_close(upright.speed_rad_s, sqrt(3 * 9.81), 1e-10);
    assert_close(upright.angle_rad, 90 * DEGREE, 1e-13);
    const trn_run_event halfway = event_of(&run, TRN_EVENT_NEAR_SWITCH, 0);
    assert_close(halfway.time_s, swing_time(2.0 / 3.0 * 9.80665 / 9.81, 90 * DEGREE, 45 * DEGREE), 1e-10);
    assert_close(halfway.speed_rad_s, sqrt(3 * 9.81 * sin(45 * DEGREE)), 1e-10);
    trn_run_free(&run);
}

/* The same when the leaf drops from the upright: closing from 90 degrees, given the speed of its reference. */
static void a_closing_leaf_that_loses_power_falls_as_a_pendulum_with_speed(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    const double length = 15.0;
    on.parts[0] = trn_default_part();
    on.parts[0].shape = TRN_SHAPE_BAR;
    on.parts[0].weight_N = 3e5;
    on.parts[0].to.x = length;
    on.leaf.opens_to_rad = 85 * DEGREE;
    on.travel.near_open_rad = 75 * DEGREE;
    on.setting.direction = TRN_CLOSING;
    set_upset(&on, TRN_UPSET_POWER_LOST, 60 * DEGREE);
    trn_run run = rig_run(&on);
    const double equivalent = 2 * length / 3;
    const trn_run_event lost = event_of(&run, TRN_EVENT_POWER_OFF, 0);
    const trn_run_event seated = event_of(&run, TRN_EVENT_SEATED, 0);
    const double squared = 0.02 * 0.02 + 2 * GRAVITY / equivalent * sin(60 * DEGREE);
    assert_close(lost.angle_rad, 60 * DEGREE, 1e-13);
    assert_close(seated.speed_rad_s, -sqrt(squared), 1e-10);
    /* The lowest place is 90 degrees below closed, 150 below where power was lost; it goes right round there. */
    const double over = 0.02 * 0.02 * equivalent / (2 * GRAVITY);
    const double k = sqrt((over + 1 - cos(150 * DEGREE)) / 2);
    assert_true(k < 1);
    const double first = gsl_sf_ellint_F(asin(sin(75 * DEGREE) / k), k, GSL_PREC_DOUBLE);
    const double last = gsl_sf_ellint_F(asin(sin(45 * DEGREE) / k), k, GSL_PREC_DOUBLE);
    assert_close(seated.time_s - lost.time_s, sqrt(equivalent / GRAVITY) * (first - last), 1e-9);
    assert_true(run.seat.seated);
    assert_close(run.seat.toe_speed_m_s, 10.0 * sqrt(squared), 1e-10);
    assert_close(run.seat.energy_J, 3e5 / GRAVITY * length * length / 3 * squared / 2, 1e-10);
    assert_int_equal(run.end, TRN_END_ARRIVED);
    trn_run_free(&run);
}

/* Periods of large amplitude for l = 1 m and g = 9.81 m/s2: physics.gmu.edu/~mrseth/pass6.html (checks.md 2.34). */
static const double periods_s[] = {2.00989262729860, 2.02145125782458, 2.04098988951913, 2.06893785189359,
                                   2.10593461928364, 2.15287466688052, 2.21097618054219, 2.28188592401964};

static void a_large_swing_takes_the_published_quarter_period_to_its_lowest_place(void **state)
{
    (void)state;
    for (int i = 0; i < (int)COUNT(periods_s); i++) {
        const double amplitude = 10 * (i + 1) * DEGREE;
        rig on;
        set_bar(&on, 1.5 * 9.80665 / 9.81, amplitude);
        on.travel.near_open_rad = amplitude / 2;
        on.travel.full_open_rad = amplitude;
        trn_run run = rig_run(&on);
        const trn_run_event lowest = event_of(&run, TRN_EVENT_FULL_SWITCH, 0);
        assert_close(lowest.time_s, periods_s[i] / 4, 1e-10);
        assert_close(lowest.speed_rad_s, swing_speed(9.80665 / 9.81, amplitude, 0), 1e-10);
        trn_run_free(&run);
    }
}

/* Ratios to the period of small swings: calculatorlib.com, table of amplitudes (checks.md 2.36). */
static void the_published_ratios_of_the_period_hold_to_120_degrees(void **state)
{
    (void)state;
    static const double table[][2] = {{45, 1.039973}, {60, 1.073182}, {90, 1.180341}, {120, 1.372881}};
    for (size_t i = 0; i < COUNT(table); i++) {
        const double amplitude = table[i][0] * DEGREE;
        rig on;
        set_bar(&on, 30.0, amplitude);
        on.travel.near_open_rad = amplitude / 2;
        on.travel.full_open_rad = amplitude;
        trn_run run = rig_run(&on);
        const double small = QUARTER_TURN * sqrt(20.0 / GRAVITY);
        assert_near(event_of(&run, TRN_EVENT_FULL_SWITCH, 0).time_s / small, table[i][1], 0.51e-6);
        trn_run_free(&run);
    }
}

/* Up on the other side: at rest at twice the amplitude after half a period, and back. */
static void a_swing_comes_to_rest_as_high_on_the_other_side_after_half_a_period(void **state)
{
    (void)state;
    for (int i = 0; i < 5; i++) {
        const double amplitude = 10 * (i + 1) * DEGREE;
        rig on;
        set_bar(&on, 1.5 * 9.80665 / 9.81, amplitude);
        on.travel.near_open_rad = amplitude / 3;
        on.travel.full_open_rad = 1.5 * amplitude;
        trn_run run = rig_run(&on);
        const trn_run_event back = event_of(&run, TRN_EVENT_RAN_BACK, 0);
        assert_close(back.time_s, periods_s[i] / 2, 1e-9);
        assert_close(back.angle_rad, 2 * amplitude, 1e-9);
        assert_close(event_of(&run, TRN_EVENT_FULL_SWITCH, 0).time_s,
                     periods_s[i] / 2 - swing_time(9.80665 / 9.81, amplitude, amplitude / 2), 1e-9);
        trn_run_free(&run);
    }
}

/* With a constant drag the leaf falls short by what the drag took: A (sin - sin) = drag times the way. */
static void drag_takes_its_moment_times_the_angle_from_the_height(void **state)
{
    (void)state;
    rig on;
    set_bar(&on, 20.0, 60 * DEGREE);
    on.trunnion.drag_Nm = 2e5;
    on.trunnion.diameter_m = 0.0;
    on.travel.near_open_rad = 30 * DEGREE;
    on.travel.full_open_rad = 70 * DEGREE;
    trn_run run = rig_run(&on);
    const trn_run_event back = event_of(&run, TRN_EVENT_RAN_BACK, 0);
    const double loss = 3e5 * 10.0 * (cos(60 * DEGREE - back.angle_rad) - cos(60 * DEGREE));
    assert_close(loss, 2e5 * back.angle_rad, 1e-9);
    /* At the second turn the drag holds it or not; each swing loses its share until it rests. */
    assert_true(run.end == TRN_END_ARRIVED || run.end == TRN_END_STOPPED);
    assert_close_at(run.work.potential_J + run.work.friction_J, 0.0, 1e-9, run.work.friction_J);
    trn_run_free(&run);
}

/* Up by its speed alone, to a halt, and down again on its shoes: the energy says how fast. */
static void a_leaf_that_runs_back_seats_with_what_is_left_of_its_energy(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    on.parts[0].at.x = 2.0;
    on.parts[0].gyration_m = 4.0;
    on.parts[0].weight_N = 1e5;
    on.trunnion.drag_Nm = 3e4;
    set_upset(&on, TRN_UPSET_POWER_LOST, 0.3);
    trn_run run = rig_run(&on);
    const double inertia = 1e5 / GRAVITY * (16.0 + 4.0);
    const double top = event_of(&run, TRN_EVENT_RAN_BACK, 0).angle_rad;
    assert_close(inertia * 0.02 * 0.02 / 2, 2e5 * (sin(top) - sin(0.3)) + 3e4 * (top - 0.3), 1e-9);
    assert_int_equal(run.end, TRN_END_SEATED);
    assert_close(run.seat.energy_J, 2e5 * sin(top) - 3e4 * top, 1e-9);
    assert_close(run.seat.speed_rad_s, sqrt(2 * run.seat.energy_J / inertia), 1e-9);
    trn_run_free(&run);
}

/* A leaf in balance that friction stops when its power is lost; then wind pushes it closed. */
static void set_pushed(rig *on, double brake_delay_s)
{
    set_rig(on);
    set_brake(on, (trn_brake){"brake", 1, 1e5, 1.0, brake_delay_s, 0.3, 0.0});
    set_upset(on, TRN_UPSET_POWER_LOST, 0.5);
    on->trunnion.drag_Nm = 1e4;
    on->surface = (trn_surface){.from = {0, 1}, .to = {10, 1}, .width_m = 5, .solidity = 1, .takes_wind = true};
    on->leaf.surfaces = &on->surface;
    on->leaf.surface_count = 1;
    on->load_case.wind.from = TRN_WIND_FROM_HEEL;
}

static void a_leaf_slips_that_moves_though_its_brakes_have_set(void **state)
{
    (void)state;
    const trn_gust gust = {.start_s = 200, .lasts_s = 10, .rise_Pa = 2000};
    for (int late = 0; late < 2; late++) {
        rig on;
        set_pushed(&on, late ? 400 : 0.2);
        on.setting.gust = &gust;
        trn_run run = rig_run(&on);
        const trn_run_event back = event_of(&run, TRN_EVENT_RAN_BACK, 0);
        assert_true(back.time_s > 200 && back.time_s < 210);
        assert_int_equal(run.slipped, !late);
        trn_run_free(&run);
    }
}

/* Pressure at which wind from the heel moves the leaf that brake and drag hold. */
static double pressure_to_move(const rig *on, double angle_rad)
{
    const double height = 5 * sin(angle_rad) + cos(angle_rad);
    const double rise = 10 * sin(angle_rad);
    return (on->brake.torque_Nm + on->trunnion.drag_Nm) / (on->surface.width_m * rise * height);
}

static void a_leaf_that_rests_moves_when_the_wind_has_risen_so_far(void **state)
{
    (void)state;
    const trn_wind_point points[] = {{0, 0}, {200, 0}, {300, 2000}};
    const trn_wind_record record = {.points = points, .count = 3};
    const trn_gust gust = {.start_s = 200, .lasts_s = 60, .rise_Pa = 2000};
    for (int by_gust = 0; by_gust < 2; by_gust++) {
        rig on;
        set_pushed(&on, 0.2);
        on.setting.gust = by_gust ? &gust : NULL;
        on.setting.wind_record = by_gust ? NULL : &record;
        trn_run run = rig_run(&on);
        const trn_run_event back = event_of(&run, TRN_EVENT_RAN_BACK, 0);
        const double share = pressure_to_move(&on, back.angle_rad) / 2000;
        /* Along the line of the record, or the cosine of the gust. */
        const double wanted = by_gust ? 200 + 60 * acos(1 - 2 * share) / (2 * M_PI) : 200 + 100 * share;
        assert_close(back.time_s, wanted, 1e-9);
        trn_run_free(&run);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hinged_bar_falls_from_level_to_upright_in_the_time_of_the_closed_form),
        cmocka_unit_test(a_closing_leaf_that_loses_power_falls_as_a_pendulum_with_speed),
        cmocka_unit_test(a_large_swing_takes_the_published_quarter_period_to_its_lowest_place),
        cmocka_unit_test(the_published_ratios_of_the_period_hold_to_120_degrees),
        cmocka_unit_test(a_swing_comes_to_rest_as_high_on_the_other_side_after_half_a_period),
        cmocka_unit_test(drag_takes_its_moment_times_the_angle_from_the_height),
        cmocka_unit_test(a_leaf_that_runs_back_seats_with_what_is_left_of_its_energy),
        cmocka_unit_test(a_leaf_slips_that_moves_though_its_brakes_have_set),
        cmocka_unit_test(a_leaf_that_rests_moves_when_the_wind_has_risen_so_far),
    };
    return cmocka_run_group_tests_name("run swing", tests, NULL, NULL);
}
