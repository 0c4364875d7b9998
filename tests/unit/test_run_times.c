/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Times of a leaf whose drive stays within its limits: the trapezoid of its speed, worked by hand. */
#include "running.h"

/* Times at which a leaf passes what stands in its way, from the areas under its speed. */
typedef struct passing {
    double full_speed_s;
    double near_s;
    double creep_s;
    double full_s;
} passing;

/* near and whole are runs from the start of the travel; full speed is reached before near. */
static passing trapezoid(const trn_travel *travel, double near, double whole)
{
    const double speed = travel->speed_rad_s;
    const double creep = travel->creep * speed;
    const double climbing = speed * travel->accelerate_in_s / 2;
    const double falling = (speed + creep) / 2 * travel->decelerate_in_s;
    passing at = {.full_speed_s = travel->accelerate_in_s};
    at.near_s = at.full_speed_s + (near - climbing) / speed;
    at.creep_s = at.near_s + travel->decelerate_in_s;
    at.full_s = at.creep_s + (whole - near - falling) / creep;
    return at;
}

static void check_passing(const trn_run *run, passing at, double near_rad, double full_rad, double creep_rad_s)
{
    assert_int_equal(run->end, TRN_END_ARRIVED);
    assert_true(run->reached_switch);
    assert_true(run->at_creep);
    assert_close(event_of(run, TRN_EVENT_FULL_SPEED, 0).time_s, at.full_speed_s, 1e-12);
    assert_close(event_of(run, TRN_EVENT_NEAR_SWITCH, 0).time_s, at.near_s, 1e-12);
    assert_close_at(event_of(run, TRN_EVENT_NEAR_SWITCH, 0).angle_rad, near_rad, 1e-12, 1.0);
    assert_close(event_of(run, TRN_EVENT_CREEP, 0).time_s, at.creep_s, 1e-12);
    assert_close(event_of(run, TRN_EVENT_FULL_SWITCH, 0).time_s, at.full_s, 1e-12);
    assert_close_at(event_of(run, TRN_EVENT_FULL_SWITCH, 0).angle_rad, full_rad, 1e-12, 1.0);
    assert_close(event_of(run, TRN_EVENT_POWER_OFF, 0).time_s, at.full_s, 1e-12);
    assert_close(run->time_s, at.full_s, 1e-12);
    assert_close(run->switch_speed_rad_s, creep_rad_s, 1e-12);
    assert_int_equal(count_events(run, TRN_EVENT_DRIVE_AT_LIMIT), 0);
    assert_true(run->lag_s == 0);
}

static const trn_brake ready_brake = {"brake", 1, 1e5, 1.0, 0.2, 0.3, 0.0};

static void an_opening_takes_the_time_of_its_trapezoid(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.full_open_rad = 1.45;
    trn_run run = rig_run(&on);
    check_passing(&run, trapezoid(&on.travel, 1.3, 1.45), 1.3, 1.45, 0.004);
    trn_run_free(&run);
}

static void a_closing_takes_the_time_of_its_trapezoid(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++) {
        rig on;
        set_rig(&on);
        set_brake(&on, ready_brake);
        on.setting.direction = TRN_CLOSING;
        on.travel.full_closed_rad = i * 0.03;
        trn_run run = rig_run(&on);
        const passing at = trapezoid(&on.travel, 1.5 - 0.15, 1.5 - i * 0.03);
        check_passing(&run, at, 0.15, i * 0.03, 0.004);
        trn_run_free(&run);
    }
}

/* Weight, wind, friction, gear loss: as long as the drive is strong enough the time is the same. */
static void loads_do_not_change_the_time_of_a_drive_within_its_limits(void **state)
{
    (void)state;
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        rig on;
        set_rig(&on);
        on.parts[0].at = (trn_point){0.03, 0.02};
        on.parts[0].gyration_m = 5.0;
        on.trunnion = (trn_journal){.diameter_m = 0.5, .friction = {0.2, 0.1}, .drag_Nm = 1e4};
        on.surface = (trn_surface){.from = {0, 1}, .to = {10, 1}, .width_m = 5, .solidity = 1, .takes_wind = true};
        on.leaf.surfaces = &on.surface;
        on.leaf.surface_count = 1;
        on.load_case.wind.pressure_Pa = 100;
        on.drive.efficiency = 0.8;
        on.motors.inertia_kg_m2 = 1e5;
        on.travel.full_open_rad = 1.45;
        on.travel.full_closed_rad = 0.05;
        set_brake(&on, (trn_brake){"brake", 1, 1e7, 1.0, 0.1, 0.1, 0.0});
        on.setting.direction = (trn_direction)direction;
        trn_run run = rig_run(&on);
        const bool opening = direction == TRN_OPENING;
        const passing at = opening ? trapezoid(&on.travel, 1.3, 1.45) : trapezoid(&on.travel, 1.35, 1.45);
        check_passing(&run, at, opening ? 1.3 : 0.15, opening ? 1.45 : 0.05, 0.004);
        trn_run_free(&run);
    }
}

static size_t place_of(const trn_run *run, trn_event_kind kind)
{
    size_t place = 0;
    while (place < run->event_count && run->events[place].kind != kind)
        place++;
    assert_true(place < run->event_count);
    return place;
}

/* A near switch where the leaf stands: the whole way is made at creep speed, and begins with the leaf's first move. */
static void a_switch_at_the_start_is_passed_when_the_leaf_moves(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.setting.direction = TRN_CLOSING;
    on.travel.near_closed_rad = on.leaf.opens_to_rad;
    trn_run run = rig_run(&on);
    assert_true(place_of(&run, TRN_EVENT_BROKE_AWAY) < place_of(&run, TRN_EVENT_NEAR_SWITCH));
    assert_true(event_of(&run, TRN_EVENT_NEAR_SWITCH, 0).time_s == 0);
    const double creep = on.travel.creep * on.travel.speed_rad_s;
    const double climbing_s = on.travel.creep * on.travel.accelerate_in_s;
    assert_close(event_of(&run, TRN_EVENT_CREEP, 0).time_s, climbing_s, 1e-12);
    assert_close(run.time_s, climbing_s / 2 + on.leaf.opens_to_rad / creep, 1e-12);
    assert_int_equal(count_events(&run, TRN_EVENT_FULL_SPEED), 0);
    trn_run_free(&run);
}

/* Where creep is full speed the near switch changes nothing. */
static void a_leaf_that_creeps_at_full_speed_never_slows(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.creep = 1;
    trn_run run = rig_run(&on);
    const double at_speed_s = on.travel.accelerate_in_s / 2;
    assert_close(event_of(&run, TRN_EVENT_CREEP, 0).time_s, at_speed_s + 1.3 / on.travel.speed_rad_s, 1e-12);
    assert_close(run.time_s, at_speed_s + 1.5 / on.travel.speed_rad_s, 1e-12);
    assert_close(run.switch_speed_rad_s, on.travel.speed_rad_s, 1e-12);
    assert_true(run.lag_s == 0);
    trn_run_free(&run);
}

/* Without full speed: a near switch that is passed while climbing; the speed there is sqrt(2 a near). */
static void a_short_travel_has_no_full_speed(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.near_open_rad = 0.05;
    on.travel.full_open_rad = 0.2;
    trn_run run = rig_run(&on);
    const double climb = 0.02 / 8.0;
    const double fall = 0.016 / 5.0;
    const double near_s = sqrt(2 * 0.05 / climb);
    const double top = climb * near_s;
    const double falling_s = (top - 0.004) / fall;
    const double full_s = near_s + falling_s + (0.2 - 0.05 - falling_s * (top + 0.004) / 2) / 0.004;
    assert_int_equal(count_events(&run, TRN_EVENT_FULL_SPEED), 0);
    assert_close(event_of(&run, TRN_EVENT_NEAR_SWITCH, 0).time_s, near_s, 1e-12);
    assert_close(event_of(&run, TRN_EVENT_NEAR_SWITCH, 0).speed_rad_s, top, 1e-12);
    assert_close(event_of(&run, TRN_EVENT_CREEP, 0).time_s, near_s + falling_s, 1e-12);
    assert_close(run.time_s, full_s, 1e-12);
    trn_run_free(&run);
}

/* A near switch before creep speed is reached: the leaf goes on climbing to it, and no further. */
static void a_leaf_slower_than_creep_climbs_to_creep(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.near_open_rad = 0.002;
    on.travel.creep = 0.5;
    on.travel.full_open_rad = 0.2;
    trn_run run = rig_run(&on);
    assert_close(event_of(&run, TRN_EVENT_CREEP, 0).time_s, 4.0, 1e-12);
    assert_close(run.time_s, 4.0 + (0.2 - 0.02) / 0.01, 1e-12);
    trn_run_free(&run);
}

/* What the drive has to give on the way of a leaf without any load: inertia times acceleration, and nothing. */
static void torque_is_inertia_times_the_acceleration_of_the_reference(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.drive = (trn_drive){.kind = TRN_DRIVE_RATIO, .ratio = 50.0, .efficiency = 0.8};
    on.motors.installed = 3;
    on.motors.running = 2;
    on.motors.inertia_kg_m2 = 100.0;
    on.travel.full_open_rad = 1.45;
    on.setting.sample_every_s = 0.5;
    trn_run run = rig_run(&on);
    const double climb = 0.02 / 8.0;
    const double fall = 0.016 / 5.0;
    const double climbing = (1e6 * climb / (50.0 * 0.8) + 300.0 * 50.0 * climb) / 2;
    const double falling = -(1e6 * fall * 0.8 / 50.0 + 300.0 * 50.0 * fall) / 2;
    const passing at = trapezoid(&on.travel, 1.3, 1.45);
    size_t seen = 0;
    for (size_t i = 0; i < run.row_count; i++) {
        const double time = run.rows[i].time_s;
        double want = time < at.full_speed_s ? climbing : 0.0;
        if (time > at.near_s && time < at.creep_s)
            want = falling;
        const double jump = fmin(fabs(time - at.near_s), fabs(time - at.creep_s));
        if (time > 0 && time < at.full_s && fmin(jump, fabs(time - at.full_speed_s)) > 1e-6) {
            assert_close_at(run.rows[i].motor_Nm, want, 1e-9, climbing);
            seen++;
        }
    }
    assert_true(seen > 100);
    assert_close(run.peak_motor_Nm, fmax(climbing, -falling), 1e-12);
    const double squares = climbing * climbing * 8.0 + falling * falling * 5.0;
    assert_close(run.rms_motor_Nm, sqrt(squares / at.full_s), 1e-9);
    trn_run_free(&run);
}

/* Nearest switch by hand: what the fall to creep takes, before the full switch. */
static void the_nearest_near_switch_leaves_just_the_fall_to_creep(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.full_open_rad = 1.45;
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        on.setting.direction = (trn_direction)direction;
        trn_switch_place place;
        trn_error error = {.status = TRN_OK};
        assert_int_equal(trn_leaf_switch_place(&on.leaf, &on.setting, DEGREE, &place, &error), TRN_OK);
        const double falling = (0.02 + 0.004) / 2 * 5.0;
        const double nearest = direction == TRN_OPENING ? 1.45 - falling : falling;
        const double given = direction == TRN_OPENING ? 1.3 : 0.15;
        assert_true(place.possible);
        assert_close(place.given_rad, given, 1e-12);
        assert_near(place.nearest_rad, nearest, 2e-4 * DEGREE);
        assert_near(place.margin_rad, fabs(nearest - given), 2e-4 * DEGREE);
        const double slower = DEGREE / 0.004 - DEGREE / 0.02;
        assert_close(place.early.time_s - place.given.time_s, slower, 1e-9);
        assert_close(place.given.time_s - place.late.time_s, slower, 1e-9);
        trn_run_free(&place.early);
        trn_run_free(&place.given);
        trn_run_free(&place.late);
    }
}

/* A switch too near the end: the leaf passes the full switch while it still falls. */
static void a_near_switch_too_near_lets_the_leaf_arrive_too_fast(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.near_open_rad = 1.42;
    on.travel.full_open_rad = 1.45;
    trn_run run = rig_run(&on);
    assert_false(run.at_creep);
    assert_close(run.switch_speed_rad_s, sqrt(0.02 * 0.02 - 2 * 0.016 / 5.0 * 0.03), 1e-12);
    assert_int_equal(count_events(&run, TRN_EVENT_CREEP), 0);
    trn_run_free(&run);
}

static void a_missed_near_switch_lets_the_leaf_arrive_at_full_speed(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.travel.full_open_rad = 1.2;
    on.travel.near_open_rad = 1.0;
    set_upset(&on, TRN_UPSET_NEAR_SWITCH_MISSED, 0);
    trn_run run = rig_run(&on);
    assert_false(run.at_creep);
    assert_close(run.switch_speed_rad_s, 0.02, 1e-12);
    assert_close(run.time_s, 8.0 + (1.2 - 0.08) / 0.02, 1e-12);
    trn_run_free(&run);
}

/* The pedal: the reference falls to rest at the rate at which it falls to creep. */
static void a_released_pedal_stops_the_leaf_at_the_rate_of_the_fall_to_creep(void **state)
{
    (void)state;
    rig on;
    set_rig(&on);
    set_brake(&on, ready_brake);
    set_upset(&on, TRN_UPSET_PEDAL_RELEASED, 0.7);
    trn_run run = rig_run(&on);
    const double fall = 0.016 / 5.0;
    const double released_s = 8.0 + (0.7 - 0.08) / 0.02;
    assert_int_equal(run.end, TRN_END_STOPPED);
    assert_close(event_of(&run, TRN_EVENT_UPSET, 0).time_s, released_s, 1e-12);
    assert_close(event_of(&run, TRN_EVENT_POWER_OFF, 0).time_s, released_s + 0.02 / fall, 1e-12);
    assert_close(run.end_angle_rad, 0.7 + 0.02 * 0.02 / (2 * fall), 1e-12);
    assert_false(run.reached_switch);
    trn_run_free(&run);
}

static void assert_run_needs(const rig *on, const char *section)
{
    trn_run run = {.row_count = 7};
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_run(&on->leaf, &on->setting, &run, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, section));
    assert_int_equal(run.row_count, 7);
}

static void what_a_run_needs_is_asked_for_by_name(void **state)
{
    (void)state;
    trn_switch_place place;
    trn_error error = {.status = TRN_OK};
    rig on;
    set_rig(&on);
    on.leaf.drive = NULL;
    assert_run_needs(&on, "'drive'");
    set_rig(&on);
    on.leaf.motors = NULL;
    assert_run_needs(&on, "'motors'");
    set_rig(&on);
    on.leaf.travel = NULL;
    assert_run_needs(&on, "'travel'");
    assert_int_equal(trn_leaf_switch_place(&on.leaf, &on.setting, 0.01, &place, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'travel'"));
}

static void assert_run_refused(const rig *on, const char *words)
{
    trn_run run;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_run(&on->leaf, &on->setting, &run, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, words));
}

static void a_motion_beyond_what_a_number_holds_is_refused(void **state)
{
    (void)state;
    rig on;
    /* Wind that flings a leaf without inertia open. */
    set_rig(&on);
    set_wheel(&on, 1e-200);
    set_deck(&on);
    on.load_case.wind.law = TRN_WIND_NORMAL;
    on.load_case.wind.from = TRN_WIND_FROM_TOE;
    on.load_case.wind.pressure_Pa = 1e200;
    assert_run_refused(&on, "the motion cannot be computed beyond 0 s");
    /* A gust that never blows, on the leaf at its end. */
    const trn_gust gust = {.by_speed = true, .rise_m_s = 1e160, .lasts_s = 8.0, .start_s = 1e9};
    set_rig(&on);
    set_deck(&on);
    on.setting.gust = &gust;
    assert_run_refused(&on, "the motion cannot be computed: a number leaves");
}

static void a_trace_has_only_so_many_rows(void **state)
{
    (void)state;
    rig on;
    trn_run run = {.row_count = 77};
    trn_error error = {.status = TRN_OK};
    set_rig(&on);
    set_brake(&on, ready_brake);
    on.setting.sample_every_s = 1e-5;
    assert_int_equal(trn_leaf_run(&on.leaf, &on.setting, &run, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "over 1000000 rows: expected a longer step"));
    assert_int_equal(run.row_count, 77);
    on.setting.sample_every_s = 1e-3;
    run = rig_run(&on);
    assert_true(run.row_count > 70000 && run.row_count < TRN_RUN_ROWS_MAX);
    trn_run_free(&run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_opening_takes_the_time_of_its_trapezoid),
        cmocka_unit_test(a_closing_takes_the_time_of_its_trapezoid),
        cmocka_unit_test(loads_do_not_change_the_time_of_a_drive_within_its_limits),
        cmocka_unit_test(a_switch_at_the_start_is_passed_when_the_leaf_moves),
        cmocka_unit_test(a_leaf_that_creeps_at_full_speed_never_slows),
        cmocka_unit_test(a_short_travel_has_no_full_speed),
        cmocka_unit_test(a_leaf_slower_than_creep_climbs_to_creep),
        cmocka_unit_test(torque_is_inertia_times_the_acceleration_of_the_reference),
        cmocka_unit_test(the_nearest_near_switch_leaves_just_the_fall_to_creep),
        cmocka_unit_test(a_near_switch_too_near_lets_the_leaf_arrive_too_fast),
        cmocka_unit_test(a_missed_near_switch_lets_the_leaf_arrive_at_full_speed),
        cmocka_unit_test(a_released_pedal_stops_the_leaf_at_the_rate_of_the_fall_to_creep),
        cmocka_unit_test(what_a_run_needs_is_asked_for_by_name),
        cmocka_unit_test(a_motion_beyond_what_a_number_holds_is_refused),
        cmocka_unit_test(a_trace_has_only_so_many_rows),
    };
    return cmocka_run_group_tests_name("run times", tests, NULL, NULL);
}
