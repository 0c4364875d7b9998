/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "describing.h"

#define PI 3.14159265358979323846
#define DEGREE (PI / 180)
#define RPM (2 * PI / 60)
#define G0 9.80665
#define POUND_FORCE (0.45359237 * G0)
#define FOOT 0.3048

static void a_surface_takes_wind_and_no_ice_unless_told(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST "surfaces:\n  - {name: plain, from: [0 m, 1 m], to: [9 m, 2 m], width: 8 m}\n"
              "  - {name: told, from: [0 m, 1 m], to: [9 m, 2 m], width: 8 m, solidity: 60 %, ice: true, wind: no}\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->surface_count, 2);
    assert_close(leaf->surfaces[0].to.y, 2, 0);
    assert_close(leaf->surfaces[0].width_m, 8, 0);
    assert_close(leaf->surfaces[0].solidity, 1, 0);
    assert_false(leaf->surfaces[0].takes_ice);
    assert_true(leaf->surfaces[0].takes_wind);
    assert_close(leaf->surfaces[1].solidity, 0.6, 1e-15);
    assert_true(leaf->surfaces[1].takes_ice);
    assert_false(leaf->surfaces[1].takes_wind);
    trn_description_free(description);
}

static void a_trunnion_has_no_drag_unless_told(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "trunnion: {journal_diameter: 480 mm, friction: {starting: 0.18, moving: 0.12}}\n");
    const trn_journal *trunnion = trn_description_leaf(description)->trunnion;
    assert_close(trunnion->diameter_m, 0.48, 1e-15);
    assert_close(trunnion->friction.starting, 0.18, 1e-15);
    assert_close(trunnion->friction.moving, 0.12, 1e-15);
    assert_same_bits(trunnion->drag_Nm, 0);
    trn_description_free(description);
    description =
        read_well(LEAST "trunnion: {journal_diameter: 480 mm, friction: {starting: 0.1, moving: 0.1}, drag: 2 kN m}\n");
    assert_close(trn_description_leaf(description)->trunnion->drag_Nm, 2000, 0);
    trn_description_free(description);
}

static void the_stages_of_a_drive_multiply(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "drive: {ratio: 1500, efficiency: [0.96, 0.96, 95 %]}\n");
    const trn_drive *drive = trn_description_leaf(description)->drive;
    assert_int_equal(drive->kind, TRN_DRIVE_RATIO);
    assert_close(drive->ratio, 1500, 0);
    assert_close(drive->efficiency, 0.96 * 0.96 * 0.95, 1e-15);
    trn_description_free(description);
}

static void a_strut_has_points_radius_and_ratio(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "drive: {strut: {on_leaf: [3 m, 2 m], pinion: [-4 m, 6 m], pinion_radius: 0.4 m, ratio: 180}, "
                        "efficiency: 0.85}\n");
    const trn_drive *drive = trn_description_leaf(description)->drive;
    assert_int_equal(drive->kind, TRN_DRIVE_STRUT);
    assert_close(drive->strut.on_leaf.x, 3, 0);
    assert_close(drive->strut.pinion.y, 6, 0);
    assert_close(drive->strut.pinion_radius_m, 0.4, 1e-15);
    assert_close(drive->strut.ratio, 180, 0);
    assert_close(drive->efficiency, 0.85, 1e-15);
    trn_description_free(description);
}

static void a_rack_is_no_part_of_a_strut(void **state)
{
    (void)state;
    assert_refused(LEAST "drive: {strut: {on_leaf: [3 m, 2 m], pinion: [-4 m, 6 m], pinion_radius: 0.4 m, ratio: 180}, "
                         "efficiency: 0.85, rack: {radius: 4 m, pinion: -90 degree, pressure_angle: 20 degree}}\n",
                   LEAST_LINES + 1, 112, "\"rack\" goes with ratio only");
}

static void one_cylinder_without_loss_unless_told(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST
        "drive: {cylinder: {on_leaf: [3 m, -1 m], anchor: [1 m, -6 m], bore: 280 mm, rod: 0 mm, pressure: 250 bar}}\n");
    const trn_drive *drive = trn_description_leaf(description)->drive;
    assert_int_equal(drive->kind, TRN_DRIVE_CYLINDER);
    assert_close(drive->cylinder.anchor.y, -6, 0);
    assert_close(drive->cylinder.bore_m, 0.28, 1e-15);
    assert_same_bits(drive->cylinder.rod_m, 0);
    assert_int_equal(drive->cylinder.count, 1);
    assert_close(drive->cylinder.pressure_Pa, 25e6, 1e-15);
    assert_close(drive->efficiency, 1, 0);
    trn_description_free(description);
}

static void all_installed_motors_run_by_constant_law_unless_told(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "motors: {installed: 2, power: 30 kW, speed: 870 rpm}\n");
    const trn_motors *motors = trn_description_leaf(description)->motors;
    assert_int_equal(motors->installed, 2);
    assert_int_equal(motors->running, 2);
    assert_close(motors->power_W, 30000, 0);
    assert_close(motors->speed_rad_s, 870 * RPM, 1e-15);
    assert_same_bits(motors->inertia_kg_m2, 0);
    assert_close(motors->peak, 1, 0);
    assert_int_equal(motors->law, TRN_TORQUE_CONSTANT);
    trn_description_free(description);
}

static void motors_follow_the_law_they_are_given(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "motors: {installed: 2, running: 1, power: 40 hp, speed: 870 rpm, inertia: 1.8 kg m2, "
                        "law: induction, synchronous: 900 rpm, breakdown: 2.4}\n");
    const trn_motors *motors = trn_description_leaf(description)->motors;
    assert_int_equal(motors->running, 1);
    assert_close(motors->power_W, 40 * 550 * FOOT * POUND_FORCE, 1e-15);
    assert_close(motors->inertia_kg_m2, 1.8, 1e-15);
    assert_int_equal(motors->law, TRN_TORQUE_INDUCTION);
    assert_close(motors->synchronous_rad_s, 900 * RPM, 1e-15);
    assert_close(motors->breakdown, 2.4, 1e-15);
    trn_description_free(description);
    description = read_well(LEAST "motors: {installed: 1, power: 11 kW, speed: 870 rpm, law: table, "
                                  "table: [[0 rpm, 500 N m], [870 rpm, 329 N m]]}\n");
    motors = trn_description_leaf(description)->motors;
    assert_int_equal(motors->law, TRN_TORQUE_TABLE);
    assert_int_equal(motors->table_count, 2);
    assert_close(motors->table[1].speed_rad_s, 870 * RPM, 1e-15);
    assert_close(motors->table[1].torque_Nm, 329, 0);
    trn_description_free(description);
}

static void brakes_are_single_unless_told(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "brakes: [{name: motor, torque: 300 N m, ratio: 1500, delay: 0.3 s, set_time: 500 ms},\n"
                        "  {name: machinery, count: 2, torque: 2 kN m, ratio: 96, delay: 0 s, set_time: 0 s}]\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->brake_count, 2);
    assert_int_equal(leaf->brakes[0].count, 1);
    assert_close(leaf->brakes[0].torque_Nm, 300, 0);
    assert_close(leaf->brakes[0].ratio, 1500, 0);
    assert_close(leaf->brakes[0].delay_s, 0.3, 1e-15);
    assert_close(leaf->brakes[0].set_time_s, 0.5, 1e-15);
    assert_int_equal(leaf->brakes[1].count, 2);
    trn_description_free(description);
}

static void travel_and_duty_are_kept_in_si(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST "travel: {speed: 1.1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 62 degree, near_closed: "
              "7 degree, decelerate_in: 6 s}\nduty: {openings_per_hour: 1.5, hold_open: 6 min}\n");
    const trn_travel *travel = trn_description_leaf(description)->travel;
    assert_close(travel->speed_rad_s, 1.1 * DEGREE, 1e-15);
    assert_close(travel->accelerate_in_s, 8, 0);
    assert_close(travel->creep, 0.15, 1e-15);
    assert_close(travel->near_open_rad, 62 * DEGREE, 1e-15);
    assert_close(travel->near_closed_rad, 7 * DEGREE, 1e-15);
    assert_close(travel->decelerate_in_s, 6, 0);
    assert_close(trn_description_leaf(description)->duty->openings_per_hour, 1.5, 0);
    assert_close(trn_description_leaf(description)->duty->hold_open_s, 360, 0);
    trn_description_free(description);
}

static void a_case_is_calm_and_moving_unless_told(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "cases:\n  - {name: calm}\n"
                        "  - {name: hard, friction: starting, accelerating: true, ice: 2.5 psf, motor_limit: 180 %,\n"
                        "     wind: {pressure: 10 lbf/ft2, law: normal, from: toe}}\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->case_count, 2);
    const trn_case *calm = &leaf->cases[0];
    assert_string_equal(calm->name, "calm");
    assert_int_equal(calm->friction, TRN_FRICTION_MOVING);
    assert_false(calm->accelerating);
    assert_false(calm->wind.by_speed);
    assert_same_bits(calm->wind.pressure_Pa, 0);
    assert_same_bits(calm->ice_N_m2, 0);
    assert_close(calm->motor_limit, 1, 0);
    const trn_case *hard = &leaf->cases[1];
    assert_int_equal(hard->friction, TRN_FRICTION_STARTING);
    assert_true(hard->accelerating);
    assert_close(hard->ice_N_m2, 2.5 * POUND_FORCE / (FOOT * FOOT), 1e-14);
    assert_close(hard->motor_limit, 1.8, 1e-15);
    assert_close(hard->wind.pressure_Pa, 10 * POUND_FORCE / (FOOT * FOOT), 1e-14);
    assert_int_equal(hard->wind.law, TRN_WIND_NORMAL);
    assert_int_equal(hard->wind.from, TRN_WIND_FROM_TOE);
    trn_description_free(description);
}

static void a_wind_by_speed_has_coefficient_and_density(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "cases:\n  - {name: plain, wind: {speed: 36 km/h}}\n"
                        "  - {name: told, wind: {speed: 10 m/s, coefficient: 1.2, density: 1.2 kg/m3, from: heel}}\n");
    const trn_case *cases = trn_description_leaf(description)->cases;
    assert_true(cases[0].wind.by_speed);
    assert_close(cases[0].wind.speed_m_s, 10, 1e-15);
    assert_same_bits(cases[0].wind.pressure_Pa, 0);
    assert_close(cases[0].wind.coefficient, 1, 0);
    assert_close(cases[0].wind.density_kg_m3, 1.25, 0);
    assert_int_equal(cases[0].wind.law, TRN_WIND_PROJECTED);
    assert_int_equal(cases[0].wind.from, TRN_WIND_FROM_ADVERSE);
    assert_null(cases[0].wind.profile);
    assert_close(cases[1].wind.coefficient, 1.2, 1e-15);
    assert_close(cases[1].wind.density_kg_m3, 1.2, 1e-15);
    assert_int_equal(cases[1].wind.from, TRN_WIND_FROM_HEEL);
    trn_description_free(description);
}

static void a_wind_may_have_a_table_and_a_profile(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "cases: [{name: a, wind: {speed: 10 m/s, law: incidence,\n"
                        "  normal_coefficient: [[0 degree, 0], [90 degree, 1.2]],\n"
                        "  profile: {exponent: 0.16, reference_height: 10 m, trunnion_height: 9 m, lowest: 2 m}}}]\n");
    const trn_wind *wind = &trn_description_leaf(description)->cases[0].wind;
    assert_int_equal(wind->law, TRN_WIND_INCIDENCE);
    assert_int_equal(wind->table_count, 2);
    assert_close(wind->table[1].incidence_rad, 90 * DEGREE, 1e-15);
    assert_close(wind->table[1].coefficient, 1.2, 1e-15);
    assert_close(wind->profile->exponent, 0.16, 1e-15);
    assert_close(wind->profile->reference_height_m, 10, 0);
    assert_close(wind->profile->trunnion_height_m, 9, 0);
    assert_close(wind->profile->lowest_m, 2, 0);
    trn_description_free(description);
}

static void holding_asks_for_factor_one_unless_told(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "holding: [{name: storm, wind: {pressure: 1 kPa}}, {name: ice, ice: 10 kg/m2, factor: 1.5}]\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    assert_int_equal(leaf->holding_count, 2);
    assert_close(leaf->holdings[0].wind.pressure_Pa, 1000, 0);
    assert_close(leaf->holdings[0].factor, 1, 0);
    assert_close(leaf->holdings[1].ice_N_m2, 10 * G0, 1e-15);
    assert_close(leaf->holdings[1].factor, 1.5, 0);
    trn_description_free(description);
}

static void wind_limits_have_every_default(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "wind_limits: {}\nposted_wind: 36 km/h\n");
    const trn_wind_limits *limits = trn_description_leaf(description)->wind_limits;
    assert_true(limits->wind.by_speed);
    assert_same_bits(limits->wind.speed_m_s, 0);
    assert_int_equal(limits->wind.law, TRN_WIND_PROJECTED);
    assert_close(limits->wind.coefficient, 1, 0);
    assert_int_equal(limits->friction, TRN_FRICTION_MOVING);
    assert_close(limits->motor_limit, 1, 0);
    assert_close(limits->hold_factor, 1, 0);
    assert_close(trn_description_leaf(description)->posted_wind_m_s, 10, 1e-15);
    trn_description_free(description);
}

static void wind_limits_take_a_table(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST "wind_limits: {law: incidence, normal_coefficient: [[0 degree, 0.1], [45 degree, 1], [90 degree, 1.2]],"
              " friction: starting, motor_limit: 1.5, hold_factor: 2, from: heel}\n");
    const trn_wind_limits *limits = trn_description_leaf(description)->wind_limits;
    assert_int_equal(limits->wind.table_count, 3);
    assert_close(limits->wind.table[0].coefficient, 0.1, 1e-15);
    assert_int_equal(limits->wind.from, TRN_WIND_FROM_HEEL);
    assert_int_equal(limits->friction, TRN_FRICTION_STARTING);
    assert_close(limits->motor_limit, 1.5, 0);
    assert_close(limits->hold_factor, 2, 0);
    trn_description_free(description);
}

static void a_balance_target_is_by_reaction_or_by_moments(void **state)
{
    (void)state;
    trn_description *description =
        read_well(LEAST "balance_target: {toe_reaction: [-4 kN, 9 kN], angle: [-180 degree, 180 degree]}\n");
    const trn_balance_target *target = trn_description_leaf(description)->balance_target;
    assert_false(target->by_moments);
    assert_close(target->toe_reaction_N.low, -4000, 0);
    assert_close(target->toe_reaction_N.high, 9000, 0);
    assert_close(target->angle_rad.low, -PI, 1e-15);
    assert_close(target->angle_rad.high, PI, 1e-15);
    trn_description_free(description);
    description = read_well(LEAST "balance_target: {A: [100 kN m, 200 kN m], B: [-5 N m, 0 N m]}\n");
    target = trn_description_leaf(description)->balance_target;
    assert_true(target->by_moments);
    assert_close(target->a_Nm.high, 200e3, 0);
    assert_close(target->b_Nm.low, -5, 0);
    trn_description_free(description);
}

static void a_gauged_shaft_is_solid_unless_told(void **state)
{
    (void)state;
    trn_description *description = read_well(
        LEAST "gauged_shaft: {ratio: 12, shafts: 2, diameter: 200 mm, shear_modulus: 82 GPa, efficiency: 0.93}\n");
    const trn_gauged_shaft *shaft = trn_description_leaf(description)->gauged_shaft;
    assert_close(shaft->ratio, 12, 0);
    assert_int_equal(shaft->shafts, 2);
    assert_close(shaft->diameter_m, 0.2, 1e-15);
    assert_same_bits(shaft->bore_m, 0);
    assert_close(shaft->shear_modulus_Pa, 82e9, 1e-15);
    assert_close(shaft->efficiency, 0.93, 1e-15);
    trn_description_free(description);
}

static void units_say_how_results_are_shown(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAST "units: us\n");
    assert_int_equal(trn_description_leaf(description)->units, TRN_UNITS_US);
    trn_description_free(description);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_surface_takes_wind_and_no_ice_unless_told),
        cmocka_unit_test(a_trunnion_has_no_drag_unless_told),
        cmocka_unit_test(the_stages_of_a_drive_multiply),
        cmocka_unit_test(a_strut_has_points_radius_and_ratio),
        cmocka_unit_test(a_rack_is_no_part_of_a_strut),
        cmocka_unit_test(one_cylinder_without_loss_unless_told),
        cmocka_unit_test(all_installed_motors_run_by_constant_law_unless_told),
        cmocka_unit_test(motors_follow_the_law_they_are_given),
        cmocka_unit_test(brakes_are_single_unless_told),
        cmocka_unit_test(travel_and_duty_are_kept_in_si),
        cmocka_unit_test(a_case_is_calm_and_moving_unless_told),
        cmocka_unit_test(a_wind_by_speed_has_coefficient_and_density),
        cmocka_unit_test(a_wind_may_have_a_table_and_a_profile),
        cmocka_unit_test(holding_asks_for_factor_one_unless_told),
        cmocka_unit_test(wind_limits_have_every_default),
        cmocka_unit_test(wind_limits_take_a_table),
        cmocka_unit_test(a_balance_target_is_by_reaction_or_by_moments),
        cmocka_unit_test(a_gauged_shaft_is_solid_unless_told),
        cmocka_unit_test(units_say_how_results_are_shown),
    };
    return cmocka_run_group_tests_name("describe sections", tests, NULL, NULL);
}
