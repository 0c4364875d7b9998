/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/uncertainty.h"

#include <math.h>
#include <string.h>

#include "trunnion/leaf.h"

/* A normal distribution whose bound is at least so many standard deviations off is cut there; a nearer one is refused.
 */
#define CUT_SD 3.0

/* What a kind of value is: its word, its bounds, and whether it is told as a factor on what is described. */
typedef struct kind {
    const char *word;
    double low;
    double high;
    bool factor;
} kind;

static const kind kinds[TRN_UNCERTAIN_COUNT] = {
    [TRN_UNCERTAIN_WEIGHT] = {"weight", 0, HUGE_VAL, true},
    [TRN_UNCERTAIN_UNIT_WEIGHT] = {"unit weight", 0, HUGE_VAL, true},
    [TRN_UNCERTAIN_X] = {"x", -HUGE_VAL, HUGE_VAL, false},
    [TRN_UNCERTAIN_Y] = {"y", -HUGE_VAL, HUGE_VAL, false},
    [TRN_UNCERTAIN_MOVING_FRICTION] = {"moving friction", 0, 1, false},
    [TRN_UNCERTAIN_STARTING_FRICTION] = {"starting friction", 0, 1, false},
    [TRN_UNCERTAIN_DRAG] = {"drag", 0, HUGE_VAL, false},
    [TRN_UNCERTAIN_EFFICIENCY] = {"efficiency", 0.01, 1, false},
    [TRN_UNCERTAIN_WIND_PRESSURE] = {"wind pressure", 0, HUGE_VAL, true},
    [TRN_UNCERTAIN_WIND_SPEED] = {"wind speed", 0, HUGE_VAL, true},
    [TRN_UNCERTAIN_SOLIDITY] = {"solidity", 0, 1, false},
    [TRN_UNCERTAIN_ICE] = {"ice", 0, HUGE_VAL, true},
};

const char *trn_uncertain_word(trn_uncertain of)
{
    return kinds[of].word;
}

/* What is looked for: the place, and the described value there. */
typedef struct target {
    trn_uncertain_place place;
    double described;
} target;

static bool is_named(const char *name, const char *wanted)
{
    return strcmp(name, wanted) == 0;
}

static bool find_part(const trn_part *parts, size_t count, trn_described list, const trn_uncertainty *of, target *found)
{
    for (size_t i = 0; i < count; i++) {
        const trn_part *part = &parts[i];
        const bool block = part->shape == TRN_SHAPE_BLOCK;
        if (is_named(part->name, of->on) && (block || of->of != TRN_UNCERTAIN_UNIT_WEIGHT)) {
            *found =
                (target){.place = {list, i},
                         .described = of->of == TRN_UNCERTAIN_WEIGHT ? trn_part_body(part, (trn_point){0, 0}).weight_N
                                      : of->of == TRN_UNCERTAIN_UNIT_WEIGHT ? part->unit_weight_N_m3
                                                                            : 0};
            return true;
        }
    }
    return false;
}

static bool find_pocket(const trn_pocket *pockets, size_t count, trn_described list, const trn_uncertainty *of,
                        target *found)
{
    for (size_t i = 0; i < count && of->of != TRN_UNCERTAIN_UNIT_WEIGHT; i++) {
        if (is_named(pockets[i].name, of->on)) {
            const double weight = trn_pocket_body(&pockets[i], (trn_point){0, 0}).weight_N;
            *found = (target){.place = {list, i}, .described = of->of == TRN_UNCERTAIN_WEIGHT ? weight : 0};
            return true;
        }
    }
    return false;
}

/* A part or a pocket, of the leaf before the linked counterweight's. */
static bool find_weight(const trn_leaf *leaf, const trn_uncertainty *of, target *found)
{
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    return find_part(leaf->parts, leaf->part_count, TRN_DESCRIBED_PART, of, found) ||
           find_pocket(leaf->pockets, leaf->pocket_count, TRN_DESCRIBED_POCKET, of, found) ||
           (linked != NULL && find_part(linked->parts, linked->part_count, TRN_DESCRIBED_LINKED_PART, of, found)) ||
           (linked != NULL &&
            find_pocket(linked->pockets, linked->pocket_count, TRN_DESCRIBED_LINKED_POCKET, of, found));
}

static bool find_journal(const trn_leaf *leaf, const trn_uncertainty *of, target *found)
{
    const bool linked = of->on != NULL && is_named(of->on, "linked counterweight");
    const trn_journal *journal = leaf->trunnion;
    if (linked) {
        journal = leaf->linked_counterweight != NULL ? &leaf->linked_counterweight->journal : NULL;
    }
    if (journal == NULL || (linked && of->of == TRN_UNCERTAIN_DRAG)) {
        return false;
    }
    found->place.list = linked ? TRN_DESCRIBED_LINKED_TRUNNION : TRN_DESCRIBED_TRUNNION;
    found->described = of->of == TRN_UNCERTAIN_DRAG              ? journal->drag_Nm
                       : of->of == TRN_UNCERTAIN_MOVING_FRICTION ? journal->friction.moving
                                                                 : journal->friction.starting;
    return true;
}

static bool find_surface(const trn_leaf *leaf, const trn_uncertainty *of, target *found)
{
    for (size_t i = 0; i < leaf->surface_count; i++) {
        if (is_named(leaf->surfaces[i].name, of->on)) {
            *found = (target){.place = {TRN_DESCRIBED_SURFACE, i}, .described = leaf->surfaces[i].solidity};
            return true;
        }
    }
    return false;
}

/* The value of a case or holding that the wind's or the ice's uncertainty is about; negative where it has none. */
static double circumstance(const trn_uncertainty *of, const char *name, const trn_wind *wind, double ice_N_m2)
{
    if (of->on != NULL && !is_named(name, of->on)) {
        return -1;
    }
    if (of->of == TRN_UNCERTAIN_ICE) {
        return ice_N_m2 > 0 ? ice_N_m2 : -1;
    }
    if (of->of == TRN_UNCERTAIN_WIND_SPEED) {
        return wind->by_speed ? wind->speed_m_s : -1;
    }
    const double pressure = trn_wind_pressure(wind);
    return pressure > 0 ? pressure : -1;
}

/* One more case or holding; described is NAN where they differ, so that a value in SI would mean nothing. */
static bool take_circumstance(double value, bool any, target *found)
{
    if (value >= 0) {
        found->described = !any || fabs(found->described - value) <= 1e-12 * value ? value : (double)NAN;
    }
    return any || value >= 0;
}

/* Any case or holding that has it. */
static bool find_circumstance(const trn_leaf *leaf, const trn_uncertainty *of, target *found)
{
    bool any = false;
    found->place.list = TRN_DESCRIBED_CASES;
    for (size_t i = 0; i < leaf->case_count; i++) {
        const trn_case *one = &leaf->cases[i];
        any = take_circumstance(circumstance(of, one->name, &one->wind, one->ice_N_m2), any, found);
    }
    for (size_t i = 0; i < leaf->holding_count; i++) {
        const trn_holding *one = &leaf->holdings[i];
        any = take_circumstance(circumstance(of, one->name, &one->wind, one->ice_N_m2), any, found);
    }
    return any;
}

static bool find_target(const trn_leaf *leaf, const trn_uncertainty *of, target *found)
{
    *found = (target){0};
    switch (of->of) {
    case TRN_UNCERTAIN_WEIGHT:
    case TRN_UNCERTAIN_UNIT_WEIGHT:
    case TRN_UNCERTAIN_X:
    case TRN_UNCERTAIN_Y:
        return of->on != NULL && find_weight(leaf, of, found);
    case TRN_UNCERTAIN_MOVING_FRICTION:
    case TRN_UNCERTAIN_STARTING_FRICTION:
    case TRN_UNCERTAIN_DRAG:
        return find_journal(leaf, of, found);
    case TRN_UNCERTAIN_EFFICIENCY:
        found->place.list = TRN_DESCRIBED_DRIVE;
        found->described = leaf->drive != NULL ? leaf->drive->efficiency : 0;
        return leaf->drive != NULL;
    case TRN_UNCERTAIN_SOLIDITY:
        return of->on != NULL && find_surface(leaf, of, found);
    case TRN_UNCERTAIN_WIND_PRESSURE:
    case TRN_UNCERTAIN_WIND_SPEED:
    case TRN_UNCERTAIN_ICE:
        break;
    }
    return find_circumstance(leaf, of, found);
}

/* The distribution about a described value, whose ends are set for a normal one too: where it must not be cut. */
static trn_input about(const trn_distribution *how, double described)
{
    const double unit = how->relative ? fabs(described) : 1;
    trn_input input = {.shape = how->shape, .mean = described, .mode = described};
    if (how->by_range) {
        const double from = how->relative ? described : 0;
        input.low = from + unit * how->low;
        input.high = from + unit * how->high;
        return input;
    }
    const double widths[] = {[TRN_NORMAL] = CUT_SD, [TRN_UNIFORM] = sqrt(3), [TRN_TRIANGULAR] = sqrt(6)};
    input.sd = unit * how->sd;
    input.low = described - widths[how->shape] * input.sd;
    input.high = described + widths[how->shape] * input.sd;
    return input;
}

static trn_status check(const trn_uncertainty *of, const trn_input *input, double scale, trn_error *error)
{
    const kind *is = &kinds[of->of];
    const char *on = of->on != NULL ? of->on : "the leaf";
    if (!(input->low <= input->high) || (of->distribution.by_range && input->shape == TRN_NORMAL)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "%s of %s: expected a range from low to high, uniform or triangular", is->word, on);
    }
    if (input->low < is->low || input->high > is->high) {
        const bool below = input->low < is->low;
        return trn_error_set(
            error, TRN_OUT_OF_DOMAIN,
            "%s of %s: %s %s %g: expected a smaller sd, or a range that keeps within what can be", is->word, on,
            input->shape == TRN_NORMAL ? "three standard deviations reach" : "the distribution reaches",
            below ? "below" : "above", (below ? is->low : is->high) * scale);
    }
    if (input->shape == TRN_TRIANGULAR && (input->mode < input->low || input->mode > input->high)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "%s of %s: the described value %g, the peak of the triangle, lies outside its range",
                             is->word, on, input->mode * scale);
    }
    return TRN_OK;
}

trn_status trn_uncertainty_input(const trn_leaf *leaf, const trn_uncertainty *uncertainty, trn_input *input,
                                 trn_uncertain_place *place, trn_error *error)
{
    const kind *is = &kinds[uncertainty->of];
    target found;
    trn_distribution how = uncertainty->distribution;
    if (!find_target(leaf, uncertainty, &found)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the leaf has no %s%s%s%s: expected something that is described",
                             is->word, uncertainty->on != NULL ? " of '" : "",
                             uncertainty->on != NULL ? uncertainty->on : "", uncertainty->on != NULL ? "'" : "");
    }
    if (is->factor && !how.relative && !(found.described > 0)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "%s: what is described differs from case to case, or is 0: expected per cent, or one case",
                             is->word);
    }
    double scale = 1;
    if (is->factor && !how.relative) {
        scale = found.described;
        how.sd /= scale;
        how.low /= scale;
        how.high /= scale;
    }
    trn_input made = about(&how, is->factor ? 1 : found.described);
    const trn_status status = check(uncertainty, &made, scale, error);
    if (status != TRN_OK) {
        return status;
    }
    if (made.shape == TRN_NORMAL) {
        made.low = is->low;
        made.high = is->high;
    }
    *input = made;
    if (place != NULL) {
        *place = found.place;
    }
    return TRN_OK;
}
