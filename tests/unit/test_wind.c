/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Wind that is the same at every height, by all three laws. */
#include "assertions.h"

#include "sample.h"
#include "trunnion/wind.h"

static const trn_incidence_point rising[] = {{0.0, 0.0}, {0.5, 0.9}, {1.0, 1.3}, {QUARTER_TURN, 1.1}};

static const trn_wind_law laws[] = {TRN_WIND_PROJECTED, TRN_WIND_NORMAL, TRN_WIND_INCIDENCE};

static trn_wind wind_of(trn_wind_law law)
{
    trn_wind wind = trn_default_wind();
    wind.pressure_Pa = 1.0;
    wind.law = law;
    wind.table = rising;
    wind.table_count = COUNT(rising);
    return wind;
}

/* Inclined 30 degrees, mid-point (5, 1), 10 m long, 3 m wide, half solid. */
static trn_surface slope(void)
{
    return (trn_surface){.name = "slope", .from = {5.0 - 5.0 * sqrt(0.75), -1.5}, .to = {5.0 + 5.0 * sqrt(0.75), 3.5},
                         .width_m = 3.0, .solidity = 0.5, .takes_wind = true};
}

static void assert_action(trn_wind_action got, double moment, double x, double y, double relative, double arm)
{
    double force = fmax(hypot(x, y), 1e-300);
    assert_close_at(got.moment_Nm, moment, relative, force * arm);
    assert_close_at(got.force.x, x, relative, force);
    assert_close_at(got.force.y, y, relative, force);
}

static void the_default_wind_is_calm_projected_and_adverse(void **state)
{
    (void)state;
    trn_wind wind = trn_default_wind();
    assert_false(wind.by_speed);
    assert_same_bits(trn_wind_pressure(&wind), 0.0);
    assert_same_bits(wind.coefficient, 1.0);
    assert_same_bits(wind.density_kg_m3, 1.25);
    assert_int_equal(wind.law, TRN_WIND_PROJECTED);
    assert_int_equal(wind.from, TRN_WIND_FROM_ADVERSE);
    assert_null(wind.profile);
}

static void a_table_without_points_has_no_coefficient(void **state)
{
    (void)state;
    assert_same_bits(trn_wind_normal_coefficient(rising + 1, 0, 0.5), 0.0);
}

static void a_pressure_counts_as_it_is_given(void **state)
{
    (void)state;
    trn_wind wind = trn_default_wind();
    wind.pressure_Pa = 480.0;
    wind.speed_m_s = 99.0;
    wind.coefficient = 7.0;
    assert_same_bits(trn_wind_pressure(&wind), 480.0);
}

static void a_speed_gives_its_dynamic_pressure_times_the_coefficient(void **state)
{
    (void)state;
    trn_wind wind = trn_default_wind();
    wind.by_speed = true;
    wind.pressure_Pa = 99.0;
    wind.speed_m_s = 20.0;
    assert_close(trn_wind_pressure(&wind), 250.0, 1e-15);
    wind.coefficient = 1.2;
    wind.density_kg_m3 = 1.1;
    assert_close(trn_wind_pressure(&wind), 1.2 * 0.5 * 1.1 * 400.0, 1e-15);
}

static void the_sense_is_that_of_the_side_or_of_what_resists(void **state)
{
    (void)state;
    assert_same_bits(trn_wind_sense(TRN_WIND_FROM_HEEL, TRN_OPENING), 1.0);
    assert_same_bits(trn_wind_sense(TRN_WIND_FROM_HEEL, TRN_CLOSING), 1.0);
    assert_same_bits(trn_wind_sense(TRN_WIND_FROM_TOE, TRN_OPENING), -1.0);
    assert_same_bits(trn_wind_sense(TRN_WIND_FROM_TOE, TRN_CLOSING), -1.0);
    assert_same_bits(trn_wind_sense(TRN_WIND_FROM_ADVERSE, TRN_OPENING), 1.0);
    assert_same_bits(trn_wind_sense(TRN_WIND_FROM_ADVERSE, TRN_CLOSING), -1.0);
}

static void the_table_gives_its_points_and_straight_lines_between(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(rising); i++)
        assert_close(trn_wind_normal_coefficient(rising, 4, rising[i].incidence_rad), rising[i].coefficient, 1e-15);
    assert_close(trn_wind_normal_coefficient(rising, 4, 0.125), 0.225, 1e-14);
    assert_close(trn_wind_normal_coefficient(rising, 4, 0.75), 1.1, 1e-14);
    assert_close(trn_wind_normal_coefficient(rising, 4, 0.5 + 0.5 * 0.3), 0.9 + 0.4 * 0.3, 1e-14);
}

static void the_table_holds_its_ends_beyond_them(void **state)
{
    (void)state;
    const trn_incidence_point inner[] = {{0.4, 0.7}, {0.9, 1.2}};
    assert_same_bits(trn_wind_normal_coefficient(inner, 2, 0.1), 0.7);
    assert_same_bits(trn_wind_normal_coefficient(inner, 2, 1.5), 1.2);
    assert_same_bits(trn_wind_normal_coefficient(rising, 2, 1.0), 0.9);
    assert_same_bits(trn_wind_normal_coefficient(inner, 1, 0.0), 0.7);
    assert_same_bits(trn_wind_normal_coefficient(inner, 1, 1.5), 0.7);
}

static void projected_wind_acts_on_the_vertical_projection(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_PROJECTED);
    trn_surface surface = slope();
    double force = 3.0 * 0.5 * 10.0 * 0.5;
    assert_action(trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.0)), force * 1.0, force, 0.0, 1e-13, 5.0);
    trn_rotation sixth = trn_rotation_by(HALF_TURN / 3.0);
    double height = 5.0 * sqrt(0.75) + 0.5;
    assert_action(trn_wind_on_surface(&surface, &wind, sixth), 15.0 * height, 15.0, 0.0, 1e-13, 5.0);
}

static void projected_wind_finds_nothing_on_a_level_deck(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_PROJECTED);
    const trn_surface deck = {.from = {0.5, 0.8}, .to = {24.0, 0.8}, .width_m = 9.0, .solidity = 1.0};
    trn_wind_action action = trn_wind_on_surface(&deck, &wind, trn_rotation_by(0.0));
    assert_near(action.moment_Nm, 0.0, 0.0);
    assert_near(action.force.x, 0.0, 0.0);
    assert_near(action.force.y, 0.0, 0.0);
}

static void projected_wind_on_a_screen_below_the_trunnion_opens(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_PROJECTED);
    const trn_surface screen = {.from = {-6.0, -4.0}, .to = {-6.0, -2.0}, .width_m = 5.0, .solidity = 0.8};
    assert_action(trn_wind_on_surface(&screen, &wind, trn_rotation_by(0.0)), -24.0, 8.0, 0.0, 1e-14, 3.0);
}

static void projected_wind_does_not_ask_which_end_is_first(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_PROJECTED);
    for (int i = -10; i <= 10; i++) {
        trn_rotation rotation = trn_rotation_by(0.31 * i);
        trn_surface surface = slope();
        trn_surface swapped = surface;
        swapped.from = surface.to;
        swapped.to = surface.from;
        trn_wind_action want = trn_wind_on_surface(&surface, &wind, rotation);
        assert_action(trn_wind_on_surface(&swapped, &wind, rotation), want.moment_Nm, want.force.x, 0.0, 1e-12, 5.0);
        assert_true(want.force.x > 0.0);
    }
}

static void normal_wind_has_the_same_moment_at_every_angle(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_NORMAL);
    trn_surface surface = slope();
    double along = 5.0 * sqrt(0.75) + 1.0 * 0.5;
    for (int i = -10; i <= 10; i++) {
        double inclination = 0.31 * i + 30.0 * DEGREE;
        assert_action(trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.31 * i)), 15.0 * along,
                      15.0 * sin(inclination), -15.0 * cos(inclination), 1e-13, 5.0);
    }
}

static void normal_wind_from_the_heel_presses_a_level_deck_down(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_NORMAL);
    const trn_surface deck = {.from = {2.0, 0.8}, .to = {24.0, 0.8}, .width_m = 9.0, .solidity = 0.5};
    assert_action(trn_wind_on_surface(&deck, &wind, trn_rotation_by(0.0)), 99.0 * 13.0, 0.0, -99.0, 1e-14, 13.0);
}

static void normal_wind_pushes_a_raised_deck_towards_the_toe(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_NORMAL);
    const trn_surface deck = {.from = {2.0, 0.0}, .to = {24.0, 0.0}, .width_m = 9.0, .solidity = 0.5};
    trn_rotation upright = trn_rotation_by(QUARTER_TURN);
    assert_action(trn_wind_on_surface(&deck, &wind, upright), 99.0 * 13.0, 99.0, 0.0, 1e-14, 13.0);
}

static void on_an_upright_strip_projected_and_normal_wind_agree(void **state)
{
    (void)state;
    trn_surface surface = slope();
    trn_rotation upright = trn_rotation_by(60.0 * DEGREE);
    trn_wind projected = wind_of(TRN_WIND_PROJECTED);
    trn_wind normal = wind_of(TRN_WIND_NORMAL);
    trn_wind_action want = trn_wind_on_surface(&surface, &normal, upright);
    assert_action(trn_wind_on_surface(&surface, &projected, upright), want.moment_Nm, want.force.x, want.force.y,
                  1e-13, 6.0);
}

static void incidence_wind_is_normal_wind_times_the_coefficient_and_the_sign(void **state)
{
    (void)state;
    trn_wind incidence = wind_of(TRN_WIND_INCIDENCE);
    trn_wind normal = wind_of(TRN_WIND_NORMAL);
    trn_surface surface = slope();
    for (int i = -30; i <= 30; i++) {
        double inclination = 0.1 * i + 0.03;
        trn_rotation rotation = trn_rotation_by(inclination - 30.0 * DEGREE);
        double incident = asin(fabs(sin(inclination)));
        double factor = copysign(trn_wind_normal_coefficient(rising, COUNT(rising), incident), sin(inclination));
        trn_wind_action one = trn_wind_on_surface(&surface, &normal, rotation);
        assert_action(trn_wind_on_surface(&surface, &incidence, rotation), factor * one.moment_Nm,
                      factor * one.force.x, factor * one.force.y, 1e-12, 6.0);
    }
}

static void incidence_wind_finds_no_side_of_a_level_strip(void **state)
{
    (void)state;
    const trn_incidence_point blunt[] = {{0.0, 0.3}, {QUARTER_TURN, 1.2}};
    trn_wind wind = wind_of(TRN_WIND_INCIDENCE);
    wind.table = blunt;
    wind.table_count = COUNT(blunt);
    trn_surface surface = slope();
    trn_surface level = {.from = {0.5, 0.8}, .to = {24.0, 0.8}, .width_m = 9.0, .solidity = 1.0};
    trn_wind_action flat = trn_wind_on_surface(&level, &wind, trn_rotation_by(0.0));
    trn_wind_action turned = trn_wind_on_surface(&surface, &wind, trn_rotation_by(-30.0 * DEGREE));
    assert_near(flat.moment_Nm, 0.0, 0.0);
    assert_near(flat.force.y, 0.0, 0.0);
    assert_near(turned.force.y, 0.0, 0.0);
    turned = trn_wind_on_surface(&surface, &wind, trn_rotation_by(-30.0 * DEGREE + 1e-6));
    assert_close(turned.force.y, -0.3 * 15.0, 1e-5);
}

static void incidence_wind_always_pushes_along_the_wind(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_INCIDENCE);
    trn_surface surface = slope();
    for (int i = -30; i <= 30; i++)
        assert_true(trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.1 * i)).force.x > 0.0);
}

static void a_coefficient_that_is_the_sine_gives_newtons_square(void **state)
{
    (void)state;
    trn_incidence_point sine[181];
    for (size_t i = 0; i < COUNT(sine); i++) {
        double angle = QUARTER_TURN * (double)i / 180.0;
        sine[i] = (trn_incidence_point){angle, sin(angle)};
    }
    trn_wind wind = wind_of(TRN_WIND_INCIDENCE);
    wind.table = sine;
    wind.table_count = COUNT(sine);
    trn_surface surface = slope();
    for (int i = 0; i <= 60; i += 5) {
        double s = sin((30 + i) * DEGREE);
        trn_wind_action action = trn_wind_on_surface(&surface, &wind, trn_rotation_by(i * DEGREE));
        assert_close(action.force.x, 15.0 * s * s, 1e-12);
    }
}

static void the_moment_is_that_of_the_force_at_the_mid_point(void **state)
{
    (void)state;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind wind = wind_of(laws[law]);
        for (size_t k = 0; k < COUNT(sample_surfaces); k++) {
            trn_surface surface = sample_surfaces[k];
            trn_point middle = {0.5 * (surface.from.x + surface.to.x), 0.5 * (surface.from.y + surface.to.y)};
            for (int i = -6; i <= 9; i++) {
                trn_point at = map_point((plane_map){.turn_rad = 0.17 * i}, middle);
                trn_wind_action action = trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.17 * i));
                double size = hypot(at.x, at.y) * hypot(action.force.x, action.force.y);
                assert_close_at(action.moment_Nm, at.y * action.force.x - at.x * action.force.y, 1e-12, size);
            }
        }
    }
}

static void a_leaf_turned_by_an_angle_has_the_shifted_wind(void **state)
{
    (void)state;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind wind = wind_of(laws[law]);
        for (size_t k = 0; k < COUNT(sample_surfaces); k++) {
            trn_surface turned = map_surface((plane_map){.turn_rad = 0.43}, sample_surfaces[k]);
            for (int i = -6; i <= 9; i++) {
                trn_wind_action want =
                    trn_wind_on_surface(&sample_surfaces[k], &wind, trn_rotation_by(0.17 * i + 0.43));
                assert_action(trn_wind_on_surface(&turned, &wind, trn_rotation_by(0.17 * i)), want.moment_Nm,
                              want.force.x, want.force.y, 1e-12, 25.0);
            }
        }
    }
}

static void a_strip_mirrored_top_to_bottom_has_the_projected_moment_negative(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_PROJECTED);
    for (size_t k = 0; k < COUNT(sample_surfaces); k++) {
        trn_surface mirrored = map_surface((plane_map){.mirror_y = true}, sample_surfaces[k]);
        for (int i = -6; i <= 9; i++) {
            trn_wind_action want = trn_wind_on_surface(&sample_surfaces[k], &wind, trn_rotation_by(0.17 * i));
            assert_action(trn_wind_on_surface(&mirrored, &wind, trn_rotation_by(-0.17 * i)), -want.moment_Nm,
                          want.force.x, 0.0, 1e-12, 25.0);
        }
    }
}

static void a_strip_mirrored_toe_to_heel_has_the_normal_moment_negative(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_NORMAL);
    for (size_t k = 0; k < COUNT(sample_surfaces); k++) {
        trn_surface mirrored = map_surface((plane_map){.mirror_x = true}, sample_surfaces[k]);
        trn_surface swapped = mirrored;
        swapped.from = mirrored.to;
        swapped.to = mirrored.from;
        for (int i = -6; i <= 9; i++) {
            trn_wind_action want = trn_wind_on_surface(&sample_surfaces[k], &wind, trn_rotation_by(0.17 * i));
            assert_action(trn_wind_on_surface(&swapped, &wind, trn_rotation_by(-0.17 * i)), -want.moment_Nm,
                          -want.force.x, want.force.y, 1e-12, 25.0);
        }
    }
}

static void width_and_solidity_count_in_step(void **state)
{
    (void)state;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind wind = wind_of(laws[law]);
        trn_surface surface = slope();
        trn_wind_action one = trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.2));
        surface.width_m *= 3.0;
        surface.solidity *= 0.5;
        assert_action(trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.2)), 1.5 * one.moment_Nm,
                      1.5 * one.force.x, 1.5 * one.force.y, 1e-14, 6.0);
        surface.solidity = 0.0;
        assert_near(trn_wind_on_surface(&surface, &wind, trn_rotation_by(0.2)).moment_Nm, 0.0, 0.0);
    }
}

static void several_strips_are_the_sum_of_those_that_take_wind(void **state)
{
    (void)state;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind wind = wind_of(laws[law]);
        trn_rotation rotation = trn_rotation_by(0.6);
        trn_wind_action sum = {0};
        for (size_t k = 0; k < 3; k++) {
            trn_wind_action one = trn_wind_on_surface(&sample_surfaces[k], &wind, rotation);
            sum.moment_Nm += one.moment_Nm;
            sum.force.x += one.force.x;
            sum.force.y += one.force.y;
        }
        assert_false(sample_surfaces[3].takes_wind);
        assert_action(trn_wind_on_surfaces(sample_surfaces, COUNT(sample_surfaces), &wind, rotation), sum.moment_Nm,
                      sum.force.x, sum.force.y, 1e-14, 25.0);
    }
}

static void no_strips_take_no_wind(void **state)
{
    (void)state;
    trn_wind wind = wind_of(TRN_WIND_NORMAL);
    trn_wind_action action = trn_wind_on_surfaces(NULL, 0, &wind, trn_rotation_by(0.3));
    assert_near(action.moment_Nm, 0.0, 0.0);
    assert_near(action.force.x, 0.0, 0.0);
    assert_near(action.force.y, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_default_wind_is_calm_projected_and_adverse),
        cmocka_unit_test(a_table_without_points_has_no_coefficient),
        cmocka_unit_test(a_pressure_counts_as_it_is_given),
        cmocka_unit_test(a_speed_gives_its_dynamic_pressure_times_the_coefficient),
        cmocka_unit_test(the_sense_is_that_of_the_side_or_of_what_resists),
        cmocka_unit_test(the_table_gives_its_points_and_straight_lines_between),
        cmocka_unit_test(the_table_holds_its_ends_beyond_them),
        cmocka_unit_test(projected_wind_acts_on_the_vertical_projection),
        cmocka_unit_test(projected_wind_finds_nothing_on_a_level_deck),
        cmocka_unit_test(projected_wind_on_a_screen_below_the_trunnion_opens),
        cmocka_unit_test(projected_wind_does_not_ask_which_end_is_first),
        cmocka_unit_test(normal_wind_has_the_same_moment_at_every_angle),
        cmocka_unit_test(normal_wind_from_the_heel_presses_a_level_deck_down),
        cmocka_unit_test(normal_wind_pushes_a_raised_deck_towards_the_toe),
        cmocka_unit_test(on_an_upright_strip_projected_and_normal_wind_agree),
        cmocka_unit_test(incidence_wind_is_normal_wind_times_the_coefficient_and_the_sign),
        cmocka_unit_test(incidence_wind_finds_no_side_of_a_level_strip),
        cmocka_unit_test(incidence_wind_always_pushes_along_the_wind),
        cmocka_unit_test(a_coefficient_that_is_the_sine_gives_newtons_square),
        cmocka_unit_test(the_moment_is_that_of_the_force_at_the_mid_point),
        cmocka_unit_test(a_leaf_turned_by_an_angle_has_the_shifted_wind),
        cmocka_unit_test(a_strip_mirrored_top_to_bottom_has_the_projected_moment_negative),
        cmocka_unit_test(a_strip_mirrored_toe_to_heel_has_the_normal_moment_negative),
        cmocka_unit_test(width_and_solidity_count_in_step),
        cmocka_unit_test(several_strips_are_the_sum_of_those_that_take_wind),
        cmocka_unit_test(no_strips_take_no_wind),
    };
    return cmocka_run_group_tests_name("wind", tests, NULL, NULL);
}
