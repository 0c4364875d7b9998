/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans held against trying every plan there is, on small random leaves. */
#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"
#include "trunnion/ballast.h"
#include "trunnion/moments.h"

#define DEGREE 0.017453292519943295769
#define TURN (360 * DEGREE)
#define POCKETS_MAX 5

/* A leaf with pockets of its own and, where asked, of a linked counterweight; all its memory. */
typedef struct problem {
    trn_leaf leaf;
    trn_part part;
    trn_part box;
    trn_pocket own[POCKETS_MAX];
    trn_pocket hung[POCKETS_MAX];
    trn_linked_counterweight linked;
    trn_balance_target target;
} problem;

/* A small generator of our own, so that the problems are the same everywhere. */
static unsigned long long seed;

static double draw(double low, double high)
{
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * ((double)(seed >> 11) / 9007199254740992.0);
}

static int draw_whole(int low, int high)
{
    const int drawn = low + (int)floor(draw(0, high - low + 1));
    return drawn > high ? high : drawn;
}

static void draw_pockets(trn_pocket *pockets, size_t count, trn_point about, bool alike)
{
    static const char *const names[POCKETS_MAX] = {"a", "b", "c", "d", "e"};
    for (size_t i = 0; i < count; i++) {
        const int room = draw_whole(0, 6);
        /* Some before the trunnion, so that to put in there and to take out behind do alike. */
        const double side = draw(0, 1) < 0.3 ? -1 : 1;
        pockets[i] = (trn_pocket){.name = names[i],
                                  .at = {side * (about.x + draw(-2, 2)), about.y + draw(-2, 2)},
                                  .block_N = alike ? 400 : draw(200, 600),
                                  .blocks = draw_whole(0, room),
                                  .room = room};
    }
}

static void draw_target(problem *made, double spread)
{
    const trn_balance now = trn_leaf_balance(&made->leaf);
    const double a = now.closed_moment_Nm + draw(-spread, spread);
    const double b = now.moment_Nm * sin(now.angle_rad) + draw(-spread, spread);
    const double wide = draw(0.02, 0.8) * spread;
    made->target = (trn_balance_target){.by_moments = draw(0, 1) < 0.4};
    made->target.a_Nm = (trn_window){a, a + wide};
    made->target.b_Nm = (trn_window){b, b + draw(0.02, 0.8) * spread};
    made->target.toe_reaction_N = (trn_window){a / made->leaf.toe_m, (a + wide) / made->leaf.toe_m};
    const double middle = atan2(b, a) + draw(-0.2, 0.2);
    const double half = draw(0, 1) < 0.8 ? draw(0.01, 0.3) : draw(0.3, 3);
    const double low = fmin(fmax(middle - half, -TURN / 2), TURN / 2 - 0.02);
    made->target.angle_rad = (trn_window){low, fmin(fmax(middle + half, low + 0.01), TURN / 2)};
    made->leaf.balance_target = &made->target;
}

static void draw_problem(problem *made, bool linked, size_t count)
{
    const size_t hung = linked ? 1 + count / 2 : 0;
    *made = (problem){.part = trn_default_part(), .box = trn_default_part()};
    made->part.weight_N = draw(5e3, 2e4);
    made->part.at = (trn_point){draw(-0.4, 0.6), draw(-0.3, 0.6)};
    made->leaf = trn_default_leaf();
    made->leaf.opens_to_rad = 70 * DEGREE;
    made->leaf.toe_m = draw(8, 20);
    made->leaf.parts = &made->part;
    made->leaf.part_count = 1;
    made->leaf.pockets = made->own;
    made->leaf.pocket_count = count - hung;
    draw_pockets(made->own, count - hung, (trn_point){-5, 0}, draw(0, 1) < 0.5);
    while (linked) {
        made->box.weight_N = 1000;
        made->box.at = (trn_point){-13, 6.2};
        made->linked = (trn_linked_counterweight){.pivot = {-8.5, 6.4},
                                                  .pin_on_leaf = {-4.8, 1.2},
                                                  .pin_on_counterweight = {draw(-14.3, -12.3), draw(6.8, 8.6)},
                                                  .parts = &made->box,
                                                  .part_count = 1,
                                                  .pockets = made->hung,
                                                  .pocket_count = hung};
        draw_pockets(made->hung, hung, (trn_point){-13, 6.4}, draw(0, 1) < 0.5);
        made->leaf.linked_counterweight = &made->linked;
        linked = trn_leaf_check_motion(&made->leaf, NULL) != TRN_OK;
    }
    draw_target(made, 3000);
}

/* What a plan comes to, worked out from the whole leaf. */
typedef struct outcome {
    int after[POCKETS_MAX];
    int handled;
    double weight_change_N;
    bool on_target;
    bool first_held; /* toe reaction or A */
    double miss_Nm;  /* largest miss of a bound, as a moment */
    double first_miss;
    double second_miss; /* in the unit of the target */
} outcome;

static double miss_of_window(trn_window window, double value)
{
    return fmax(0, fmax(window.low - value, value - window.high));
}

/* How far from the window of angles, round the circle. */
static double angle_miss(trn_window window, double angle_rad)
{
    double least = HUGE_VAL;
    for (int turn = -1; turn <= 1; turn++) {
        least = fmin(least, miss_of_window(window, angle_rad + turn * TURN));
    }
    return least;
}

/* As moments: the distance from the line of the nearer bound; within half a turn of it that is R sin of the miss. */
static double angle_miss_Nm(trn_window window, double angle_rad, double r_Nm)
{
    const double below = -r_Nm * sin(angle_rad - window.low);
    const double above = -r_Nm * sin(window.high - angle_rad);
    const bool wide = window.high - window.low > TURN / 2;
    return fmax(0, wide ? fmin(below, above) : fmax(below, above));
}

static void judge(const problem *of, outcome *plan)
{
    trn_pocket pockets[POCKETS_MAX];
    trn_linked_counterweight linked;
    trn_leaf leaf = of->leaf;
    const size_t own = leaf.pocket_count;
    plan->handled = 0;
    plan->weight_change_N = 0;
    for (size_t i = 0; i < trn_leaf_pocket_total(&of->leaf); i++) {
        pockets[i] = i < own ? of->own[i] : of->hung[i - own];
        plan->handled += abs(plan->after[i] - pockets[i].blocks);
        plan->weight_change_N += (plan->after[i] - pockets[i].blocks) * pockets[i].block_N;
        pockets[i].blocks = plan->after[i];
    }
    leaf.pockets = pockets;
    if (leaf.linked_counterweight != NULL) {
        linked = of->linked;
        linked.pockets = pockets + own;
        leaf.linked_counterweight = &linked;
    }
    const trn_balance balance = trn_leaf_balance(&leaf);
    const trn_balance_target *target = &of->target;
    const double a = balance.closed_moment_Nm;
    const double b = balance.moment_Nm * sin(balance.angle_rad);
    plan->first_miss = target->by_moments ? miss_of_window(target->a_Nm, a)
                                          : miss_of_window(target->toe_reaction_N, balance.toe_reaction_N);
    plan->second_miss =
        target->by_moments ? miss_of_window(target->b_Nm, b) : angle_miss(target->angle_rad, balance.angle_rad);
    plan->first_held = !(plan->first_miss > 0);
    plan->on_target = plan->first_held && !(plan->second_miss > 0);
    plan->miss_Nm = fmax(plan->first_miss * (target->by_moments ? 1 : leaf.toe_m),
                         target->by_moments ? plan->second_miss
                                            : angle_miss_Nm(target->angle_rad, balance.angle_rad, balance.moment_Nm));
}

static bool goes_before(const outcome *a, const outcome *b, size_t count)
{
    if (a->handled != b->handled) {
        return a->handled < b->handled;
    }
    const double heavier = fabs(a->weight_change_N) - fabs(b->weight_change_N);
    if (fabs(heavier) > 1e-6) {
        return heavier < 0;
    }
    for (size_t i = 0; i < count; i++) {
        if (a->after[i] != b->after[i]) {
            return a->after[i] > b->after[i];
        }
    }
    return false;
}

typedef struct best {
    bool feasible;
    outcome plan;
    double miss_Nm;
    double first_miss;  /* of the plans that hold the second window; infinite where none does */
    double second_miss; /* of those that hold the first */
} best;

/* The next plan, as a number whose digits run from 0 to the rooms; false behind the last. */
static bool next_plan(const problem *of, outcome *plan)
{
    const size_t own = of->leaf.pocket_count;
    for (size_t i = 0; i < trn_leaf_pocket_total(&of->leaf); i++) {
        const int room = i < own ? of->own[i].room : of->hung[i - own].room;
        if (plan->after[i] < room) {
            plan->after[i]++;
            return true;
        }
        plan->after[i] = 0;
    }
    return false;
}

static best try_all(const problem *of)
{
    const size_t count = trn_leaf_pocket_total(&of->leaf);
    best found = {.miss_Nm = HUGE_VAL, .first_miss = HUGE_VAL, .second_miss = HUGE_VAL};
    outcome plan = {.handled = 0};
    do {
        judge(of, &plan);
        if (plan.on_target && (!found.feasible || goes_before(&plan, &found.plan, count))) {
            found.feasible = true;
            found.plan = plan;
        }
        found.miss_Nm = fmin(found.miss_Nm, plan.miss_Nm);
        found.first_miss = plan.second_miss > 0 ? found.first_miss : fmin(found.first_miss, plan.first_miss);
        found.second_miss = plan.first_held ? fmin(found.second_miss, plan.second_miss) : found.second_miss;
    } while (next_plan(of, &plan));
    return found;
}

static double widened(trn_window wide, trn_window given)
{
    return fmax(given.low - wide.low, wide.high - given.high);
}

static void check_widening(bool has, trn_window wide, trn_window given, double wanted)
{
    assert_int_equal(has, wanted < HUGE_VAL);
    if (has) {
        assert_close_at(widened(wide, given), wanted, 1e-6, given.high - given.low);
        /* One bound alone is moved. */
        assert_true(is_same_bits(wide.low, given.low) || is_same_bits(wide.high, given.high));
    }
}

/* A balance of the target, at shares of its windows; false where there is none at these. */
static bool point_of_target(const problem *of, double first, double second, double *a, double *b)
{
    const trn_balance_target *target = &of->target;
    const trn_window a_Nm = target->by_moments ? target->a_Nm
                                               : (trn_window){target->toe_reaction_N.low * of->leaf.toe_m,
                                                              target->toe_reaction_N.high * of->leaf.toe_m};
    *a = a_Nm.low + first * (a_Nm.high - a_Nm.low);
    *b = target->b_Nm.low + second * (target->b_Nm.high - target->b_Nm.low);
    if (!target->by_moments) {
        const double angle = target->angle_rad.low + second * (target->angle_rad.high - target->angle_rad.low);
        *b = *a * tan(angle);
        return *a * cos(angle) > 0;
    }
    return true;
}

/* What is lacking leads to the target, and no balance of it lies nearer. */
static void check_lacking(const problem *of, const trn_ballast_plan *plan)
{
    const trn_ballast_obstacle *obstacle = &plan->obstacle;
    const double a = plan->after.closed_moment_Nm;
    const double b = plan->after.moment_Nm * sin(plan->after.angle_rad);
    const double there_a = a + obstacle->lacking_a_Nm;
    const double there_b = b + obstacle->lacking_b_Nm;
    const double way = hypot(obstacle->lacking_a_Nm, obstacle->lacking_b_Nm);
    const trn_balance_target *target = &of->target;
    const double first_Nm = target->by_moments
                                ? miss_of_window(target->a_Nm, there_a)
                                : of->leaf.toe_m * miss_of_window(target->toe_reaction_N, there_a / of->leaf.toe_m);
    const double second_Nm = target->by_moments
                                 ? miss_of_window(target->b_Nm, there_b)
                                 : angle_miss_Nm(target->angle_rad, atan2(there_b, there_a), hypot(there_a, there_b));
    assert_near(first_Nm, 0, 1e-6);
    assert_near(second_Nm, 0, 1e-6);
    for (int i = 0; i <= 40; i++) {
        for (int k = 0; k <= 40; k++) {
            double other_a;
            double other_b;
            if (point_of_target(of, i / 40.0, k / 40.0, &other_a, &other_b)) {
                assert_true(hypot(other_a - a, other_b - b) >= way - 1e-6);
            }
        }
    }
}

static void check_obstacle(const problem *of, const trn_ballast_plan *plan, const trn_ballast_move *moves,
                           const best *wanted)
{
    const trn_ballast_obstacle *obstacle = &plan->obstacle;
    const bool by_moments = of->target.by_moments;
    outcome nearest = {.handled = 0};
    for (size_t i = 0; i < trn_leaf_pocket_total(&of->leaf); i++) {
        nearest.after[i] = moves[i].after;
    }
    judge(of, &nearest);
    assert_close_at(nearest.miss_Nm, wanted->miss_Nm, 1e-6, 1000);
    assert_close_at(obstacle->miss_Nm, wanted->miss_Nm, 1e-6, 1000);
    check_widening(obstacle->has_first, obstacle->first, by_moments ? of->target.a_Nm : of->target.toe_reaction_N,
                   wanted->first_miss);
    check_widening(obstacle->has_second, obstacle->second, by_moments ? of->target.b_Nm : of->target.angle_rad,
                   wanted->second_miss);
    assert_true(obstacle->cause == TRN_CAUSE_ROOM || obstacle->cause == TRN_CAUSE_WHOLE_BLOCKS ||
                obstacle->cause == TRN_CAUSE_TARGET);
    if (obstacle->cause != TRN_CAUSE_TARGET) {
        check_lacking(of, plan);
    }
}

static bool check_problem(const problem *of)
{
    trn_ballast_move moves[POCKETS_MAX];
    trn_ballast_plan plan;
    trn_error error = {.text = ""};
    const trn_ballast_settings settings = trn_default_ballast_settings();
    const best wanted = try_all(of);
    assert_int_equal(trn_leaf_ballast(&of->leaf, &settings, moves, &plan, &error), TRN_OK);
    assert_int_equal(plan.feasible, wanted.feasible);
    if (!wanted.feasible) {
        check_obstacle(of, &plan, moves, &wanted);
        return false;
    }
    assert_int_equal(plan.gap_blocks, 0);
    assert_int_equal(plan.blocks_handled, wanted.plan.handled);
    for (size_t i = 0; i < trn_leaf_pocket_total(&of->leaf); i++) {
        const trn_pocket *pocket = i < of->leaf.pocket_count ? &of->own[i] : &of->hung[i - of->leaf.pocket_count];
        assert_ptr_equal(moves[i].pocket, pocket);
        assert_int_equal(moves[i].before, pocket->blocks);
        assert_int_equal(moves[i].after, wanted.plan.after[i]);
        assert_int_equal(moves[i].change, moves[i].after - moves[i].before);
    }
    return true;
}

static void many_problems(unsigned long long first_seed, int count, bool linked)
{
    int feasible = 0;
    for (int i = 0; i < count; i++) {
        problem one;
        seed = first_seed + (unsigned long long)i;
        draw(0, 1);
        draw_problem(&one, linked, (size_t)draw_whole(linked ? 2 : 1, POCKETS_MAX - 1));
        feasible += check_problem(&one);
    }
    print_message("# %d of %d feasible\n", feasible, count);
    /* Problems that are all of one kind would prove little. */
    assert_in_range(feasible, count / 5, 4 * count / 5);
}

static void plans_of_100_leaves_are_the_best_of_all_plans(void **state)
{
    (void)state;
    many_problems(1000, 100, false);
}

static void so_are_those_of_100_leaves_with_a_linked_counterweight(void **state)
{
    (void)state;
    many_problems(5000, 100, true);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plans_of_100_leaves_are_the_best_of_all_plans),
        cmocka_unit_test(so_are_those_of_100_leaves_with_a_linked_counterweight),
    };
    return cmocka_run_group_tests_name("ballast", tests, NULL, NULL);
}
