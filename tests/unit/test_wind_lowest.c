/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lowest limiting wind of a whole travel, how limits move, what they lack, and Beaufort numbers. */
#include "linkage.h"
#include "trunnion/windlimit.h"

static const trn_brake brakes[] = {
    {.name = "motor brakes", .count = 2, .torque_Nm = 2500.0, .ratio = 1500.0, .set_time_s = 0.5},
    {.name = "machinery brake", .count = 1, .torque_Nm = 30000.0, .ratio = 70.0, .set_time_s = 0.2},
};
static const trn_motors strong = {.installed = 3, .running = 2, .power_W = 250e3, .speed_rad_s = 91.0, .peak = 2.0};

static trn_wind_limits limits_with(trn_wind_law law)
{
    trn_wind_limits limits = {.wind = trn_default_wind(), .friction = TRN_FRICTION_MOVING, .motor_limit = 1.2,
                              .hold_factor = 1.5};
    limits.wind.by_speed = true;
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
    assert_int_equal(trn_wind_limits_at(leaf, question, &angle_rad, 1, &speed, NULL), TRN_OK);
    return speed;
}

static const trn_wind_question questions[] = {
    {TRN_RAISE, 2, false}, {TRN_LOWER, 2, false}, {TRN_RAISE, 1, false},
    {TRN_LOWER, 3, false}, {TRN_HOLD, 1, false},  {TRN_HOLD, 1, true},
};

static void check_lowest(const trn_leaf *leaf, trn_wind_question question)
{
    enum { FINE = 951 };
    static double angles[FINE];
    static double speeds[FINE];
    for (int i = 0; i < FINE; i++)
        angles[i] = leaf->opens_to_rad * i / (FINE - 1);
    assert_int_equal(trn_wind_limits_at(leaf, question, angles, FINE, speeds, NULL), TRN_OK);
    trn_wind_lowest lowest;
    assert_int_equal(trn_wind_limit(leaf, question, &lowest, NULL), TRN_OK);
    assert_true(lowest.angle_rad >= 0 && lowest.angle_rad <= leaf->opens_to_rad);
    assert_same_bits(limit_at(leaf, question, lowest.angle_rad), lowest.speed_m_s);
    for (int i = 0; i < FINE; i++)
        assert_true(speeds[i] >= lowest.speed_m_s * (1 - 1e-9));
}

static void the_lowest_limit_is_below_that_of_every_other_angle(void **state)
{
    (void)state;
    const trn_drive drives[] = {rack_at(0, 0, 0), rack_at(4.5, 1.0, 20 * DEGREE), strut_between(pin_pairs[0]),
                                cylinders_between(pin_pairs[1])};
    for (size_t i = 0; i < COUNT(drives); i++)
        for (int law = TRN_WIND_PROJECTED; law <= TRN_WIND_NORMAL; law++) {
            trn_wind_limits limits = limits_with((trn_wind_law)law);
            trn_leaf leaf = windy_leaf(&drives[i], &limits);
            for (size_t j = 0; j < COUNT(questions); j++)
                check_lowest(&leaf, questions[j]);
        }
}

static void the_lowest_limit_is_found_with_a_linked_counterweight(void **state)
{
    (void)state;
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_linked_counterweight linked = counterweight_on(four_bars[2]);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    leaf.linked_counterweight = &linked;
    leaf.part_count--;
    for (size_t j = 0; j < COUNT(questions); j++)
        check_lowest(&leaf, questions[j]);
}

static void a_narrow_dip_is_not_missed(void **state)
{
    (void)state;
    trn_wind_limits limits = limits_with(TRN_WIND_INCIDENCE);
    limits.wind.table = spike;
    limits.wind.table_count = COUNT(spike);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = spiked_leaf(&drive);
    leaf.motors = &strong;
    leaf.brakes = brakes;
    leaf.brake_count = COUNT(brakes);
    leaf.wind_limits = &limits;
    double torque = 2 * 1.2 * 250e3 / 91.0 * 1500.0 * 0.8;
    trn_wind_lowest lowest;
    assert_int_equal(trn_wind_limit(&leaf, questions[0], &lowest, NULL), TRN_OK);
    assert_near(lowest.angle_rad, 42.1 * DEGREE, 1e-8);
    assert_close(lowest.speed_m_s, sqrt(2 * torque / 2.5 / 1100.0 / 1.25), 1e-6);
    assert_int_equal(trn_wind_limit(&leaf, questions[4], &lowest, NULL), TRN_OK);
    assert_near(lowest.angle_rad, 42.1 * DEGREE, 1e-8);
    assert_close(lowest.speed_m_s, sqrt(2 * 9.6e6 / 1.5 / 2.5 / 1100.0 / 1.25), 1e-6);
}

static void a_higher_motor_limit_lets_no_less_wind(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    int grew = 0;
    for (size_t j = 0; j < 4; j++)
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            double before = 0;
            for (double limit = 0.3; limit < 4; limit *= 1.25) {
                trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
                limits.motor_limit = limit;
                trn_leaf leaf = windy_leaf(&drive, &limits);
                double speed = limit_at(&leaf, questions[j], degrees * DEGREE);
                assert_true(speed >= before);
                grew += speed > before;
                before = speed;
            }
        }
    assert_true(grew > 300);
}

static void more_brake_torque_lets_no_less_wind_and_a_higher_factor_no_more(void **state)
{
    (void)state;
    for (int degrees = 0; degrees <= 76; degrees += 4) {
        double before = 0;
        double last = HUGE_VAL;
        for (double more = 0.3; more < 6; more *= 1.3) {
            trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
            trn_leaf leaf = windy_leaf(NULL, &limits);
            trn_brake stronger[COUNT(brakes)] = {brakes[0], brakes[1]};
            stronger[0].torque_Nm *= more;
            stronger[1].torque_Nm *= more;
            leaf.brakes = stronger;
            double speed = limit_at(&leaf, questions[4], degrees * DEGREE);
            assert_true(speed >= before);
            assert_true(limit_at(&leaf, questions[5], degrees * DEGREE) <= speed);
            before = speed;
            leaf.brakes = brakes;
            limits.hold_factor = more;
            speed = limit_at(&leaf, questions[4], degrees * DEGREE);
            assert_true(speed <= last);
            last = speed;
        }
    }
}

static void more_motors_let_no_less_wind(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    trn_wind_limits limits = limits_with(TRN_WIND_PROJECTED);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    for (int action = TRN_RAISE; action <= TRN_LOWER; action++)
        for (int degrees = 0; degrees <= 76; degrees += 4)
            for (int running = 1; running < 3; running++) {
                trn_wind_question few = {(trn_action)action, running, false};
                trn_wind_question many = {(trn_action)action, running + 1, false};
                assert_true(limit_at(&leaf, many, degrees * DEGREE) >= limit_at(&leaf, few, degrees * DEGREE));
            }
}

/* Twice the coefficient or the density is a limit lower by the root of two. */
static void the_limit_goes_with_the_root_of_pressure(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    for (size_t j = 0; j < COUNT(questions); j++) {
        limits.wind.coefficient = 8.0;
        double whole = limit_at(&leaf, questions[j], 0.9);
        assert_true(whole > 0 && isfinite(whole));
        limits.wind.coefficient = 16.0;
        assert_close(limit_at(&leaf, questions[j], 0.9), whole / sqrt(2), 1e-12);
        limits.wind.coefficient = 8.0;
        limits.wind.density_kg_m3 *= 2;
        assert_close(limit_at(&leaf, questions[j], 0.9), whole / sqrt(2), 1e-12);
        limits.wind.density_kg_m3 /= 2;
    }
}

static trn_wind_lowest lowest_by(const trn_leaf *leaf, trn_wind_question question, bool by_law)
{
    trn_wind_lowest lowest;
    const trn_status status = by_law ? trn_wind_limit_by_law(leaf, question, &lowest, NULL)
                                     : trn_wind_limit(leaf, question, &lowest, NULL);
    assert_int_equal(status, TRN_OK);
    return lowest;
}

static void a_law_that_gives_enough_changes_no_limit(void **state)
{
    (void)state;
    const trn_drive drives[] = {rack_at(0, 0, 0), strut_between(pin_pairs[0]), cylinders_between(pin_pairs[1])};
    for (size_t i = 0; i < COUNT(drives); i++)
        for (size_t j = 0; j < COUNT(questions); j++) {
            trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
            trn_leaf leaf = windy_leaf(&drives[i], &limits);
            assert_same_bits(lowest_by(&leaf, questions[j], true).speed_m_s,
                             lowest_by(&leaf, questions[j], false).speed_m_s);
            /* Cylinders have no law, and brakes none. */
            trn_motors weak = strong;
            weak.peak = 0.1;
            leaf.motors = &weak;
            if (i == 2 || questions[j].action == TRN_HOLD)
                assert_same_bits(lowest_by(&leaf, questions[j], true).speed_m_s,
                                 lowest_by(&leaf, questions[j], false).speed_m_s);
        }
}

static double given_by_law(const trn_leaf *leaf, double angle_rad)
{
    if (leaf->travel == NULL)
        return trn_motor_peak_torque(leaf->motors);
    const double speed = trn_drive_at(leaf->drive, trn_rotation_by(angle_rad)).ratio * leaf->travel->speed_rad_s;
    return fmax(trn_motor_torque(leaf->motors, speed), 0);
}

/* In the wind that the law bears the motors are asked for just what it gives at one angle, and nowhere for more. False
   where the law takes nothing from a limit, or all. */
static bool takes_the_law_whole(const trn_leaf *leaf, trn_motors *motors, trn_wind_question question)
{
    const trn_wind_lowest found = lowest_by(leaf, question, true);
    if (!(found.speed_m_s > 0 && found.speed_m_s < lowest_by(leaf, question, false).speed_m_s))
        return false;
    trn_case windy = trn_default_case();
    windy.wind = leaf->wind_limits->wind;
    windy.wind.speed_m_s = found.speed_m_s;
    motors->running = question.motors_running;
    double least_left = HUGE_VAL;
    for (int side = TRN_WIND_FROM_HEEL; side <= TRN_WIND_FROM_TOE; side++) {
        windy.wind.from = (trn_wind_side)side;
        const trn_loading loading = loading_of(leaf, &windy);
        for (int k = -1; k <= 760; k++) {
            const double angle = k < 0 ? found.angle_rad : leaf->opens_to_rad * k / 760;
            const trn_moments row = trn_loading_moments(&loading, angle);
            const double asked = question.action == TRN_RAISE ? row.motor_opening_Nm : row.motor_closing_Nm;
            const double left = given_by_law(leaf, angle) - fmax(asked, 0);
            assert_true(left >= -1e-6 * trn_motor_rated_torque(motors));
            least_left = k < 0 ? fmin(least_left, left) : least_left;
        }
    }
    assert_near(least_left, 0, 1e-6 * trn_motor_rated_torque(motors));
    return true;
}

static void in_the_wind_that_the_law_bears_it_gives_just_what_is_asked(void **state)
{
    (void)state;
    int taken = 0;
    for (size_t i = 0; i < COUNT(pin_pairs); i++)
        for (size_t j = 0; j < 4; j++)
            for (double power = 60e3; power < 300e3; power *= 1.4) {
                trn_drive strut = strut_between(pin_pairs[i]);
                trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
                limits.motor_limit = 1.8;
                trn_leaf leaf = windy_leaf(&strut, &limits);
                trn_motors motors = strong;
                motors.power_W = power;
                motors.law = TRN_TORQUE_INDUCTION;
                motors.synchronous_rad_s = 96.0;
                motors.breakdown = 2.5;
                leaf.motors = &motors;
                trn_travel travel = machinery_travel;
                travel.speed_rad_s = 92.0 / trn_drive_at(&strut, trn_rotation_by(0.6)).ratio;
                leaf.travel = &travel;
                taken += takes_the_law_whole(&leaf, &motors, questions[j]);
            }
    assert_true(taken > 10);
}

static void without_a_travel_the_law_gives_its_peak(void **state)
{
    (void)state;
    trn_drive gears = rack_at(0, 0, 0);
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_leaf leaf = windy_leaf(&gears, &limits);
    leaf.travel = NULL;
    trn_motors weak = strong;
    weak.peak = 0.5;
    leaf.motors = &weak;
    assert_true(takes_the_law_whole(&leaf, &weak, questions[0]));
}

static void what_is_missing_is_named(void **state)
{
    (void)state;
    trn_drive drive = rack_at(0, 0, 0);
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    const struct {
        trn_action action;
        const char *name;
    } asked[] = {{TRN_RAISE, "'wind_limits'"}, {TRN_HOLD, "'wind_limits'"}, {TRN_LOWER, "'drive'"},
                 {TRN_RAISE, "'motors'"},      {TRN_HOLD, "'brakes'"}};
    for (size_t i = 0; i < COUNT(asked); i++) {
        trn_leaf leaf = windy_leaf(i == 2 ? NULL : &drive, i < 2 ? NULL : &limits);
        leaf.motors = i == 3 ? NULL : &strong;
        leaf.brake_count = i == 4 ? 0 : COUNT(brakes);
        trn_wind_lowest lowest = {.speed_m_s = 17.0};
        trn_error error = {.status = TRN_OK};
        trn_wind_question question = {asked[i].action, 1, false};
        assert_int_equal(trn_wind_limit(&leaf, question, &lowest, &error), TRN_MISSING_SECTION);
        assert_non_null(strstr(error.text, asked[i].name));
        double angle = 0.1;
        double speed = 17.0;
        assert_int_equal(trn_wind_limits_at(&leaf, question, &angle, 1, &speed, NULL), TRN_MISSING_SECTION);
        assert_same_bits(lowest.speed_m_s, 17.0);
        assert_same_bits(speed, 17.0);
    }
}

static void brakes_are_no_matter_to_raising_and_motors_none_to_holding(void **state)
{
    (void)state;
    trn_drive drive = rack_at(0, 0, 0);
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    double raise = limit_at(&leaf, questions[0], 0.4);
    double hold = limit_at(&leaf, questions[4], 0.4);
    leaf.brake_count = 0;
    assert_same_bits(limit_at(&leaf, questions[0], 0.4), raise);
    leaf = windy_leaf(NULL, &limits);
    leaf.motors = NULL;
    assert_same_bits(limit_at(&leaf, questions[4], 0.4), hold);
}

static void cylinders_need_no_motors(void **state)
{
    (void)state;
    trn_drive drive = cylinders_between(pin_pairs[1]);
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    double with = limit_at(&leaf, questions[0], 0.4);
    leaf.motors = NULL;
    assert_same_bits(limit_at(&leaf, questions[0], 0.4), with);
}

static void beaufort_numbers_begin_and_end_at_the_bounds_of_the_wmo(void **state)
{
    (void)state;
    const double upper[] = {0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7, 24.4, 28.4, 32.6};
    assert_int_equal(trn_beaufort(0.0), 0);
    for (int number = 0; number < (int)COUNT(upper); number++) {
        assert_int_equal(trn_beaufort(upper[number]), number);
        assert_int_equal(trn_beaufort(upper[number] + 0.1), number + 1);
        assert_int_equal(trn_beaufort(upper[number] + 0.049), number);
        assert_int_equal(trn_beaufort(upper[number] + 0.051), number + 1);
    }
    assert_int_equal(trn_beaufort(100.0), 12);
}

static void beaufort_numbers_never_fall(void **state)
{
    (void)state;
    int before = 0;
    for (int i = 0; i <= 40000; i++) {
        int number = trn_beaufort(1e-3 * i);
        assert_true(number == before || number == before + 1);
        before = number;
    }
    assert_int_equal(before, 12);
}

/* By the limits themselves: from each degree the way down must bear what the way up bore. */
static bool comes_down_by_rows(const trn_leaf *leaf, int running)
{
    double up = HUGE_VAL;
    double down = HUGE_VAL;
    for (int i = 0; i <= (int)ceil(leaf->opens_to_rad / DEGREE - 1e-9); i++) {
        const double angle = fmin(i * DEGREE, leaf->opens_to_rad);
        up = fmin(up, limit_at(leaf, (trn_wind_question){TRN_RAISE, running, false}, angle));
        down = fmin(down, limit_at(leaf, (trn_wind_question){TRN_LOWER, running, false}, angle));
        if (!(down > 0) || down < up * (1 - 1e-9))
            return false;
    }
    return true;
}

static void a_raised_leaf_comes_down_where_lowering_bears_as_much_all_the_way(void **state)
{
    (void)state;
    size_t no = 0;
    for (int law = TRN_WIND_PROJECTED; law <= TRN_WIND_NORMAL; law++)
        for (double limit = 1e-3; limit < 4; limit *= 1.7) {
            trn_wind_limits limits = limits_with((trn_wind_law)law);
            limits.motor_limit = limit;
            trn_drive drive = rack_at(0, 0, 0);
            trn_leaf leaf = windy_leaf(&drive, &limits);
            bool comes_down = false;
            assert_int_equal(trn_wind_comes_down(&leaf, 2, &comes_down, NULL), TRN_OK);
            assert_int_equal(comes_down, comes_down_by_rows(&leaf, 2));
            no += !comes_down;
        }
    assert_true(no > 0);
    /* A leaf that calm air already keeps from closing, and one that no wind stops. */
    trn_wind_limits limits = limits_with(TRN_WIND_NORMAL);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = windy_leaf(&drive, &limits);
    leaf.surface_count = 0;
    bool comes_down = false;
    assert_int_equal(trn_wind_comes_down(&leaf, 2, &comes_down, NULL), TRN_OK);
    assert_true(comes_down);
    leaf.wind_limits = NULL;
    assert_int_equal(trn_wind_comes_down(&leaf, 2, &comes_down, NULL), TRN_MISSING_SECTION);
}

static void a_whole_beaufort_number_lies_within_the_speed(void **state)
{
    (void)state;
    const double bounds[] = {0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7, 24.4, 28.4, 32.6};
    assert_int_equal(trn_beaufort_within(0.0), -1);
    for (int i = 0; i < (int)COUNT(bounds); i++) {
        assert_int_equal(trn_beaufort_within(bounds[i]), i);
        assert_int_equal(trn_beaufort_within(bounds[i] - 1e-9), i - 1);
    }
    assert_int_equal(trn_beaufort_within(99.0), 11);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_raised_leaf_comes_down_where_lowering_bears_as_much_all_the_way),
        cmocka_unit_test(a_whole_beaufort_number_lies_within_the_speed),
        cmocka_unit_test(the_lowest_limit_is_below_that_of_every_other_angle),
        cmocka_unit_test(the_lowest_limit_is_found_with_a_linked_counterweight),
        cmocka_unit_test(a_narrow_dip_is_not_missed),
        cmocka_unit_test(a_higher_motor_limit_lets_no_less_wind),
        cmocka_unit_test(more_brake_torque_lets_no_less_wind_and_a_higher_factor_no_more),
        cmocka_unit_test(more_motors_let_no_less_wind),
        cmocka_unit_test(the_limit_goes_with_the_root_of_pressure),
        cmocka_unit_test(a_law_that_gives_enough_changes_no_limit),
        cmocka_unit_test(in_the_wind_that_the_law_bears_it_gives_just_what_is_asked),
        cmocka_unit_test(without_a_travel_the_law_gives_its_peak),
        cmocka_unit_test(what_is_missing_is_named),
        cmocka_unit_test(brakes_are_no_matter_to_raising_and_motors_none_to_holding),
        cmocka_unit_test(cylinders_need_no_motors),
        cmocka_unit_test(beaufort_numbers_begin_and_end_at_the_bounds_of_the_wmo),
        cmocka_unit_test(beaufort_numbers_never_fall),
    };
    return cmocka_run_group_tests_name("wind lowest", tests, NULL, NULL);
}
