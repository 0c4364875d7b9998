/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Wind that grows with height, against closed forms and an adaptive quadrature. */
#include "assertions.h"

#include <gsl/gsl_integration.h>

#include "sample.h"
#include "trunnion/wind.h"

static const trn_incidence_point rising[] = {{0.0, 0.0}, {0.5, 0.9}, {1.0, 1.3}, {QUARTER_TURN, 1.1}};

static const trn_wind_law laws[] = {TRN_WIND_PROJECTED, TRN_WIND_NORMAL, TRN_WIND_INCIDENCE};

static const trn_wind_profile profile = {.exponent = 0.16, .reference_height_m = 10.0, .trunnion_height_m = 9.0,
                                         .lowest_m = 2.0};

static trn_wind wind_of(trn_wind_law law, const trn_wind_profile *with)
{
    trn_wind wind = trn_default_wind();
    wind.pressure_Pa = 1.0;
    wind.law = law;
    wind.table = rising;
    wind.table_count = COUNT(rising);
    wind.profile = with;
    return wind;
}

static void assert_action(trn_wind_action got, trn_wind_action want, double relative, double arm)
{
    double force = fmax(hypot(want.force.x, want.force.y), 1e-300);
    assert_close_at(got.moment_Nm, want.moment_Nm, relative, force * arm);
    assert_close_at(got.force.x, want.force.x, relative, force);
    assert_close_at(got.force.y, want.force.y, relative, force);
}

/* The law once more, from the design page: what one metre of the strip gives at share s of its length. */
typedef struct strip {
    const trn_surface *surface;
    const trn_wind *wind;
    double angle_rad;
    bool wants_moment;
} strip;

static double sine_of_inclination(const strip *at)
{
    trn_point from = map_point((plane_map){.turn_rad = at->angle_rad}, at->surface->from);
    trn_point to = map_point((plane_map){.turn_rad = at->angle_rad}, at->surface->to);
    return (to.y - from.y) / hypot(to.x - from.x, to.y - from.y);
}

static double coefficient_of(const strip *at)
{
    double s = sine_of_inclination(at);
    if (at->wind->law == TRN_WIND_PROJECTED)
        return fabs(s);
    if (at->wind->law == TRN_WIND_NORMAL)
        return 1.0;
    return copysign(trn_wind_normal_coefficient(at->wind->table, at->wind->table_count, asin(fabs(s))), s);
}

static double density(double share, void *context)
{
    const strip *at = context;
    trn_point from = at->surface->from;
    trn_point to = at->surface->to;
    double length = hypot(to.x - from.x, to.y - from.y);
    trn_point p = {from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)};
    double height = map_point((plane_map){.turn_rad = at->angle_rad}, p).y;
    const trn_wind_profile *shape = at->wind->profile;
    double z = fmax(height + shape->trunnion_height_m, shape->lowest_m);
    double force = at->surface->width_m * at->surface->solidity * length * coefficient_of(at) *
                   pow(z / shape->reference_height_m, 2.0 * shape->exponent);
    double along = (p.x * (to.x - from.x) + p.y * (to.y - from.y)) / length;
    if (!at->wants_moment)
        return force;
    return force * (at->wind->law == TRN_WIND_PROJECTED ? height : along);
}

/* Where the strip passes the height below which the wind does not fall, as a share of its length. */
static double kink_of(const strip *at)
{
    double from = map_point((plane_map){.turn_rad = at->angle_rad}, at->surface->from).y;
    double to = map_point((plane_map){.turn_rad = at->angle_rad}, at->surface->to).y;
    double kink = at->wind->profile->lowest_m - at->wind->profile->trunnion_height_m;
    double share = (kink - from) / (to - from);
    return share > 1e-9 && share < 1.0 - 1e-9 ? share : 0.5;
}

static double integral_of(strip *at)
{
    gsl_integration_workspace *room = gsl_integration_workspace_alloc(400);
    gsl_function integrand = {density, at};
    double points[] = {0.0, kink_of(at), 1.0};
    double result = 0.0;
    double error = 0.0;
    double size = at->surface->width_m * hypot(at->surface->to.x - at->surface->from.x,
                                               at->surface->to.y - at->surface->from.y);
    int status = gsl_integration_qagp(&integrand, points, 3, 1e-13 * size, 1e-13, 400, room, &result, &error);
    gsl_integration_workspace_free(room);
    assert_int_equal(status, 0);
    return result;
}

static trn_wind_action quadrature(const trn_surface *surface, const trn_wind *wind, double angle_rad)
{
    strip at = {surface, wind, angle_rad, false};
    double s = sine_of_inclination(&at);
    double force = integral_of(&at);
    at.wants_moment = true;
    double moment = integral_of(&at);
    if (wind->law == TRN_WIND_PROJECTED)
        return (trn_wind_action){moment, {force, 0.0}};
    trn_point from = map_point((plane_map){.turn_rad = angle_rad}, surface->from);
    trn_point to = map_point((plane_map){.turn_rad = angle_rad}, surface->to);
    double c = (to.x - from.x) / hypot(to.x - from.x, to.y - from.y);
    return (trn_wind_action){moment, {force * s, -force * c}};
}

static void without_a_profile_the_factor_is_one(void **state)
{
    (void)state;
    assert_same_bits(trn_wind_height_factor(NULL, 55.0), 1.0);
}

static void the_factor_is_one_at_the_reference_height(void **state)
{
    (void)state;
    assert_same_bits(trn_wind_height_factor(&profile, 10.0), 1.0);
}

static void the_factor_is_the_power_of_the_height_squared(void **state)
{
    (void)state;
    assert_close(trn_wind_height_factor(&profile, 20.0), pow(2.0, 0.32), 1e-15);
    assert_close(trn_wind_height_factor(&profile, 5.0), pow(0.5, 0.32), 1e-15);
    assert_close(trn_wind_height_factor(&(trn_wind_profile){0.5, 10.0, 0.0, 1.0}, 37.0), 3.7, 1e-15);
}

static void the_factor_never_falls_below_that_of_the_lowest_height(void **state)
{
    (void)state;
    double least = pow(0.2, 0.32);
    assert_close(trn_wind_height_factor(&profile, 2.0), least, 1e-15);
    assert_same_bits(trn_wind_height_factor(&profile, 1.0), trn_wind_height_factor(&profile, 2.0));
    assert_same_bits(trn_wind_height_factor(&profile, -30.0), trn_wind_height_factor(&profile, 2.0));
    assert_true(trn_wind_height_factor(&profile, 2.01) > least);
}

static void a_profile_without_growth_gives_back_the_uniform_wind(void **state)
{
    (void)state;
    trn_wind_profile flat = profile;
    flat.exponent = 0.0;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind uniform = wind_of(laws[law], NULL);
        trn_wind flat_wind = wind_of(laws[law], &flat);
        for (size_t k = 0; k < COUNT(sample_surfaces); k++) {
            for (int i = 0; i <= 12; i++) {
                trn_rotation rotation = trn_rotation_by(0.12 * i);
                trn_wind_action want = trn_wind_on_surface(&sample_surfaces[k], &uniform, rotation);
                assert_action(trn_wind_on_surface(&sample_surfaces[k], &flat_wind, rotation), want, 1e-12, 25.0);
            }
        }
    }
}

static void wind_in_step_with_height_on_an_upright_strip_is_a_trapezium(void **state)
{
    (void)state;
    const trn_wind_profile linear = {.exponent = 0.5, .reference_height_m = 10.0, .trunnion_height_m = 6.0,
                                     .lowest_m = 0.1};
    const trn_surface screen = {.from = {3.0, -2.0}, .to = {3.0, 10.0}, .width_m = 2.0, .solidity = 0.5};
    trn_wind_action want = {.force = {0.4 * 12.0 + 1.2 * 6.0, 0.0}};
    want.moment_Nm = 0.4 * 12.0 * 4.0 + 1.2 * 6.0 * 6.0;
    for (size_t law = 0; law < 2; law++) {
        trn_wind wind = wind_of(laws[law], &linear);
        assert_action(trn_wind_on_surface(&screen, &wind, trn_rotation_by(0.0)), want, 1e-13, 8.0);
    }
}

static void wind_on_a_level_strip_takes_the_factor_of_its_one_height(void **state)
{
    (void)state;
    trn_wind uniform = wind_of(TRN_WIND_NORMAL, NULL);
    trn_wind wind = wind_of(TRN_WIND_NORMAL, &profile);
    const trn_surface deck = {.from = {0.5, 0.8}, .to = {24.0, 0.8}, .width_m = 9.0, .solidity = 0.6};
    trn_wind_action want = trn_wind_on_surface(&deck, &uniform, trn_rotation_by(0.0));
    double factor = pow(0.98, 0.32);
    want.moment_Nm *= factor;
    want.force.x *= factor;
    want.force.y *= factor;
    assert_action(trn_wind_on_surface(&deck, &wind, trn_rotation_by(0.0)), want, 1e-13, 12.0);
}

static void assert_quadrature(const trn_surface *surface, const trn_wind_profile *shape, double relative)
{
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind wind = wind_of(laws[law], shape);
        for (int i = -3; i <= 8; i++) {
            double angle = 0.19 * i + 0.01;
            trn_wind_action want = quadrature(surface, &wind, angle);
            double arm = fmax(hypot(surface->from.x, surface->from.y), hypot(surface->to.x, surface->to.y));
            assert_action(trn_wind_on_surface(surface, &wind, trn_rotation_by(angle)), want, relative, arm);
        }
    }
}

static void wind_that_grows_agrees_with_an_adaptive_quadrature(void **state)
{
    (void)state;
    const double exponents[] = {0.12, 0.16, 0.3, 0.7, 1.0};
    for (size_t e = 0; e < COUNT(exponents); e++) {
        trn_wind_profile shape = profile;
        shape.exponent = exponents[e];
        for (size_t k = 0; k < COUNT(sample_surfaces); k++)
            assert_quadrature(&sample_surfaces[k], &shape, 1e-12);
    }
}

static void the_kink_within_a_strip_costs_no_accuracy(void **state)
{
    (void)state;
    const trn_surface screen = {.from = {1.0, -9.0}, .to = {-2.0, 14.0}, .width_m = 4.0, .solidity = 0.7};
    const double lowest[] = {0.5, 2.0, 6.0, 9.0, 15.0};
    for (size_t k = 0; k < COUNT(lowest); k++) {
        trn_wind_profile shape = profile;
        shape.exponent = 0.21;
        shape.lowest_m = lowest[k];
        assert_quadrature(&screen, &shape, 1e-12);
    }
}

static void heights_in_a_ratio_of_a_thousand_cost_no_accuracy(void **state)
{
    (void)state;
    const trn_wind_profile shape = {.exponent = 0.14, .reference_height_m = 10.0, .trunnion_height_m = 1.0,
                                    .lowest_m = 0.03};
    const trn_surface mast = {.from = {0.2, -1.0}, .to = {1.0, 40.0}, .width_m = 1.0, .solidity = 1.0};
    assert_quadrature(&mast, &shape, 1e-12);
}

static void wind_on_a_strip_all_below_the_lowest_height_is_uniform(void **state)
{
    (void)state;
    trn_wind_profile shape = profile;
    shape.lowest_m = 60.0;
    double factor = pow(6.0, 0.32);
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind uniform = wind_of(laws[law], NULL);
        trn_wind wind = wind_of(laws[law], &shape);
        trn_wind_action want = trn_wind_on_surface(&sample_surfaces[0], &uniform, trn_rotation_by(0.8));
        want.moment_Nm *= factor;
        want.force.x *= factor;
        want.force.y *= factor;
        assert_action(trn_wind_on_surface(&sample_surfaces[0], &wind, trn_rotation_by(0.8)), want, 1e-12, 25.0);
    }
}

static void wind_that_grows_lies_between_that_of_its_ends(void **state)
{
    (void)state;
    trn_wind uniform = wind_of(TRN_WIND_NORMAL, NULL);
    trn_wind wind = wind_of(TRN_WIND_NORMAL, &profile);
    const trn_surface *deck = &sample_surfaces[0];
    for (int i = 1; i <= 15; i++) {
        plane_map turn = {.turn_rad = 0.09 * i};
        double flat = trn_wind_on_surface(deck, &uniform, trn_rotation_by(turn.turn_rad)).moment_Nm;
        double grown = trn_wind_on_surface(deck, &wind, trn_rotation_by(turn.turn_rad)).moment_Nm;
        double low = trn_wind_height_factor(&profile, 9.0 + map_point(turn, deck->from).y);
        double high = trn_wind_height_factor(&profile, 9.0 + map_point(turn, deck->to).y);
        assert_true(grown > low * flat);
        assert_true(grown < high * flat);
    }
}

static void a_strip_cut_in_two_has_the_wind_of_the_whole(void **state)
{
    (void)state;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind winds[] = {wind_of(laws[law], NULL), wind_of(laws[law], &profile)};
        for (size_t k = 0; k < COUNT(winds); k++) {
            trn_surface halves[2] = {sample_surfaces[0], sample_surfaces[0]};
            trn_point cut = {0.5 + 0.37 * 23.5, 0.8 + 0.37 * 0.5};
            halves[0].to = cut;
            halves[1].from = cut;
            for (int i = 0; i <= 10; i++) {
                trn_rotation rotation = trn_rotation_by(0.13 * i);
                trn_wind_action whole = trn_wind_on_surface(&sample_surfaces[0], &winds[k], rotation);
                assert_action(trn_wind_on_surfaces(halves, 2, &winds[k], rotation), whole, 1e-12, 25.0);
            }
        }
    }
}

static void a_leaf_turned_by_an_angle_has_the_shifted_wind_that_grows(void **state)
{
    (void)state;
    for (size_t law = 0; law < COUNT(laws); law++) {
        trn_wind wind = wind_of(laws[law], &profile);
        for (size_t k = 0; k < COUNT(sample_surfaces); k++) {
            trn_surface turned = map_surface((plane_map){.turn_rad = 0.43}, sample_surfaces[k]);
            for (int i = -4; i <= 9; i++) {
                trn_wind_action want =
                    trn_wind_on_surface(&sample_surfaces[k], &wind, trn_rotation_by(0.17 * i + 0.43));
                assert_action(trn_wind_on_surface(&turned, &wind, trn_rotation_by(0.17 * i)), want, 1e-11, 25.0);
            }
        }
    }
}

static void a_higher_trunnion_has_more_wind(void **state)
{
    (void)state;
    trn_wind_profile higher = profile;
    higher.trunnion_height_m = 12.0;
    trn_wind wind = wind_of(TRN_WIND_NORMAL, &profile);
    trn_wind more = wind_of(TRN_WIND_NORMAL, &higher);
    trn_wind_action one = trn_wind_on_surface(&sample_surfaces[0], &wind, trn_rotation_by(0.7));
    trn_wind_action other = trn_wind_on_surface(&sample_surfaces[0], &more, trn_rotation_by(0.7));
    assert_true(other.moment_Nm > one.moment_Nm);
    assert_true(other.force.x > one.force.x);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_profile_the_factor_is_one),
        cmocka_unit_test(the_factor_is_one_at_the_reference_height),
        cmocka_unit_test(the_factor_is_the_power_of_the_height_squared),
        cmocka_unit_test(the_factor_never_falls_below_that_of_the_lowest_height),
        cmocka_unit_test(a_profile_without_growth_gives_back_the_uniform_wind),
        cmocka_unit_test(wind_in_step_with_height_on_an_upright_strip_is_a_trapezium),
        cmocka_unit_test(wind_on_a_level_strip_takes_the_factor_of_its_one_height),
        cmocka_unit_test(wind_that_grows_agrees_with_an_adaptive_quadrature),
        cmocka_unit_test(the_kink_within_a_strip_costs_no_accuracy),
        cmocka_unit_test(heights_in_a_ratio_of_a_thousand_cost_no_accuracy),
        cmocka_unit_test(wind_on_a_strip_all_below_the_lowest_height_is_uniform),
        cmocka_unit_test(wind_that_grows_lies_between_that_of_its_ends),
        cmocka_unit_test(a_strip_cut_in_two_has_the_wind_of_the_whole),
        cmocka_unit_test(a_leaf_turned_by_an_angle_has_the_shifted_wind_that_grows),
        cmocka_unit_test(a_higher_trunnion_has_more_wind),
    };
    return cmocka_run_group_tests_name("wind_profile", tests, NULL, NULL);
}
