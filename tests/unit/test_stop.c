/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stopping by the brakes alone, against closed forms and the energy that goes. */
#include "linkage.h"
#include "trunnion/balance.h"
#include "trunnion/holding.h"

/* A wheel of 10 000 t m2 about the trunnion: nothing moves it but the brakes. */
static trn_part wheel(void)
{
    trn_part part = trn_default_part();
    part.name = "wheel";
    part.weight_N = 1e5 * 9.80665;
    part.gyration_m = 10.0;
    return part;
}

static trn_leaf wheel_leaf(const trn_part *part, const trn_brake *brakes, size_t count)
{
    trn_leaf leaf = trn_default_leaf();
    leaf.opens_to_rad = 1.3;
    leaf.toe_m = 24.0;
    leaf.parts = part;
    leaf.part_count = 1;
    leaf.travel = &machinery_travel;
    leaf.brakes = brakes;
    leaf.brake_count = count;
    return leaf;
}

static trn_stop stop_of(const trn_leaf *leaf, double from_rad, trn_direction direction, double *heats_J)
{
    trn_stop stop;
    trn_error error = {.status = TRN_OK};
    if (trn_leaf_stop(leaf, from_rad, direction, &stop, heats_J, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return stop;
}

/* 100 kN m on 1e7 kg m2: 0.01 rad/s2. Delay: at 0.02 rad/s. Ramp of s: the speed falls by half of 0.01 s,
   the run by a sixth of 0.01 s2. Then constant. */
static void delay_ramp_and_constant_torque_have_a_closed_form(void **state)
{
    (void)state;
    trn_part part = wheel();
    const double delays[] = {0.0, 0.3, 1.7};
    const double sets[] = {0.25, 0.5, 3.0};
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
    const trn_brake brakes[] = {{"quick", 3, 20.0, 1000.0, 0.1, 0.4, 0.0}, {"slow", 2, 500.0, 40.0, 0.9, 0.8, 0.0}};
    trn_leaf leaf = wheel_leaf(&part, brakes, COUNT(brakes));
    double heats[2] = {(double)NAN, (double)NAN};
    trn_stop stop = stop_of(&leaf, 0.4, TRN_OPENING, heats);
    assert_close(3 * heats[0] + 2 * heats[1], 0.5 * 1e7 * 4e-4, 1e-9);
    /* Both give 20 kN m a piece at the leaf: the quick one works on the longer way. */
    assert_true(heats[0] > heats[1]);
    assert_close(20e3 * (stop.run_rad - 0.02 * 0.1) - heats[0],
                 20e3 * (0.02 * 0.4 / 2 - 6e-3 * 0.4 * 0.4 * (1.0 / 6 - 1.0 / 8)), 1e-9);
    assert_true(stop.stops);
}

/* Work of friction over a run, by Simpson's rule: heat = kinetic energy + fall of the weights - this. */
static double friction_work(const trn_leaf *leaf, const trn_stop *stop)
{
    trn_leaf idle = *leaf;
    idle.drive = NULL;
    trn_case still = trn_default_case();
    trn_loading loading = loading_of(&idle, &still);
    const int panels = 2000;
    double sum = 0;
    for (int i = 0; i < 2 * panels + 1; i++) {
        double run = stop->run_rad * i / (2 * panels);
        bool opening = stop->direction == TRN_OPENING;
        trn_moments row = trn_loading_moments(&loading, stop->from_angle_rad + (opening ? run : -run));
        double weight = i == 0 || i == 2 * panels ? 1 : i % 2 == 1 ? 4 : 2;
        sum += weight * (opening ? row.friction_opening_Nm : row.friction_closing_Nm);
    }
    return sum * stop->run_rad / (6 * panels);
}

static double height_energy(const trn_leaf *leaf, double angle_rad)
{
    trn_body body = trn_leaf_body(leaf);
    double energy = body.a_Nm * sin(angle_rad) + body.b_Nm * cos(angle_rad);
    if (leaf->linked_counterweight) {
        trn_linked_counterweight linked = *leaf->linked_counterweight;
        trn_body other = trn_link_body(&linked);
        double psi = psi_at(angle_rad, &linked);
        energy += other.a_Nm * sin(psi) + other.b_Nm * cos(psi);
    }
    return energy;
}

static double moving_energy(const trn_leaf *leaf, double angle_rad)
{
    double inertia = trn_leaf_body(leaf).inertia_kg_m2;
    if (leaf->linked_counterweight) {
        trn_linked_counterweight linked = *leaf->linked_counterweight;
        double rate = slope_of(psi_at, &linked, angle_rad);
        inertia += trn_link_body(&linked).inertia_kg_m2 * rate * rate;
    }
    if (leaf->drive && leaf->drive->kind != TRN_DRIVE_CYLINDER) {
        double ratio = trn_drive_at(leaf->drive, trn_rotation_by(angle_rad)).ratio;
        inertia += 3 * 1.8 * ratio * ratio;
    }
    return 0.5 * inertia * 4e-4;
}

static void check_energy(const trn_leaf *leaf, double from_rad)
{
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        double heats[2] = {0, 0};
        trn_stop stop = stop_of(leaf, from_rad, (trn_direction)direction, heats);
        assert_true(stop.stops);
        double end = from_rad + (direction == TRN_OPENING ? stop.run_rad : -stop.run_rad);
        double heat = 0;
        for (size_t i = 0; i < leaf->brake_count; i++)
            heat += leaf->brakes[i].count * heats[i];
        double given = moving_energy(leaf, from_rad) + height_energy(leaf, from_rad) - height_energy(leaf, end) -
                       friction_work(leaf, &stop);
        assert_close_at(heat, given, 1e-6, moving_energy(leaf, from_rad));
    }
}

static const trn_brake real_brakes[] = {{"motor brakes", 2, 3000.0, 1500.0, 0.3, 0.5, 0.0},
                                        {"machinery brake", 1, 90e3, 70.0, 0.6, 0.2, 0.0}};

static trn_leaf braked_leaf(const trn_drive *drive)
{
    trn_leaf leaf = driven_leaf(drive);
    leaf.brakes = real_brakes;
    leaf.brake_count = COUNT(real_brakes);
    return leaf;
}

static void heat_is_the_energy_that_goes_on_gears_and_struts(void **state)
{
    (void)state;
    trn_drive gears = rack_at(0, 0, 0);
    trn_leaf leaf = braked_leaf(&gears);
    for (int degrees = 10; degrees <= 60; degrees += 25)
        check_energy(&leaf, degrees * DEGREE);
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive strut = strut_between(pin_pairs[i]);
        strut.strut.ratio = 600.0;
        leaf.drive = &strut;
        check_energy(&leaf, 30 * DEGREE);
        check_energy(&leaf, 60 * DEGREE);
    }
}

static void heat_is_the_energy_that_goes_with_a_linked_counterweight(void **state)
{
    (void)state;
    trn_drive gears = rack_at(0, 0, 0);
    trn_leaf leaf = braked_leaf(&gears);
    leaf.part_count--;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        leaf.linked_counterweight = &linked;
        check_energy(&leaf, 12 * DEGREE);
        check_energy(&leaf, 50 * DEGREE);
    }
}

/* A counterweight in balance about its own trunnion and without friction: its share of the inertia changes on the
   way, but all the energy there was at the trip is found in the brake, and the run is that over its torque. */
static void an_inertia_that_changes_on_the_way_takes_no_energy_away(void **state)
{
    (void)state;
    trn_part part = wheel();
    part.gyration_m = 0.1;
    trn_part flywheel = wheel();
    flywheel.at = four_bars[1].pivot;
    trn_linked_counterweight linked = counterweight_on(four_bars[1]);
    linked.journal = (trn_journal){0};
    linked.parts = &flywheel;
    linked.part_count = 1;
    linked.pocket_count = 0;
    trn_brake brake = {"brake", 1, 10.0, 1000.0, 0.0, 0.01, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    leaf.linked_counterweight = &linked;
    for (int degrees = 2; degrees <= 42; degrees += 40) {
        double rate = slope_of(psi_at, &linked, degrees * DEGREE);
        double energy = 0.5 * (1e5 * 0.01 + 1e7 * rate * rate) * 4e-4;
        double heat = (double)NAN;
        trn_stop stop = stop_of(&leaf, degrees * DEGREE, TRN_OPENING, &heat);
        assert_true(fabs(slope_of(psi_at, &linked, degrees * DEGREE + stop.run_rad) / rate - 1) > 1e-3);
        assert_close(heat, energy, 1e-8);
        assert_close(10e3 * stop.run_rad, energy + 10e3 * 0.02 * 0.01 / 2, 1e-4);
    }
}

/* The same with rotors on a strut, whose ratio changes. */
static void rotors_on_a_strut_give_all_their_energy_to_the_brake(void **state)
{
    (void)state;
    trn_part part = wheel();
    part.gyration_m = 0.1;
    trn_motors motors = machinery_motors;
    motors.inertia_kg_m2 = 20.0;
    trn_brake brake = {"brake", 1, 100.0, 1000.0, 0.0, 0.01, 0.0};
    trn_leaf leaf = wheel_leaf(&part, &brake, 1);
    leaf.motors = &motors;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive strut = strut_between(pin_pairs[i]);
        leaf.drive = &strut;
        double ratio = trn_drive_at(&strut, trn_rotation_by(0.5)).ratio;
        double energy = 0.5 * (1e3 + 60.0 * ratio * ratio) * 4e-4;
        double heat = (double)NAN;
        stop_of(&leaf, 0.5, TRN_CLOSING, &heat);
        assert_close(heat, energy, 1e-8);
    }
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
        cmocka_unit_test(a_leaf_may_stop_while_the_brake_still_sets),
        cmocka_unit_test(rotors_turn_on_with_the_leaf),
        cmocka_unit_test(without_motors_or_on_cylinders_no_rotors_turn),
        cmocka_unit_test(each_brake_heats_by_its_own_torque_and_time),
        cmocka_unit_test(heat_is_the_energy_that_goes_on_gears_and_struts),
        cmocka_unit_test(heat_is_the_energy_that_goes_with_a_linked_counterweight),
        cmocka_unit_test(an_inertia_that_changes_on_the_way_takes_no_energy_away),
        cmocka_unit_test(rotors_on_a_strut_give_all_their_energy_to_the_brake),
        cmocka_unit_test(a_brake_that_is_too_weak_is_given_up_after_a_turn_or_ten_minutes),
        cmocka_unit_test(direction_matters_only_through_the_weights_and_friction),
        cmocka_unit_test(the_worst_stop_runs_longest_of_all_whole_degrees),
        cmocka_unit_test(what_a_stop_lacks_is_named),
    };
    return cmocka_run_group_tests_name("stop", tests, NULL, NULL);
}
