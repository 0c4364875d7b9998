/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs whose answer is known in closed form: first order, the indices of what is linear, and what is normal. */
#include "spread_leaf.h"
#include "spreading.h"

/* The demand in still air is linear in the weights: sum over variables of (W u (x cos - y sin + mu r))^2. */
static void first_order_in_closed_form(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF DRIVEN);
    const trn_leaf *leaf = trn_description_leaf(description);
    trn_spread_settings settings = spread_settings(leaf);
    settings.samples = 100000;
    trn_spread *run = spread_run(leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    assert_int_equal(result->variable_count, 4);
    assert_string_equal(result->variables[2], "group steel");
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        const trn_spread_row *row = &result->cases[0].rows[i];
        const double sign = row->direction == TRN_OPENING ? 1 : -1;
        double changes[4] = {0};
        for (size_t p = 0; p < leaf->part_count; p++) {
            const trn_body body = trn_part_body(&leaf->parts[p], (trn_point){0, 0});
            const double moment = sign * (body.a_Nm * cos(row->angle_rad) - body.b_Nm * sin(row->angle_rad));
            changes[p < 3 ? p : p - 1] += leaf->parts[p].uncertainty.sd * (moment + 0.12 * 0.2 * body.weight_N);
        }
        double square = 0;
        for (size_t v = 0; v < 4; v++) {
            square += changes[v] * changes[v];
        }
        assert_close(row->first_sd_Nm, sqrt(square), 1e-12);
        assert_near(row->demand_Nm.mean, row->first_mean_Nm, 2.5 * row->demand_Nm.error);
        assert_near(row->demand_Nm.sd, row->first_sd_Nm, 2.5 * row->demand_Nm.error);
        assert_true(row->demand_Nm.error > 0);
    }
    trn_spread_free(run);
    trn_description_free(description);
}

/* More variables than are tried at once, in the same closed form, each part a variable. */
static void first_order_of_many_variables(void **state)
{
    (void)state;
    enum { PARTS = 300 };
    trn_description *description = read_well(LEAF);
    trn_leaf leaf = *trn_description_leaf(description);
    trn_part parts[PARTS];
    for (int i = 0; i < PARTS; i++) {
        parts[i] = leaf.parts[1];
        parts[i].weight_N = 1e4 + 37 * i;
        parts[i].at = (trn_point){-3 + 0.05 * i, 0.4 - 0.003 * i};
    }
    leaf.parts = parts;
    leaf.part_count = PARTS;
    trn_spread_settings settings = spread_settings(&leaf);
    trn_spread *run = spread_run(&leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    const trn_spread_case *about = &result->cases[0];
    assert_int_equal(result->variable_count, PARTS);
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        const trn_spread_row *row = &about->rows[i];
        const double sign = row->direction == TRN_OPENING ? 1 : -1;
        double square = 0;
        for (size_t p = 0; p < PARTS; p++) {
            const trn_body body = trn_part_body(&parts[p], (trn_point){0, 0});
            const double moment = sign * (body.a_Nm * cos(row->angle_rad) - body.b_Nm * sin(row->angle_rad));
            const double change = parts[p].uncertainty.sd * moment;
            square += change * change;
            if (i == about->governing) {
                assert_close_at(about->effects[p].first_order, change, 1e-9, 1e3);
                assert_close_at(about->effects[p].high - about->effects[p].low, 2 * 1.6448536269514722 * change, 1e-9,
                                1e3);
            }
        }
        assert_close(row->first_sd_Nm, sqrt(square), 1e-12);
    }
    trn_spread_free(run);
    trn_description_free(description);
}

/* Of a linear quantity the indices are the shares of the first-order variance, alone and in all. */
static void indices_of_a_linear_quantity(void **state)
{
    (void)state;
    trn_description *description = read_well(LEAF);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = spread_settings(leaf);
    trn_spread *run = spread_run(leaf, &settings);
    const trn_spread_result *result = trn_spread_result_of(run);
    const trn_spread_case *about = &result->cases[0];
    double square = 0;
    assert_false(about->has_limit);
    for (size_t v = 0; v < result->variable_count; v++) {
        square += about->effects[v].first_order * about->effects[v].first_order;
    }
    assert_close(sqrt(square), about->rows[about->governing].first_sd_Nm, 1e-12);
    for (size_t v = 0; v < result->variable_count; v++) {
        const trn_spread_effect *effect = &about->effects[v];
        const double share = effect->first_order * effect->first_order / square;
        assert_near(effect->sobol.first, share, 5 * effect->sobol.first_se);
        assert_near(effect->sobol.total, share, 5 * effect->sobol.total_se);
        assert_true(effect->sobol.total_se < 0.02);
        const double half = (effect->high - effect->low) / 2;
        /* 5 and 95 per cent of a normal distribution, and of an even one, in its standard deviations. */
        const double reach = v == 3 ? 0.9 * sqrt(3) : 1.6448536269514722;
        assert_close(half, reach * effect->first_order, 1e-10);
    }
    for (size_t i = 0; i < 2 * SPREAD_ANGLES; i++) {
        assert_true(about->rows[i].first_mean_Nm <= about->governing_value);
    }
    trn_spread_free(run);
    trn_description_free(description);
}

/* Weights that vary as one and balance each other move no moment: what rounding leaves of its variance is none. */
static void indices_of_what_does_not_matter(void **state)
{
    (void)state;
    trn_description *description =
        read_well("leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nparts:\n"
                  "  - {name: girder, weight: 213.7 kN, at: [4.53 m, -0.21 m]}\n"
                  "  - {name: a, weight: 30 kN, at: [1.1 m, 0 m], uncertainty: {sd: 5 %, group: hub}}\n"
                  "  - {name: b, weight: 30 kN, at: [2.2 m, 0 m], uncertainty: {sd: 5 %, group: hub}}\n"
                  "  - {name: c, weight: 30 kN, at: [-3.3 m, 0 m], uncertainty: {sd: 5 %, group: hub}}\n");
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = spread_settings(leaf);
    trn_spread *run = spread_run(leaf, &settings);
    const trn_spread_effect *effect = &trn_spread_result_of(run)->cases[0].effects[0];
    assert_near(effect->first_order, 0, 1e-8);
    assert_true(effect->sobol.first == 0 && effect->sobol.total == 0);
    trn_spread_free(run);
    trn_description_free(description);
}
static void assert_normal(const trn_spread_values *values)
{
    assert_true(values->sd > 0);
    assert_close(values->sd, (values->p95 - values->p05) / (2 * 1.6448536269514722), 0.05);
}

/* One weight: all that is linear in it is normal, also where its spread is the last digits of its mean. */
static void spreads_that_are_tiny_beside_their_means(void **state)
{
    (void)state;
    static const char *const doubts[] = {"1e-10", "1e-7", "0.1"};
    for (int i = 0; i < 3; i++) {
        char text[2000];
        (void)snprintf(text, sizeof text,
                       "leaf: Sedge Pool\nopens_to: 70 degree\ntoe: 12 m\n"
                       "parts: [{name: span, weight: 300 kN, at: [5 m, 0 m], uncertainty: %s %%},"
                       " {name: block, weight: 200 kN, at: [-4.6 m, 0 m]}]\n" DRIVEN "holding: [{name: still}]\n",
                       doubts[i]);
        trn_description *description = read_well(text);
        const trn_leaf *leaf = trn_description_leaf(description);
        trn_spread_settings settings = spread_settings(leaf);
        settings.samples = 20000;
        trn_spread *run = spread_run(leaf, &settings);
        const trn_spread_result *result = trn_spread_result_of(run);
        assert_normal(&result->cases[0].sides[TRN_OPENING].peak_use);
        assert_normal(&result->holdings[0].demand_Nm);
        trn_spread_free(run);
        trn_description_free(description);
    }
}
int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_order_in_closed_form),
        cmocka_unit_test(first_order_of_many_variables),
        cmocka_unit_test(indices_of_a_linear_quantity),
        cmocka_unit_test(indices_of_what_does_not_matter),
        cmocka_unit_test(spreads_that_are_tiny_beside_their_means),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
