/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The library from C++17: a leaf from a YAML text, its balance, its curve, a
 * what-if. What the C interface hands out is freed by its owner's destructor;
 * what it refuses becomes an exception, and none leaves main.
 *
 *     c++ -std=c++17 use_from_cpp.cpp $(pkg-config --cflags --libs trunnion) -o use_from_cpp
 *
 * The leaf is invented; its friction is from memory, check the clause.
 */
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include <trunnion/trunnion.h>

namespace
{

constexpr double degrees_per_radian = 57.295779513082320877;

constexpr std::string_view text = R"(
leaf: Osier Reach, service leaf
opens_to: 72 degree
toe: 30 ft
units: us
parts:
  - {name: girders, weight_per_length: 300 lbf/ft, from: [-3 ft, 0 ft], to: [30 ft, 1 ft]}
  - {name: counterweight, weight: 27 kip, at: [-4.5 ft, 0.2 ft]}
surfaces:
  - {name: deck, from: [0 ft, 1.2 ft], to: [30 ft, 1.8 ft], width: 10 ft}
trunnion: {journal_diameter: 10 in, friction: {starting: 0.18, moving: 0.12}}
drive: {ratio: 420, efficiency: 0.86}
motors: {installed: 1, power: 5 hp, speed: 1740 rpm}
cases:
  - {name: calm}
  - {name: breeze, wind: {speed: 20 mph}}
)";

/* What the library has against a description or a question, in its words. */
struct leaf_error : std::runtime_error {
    using std::runtime_error::runtime_error;
};

void check(trn_status status, const trn_error &error)
{
    if (status != TRN_OK) {
        throw leaf_error(error.text);
    }
}

/* A leaf that was read from a text, and the memory behind it. */
class description
{
  public:
    explicit description(std::string_view yaml)
    {
        trn_description *read = nullptr;
        trn_faults faults{};
        const trn_status status = trn_description_read(yaml.data(), yaml.size(), &read, &faults);
        held.reset(read);
        if (status != TRN_OK) {
            throw leaf_error(status == TRN_BAD_DESCRIPTION ? words(faults) : trn_status_text(status));
        }
    }

    const trn_leaf &leaf() const noexcept
    {
        return *trn_description_leaf(held.get());
    }

    trn_balance balance() const noexcept
    {
        return trn_leaf_balance(&leaf());
    }

    void add(const std::string &addition)
    {
        trn_error error{};
        check(trn_description_add(held.get(), addition.c_str(), &error), error);
    }

    std::vector<trn_moments> curve(const trn_case &load_case, const std::vector<double> &angles_rad) const
    {
        std::vector<trn_moments> rows(angles_rad.size());
        trn_error error{};
        check(trn_leaf_curve(&leaf(), &load_case, angles_rad.data(), angles_rad.size(), rows.data(), &error), error);
        return rows;
    }

  private:
    struct freeing {
        void operator()(trn_description *read) const noexcept
        {
            trn_description_free(read);
        }
    };

    static std::string words(const trn_faults &faults)
    {
        std::string all;
        for (std::size_t i = 0; i < faults.count; i++) {
            const trn_fault &at = faults.at[i];
            all += (i > 0 ? "\n" : "") + std::to_string(at.line) + ':' + std::to_string(at.column) + ": " + at.text;
        }
        return all;
    }

    std::unique_ptr<trn_description, freeing> held;
};

void print_balance(const char *words, const trn_balance &balance)
{
    std::printf("%s: %.3f kN, closed moment %.3f kN m, toe reaction %.3f kN\n", words, balance.weight_N / 1e3,
                balance.closed_moment_Nm / 1e3, balance.toe_reaction_N / 1e3);
}

void print_curve(const trn_case &load_case, const std::vector<trn_moments> &rows)
{
    std::printf("\n%s\n  angle deg   opening kN m   closing kN m   motor opening N m\n", load_case.name);
    for (const trn_moments &row : rows) {
        std::printf("  %9.2f   %12.3f   %12.3f   %17.3f\n", row.angle_rad * degrees_per_radian, row.opening_Nm / 1e3,
                    row.closing_Nm / 1e3, row.motor_opening_Nm);
    }
}

void try_to_add(description &to, const std::string &addition)
{
    try {
        to.add(addition);
    } catch (const leaf_error &error) {
        std::printf("refused: '%s': %s\n", addition.c_str(), error.what());
    }
}

void try_to_read(const std::string &yaml)
{
    try {
        const description read(yaml);
        print_balance(read.leaf().name, read.balance());
    } catch (const leaf_error &error) {
        std::printf("refused: %s\n", error.what());
    }
}

void show()
{
    description read(text);
    const trn_leaf &leaf = read.leaf();
    std::vector<double> angles_rad;
    for (int step = 0; step <= 6; step++) {
        angles_rad.push_back(leaf.opens_to_rad * step / 6);
    }
    print_balance(leaf.name, read.balance());
    for (std::size_t i = 0; i < leaf.case_count; i++) {
        print_curve(leaf.cases[i], read.curve(leaf.cases[i], angles_rad));
    }
    read.add("rail: 12 lbf/ft from [0 ft, 3 ft] to [30 ft, 3 ft]");
    std::puts("");
    print_balance("with a rail of 12 lbf/ft", read.balance());
    try_to_add(read, "snow: 20 psf on the road");
    try_to_add(read, "snow: 20 lbf on deck");
    try_to_read("leaf: no toe\nopens_to: 70 degree\nparts: [{name: all of it, weight: 1 t}]\n");
    std::puts("\nCaution: computed from the description alone; a licensed engineer decides, local rules govern.");
}

} // namespace

int main(int argument_count, char **arguments)
{
    if (argument_count > 1) {
        std::fprintf(stderr, "%s takes no argument: the leaf stands in this program\n", arguments[0]);
        return EXIT_FAILURE;
    }
    try {
        show();
    } catch (const std::exception &error) {
        std::fprintf(stderr, "%s\n", error.what());
        return EXIT_FAILURE;
    }
    return EXIT_SUCCESS;
}
