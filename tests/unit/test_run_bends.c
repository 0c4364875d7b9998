/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The angles at which the wind bends, held against a search for them along the whole travel. */
#include <stdlib.h>

#include "../../lib/planning/run_parts.h"
#include "running.h"

#define SURFACES 4
#define BENDS_MAX 64

/* A leaf of strips at any slope, in a wind. */
typedef struct strips {
    rig on;
    trn_surface surfaces[SURFACES];
    trn_incidence_point table[3];
    run_state state;
} strips;

static const double slopes_rad[SURFACES] = {0.05, -0.4, 1.9, -2.9};

static void set_strips(strips *made, trn_wind_law law)
{
    set_rig(&made->on);
    for (int i = 0; i < SURFACES; i++) {
        made->surfaces[i] = (trn_surface){.name = "strip",
                                          .to = {3 * cos(slopes_rad[i]), 3 * sin(slopes_rad[i])},
                                          .width_m = 2,
                                          .solidity = 1,
                                          .takes_wind = true};
    }
    made->table[0] = (trn_incidence_point){0.1, 0.2};
    made->table[1] = (trn_incidence_point){0.55, 1.5};
    made->table[2] = (trn_incidence_point){1.3, 1.1};
    made->on.leaf.surfaces = made->surfaces;
    made->on.leaf.surface_count = SURFACES;
    trn_wind *wind = &made->on.load_case.wind;
    wind->pressure_Pa = 300;
    wind->law = law;
    wind->table = made->table;
    wind->table_count = 3;
    made->state = (run_state){
        .leaf = &made->on.leaf, .setting = &made->on.setting, .lowest_rad = -5 * DEGREE, .highest_rad = 120 * DEGREE};
}

static void find(strips *of)
{
    of->state.moving.load_case = of->on.load_case;
    assert_true(run_find_bends(&of->state));
}

/* Of a strip against a level wind, 0 to a quarter turn. */
static double incidence_at(size_t strip, double angle_rad)
{
    return asin(fabs(sin(slopes_rad[strip] + angle_rad)));
}

static void take_bend(const strips *of, double *angles, size_t *count, double angle_rad)
{
    if (angle_rad > of->state.lowest_rad && angle_rad < of->state.highest_rad) {
        assert_true(*count < BENDS_MAX);
        angles[(*count)++] = angle_rad;
    }
}

/* Where the incidence of a strip passes a value, from one look to the next. */
static void search_passing(const strips *of, size_t strip, double value_rad, double *angles, size_t *count)
{
    const double step = 0.01;
    for (double from = of->state.lowest_rad; from < of->state.highest_rad; from += step) {
        double low = from;
        double high = from + step;
        const bool rises = incidence_at(strip, low) < value_rad;
        if (rises == (incidence_at(strip, high) < value_rad)) {
            continue;
        }
        for (int i = 0; i < 60; i++) {
            const double middle = (low + high) / 2;
            *((incidence_at(strip, middle) < value_rad) == rises ? &low : &high) = middle;
        }
        take_bend(of, angles, count, low);
    }
}

/* Where a strip is level, where its sine changes sign, or upright, where its cosine does. */
static void search_turning(const strips *of, size_t strip, double quarter_turns, double *angles, size_t *count)
{
    for (int half_turns = -9; half_turns <= 9; half_turns++) {
        take_bend(of, angles, count, (2 * half_turns + quarter_turns) * 90 * DEGREE - slopes_rad[strip]);
    }
}

/* Each list has what the other has; a bend may stand in them twice. */
static void assert_same_angles(const double *some, size_t count, const double *others, size_t other_count)
{
    for (size_t i = 0; i < count; i++) {
        double nearest = HUGE_VAL;
        for (size_t k = 0; k < other_count; k++) {
            nearest = fmin(nearest, fabs(some[i] - others[k]));
        }
        if (!(nearest < 1e-7)) {
            fail_msg("%.9f rad is in one list alone", some[i]);
        }
    }
}

static void check_bends(trn_wind_law law, size_t least)
{
    strips of;
    double angles[BENDS_MAX];
    size_t count = 0;
    set_strips(&of, law);
    of.surfaces[1].takes_wind = false;
    find(&of);
    for (size_t strip = 0; strip < SURFACES; strip++) {
        for (int i = 0; i < 3 && strip != 1 && law == TRN_WIND_INCIDENCE; i++) {
            search_passing(&of, strip, of.table[i].incidence_rad, angles, &count);
        }
        for (int upright = 0; upright < (law == TRN_WIND_INCIDENCE ? 2 : 1) && strip != 1; upright++) {
            search_turning(&of, strip, upright, angles, &count);
        }
    }
    assert_true(count >= least);
    assert_same_angles(angles, count, of.state.bends_rad, of.state.bend_count);
    assert_same_angles(of.state.bends_rad, of.state.bend_count, angles, count);
    free(of.state.bends_rad);
}

static void wind_by_a_table_bends_where_an_incidence_is_one_of_its_points(void **state)
{
    (void)state;
    check_bends(TRN_WIND_INCIDENCE, 12);
}

static void projected_wind_bends_where_a_strip_is_level(void **state)
{
    (void)state;
    check_bends(TRN_WIND_PROJECTED, 2);
}

static void no_bends(strips *of)
{
    find(of);
    assert_int_equal(of->state.bend_count, 0);
    free(of->state.bends_rad);
}

static void some_bends(strips *of)
{
    find(of);
    assert_true(of->state.bend_count > 0);
    free(of->state.bends_rad);
}

static void nothing_bends_where_no_wind_may_blow(void **state)
{
    (void)state;
    strips of;
    const trn_gust gust = {.lasts_s = 5, .rise_Pa = 100};
    const trn_wind_point points[] = {{0, 0}, {10, 200}};
    const trn_wind_record record = {.points = points, .count = 2};
    set_strips(&of, TRN_WIND_NORMAL); /* smooth at every angle */
    no_bends(&of);
    set_strips(&of, TRN_WIND_PROJECTED);
    of.on.load_case.wind.pressure_Pa = 0;
    no_bends(&of);
    set_upset(&of.on, TRN_UPSET_POWER_LOST, 0.5);
    no_bends(&of);
    set_strips(&of, TRN_WIND_PROJECTED);
    of.on.load_case.wind.pressure_Pa = 0;
    set_upset(&of.on, TRN_UPSET_GUST, 0.5);
    some_bends(&of);
    set_strips(&of, TRN_WIND_PROJECTED);
    of.on.load_case.wind.pressure_Pa = 0;
    of.on.setting.gust = &gust;
    some_bends(&of);
    of.on.setting.gust = NULL;
    of.on.setting.wind_record = &record;
    some_bends(&of);
}

static void check_next(const run_state *of, double angle_rad)
{
    double above = HUGE_VAL;
    double below = -HUGE_VAL;
    for (size_t i = 0; i < of->bend_count; i++) {
        const double bend = of->bends_rad[i];
        above = bend > angle_rad ? fmin(above, bend) : above;
        below = bend < angle_rad ? fmax(below, bend) : below;
    }
    double found = 0;
    assert_int_equal(run_next_bend(of, angle_rad, TRN_OPENING, &found), above < HUGE_VAL);
    assert_true(!(above < HUGE_VAL) || is_same_bits(found, above));
    assert_int_equal(run_next_bend(of, angle_rad, TRN_CLOSING, &found), below > -HUGE_VAL);
    assert_true(!(below > -HUGE_VAL) || is_same_bits(found, below));
}

static void the_next_bend_is_the_nearest_on_the_way(void **state)
{
    (void)state;
    strips of;
    set_strips(&of, TRN_WIND_INCIDENCE);
    find(&of);
    for (double angle = -0.2; angle < 2.2; angle += 0.01) {
        check_next(&of.state, angle);
    }
    for (size_t i = 0; i < of.state.bend_count; i++) {
        check_next(&of.state, of.state.bends_rad[i]);
    }
    free(of.state.bends_rad);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wind_by_a_table_bends_where_an_incidence_is_one_of_its_points),
        cmocka_unit_test(projected_wind_bends_where_a_strip_is_level),
        cmocka_unit_test(nothing_bends_where_no_wind_may_blow),
        cmocka_unit_test(the_next_bend_is_the_nearest_on_the_way),
    };
    return cmocka_run_group_tests_name("run bends", tests, NULL, NULL);
}
