/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each formula of the library on random leaves against its value in 200 bits;
 * the errors that lib/docs/accuracy.md allows hold. Without arguments, as a
 * test; with "print", what was met as well; of many leaves also bounds that are
 * idle.
 */
#include <cstdio>
#include <cstring>

#include "../unit/leaf_count.h"
#include "exact_loads.h"
#include "measures.h"

/* So many meet every line of the table, and so many come near its worst. */
static const uint64_t ENOUGH_LEAVES = 2000;
static const uint64_t MANY_LEAVES = 100000;

static int number = 0;
static int failed = 0;

static void claim(bool holds, const std::string &words)
{
    std::printf("%s %d - %s\n", holds ? "ok" : "not ok", ++number, words.c_str());
    failed += holds ? 0 : 1;
}

static void measure_leaf(bounds &on, uint64_t which)
{
    chance_leaf with(which);
    const double angle = between(&with.state, 0, with.leaf.opens_to_rad);
    measure_geometry(on, with);
    measure_bodies(on, with);
    measure_balance(on, with);
    measure_link(on, with);
    measure_motors(on, with);
    measure_journal(on, with);
    measure_drive(on, with, angle);
    measure_gust(on, with);
    measure_travel(on, with);
    measure_inputs(on, with);
    if (strikes_level(with.leaf, angle))
        return;
    measure_wind(on, with, angle);
    measure_moments(on, with, angle);
    measure_holding(on, with, angle);
    measure_limits(on, with, angle);
    if (which % 8 == 0) {
        measure_rating(on, with);
        measure_stop(on, with);
    }
}

int main(int count, char **arguments)
{
    const bool print = count > 1 && std::strcmp(arguments[1], "print") == 0;
    mpfr::mpreal::set_default_prec(EXACT_BITS);
    bounds on("lib/docs/accuracy.md");
    const uint64_t leaves = leaf_count(2000);
    for (uint64_t which = 0; which < leaves; which++)
        measure_leaf(on, which);
    for (const std::string &function : on.functions())
        claim(on.holds(function, leaves >= ENOUGH_LEAVES), function + " is as exact as the table says");
    claim(near_balance(leaves, print),
          "the moments of a leaf near its balance are right to the last place of their sum");
    if (print) {
        on.print();
    }
    if (leaves >= MANY_LEAVES) {
        claim(on.are_tight(), "no bound of the table is idle");
    }
    std::printf("1..%d\n", number);
    mpfr_free_cache();
    return failed > 0;
}
