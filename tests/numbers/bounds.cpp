/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bounds.h"

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <limits>
#include <sstream>
#include <vector>

namespace
{

std::string trimmed(const std::string &text)
{
    const std::size_t first = text.find_first_not_of(" `");
    return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" `") - first + 1);
}

std::vector<std::string> cells_of(const std::string &line)
{
    std::vector<std::string> cells;
    std::istringstream in(line);
    std::string cell;
    while (std::getline(in, cell, '|'))
        cells.push_back(trimmed(cell));
    return cells;
}

std::string key_of(const std::string &function, const std::string &quantity)
{
    return function + ": " + quantity;
}

double last_place(double of)
{
    return std::ldexp(1.0, std::ilogb(of) - 52);
}

} // namespace

/* Of a result of 0, or of no terms at all, nothing but the result itself will do. */
double error_in_places(double got, const exact &want, double unit)
{
    if (!std::isfinite(got))
        return std::numeric_limits<double>::infinity();
    const double off = mpfr::abs(want.value - got).toDouble();
    if (!(off > 0))
        return 0;
    return unit > 0 ? off / last_place(unit) : std::numeric_limits<double>::infinity();
}

bounds::bounds(const char *path)
{
    std::ifstream in(path);
    std::string line;
    while (std::getline(in, line)) {
        const std::vector<std::string> cells = cells_of(line);
        if (cells.size() == 5 && (cells[3] == "result" || cells[3] == "size"))
            table[key_of(cells[1], cells[2])] = {cells[3] == "size", std::stod(cells[4])};
    }
}

void bounds::check(const char *function, const char *quantity, double got, const exact &want)
{
    const auto found = table.find(key_of(function, quantity));
    if (found == table.end()) {
        unknown = key_of(function, quantity);
        return;
    }
    bound &line = found->second;
    line.met = std::max(line.met, error_in_places(got, want, line.of_size ? want.size : magnitude(want)));
    line.checks++;
}

void bounds::agree(const char *function, const char *quantity, bool right)
{
    check(function, quantity, right ? 0 : HUGE_VAL, 0);
}

std::set<std::string> bounds::functions() const
{
    std::set<std::string> names;
    for (const auto &line : table)
        names.insert(line.first.substr(0, line.first.find(':')));
    return names;
}

bool bounds::holds(const std::string &function, bool all_are_met) const
{
    bool all = unknown.empty();
    bool any = false;
    if (!all)
        std::printf("# no line for %s\n", unknown.c_str());
    for (const auto &line : table) {
        if (line.first.compare(0, function.size() + 1, function + ":") != 0)
            continue;
        any = true;
        if (!(line.second.met <= line.second.allowed) || (all_are_met && line.second.checks == 0)) {
            std::printf("# %s: met %.4g in %lu checks, allowed %g\n", line.first.c_str(), line.second.met,
                        line.second.checks, line.second.allowed);
            all = false;
        }
    }
    return all && any;
}

bool bounds::are_tight() const
{
    bool all = true;
    for (const auto &line : table)
        if (line.second.allowed > 2 * line.second.met + 1) {
            std::printf("# idle: %s: met %.4g, allowed %g\n", line.first.c_str(), line.second.met, line.second.allowed);
            all = false;
        }
    return all;
}

void bounds::print() const
{
    for (const auto &line : table)
        std::printf("# %-60s %10.4g of %-6s in %lu\n", line.first.c_str(), line.second.met,
                    line.second.of_size ? "size" : "result", line.second.checks);
}
