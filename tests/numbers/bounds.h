/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file bounds.h
 * The table of lib/docs/accuracy.md, and the largest error met for each of its lines.
 */
#ifndef TRN_TEST_BOUNDS_H
#define TRN_TEST_BOUNDS_H

#include <map>
#include <set>
#include <string>

#include "exact.h"

/* How far a number is from what it should be, in units in the last place of another. */
double error_in_places(double got, const exact &want, double unit);

struct bound {
    bool of_size;   /* the unit is the last place of the size, else of the result */
    double allowed; /* units in the last place */
    double met = 0;
    unsigned long checks = 0;
};

class bounds
{
  public:
    /* Lines "| function | quantity | result or size | bound |"; all others are text for people. */
    explicit bounds(const char *path);
    void check(const char *function, const char *quantity, double got, const exact &want);
    /* A line that has no error but right or wrong. */
    void agree(const char *function, const char *quantity, bool right);
    /* Prints each line of a function whose bound is passed, or that no leaf met though all should be; true where there
       is none. */
    bool holds(const std::string &function, bool all_are_met) const;
    /* Prints lines that allow far more than was met; true where there is none. */
    bool are_tight() const;
    std::set<std::string> functions() const;
    void print() const;

  private:
    std::map<std::string, bound> table;
    std::string unknown; /* what was checked and has no line */
};

#endif
