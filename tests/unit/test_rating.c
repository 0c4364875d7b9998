/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The worst that a case asks of motors and cylinders. */
#include "linkage.h"
#include "trunnion/rating.h"

static trn_rating rating_of(const trn_leaf *leaf, const trn_case *load_case, trn_direction direction, int running)
{
    trn_rating rating;
    trn_error error = {.status = TRN_OK};
    if (trn_leaf_rating(leaf, load_case, direction, running, &rating, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return rating;
}

/* Torque of a motor, or pressure of a cylinder, at an angle. */
static double asked_at(const trn_loading *loading, trn_direction direction, double angle_rad)
{
    trn_moments row = trn_loading_moments(loading, angle_rad);
    bool opening = direction == TRN_OPENING;
    if (row.has_pressure)
        return opening ? row.pressure_opening_Pa : row.pressure_closing_Pa;
    return fabs(opening ? row.motor_opening_Nm : row.motor_closing_Nm);
}

static void check_worst(const trn_leaf *leaf, const trn_case *load_case)
{
    trn_loading loading = loading_of(leaf, load_case);
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        trn_rating got = rating_of(leaf, load_case, (trn_direction)direction, 2);
        double worst = asked_at(&loading, (trn_direction)direction, got.worst_angle_rad);
        assert_true(got.worst_angle_rad >= 0 && got.worst_angle_rad <= leaf->opens_to_rad);
        assert_close(leaf->drive->kind == TRN_DRIVE_CYLINDER ? got.pressure_Pa : fabs(got.motor_Nm), worst, 1e-14);
        trn_moments row = trn_loading_moments(&loading, got.worst_angle_rad);
        assert_same_bits(got.leaf_Nm, direction == TRN_OPENING ? row.opening_Nm : row.closing_Nm);
        assert_same_bits(got.force_N, direction == TRN_OPENING ? row.force_opening_N : row.force_closing_N);
        for (int i = 0; i <= 7600; i++) {
            double asked = asked_at(&loading, (trn_direction)direction, leaf->opens_to_rad * i / 7600);
            assert_true(asked <= worst * (1 + 1e-12));
        }
        for (double off = 1e-6; off < 2e-2; off *= 10) {
            double after = fmin(got.worst_angle_rad + off, leaf->opens_to_rad);
            double before = fmax(got.worst_angle_rad - off, 0);
            assert_true(asked_at(&loading, (trn_direction)direction, after) <= worst * (1 + 1e-13));
            assert_true(asked_at(&loading, (trn_direction)direction, before) <= worst * (1 + 1e-13));
        }
    }
}

static void the_worst_angle_beats_every_other_on_a_rack(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    trn_leaf leaf = driven_leaf(&drive);
    trn_case rough = rough_case();
    check_worst(&leaf, &rough);
    rough.wind.law = TRN_WIND_PROJECTED;
    rough.wind.pressure_Pa = 900.0;
    check_worst(&leaf, &rough);
}

static void the_worst_angle_beats_every_other_on_struts_and_cylinders(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive strut = strut_between(pin_pairs[i]);
        trn_drive cylinder = cylinders_between(pin_pairs[i]);
        trn_leaf leaf = driven_leaf(i % 2 == 0 ? &strut : &cylinder);
        check_worst(&leaf, &rough);
    }
}

static void the_worst_angle_beats_every_other_with_a_linked_counterweight(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on(four_bars[0]);
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = driven_leaf(&drive);
    leaf.linked_counterweight = &linked;
    leaf.part_count--;
    trn_case rough = rough_case();
    check_worst(&leaf, &rough);
}

/* M = W R cos(theta + alpha) has its peak inside the travel where alpha is negative. */
static void check_peak(double peak_rad)
{
    trn_part weight = trn_default_part();
    weight.name = "low";
    weight.weight_N = 1e5;
    weight.at = (trn_point){5 * cos(peak_rad), -5 * sin(peak_rad)};
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = driven_leaf(&drive);
    leaf.parts = &weight;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    leaf.trunnion = NULL;
    trn_case still = trn_default_case();
    trn_rating got = rating_of(&leaf, &still, TRN_OPENING, 2);
    assert_near(got.worst_angle_rad, peak_rad, 1e-7);
    assert_close(got.leaf_Nm, 5e5, 1e-13);
    assert_close(got.motor_Nm, 5e5 / 1500 / 0.8 / 2, 1e-13);
    assert_close(got.rated_Nm, 30e3 / 91.0, 1e-15);
    assert_close(got.power_W, 5e5 / 1500 / 0.8 / 2 * 1500 * 0.02, 1e-13);
    assert_close(got.use, got.motor_Nm / got.allowed_Nm, 1e-15);
}

/* Before and behind the nearest of any even steps. */
static void a_peak_within_the_travel_is_located_and_not_just_met(void **state)
{
    (void)state;
    for (double degrees = 31.03; degrees < 32.0; degrees += 0.07)
        check_peak(degrees * DEGREE);
}

static void a_narrow_peak_is_not_missed(void **state)
{
    (void)state;
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = spiked_leaf(&drive);
    trn_case gust = trn_default_case();
    gust.wind = spiked_wind(400.0);
    trn_rating got = rating_of(&leaf, &gust, TRN_OPENING, 2);
    assert_near(got.worst_angle_rad, 42.1 * DEGREE, 1e-8);
    assert_close(got.leaf_Nm, 400.0 * 2.5 * 1100.0, 1e-6);
}

static void an_overhauling_leaf_uses_the_motors_too(void **state)
{
    (void)state;
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = driven_leaf(&drive);
    leaf.trunnion = NULL;
    trn_case still = trn_default_case();
    trn_rating opening = rating_of(&leaf, &still, TRN_OPENING, 2);
    /* The sample is counterweight heavy: it opens by itself, and nothing but the gears' loss helps. */
    assert_true(opening.leaf_Nm < 0 && opening.motor_Nm < 0 && opening.power_W < 0);
    assert_close(opening.motor_Nm, opening.leaf_Nm * 0.8 / 1500 / 2, 1e-13);
    assert_true(opening.use > 0);
    assert_close(opening.use, -opening.motor_Nm / (30e3 / 91.0), 1e-14);
}

static void fewer_motors_each_give_more(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    trn_leaf leaf = driven_leaf(&drive);
    trn_case rough = rough_case();
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        trn_rating one = rating_of(&leaf, &rough, (trn_direction)direction, 1);
        trn_rating three = rating_of(&leaf, &rough, (trn_direction)direction, 3);
        assert_close(one.use, 3.0 * three.use, 1e-12);
        assert_close(one.leaf_Nm, three.leaf_Nm, 1e-13);
        assert_close(one.power_W, 3.0 * three.power_W, 1e-12);
    }
    assert_int_equal(leaf.motors->running, 2);
}

static void use_falls_with_the_motor_limit_and_one_is_just_met(void **state)
{
    (void)state;
    trn_drive drive = rack_at(4.5, 1.0, 20 * DEGREE);
    trn_leaf leaf = driven_leaf(&drive);
    trn_case rough = rough_case();
    trn_rating whole = rating_of(&leaf, &rough, TRN_CLOSING, 2);
    rough.motor_limit = 2.5;
    trn_rating more = rating_of(&leaf, &rough, TRN_CLOSING, 2);
    assert_close(more.use, whole.use / 2.5, 1e-14);
    assert_close(more.allowed_Nm, 2.5 * 30e3 / 91.0, 1e-14);
    rough.motor_limit = whole.use * (1 + 1e-12);
    assert_true(rating_of(&leaf, &rough, TRN_CLOSING, 2).met);
    rough.motor_limit = whole.use * (1 - 1e-12);
    assert_false(rating_of(&leaf, &rough, TRN_CLOSING, 2).met);
}

static void cylinders_are_rated_by_their_pressure(void **state)
{
    (void)state;
    trn_drive drive = cylinders_between(pin_pairs[1]);
    trn_leaf leaf = driven_leaf(&drive);
    leaf.motors = NULL;
    trn_case rough = rough_case();
    rough.motor_limit = 0.9;
    trn_rating got = rating_of(&leaf, &rough, TRN_OPENING, 1);
    assert_close(got.allowed_Pa, 0.9 * 250e5, 1e-15);
    assert_close(got.use, got.pressure_Pa / got.allowed_Pa, 1e-15);
    assert_int_equal(got.met, got.use <= 1);
    assert_same_bits(got.motor_Nm, 0.0);
    assert_same_bits(got.rated_Nm, 0.0);
    assert_same_bits(got.allowed_Nm, 0.0);
    double lossless = trn_cylinder_pressure(&drive.cylinder, got.force_N);
    assert_close(got.pressure_Pa, got.leaf_Nm >= 0 ? lossless / 0.85 : lossless * 0.85, 1e-14);
}

static void what_is_missing_is_named(void **state)
{
    (void)state;
    trn_drive drive = rack_at(0, 0, 0);
    trn_case still = trn_default_case();
    trn_rating rating = {.use = 17.0};
    trn_error error = {.status = TRN_OK};
    trn_leaf leaf = driven_leaf(NULL);
    assert_int_equal(trn_leaf_rating(&leaf, &still, TRN_OPENING, 1, &rating, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'drive'"));
    leaf = driven_leaf(&drive);
    leaf.motors = NULL;
    assert_int_equal(trn_leaf_rating(&leaf, &still, TRN_OPENING, 1, &rating, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'motors'"));
    leaf = driven_leaf(&drive);
    leaf.travel = NULL;
    still.accelerating = true;
    assert_int_equal(trn_leaf_rating(&leaf, &still, TRN_OPENING, 1, &rating, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'travel'"));
    assert_same_bits(rating.use, 17.0);
    still.accelerating = false;
    assert_same_bits(rating_of(&leaf, &still, TRN_OPENING, 1).power_W, 0.0);
}

static void one_motor_out_leaves_the_spare_to_run(void **state)
{
    (void)state;
    trn_motors motors = machinery_motors;
    assert_int_equal(trn_motors_left(&motors), 2);
    motors.installed = 2;
    assert_int_equal(trn_motors_left(&motors), 1);
    motors.installed = motors.running = 1;
    assert_int_equal(trn_motors_left(&motors), 0);
}

/* The share of what a law gives at the travel's speed, at an angle; infinite where it gives nothing that is asked. */
static double share_of_law(const trn_leaf *leaf, const trn_loading *loading, trn_direction direction, double angle_rad)
{
    const trn_moments row = trn_loading_moments(loading, angle_rad);
    const double asked = direction == TRN_OPENING ? row.motor_opening_Nm : row.motor_closing_Nm;
    const double ratio = trn_drive_at(leaf->drive, trn_rotation_by(angle_rad)).ratio;
    const double given = trn_motor_torque(leaf->motors, ratio * leaf->travel->speed_rad_s);
    if (!(asked > 0))
        return 0;
    return given > 1e-9 * trn_motor_peak_torque(leaf->motors) ? asked / given : HUGE_VAL;
}

typedef struct law_answers {
    int met;
    int unmet;
    int elsewhere; /* than where most torque is asked */
} law_answers;

static void check_law(const trn_leaf *leaf, const trn_case *load_case, law_answers *count)
{
    const trn_loading loading = loading_of(leaf, load_case);
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        const trn_rating got = rating_of(leaf, load_case, (trn_direction)direction, leaf->motors->running);
        const double most = share_of_law(leaf, &loading, (trn_direction)direction, got.law.angle_rad);
        for (int k = 0; k <= 760; k++) {
            const double angle = leaf->opens_to_rad * k / 760;
            assert_true(share_of_law(leaf, &loading, (trn_direction)direction, angle) <= fmax(most, 0) * (1 + 1e-9));
        }
        assert_int_equal(got.law.met, most <= 1);
        *(got.law.met ? &count->met : &count->unmet) += 1;
        count->elsewhere += fabs(got.law.angle_rad - got.worst_angle_rad) > DEGREE;
    }
}

static void the_law_is_asked_most_where_no_other_angle_asks_more(void **state)
{
    (void)state;
    const trn_torque_point falls[] = {{0, 9000}, {20, 9000}, {70, 800}, {80, 600}};
    trn_motors strong = machinery_motors;
    strong.power_W *= 10;
    trn_motors laws[] = {strong, strong, strong};
    laws[0].law = TRN_TORQUE_INDUCTION;
    laws[0].synchronous_rad_s = 96.0;
    laws[0].breakdown = 2.2;
    laws[1].law = TRN_TORQUE_TABLE;
    laws[1].table = falls;
    laws[1].table_count = COUNT(falls);
    law_answers count = {0, 0, 0};
    for (size_t i = 0; i < COUNT(pin_pairs); i++)
        for (size_t law = 0; law < COUNT(laws); law++)
            for (int turn = 0; turn < 4; turn++) {
                trn_drive strut = strut_between(pin_pairs[i]);
                trn_travel travel = machinery_travel;
                travel.speed_rad_s = turn < 2 ? 0.02 : 0.06;
                trn_leaf leaf = driven_leaf(&strut);
                leaf.motors = &laws[law];
                leaf.travel = &travel;
                trn_case load_case = turn % 2 == 0 ? rough_case() : trn_default_case();
                check_law(&leaf, &load_case, &count);
            }
    assert_true(count.elsewhere > 10 && count.met > 10 && count.unmet > 10);
}

/* A wheel out of balance asks 10 to 0 kN m as it opens; the shafts turn at the same speed all the way. */
static void what_the_law_gives_is_told_with_its_speed(void **state)
{
    (void)state;
    trn_part weight = trn_default_part();
    weight.weight_N = 1e5;
    weight.at = (trn_point){5, 0};
    trn_drive gears = rack_at(0, 0, 0);
    trn_leaf leaf = driven_leaf(&gears);
    trn_motors motors = machinery_motors;
    motors.law = TRN_TORQUE_INDUCTION;
    motors.synchronous_rad_s = 96.0;
    motors.breakdown = 2.2;
    leaf.motors = &motors;
    leaf.parts = &weight;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    leaf.trunnion = NULL;
    trn_travel travel = machinery_travel;
    leaf.travel = &travel;
    trn_case still = trn_default_case();
    const double speeds[] = {0.9, 0.995, 1.05};
    for (size_t i = 0; i < COUNT(speeds); i++) {
        travel.speed_rad_s = 96.0 * speeds[i] / 1500;
        const trn_law_use law = rating_of(&leaf, &still, TRN_OPENING, 2).law;
        assert_near(law.angle_rad, 0, 0);
        assert_close(law.motor_Nm, 5e5 / 1500 / 0.8 / 2, 1e-13);
        assert_close(law.motor_speed_rad_s, 96.0 * speeds[i], 1e-15);
        assert_same_bits(law.available_Nm, trn_motor_torque(&motors, 1500 * travel.speed_rad_s));
        assert_int_equal(law.met, i == 0);
        /* The leaf that closes overhauls its motors: they are asked for nothing. */
        assert_true(rating_of(&leaf, &still, TRN_CLOSING, 2).law.met);
    }
    assert_true(trn_motor_torque(&motors, 1500 * travel.speed_rad_s) < 0);
    leaf.travel = NULL;
    const trn_law_use at_peak = rating_of(&leaf, &still, TRN_OPENING, 2).law;
    assert_near(at_peak.motor_speed_rad_s, 0, 0);
    assert_same_bits(at_peak.available_Nm, trn_motor_peak_torque(&motors));
    assert_true(at_peak.met);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_law_is_asked_most_where_no_other_angle_asks_more),
        cmocka_unit_test(what_the_law_gives_is_told_with_its_speed),
        cmocka_unit_test(the_worst_angle_beats_every_other_on_a_rack),
        cmocka_unit_test(the_worst_angle_beats_every_other_on_struts_and_cylinders),
        cmocka_unit_test(the_worst_angle_beats_every_other_with_a_linked_counterweight),
        cmocka_unit_test(a_peak_within_the_travel_is_located_and_not_just_met),
        cmocka_unit_test(a_narrow_peak_is_not_missed),
        cmocka_unit_test(an_overhauling_leaf_uses_the_motors_too),
        cmocka_unit_test(fewer_motors_each_give_more),
        cmocka_unit_test(use_falls_with_the_motor_limit_and_one_is_just_met),
        cmocka_unit_test(cylinders_are_rated_by_their_pressure),
        cmocka_unit_test(what_is_missing_is_named),
        cmocka_unit_test(one_motor_out_leaves_the_spare_to_run),
    };
    return cmocka_run_group_tests_name("rating", tests, NULL, NULL);
}
