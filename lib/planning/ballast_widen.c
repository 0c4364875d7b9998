/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where no plan was found: how much wider one window would have to be while the other one holds. */
#include <gsl/gsl_math.h>
#include <math.h>

#include "ballast_search.h"

static bool is_of_first(trn_ballast_bound bound)
{
    return bound == TRN_BOUND_TOE_LOW || bound == TRN_BOUND_TOE_HIGH || bound == TRN_BOUND_A_LOW ||
           bound == TRN_BOUND_A_HIGH;
}

static bool is_low(trn_ballast_bound bound)
{
    return bound == TRN_BOUND_TOE_LOW || bound == TRN_BOUND_ANGLE_LOW || bound == TRN_BOUND_A_LOW ||
           bound == TRN_BOUND_B_LOW;
}

/* A window of moments that may be moved apart: which bounds are its, and a moment of its unit. */
typedef struct moved_window {
    bool first;
    double unit_Nm;
    trn_window given;
} moved_window;

/* The least miss of the bounds of the window, the others of the region held; below 0 where none was found. */
static plan_outcome least_miss(const plan_search *of, const plan_region *region, bool first, double *miss,
                               trn_ballast_bound *bound)
{
    double unused;
    plan_region moved = {.count = 0};
    plan_program program = plan_program_make(of->effects, of->count, of->now);
    plan_program_hold(&program, region, false);
    for (size_t i = 0; i < region->count; i++) {
        program.soft[i] = is_of_first(region->halves[i].bound) == first;
        if (program.soft[i]) {
            moved.halves[moved.count++] = region->halves[i];
        }
    }
    program.objective = PLAN_LEAST_MISS;
    const plan_outcome outcome = plan_solve(&program, plan_share(of, 0.25), of->trial, &unused);
    if (outcome == PLAN_SOLVED) {
        *miss = plan_miss(&moved, plan_moments_after(of, of->trial), bound);
    }
    return outcome;
}

static trn_status widen_moments(const plan_search *of, moved_window window, trn_window *wide, bool *found)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < of->region_count; i++) {
        double miss = HUGE_VAL;
        trn_ballast_bound bound = TRN_BOUND_A_LOW;
        if (least_miss(of, &of->regions[i], window.first, &miss, &bound) == PLAN_NO_MEMORY) {
            return TRN_NO_MEMORY;
        }
        if (miss < least) {
            least = miss;
            *found = true;
            *wide = (trn_window){window.given.low - (is_low(bound) ? miss / window.unit_Nm : 0),
                                 window.given.high + (is_low(bound) ? 0 : miss / window.unit_Nm)};
        }
    }
    return TRN_OK;
}

/* How far an angle lies beyond a bound, 0 to half a turn; a hair before it is on it. */
static double beyond(double angle_rad)
{
    const double turned = angle_rad - 2 * M_PI * floor(angle_rad / (2 * M_PI));
    return turned > M_PI ? 0 : turned;
}

/* The angle that a window lacks on one side: all plans are looked at whose angle
   lies within room_rad beyond the bound. Each round finds the plan furthest
   inside the line at the angle reached so far, until there is none. */
static plan_outcome reach_angle(const plan_search *of, bool below, double bound_rad, double room_rad, double *lack_rad)
{
    const double side = below ? -1 : 1;
    double unused;
    double lack = 0;
    plan_outcome outcome = PLAN_NONE;
    plan_program program = plan_program_make(of->effects, of->count, of->now);
    program.objective = PLAN_INSIDE;
    const plan_region *region = &of->regions[0];
    for (size_t i = 0; i < region->count; i++) {
        if (is_of_first(region->halves[i].bound)) {
            program.halves[program.half_count++] = region->halves[i];
        }
    }
    const double end_rad = bound_rad + side * room_rad;
    program.halves[program.half_count++] = below ? plan_half_below(bound_rad) : plan_half_above(bound_rad);
    program.halves[program.half_count++] = below ? plan_half_above(end_rad) : plan_half_below(end_rad);
    for (int round = 0; round < 40; round++) {
        const double at_rad = bound_rad + side * lack;
        program.inside = below ? plan_half_above(at_rad) : plan_half_below(at_rad);
        outcome = plan_solve(&program, plan_share(of, 0.1), of->trial, &unused);
        if (outcome != PLAN_SOLVED) {
            break;
        }
        const plan_moments after = plan_moments_after(of, of->trial);
        const double gain = plan_inside(&program.inside, after);
        if (round > 0 && !(gain > 1e-9 * hypot(after.a_Nm, after.b_Nm))) {
            break;
        }
        lack = beyond(side * (atan2(after.b_Nm, after.a_Nm) - bound_rad));
    }
    *lack_rad = lack;
    return outcome;
}

static trn_status widen_angle(const plan_search *of, trn_ballast_obstacle *obstacle)
{
    const trn_window given = of->leaf->balance_target->angle_rad;
    const double room = M_PI - (given.high - given.low) / 2;
    double below = 0;
    double above = 0;
    const plan_outcome down = reach_angle(of, true, given.low, room, &below);
    const plan_outcome up = reach_angle(of, false, given.high, room, &above);
    if (down == PLAN_NO_MEMORY || up == PLAN_NO_MEMORY) {
        return TRN_NO_MEMORY;
    }
    const bool by_low = down == PLAN_SOLVED && (up != PLAN_SOLVED || below <= above);
    obstacle->has_second = down == PLAN_SOLVED || up == PLAN_SOLVED;
    if (obstacle->has_second) {
        obstacle->second = (trn_window){given.low - (by_low ? below : 0), given.high + (by_low ? 0 : above)};
    }
    return TRN_OK;
}

trn_status plan_widen(const plan_search *of, trn_ballast_obstacle *obstacle)
{
    const trn_balance_target *target = of->leaf->balance_target;
    const moved_window first = {true, target->by_moments ? 1 : of->leaf->toe_m,
                                target->by_moments ? target->a_Nm : target->toe_reaction_N};
    const moved_window second = {false, 1, target->b_Nm};
    trn_status status = widen_moments(of, first, &obstacle->first, &obstacle->has_first);
    if (status == TRN_OK && target->by_moments) {
        status = widen_moments(of, second, &obstacle->second, &obstacle->has_second);
    } else if (status == TRN_OK && of->measured == NULL) {
        status = widen_angle(of, obstacle);
    }
    return status;
}
