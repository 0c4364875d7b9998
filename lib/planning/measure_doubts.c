/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What speaks against trusting a fit, in words. */
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "measure_parts.h"

static const double degree = 3.14159265358979323846 / 180;
static const double significant = 0.01;

/* Very many readings make any trifle significant: below these nobody would act on it. */
static const double least_friction_change = 0.01; /* over the window, share of the friction */
static const double least_loss = 0.005;           /* share of the efficiency */

/* Below this share of the torques a residual is rounding: a record without noise. */
static const double rounding = 1e-9;

#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
static void
doubt(trn_measurement *of, trn_measure_doubt about, const char *format, ...);

static void doubt(trn_measurement *of, trn_measure_doubt about, const char *format, ...)
{
    trn_measure_warning *warning = &of->warnings[of->warning_count++];
    va_list arguments;
    va_start(arguments, format);
    warning->about = about;
    (void)vsnprintf(warning->text, sizeof warning->text, format, arguments);
    va_end(arguments);
}

static const char *direction_word(trn_direction direction)
{
    return direction == TRN_OPENING ? "opening" : "closing";
}

/* What the used readings of a direction cover. */
typedef struct cover {
    size_t count;
    double low_rad;
    double high_rad;
} cover;

static cover cover_of(const msr_work *work, trn_direction direction)
{
    cover found = {.low_rad = HUGE_VAL, .high_rad = -HUGE_VAL};
    for (size_t i = 0; i < work->count; i++) {
        const trn_measured_reading *reading = msr_reading(work, &work->rows[i]);
        if (reading->direction == direction && reading->use == TRN_READING_USED) {
            found.count++;
            found.low_rad = fmin(found.low_rad, reading->angle_rad);
            found.high_rad = fmax(found.high_rad, reading->angle_rad);
        }
    }
    return found;
}

static void doubt_coverage(const msr_work *work, trn_measurement *of)
{
    const cover opening = cover_of(work, TRN_OPENING);
    const cover closing = cover_of(work, TRN_CLOSING);
    if (of->used < 10 || opening.count < 3 || closing.count < 3) {
        doubt(of, TRN_DOUBT_FEW_READINGS,
              "few readings: %zu opening and %zu closing carry the fit, at least 10 and 3 in each direction are wanted",
              opening.count, closing.count);
    }
    if (opening.count == 0 || closing.count == 0) {
        return;
    }
    const double apart = fmax(fabs(opening.low_rad - closing.low_rad), fabs(opening.high_rad - closing.high_rad));
    const double whole = fmax(opening.high_rad, closing.high_rad) - fmin(opening.low_rad, closing.low_rad);
    if (apart > 2 * degree || apart > 0.1 * whole) {
        doubt(of, TRN_DOUBT_WINDOWS,
              "the directions cover different angles: opening %.4g to %.4g degree, closing %.4g to %.4g degree; what "
              "differs between them may be taken for friction or balance",
              opening.low_rad / degree, opening.high_rad / degree, closing.low_rad / degree, closing.high_rad / degree);
    }
}

static void doubt_rejected(const msr_work *work, trn_measurement *of)
{
    char lines[120] = "";
    size_t length = 0;
    size_t named = 0;
    for (size_t i = 0; i < work->count && named < 8; i++) {
        if (msr_reading(work, &work->rows[i])->use == TRN_READING_REJECTED) {
            length += (size_t)snprintf(lines + length, sizeof lines - length, "%s%d", named > 0 ? ", " : "",
                                       msr_reading(work, &work->rows[i])->line);
            named++;
        }
    }
    if (of->rejected > 0) {
        doubt(of, TRN_DOUBT_REJECTED,
              "%zu reading%s so far off that the robust fit gives no weight to %s: line%s %s%s of the record",
              of->rejected, of->rejected == 1 ? " lies" : "s lie", of->rejected == 1 ? "it" : "them",
              of->rejected == 1 ? "" : "s", lines, of->rejected > named ? " and more" : "");
    }
}

static trn_status doubt_pattern(const msr_work *work, trn_measurement *of, trn_error *error)
{
    msr_pattern found;
    const trn_status status = msr_find_pattern(work, &found, error);
    if (status == TRN_OK && found.probability < significant) {
        doubt(of, TRN_DOUBT_PATTERN,
              "the residuals have a pattern in %zu of %zu directions of runs (most in run %d, %s: chance would do that "
              "with probability %.2g): the model does not tell all",
              found.patterned, found.groups, found.at->run, direction_word(found.at->direction), found.probability);
    }
    return status;
}

/* A further term beside A, B and F. */
typedef struct term {
    double (*of)(const msr_work *work, const msr_row *row);
    double coefficient;
    double probability; /* that chance gives one as large; 1 where it cannot be told from the others */
} term;

static double growing_friction(const msr_work *work, const msr_row *row)
{
    return row->sense * (msr_reading(work, row)->angle_rad - work->mean_angle_rad);
}

/* With an efficiency off by a factor 1 + e, driving torques come out e too large and overhauling ones e too small. */
static double wrong_loss(const msr_work *work, const msr_row *row)
{
    return row->sense * fabs(msr_reading(work, row)->fitted_Nm);
}

/* Fit what is left with further terms beside A, B and F; t test of each. */
static trn_status test_terms(const msr_work *work, term *const *terms, size_t count, trn_error *error)
{
    const size_t columns = MSR_COEFFICIENTS + count;
    size_t used = 0;
    for (size_t i = 0; i < work->count; i++) {
        const msr_row *row = &work->rows[i];
        double *line = &work->design[columns * i];
        line[0] = row->cosine;
        line[1] = -row->sine;
        line[2] = row->sense * row->share;
        for (size_t k = 0; k < count; k++) {
            line[MSR_COEFFICIENTS + k] = terms[k]->of(work, row);
        }
        work->values[i] = msr_reading(work, row)->residual_Nm;
        used += work->weights[i] > 0;
    }
    const trn_fit_problem problem = {.design = work->design,
                                     .values = work->values,
                                     .value_count = work->count,
                                     .coefficient_count = columns,
                                     .weights = work->weights};
    trn_fit fit;
    const trn_status status = used > columns ? trn_fit_linear(&problem, &fit, NULL, error) : TRN_OUT_OF_DOMAIN;
    for (size_t k = 0; k < count; k++) {
        const size_t at = MSR_COEFFICIENTS + k;
        const bool told = status == TRN_OK && fit.covariance[at][at] > 0;
        const double t = told ? fabs(fit.coefficients[at]) / sqrt(fit.covariance[at][at]) : 0;
        terms[k]->coefficient = told ? fit.coefficients[at] : 0;
        terms[k]->probability = told ? 2 * gsl_cdf_tdist_Q(t, (double)(used - columns)) : 1;
    }
    return status == TRN_OUT_OF_DOMAIN ? TRN_OK : status;
}

/* Change of the friction over the window, share of its mean. */
static double friction_change(const msr_work *work, const trn_measurement *of, const term *found)
{
    return found->coefficient * (work->to_rad - work->from_rad) / fabs(of->friction_Nm.value);
}

static void doubt_friction(const msr_work *work, trn_measurement *of, const term *found)
{
    const double change = friction_change(work, of, found);
    if (found->probability < significant && fabs(change) >= least_friction_change) {
        doubt(of, TRN_DOUBT_FRICTION_VARIES,
              "the friction differs along the angle: it changes by %+.3g %% of its mean from %.4g to %.4g degree "
              "(probability by chance %.2g)",
              100 * change, work->from_rad / degree, work->to_rad / degree, found->probability);
    }
}

static double efficiency_of(const msr_work *work)
{
    const bool motors = work->record->kind == TRN_RECORD_MOTOR_TORQUE || work->record->kind == TRN_RECORD_MOTOR_POWER;
    return motors ? work->leaf->drive->efficiency : work->leaf->gauged_shaft->efficiency;
}

static void doubt_loss(const msr_work *work, trn_measurement *of, const term *found)
{
    if (found->probability < significant && fabs(found->coefficient) >= least_loss) {
        const double efficiency = efficiency_of(work);
        doubt(of, TRN_DOUBT_GEAR_LOSS,
              "driving and overhauling readings disagree as a wrong gear loss makes them: an efficiency near %.3g in "
              "place of %.3g would bring them together (probability by chance %.2g)",
              efficiency / (1 + found->coefficient), efficiency, found->probability);
    }
}

static trn_status doubt_terms(const msr_work *work, trn_measurement *of, trn_error *error)
{
    term friction = {.of = growing_friction, .probability = 1};
    term loss = {.of = wrong_loss, .probability = 1};
    term *const one[] = {&friction};
    term *const other[] = {&loss};
    trn_status status = test_terms(work, one, 1, error);
    if (status == TRN_OK && work->record->kind != TRN_RECORD_LEAF_TORQUE) {
        status = test_terms(work, other, 1, error);
    }
    const bool friction_first = friction.probability <= loss.probability;
    if (status == TRN_OK && friction.probability < significant && loss.probability < significant) {
        /* Each may stand for the other: the weaker one counts where it says more beside the stronger. */
        term beside_friction = friction;
        term beside_loss = loss;
        term *const both[] = {&beside_friction, &beside_loss};
        status = test_terms(work, both, 2, error);
        if (friction_first) {
            loss.probability = beside_loss.probability;
        } else {
            friction.probability = beside_friction.probability;
        }
    }
    if (status != TRN_OK) {
        return status;
    }
    if (friction_first) {
        doubt_friction(work, of, &friction);
        doubt_loss(work, of, &loss);
    } else {
        doubt_loss(work, of, &loss);
        doubt_friction(work, of, &friction);
    }
    return TRN_OK;
}

/* Tests of one bridge differ, but hardly by as much. */
static const double friction_ratio = 2.5;
static const double toe_share = 0.01; /* of the leaf's weight: a new deck changes the balance by less */

static void doubt_leaf(const msr_work *work, trn_measurement *of)
{
    const double weight_N = work->described.weight_N;
    const double share = fabs(of->difference.toe_weight_N) / weight_N;
    const double described = of->has_coefficient ? work->leaf->trunnion->friction.moving : 0;
    const bool other_friction = described > 0 && (of->coefficient.low95 > friction_ratio * described ||
                                                  of->coefficient.high95 < described / friction_ratio);
    char friction[80] = "";
    char moment[120] = "";
    if (other_friction) {
        (void)snprintf(friction, sizeof friction, "the friction coefficient comes out at %.3g, described is %.3g",
                       of->coefficient.value, described);
    }
    if (share > toe_share) {
        (void)snprintf(moment, sizeof moment,
                       "%sthe closed moment differs by what %.3g %% of the leaf's weight makes at the toe",
                       other_friction ? "; " : "", share * 100);
    }
    if (other_friction || share > toe_share) {
        doubt(of, TRN_DOUBT_OTHER_LEAF, "is this the record of this leaf, and is it described as it was then? %s%s",
              friction, moment);
    }
}

/* Root of the mean square of the torques that are fitted. */
static double size_of(const msr_work *work)
{
    double squares = 0;
    for (size_t i = 0; i < work->count; i++) {
        squares += msr_reading(work, &work->rows[i])->torque_Nm * msr_reading(work, &work->rows[i])->torque_Nm;
    }
    return sqrt(squares / (double)work->count);
}

trn_status msr_find_doubts(const msr_work *work, trn_measurement *measurement, trn_error *error)
{
    trn_status status = TRN_OK;
    doubt_leaf(work, measurement);
    doubt_coverage(work, measurement);
    doubt_rejected(work, measurement);
    if (measurement->residual_sd_Nm > rounding * size_of(work)) {
        status = doubt_pattern(work, measurement, error);
        if (status == TRN_OK) {
            status = doubt_terms(work, measurement, error);
        }
    }
    if (measurement->residual_sd_Nm > 0.05 * measurement->moment_Nm.value) {
        doubt(measurement, TRN_DOUBT_SCATTER,
              "the readings scatter by %.3g %% of the moment W R: over 5 %% says little of the balance",
              100 * measurement->residual_sd_Nm / measurement->moment_Nm.value);
    }
    if (measurement->friction_Nm.high95 < 0) {
        doubt(measurement, TRN_DOUBT_NEGATIVE_FRICTION,
              "the friction comes out negative: one direction seems to have its sign turned, positive opens in both");
    }
    return status;
}
