/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "spread_vector.h"

#include <math.h>
#include <string.h>

#include "vector.h"

WIDE void vector_fill(double *restrict into, size_t n, double value)
{
    for (size_t i = 0; i < n; i++) {
        into[i] = value;
    }
}

WIDE void vector_multiply(double *restrict into, const double *restrict by, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        into[i] *= by[i];
    }
}

WIDE void vector_add_scaled(double *restrict into, const double *restrict values, double by, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        into[i] += by * values[i];
    }
}

WIDE void vector_add_product(double *restrict into, const double *restrict a, const double *restrict b, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        into[i] += a[i] * b[i];
    }
}

WIDE void vector_scale(double *restrict into, const double *restrict values, double by, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        into[i] = by * values[i];
    }
}

WIDE void vector_inverse(double *restrict into, const double *restrict values, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        into[i] = 1 / values[i];
    }
}

WIDE void vector_add_source(const spread_source *source, const double *restrict weight, const body_sums *sums, size_t n)
{
    double *restrict a = sums->a;
    double *restrict b = sums->b;
    double *restrict w = sums->w;
    double *restrict j = sums->j;
    const double one = source->weight_N;
    const double x = one * source->at.x;
    const double y = one * source->at.y;
    const double mass = one / TRN_STANDARD_GRAVITY;
    const double inertia =
        source->own_inertia_kg_m2 + mass * (source->at.x * source->at.x + source->at.y * source->at.y);
    for (size_t i = 0; i < n; i++) {
        const double factor = weight[i];
        w[i] += one * factor;
        a[i] += x * factor;
        b[i] += y * factor;
        j[i] += inertia * factor;
    }
}

WIDE void vector_add_moved(const spread_source *source, const source_values *values, const body_sums *sums, size_t n)
{
    const double mass = source->weight_N / TRN_STANDARD_GRAVITY;
    for (size_t i = 0; i < n; i++) {
        const double factor = values->weight != NULL ? values->weight[i] : 1;
        const double x = values->x != NULL ? source->at.x + values->x[i] : source->at.x;
        const double y = values->y != NULL ? source->at.y + values->y[i] : source->at.y;
        const double weight = source->weight_N * factor;
        sums->w[i] += weight;
        sums->a[i] += weight * x;
        sums->b[i] += weight * y;
        sums->j[i] += factor * (source->own_inertia_kg_m2 + mass * (x * x + y * y));
    }
}

WIDE void vector_still(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n,
                       double *restrict demands)
{
    const double *restrict a = columns->a + from;
    const double *restrict b = columns->b + from;
    const double *restrict rest = columns->rest + from;
    const double along_a = basis->along_a;
    const double along_b = basis->along_b;
    for (size_t i = 0; i < n; i++) {
        demands[i] = along_a * a[i] + along_b * b[i] + rest[i];
    }
}

/* The wind of all groups on each of n samples, at most BLOCK. */
typedef struct gust {
    double moment[BLOCK];
    double x[BLOCK];
    double y[BLOCK];
} gust;

WIDE static void blow(const spread_basis *basis, const spread_columns *columns, size_t groups, size_t from, size_t n,
                      gust *restrict total)
{
    if (groups == 0) {
        memset(total, 0, sizeof *total);
        return;
    }
    /* What is added to nothing stands alone in the first loop, which spares a pass over all three. */
    const trn_wind_action first = basis->winds[0];
    const double *restrict first_factor = columns->winds[0] + from;
    for (size_t i = 0; i < n; i++) {
        total->moment[i] = first.moment_Nm * first_factor[i];
        total->x[i] = first.force.x * first_factor[i];
        total->y[i] = first.force.y * first_factor[i];
    }
    for (size_t g = 1; g < groups; g++) {
        const trn_wind_action one = basis->winds[g];
        const double *restrict factor = columns->winds[g] + from;
        for (size_t i = 0; i < n; i++) {
            total->moment[i] += one.moment_Nm * factor[i];
            total->x[i] += one.force.x * factor[i];
            total->y[i] += one.force.y * factor[i];
        }
    }
}

WIDE static void windy_block(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n,
                             const gust *restrict wind, double *restrict demands)
{
    const double *restrict a = columns->a + from;
    const double *restrict b = columns->b + from;
    const double *restrict w = columns->w + from;
    const double *restrict rest = columns->rest + from;
    const double *restrict arm = columns->arm + from;
    const double along_a = basis->along_a;
    const double along_b = basis->along_b;
    const double sign = basis->sign;
    for (size_t i = 0; i < n; i++) {
        const double down = wind->y[i] - w[i];
        const double reaction = sqrt(wind->x[i] * wind->x[i] + down * down);
        demands[i] = along_a * a[i] + along_b * b[i] + sign * wind->moment[i] + rest[i] + arm[i] * reaction;
    }
}

void vector_windy(const spread_basis *basis, const spread_columns *columns, size_t groups, size_t from, size_t n,
                  double *demands)
{
    gust wind;
    for (size_t i = 0; i < n; i += BLOCK) {
        const size_t some = n - i < BLOCK ? n - i : BLOCK;
        blow(basis, columns, groups, from + i, some, &wind);
        windy_block(basis, columns, from + i, some, &wind, demands + i);
    }
}

/* As trn_journal_reaction, without its branches. */
static inline double reaction_of(double others_x, double others_y, double moment, trn_point v, double arm)
{
    const double x = others_x + moment * v.x;
    const double y = others_y + moment * v.y;
    const double a = 1 - arm * arm * (v.x * v.x + v.y * v.y);
    const double b = arm * (x * v.x + y * v.y);
    const double square = x * x + y * y;
    const double root = sqrt(b * b + a * square);
    const double above = b >= 0 ? b + root : square;
    const double under = b >= 0 ? a : root - b;
    return above / under;
}

/* The pull of the link on each sample: its force on the leaf, and the friction of the counterweight's trunnion at the
 * leaf. */
typedef struct link_pull {
    double balance[BLOCK]; /* share in the balance of the leaf */
    double x[BLOCK];
    double y[BLOCK];
    double friction[BLOCK];
} link_pull;

WIDE static void pull_block(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n,
                            link_pull *restrict pull)
{
    const double *restrict c_a = columns->c_a + from;
    const double *restrict c_b = columns->c_b + from;
    const double *restrict c_w = columns->c_w + from;
    const double *restrict c_inertia = columns->c_inertia + from;
    const double *restrict c_arm = columns->c_arm + from;
    const trn_rotation rotation = basis->link_rotation;
    const trn_point v = basis->link_per_moment;
    const double turns = fabs(basis->link_turning) > 0 ? 1 : 0;
    for (size_t i = 0; i < n; i++) {
        const double own = c_a[i] * rotation.cosine - c_b[i] * rotation.sine;
        const double arm = turns * c_arm[i];
        const double moment = basis->link_sense * (own + basis->link_turning * c_inertia[i]);
        const double reaction = reaction_of(0, -c_w[i], moment, v, arm);
        const double whole = moment + arm * reaction;
        pull->balance[i] = own * basis->link_rate;
        pull->x[i] = -whole * v.x;
        pull->y[i] = -whole * v.y;
        pull->friction[i] =
            arm * reaction * fabs(basis->link_rate) + c_inertia[i] * basis->link_rate * basis->link_rate;
    }
}

WIDE static void jointed_block(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n,
                               const gust *restrict wind, const link_pull *restrict pull, double *restrict demands)
{
    const double *restrict a = columns->a + from;
    const double *restrict b = columns->b + from;
    const double *restrict w = columns->w + from;
    const double *restrict rest = columns->rest + from;
    const double *restrict arms = columns->arm + from;
    const double along_a = basis->along_a;
    const double along_b = basis->along_b;
    const double sign = basis->sign;
    const trn_point driving = basis->drive_per_moment[0];
    const trn_point overhauling = basis->drive_per_moment[1];
    for (size_t i = 0; i < n; i++) {
        const double loads = along_a * a[i] + along_b * b[i] + sign * (pull->balance[i] + wind->moment[i]);
        const double moment = loads + pull->friction[i] + rest[i];
        const double x = wind->x[i] + pull->x[i];
        const double y = wind->y[i] + pull->y[i] - w[i];
        const double first = reaction_of(x, y, moment, driving, arms[i]);
        const double second = reaction_of(x, y, moment, overhauling, arms[i]);
        const double reaction = moment + arms[i] * first < 0 ? second : first;
        demands[i] = moment + arms[i] * reaction;
    }
}

void vector_jointed(const spread_basis *basis, const spread_columns *columns, size_t groups, size_t from, size_t n,
                    double *demands)
{
    gust wind;
    link_pull pull;
    memset(&pull, 0, sizeof pull);
    for (size_t i = 0; i < n; i += BLOCK) {
        const size_t some = n - i < BLOCK ? n - i : BLOCK;
        blow(basis, columns, groups, from + i, some, &wind);
        if (columns->c_a != NULL) {
            pull_block(basis, columns, from + i, some, &pull);
        }
        jointed_block(basis, columns, from + i, some, &wind, &pull, demands + i);
    }
}

WIDE void vector_uses(const spread_basis *basis, const spread_columns *columns, size_t from, size_t n,
                      const double *restrict demands, double *restrict uses)
{
    const double *restrict efficiency = columns->efficiency + from;
    const double *restrict per_efficiency = columns->per_efficiency + from;
    const double driving = basis->use_driving;
    const double overhauling = basis->use_overhauling;
    const double rotors = basis->use_rotors;
    for (size_t i = 0; i < n; i++) {
        const double up = demands[i] * driving * per_efficiency[i];
        const double down = demands[i] * overhauling * efficiency[i];
        uses[i] = fabs((demands[i] >= 0 ? up : down) + rotors);
    }
}

WIDE void vector_raise(double *restrict peaks, const double *restrict values, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        peaks[i] = values[i] > peaks[i] ? values[i] : peaks[i];
    }
}

WIDE void vector_held(const double *restrict net, const double *restrict opening, const double *restrict closing,
                      double credit, size_t n, double *restrict peaks)
{
    for (size_t i = 0; i < n; i++) {
        const double friction = net[i] > 0 ? closing[i] + net[i] : opening[i] - net[i];
        const double held = fabs(net[i]) - credit * friction;
        peaks[i] = held > peaks[i] ? held : peaks[i];
    }
}
