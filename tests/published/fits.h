/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file fits.h
 * The kind of check that fits a table by least squares through the routine
 * that a balance test is fitted by. Each "given" line is a row, the value
 * first, then the numbers that it goes with:
 *
 *     given   model line              or: proportion, robust (a line)
 *     given   row 0.1 0.2
 *
 * line: a constant and each number times a coefficient; proportion: no constant.
 */
#ifndef TRN_PUBLISHED_FITS_H
#define TRN_PUBLISHED_FITS_H

#include "kinds.h"

#define FIT_ROWS_MAX 64

typedef struct fit_table {
    double design[FIT_ROWS_MAX * TRN_FIT_COEFFICIENTS_MAX];
    double values[FIT_ROWS_MAX];
    size_t rows;
    size_t columns;
    bool has_constant;
    bool has_model;
    bool robust;
} fit_table;

static void take_row(fit_table *into, words *from)
{
    if (into->rows == FIT_ROWS_MAX || !into->has_model)
        bail_out(from->of->file, from->line, "a row too many, or before the model", "");
    double *row = &into->design[into->rows * TRN_FIT_COEFFICIENTS_MAX];
    size_t columns = 0;
    into->values[into->rows] = next_number(from);
    if (into->has_constant)
        row[columns++] = 1;
    while (from->rest[strspn(from->rest, " \t")] != '\0' && columns < TRN_FIT_COEFFICIENTS_MAX)
        row[columns++] = next_number(from);
    if (into->rows > 0 && columns != into->columns)
        bail_out(from->of->file, from->line, "rows of different length", "");
    into->columns = columns;
    into->rows++;
}

static void take_fit_line(fit_table *into, words *from)
{
    const char *keyword = next_word(from);
    if (strcmp(keyword, "row") == 0) {
        take_row(into, from);
    } else if (strcmp(keyword, "model") == 0) {
        const char *model = next_word(from);
        into->has_model = true;
        into->robust = strcmp(model, "robust") == 0;
        into->has_constant = into->robust || strcmp(model, "line") == 0;
        if (!into->has_constant && strcmp(model, "proportion") != 0)
            bail_out(from->of->file, from->line, "no model of a fit", model);
    } else {
        bail_out(from->of->file, from->line, "unknown input", keyword);
    }
    need_end(from);
}

/* Rows lie as far apart as they can be long: push them together. */
static void close_rows(fit_table *table)
{
    for (size_t i = 1; i < table->rows; i++)
        memmove(&table->design[i * table->columns], &table->design[i * TRN_FIT_COEFFICIENTS_MAX],
                table->columns * sizeof table->design[0]);
}

static void run_fit(const check *of, results *out)
{
    static const char *const values[] = {"b0", "b1", "b2", "b3", "b4", "b5", "b6", "b7"};
    static const char *const deviations[] = {"sd0", "sd1", "sd2", "sd3", "sd4", "sd5", "sd6", "sd7"};
    static fit_table table;
    memset(&table, 0, sizeof table);
    for (size_t i = 0; i < of->given_count; i++) {
        char text[LINE_MAX_LENGTH];
        strcpy(text, of->given[i].text);
        words line = {of, of->given[i].number, text};
        take_fit_line(&table, &line);
    }
    close_rows(&table);
    const trn_fit_problem problem = {
        .design = table.design, .values = table.values, .value_count = table.rows, .coefficient_count = table.columns,
        .robust = table.robust};
    double weights[FIT_ROWS_MAX];
    trn_fit fit;
    trn_error error;
    if (trn_fit_linear(&problem, &fit, weights, &error) != TRN_OK)
        bail_out(of->file, of->line, "the library refuses the check", error.text);
    for (size_t k = 0; k < table.columns; k++) {
        add_result(out, values[k], PURE, fit.coefficients[k]);
        add_result(out, deviations[k], PURE, sqrt(fit.covariance[k][k]));
    }
    if (table.robust) {
        /* The row that counts least, from 1. */
        size_t least = 0;
        for (size_t i = 1; i < table.rows; i++)
            least = weights[i] < weights[least] ? i : least;
        add_result(out, "least_row", PURE, (double)least + 1);
    }
    add_result(out, "scatter", PURE, fit.residual_sd);
    add_result(out, "squares", PURE, fit.sum_squares);
    if (table.columns == 2)
        add_result(out, "correlation", PURE, fit.covariance[0][1] / sqrt(fit.covariance[0][0] * fit.covariance[1][1]));
}

/* A gauged shaft: torque from the strain that its bridge shows. */
static void run_gauge(const check *of, results *out)
{
    trn_gauged_shaft shaft = {.ratio = 1, .shafts = 1, .efficiency = 1};
    double strain = 0;
    for (size_t i = 0; i < of->given_count; i++) {
        char text[LINE_MAX_LENGTH];
        strcpy(text, of->given[i].text);
        words line = {of, of->given[i].number, text};
        const char *keyword = next_word(&line);
        if (strcmp(keyword, "diameter") == 0)
            shaft.diameter_m = next_quantity(&line, LENGTH);
        else if (strcmp(keyword, "modulus") == 0)
            shaft.shear_modulus_Pa = next_quantity(&line, PRESSURE);
        else if (strcmp(keyword, "strain") == 0)
            strain = next_number(&line);
        else
            bail_out(of->file, of->given[i].number, "unknown input", keyword);
        need_end(&line);
    }
    add_result(out, "torque", MOMENT, trn_gauged_torque(&shaft, strain));
}

#endif
