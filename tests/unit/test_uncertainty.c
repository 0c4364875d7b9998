/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a distribution about a described value becomes, where it stands, and what is refused. */
#include "linkage.h"
#include "trunnion/leaf.h"

static const trn_case stormy[] = {
    {.name = "calm", .wind = {.coefficient = 1, .density_kg_m3 = 1.25}, .motor_limit = 1},
    {.name = "gale", .wind = {.by_speed = true, .speed_m_s = 20, .coefficient = 1.2, .density_kg_m3 = 1.25},
     .ice_N_m2 = 150, .motor_limit = 1},
    {.name = "still", .wind = {.by_speed = true, .coefficient = 1, .density_kg_m3 = 1.25}, .motor_limit = 1},
    {.name = "breeze", .wind = {.pressure_Pa = 0.5, .coefficient = 1, .density_kg_m3 = 1.25}, .motor_limit = 1}};
static const trn_holding kept[] = {
    {.name = "storm", .wind = {.pressure_Pa = 300, .coefficient = 1, .density_kg_m3 = 1.25}, .ice_N_m2 = 150}};

/* The sample with machinery, a linked counterweight, cases and holdings. */
static trn_leaf whole_leaf(const trn_drive *drive, const trn_linked_counterweight *linked)
{
    trn_leaf leaf = driven_leaf(drive);
    leaf.linked_counterweight = linked;
    leaf.cases = stormy;
    leaf.case_count = COUNT(stormy);
    leaf.holdings = kept;
    leaf.holding_count = COUNT(kept);
    return leaf;
}

typedef struct answer {
    trn_status status;
    trn_input input;
    trn_uncertain_place place;
    trn_error error;
} answer;

static answer ask(trn_uncertain of, const char *on, trn_distribution how)
{
    const trn_drive drive = rack_at(3.0, -1.5, 0.35);
    const trn_linked_counterweight linked = counterweight_on(four_bars[0]);
    const trn_leaf leaf = whole_leaf(&drive, &linked);
    const trn_uncertainty about = {of, on, how};
    answer got = {.error = {.text = ""}};
    got.status = trn_uncertainty_input(&leaf, &about, &got.input, &got.place, &got.error);
    return got;
}

static trn_distribution share(double sd)
{
    return (trn_distribution){.shape = TRN_NORMAL, .relative = true, .sd = sd};
}

static trn_distribution by_sd(trn_distribution_shape shape, double sd)
{
    return (trn_distribution){.shape = shape, .sd = sd};
}

static trn_distribution range(trn_distribution_shape shape, double low, double high)
{
    return (trn_distribution){.shape = shape, .by_range = true, .low = low, .high = high};
}

static void check_place(trn_uncertain of, const char *on, trn_described list, size_t index)
{
    const answer got = ask(of, on, share(0.02));
    if (got.status != TRN_OK)
        fail_msg("%s", got.error.text);
    assert_int_equal(got.place.list, list);
    assert_int_equal(got.place.index, index);
}

static void what_is_named_is_found_where_it_stands(void **state)
{
    (void)state;
    check_place(TRN_UNCERTAIN_WEIGHT, "toe lock", TRN_DESCRIBED_PART, 0);
    check_place(TRN_UNCERTAIN_WEIGHT, "counterweight", TRN_DESCRIBED_PART, 4);
    check_place(TRN_UNCERTAIN_UNIT_WEIGHT, "counterweight", TRN_DESCRIBED_PART, 4);
    check_place(TRN_UNCERTAIN_WEIGHT, "lower heel", TRN_DESCRIBED_POCKET, 1);
    check_place(TRN_UNCERTAIN_X, "upper heel", TRN_DESCRIBED_POCKET, 0);
    check_place(TRN_UNCERTAIN_Y, "arm", TRN_DESCRIBED_LINKED_PART, 1);
    check_place(TRN_UNCERTAIN_WEIGHT, "loose", TRN_DESCRIBED_LINKED_POCKET, 0);
    check_place(TRN_UNCERTAIN_MOVING_FRICTION, NULL, TRN_DESCRIBED_TRUNNION, 0);
    check_place(TRN_UNCERTAIN_STARTING_FRICTION, "linked counterweight", TRN_DESCRIBED_LINKED_TRUNNION, 0);
    check_place(TRN_UNCERTAIN_EFFICIENCY, NULL, TRN_DESCRIBED_DRIVE, 0);
    check_place(TRN_UNCERTAIN_SOLIDITY, "screen", TRN_DESCRIBED_SURFACE, 1);
    check_place(TRN_UNCERTAIN_WIND_SPEED, "gale", TRN_DESCRIBED_CASES, 0);
    check_place(TRN_UNCERTAIN_WIND_PRESSURE, NULL, TRN_DESCRIBED_CASES, 0);
    check_place(TRN_UNCERTAIN_WIND_PRESSURE, "breeze", TRN_DESCRIBED_CASES, 0);
    check_place(TRN_UNCERTAIN_ICE, "storm", TRN_DESCRIBED_CASES, 0);
}

static void what_there_is_not_is_refused(void **state)
{
    (void)state;
    const struct {
        trn_uncertain of;
        const char *on;
    } lacking[] = {{TRN_UNCERTAIN_WEIGHT, "nothing"},      {TRN_UNCERTAIN_WEIGHT, NULL},
                   {TRN_UNCERTAIN_UNIT_WEIGHT, "girders"}, {TRN_UNCERTAIN_UNIT_WEIGHT, "upper heel"},
                   {TRN_UNCERTAIN_SOLIDITY, "nothing"},    {TRN_UNCERTAIN_SOLIDITY, NULL},
                   {TRN_UNCERTAIN_ICE, "calm"},            {TRN_UNCERTAIN_WIND_SPEED, "storm"},
                   {TRN_UNCERTAIN_WIND_PRESSURE, "calm"},  {TRN_UNCERTAIN_DRAG, "linked counterweight"}};
    for (size_t i = 0; i < COUNT(lacking); i++) {
        const answer got = ask(lacking[i].of, lacking[i].on, share(0.02));
        assert_int_equal(got.status, TRN_OUT_OF_DOMAIN);
        assert_non_null(strstr(got.error.text, trn_uncertain_word(lacking[i].of)));
    }
}

static void a_weight_becomes_a_factor_and_a_friction_a_value(void **state)
{
    (void)state;
    answer got = ask(TRN_UNCERTAIN_WEIGHT, "toe lock", by_sd(TRN_NORMAL, 1029.7));
    assert_int_equal(got.status, TRN_OK);
    assert_close(got.input.mean, 1, 0);
    assert_close(got.input.sd, 0.05, 1e-14);
    assert_near(got.input.low, 0, 0);
    assert_true(isinf(got.input.high) && got.input.high > 0);
    got = ask(TRN_UNCERTAIN_MOVING_FRICTION, NULL, share(0.1));
    assert_close(got.input.mean, 0.12, 0);
    assert_close(got.input.sd, 0.012, 1e-14);
    assert_near(got.input.low, 0, 0);
    assert_near(got.input.high, 1, 0);
    got = ask(TRN_UNCERTAIN_STARTING_FRICTION, NULL, by_sd(TRN_UNIFORM, 0.01));
    assert_close(got.input.low, 0.18 - 0.01 * sqrt(3), 1e-14);
    assert_close(got.input.high, 0.18 + 0.01 * sqrt(3), 1e-14);
    got = ask(TRN_UNCERTAIN_DRAG, NULL, by_sd(TRN_TRIANGULAR, 100));
    assert_close(got.input.low, 700 - 100 * sqrt(6), 1e-14);
    assert_close(got.input.high, 700 + 100 * sqrt(6), 1e-14);
    assert_close(got.input.mode, 700, 0);
    got = ask(TRN_UNCERTAIN_X, "toe lock", by_sd(TRN_NORMAL, 0.05));
    assert_near(got.input.mean, 0, 0);
    assert_close(got.input.sd, 0.05, 0);
    got = ask(TRN_UNCERTAIN_UNIT_WEIGHT, "counterweight", range(TRN_UNIFORM, 24026.3 * 0.9, 24026.3 * 1.05));
    assert_close(got.input.low, 0.9, 1e-14);
    assert_close(got.input.high, 1.05, 1e-14);
    trn_distribution deviations = range(TRN_TRIANGULAR, -0.1, 0.2);
    deviations.relative = true;
    got = ask(TRN_UNCERTAIN_EFFICIENCY, NULL, deviations);
    assert_close(got.input.low, 0.8 * 0.9, 1e-14);
    assert_close(got.input.high, 0.8 * 1.2, 1e-14);
}

static void a_value_in_units_needs_one_described_value(void **state)
{
    (void)state;
    /* 150 N/m2 of ice in one case and one holding; pressures that differ; nothing where all are told in per cent. */
    answer got = ask(TRN_UNCERTAIN_ICE, NULL, by_sd(TRN_NORMAL, 15));
    assert_int_equal(got.status, TRN_OK);
    assert_close(got.input.sd, 0.1, 1e-14);
    assert_int_equal(ask(TRN_UNCERTAIN_WIND_PRESSURE, NULL, by_sd(TRN_NORMAL, 0.1)).status, TRN_OUT_OF_DOMAIN);
    assert_int_equal(ask(TRN_UNCERTAIN_WIND_SPEED, NULL, by_sd(TRN_NORMAL, 2)).status, TRN_OUT_OF_DOMAIN);
    assert_int_equal(ask(TRN_UNCERTAIN_WIND_SPEED, "still", share(0.1)).status, TRN_OK);
    assert_int_equal(ask(TRN_UNCERTAIN_WIND_SPEED, "still", by_sd(TRN_NORMAL, 2)).status, TRN_OUT_OF_DOMAIN);
    got = ask(TRN_UNCERTAIN_WIND_PRESSURE, "breeze", by_sd(TRN_NORMAL, 0.05));
    assert_int_equal(got.status, TRN_OK);
    assert_close(got.input.sd, 0.1, 1e-14);
    got = ask(TRN_UNCERTAIN_WIND_PRESSURE, "gale", by_sd(TRN_NORMAL, 30));
    assert_close(got.input.sd, 0.1, 1e-14);
    got = ask(TRN_UNCERTAIN_WIND_SPEED, "gale", by_sd(TRN_NORMAL, 2));
    assert_close(got.input.sd, 0.1, 1e-14);
}

static void what_leaves_its_bounds_is_refused_and_what_just_reaches_them_is_not(void **state)
{
    (void)state;
    const trn_distribution reaching[] = {range(TRN_UNIFORM, 0, 1), range(TRN_TRIANGULAR, 0.12, 0.2),
                                         range(TRN_TRIANGULAR, 0.1, 0.12), by_sd(TRN_NORMAL, 0.04)};
    for (size_t i = 0; i < COUNT(reaching); i++)
        assert_int_equal(ask(TRN_UNCERTAIN_MOVING_FRICTION, NULL, reaching[i]).status, TRN_OK);
    const trn_distribution leaving[] = {range(TRN_UNIFORM, -1e-9, 1),     range(TRN_UNIFORM, 0, 1 + 1e-9),
                                        range(TRN_TRIANGULAR, 0.13, 0.2), range(TRN_TRIANGULAR, 0.1, 0.11),
                                        by_sd(TRN_NORMAL, 0.041),         range(TRN_NORMAL, 0.1, 0.2),
                                        range(TRN_UNIFORM, 0.2, 0.1)};
    for (size_t i = 0; i < COUNT(leaving); i++)
        assert_int_equal(ask(TRN_UNCERTAIN_MOVING_FRICTION, NULL, leaving[i]).status, TRN_OUT_OF_DOMAIN);
    assert_int_equal(ask(TRN_UNCERTAIN_EFFICIENCY, NULL, range(TRN_UNIFORM, 0.01, 1)).status, TRN_OK);
    assert_int_equal(ask(TRN_UNCERTAIN_EFFICIENCY, NULL, range(TRN_UNIFORM, 0.009, 1)).status, TRN_OUT_OF_DOMAIN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_named_is_found_where_it_stands),
        cmocka_unit_test(what_there_is_not_is_refused),
        cmocka_unit_test(a_weight_becomes_a_factor_and_a_friction_a_value),
        cmocka_unit_test(a_value_in_units_needs_one_described_value),
        cmocka_unit_test(what_leaves_its_bounds_is_refused_and_what_just_reaches_them_is_not),
    };
    return cmocka_run_group_tests_name("uncertainty", tests, NULL, NULL);
}
