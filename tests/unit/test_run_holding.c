/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is to be held where a run ends, and what holds it: worked once more on random machines. */
#include "assertions.h"

#include "leaf_count.h"
#include "random_machine.h"
#include "trunnion/holding.h"
#include "trunnion/moments.h"

static bool has_happened(const trn_run *run, size_t upset)
{
    for (size_t i = 0; i < run->event_count; i++)
        if (run->events[i].kind == TRN_EVENT_UPSET && run->events[i].which == upset)
            return true;
    return false;
}

static double with_gust(const trn_wind *wind, const trn_gust *gust)
{
    trn_gust blows = *gust;
    blows.start_s = 0;
    return trn_wind_pressure_at(wind, &blows, NULL, blows.lasts_s / 2);
}

/* The strongest of the steady or the recorded wind, and on it the strongest gust that blew. */
static double strongest_wind(const random_run *made, const trn_run *run)
{
    trn_wind wind = made->load_case.wind;
    const trn_wind_record *record = made->setting.wind_record;
    if (record != NULL) {
        double most = 0;
        for (size_t i = 0; i < record->count; i++)
            most = fmax(most, record->points[i].value);
        wind.by_speed = record->by_speed;
        wind.speed_m_s = most;
        wind.pressure_Pa = most;
    }
    double pressure = trn_wind_pressure(&wind);
    if (made->setting.gust != NULL)
        pressure = fmax(pressure, with_gust(&wind, made->setting.gust));
    for (size_t i = 0; i < made->setting.upset_count; i++)
        if (made->upsets[i].kind == TRN_UPSET_GUST && has_happened(run, i))
            pressure = fmax(pressure, with_gust(&wind, &made->upsets[i].gust));
    return pressure;
}

static double brakes_of(const random_run *made)
{
    double capacity = trn_brake_capacity(&made->leaf);
    for (size_t i = 0; i < made->setting.upset_count; i++)
        if (made->upsets[i].kind == TRN_UPSET_BRAKE_OUT)
            capacity -= trn_brake_strongest(&made->leaf);
    return capacity;
}

/* Cylinders hold by their oil against a way to run, against +1 for closing: they push where that opens. */
static double oil_of(const trn_leaf *leaf, double angle, double against)
{
    if (leaf->drive->kind != TRN_DRIVE_CYLINDER)
        return 0;
    const trn_cylinder *cylinder = &leaf->drive->cylinder;
    const double arm = trn_drive_at(leaf->drive, trn_rotation_by(angle)).arm_m;
    const double bore = cylinder->bore_m * cylinder->bore_m;
    const double area = against * arm > 0 ? bore : bore - cylinder->rod_m * cylinder->rod_m;
    return cylinder->pressure_Pa * cylinder->count * HALF_TURN / 4 * area * fabs(arm);
}

static void check_holding(const random_run *made, const trn_run *run)
{
    const trn_leaf *leaf = &made->leaf;
    const double angle = run->end_angle_rad;
    trn_loading loading;
    assert_int_equal(trn_loading_prepare(leaf, &made->load_case, &loading, NULL), TRN_OK);
    const trn_moments at = trn_loading_moments(&loading, angle);
    const trn_wind *wind = &made->load_case.wind;
    const double pressure = strongest_wind(made, run);
    const double blown =
        pressure * trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, wind, trn_rotation_by(angle)).moment_Nm;
    double demand = 0;
    double capacity = brakes_of(made);
    double factor = HUGE_VAL;
    for (int side = 1; side >= -1; side -= 2) {
        const double load = at.balance_Nm + at.ice_Nm + side * blown;
        const bool blows = wind->from == TRN_WIND_FROM_ADVERSE || (wind->from == TRN_WIND_FROM_HEEL) == (side > 0);
        const bool on_shoes = load > 0 && (angle <= 0 || run->seat.seated);
        const double held = brakes_of(made) + oil_of(leaf, angle, load > 0 ? 1 : -1);
        if (!blows || on_shoes || !(held / fabs(load) < factor))
            continue;
        demand = fabs(load);
        capacity = held;
        factor = held / fabs(load);
    }
    assert_close(run->hold_wind_Pa, pressure, 1e-14);
    assert_close_at(run->hold_demand_Nm, demand, 1e-12, 1e5);
    assert_close(run->hold_capacity_Nm, capacity, 1e-12);
    if (isfinite(factor) && demand > 1e3)
        assert_close(run->hold_factor, factor, 1e-9);
    if (!isfinite(factor))
        assert_true(run->hold_factor >= HUGE_VAL);
}

/* A leaf turns round at an event, so that none of its angles is beyond those of the events and the end. */
static void check_past_end(const random_run *made, const trn_run *run)
{
    double furthest = fmax(made->leaf.opens_to_rad, run->end_angle_rad);
    for (size_t i = 0; i < run->event_count; i++)
        furthest = fmax(furthest, run->events[i].angle_rad);
    assert_close_at(run->past_end_rad, furthest - made->leaf.opens_to_rad, 1e-12, 1);
}

static void what_is_held_at_the_end_is_that_of_the_place_and_the_strongest_wind(void **state)
{
    (void)state;
    static random_machine made;
    const uint64_t machines = leaf_count(150);
    size_t held = 0;
    for (uint64_t number = 0; number < 2 * machines; number++) {
        trn_run run;
        make_random_machine(&made, number / 2, number % 2 == 0 ? TRN_OPENING : TRN_CLOSING);
        if (trn_leaf_run(&made.base.leaf, &made.base.setting, &run, NULL) != TRN_OK)
            continue; /* a rack or a strut may lock by friction */
        check_holding(&made.base, &run);
        check_past_end(&made.base, &run);
        assert_int_equal(fabs(run.end_speed_rad_s) > 0, run.end == TRN_END_LEFT || run.end == TRN_END_MOVING);
        if (isfinite(run.hold_factor))
            held++;
        trn_run_free(&run);
    }
    assert_true(held > machines / 2);
}

static void a_toe_comes_down_gently_at_creep_speed_at_most(void **state)
{
    (void)state;
    const trn_travel travel = {.speed_rad_s = 0.02, .creep = 0.25};
    trn_run run = {.seat = {.seated = true, .speed_rad_s = 0.005}};
    assert_true(trn_run_seats_gently(&run, &travel));
    run.seat.speed_rad_s = 1.001 * travel.creep * travel.speed_rad_s; /* the bound itself, and a hair above it */
    assert_true(trn_run_seats_gently(&run, &travel));
    run.seat.speed_rad_s *= 1 + 1e-12;
    assert_false(trn_run_seats_gently(&run, &travel));
    run.seat.seated = false;
    assert_true(trn_run_seats_gently(&run, &travel));
}

static void a_run_is_safe_that_ends_at_rest_held_and_has_not_run_away(void **state)
{
    (void)state;
    const trn_run safe = {.end = TRN_END_ARRIVED,
                          .hold_factor = 1.0,
                          .ran_back_rad = TRN_RUN_BACK_MAX,
                          .past_end_rad = TRN_RUN_PAST_END_MAX};
    assert_true(trn_run_is_safe(&safe));
    trn_run run = safe;
    run.slipped = true;
    assert_false(trn_run_is_safe(&run));
    run = safe;
    run.ran_back_rad = nextafter(TRN_RUN_BACK_MAX, 1);
    assert_false(trn_run_is_safe(&run));
    run = safe;
    run.past_end_rad = nextafter(TRN_RUN_PAST_END_MAX, 1);
    assert_false(trn_run_is_safe(&run));
    run = safe;
    run.hold_factor = nextafter(1, 0);
    assert_false(trn_run_is_safe(&run));
    for (int end = TRN_END_ARRIVED; end <= TRN_END_MOVING; end++) {
        run = safe;
        run.end = (trn_run_end)end;
        const bool rests = end == TRN_END_ARRIVED || end == TRN_END_STOPPED || end == TRN_END_SEATED;
        assert_int_equal(trn_run_is_safe(&run), rests);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_held_at_the_end_is_that_of_the_place_and_the_strongest_wind),
        cmocka_unit_test(a_toe_comes_down_gently_at_creep_speed_at_most),
        cmocka_unit_test(a_run_is_safe_that_ends_at_rest_held_and_has_not_run_away),
    };
    return cmocka_run_group_tests_name("run holding", tests, NULL, NULL);
}
