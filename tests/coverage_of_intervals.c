/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Do the intervals of 95 per cent hold the truth in 95 of 100 balance tests?
 * For each way of testing 2000 records of one invented leaf, with noise; the
 * share of intervals that hold the truth has to lie within what chance allows
 * (binomial, 3.3 deviations: one in a thousand). Prints TAP.
 */
#include "unit/measuring.h"

enum { RECORDS = 2000, QUANTITIES = 7 };

static const char *const names[QUANTITIES] = {"A", "B", "W R", "angle", "toe reaction", "friction", "coefficient"};

/* A way of testing. */
typedef struct way {
    const char *words;
    making how;
    bool ordinary;
    bool strut;
    double outliers; /* share of readings that are wrong */
} way;

static const way ways[] = {
    {"leaf torque, least squares", {.kind = TRN_RECORD_LEAF_TORQUE, .noise = 0.02, .each_way = 30}, true, false, 0},
    {"leaf torque, robust", {.kind = TRN_RECORD_LEAF_TORQUE, .noise = 0.02, .each_way = 30}, false, false, 0},
    {"leaf torque, 12 readings, least squares",
     {.kind = TRN_RECORD_LEAF_TORQUE, .noise = 0.02, .each_way = 6},
     true,
     false,
     0},
    {"motor torque by a strut, robust",
     {.kind = TRN_RECORD_MOTOR_TORQUE, .noise = 0.01, .each_way = 40},
     false,
     true,
     0},
    {"shaft strain, two runs, wind, robust",
     {.kind = TRN_RECORD_SHAFT_STRAIN, .noise = 0.01, .each_way = 25, .runs = 2, .wind_m_s = 4},
     false,
     false,
     0},
    {"leaf torque, one reading in 20 wrong, robust",
     {.kind = TRN_RECORD_LEAF_TORQUE, .noise = 0.02, .each_way = 40},
     false,
     false,
     0.05},
};

static void spoil(bench *of, double share, uint64_t seed)
{
    uint64_t state = seed ^ 0xABCDEF;
    for (size_t i = 0; i < of->record.count; i++)
        if (even(&state) < share)
            of->readings[i].value += hypot(of->a_Nm, of->b_Nm);
}

static bool holds(trn_estimate estimate, double truth)
{
    return estimate.low95 <= truth && truth <= estimate.high95;
}

/* Add to the counts what the intervals of one record hold. */
static bool count_held(bench *of, const way *by, uint64_t seed, int held[QUANTITIES])
{
    making how = by->how;
    how.seed = seed;
    make_record(of, how);
    spoil(of, by->outliers, seed);
    const trn_measure_settings settings = {.ordinary = by->ordinary};
    trn_measurement m;
    trn_error error;
    if (trn_leaf_measure(&of->leaf, &of->record, &settings, NULL, &m, &error) != TRN_OK) {
        printf("# record %llu: %s\n", (unsigned long long)seed, error.text);
        return false;
    }
    const double arm = m.mean_reaction_N * of->trunnion.diameter_m / 2;
    const double truths[QUANTITIES] = {of->a_Nm,
                                       of->b_Nm,
                                       hypot(of->a_Nm, of->b_Nm),
                                       atan2(of->b_Nm, of->a_Nm),
                                       of->a_Nm / of->leaf.toe_m,
                                       of->friction_Nm,
                                       (of->friction_Nm - of->trunnion.drag_Nm) / arm};
    const trn_estimate estimates[QUANTITIES] = {m.a_Nm,           m.b_Nm,        m.moment_Nm,  m.angle_rad,
                                                m.toe_reaction_N, m.friction_Nm, m.coefficient};
    for (int i = 0; i < QUANTITIES; i++)
        held[i] += holds(estimates[i], truths[i]);
    return true;
}

int main(void)
{
    static bench of;
    const double chance = 3.3 * sqrt(0.95 * 0.05 / RECORDS);
    int failed = 0;
    int number = 0;
    for (size_t k = 0; k < sizeof ways / sizeof ways[0]; k++) {
        int held[QUANTITIES] = {0};
        bool fitted = true;
        make_leaf(&of, 0, ways[k].strut);
        for (uint64_t seed = 1; seed <= RECORDS; seed++)
            fitted = count_held(&of, &ways[k], 1000 * (uint64_t)(k + 1) + seed * 7919, held) && fitted;
        for (int i = 0; i < QUANTITIES; i++) {
            const double share = (double)held[i] / RECORDS;
            const bool good = fitted && fabs(share - 0.95) <= chance;
            failed += !good;
            printf("%sok %d - %s: the interval of %s holds the truth in %.2f %% of %d records\n", good ? "" : "not ",
                   ++number, ways[k].words, names[i], 100 * share, RECORDS);
        }
    }
    printf("1..%d\n", number);
    return failed > 0;
}
