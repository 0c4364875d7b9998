/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The energy that a stop turns into heat. */
#include "stopping.h"

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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heat_is_the_energy_that_goes_on_gears_and_struts),
        cmocka_unit_test(heat_is_the_energy_that_goes_with_a_linked_counterweight),
        cmocka_unit_test(an_inertia_that_changes_on_the_way_takes_no_energy_away),
        cmocka_unit_test(rotors_on_a_strut_give_all_their_energy_to_the_brake),
    };
    return cmocka_run_group_tests_name("stop energy", tests, NULL, NULL);
}
