/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is left of a leaf's moments when they nearly cancel: the sum in the
 * library, and one of doubles as they come, each against the sum in 200 bits
 * of the parts' own moments, in units in the last place of that sum.
 */
#include <algorithm>
#include <cstdio>
#include <vector>

#include "../unit/chance.h"
#include "bounds.h"
#include "exact_bodies.h"
#include "measures.h"

namespace
{

std::vector<trn_part> parts_in_balance(uint64_t *state, size_t count, double left)
{
    std::vector<trn_part> parts;
    double moment = 0;
    double sizes = 0;
    for (size_t i = 0; i + 1 < count; i++) {
        trn_part part = trn_default_part();
        part.weight_N = over_decades(state, 1e2, 1e6);
        part.at = {between(state, -10, 24), between(state, -3, 3)};
        moment += part.weight_N * part.at.x;
        sizes += part.weight_N * std::fabs(part.at.x);
        parts.push_back(part);
    }
    trn_part counterweight = trn_default_part();
    counterweight.at.x = moment > 0 ? -7 : 7;
    counterweight.weight_N = (moment - left * sizes) / -counterweight.at.x;
    parts.insert(parts.begin() + whole_between(state, 0, int(count) - 1), counterweight);
    return parts;
}

/* The errors of one sum. */
struct errors {
    double ours;
    double plain;
};

double off(double got, const exact &want)
{
    return error_in_places(got, want, magnitude(want));
}

/* Of the sum of doubles the worst of weight, moments and inertia, of the plain one that of A. */
errors errors_of(const std::vector<trn_part> &parts)
{
    trn_leaf leaf = trn_default_leaf();
    leaf.parts = parts.data();
    leaf.part_count = parts.size();
    exact_body want = {0, 0, 0, 0};
    double plain = 0;
    for (const trn_part &part : parts) {
        const trn_body one = trn_part_body(&part, {0, 0});
        want = want + exact_body{one.weight_N, one.a_Nm, one.b_Nm, one.inertia_kg_m2};
        plain += one.a_Nm;
    }
    const trn_body got = trn_leaf_body(&leaf);
    const double of_sums = std::max({off(got.weight_N, want.weight), off(got.a_Nm, want.a), off(got.b_Nm, want.b),
                                     off(got.inertia_kg_m2, want.inertia)});
    return {of_sums, off(plain, want.a)};
}

errors worst_of(uint64_t *state, size_t count, double left, uint64_t leaves)
{
    errors worst = {0, 0};
    for (uint64_t i = 0; i < leaves; i++) {
        const errors one = errors_of(parts_in_balance(state, count, left));
        worst = {std::max(worst.ours, one.ours), std::max(worst.plain, one.plain)};
    }
    return worst;
}

} // namespace

bool near_balance(uint64_t leaves, bool print)
{
    uint64_t state = 8;
    bool holds = true;
    bool gains = false;
    for (size_t count : {size_t(10), size_t(1000), size_t(100000)})
        for (double left : {1e-6, 1e-9, 1e-12}) {
            const errors worst = worst_of(&state, count, left, std::max<uint64_t>(leaves * 10 / count, 2));
            if (print || worst.ours > 1)
                std::printf("# %6zu parts, %g of their moments left: %.3g of the result, plain sum %.3g\n", count, left,
                            worst.ours, worst.plain);
            holds = holds && worst.ours <= 1;
            gains = gains || worst.plain > 1e6;
        }
    return holds && gains;
}
