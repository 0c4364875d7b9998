/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/ballast.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ballast_search.h"
#include "trunnion/moments.h"

/* The share of the time after which a search that has found nothing gives way to the search for the nearest plan. */
static const double share_without_plan = 0.6;

/* How often bounds are moved inwards because a plan held them in the solver's tolerance alone, and by how much of a
   block's moment at first: a little more than that tolerance. */
enum { TIGHTENINGS = 4 };
static const double first_tightening = 4e-7;

trn_ballast_settings trn_default_ballast_settings(void)
{
    return (trn_ballast_settings){.seconds = 10};
}

size_t trn_leaf_pocket_total(const trn_leaf *leaf)
{
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    return leaf->pocket_count + (linked != NULL ? linked->pocket_count : 0);
}

trn_leaf trn_leaf_after_moves(const trn_leaf *leaf, const trn_ballast_move *moves, trn_leaf_room *room)
{
    const size_t total = trn_leaf_pocket_total(leaf);
    trn_leaf changed = *leaf;
    for (size_t i = 0; i < total; i++) {
        room->pockets[i] = *moves[i].pocket;
        room->pockets[i].blocks = moves[i].after;
    }
    changed.pockets = room->pockets;
    if (leaf->linked_counterweight != NULL) {
        room->linked = *leaf->linked_counterweight;
        room->linked.pockets = room->pockets + leaf->pocket_count;
        changed.linked_counterweight = &room->linked;
    }
    return changed;
}

static double b_of(const trn_balance *balance)
{
    return balance->moment_Nm * sin(balance->angle_rad);
}

trn_leaf trn_leaf_correct(const trn_leaf *leaf, double a_Nm, double b_Nm, trn_part *parts)
{
    const trn_balance balance = trn_leaf_balance(leaf);
    const trn_point offset = {(a_Nm - balance.closed_moment_Nm) / balance.weight_N,
                              (b_Nm - b_of(&balance)) / balance.weight_N};
    trn_leaf corrected = *leaf;
    trn_part more = trn_default_part();
    more.name = "as measured, less described";
    more.weight_N = balance.weight_N;
    more.at = offset;
    trn_part less = more;
    less.name = "its counterpart at the trunnion";
    less.weight_N = -balance.weight_N;
    less.at = (trn_point){0, 0};
    /* Takes away the inertia that the other one has about the trunnion. */
    less.gyration_m = hypot(offset.x, offset.y);
    memcpy(parts, leaf->parts, leaf->part_count * sizeof *parts);
    parts[leaf->part_count] = more;
    parts[leaf->part_count + 1] = less;
    corrected.parts = parts;
    corrected.part_count = leaf->part_count + TRN_CORRECTION_PARTS;
    return corrected;
}

static plan_effect effect_of(const trn_pocket *pocket, trn_point pivot, const trn_link_state *link)
{
    trn_pocket one = *pocket;
    one.blocks = 1;
    const trn_body body = trn_pocket_body(&one, pivot);
    plan_effect effect = {.a_Nm = body.a_Nm,
                          .b_Nm = body.b_Nm,
                          .weight_N = body.weight_N,
                          .least = -pocket->blocks,
                          .most = pocket->room - pocket->blocks};
    if (link != NULL) {
        effect.a_Nm = link->rate * body.a_Nm;
        effect.b_Nm = link->rate * link->rate * body.b_Nm - link->rate_change_rad * body.a_Nm;
    }
    return effect;
}

/* The leaf's own pockets first. */
static void gather_pockets(plan_search *search)
{
    const trn_leaf *leaf = search->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    const trn_point trunnion = {0, 0};
    const trn_link_state link = linked != NULL ? trn_link_at(linked, trn_rotation_by(0)) : (trn_link_state){.rate = 1};
    for (size_t i = 0; i < search->count; i++) {
        if (i < leaf->pocket_count || linked == NULL) {
            search->pockets[i] = &leaf->pockets[i];
            search->effects[i] = effect_of(search->pockets[i], trunnion, NULL);
        } else {
            search->pockets[i] = &linked->pockets[i - leaf->pocket_count];
            search->effects[i] = effect_of(search->pockets[i], linked->pivot, &link);
        }
    }
}

static void set_moves(const plan_search *search, const int *changes, trn_ballast_move *moves)
{
    for (size_t i = 0; i < search->count; i++) {
        const int before = search->pockets[i]->blocks;
        moves[i] = (trn_ballast_move){search->pockets[i], before, before + changes[i], changes[i]};
    }
}

static bool is_in(trn_window window, double value)
{
    return value >= window.low && value <= window.high;
}

/* The bound that lies nearest, of the region that holds the moments best, and how far inside it is. */
static double tightest_of_all(const plan_search *search, plan_moments at, trn_ballast_bound *bound)
{
    double best = -HUGE_VAL;
    for (size_t i = 0; i < search->region_count; i++) {
        trn_ballast_bound here = TRN_BOUND_A_LOW;
        const double tightest = plan_tightest(&search->regions[i], at, &here);
        if (tightest > best) {
            best = tightest;
            *bound = here;
        }
    }
    return best;
}

/* In double arithmetic: as weigh shows the leaf, or with the confidence that was asked for. */
static bool is_on_target(const plan_search *search, const trn_balance *balance)
{
    const trn_balance_target *target = search->leaf->balance_target;
    const plan_moments at = {balance->closed_moment_Nm, b_of(balance)};
    trn_ballast_bound unused;
    if (search->measured != NULL) {
        return tightest_of_all(search, at, &unused) >= 0;
    }
    if (target->by_moments) {
        return is_in(target->a_Nm, at.a_Nm) && is_in(target->b_Nm, at.b_Nm);
    }
    return is_in(target->toe_reaction_N, balance->toe_reaction_N) && is_in(target->angle_rad, balance->angle_rad);
}

static trn_balance balance_after(const plan_search *search, const int *changes, trn_ballast_move *moves,
                                 trn_leaf_room *room)
{
    set_moves(search, changes, moves);
    const trn_leaf after = trn_leaf_after_moves(search->leaf, moves, room);
    return trn_leaf_balance(&after);
}

/* Search until the plan found is on target in double arithmetic too. */
static trn_status find_plan(const plan_search *search, trn_ballast_move *moves, trn_leaf_room *room, plan_found *found,
                            trn_ballast_plan *plan)
{
    const double now = plan_now();
    const plan_deadlines until = {now + share_without_plan * (search->end - now), search->end};
    double tighten = 0;
    for (int i = 0; i < TIGHTENINGS; i++) {
        plan_over_regions(search, tighten, until, found);
        if (found->outcome == PLAN_NO_MEMORY) {
            return TRN_NO_MEMORY;
        }
        if (!plan_has_moves(found->outcome)) {
            return TRN_OK;
        }
        plan->after = balance_after(search, found->changes, moves, room);
        plan->feasible = is_on_target(search, &plan->after);
        if (plan->feasible) {
            return TRN_OK;
        }
        tighten = tighten > 0 ? 10 * tighten : first_tightening;
    }
    found->outcome = PLAN_UNDECIDED;
    return TRN_OK;
}

static trn_status make_plan(const plan_search *search, trn_ballast_move *moves, trn_leaf_room *room, plan_found *found,
                            trn_ballast_plan *plan)
{
    trn_status status = TRN_OK;
    plan->before = trn_leaf_balance(search->leaf);
    plan->feasible = is_on_target(search, &plan->before);
    if (plan->feasible) {
        *found = (plan_found){.outcome = PLAN_SOLVED, .changes = found->changes};
    } else {
        status = find_plan(search, moves, room, found, plan);
    }
    if (status == TRN_OK && !plan->feasible) {
        status = plan_obstacle(search, found, &plan->obstacle);
    }
    if (status != TRN_OK) {
        return status;
    }
    plan->after = balance_after(search, found->changes, moves, room);
    /* A search cut short may be led onto the target by the search for the nearest plan. */
    plan->feasible = is_on_target(search, &plan->after);
    plan->blocks_handled = plan_handled(found->changes, search->count);
    if (plan->feasible) {
        const double proved = fmax(ceil(found->bound - 1e-6), 1);
        plan->gap_blocks = (int)fmax(plan->blocks_handled - proved, 0);
        plan->margin_Nm =
            tightest_of_all(search, (plan_moments){plan->after.closed_moment_Nm, b_of(&plan->after)}, &plan->closest);
    }
    return TRN_OK;
}

static trn_status search_in(plan_search *search, trn_ballast_move *moves, trn_ballast_plan *plan)
{
    const size_t count = search->count;
    int *numbers = calloc(3 * count, sizeof *numbers);
    trn_leaf_room room = {.pockets = calloc(count, sizeof *room.pockets)};
    trn_status status = TRN_NO_MEMORY;
    search->pockets = calloc(count, sizeof(const trn_pocket *));
    search->effects = calloc(count, sizeof *search->effects);
    if (numbers != NULL && room.pockets != NULL && search->pockets != NULL && search->effects != NULL) {
        plan_found found = {.changes = numbers};
        trn_ballast_plan made = {0};
        search->trial = numbers + count;
        search->spare = numbers + 2 * count;
        gather_pockets(search);
        status = make_plan(search, moves, &room, &found, &made);
        if (status == TRN_OK) {
            *plan = made;
        }
    }
    free(numbers);
    free(room.pockets);
    free(search->pockets);
    free(search->effects);
    return status;
}

static bool is_covariance(const trn_moment_covariance *of)
{
    return of->aa >= 0 && of->bb >= 0 && of->ab * of->ab <= of->aa * of->bb * (1 + 1e-9) && isfinite(of->aa + of->bb);
}

static trn_status check(const trn_leaf *leaf, const trn_ballast_settings *settings, trn_error *error)
{
    if (trn_leaf_pocket_total(leaf) == 0) {
        return trn_error_set(error, TRN_MISSING_SECTION, "the description needs the section 'pockets'");
    }
    if (leaf->balance_target == NULL) {
        return trn_error_set(error, TRN_MISSING_SECTION, "the description needs the section 'balance_target'");
    }
    if (!(settings->seconds > 0)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the time limit is %g s: expected over 0", settings->seconds);
    }
    if (settings->measured != NULL && !is_covariance(settings->measured)) {
        return trn_error_set(
            error, TRN_OUT_OF_DOMAIN,
            "the covariance of A and B is none: expected variances of 0 or more, and ab² at most aa bb");
    }
    return trn_leaf_check_motion(leaf, error);
}

trn_status trn_leaf_ballast(const trn_leaf *leaf, const trn_ballast_settings *settings, trn_ballast_move *moves,
                            trn_ballast_plan *plan, trn_error *error)
{
    trn_status status = check(leaf, settings, error);
    if (status != TRN_OK) {
        return status;
    }
    plan_search search = {.leaf = leaf,
                          .measured = settings->measured,
                          .count = trn_leaf_pocket_total(leaf),
                          .end = plan_now() + settings->seconds};
    const trn_body body = trn_leaf_body(leaf);
    const trn_balance balance = trn_leaf_balance(leaf);
    search.now =
        (plan_moments){balance.closed_moment_Nm, leaf->linked_counterweight == NULL ? body.b_Nm : b_of(&balance)};
    search.region_count = plan_regions(leaf->balance_target, leaf->toe_m, settings->measured, search.regions);
    status = search_in(&search, moves, plan);
    return status == TRN_OK ? TRN_OK : trn_error_set(error, status, "%s", trn_status_text(status));
}
