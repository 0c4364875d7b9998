/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limiting wind on random leaves of every kind, against a search that knows the moments alone. */
#include "random_machine.h"
#include "trunnion/windlimit.h"

enum { MACHINES = 360, ANGLES = 4 };

/* What a leaf asks of its drive in a wind of dynamic pressure q from one side. */
typedef struct asking {
    trn_loading loading;
    const trn_leaf *leaf;
    bool raise;
    double side;
    double angle_rad;
} asking;

static trn_moments moments_in(const asking *of, double q)
{
    trn_loading loading = of->loading;
    const trn_wind *wind = &of->leaf->wind_limits->wind;
    loading.pressure_Pa = of->side * q * (wind->law == TRN_WIND_INCIDENCE ? 1.0 : wind->coefficient);
    return trn_loading_moments(&loading, of->angle_rad);
}

static double demand_in(const asking *of, double q)
{
    const trn_moments at = moments_in(of, q);
    return of->raise ? at.opening_Nm : at.closing_Nm;
}

/* Over 0 beyond the limit. */
static double excess_in(const asking *of, double q)
{
    const trn_moments at = moments_in(of, q);
    const double limit = of->leaf->wind_limits->motor_limit;
    if (at.has_pressure)
        return (of->raise ? at.pressure_opening_Pa : at.pressure_closing_Pa) / limit /
                   of->leaf->drive->cylinder.pressure_Pa -
               1;
    const double torque = fabs(of->raise ? at.motor_opening_Nm : at.motor_closing_Nm);
    return torque / limit / trn_motor_rated_torque(of->leaf->motors) - 1;
}

static double bisected(const asking *of, double low, double high)
{
    for (int i = 0; i < 1200 && high - low > 0x1p-52 * high; i++) {
        const double middle = low + (high - low) / 2;
        if (excess_in(of, middle) > 0)
            high = middle;
        else
            low = middle;
    }
    return high;
}

/* Where the demand, which falls and then rises, is least. */
static double least_demand(const asking *of, double high)
{
    double low = 0;
    for (int i = 0; i < 80; i++) {
        const double left = low + (high - low) / 3;
        const double right = high - (high - low) / 3;
        if (demand_in(of, left) <= demand_in(of, right))
            high = right;
        else
            low = left;
    }
    return low;
}

static double first_passed(const asking *of, double highest)
{
    if (excess_in(of, 0) > 0)
        return 0;
    const double least = least_demand(of, highest);
    if (excess_in(of, least) > 0)
        return bisected(of, 0, least);
    return excess_in(of, highest) > 0 ? bisected(of, least, highest) : HUGE_VAL;
}

/* How far the search may be off, as a share: rounding of the terms, over how steeply they pass the limit. */
static double slack_at(const asking *of, double q)
{
    const trn_moments at = moments_in(of, q);
    const double terms = fabs(at.balance_Nm) + fabs(at.wind_opening_Nm) + fabs(at.friction_opening_Nm);
    const double steepness = fabs(excess_in(of, q * (1 + 1e-6)) - excess_in(of, q * (1 - 1e-6))) / 2e-6;
    return 1e-12 + 1e-15 * terms / fabs(demand_in(of, q)) / steepness;
}

typedef struct answers {
    int none;
    int driving;
    int overhauled;
    int all;
} answers;

/* The lower of both sides, which of stays at. */
static double searched(asking *of, double highest)
{
    asking from_toe = *of;
    from_toe.side = -1;
    of->side = 1;
    const double heel = first_passed(of, highest);
    const double toe = first_passed(&from_toe, highest);
    if (toe < heel)
        *of = from_toe;
    return fmin(heel, toe);
}

static void check_speed(asking *of, double got, answers *count)
{
    const double density = of->leaf->wind_limits->wind.density_kg_m3;
    const double q = searched(of, density / 2 * TRN_WIND_HIGHEST * TRN_WIND_HIGHEST);
    if (isinf(q)) {
        assert_true(isinf(got));
        count->all++;
    } else if (q > 0) {
        assert_close(got, sqrt(2 * q / density), slack_at(of, q));
        *(demand_in(of, q) > 0 ? &count->driving : &count->overhauled) += 1;
    } else {
        assert_same_bits(got, 0.0);
        count->none++;
    }
}

static void check_leaf(const trn_leaf *leaf, uint64_t *chances, answers *count)
{
    trn_case windy = trn_default_case();
    windy.friction = leaf->wind_limits->friction;
    windy.wind = leaf->wind_limits->wind;
    windy.wind.from = TRN_WIND_FROM_HEEL;
    asking of = {.leaf = leaf, .loading = loading_of(leaf, &windy)};
    double angles[ANGLES];
    double speeds[ANGLES];
    for (int i = 0; i < ANGLES; i++)
        angles[i] = leaf->opens_to_rad * even(chances);
    for (int action = TRN_RAISE; action <= TRN_LOWER; action++) {
        const trn_wind_question question = {.action = (trn_action)action,
                                            .motors_running = leaf->motors != NULL ? leaf->motors->running : 1};
        assert_int_equal(trn_wind_limits_at(leaf, question, angles, ANGLES, speeds, NULL), TRN_OK);
        of.raise = action == TRN_RAISE;
        for (int i = 0; i < ANGLES; i++) {
            of.angle_rad = angles[i];
            check_speed(&of, speeds[i], count);
        }
    }
}

static void the_limiting_wind_is_the_one_that_a_search_finds(void **state)
{
    (void)state;
    static random_machine made;
    answers count[MACHINE_KINDS][2] = {{{0, 0, 0, 0}}};
    for (uint64_t number = 0; number < MACHINES; number++) {
        uint64_t chances = number * 0xD6E8FEB86659FD93U + 3;
        make_random_machine(&made, number, TRN_OPENING);
        trn_leaf *leaf = &made.base.leaf;
        trn_wind_limits limits = {.wind = made.base.load_case.wind,
                                  .friction = number % 2 == 0 ? TRN_FRICTION_MOVING : TRN_FRICTION_STARTING,
                                  .motor_limit = between(&chances, 0.2, 2.0),
                                  .hold_factor = 1.0};
        limits.wind.by_speed = true;
        leaf->wind_limits = &limits;
        check_leaf(leaf, &chances, &count[made.kind][made.linked]);
    }
    for (int kind = 0; kind < MACHINE_KINDS; kind++)
        for (int linked = 0; linked <= 1; linked++) {
            const answers *of = &count[kind][linked];
            assert_true(of->driving > 5 && of->overhauled > 5 && of->none > 0);
        }
}

/* A great sail whose middle stands near the friction circle: wind may first help and then hold, or the other way
   about, and press the journals so that a limit is passed only for a while, or not at all. */
static void beside_the_friction_circle_the_search_finds_the_same(void **state)
{
    (void)state;
    enum { LEAVES = 1500 };
    uint64_t chances = 11;
    answers count = {0, 0, 0, 0};
    for (int i = 0; i < LEAVES; i++) {
        const double height = between(&chances, -0.08, 0.08);
        const trn_surface sail = {.name = "sail",
                                  .from = {0.0, height - 5.0},
                                  .to = {0.0, height + 5.0},
                                  .width_m = 100.0,
                                  .solidity = 1.0,
                                  .takes_wind = true};
        trn_part weight = trn_default_part();
        weight.weight_N = 1e6;
        weight.at = (trn_point){between(&chances, -0.15, 0.15), 0.0};
        trn_journal journal = machinery_journal;
        journal.friction.starting = between(&chances, 0.0, 0.3);
        trn_drive drive = rack_at(i % 2 == 0 ? 0 : 4.5, between(&chances, -3.0, 3.0), 20 * DEGREE);
        const double torque = trn_motor_rated_torque(&machinery_motors) * machinery_motors.running * drive.ratio;
        trn_wind_limits limits = {.wind = trn_default_wind(),
                                  .friction = TRN_FRICTION_STARTING,
                                  .motor_limit = between(&chances, 0.0, 1.5e5) / torque};
        limits.wind.law = TRN_WIND_NORMAL;
        trn_leaf leaf = driven_leaf(&drive);
        leaf.trunnion = &journal;
        leaf.parts = &weight;
        leaf.part_count = 1;
        leaf.pocket_count = 0;
        leaf.surfaces = &sail;
        leaf.surface_count = 1;
        leaf.wind_limits = &limits;
        check_leaf(&leaf, &chances, &count);
    }
    assert_true(count.driving > 100 && count.overhauled > 100 && count.none > 100 && count.all > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_limiting_wind_is_the_one_that_a_search_finds),
        cmocka_unit_test(beside_the_friction_circle_the_search_finds_the_same),
    };
    return cmocka_run_group_tests_name("wind limit by search", tests, NULL, NULL);
}
