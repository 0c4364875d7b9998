/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/tally.h"

#include <float.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tally_parts.h"

/* Standard deviations of a rank that a bracket reaches to either side: beyond lie 3 in 10 million. */
#define REACH 5.0

/* Values kept before a bracket is narrowed for the first time, and how many more than were left before it is again. */
enum { FIRST_MOST = 1536 };
#define GROWTH 1.8

trn_tally_settings trn_default_tally_settings(void)
{
    static const double usual[] = {0.05, 0.5, 0.95};
    return (trn_tally_settings){.probabilities = usual, .count = 3, .scale = 1, .widening = 1};
}

trn_tally *trn_tally_new(const trn_tally_settings *settings)
{
    trn_tally *made = calloc(1, sizeof *made + settings->count * sizeof *made->brackets);
    if (made == NULL) {
        return NULL;
    }
    made->centre = settings->centre;
    made->scale = settings->scale;
    made->expected = settings->expected;
    made->widening = settings->widening;
    made->bracket_count = settings->count;
    for (size_t i = 0; i < settings->count; i++) {
        made->brackets[i] = (tally_bracket){
            .probability = settings->probabilities[i], .low = -HUGE_VAL, .high = HUGE_VAL, .most = FIRST_MOST};
    }
    return made;
}

void trn_tally_free(trn_tally *tally)
{
    for (size_t i = 0; tally != NULL && i < tally->bracket_count; i++) {
        free(tally->brackets[i].kept);
    }
    free(tally);
}

void tally_add_sums(tally_sum sums[TALLY_POWERS], const double block[TALLY_POWERS])
{
    for (size_t i = 0; i < TALLY_POWERS; i++) {
        /* Far beyond what a scale is for; a whole number still holds it. */
        const double sum = fmin(fmax(block[i], -0x1p40), 0x1p40);
        const double high = nearbyint(sum * 0x1p20);
        sums[i].high += (uint64_t)(int64_t)high;
        sums[i].low += (uint64_t)(int64_t)nearbyint((sum - high * 0x1p-20) * 0x1p52);
    }
}

static double sum_of(tally_sum sum)
{
    return (double)(int64_t)sum.high * 0x1p-20 + (double)(int64_t)sum.low * 0x1p-52;
}

/* ceil(p n), at least 1; a product that is whole but for its rounding is whole. */
static uint64_t rank_of(double probability, uint64_t count)
{
    const double product = probability * (double)count;
    const double whole = nearbyint(product);
    const double rank = fabs(product - whole) <= 4 * DBL_EPSILON * product ? whole : ceil(product);
    return GSL_MAX((uint64_t)rank, 1);
}

/* The standard deviation of how many of so many values lie below their true quantile. */
static double rank_sd(double probability, uint64_t count)
{
    return sqrt((double)count * probability * (1 - probability));
}

/* How far the ranks that will be asked for, of the quantile of all values and a standard deviation beside it, may still
   move among those that came. */
static double reach(const trn_tally *tally, double probability)
{
    const double share = tally->expected > 0 ? fmin((double)tally->count / (double)tally->expected, 1) : 0;
    const double sd = rank_sd(probability, tally->count);
    const double beside = tally->expected > 0 ? sqrt(share) : 1;
    return tally->widening * REACH * (sd * sqrt(1 - share) + 1) + sd * beside;
}

/* The kept value of a place, counted from 0, with the smaller ones before it and the larger ones behind. */
static double select_kept(tally_bracket *of, size_t from, size_t to, size_t place)
{
    return gsl_stats_select(of->kept + from, 1, to - from, place - from);
}

/* Bounds that surely hold the places from to to, or nearly: by a few of the kept values, sorted. */
enum { FEW = 127, SLACK = 8 };
_Static_assert(FIRST_MOST >= 4 * FEW, "a bracket that is full has values enough to guess by");

static void guess_bounds(const tally_bracket *of, size_t from, size_t to, double *low, double *high)
{
    double few[FEW];
    const double per_place = (FEW + 1) / (double)of->count;
    for (size_t i = 0; i < FEW; i++) {
        few[i] = of->kept[i * (of->count / FEW)];
    }
    gsl_sort(few, 1, FEW);
    const double first = floor((double)from * per_place) - 1 - SLACK;
    const double last = ceil((double)to * per_place) - 1 + SLACK;
    *low = first < 0 ? of->low : few[(size_t)first];
    *high = last >= FEW ? of->high : few[(size_t)last];
}

/* Let go of most of what lies before place from and behind place to, in two passes. False, and nothing done, where the
   guess was wrong, or lets go of next to nothing: of values that are all alike. */
static bool let_go_by_guess(tally_bracket *of, size_t from, size_t to)
{
    double low;
    double high;
    size_t below = 0;
    size_t inside = 0;
    guess_bounds(of, from, to, &low, &high);
    tally_place(of->kept, of->count, low, high, &below, &inside);
    if (below > from || below + inside <= to || inside > of->count - of->count / 8) {
        return false;
    }
    size_t kept = 0;
    for (size_t i = 0; i < of->count; i++) {
        const double value = of->kept[i];
        of->kept[kept] = value;
        kept += (value >= low) & (value <= high);
    }
    of->low = low;
    of->high = high;
    of->below += below;
    of->count = kept;
    return true;
}

/* The same by selection: just the places from to to are left. */
static void let_go(tally_bracket *of, size_t from, size_t to)
{
    if (to + 1 < of->count) {
        of->high = select_kept(of, 0, of->count, to);
        of->count = to + 1;
    }
    if (from > 0) {
        of->low = select_kept(of, 0, of->count, from);
        of->count -= from;
        of->below += from;
        memmove(of->kept, of->kept + from, of->count * sizeof *of->kept);
    }
}

/* Let go what is farther from the quantile's rank than it may move. */
static void narrow(const trn_tally *tally, tally_bracket *of, bool by_guess)
{
    const double rank = (double)rank_of(of->probability, tally->count) - 1 - (double)of->below;
    const double far = reach(tally, of->probability);
    if (rank < 0 || rank >= (double)of->count) {
        of->missed = true;
        of->count = 0;
        return;
    }
    const size_t from = (size_t)fmax(floor(rank - far), 0);
    const size_t to = (size_t)fmin(ceil(rank + far), (double)of->count - 1);
    if (!by_guess || !let_go_by_guess(of, from, to)) {
        let_go(of, from, to);
    }
}

trn_status tally_take(trn_tally *tally, size_t bracket, const tally_found *found)
{
    tally_bracket *of = &tally->brackets[bracket];
    if (of->missed) {
        return TRN_OK;
    }
    if (tally_make_room(of, found->count) != TRN_OK) {
        return TRN_NO_MEMORY;
    }
    of->below += found->below;
    for (size_t i = 0; i < found->count; i++) {
        const double value = found->kept[i];
        if (value < of->low) {
            of->below++;
        } else if (value <= of->high) {
            of->kept[of->count++] = value;
        }
    }
    if (of->count > of->most) {
        narrow(tally, of, true);
        of->most = GSL_MAX(of->most, (size_t)(GROWTH * (double)of->count));
    }
    return TRN_OK;
}

void tally_narrow(trn_tally *tally)
{
    for (size_t i = 0; i < tally->bracket_count; i++) {
        if (!tally->brackets[i].missed && tally->brackets[i].count > 0) {
            narrow(tally, &tally->brackets[i], false);
        }
    }
}

/* Sift values by brackets first to first + TALLY_TOGETHER - 1, as far as there are so many. */
static trn_status sift_some(trn_tally *tally, size_t first, const double *values, size_t count)
{
    double kept[TALLY_TOGETHER][TALLY_SIFTED];
    tally_found found[TALLY_TOGETHER];
    const size_t some = GSL_MIN(tally->bracket_count - first, (size_t)TALLY_TOGETHER);
    trn_status status = TRN_OK;
    for (size_t i = 0; i < TALLY_TOGETHER; i++) {
        found[i] = tally_finds_nothing();
        if (i < some) {
            const tally_bracket *of = &tally->brackets[first + i];
            found[i] = (tally_found){.low = of->low, .high = of->high, .kept = kept[i]};
        }
    }
    tally_sift(values, count, found);
    for (size_t i = 0; i < some && status == TRN_OK; i++) {
        status = tally_take(tally, first + i, &found[i]);
    }
    return status;
}

trn_status trn_tally_add(trn_tally *tally, const double *values, size_t count)
{
    trn_status status = TRN_OK;
    double sums[TALLY_POWERS];
    for (size_t from = 0; from < count && status == TRN_OK; from += TALLY_SIFTED) {
        const size_t some = GSL_MIN(count - from, (size_t)TALLY_SIFTED);
        tally_powers(values + from, some, tally->centre, tally->scale, sums);
        tally_add_sums(tally->sums, sums);
        tally->count += some;
        for (size_t i = 0; i < tally->bracket_count && status == TRN_OK; i += TALLY_TOGETHER) {
            status = sift_some(tally, i, values + from, some);
        }
    }
    return status;
}

/* Both brackets hold the quantile: so does what they have in common. Values equal to its ends may have been let go on
   either side; they are no further in than those that are kept. */
static trn_status join(tally_bracket *of, const tally_bracket *other)
{
    const double low = fmax(of->low, other->low);
    const double high = fmin(of->high, other->high);
    if (tally_make_room(of, other->count) != TRN_OK) {
        return TRN_NO_MEMORY;
    }
    of->missed = of->missed || other->missed || low > high;
    of->below += other->below;
    memcpy(of->kept + of->count, other->kept, other->count * sizeof *of->kept);
    const size_t all = of->count + other->count;
    of->count = 0;
    for (size_t i = 0; i < all; i++) {
        const double value = of->kept[i];
        of->below += value < low;
        if (value >= low && value <= high) {
            of->kept[of->count++] = value;
        }
    }
    of->low = low;
    of->high = high;
    return TRN_OK;
}

trn_status trn_tally_join(trn_tally *tally, const trn_tally *other)
{
    tally->count += other->count;
    for (size_t i = 0; i < TALLY_POWERS; i++) {
        tally->sums[i].high += other->sums[i].high;
        tally->sums[i].low += other->sums[i].low;
    }
    trn_status status = TRN_OK;
    for (size_t i = 0; i < tally->bracket_count && status == TRN_OK; i++) {
        if (other->brackets[i].count > 0 || other->count > 0) {
            status = join(&tally->brackets[i], &other->brackets[i]);
        }
    }
    return status;
}

trn_tally_moments trn_tally_moments_of(const trn_tally *tally)
{
    const double n = (double)tally->count;
    if (!(n > 0)) {
        return (trn_tally_moments){0};
    }
    const double first = sum_of(tally->sums[0]) / n;
    const double second = sum_of(tally->sums[1]) / n;
    const double fourth = sum_of(tally->sums[2]) / n;
    const double variance = fmax(second - first * first, 0);
    const double sd = n > 1 ? sqrt(variance * (n / (n - 1))) : 0;
    /* The centre lies near the mean: its fourth moment serves for that about the mean. */
    const double of_variance = sqrt(fmax(fourth - variance * variance, 0) / n);
    return (trn_tally_moments){.count = tally->count,
                               .mean = tally->centre + tally->scale * first,
                               .sd = tally->scale * sd,
                               .mean_se = tally->scale * sd / sqrt(n),
                               .sd_se = sd > 0 ? tally->scale * of_variance / (2 * sd) : 0};
}

trn_tally_quantile trn_tally_quantile_of(trn_tally *tally, size_t i)
{
    tally_bracket *of = &tally->brackets[i];
    const double below = (double)of->below;
    const double rank = (double)rank_of(of->probability, tally->count) - 1;
    const double sd = rank_sd(of->probability, tally->count);
    const double lower = fmax(floor(rank - sd), 0);
    const double upper = fmin(ceil(rank + sd), (double)tally->count - 1);
    if (of->missed || lower < below || upper >= below + (double)of->count) {
        return (trn_tally_quantile){.value = (double)NAN, .se = (double)NAN, .missed = true};
    }
    const size_t place = (size_t)(rank - below);
    const double value = select_kept(of, 0, of->count, place);
    const double low = lower < rank ? select_kept(of, 0, place, (size_t)(lower - below)) : value;
    const double high = upper > rank ? select_kept(of, place + 1, of->count, (size_t)(upper - below)) : value;
    return (trn_tally_quantile){.value = value, .se = (high - low) / 2};
}
