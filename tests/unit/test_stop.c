/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stopping by the brakes alone, against closed forms. */
#include "stopping.h"

/* 100 kN m on 1e7 kg m2: 0.01 rad/s2. Delay: at 0.02 rad/s. Ramp of s: the speed falls by half of 0.01 s,
   the run by a sixth of 0.01 s2. Then constant. */
static void delay_ramp_and_constant_torque_have_a_closed_form(void **state)
{
    (void)state;
    trn_part part = wheel();
    const double delays[] = {0.0, 0.30037, 1.70053};
    const double sets[] = {0.25, 0.50019, 3.00071};
    for (size_t i = 0; i < COUNT(delays); i++)
        for (size_t j = 0; j < COUNT(sets); j++) {
            trn_brake brake = {"brake", 1, 100.0, 1000.0, delays[i], sets[j], 0.0};
            trn_leaf leaf = wheel_leaf(&part, &brake, 1);
            double heat = (double)NAN;
            trn_stop stop = stop_of(&leaf, 0.4, TRN_OPENING, &heat);
            double speed = 0.02 - 0.01 * sets[j] / 2;
            double run = 0.02 * (delays[i] + sets[j]) - 0.01 * sets[j] * sets[j] / 6 + speed * speed / 0.02;
            assert_true(stop.stops);
            assert_int_equal(stop.direction, TRN_OPENING);
            assert_same_bits(stop.from_angle_rad, 0.4);
            assert_close(stop.time_s, delays[i] + sets[j] + speed / 0.01, 1e-10);
            assert_close(stop.run_rad, run, 1e-10);
            assert_close(stop.peak_deceleration_rad_s2, 0.01, 1e-12);
            assert_close(heat, 0.5 * 1e7 * 0.02 * 0.02, 1e-9);
        }
}

static void a_brake_that_is_whole_at_once_has_a_closed_form(void **state)
{
    (void)state;
    trn_part part = wheel();
    for (double delay = 0.0; delay < 1.0; delay += 0.3) {
        trn_brake brake = {"brake", 1, 100.0, 1000.0, delay, 0.0, 0.0};
        trn_leaf leaf = wheel_leaf(&part, &brake, 1);
        double heat = (double)NAN;
        trn_stop stop = stop_of(&leaf, 0.4, TRN_OPENING, &heat);
        assert_close(stop.time_s, delay + 2.0, 1e-8);
        assert_close(stop.run_rad, 0.02 * delay + 0.02, 1e-8);
        assert_close(stop.peak_deceleration_rad_s2, 0.01, 1e-12);
        assert_close(heat, 2000.0, 1e-8);
    }
}

/* Friction apart, each brake from its own moment on: no step goes across one. */
static void brakes_that_set_one_after_the_other_have_a_closed_form(void **state)
{
    (void)state;
    trn_part part = wheel();
    const trn_brake brakes[] = {{"first", 1, 50.0, 1000.0, 0.10037, 0.0, 0.0},
                                {"second", 1, 30.0, 1000.0, 0.70071, 0.0, 0.0},
                                {"third", 2, 20.0, 1000.0, 1.30049, 0.0, 0.0}};
    trn_leaf leaf = wheel_leaf(&part, brakes, COUNT(brakes));
    double speed = 0.02;
    double run = speed * brakes[0].delay_s;
    double torque = 0;
    for (size_t i = 0; i < COUNT(brakes); i++) {
        torque += brakes[i].count * brakes[i].torque_Nm * 1000;
        const double slowing = torque / 1e7;
        const double lasts = i + 1 < COUNT(brakes) ? brakes[i + 1].delay_s - brakes[i].delay_s : speed / slowing;
        run += lasts * (speed - slowing * lasts / 2);
        speed -= slowing * lasts;
        if (i + 1 == COUNT(brakes)) {
            trn_stop stop = stop_of(&leaf, 0.4, TRN_CLOSING, NULL);
            assert_close(stop.time_s, brakes[i].delay_s + lasts, 1e-9);
            assert_close(stop.run_rad, run, 1e-10);
        }
    }
}

/* Another brake begins a hair after the leaf stands, and one that is not in the list would have stopped it at once. */
static void brakes_that_come_too_late_or_are_not_in_the_list_do_nothing(void **state)
{
    (void)state;
    trn_part part = wheel();
    const trn_brake brakes[] = {{"brake", 1, 100.0, 1000.0, 0.1, 0.0, 0.0},
                                {"late", 1, 900.0, 1000.0, 2.1003, 0.0, 0.0},
                                {"none of its own", 1, 9e9, 1000.0, 0.05, 0.01, 0.0}};
    trn_leaf leaf = wheel_leaf(&part, brakes, 2);
    double heats[3] = {0, 0, 7};
    trn_stop stop = stop_of(&leaf, 0.4, TRN_OPENING, heats);
    assert_close(stop.time_s, 2.1, 1e-10);
    assert_close(stop.run_rad, 0.02 * 0.1 + 0.02, 1e-10);
    assert_close(stop.peak_deceleration_rad_s2, 0.01, 1e-12);
    assert_close(heats[0], 2000.0, 1e-9);
    assert_near(heats[1], 0, 0);
    assert_near(heats[2], 7, 0);
}

/* A ramp that is not yet whole when the leaf stands: 0.02 = 0.01 t2/(2 s). */
static void a_leaf_may_stop_while_the_brake_still_sets(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.0, 16.0, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    trn_stop stop = stop_of(&leaf, 0.4, TRN_CLOSING, NULL);
    assert_close(stop.time_s, 8.0, 1e-10);
    assert_close(stop.run_rad, 0.02 * 8 - 0.01 * 512 / (6 * 16.0), 1e-10);
    assert_close(stop.peak_deceleration_rad_s2, 0.005, 1e-10);
}

static void a_run_past_either_end_leaves_the_travel(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.0, 0.0, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    assert_false(stop_of(&leaf, 0.0201, TRN_CLOSING, NULL).leaves_travel);
    assert_true(stop_of(&leaf, 0.0199, TRN_CLOSING, NULL).leaves_travel);
    assert_false(stop_of(&leaf, leaf.opens_to_rad - 0.0201, TRN_OPENING, NULL).leaves_travel);
    assert_true(stop_of(&leaf, leaf.opens_to_rad - 0.0199, TRN_OPENING, NULL).leaves_travel);
}

static void rotors_turn_on_with_the_leaf(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.2, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    trn_drive gears = rack_at(0, 0, 0);
    leaf.drive = &gears;
    leaf.motors = &machinery_motors;
    double inertia = 1e7 + 3 * 1.8 * 1500.0 * 1500.0;
    double deceleration = 1e5 / inertia;
    double heat = (double)NAN;
    trn_stop stop = stop_of(&leaf, 0.4, TRN_OPENING, &heat);
    double speed = 0.02 - deceleration * 0.25;
    assert_close(stop.time_s, 0.7 + speed / deceleration, 1e-10);
    assert_close(heat, 0.5 * inertia * 4e-4, 1e-9);
    assert_close(stop.peak_deceleration_rad_s2, deceleration, 1e-12);
}

static void without_motors_or_on_cylinders_no_rotors_turn(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.2, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    trn_stop want = stop_of(&leaf, 0.4, TRN_OPENING, NULL);
    trn_drive gears = rack_at(0, 0, 0);
    leaf.drive = &gears;
    assert_same_bits(stop_of(&leaf, 0.4, TRN_OPENING, NULL).run_rad, want.run_rad);
    trn_drive cylinders = cylinders_between(pin_pairs[1]);
    leaf.drive = &cylinders;
    leaf.motors = &machinery_motors;
    assert_same_bits(stop_of(&leaf, 0.4, TRN_OPENING, NULL).run_rad, want.run_rad);
    leaf.drive = NULL;
    assert_same_bits(stop_of(&leaf, 0.4, TRN_OPENING, NULL).run_rad, want.run_rad);
}

static void each_brake_heats_by_its_own_torque_and_time(void **state)
{
    (void)state;
    trn_part part = wheel();
    const trn_brake brakes[] = {{"quick", 3, 20.0, 1000.0, 0.10037, 0.4, 0.0},
                                {"slow", 2, 500.0, 40.0, 0.90053, 0.80019, 0.0}};
    trn_leaf leaf = wheel_leaf(&part, brakes, COUNT(brakes));
    double heats[2] = {(double)NAN, (double)NAN};
    trn_stop stop = stop_of(&leaf, 0.4, TRN_OPENING, heats);
    assert_close(3 * heats[0] + 2 * heats[1], 0.5 * 1e7 * 4e-4, 1e-9);
    /* Both give 20 kN m a piece at the leaf: the quick one works on the longer way. */
    assert_true(heats[0] > heats[1]);
    assert_close(20e3 * (stop.run_rad - 0.02 * 0.10037) - heats[0],
                 20e3 * (0.02 * 0.4 / 2 - 6e-3 * 0.4 * 0.4 * (1.0 / 6 - 1.0 / 8)), 1e-9);
    assert_true(stop.stops);
}

static void a_brake_that_is_too_weak_is_given_up_after_a_turn_or_ten_minutes(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake weak = {"weak", 1, 1e-3, 1.0, 0.3, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &weak, 1);
    trn_stop stop = stop_of(&leaf, 0.3, TRN_OPENING, NULL);
    assert_false(stop.stops);
    assert_close(stop.run_rad, 2 * HALF_TURN, 1e-4);
    assert_close(stop.time_s, 2 * HALF_TURN / 0.02, 1e-4);
    trn_travel slow = machinery_travel;
    slow.speed_rad_s = 0.005;
    leaf.travel = &slow;
    stop = stop_of(&leaf, 0.3, TRN_CLOSING, NULL);
    assert_false(stop.stops);
    assert_close(stop.time_s, 600.0, 1e-4);
    assert_close(stop.run_rad, 3.0, 1e-4);
}

static void direction_matters_only_through_the_weights_and_friction(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.3, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    trn_stop opening = stop_of(&leaf, 0.4, TRN_OPENING, NULL);
    trn_stop closing = stop_of(&leaf, 0.9, TRN_CLOSING, NULL);
    assert_close(opening.run_rad, closing.run_rad, 1e-12);
    part.at = (trn_point){0.5, 0.0};
    opening = stop_of(&leaf, 0.4, TRN_OPENING, NULL);
    closing = stop_of(&leaf, 0.4, TRN_CLOSING, NULL);
    assert_true(opening.run_rad < closing.run_rad);
    assert_int_equal(closing.direction, TRN_CLOSING);
}

static void the_worst_stop_runs_longest_of_all_whole_degrees(void **state)
{
    (void)state;
    trn_drive gears = rack_at(0, 0, 0);
    trn_leaf leaf = braked_leaf(&gears);
    trn_travel travel = machinery_travel;
    travel.near_closed_rad = 7 * DEGREE;
    travel.near_open_rad = 68 * DEGREE;
    leaf.travel = &travel;
    trn_stop worst;
    double heats[2];
    assert_int_equal(trn_leaf_worst_stop(&leaf, &worst, heats, NULL), TRN_OK);
    double longest = 0;
    for (int degrees = 7; degrees <= 68; degrees++)
        for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
            trn_stop stop = stop_of(&leaf, degrees * DEGREE, (trn_direction)direction, NULL);
            assert_true(stop.run_rad <= worst.run_rad * (1 + 1e-7));
            longest = fmax(longest, stop.run_rad);
        }
    assert_close(worst.run_rad, longest, 1e-9);
    double again[2];
    trn_stop same = stop_of(&leaf, worst.from_angle_rad, worst.direction, again);
    assert_same_bits(same.run_rad, worst.run_rad);
    assert_same_bits(again[0], heats[0]);
    assert_same_bits(again[1], heats[1]);
}

static void either_end_of_the_full_speed_may_be_the_worst(void **state)
{
    (void)state;
    trn_drive gears = rack_at(0, 0, 0);
    trn_leaf leaf = braked_leaf(&gears);
    trn_travel travel = machinery_travel;
    leaf.travel = &travel;
    for (int first = 7; first <= 67; first += 12) {
        travel.near_closed_rad = first * DEGREE;
        travel.near_open_rad = (first + 1) * DEGREE;
        trn_stop worst;
        assert_int_equal(trn_leaf_worst_stop(&leaf, &worst, NULL, NULL), TRN_OK);
        for (int degrees = first; degrees <= first + 1; degrees++)
            for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
                trn_stop stop = stop_of(&leaf, degrees * DEGREE, (trn_direction)direction, NULL);
                assert_true(stop.run_rad <= worst.run_rad * (1 + 1e-8));
            }
    }
}

/* With a heavy toe closing runs further than opening. Only opening begins so near its end that it leaves the travel. */
static void a_stop_that_leaves_the_travel_is_worse_than_a_longer_one(void **state)
{
    (void)state;
    trn_part part = wheel();
    part.at = (trn_point){0.02, 0.0};
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.3, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    trn_travel travel = machinery_travel;
    travel.near_closed_rad = 0.3;
    travel.near_open_rad = leaf.opens_to_rad - 0.01;
    leaf.travel = &travel;
    trn_stop worst;
    double heat;
    assert_int_equal(trn_leaf_worst_stop(&leaf, &worst, &heat, NULL), TRN_OK);
    assert_true(worst.stops && worst.leaves_travel);
    assert_int_equal(worst.direction, TRN_OPENING);
    const trn_stop longest = stop_of(&leaf, 0.3, TRN_CLOSING, NULL);
    assert_true(longest.run_rad > worst.run_rad && !longest.leaves_travel);
    /* Away from the end the longest run is the worst again. */
    travel.near_open_rad = leaf.opens_to_rad - 0.1;
    assert_int_equal(trn_leaf_worst_stop(&leaf, &worst, &heat, NULL), TRN_OK);
    assert_false(worst.leaves_travel);
    assert_int_equal(worst.direction, TRN_CLOSING);
    assert_true(worst.run_rad >= longest.run_rad * (1 - 1e-9));
}

/* Full speed ends at the near switches, and they need not stand at whole degrees. */
static void a_stop_from_a_near_switch_counts(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 400.0, 1000.0, 0.0, 0.0, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    leaf.opens_to_rad = 74.5 * DEGREE;
    trn_travel travel = machinery_travel;
    leaf.travel = &travel;
    /* The run is 0.286 degree. */
    const double switches[][2] = {{10.25, 74.3}, {0.2, 70.75}};
    for (size_t i = 0; i < COUNT(switches); i++) {
        const trn_direction direction = i == 0 ? TRN_OPENING : TRN_CLOSING;
        travel.near_closed_rad = switches[i][0] * DEGREE;
        travel.near_open_rad = switches[i][1] * DEGREE;
        trn_stop worst;
        assert_int_equal(trn_leaf_worst_stop(&leaf, &worst, NULL, NULL), TRN_OK);
        assert_true(worst.leaves_travel);
        assert_int_equal(worst.direction, direction);
        assert_same_bits(worst.from_angle_rad, i == 0 ? travel.near_open_rad : travel.near_closed_rad);
        assert_false(stop_of(&leaf, (i == 0 ? 74 : 1) * DEGREE, direction, NULL).leaves_travel);
    }
}

/* No whole degree lies between the switches, and a heavy toe makes the lower one's run the longer. */
static void between_two_degrees_the_near_switches_alone_are_tried(void **state)
{
    (void)state;
    trn_part part = wheel();
    part.at = (trn_point){0.1, 0.0};
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.3, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    trn_travel travel = machinery_travel;
    travel.near_closed_rad = 30.25 * DEGREE;
    travel.near_open_rad = 30.75 * DEGREE;
    leaf.travel = &travel;
    trn_stop worst;
    assert_int_equal(trn_leaf_worst_stop(&leaf, &worst, NULL, NULL), TRN_OK);
    assert_int_equal(worst.direction, TRN_CLOSING);
    assert_same_bits(worst.from_angle_rad, travel.near_closed_rad);
    assert_same_bits(worst.run_rad, stop_of(&leaf, travel.near_closed_rad, TRN_CLOSING, NULL).run_rad);
}

/* A heavy toe slows an opening leaf down most at the trip, before the brake comes: its arm shrinks. */
static void the_deceleration_may_be_greatest_at_the_trip(void **state)
{
    (void)state;
    trn_part part = wheel();
    part.at = (trn_point){0.6, 0.0};
    trn_brake gentle = {"gentle", 1, 1.0, 1.0, 0.3, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &gentle, 1);
    trn_stop stop = stop_of(&leaf, 0.9, TRN_OPENING, NULL);
    double want = 1e5 * 9.80665 * 0.6 * cos(0.9) / (1e5 * (100.0 + 0.36));
    assert_close(stop.peak_deceleration_rad_s2, want, 1e-10);
    assert_true(stop.stops);
}

static void what_a_stop_lacks_is_named(void **state)
{
    (void)state;
    trn_part part = wheel();
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.3, 0.5, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 0);
    trn_stop stop = {.run_rad = 17.0};
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_stop(&leaf, 0.4, TRN_OPENING, &stop, NULL, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'brakes'"));
    leaf = wheel_leaf(&part, &brake, 1);
    leaf.travel = NULL;
    assert_int_equal(trn_leaf_worst_stop(&leaf, &stop, NULL, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'travel'"));
    assert_same_bits(stop.run_rad, 17.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(delay_ramp_and_constant_torque_have_a_closed_form),
        cmocka_unit_test(a_brake_that_is_whole_at_once_has_a_closed_form),
        cmocka_unit_test(brakes_that_set_one_after_the_other_have_a_closed_form),
        cmocka_unit_test(brakes_that_come_too_late_or_are_not_in_the_list_do_nothing),
        cmocka_unit_test(a_leaf_may_stop_while_the_brake_still_sets),
        cmocka_unit_test(a_run_past_either_end_leaves_the_travel),
        cmocka_unit_test(rotors_turn_on_with_the_leaf),
        cmocka_unit_test(without_motors_or_on_cylinders_no_rotors_turn),
        cmocka_unit_test(each_brake_heats_by_its_own_torque_and_time),
        cmocka_unit_test(a_brake_that_is_too_weak_is_given_up_after_a_turn_or_ten_minutes),
        cmocka_unit_test(direction_matters_only_through_the_weights_and_friction),
        cmocka_unit_test(the_worst_stop_runs_longest_of_all_whole_degrees),
        cmocka_unit_test(either_end_of_the_full_speed_may_be_the_worst),
        cmocka_unit_test(a_stop_that_leaves_the_travel_is_worse_than_a_longer_one),
        cmocka_unit_test(a_stop_from_a_near_switch_counts),
        cmocka_unit_test(between_two_degrees_the_near_switches_alone_are_tried),
        cmocka_unit_test(the_deceleration_may_be_greatest_at_the_trip),
        cmocka_unit_test(what_a_stop_lacks_is_named),
    };
    return cmocka_run_group_tests_name("stop", tests, NULL, NULL);
}
