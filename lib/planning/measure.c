/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/measure.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#include "measure_parts.h"

static const double degree = 3.14159265358979323846 / 180;

/* An angle in degrees and a switch in degrees become radians on different ways: a hair beside an end is within. */
static const double end_slack_rad = 1e-9;

trn_measure_settings trn_default_measure_settings(void)
{
    return (trn_measure_settings){.ordinary = false};
}

static trn_status out_of_memory(trn_error *error)
{
    return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
}

static trn_status find_window(msr_work *work, trn_error *error)
{
    const trn_measure_settings *settings = work->settings;
    const trn_travel *travel = work->leaf->travel;
    if (!travel && !(settings->from_given && settings->to_given)) {
        return trn_error_set(error, TRN_MISSING_SECTION,
                             "the window of steady speed: the description needs the section 'travel', or both its ends "
                             "have to be given");
    }
    work->from_rad = settings->from_given ? settings->from_rad : travel->near_closed_rad;
    work->to_rad = settings->to_given ? settings->to_rad : travel->near_open_rad;
    const double opens_to = work->leaf->opens_to_rad;
    if (!(work->from_rad >= 0 && work->from_rad < work->to_rad && work->to_rad <= opens_to + end_slack_rad)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "the window from %.6g to %.6g degree is none: expected ends that ascend from 0 to %.6g "
                             "degree",
                             work->from_rad / degree, work->to_rad / degree, opens_to / degree);
    }
    return TRN_OK;
}

/* The leaf as described: what the readings are held against. */
static trn_status describe(msr_work *work, const trn_case *calm, trn_error *error)
{
    const trn_leaf *leaf = work->leaf;
    trn_status status = msr_check_sections(leaf, work->record, work->settings->friction_by_reaction, error);
    if (status == TRN_OK) {
        status = find_window(work, error);
    }
    if (status == TRN_OK) {
        status = trn_leaf_check_motion(leaf, error);
    }
    if (status == TRN_OK) {
        status = trn_loading_prepare(leaf, calm, &work->calm, error);
    }
    if (status != TRN_OK) {
        return status;
    }
    work->described = trn_leaf_balance(leaf);
    work->wind = leaf->wind_limits ? leaf->wind_limits->wind : trn_default_wind();
    work->wind.by_speed = true;
    work->drag_Nm = work->settings->friction_by_reaction ? leaf->trunnion->drag_Nm : 0;
    return TRN_OK;
}

/* What a linked counterweight adds to A cos - B sin: zero for one rigid body. */
static double beyond_rigid(const msr_work *work, const msr_row *row, double angle_rad)
{
    if (!work->leaf->linked_counterweight) {
        return 0;
    }
    const trn_balance *described = &work->described;
    return trn_loading_balance(&work->calm, angle_rad) -
           described->moment_Nm * (cos(described->angle_rad) * row->cosine - sin(described->angle_rad) * row->sine);
}

static trn_status add_row(msr_work *work, trn_measured_reading *reading, trn_error *error)
{
    if (!isfinite(reading->torque_Nm)) {
        return trn_error_set(
            error, TRN_OUT_OF_DOMAIN,
            "line %d of the record: the leaf does not move in its direction there, so that power gives "
            "no torque",
            reading->line);
    }
    const trn_rotation rotation = trn_rotation_by(reading->angle_rad);
    msr_row row = {.index = (size_t)(reading - work->readings),
                   .cosine = rotation.cosine,
                   .sine = rotation.sine,
                   .sense = msr_sense(reading->direction),
                   .share = 1};
    if (work->leaf->trunnion) {
        const trn_moments moments = trn_loading_moments(&work->calm, reading->angle_rad);
        row.reaction_N = reading->direction == TRN_OPENING ? moments.reaction_opening_N : moments.reaction_closing_N;
    }
    row.known_Nm = reading->wind_Nm + beyond_rigid(work, &row, reading->angle_rad) + row.sense * work->drag_Nm;
    work->rows[work->count++] = row;
    return TRN_OK;
}

/* Every reading is brought to the leaf; those within the window make a row. */
static trn_status bring_readings(msr_work *work, trn_error *error)
{
    const trn_record *record = work->record;
    for (size_t i = 0; i < record->count; i++) {
        const trn_reading *from = &record->readings[i];
        trn_measured_reading *to = &work->readings[i];
        const bool within =
            from->angle_rad >= work->from_rad - end_slack_rad && from->angle_rad <= work->to_rad + end_slack_rad;
        *to = (trn_measured_reading){.angle_rad = from->angle_rad,
                                     .torque_Nm = msr_torque_at_leaf(work, i),
                                     .wind_Nm = msr_wind_moment(work, from),
                                     .use = within ? TRN_READING_USED : TRN_READING_OUTSIDE,
                                     .direction = from->direction,
                                     .run = from->run,
                                     .line = from->line};
        const trn_status status = within ? add_row(work, to, error) : TRN_OK;
        if (status != TRN_OK) {
            return status;
        }
    }
    return TRN_OK;
}

static void find_means(msr_work *work)
{
    double angles = 0;
    double reactions = 0;
    for (size_t i = 0; i < work->count; i++) {
        angles += msr_reading(work, &work->rows[i])->angle_rad;
        reactions += work->rows[i].reaction_N;
    }
    work->mean_angle_rad = angles / (double)work->count;
    work->mean_reaction_N = reactions / (double)work->count;
    for (size_t i = 0; i < work->count && work->settings->friction_by_reaction; i++) {
        work->rows[i].share = work->rows[i].reaction_N / work->mean_reaction_N;
    }
}

static trn_status check_count(const msr_work *work, trn_error *error)
{
    size_t opening = 0;
    for (size_t i = 0; i < work->count; i++) {
        opening += work->rows[i].sense > 0;
    }
    const double from = work->from_rad / degree;
    const double to = work->to_rad / degree;
    if (work->count <= MSR_COEFFICIENTS) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "%zu reading%s from %.6g to %.6g degree: expected at least %d, to part balance from "
                             "friction with an uncertainty",
                             work->count, work->count == 1 ? "" : "s", from, to, MSR_COEFFICIENTS + 1);
    }
    if (opening == 0 || opening == work->count) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "from %.6g to %.6g degree there are readings of %s alone: one direction cannot part "
                             "balance from friction, expected both",
                             from, to, opening == 0 ? "closing" : "opening");
    }
    return TRN_OK;
}

static trn_status fit_rows(msr_work *work, trn_fit *fit, trn_error *error)
{
    for (size_t i = 0; i < work->count; i++) {
        const msr_row *row = &work->rows[i];
        double *line = &work->design[MSR_COEFFICIENTS * i];
        line[0] = row->cosine;
        line[1] = -row->sine;
        line[2] = row->sense * row->share;
        work->values[i] = msr_reading(work, row)->torque_Nm - row->known_Nm;
    }
    const trn_fit_problem problem = {.design = work->design,
                                     .values = work->values,
                                     .value_count = work->count,
                                     .coefficient_count = MSR_COEFFICIENTS,
                                     .robust = !work->settings->ordinary};
    trn_error reason;
    const trn_status status = trn_fit_linear(&problem, fit, work->weights, &reason);
    if (status == TRN_OK) {
        return status;
    }
    return trn_error_set(error, status, "the %zu readings from %.6g to %.6g degree do not part A, B and friction: %s",
                         work->count, work->from_rad / degree, work->to_rad / degree, reason.text);
}

static void judge_readings(const msr_work *work, const trn_fit *fit, trn_measurement *into)
{
    const double *c = fit->coefficients;
    for (size_t i = 0; i < work->count; i++) {
        const msr_row *row = &work->rows[i];
        trn_measured_reading *reading = msr_reading(work, row);
        reading->fitted_Nm = c[0] * row->cosine - c[1] * row->sine + row->sense * row->share * c[2] + row->known_Nm;
        reading->residual_Nm = reading->torque_Nm - reading->fitted_Nm;
        reading->weight = work->weights[i];
        reading->use = reading->weight > 0 ? TRN_READING_USED : TRN_READING_REJECTED;
        into->used += reading->use == TRN_READING_USED;
        into->rejected += reading->use == TRN_READING_REJECTED;
    }
    into->outside = work->record->count - work->count;
}

static trn_estimate estimate(double value, double variance, double student)
{
    const double sd = sqrt(variance);
    return (trn_estimate){.value = value, .sd = sd, .low95 = value - student * sd, .high95 = value + student * sd};
}

/* Variance to first order of what changes by so much with A and with B. */
static double carried(const trn_fit *fit, double by_a, double by_b)
{
    return by_a * by_a * fit->covariance[0][0] + 2 * by_a * by_b * fit->covariance[0][1] +
           by_b * by_b * fit->covariance[1][1];
}

static void set_friction(const msr_work *work, const trn_fit *fit, trn_measurement *into)
{
    const trn_journal *trunnion = work->leaf->trunnion;
    const double variance = fit->covariance[2][2];
    const double friction = fit->coefficients[2] + work->drag_Nm;
    into->friction_Nm = estimate(friction, variance, into->student95);
    into->has_coefficient = trunnion && trunnion->diameter_m > 0 && work->mean_reaction_N > 0;
    if (into->has_coefficient) {
        const double arm = work->mean_reaction_N * trunnion->diameter_m / 2;
        into->mean_reaction_N = work->mean_reaction_N;
        into->coefficient = estimate((friction - trunnion->drag_Nm) / arm, variance / (arm * arm), into->student95);
    }
}

static void set_estimates(const msr_work *work, const trn_fit *fit, trn_measurement *into)
{
    const double a = fit->coefficients[0];
    const double b = fit->coefficients[1];
    const double moment = hypot(a, b);
    const double toe = work->leaf->toe_m;
    const double student = gsl_cdf_tdist_Pinv(0.975, (double)(into->used - MSR_COEFFICIENTS));
    into->student95 = student;
    into->a_Nm = estimate(a, fit->covariance[0][0], student);
    into->b_Nm = estimate(b, fit->covariance[1][1], student);
    into->moment_Nm = estimate(moment, carried(fit, a / moment, b / moment), student);
    into->angle_rad = estimate(atan2(b, a), carried(fit, -b / (moment * moment), a / (moment * moment)), student);
    into->toe_reaction_N = estimate(a / toe, carried(fit, 1 / toe, 0), student);
    set_friction(work, fit, into);
    for (size_t i = 0; i < MSR_COEFFICIENTS; i++) {
        for (size_t k = 0; k < MSR_COEFFICIENTS; k++) {
            into->covariance[i][k] = fit->covariance[i][k];
        }
    }
    const trn_balance *described = &work->described;
    into->residual_sd_Nm = fit->residual_sd;
    into->difference = (trn_measured_difference){
        .a_Nm = a - described->closed_moment_Nm,
        .b_Nm = b - described->moment_Nm * sin(described->angle_rad),
        .moment_Nm = moment - described->moment_Nm,
        .toe_weight_N = (a - described->closed_moment_Nm) / toe,
    };
}

static trn_status measure(msr_work *work, trn_measurement *measurement, trn_error *error)
{
    trn_fit fit;
    trn_status status = bring_readings(work, error);
    if (status == TRN_OK) {
        status = check_count(work, error);
    }
    if (status != TRN_OK) {
        return status;
    }
    find_means(work);
    status = fit_rows(work, &fit, error);
    if (status != TRN_OK) {
        return status;
    }
    trn_measurement found = {.from_rad = work->from_rad, .to_rad = work->to_rad};
    judge_readings(work, &fit, &found);
    if (found.used <= MSR_COEFFICIENTS || !(hypot(fit.coefficients[0], fit.coefficients[1]) > 0)) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "the readings that agree are too few to fit by");
    }
    set_estimates(work, &fit, &found);
    status = msr_find_doubts(work, &found, error);
    if (status == TRN_OK) {
        *measurement = found;
    }
    return status;
}

static trn_status take_room(msr_work *work, trn_measured_reading *readings, trn_error *error)
{
    const size_t count = work->record->count + 1; /* a record of nothing has room too, and is refused by its count */
    work->readings = readings ? readings : calloc(count, sizeof *readings);
    work->rows = calloc(count, sizeof *work->rows);
    work->design = malloc(count * (MSR_COEFFICIENTS + 2) * sizeof *work->design);
    work->values = malloc(count * sizeof *work->values);
    work->weights = malloc(count * sizeof *work->weights);
    if (!work->readings || !work->rows || !work->design || !work->values || !work->weights) {
        return out_of_memory(error);
    }
    if (work->record->kind != TRN_RECORD_MOTOR_POWER || !work->record->has_time) {
        return TRN_OK;
    }
    work->speeds_rad_s = malloc(count * sizeof *work->speeds_rad_s);
    return work->speeds_rad_s ? msr_speeds(work->record, work->speeds_rad_s, error) : out_of_memory(error);
}

static void free_room(msr_work *work, const trn_measured_reading *readings)
{
    if (work->readings != readings) {
        free(work->readings);
    }
    free(work->rows);
    free(work->design);
    free(work->values);
    free(work->weights);
    free(work->speeds_rad_s);
}

trn_status trn_leaf_measure(const trn_leaf *leaf, const trn_record *record, const trn_measure_settings *settings,
                            trn_measured_reading *readings, trn_measurement *measurement, trn_error *error)
{
    const trn_case calm = trn_default_case();
    msr_work work = {.leaf = leaf, .record = record, .settings = settings};
    trn_status status = describe(&work, &calm, error);
    if (status != TRN_OK) {
        return status;
    }
    status = take_room(&work, readings, error);
    if (status == TRN_OK) {
        status = measure(&work, measurement, error);
    }
    free_room(&work, readings);
    return status;
}
