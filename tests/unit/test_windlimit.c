/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wind that still lets a leaf be raised, lowered and held. */
#include "linkage.h"
#include "trunnion/holding.h"
#include "trunnion/rating.h"
#include "trunnion/windlimit.h"

static const trn_brake brakes[] = {
    {.name = "motor brakes", .count = 2, .torque_Nm = 2500.0, .ratio = 1500.0, .set_time_s = 0.5},
    {.name = "machinery brake", .count = 1, .torque_Nm = 30000.0, .ratio = 70.0, .set_time_s = 0.2},
};
static const trn_motors strong = {.installed = 3, .running = 2, .power_W = 160e3, .speed_rad_s = 91.0,
                                  .inertia_kg_m2 = 1.8, .peak = 2.0};

static trn_wind_limits limits_with(trn_wind_law law)
{
    trn_wind_limits limits = {.wind = trn_default_wind(), .friction = TRN_FRICTION_MOVING, .motor_limit = 1.2,
                              .hold_factor = 1.5};
    limits.wind.by_speed = true;
    limits.wind.coefficient = 1.3;
    limits.wind.density_kg_m3 = 1.2;
    limits.wind.law = law;
    return limits;
}

static trn_leaf windy_leaf(const trn_drive *drive, const trn_wind_limits *limits)
{
    trn_leaf leaf = driven_leaf(drive);
    leaf.motors = &strong;
    leaf.brakes = brakes;
    leaf.brake_count = COUNT(brakes);
    leaf.wind_limits = limits;
    return leaf;
}

static double limit_at(const trn_leaf *leaf, trn_wind_question question, double angle_rad)
{
    double speed = (double)NAN;
    trn_error error = {.status = TRN_OK};
    if (trn_wind_limits_at(leaf, question, &angle_rad, 1, &speed, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return speed;
}

static trn_wind_lowest lowest_of(const trn_leaf *leaf, trn_wind_question question)
{
    trn_wind_lowest lowest;
    trn_error error = {.status = TRN_OK};
    if (trn_wind_limit(leaf, question, &lowest, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return lowest;
}

/* Use of the drive at an angle in a wind of some speed from a side, as a case of its own. */
static double use_in(const trn_leaf *leaf, trn_wind_question question, double angle_rad, double speed_m_s,
                     trn_wind_side side)
{
    trn_motors motors = *leaf->motors;
    motors.running = question.motors_running;
    trn_leaf with = *leaf;
    with.motors = &motors;
    trn_case windy = trn_default_case();
    windy.friction = leaf->wind_limits->friction;
    windy.wind = leaf->wind_limits->wind;
    windy.wind.speed_m_s = speed_m_s;
    windy.wind.from = side;
    trn_loading loading = loading_of(&with, &windy);
    trn_moments row = trn_loading_moments(&loading, angle_rad);
    bool raise = question.action == TRN_RAISE;
    double limit = leaf->wind_limits->motor_limit;
    if (row.has_pressure)
        return (raise ? row.pressure_opening_Pa : row.pressure_closing_Pa) / limit / leaf->drive->cylinder.pressure_Pa;
    return fabs(raise ? row.motor_opening_Nm : row.motor_closing_Nm) / limit / trn_motor_rated_torque(&motors);
}

static double worst_use(const trn_leaf *leaf, trn_wind_question question, double angle_rad, double speed_m_s)
{
    return fmax(use_in(leaf, question, angle_rad, speed_m_s, TRN_WIND_FROM_HEEL),
                use_in(leaf, question, angle_rad, speed_m_s, TRN_WIND_FROM_TOE));
}

/* How often each kind of answer came, so that no test passes on one kind alone. */
typedef struct answers {
    int none;
    int some;
    int all;
} answers;

static void check_drive_limit(const trn_leaf *leaf, trn_wind_question question, double angle_rad, answers *count)
{
    double speed = limit_at(leaf, question, angle_rad);
    assert_true(speed >= 0);
    if (isinf(speed)) {
        assert_true(worst_use(leaf, question, angle_rad, TRN_WIND_HIGHEST) <= 1 + 1e-12);
        count->all++;
    } else if (speed > 0) {
        assert_close(worst_use(leaf, question, angle_rad, speed), 1.0, 1e-9);
        for (int i = 0; i < 4; i++)
            assert_true(worst_use(leaf, question, angle_rad, speed * i / 4) <= 1 + 1e-12);
        assert_true(worst_use(leaf, question, angle_rad, speed * (1 + 1e-6)) > 1);
        count->some++;
    } else {
        assert_true(worst_use(leaf, question, angle_rad, 0) >= 1 - 1e-12);
        count->none++;
    }
}

static void check_drive_limits(const trn_leaf *leaf, answers *count)
{
    for (int action = TRN_RAISE; action <= TRN_LOWER; action++)
        for (int running = 1; running <= 3; running++) {
            trn_wind_question question = {.action = (trn_action)action, .motors_running = running};
            for (int degrees = 0; degrees <= 76; degrees += 4)
                check_drive_limit(leaf, question, degrees * DEGREE, count);
        }
}

static void in_the_limiting_wind_the_motors_are_used_to_the_full(void **state)
{
    (void)state;
    const trn_drive drives[] = {rack_at(0, 0, 0), rack_at(4.5, 1.0, 20 * DEGREE)};
    answers count = {0, 0, 0};
    for (size_t i = 0; i < COUNT(drives); i++)
        for (int law = TRN_WIND_PROJECTED; law <= TRN_WIND_NORMAL; law++) {
            trn_wind_limits limits = limits_with((trn_wind_law)law);
            trn_leaf leaf = windy_leaf(&drives[i], &limits);
            check_drive_limits(&leaf, &count);
        }
    assert_true(count.none > 0 && count.some > 100);
}

static void in_the_limiting_wind_struts_are_used_to_the_full(void **state)
{
    (void)state;
    answers count = {0, 0, 0};
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    limits.motor_limit = 4.0;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        trn_leaf leaf = windy_leaf(&drive, &limits);
        check_drive_limits(&leaf, &count);
    }
    assert_true(count.some > 100);
}

static void in_the_limiting_wind_cylinders_are_used_to_the_full(void **state)
{
    (void)state;
    answers count = {0, 0, 0};
    trn_wind_limits limits = limits_with(TRN_WIND_PROJECTED);
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = cylinders_between(pin_pairs[i]);
        drive.cylinder.bore_m = 0.34;
        trn_leaf leaf = windy_leaf(&drive, &limits);
        check_drive_limits(&leaf, &count);
    }
    assert_true(count.some > 100);
}

static void in_the_limiting_wind_a_linked_counterweight_uses_the_motors_to_the_full(void **state)
{
    (void)state;
    answers count = {0, 0, 0};
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_linked_counterweight linked = counterweight_on(four_bars[0]);
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    leaf.linked_counterweight = &linked;
    leaf.part_count--;
    leaf.pocket_count = 0;
    check_drive_limits(&leaf, &count);
    assert_true(count.some > 30);
}

static void a_table_over_incidence_takes_no_other_coefficient(void **state)
{
    (void)state;
    const trn_incidence_point table[] = {{0.0, 0.0}, {0.5, 1.4}, {QUARTER_TURN, 1.2}};
    trn_wind_limits limits = limits_with(TRN_WIND_INCIDENCE);
    limits.wind.coefficient = 1.0;
    limits.wind.table = table;
    limits.wind.table_count = COUNT(table);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    answers count = {0, 0, 0};
    check_drive_limits(&leaf, &count);
    assert_true(count.some > 30);
}

/* The brakes' factor in a wind of some speed, as a holding of its own. */
static double factor_in(const trn_leaf *leaf, bool brake_out, double angle_rad, double speed_m_s)
{
    trn_holding holding = {.name = "limit", .wind = leaf->wind_limits->wind, .factor = 1.0};
    holding.wind.speed_m_s = speed_m_s;
    double demand = (double)NAN;
    assert_int_equal(trn_holding_demand(leaf, &holding, &angle_rad, 1, &demand, NULL), TRN_OK);
    return (trn_brake_capacity(leaf) - (brake_out ? trn_brake_strongest(leaf) : 0)) / demand;
}

static void check_hold_limits(const trn_leaf *leaf, answers *count)
{
    for (int out = 0; out <= 1; out++)
        for (int degrees = 0; degrees <= 76; degrees += 2) {
            trn_wind_question question = {.action = TRN_HOLD, .brake_out = out};
            double angle = degrees * DEGREE;
            double speed = limit_at(leaf, question, angle);
            if (isinf(speed)) {
                assert_true(factor_in(leaf, out, angle, TRN_WIND_HIGHEST) >= 1.5 * (1 - 1e-12));
                count->all++;
            } else if (speed > 0) {
                assert_close(factor_in(leaf, out, angle, speed), 1.5, 1e-9);
                count->some++;
            } else {
                assert_true(factor_in(leaf, out, angle, 0) <= 1.5 * (1 + 1e-12));
                count->none++;
            }
        }
}

static void in_the_limiting_wind_the_brakes_have_just_the_factor_left(void **state)
{
    (void)state;
    answers count = {0, 0, 0};
    trn_linked_counterweight linked = counterweight_on(four_bars[2]);
    for (int law = TRN_WIND_PROJECTED; law <= TRN_WIND_NORMAL; law++) {
        trn_wind_limits limits = limits_with((trn_wind_law)law);
        trn_leaf leaf = windy_leaf(NULL, &limits);
        check_hold_limits(&leaf, &count);
        leaf.linked_counterweight = &linked;
        leaf.part_count--;
        leaf.pocket_count = 0;
        check_hold_limits(&leaf, &count);
    }
    assert_true(count.none > 0 && count.some > 50);
}

/* A sail upright on the leaf, nothing else: p c = allowed moment, by hand. */
static void a_bare_sail_has_a_closed_form(void **state)
{
    (void)state;
    const trn_surface sail = {.name = "sail", .from = {10.0, 0.0}, .to = {12.0, 0.0}, .width_m = 80.0, .solidity = 0.8,
                              .takes_wind = true};
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    leaf.trunnion = NULL;
    leaf.part_count = 0;
    leaf.pocket_count = 0;
    leaf.surfaces = &sail;
    leaf.surface_count = 1;
    /* 128 m2 at 11 m: 1408 m3. Two motors driving, or overhauled, at 1.2 of 160 kW / 91 rad/s. */
    double torque = 2 * 1.2 * 160e3 / 91.0 * 1500.0;
    double raise = limit_at(&leaf, (trn_wind_question){.action = TRN_RAISE, .motors_running = 2}, 0.6);
    assert_close(raise, sqrt(2 * torque * 0.8 / 1408.0 / 1.3 / 1.2), 1e-12);
    double hold = limit_at(&leaf, (trn_wind_question){.action = TRN_HOLD}, 0.6);
    assert_close(hold, sqrt(2 * (7.5e6 + 2.1e6) / 1.5 / 1408.0 / 1.3 / 1.2), 1e-12);
    double one_out = limit_at(&leaf, (trn_wind_question){.action = TRN_HOLD, .brake_out = true}, 0.6);
    assert_close(one_out, sqrt(2 * (3.75e6 + 2.1e6) / 1.5 / 1408.0 / 1.3 / 1.2), 1e-12);
}

static void a_sail_on_the_heel_asks_the_brakes_for_as_much(void **state)
{
    (void)state;
    trn_surface sail = {.name = "sail", .from = {10.0, 0.0}, .to = {12.0, 0.0}, .width_m = 80.0, .solidity = 0.8,
                        .takes_wind = true};
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_leaf leaf = windy_leaf(NULL, &limits);
    leaf.surfaces = &sail;
    leaf.surface_count = 1;
    leaf.part_count = 0;
    leaf.pocket_count = 0;
    double toe = limit_at(&leaf, (trn_wind_question){.action = TRN_HOLD}, 0.6);
    sail.from.x = -12.0;
    sail.to.x = -10.0;
    assert_close(limit_at(&leaf, (trn_wind_question){.action = TRN_HOLD}, 0.6), toe, 1e-13);
    assert_true(toe > 0 && isfinite(toe));
}

/* A great sail whose middle stands within the friction circle, 30 mm above the trunnion: wind from one side first
   helps to move, until the leaf overhauls the motors; a storm presses the journals so that they hold it again. */
static void check_dip(trn_action action)
{
    trn_wind_side helping = action == TRN_RAISE ? TRN_WIND_FROM_TOE : TRN_WIND_FROM_HEEL;
    trn_wind_side resisting = action == TRN_RAISE ? TRN_WIND_FROM_HEEL : TRN_WIND_FROM_TOE;
    const trn_surface sail = {.name = "sail", .from = {0.0, -4.97}, .to = {0.0, 5.03}, .width_m = 100.0,
                              .solidity = 1.0, .takes_wind = true};
    trn_part weight = trn_default_part();
    weight.name = "weight";
    weight.weight_N = 1e6;
    weight.at = (trn_point){action == TRN_RAISE ? -0.0982 : 0.0982, 0.0};
    trn_journal journal = machinery_journal;
    journal.drag_Nm = 0;
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    limits.friction = TRN_FRICTION_STARTING;
    /* 60 kN m overhauling, with 55 kN m of it used in calm air. */
    limits.motor_limit = 60e3 * 0.8 / 1500 / 2 / (160e3 / 91.0);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    leaf.trunnion = &journal;
    leaf.parts = &weight;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    leaf.surfaces = &sail;
    leaf.surface_count = 1;
    trn_wind_question question = {.action = action, .motors_running = 2};
    /* k sqrt(W2 + F2) = k W + m F - 5 kN m, the lesser root */
    double k = 0.18 * 0.24;
    double m = 0.03;
    double rest = k * 1e6 - 5e3;
    double square = k * k - m * m;
    double force = (rest * m - sqrt(rest * rest * m * m - square * (k * k * 1e12 - rest * rest))) / square;
    double speed = limit_at(&leaf, question, 0.0);
    assert_close(speed, sqrt(2 * force / 1000.0 / 1.3 / 1.2), 1e-9);
    assert_true(use_in(&leaf, question, 0.0, 2 * speed, helping) > 1);
    assert_true(use_in(&leaf, question, 0.0, 4 * speed, helping) < 1);
    answers count = {0, 0, 0};
    check_drive_limit(&leaf, question, 0.0, &count);
    /* With a little more allowed it never comes so far, and the wind from the other side is what limits. */
    limits.motor_limit *= 75.0 / 60.0;
    double higher = limit_at(&leaf, question, 0.0);
    assert_true(higher > 2 * speed);
    assert_close(use_in(&leaf, question, 0.0, higher, resisting), 1.0, 1e-9);
    check_drive_limit(&leaf, question, 0.0, &count);
    assert_int_equal(count.some, 2);
}

static void a_wind_that_first_overhauls_and_then_brakes_is_limited_by_the_first(void **state)
{
    (void)state;
    check_dip(TRN_RAISE);
    check_dip(TRN_LOWER);
}

static void without_a_sail_nothing_limits_the_wind(void **state)
{
    (void)state;
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    limits.motor_limit = 50.0;
    limits.hold_factor = 0.1;
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    leaf.surface_count = 0;
    for (int action = TRN_RAISE; action <= TRN_HOLD; action++) {
        trn_wind_question question = {.action = (trn_action)action, .motors_running = 2};
        assert_true(isinf(limit_at(&leaf, question, 0.4)));
        assert_true(isinf(lowest_of(&leaf, question).speed_m_s));
    }
}

static void where_calm_air_fails_there_is_no_wind_at_all(void **state)
{
    (void)state;
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    limits.motor_limit = 1e-3;
    limits.hold_factor = 1e3;
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    for (int action = TRN_RAISE; action <= TRN_HOLD; action++) {
        trn_wind_question question = {.action = (trn_action)action, .motors_running = 2};
        assert_same_bits(limit_at(&leaf, question, 0.1), 0.0);
        assert_same_bits(lowest_of(&leaf, question).speed_m_s, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_the_limiting_wind_the_motors_are_used_to_the_full),
        cmocka_unit_test(in_the_limiting_wind_struts_are_used_to_the_full),
        cmocka_unit_test(in_the_limiting_wind_cylinders_are_used_to_the_full),
        cmocka_unit_test(in_the_limiting_wind_a_linked_counterweight_uses_the_motors_to_the_full),
        cmocka_unit_test(a_table_over_incidence_takes_no_other_coefficient),
        cmocka_unit_test(in_the_limiting_wind_the_brakes_have_just_the_factor_left),
        cmocka_unit_test(a_bare_sail_has_a_closed_form),
        cmocka_unit_test(a_sail_on_the_heel_asks_the_brakes_for_as_much),
        cmocka_unit_test(a_wind_that_first_overhauls_and_then_brakes_is_limited_by_the_first),
        cmocka_unit_test(without_a_sail_nothing_limits_the_wind),
        cmocka_unit_test(where_calm_air_fails_there_is_no_wind_at_all),
    };
    return cmocka_run_group_tests_name("wind limit", tests, NULL, NULL);
}
