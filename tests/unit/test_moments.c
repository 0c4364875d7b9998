/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The breakdown of moments at an angle, term by term. */
#include "assertions.h"

#include "sample.h"
#include "trunnion/balance.h"
#include "trunnion/ice.h"
#include "trunnion/moments.h"

static const trn_journal journal = {.diameter_m = 0.48, .friction = {.starting = 0.18, .moving = 0.12},
                                    .drag_Nm = 700.0};
static const trn_drive drive = {.kind = TRN_DRIVE_RATIO, .ratio = 1500.0, .efficiency = 0.8};
static const trn_motors motors = {.installed = 3, .running = 2, .power_W = 30e3, .speed_rad_s = 91.0,
                                  .inertia_kg_m2 = 1.8, .peak = 2.0};
static const trn_travel travel = {.speed_rad_s = 0.02, .accelerate_in_s = 8.0, .creep = 0.15, .near_open_rad = 1.2,
                                  .near_closed_rad = 0.1, .decelerate_in_s = 5.0};

static trn_leaf whole_leaf(void)
{
    trn_leaf leaf = sample_leaf();
    leaf.trunnion = &journal;
    leaf.drive = &drive;
    leaf.motors = &motors;
    leaf.travel = &travel;
    return leaf;
}

static trn_case windy_case(void)
{
    trn_case windy = trn_default_case();
    windy.wind.pressure_Pa = 480.0;
    windy.wind.law = TRN_WIND_NORMAL;
    windy.ice_N_m2 = 120.0;
    windy.accelerating = true;
    return windy;
}

static trn_moments moments_of(const trn_leaf *leaf, const trn_case *load_case, double angle_rad)
{
    trn_loading loading;
    assert_int_equal(trn_loading_prepare(leaf, load_case, &loading, NULL), TRN_OK);
    return trn_loading_moments(&loading, angle_rad);
}

/* How large the terms are that a sum is made of. */
static double size_of(const trn_moments *row)
{
    return fabs(row->balance_Nm) + fabs(row->wind_opening_Nm) + fabs(row->wind_closing_Nm) + fabs(row->ice_Nm) +
           fabs(row->friction_opening_Nm) + fabs(row->friction_closing_Nm) + fabs(row->inertia_Nm);
}

static void a_loading_sums_up_what_does_not_change_with_the_angle(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    trn_loading loading;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_loading_prepare(&leaf, &windy, &loading, &error), TRN_OK);
    assert_ptr_equal(loading.leaf, &leaf);
    assert_ptr_equal(loading.load_case, &windy);
    assert_same_bits(loading.body.a_Nm, trn_leaf_body(&leaf).a_Nm);
    assert_same_bits(loading.body.inertia_kg_m2, trn_leaf_body(&leaf).inertia_kg_m2);
    assert_same_bits(loading.ice.weight_N, trn_ice_body(leaf.surfaces, leaf.surface_count, 120.0).weight_N);
    assert_same_bits(loading.pressure_Pa, 480.0);
    assert_close(loading.acceleration_rad_s2, 0.0025, 1e-15);
}

static void calm_air_has_the_balance_alone(void **state)
{
    (void)state;
    trn_leaf leaf = sample_leaf();
    trn_case still = trn_default_case();
    trn_body body = trn_leaf_body(&leaf);
    for (int i = 0; i <= 76; i += 4) {
        trn_moments row = moments_of(&leaf, &still, i * DEGREE);
        double want = body.a_Nm * cos(i * DEGREE) - body.b_Nm * sin(i * DEGREE);
        assert_close_at(row.balance_Nm, want, 1e-14, hypot(body.a_Nm, body.b_Nm));
        assert_same_bits(row.opening_Nm, row.balance_Nm);
        assert_same_bits(row.closing_Nm, -row.balance_Nm);
        assert_near(row.wind_opening_Nm, 0.0, 0.0);
        assert_near(row.wind_closing_Nm, 0.0, 0.0);
        assert_near(row.ice_Nm, 0.0, 0.0);
        assert_near(row.friction_opening_Nm, 0.0, 0.0);
        assert_near(row.friction_closing_Nm, 0.0, 0.0);
        assert_near(row.inertia_Nm, 0.0, 0.0);
        assert_same_bits(row.angle_rad, i * DEGREE);
    }
}

static void demands_are_the_sums_of_their_terms_in_the_direction_of_travel(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    for (int i = 0; i <= 76; i += 4) {
        trn_moments row = moments_of(&leaf, &windy, i * DEGREE);
        double opening =
            row.balance_Nm + row.wind_opening_Nm + row.ice_Nm + row.friction_opening_Nm + row.inertia_Nm;
        double closing =
            -row.balance_Nm - row.wind_closing_Nm - row.ice_Nm + row.friction_closing_Nm + row.inertia_Nm;
        assert_close_at(row.opening_Nm, opening, 1e-14, size_of(&row));
        assert_close_at(row.closing_Nm, closing, 1e-14, size_of(&row));
        assert_true(row.friction_opening_Nm > 0.0 && row.friction_closing_Nm > 0.0);
        assert_true(row.inertia_Nm > 0.0 && row.ice_Nm > 0.0);
    }
}

static void wind_is_pressure_times_sense_times_that_of_one_pascal(void **state)
{
    (void)state;
    const trn_wind_law laws[] = {TRN_WIND_PROJECTED, TRN_WIND_NORMAL};
    const trn_wind_side sides[] = {TRN_WIND_FROM_HEEL, TRN_WIND_FROM_TOE, TRN_WIND_FROM_ADVERSE};
    const double opening_sense[] = {1.0, -1.0, 1.0};
    const double closing_sense[] = {1.0, -1.0, -1.0};
    trn_leaf leaf = whole_leaf();
    for (size_t k = 0; k < 6; k++) {
        trn_case windy = windy_case();
        windy.wind.law = laws[k / 3];
        windy.wind.from = sides[k % 3];
        trn_wind_action unit =
            trn_wind_on_surfaces(leaf.surfaces, leaf.surface_count, &windy.wind, trn_rotation_by(0.7));
        trn_moments row = moments_of(&leaf, &windy, 0.7);
        assert_close(row.wind_opening_Nm, 480.0 * opening_sense[k % 3] * unit.moment_Nm, 1e-14);
        assert_close(row.wind_closing_Nm, 480.0 * closing_sense[k % 3] * unit.moment_Nm, 1e-14);
    }
}

static void wind_by_speed_is_wind_of_its_pressure(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case by_pressure = windy_case();
    by_pressure.wind.pressure_Pa = 1.2 * 0.625 * 400.0;
    trn_case by_speed = by_pressure;
    by_speed.wind.by_speed = true;
    by_speed.wind.speed_m_s = 20.0;
    by_speed.wind.coefficient = 1.2;
    trn_moments want = moments_of(&leaf, &by_pressure, 0.5);
    assert_close(moments_of(&leaf, &by_speed, 0.5).wind_opening_Nm, want.wind_opening_Nm, 1e-14);
    assert_close(moments_of(&leaf, &by_speed, 0.5).opening_Nm, want.opening_Nm, 1e-13);
}

static void the_wind_of_a_loading_is_moment_and_force(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    trn_loading loading;
    assert_int_equal(trn_loading_prepare(&leaf, &windy, &loading, NULL), TRN_OK);
    trn_wind_action unit = trn_wind_on_surfaces(leaf.surfaces, leaf.surface_count, &windy.wind, trn_rotation_by(0.4));
    trn_wind_action opening = trn_loading_wind(&loading, TRN_OPENING, 0.4);
    trn_wind_action closing = trn_loading_wind(&loading, TRN_CLOSING, 0.4);
    assert_close(opening.moment_Nm, 480.0 * unit.moment_Nm, 1e-14);
    assert_close(opening.force.x, 480.0 * unit.force.x, 1e-14);
    assert_close(opening.force.y, 480.0 * unit.force.y, 1e-14);
    assert_close(closing.moment_Nm, -480.0 * unit.moment_Nm, 1e-14);
    assert_close(closing.force.x, -480.0 * unit.force.x, 1e-14);
    assert_close(closing.force.y, -480.0 * unit.force.y, 1e-14);
}

static void wind_of_less_than_a_pascal_counts_as_well(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case strong = windy_case();
    trn_case faint = strong;
    faint.wind.pressure_Pa = 0.48;
    double want = moments_of(&leaf, &strong, 0.5).wind_opening_Nm / 1000.0;
    assert_close(moments_of(&leaf, &faint, 0.5).wind_opening_Nm, want, 1e-14);
}

static void adverse_wind_resists_both_directions(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case still = trn_default_case();
    trn_case windy = still;
    windy.wind.pressure_Pa = 480.0;
    for (int i = 4; i <= 76; i += 4) {
        trn_moments calm = moments_of(&leaf, &still, i * DEGREE);
        trn_moments blown = moments_of(&leaf, &windy, i * DEGREE);
        assert_true(blown.opening_Nm > calm.opening_Nm);
        assert_true(blown.closing_Nm > calm.closing_Nm);
    }
}

static void ice_is_that_of_its_body(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case icy = trn_default_case();
    icy.ice_N_m2 = 95.0;
    trn_body ice = trn_ice_body(leaf.surfaces, leaf.surface_count, 95.0);
    for (int i = 0; i <= 76; i += 19) {
        double want = ice.a_Nm * cos(i * DEGREE) - ice.b_Nm * sin(i * DEGREE);
        assert_close(moments_of(&leaf, &icy, i * DEGREE).ice_Nm, want, 1e-13);
    }
}

static void in_calm_air_the_trunnion_carries_the_weight(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case icy = trn_default_case();
    icy.ice_N_m2 = 95.0;
    double weight = trn_leaf_body(&leaf).weight_N;
    double ice = trn_ice_body(leaf.surfaces, leaf.surface_count, 95.0).weight_N;
    trn_moments row = moments_of(&leaf, &icy, 0.9);
    assert_close(row.reaction_opening_N, weight + ice, 1e-14);
    assert_close(row.reaction_closing_N, weight + ice, 1e-14);
}

static void the_trunnion_carries_the_wind_with_the_weight(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    windy.wind.pressure_Pa = 48000.0;
    double vertical = trn_leaf_body(&leaf).weight_N;
    vertical += trn_ice_body(leaf.surfaces, leaf.surface_count, 120.0).weight_N;
    trn_wind_action unit = trn_wind_on_surfaces(leaf.surfaces, leaf.surface_count, &windy.wind, trn_rotation_by(0.3));
    double across = 48000.0 * unit.force.x;
    double down = -48000.0 * unit.force.y;
    trn_moments row = moments_of(&leaf, &windy, 0.3);
    assert_true(down > 0.0);
    assert_close(row.reaction_opening_N, hypot(across, vertical + down), 1e-14);
    assert_close(row.reaction_closing_N, hypot(across, vertical - down), 1e-14);
}

static void friction_is_that_of_the_reaction_in_each_direction(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    windy.wind.pressure_Pa = 9000.0;
    trn_moments row = moments_of(&leaf, &windy, 0.3);
    assert_close(row.friction_opening_Nm, 0.12 * row.reaction_opening_N * 0.24 + 700.0, 1e-14);
    assert_close(row.friction_closing_Nm, 0.12 * row.reaction_closing_N * 0.24 + 700.0, 1e-14);
    assert_true(row.friction_opening_Nm > row.friction_closing_Nm);
    windy.friction = TRN_FRICTION_STARTING;
    assert_close(moments_of(&leaf, &windy, 0.3).friction_opening_Nm, 0.18 * row.reaction_opening_N * 0.24 + 700.0,
                 1e-14);
}

static void opening_and_closing_differ_by_twice_the_friction_in_calm_air(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case still = trn_default_case();
    for (int i = 0; i <= 76; i += 4) {
        trn_moments row = moments_of(&leaf, &still, i * DEGREE);
        assert_close_at(row.opening_Nm + row.closing_Nm, 2.0 * row.friction_opening_Nm, 1e-13, size_of(&row));
        assert_close_at(row.opening_Nm - row.closing_Nm, 2.0 * row.balance_Nm, 1e-13, size_of(&row));
    }
}

static void inertia_counts_leaf_and_ice_and_only_while_accelerating(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    double leaf_alone = trn_leaf_body(&leaf).inertia_kg_m2;
    double ice = trn_ice_body(leaf.surfaces, leaf.surface_count, 120.0).inertia_kg_m2;
    assert_close(moments_of(&leaf, &windy, 0.3).inertia_Nm, 0.0025 * (leaf_alone + ice), 1e-14);
    windy.ice_N_m2 = 0.0;
    assert_close(moments_of(&leaf, &windy, 0.3).inertia_Nm, 0.0025 * leaf_alone, 1e-14);
    windy.accelerating = false;
    assert_near(moments_of(&leaf, &windy, 0.3).inertia_Nm, 0.0, 0.0);
}

static void each_running_motor_takes_its_share_when_driving_and_when_overhauled(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    windy.accelerating = false;
    bool overhauled = false;
    bool driven = false;
    for (int i = 0; i <= 76; i += 4) {
        for (int side = 0; side < 2; side++) {
            windy.wind.from = side ? TRN_WIND_FROM_HEEL : TRN_WIND_FROM_TOE;
            trn_moments row = moments_of(&leaf, &windy, i * DEGREE);
            double opening = row.opening_Nm * (row.opening_Nm < 0.0 ? 0.8 : 1.25) / 1500.0 / 2.0;
            double closing = row.closing_Nm * (row.closing_Nm < 0.0 ? 0.8 : 1.25) / 1500.0 / 2.0;
            overhauled = overhauled || row.opening_Nm < 0.0;
            driven = driven || row.opening_Nm > 0.0;
            assert_true(row.has_motor);
            assert_close(row.motor_opening_Nm, opening, 1e-13);
            assert_close(row.motor_closing_Nm, closing, 1e-13);
        }
    }
    assert_true(overhauled && driven);
}

static void the_rotors_of_all_installed_motors_are_sped_up_by_those_that_run(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    trn_moments row = moments_of(&leaf, &windy, 0.3);
    double rotors = 3.0 * 1.8 * 1500.0 * 0.0025;
    double opening = row.opening_Nm * (row.opening_Nm < 0.0 ? 0.8 : 1.25) / 1500.0;
    double closing = row.closing_Nm * (row.closing_Nm < 0.0 ? 0.8 : 1.25) / 1500.0;
    assert_close(row.motor_opening_Nm, (opening + rotors) / 2.0, 1e-13);
    assert_close_at(row.motor_closing_Nm, (closing + rotors) / 2.0, 1e-13, rotors);
}

static void without_drive_or_motors_there_is_no_motor_torque(void **state)
{
    (void)state;
    trn_case still = trn_default_case();
    trn_leaf no_drive = whole_leaf();
    trn_leaf no_motors = whole_leaf();
    no_drive.drive = NULL;
    no_motors.motors = NULL;
    assert_false(moments_of(&no_drive, &still, 0.3).has_motor);
    assert_false(moments_of(&no_motors, &still, 0.3).has_motor);
    assert_near(moments_of(&no_drive, &still, 0.3).motor_opening_Nm, 0.0, 0.0);
    assert_near(moments_of(&no_motors, &still, 0.3).motor_closing_Nm, 0.0, 0.0);
}

static void a_drive_of_another_kind_never_gives_a_torque_that_is_no_number(void **state)
{
    (void)state;
    const trn_drive others[] = {
        {.kind = TRN_DRIVE_STRUT,
         .strut = {.on_leaf = {3.0, 2.0}, .pinion = {-4.0, 6.0}, .pinion_radius_m = 0.4, .ratio = 180.0},
         .efficiency = 0.85},
        {.kind = TRN_DRIVE_CYLINDER,
         .cylinder = {.on_leaf = {3.0, -1.0}, .anchor = {1.0, -6.0}, .bore_m = 0.28, .rod_m = 0.18, .count = 2,
                      .pressure_Pa = 25e6},
         .efficiency = 0.85},
    };
    trn_case still = trn_default_case();
    for (size_t i = 0; i < COUNT(others); i++) {
        trn_leaf leaf = whole_leaf();
        leaf.drive = &others[i];
        trn_moments row = moments_of(&leaf, &still, 0.3);
        assert_true(isfinite(row.motor_opening_Nm));
        assert_true(isfinite(row.motor_closing_Nm));
    }
}

static void a_turned_leaf_has_the_shifted_breakdown(void **state)
{
    (void)state;
    trn_leaf leaf = whole_leaf();
    trn_case windy = windy_case();
    mapped_leaf turned;
    map_leaf((plane_map){.turn_rad = 0.25}, &leaf, &turned);
    for (int i = 0; i <= 10; i++) {
        trn_moments want = moments_of(&leaf, &windy, 0.1 * i + 0.25);
        trn_moments got = moments_of(&turned.leaf, &windy, 0.1 * i);
        double size = trn_leaf_balance(&leaf).moment_Nm + size_of(&want);
        assert_close_at(got.opening_Nm, want.opening_Nm, 1e-11, size);
        assert_close_at(got.closing_Nm, want.closing_Nm, 1e-11, size);
        assert_close(got.reaction_opening_N, want.reaction_opening_N, 1e-12);
        assert_close(got.reaction_closing_N, want.reaction_closing_N, 1e-12);
        assert_close_at(got.motor_opening_Nm, want.motor_opening_Nm, 1e-11, size / 1500.0);
        assert_close_at(got.motor_closing_Nm, want.motor_closing_Nm, 1e-11, size / 1500.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_loading_sums_up_what_does_not_change_with_the_angle),
        cmocka_unit_test(calm_air_has_the_balance_alone),
        cmocka_unit_test(demands_are_the_sums_of_their_terms_in_the_direction_of_travel),
        cmocka_unit_test(wind_is_pressure_times_sense_times_that_of_one_pascal),
        cmocka_unit_test(wind_by_speed_is_wind_of_its_pressure),
        cmocka_unit_test(the_wind_of_a_loading_is_moment_and_force),
        cmocka_unit_test(wind_of_less_than_a_pascal_counts_as_well),
        cmocka_unit_test(adverse_wind_resists_both_directions),
        cmocka_unit_test(ice_is_that_of_its_body),
        cmocka_unit_test(in_calm_air_the_trunnion_carries_the_weight),
        cmocka_unit_test(the_trunnion_carries_the_wind_with_the_weight),
        cmocka_unit_test(friction_is_that_of_the_reaction_in_each_direction),
        cmocka_unit_test(opening_and_closing_differ_by_twice_the_friction_in_calm_air),
        cmocka_unit_test(inertia_counts_leaf_and_ice_and_only_while_accelerating),
        cmocka_unit_test(each_running_motor_takes_its_share_when_driving_and_when_overhauled),
        cmocka_unit_test(the_rotors_of_all_installed_motors_are_sped_up_by_those_that_run),
        cmocka_unit_test(without_drive_or_motors_there_is_no_motor_torque),
        cmocka_unit_test(a_drive_of_another_kind_never_gives_a_torque_that_is_no_number),
        cmocka_unit_test(a_turned_leaf_has_the_shifted_breakdown),
    };
    return cmocka_run_group_tests_name("moments", tests, NULL, NULL);
}
