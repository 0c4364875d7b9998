/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Root mean square torque of an opening and a closing over the period. */
#include <stdio.h>

#include "linkage.h"
#include "trunnion/rating.h"

static const trn_duty hourly = {.openings_per_hour = 4.0, .hold_open_s = 120.0};
static const trn_drive gears = {.kind = TRN_DRIVE_RATIO, .ratio = 1500.0, .efficiency = 0.8};
/* Nothing but a drag: the torque of steady motion is the same at every angle. */
static const trn_journal dragging = {.drag_Nm = 240e3};

/* A wheel about the trunnion, of no moment at any angle. */
static trn_part wheel(double inertia_kg_m2)
{
    trn_part part = trn_default_part();
    part.name = "wheel";
    part.weight_N = 9.80665;
    part.gyration_m = sqrt(inertia_kg_m2);
    return part;
}

static trn_leaf even_leaf(const trn_part *part, const trn_motors *motors, const trn_case *still)
{
    trn_leaf leaf = trn_default_leaf();
    leaf.opens_to_rad = 1.3;
    leaf.toe_m = 24.0;
    leaf.parts = part;
    leaf.part_count = 1;
    leaf.trunnion = &dragging;
    leaf.drive = &gears;
    leaf.motors = motors;
    leaf.travel = &machinery_travel;
    leaf.cases = still;
    leaf.case_count = 1;
    leaf.duty = &hourly;
    return leaf;
}

static trn_duty_rating duty_of(const trn_leaf *leaf)
{
    trn_duty_rating rating;
    trn_error error = {.status = TRN_OK};
    if (trn_leaf_duty(leaf, &rating, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return rating;
}

/* 8 s of climb, then steady to the near switch, 5 s of fall, the rest at creep. */
static const double steady_s = (1.2 - 0.08) / 0.02;
static const double closing_steady_s = (1.3 - 0.1 - 0.08) / 0.02;
static const double creeping_s = (0.1 - 0.0575) / 0.003;

static void a_constant_torque_spreads_over_the_period_by_the_root_of_the_time(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    motors.inertia_kg_m2 = 0;
    trn_part part = wheel(1e-9);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    trn_duty_rating got = duty_of(&leaf);
    double moving = 2 * (8.0 + 5.0 + creeping_s) + steady_s + closing_steady_s;
    assert_close(got.moving_s, moving, 1e-12);
    assert_close(got.period_s, 900.0, 1e-15);
    /* 240 kN m / (1500 * 0.8) on two motors: 100 N m */
    assert_close(got.rms_Nm, 100.0 * sqrt(moving / 900.0), 1e-12);
    assert_close(got.rated_Nm, 30e3 / 91.0, 1e-15);
    assert_close(got.use, got.rms_Nm / got.rated_Nm, 1e-15);
    assert_true(got.met);
}

static void buffers_take_no_part(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    const double without = duty_of(&leaf).rms_Nm;
    const trn_seating seating = {.buffer_stroke_m = 1.0, .buffer_preload_N = 20e3, .shoe_stiffness_N_m = 40e6};
    leaf.seating = &seating;
    assert_same_bits(duty_of(&leaf).rms_Nm, without);
}

/* The heat of the busy hours over the whole day; the verdict stays theirs. */
static void hours_without_openings_thin_out_the_day(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    trn_duty_rating got = duty_of(&leaf);
    assert_same_bits(got.day_rms_Nm, got.rms_Nm);
    assert_close(got.openings_per_day, 96.0, 1e-15);
    trn_duty quiet = hourly;
    quiet.hours_without_openings = 13.5;
    leaf.duty = &quiet;
    trn_duty_rating day = duty_of(&leaf);
    assert_close(day.day_rms_Nm * day.day_rms_Nm * 24.0, got.rms_Nm * got.rms_Nm * 10.5, 1e-14);
    assert_close(day.openings_per_day, 42.0, 1e-15);
    assert_same_bits(day.rms_Nm, got.rms_Nm);
    assert_same_bits(day.use, got.use);
}

static void speeding_up_and_slowing_down_have_their_torques_leaf_and_rotors(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    trn_duty_rating got = duty_of(&leaf);
    double rotors = 3 * 1.8 * 1500;
    /* 240 kN m and 100 kN m more while climbing; 136 kN m less while falling. */
    double climb = (340e3 / 1200 + rotors * 0.0025) / 2;
    double fall = (104e3 / 1200 - rotors * 0.0034) / 2;
    double steady = 100.0;
    double squares = 2 * (climb * climb * 8 + fall * fall * 5) +
                     steady * steady * (steady_s + closing_steady_s + 2 * creeping_s);
    assert_close(got.rms_Nm, sqrt(squares / 900.0), 1e-12);
}

static void a_fall_that_overhauls_gives_back_less_the_loss(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    motors.inertia_kg_m2 = 0;
    trn_part part = wheel(200e6);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    trn_duty_rating got = duty_of(&leaf);
    double climb = 740e3 / 1200 / 2;
    double fall = -440e3 * 0.8 / 1500 / 2;
    double squares = 2 * (climb * climb * 8 + fall * fall * 5) + 1e4 * (steady_s + closing_steady_s + 2 * creeping_s);
    assert_close(got.rms_Nm, sqrt(squares / 900.0), 1e-12);
}

/* What a counterweight whose ratio changes asks of the moving leaf, positive closes. */
static double centrifugal(const trn_leaf *leaf, double angle, double speed)
{
    if (leaf->linked_counterweight == NULL) {
        return 0;
    }
    trn_link_state link = trn_link_at(leaf->linked_counterweight, trn_rotation_by(angle));
    trn_body body = trn_link_body(leaf->linked_counterweight);
    return body.inertia_kg_m2 * link.rate * link.rate_change_rad * speed * speed;
}

/* The speed reference walked through in small steps, the torque of each by its own sum. */
static double trapezoid_squares(const trn_leaf *leaf, const trn_case *load_case, trn_direction direction)
{
    trn_loading loading = loading_of(leaf, load_case);
    trn_phase phases[TRN_PHASES_MAX];
    size_t count = trn_travel_phases(leaf->travel, leaf->opens_to_rad, direction, phases);
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        const int steps = 4000;
        double step = phases[i].duration_s / steps;
        loading.acceleration_rad_s2 = phases[i].acceleration_rad_s2;
        for (int j = 0; j <= steps; j++) {
            double t = j * step;
            double run = t * (phases[i].speed_rad_s + phases[i].acceleration_rad_s2 * t / 2);
            double angle = phases[i].start_rad + (direction == TRN_OPENING ? run : -run);
            trn_moments row = trn_loading_moments(&loading, angle);
            double speed = phases[i].speed_rad_s + phases[i].acceleration_rad_s2 * t;
            double swing = centrifugal(leaf, angle, speed);
            double demand = direction == TRN_OPENING ? row.opening_Nm + swing : row.closing_Nm - swing;
            double torque = demand >= 0 ? demand / 1500 / 0.8 : demand / 1500 * 0.8;
            torque = (torque + 3 * 1.8 * 1500 * phases[i].acceleration_rad_s2) / 2;
            sum += (j == 0 || j == steps ? 0.5 : 1.0) * step * torque * torque;
        }
    }
    return sum;
}

static void check_against_trapezoids(trn_leaf leaf)
{
    trn_case windy = rough_case();
    windy.accelerating = false;
    leaf.cases = &windy;
    leaf.case_count = 1;
    leaf.duty = &hourly;
    double squares =
        trapezoid_squares(&leaf, &windy, TRN_OPENING) + trapezoid_squares(&leaf, &windy, TRN_CLOSING);
    assert_close(duty_of(&leaf).rms_Nm, sqrt(squares / 900.0), 1e-6);
}

static void the_mean_agrees_with_many_small_steps(void **state)
{
    (void)state;
    check_against_trapezoids(driven_leaf(&gears));
}

static void the_mean_agrees_with_many_small_steps_with_a_linked_counterweight(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on(four_bars[2]);
    trn_leaf leaf = driven_leaf(&gears);
    leaf.linked_counterweight = &linked;
    leaf.part_count--;
    check_against_trapezoids(leaf);
}

static trn_point scaled_by(double factor, trn_point point)
{
    return (trn_point){factor * point.x, factor * point.y};
}

static void lay_level_at(trn_surface *sail, double level)
{
    const trn_point way = {cos(level), -sin(level)};
    sail->from = scaled_by(6, way);
    sail->to = scaled_by(16, way);
}

/* A sail that lies level at some angle, and wind that blows as hard on a slight incidence as on any: its moment of
   110 kN m turns round at once there, and so does the torque between 90 and 310 N m. */
static void a_torque_that_jumps_on_the_way_counts_to_the_angle_of_the_jump(void **state)
{
    (void)state;
    static const trn_incidence_point alike[] = {{0.0, 1.0}, {QUARTER_TURN, 1.0}};
    const trn_motors one = {.installed = 1, .running = 1, .power_W = 1e5, .speed_rad_s = 100.0, .peak = 1.0};
    const trn_drive lossless = {.kind = TRN_DRIVE_RATIO, .ratio = 1000.0, .efficiency = 1.0};
    const trn_journal drag = {.drag_Nm = 200e3};
    trn_case windy = trn_default_case();
    windy.wind.pressure_Pa = 1000.0;
    windy.wind.law = TRN_WIND_INCIDENCE;
    windy.wind.table = alike;
    windy.wind.table_count = COUNT(alike);
    windy.wind.from = TRN_WIND_FROM_HEEL;
    trn_part part = wheel(1e-9);
    trn_leaf leaf = even_leaf(&part, &one, &windy);
    leaf.trunnion = &drag;
    leaf.drive = &lossless;
    trn_surface sail = {.name = "sail", .width_m = 1.0, .solidity = 1.0, .takes_wind = true};
    leaf.surfaces = &sail;
    leaf.surface_count = 1;
    for (double level = 0.5; level < 0.8; level += 0.0371) {
        lay_level_at(&sail, level);
        double light = 16.0 + (level - 0.08) / 0.02 + (1.22 - level) / 0.02;
        double hard = 10.0 + (1.2 - level) / 0.02 + (level - 0.1) / 0.02 + 2 * creeping_s;
        assert_close(duty_of(&leaf).rms_Nm, sqrt((8100.0 * light + 96100.0 * hard) / 900.0), 1e-6);
    }
    /* Met while the leaf climbs to its speed: theta = 0.00125 t2. */
    for (double level = 0.005; level < 0.042; level += 0.0071) {
        lay_level_at(&sail, level);
        const double climbed = sqrt(level / 0.00125);
        const double light = climbed + 8.0 + 1.12 / 0.02 + 5.0 + (0.0425 - level) / 0.003;
        const double hard = 8.0 - climbed + 1.12 / 0.02 + 5.0 + creeping_s + level / 0.003;
        assert_close(duty_of(&leaf).rms_Nm, sqrt((8100.0 * light + 96100.0 * hard) / 900.0), 1e-6);
    }
}

static void a_case_that_accelerates_counts_its_inertia_once(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    double without = duty_of(&leaf).rms_Nm;
    still.accelerating = true;
    assert_same_bits(duty_of(&leaf).rms_Nm, without);
}

static void the_everyday_case_is_the_first_or_the_one_named(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    const trn_surface sail = {.name = "sail", .from = {0, 0}, .to = {10, 0}, .width_m = 9.0, .solidity = 1.0,
                              .takes_wind = true};
    trn_case cases[2] = {trn_default_case(), trn_default_case()};
    cases[1].name = "breeze";
    cases[1].wind.pressure_Pa = 120.0;
    cases[1].wind.law = TRN_WIND_NORMAL;
    trn_leaf leaf = even_leaf(&part, &motors, cases);
    leaf.case_count = 2;
    leaf.surfaces = &sail;
    leaf.surface_count = 1;
    double still = duty_of(&leaf).rms_Nm;
    trn_duty named = hourly;
    leaf.duty = &named;
    named.case_name = "still air";
    assert_same_bits(duty_of(&leaf).rms_Nm, still);
    named.case_name = "breeze";
    assert_true(duty_of(&leaf).rms_Nm > 1.1 * still);
    named.case_name = "gale";
    trn_duty_rating rating = {.use = 17.0};
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_duty(&leaf, &rating, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "'gale'"));
    assert_same_bits(rating.use, 17.0);
}

static void a_period_too_short_for_the_motion_is_refused(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    double moving = 2 * (8.0 + 5.0 + creeping_s) + steady_s + closing_steady_s;
    trn_duty tight = {.openings_per_hour = 3600.0 / (moving + 120.0 + 1e-6), .hold_open_s = 120.0};
    leaf.duty = &tight;
    trn_duty_rating rating = duty_of(&leaf);
    assert_close(rating.period_s, moving + 120.0, 1e-8);
    tight.hold_open_s += 1e-3;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_duty(&leaf, &rating, &error), TRN_OUT_OF_DOMAIN);
    assert_non_null(strstr(error.text, "duty"));
    char took[32];
    snprintf(took, sizeof took, "take %.4g s", moving + 120.001);
    assert_non_null(strstr(error.text, took));
}

static void a_duty_beyond_the_rated_torque_is_not_met(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    motors.inertia_kg_m2 = 0;
    trn_part part = wheel(1e-9);
    trn_case still = trn_default_case();
    trn_leaf leaf = even_leaf(&part, &motors, &still);
    double rms = duty_of(&leaf).rms_Nm;
    motors.power_W = rms * 91.0 * (1 + 1e-12);
    assert_true(duty_of(&leaf).met);
    motors.power_W = rms * 91.0 * (1 - 1e-12);
    assert_false(duty_of(&leaf).met);
}

static void what_a_duty_lacks_is_named(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    trn_part part = wheel(40e6);
    trn_case still = trn_default_case();
    const char *const names[] = {"'drive'", "'motors'", "'travel'", "'duty'", "'motors'"};
    for (size_t i = 0; i < COUNT(names); i++) {
        trn_leaf leaf = even_leaf(&part, &motors, &still);
        trn_drive cylinders = cylinders_between(pin_pairs[1]);
        leaf.drive = i == 0 ? NULL : i == 4 ? &cylinders : &gears;
        leaf.motors = i == 1 ? NULL : &motors;
        leaf.travel = i == 2 ? NULL : &machinery_travel;
        leaf.duty = i == 3 ? NULL : &hourly;
        trn_duty_rating rating;
        trn_error error = {.status = TRN_OK};
        assert_int_equal(trn_leaf_duty(&leaf, &rating, &error), TRN_MISSING_SECTION);
        assert_non_null(strstr(error.text, names[i]));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_constant_torque_spreads_over_the_period_by_the_root_of_the_time),
        cmocka_unit_test(buffers_take_no_part),
        cmocka_unit_test(hours_without_openings_thin_out_the_day),
        cmocka_unit_test(speeding_up_and_slowing_down_have_their_torques_leaf_and_rotors),
        cmocka_unit_test(a_fall_that_overhauls_gives_back_less_the_loss),
        cmocka_unit_test(the_mean_agrees_with_many_small_steps),
        cmocka_unit_test(the_mean_agrees_with_many_small_steps_with_a_linked_counterweight),
        cmocka_unit_test(a_torque_that_jumps_on_the_way_counts_to_the_angle_of_the_jump),
        cmocka_unit_test(a_case_that_accelerates_counts_its_inertia_once),
        cmocka_unit_test(the_everyday_case_is_the_first_or_the_one_named),
        cmocka_unit_test(a_period_too_short_for_the_motion_is_refused),
        cmocka_unit_test(a_duty_beyond_the_rated_torque_is_not_met),
        cmocka_unit_test(what_a_duty_lacks_is_named),
    };
    return cmocka_run_group_tests_name("duty", tests, NULL, NULL);
}
