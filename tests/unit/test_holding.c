/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Brakes that keep the leaf at rest. */
#include "linkage.h"
#include "trunnion/balance.h"
#include "trunnion/holding.h"
#include "trunnion/ice.h"

static const trn_brake brakes[] = {
    {.name = "motor brakes", .count = 2, .torque_Nm = 300.0, .ratio = 1500.0, .delay_s = 0.3, .set_time_s = 0.5},
    {.name = "machinery brake", .count = 1, .torque_Nm = 9000.0, .ratio = 70.0, .delay_s = 0.6, .set_time_s = 0.2},
};

static trn_leaf held_leaf(void)
{
    trn_leaf leaf = driven_leaf(NULL);
    leaf.brakes = brakes;
    leaf.brake_count = COUNT(brakes);
    return leaf;
}

static trn_holding storm(void)
{
    trn_holding holding = {.name = "storm", .wind = trn_default_wind(), .factor = 1.0};
    holding.wind.pressure_Pa = 960.0;
    holding.wind.law = TRN_WIND_NORMAL;
    return holding;
}

static double demand_of(const trn_leaf *leaf, const trn_holding *holding, double angle_rad)
{
    double demand = (double)NAN;
    trn_error error = {.status = TRN_OK};
    if (trn_holding_demand(leaf, holding, &angle_rad, 1, &demand, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return demand;
}

static trn_holding_rating holding_of(const trn_leaf *leaf, const trn_holding *holding)
{
    trn_holding_rating rating;
    trn_error error = {.status = TRN_OK};
    if (trn_leaf_holding(leaf, holding, &rating, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return rating;
}

/* Moment of weight and ice, and of the wind from the heel, by hand. */
static double still_moment(const trn_leaf *leaf, double ice_N_m2, double angle_rad)
{
    trn_body body = trn_body_sum(trn_leaf_body(leaf), trn_ice_body(leaf->surfaces, leaf->surface_count, ice_N_m2));
    return body.a_Nm * cos(angle_rad) - body.b_Nm * sin(angle_rad);
}

static double wind_moment(const trn_leaf *leaf, const trn_wind *wind, double angle_rad)
{
    return wind->pressure_Pa * trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, wind,
                                                    trn_rotation_by(angle_rad)).moment_Nm;
}

static void capacity_is_torque_times_turns_of_all_brakes_without_gear_loss(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    assert_close(trn_brake_capacity(&leaf), 2 * 300.0 * 1500.0 + 9000.0 * 70.0, 1e-15);
    trn_drive lossy = rack_at(0, 0, 0);
    lossy.efficiency = 0.5;
    leaf.drive = &lossy;
    assert_close(trn_brake_capacity(&leaf), 1530e3, 1e-15);
    leaf.brake_count = 0;
    assert_same_bits(trn_brake_capacity(&leaf), 0.0);
}

static void the_strongest_brake_is_the_one_that_gives_most_at_the_leaf(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    assert_close(trn_brake_strongest(&leaf), 630e3, 1e-15);
    leaf.brake_count = 1;
    assert_close(trn_brake_strongest(&leaf), 450e3, 1e-15);
    leaf.brake_count = 0;
    assert_same_bits(trn_brake_strongest(&leaf), 0.0);
}

static void the_demand_is_the_greater_of_both_sides_of_the_wind(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_holding holding = storm();
    holding.ice_N_m2 = 150.0;
    for (int degrees = 0; degrees <= 76; degrees++) {
        double still = still_moment(&leaf, 150.0, degrees * DEGREE);
        double wind = wind_moment(&leaf, &holding.wind, degrees * DEGREE);
        assert_close(demand_of(&leaf, &holding, degrees * DEGREE), fabs(still) + fabs(wind), 1e-12);
    }
}

static void a_wind_from_one_side_can_help(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_holding holding = storm();
    for (int degrees = 0; degrees <= 76; degrees++) {
        double still = still_moment(&leaf, 0, degrees * DEGREE);
        double wind = wind_moment(&leaf, &holding.wind, degrees * DEGREE);
        holding.wind.from = TRN_WIND_FROM_HEEL;
        assert_close_at(demand_of(&leaf, &holding, degrees * DEGREE), fabs(still + wind), 1e-12, 1e7);
        holding.wind.from = TRN_WIND_FROM_TOE;
        assert_close_at(demand_of(&leaf, &holding, degrees * DEGREE), fabs(still - wind), 1e-12, 1e7);
    }
}

static void friction_helps_only_by_the_share_that_is_credited(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_holding holding = storm();
    holding.wind.from = TRN_WIND_FROM_HEEL;
    trn_body body = trn_leaf_body(&leaf);
    for (int degrees = 0; degrees <= 76; degrees += 4) {
        trn_wind_action unit = trn_wind_on_surfaces(leaf.surfaces, leaf.surface_count, &holding.wind,
                                                    trn_rotation_by(degrees * DEGREE));
        double reaction = hypot(960.0 * unit.force.x, 960.0 * unit.force.y - body.weight_N);
        holding.friction_credit = 0.0;
        double whole = demand_of(&leaf, &holding, degrees * DEGREE);
        holding.friction_credit = 0.4;
        double want = fmax(0, whole - 0.4 * (0.18 * 0.24 * reaction + 700.0));
        assert_close_at(demand_of(&leaf, &holding, degrees * DEGREE), want, 1e-12, 1e6);
    }
}

/* With a linked counterweight opening and closing have not the same friction: its trunnion's own is in the link. */
static void friction_is_credited_against_the_motion_that_the_moment_would_start(void **state)
{
    (void)state;
    trn_linked_counterweight linked = counterweight_on(four_bars[1]);
    trn_leaf leaf = held_leaf();
    leaf.linked_counterweight = &linked;
    leaf.part_count--;
    trn_holding holding = storm();
    holding.friction_credit = 0.5;
    trn_case windy = trn_default_case();
    windy.friction = TRN_FRICTION_STARTING;
    int closes = 0;
    for (int side = TRN_WIND_FROM_HEEL; side <= TRN_WIND_FROM_TOE; side++) {
        holding.wind.from = (trn_wind_side)side;
        windy.wind = holding.wind;
        trn_loading loading = loading_of(&leaf, &windy);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
            double moment = row.balance_Nm + row.wind_opening_Nm;
            double friction = moment > 0 ? row.friction_closing_Nm : row.friction_opening_Nm;
            double want = fmax(0, fabs(moment) - 0.5 * friction);
            assert_close_at(demand_of(&leaf, &holding, degrees * DEGREE), want, 1e-12, 1e6);
            closes += moment > 0;
        }
    }
    assert_true(closes > 5 && closes < 35);
}

static void friction_never_turns_a_demand_round(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_journal stiff = machinery_journal;
    stiff.drag_Nm = 1e9;
    leaf.trunnion = &stiff;
    trn_holding holding = storm();
    holding.friction_credit = 1.0;
    assert_same_bits(demand_of(&leaf, &holding, 0.5), 0.0);
    trn_holding_rating rating = holding_of(&leaf, &holding);
    assert_true(isinf(rating.factor) && rating.factor > 0);
    assert_true(isinf(rating.factor_one_out) && rating.met);
}

/* At rest the strut carries nothing, so it may have a dead point, and loads no trunnion. */
static void the_drive_does_not_matter_to_a_leaf_on_its_brakes(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_holding holding = storm();
    holding.friction_credit = 0.3;
    double want = demand_of(&leaf, &holding, 0.5);
    trn_drive strut = strut_between(pin_pairs[0]);
    leaf.drive = &strut;
    assert_same_bits(demand_of(&leaf, &holding, 0.5), want);
}

static void the_worst_angle_beats_every_other(void **state)
{
    (void)state;
    enum { FINE = 3801 };
    static double angles[FINE];
    static double demands[FINE];
    trn_leaf leaf = held_leaf();
    for (int j = 0; j < FINE; j++)
        angles[j] = leaf.opens_to_rad * j / (FINE - 1);
    trn_linked_counterweight linked = counterweight_on(four_bars[0]);
    for (int i = 0; i < 6; i++) {
        trn_holding holding = storm();
        holding.friction_credit = i % 2 ? 0.4 : 0.0;
        holding.wind.from = (trn_wind_side)(i % 3);
        holding.wind.law = i < 3 ? TRN_WIND_NORMAL : TRN_WIND_PROJECTED;
        leaf.linked_counterweight = i < 4 ? NULL : &linked;
        leaf.part_count = COUNT(sample_parts) - (i < 4 ? 0 : 1);
        trn_holding_rating rating = holding_of(&leaf, &holding);
        assert_close(demand_of(&leaf, &holding, rating.worst_angle_rad), rating.demand_Nm, 1e-14);
        assert_int_equal(trn_holding_demand(&leaf, &holding, angles, FINE, demands, NULL), TRN_OK);
        for (int j = 0; j < FINE; j++)
            assert_true(demands[j] <= rating.demand_Nm * (1 + 1e-12));
    }
}

static void a_narrow_peak_is_not_missed(void **state)
{
    (void)state;
    trn_leaf leaf = spiked_leaf(NULL);
    leaf.brakes = brakes;
    leaf.brake_count = COUNT(brakes);
    trn_holding holding = {.name = "gust", .wind = spiked_wind(400.0), .factor = 1.0};
    trn_holding_rating rating = holding_of(&leaf, &holding);
    assert_near(rating.worst_angle_rad, 42.1 * DEGREE, 1e-8);
    assert_close(rating.demand_Nm, 400.0 * 2.5 * 1100.0, 1e-6);
}

static void factors_are_capacity_over_demand(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_holding holding = storm();
    holding.factor = 1.25;
    trn_holding_rating rating = holding_of(&leaf, &holding);
    assert_close(rating.capacity_Nm, 1530e3, 1e-15);
    assert_close(rating.factor, 1530e3 / rating.demand_Nm, 1e-15);
    assert_close(rating.factor_one_out, 900e3 / rating.demand_Nm, 1e-15);
    assert_same_bits(rating.required, 1.25);
    holding.factor = rating.factor * (1 - 1e-12);
    assert_true(holding_of(&leaf, &holding).met);
    holding.factor = rating.factor * (1 + 1e-12);
    assert_false(holding_of(&leaf, &holding).met);
}

static void more_brake_torque_holds_in_step_more(void **state)
{
    (void)state;
    trn_leaf leaf = held_leaf();
    trn_holding holding = storm();
    double before = holding_of(&leaf, &holding).factor;
    for (double more = 1.1; more < 3.0; more *= 1.3) {
        trn_brake stronger[COUNT(brakes)];
        for (size_t i = 0; i < COUNT(brakes); i++) {
            stronger[i] = brakes[i];
            stronger[i].torque_Nm *= more;
        }
        leaf.brakes = stronger;
        trn_holding_rating rating = holding_of(&leaf, &holding);
        assert_true(rating.factor > before);
        assert_close(rating.capacity_Nm, 1530e3 * more, 1e-14);
        before = rating.factor;
    }
}

static void a_weight_on_one_brake_has_a_closed_form(void **state)
{
    (void)state;
    trn_part weight = trn_default_part();
    weight.name = "weight";
    weight.weight_N = 80e3;
    weight.at = (trn_point){3.0, -4.0};
    trn_leaf leaf = held_leaf();
    leaf.parts = &weight;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    leaf.surface_count = 0;
    leaf.brake_count = 1;
    trn_holding calm = {.name = "calm", .wind = trn_default_wind(), .factor = 1.0};
    /* 5 m from the trunnion, level with it at atan(4/3) = 53.13 degrees. */
    trn_holding_rating rating = holding_of(&leaf, &calm);
    assert_near(rating.worst_angle_rad, atan2(4, 3), 1e-7);
    assert_close(rating.demand_Nm, 400e3, 1e-13);
    assert_close(rating.factor, 900e3 / 400e3, 1e-13);
    assert_close(rating.factor_one_out, 450e3 / 400e3, 1e-13);
}

static void brakes_are_asked_for_by_name(void **state)
{
    (void)state;
    trn_leaf leaf = driven_leaf(NULL);
    trn_holding holding = storm();
    trn_holding_rating rating = {.factor = 17.0};
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_leaf_holding(&leaf, &holding, &rating, &error), TRN_MISSING_SECTION);
    assert_non_null(strstr(error.text, "'brakes'"));
    assert_same_bits(rating.factor, 17.0);
}

static void a_link_that_locks_cannot_be_held_in_numbers(void **state)
{
    (void)state;
    const trn_holding holding = storm();
    trn_linked_counterweight linked = counterweight_on(four_bars[0]);
    trn_leaf leaf = held_leaf();
    leaf.linked_counterweight = &linked;
    linked.pin_on_leaf = (trn_point){-50.0, 1.0}; /* beyond the reach of the link when the leaf turns */
    trn_holding_rating rating = {.factor = 17.0};
    double demand_Nm = 17.0;
    const double angle_rad = 0.0;
    trn_error error = {.status = TRN_OK};
    const trn_status status = trn_leaf_holding(&leaf, &holding, &rating, &error);
    assert_int_not_equal(status, TRN_OK);
    assert_int_equal(error.status, status);
    assert_int_equal(trn_holding_demand(&leaf, &holding, &angle_rad, 1, &demand_Nm, &error), status);
    assert_same_bits(rating.factor, 17.0);
    assert_same_bits(demand_Nm, 17.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(capacity_is_torque_times_turns_of_all_brakes_without_gear_loss),
        cmocka_unit_test(the_strongest_brake_is_the_one_that_gives_most_at_the_leaf),
        cmocka_unit_test(the_demand_is_the_greater_of_both_sides_of_the_wind),
        cmocka_unit_test(a_wind_from_one_side_can_help),
        cmocka_unit_test(friction_helps_only_by_the_share_that_is_credited),
        cmocka_unit_test(friction_is_credited_against_the_motion_that_the_moment_would_start),
        cmocka_unit_test(friction_never_turns_a_demand_round),
        cmocka_unit_test(the_drive_does_not_matter_to_a_leaf_on_its_brakes),
        cmocka_unit_test(the_worst_angle_beats_every_other),
        cmocka_unit_test(a_narrow_peak_is_not_missed),
        cmocka_unit_test(factors_are_capacity_over_demand),
        cmocka_unit_test(more_brake_torque_holds_in_step_more),
        cmocka_unit_test(a_weight_on_one_brake_has_a_closed_form),
        cmocka_unit_test(brakes_are_asked_for_by_name),
        cmocka_unit_test(a_link_that_locks_cannot_be_held_in_numbers),
    };
    return cmocka_run_group_tests_name("holding", tests, NULL, NULL);
}
