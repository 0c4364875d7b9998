/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The worst angle of a travel, on random leaves whose wind has narrow peaks: no row of a fine table is worse. */
#include "../../lib/mechanics/bends.h"

#include "random_machine.h"
#include "trunnion/holding.h"
#include "trunnion/rating.h"
#include "trunnion/windlimit.h"

enum { LEAVES = 96, ROWS = 2400, PEAKS = 3, POINTS = 3 * PEAKS + 2 };

static const trn_brake brakes[] = {{"brakes", 2, 2500.0, 900.0, 0.3, 0.5, 0.0},
                                   {"other", 1, 900.0, 900.0, 0.3, 0.5, 0.0}};

/* A table that blows at once where a strip is level, and hard at a few incidences alone. */
static void make_narrow_peaks(trn_incidence_point table[POINTS], uint64_t *chances)
{
    double middle = 0;
    size_t count = 0;
    table[count++] = (trn_incidence_point){0, between(chances, 0.1, 0.6)};
    for (int i = 0; i < PEAKS; i++) {
        const double half_width = between(chances, 0.02, 0.6) * DEGREE;
        middle += between(chances, 4.0, 24.0) * DEGREE;
        table[count++] = (trn_incidence_point){middle - half_width, between(chances, 0.1, 0.6)};
        table[count++] = (trn_incidence_point){middle, between(chances, 1.5, 3.0)};
        table[count++] = (trn_incidence_point){middle + half_width, between(chances, 0.1, 0.6)};
    }
    table[count] = (trn_incidence_point){QUARTER_TURN, between(chances, 0.1, 0.6)};
}

/* Rows all over the travel; a share of them close to where the first surface meets the middle of a peak. */
static void make_rows(const trn_leaf *leaf, const trn_incidence_point table[POINTS], double angles[ROWS])
{
    const trn_surface *first = &leaf->surfaces[0];
    const double slope = atan2(first->to.y - first->from.y, first->to.x - first->from.x);
    for (int i = 0; i < ROWS; i++)
        angles[i] = leaf->opens_to_rad * i / (ROWS - 1);
    for (int i = 0; i < PEAKS; i++)
        for (int k = 0; k < 40; k++) {
            const double near = table[2 + 3 * i].incidence_rad - slope + (k - 20) * 0.005 * DEGREE;
            angles[(7 + 61 * (40 * i + k)) % ROWS] = fmin(fmax(near, 0), leaf->opens_to_rad);
        }
}

static void check_limits(const trn_leaf *leaf, const double angles[ROWS])
{
    static double speeds[ROWS];
    const int running = leaf->motors != NULL ? leaf->motors->running : 1;
    const trn_wind_question questions[] = {
        {TRN_RAISE, running, false}, {TRN_LOWER, running, false}, {TRN_HOLD, 1, false}, {TRN_HOLD, 1, true}};
    for (size_t j = 0; j < COUNT(questions); j++) {
        trn_wind_lowest lowest;
        assert_int_equal(trn_wind_limit(leaf, questions[j], &lowest, NULL), TRN_OK);
        assert_int_equal(trn_wind_limits_at(leaf, questions[j], angles, ROWS, speeds, NULL), TRN_OK);
        for (int i = 0; i < ROWS; i++)
            if (!(lowest.speed_m_s <= speeds[i] * (1 + 1e-8)))
                fail_msg("question %zu: %.12g m/s at %.12g, but %.12g at %.12g", j, lowest.speed_m_s,
                         lowest.angle_rad / DEGREE, speeds[i], angles[i] / DEGREE);
    }
}

static void check_ratings(const trn_leaf *leaf, const trn_case *load_case, const double angles[ROWS])
{
    static trn_moments rows[ROWS];
    assert_int_equal(trn_leaf_curve(leaf, load_case, angles, ROWS, rows, NULL), TRN_OK);
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        trn_rating rating;
        const int running = leaf->motors != NULL ? leaf->motors->running : 1;
        assert_int_equal(trn_leaf_rating(leaf, load_case, (trn_direction)direction, running, &rating, NULL), TRN_OK);
        for (int i = 0; i < ROWS; i++) {
            const bool opening = direction == TRN_OPENING;
            const double row = rows[i].has_pressure
                                   ? (opening ? rows[i].pressure_opening_Pa : rows[i].pressure_closing_Pa)
                                   : fabs(opening ? rows[i].motor_opening_Nm : rows[i].motor_closing_Nm);
            const double found = rows[i].has_pressure ? rating.pressure_Pa : fabs(rating.motor_Nm);
            if (!(row <= found * (1 + 1e-8)))
                fail_msg("direction %d: %.12g at %.12g, but %.12g at %.12g", direction, found,
                         rating.worst_angle_rad / DEGREE, row, angles[i] / DEGREE);
        }
    }
}

static void check_holding(const trn_leaf *leaf, const trn_holding *holding, const double angles[ROWS])
{
    static double demands[ROWS];
    trn_holding_rating rating;
    assert_int_equal(trn_leaf_holding(leaf, holding, &rating, NULL), TRN_OK);
    assert_int_equal(trn_holding_demand(leaf, holding, angles, ROWS, demands, NULL), TRN_OK);
    for (int i = 0; i < ROWS; i++)
        if (!(demands[i] <= rating.demand_Nm * (1 + 1e-8)))
            fail_msg("holding: %.12g at %.12g, but %.12g at %.12g", rating.demand_Nm, rating.worst_angle_rad / DEGREE,
                     demands[i], angles[i] / DEGREE);
}

static void no_row_of_a_fine_table_is_worse(void **state)
{
    (void)state;
    static random_machine made;
    static double angles[ROWS];
    for (uint64_t number = 0; number < LEAVES; number++) {
        uint64_t chances = number * 0xA0761D6478BD642FU + 7;
        trn_incidence_point table[POINTS];
        make_random_machine(&made, number, TRN_OPENING);
        make_narrow_peaks(table, &chances);
        trn_leaf *leaf = &made.base.leaf;
        trn_case *load_case = &made.base.load_case;
        load_case->wind.law = TRN_WIND_INCIDENCE;
        load_case->wind.table = table;
        load_case->wind.table_count = POINTS;
        load_case->wind.coefficient = 1;
        load_case->wind.by_speed = false;
        load_case->wind.pressure_Pa = between(&chances, 50.0, 400.0);
        trn_wind_limits limits = {.wind = load_case->wind,
                                  .friction = TRN_FRICTION_MOVING,
                                  .motor_limit = between(&chances, 0.5, 2.0),
                                  .hold_factor = 1};
        limits.wind.by_speed = true;
        const trn_holding holding = {.name = "held", .wind = load_case->wind, .factor = 1, .friction_credit = 0.5};
        leaf->wind_limits = &limits;
        leaf->brakes = brakes;
        leaf->brake_count = COUNT(brakes);
        make_rows(leaf, table, angles);
        check_limits(leaf, angles);
        check_ratings(leaf, load_case, angles);
        check_holding(leaf, &holding, angles);
    }
}

/* The bends of one surface by name: half turns and an incidence to either side. */
static bool bends_at(double inclination, const trn_wind *wind)
{
    const double level = inclination - HALF_TURN * nearbyint(inclination / HALF_TURN);
    bool bends = fabs(fabs(level) - QUARTER_TURN) < 1e-11 || fabs(level) < 1e-11 || fabs(fabs(level) - 1e-10) < 1e-11;
    for (size_t i = 0; i < wind->table_count; i++)
        bends = bends || fabs(fabs(level) - wind->table[i].incidence_rad) < 1e-11;
    return bends;
}

static void each_bend_of_the_wind_is_met_once_and_nothing_else(void **state)
{
    (void)state;
    const trn_incidence_point table[] = {{0.1, 1}, {0.2, 2}, {0.7, 0.5}, {1.3, 1}};
    trn_wind wind = trn_default_wind();
    wind.law = TRN_WIND_INCIDENCE;
    wind.table = table;
    wind.table_count = COUNT(table);
    trn_surface strip = {.name = "strip", .width_m = 1, .solidity = 1, .takes_wind = true};
    trn_leaf leaf = trn_default_leaf();
    leaf.surfaces = &strip;
    leaf.surface_count = 1;
    const wind_on_leaf of = {&leaf, &wind};
    for (double slope = -3.1; slope < 3.2; slope += 0.137) {
        strip.to = (trn_point){cos(slope), sin(slope)};
        int met = 0;
        double before = -1;
        for (double at = next_wind_bend(0, &of); at < HALF_TURN; at = next_wind_bend(at, &of)) {
            assert_true(at > before);
            assert_true(bends_at(slope + at, &wind));
            before = at;
            met++;
        }
        /* In each half turn four points twice, level with both its sides, and upright. */
        assert_int_equal(met, 12);
    }
    strip.takes_wind = false;
    assert_true(isinf(next_wind_bend(0, &of)));
    strip.takes_wind = true;
    wind.law = TRN_WIND_NORMAL;
    assert_true(isinf(next_wind_bend(0, &of)));
    const wind_on_leaf calm = {&leaf, NULL};
    assert_true(isinf(next_wind_bend(0, &calm)));
}

/* Lowering has a needle that raising has not: where the leaf overhauls, its weight and the wind add. */
static void a_leaf_does_not_come_down_past_a_narrow_peak(void **state)
{
    (void)state;
    const trn_incidence_point table[] = {
        {0.0, 0.5}, {41.43 * DEGREE, 0.5}, {41.5 * DEGREE, 5.0}, {41.57 * DEGREE, 0.5}, {QUARTER_TURN, 0.5}};
    static const trn_motors motors = {.installed = 3, .running = 2, .power_W = 250e3, .speed_rad_s = 91.0, .peak = 2.0};
    trn_part weight = trn_default_part();
    weight.weight_N = 4e5;
    trn_drive gears = rack_at(0, 0, 0);
    trn_leaf leaf = spiked_leaf(&gears);
    leaf.motors = &motors;
    leaf.parts = &weight;
    leaf.part_count = 1;
    trn_wind_limits limits = {
        .wind = trn_default_wind(), .friction = TRN_FRICTION_MOVING, .motor_limit = 1.2, .hold_factor = 1};
    limits.wind.by_speed = true;
    limits.wind.law = TRN_WIND_INCIDENCE;
    limits.wind.table = table;
    limits.wind.table_count = COUNT(table);
    leaf.wind_limits = &limits;
    bool comes_down = false;
    /* Heavy behind the trunnion: to lower is harder than to raise in any wind, and most so at the needle. */
    for (int heavy = 0; heavy < 2; heavy++) {
        weight.at = (trn_point){heavy ? -3.0 : 0.0, 0.0};
        assert_int_equal(trn_wind_comes_down(&leaf, 2, &comes_down, NULL), TRN_OK);
        assert_int_equal(comes_down, heavy == 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_bend_of_the_wind_is_met_once_and_nothing_else),
        cmocka_unit_test(no_row_of_a_fine_table_is_worse),
        cmocka_unit_test(a_leaf_does_not_come_down_past_a_narrow_peak),
    };
    return cmocka_run_group_tests_name("worst angle", tests, NULL, NULL);
}
