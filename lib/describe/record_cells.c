/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cells of a record: numbers without unit, and words. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "record_parts.h"

#define NUMBER_MAX ((size_t)100)

/* Beyond these a reading is one of another unit, or of a broken gauge. */
static const struct {
    double low; /* SI */
    double high;
    const char *words;
} bounds[REC_ROLES] = {
    [REC_ANGLE] = {DSC_RADIANS(-30), DSC_RADIANS(150), "an opening angle from -30 to 150 degree"},
    [REC_LEAF_TORQUE] = {-1e12, 1e12, "a torque up to 1e12 N m"},
    [REC_MOTOR_TORQUE] = {-1e12, 1e12, "a torque up to 1e12 N m"},
    [REC_SHAFT_TORQUE] = {-1e12, 1e12, "a torque up to 1e12 N m"},
    [REC_SHAFT_STRAIN] = {-0.1, 0.1, "a strain up to 0.1"},
    [REC_MOTOR_POWER] = {-1e12, 1e12, "a power up to 1e12 W"},
    [REC_TIME] = {-1e12, 1e12, "a time up to 1e12 s"},
    [REC_WIND_SPEED] = {0, 100, "a wind speed from 0 to 100 m/s"},
};

/* Say what is wrong with a cell; always false. */
static bool refuse(const rec_field *cell, rec_role role, trn_faults *faults, const char *expected)
{
    char shown[DSC_EXCERPT];
    if (cell->length == 0) {
        dsc_faults_add(faults, cell->place, "%s: the value is missing: expected %s", rec_role_name(role), expected);
    } else {
        dsc_faults_add(faults, cell->place, "%s: \"%s\" is not right: expected %s", rec_role_name(role),
                       dsc_excerpt(shown, cell->text, cell->length), expected);
    }
    return false;
}

static const char *number_wanted(const rec_field *cell)
{
    const size_t digits = dsc_number_length(cell->text, cell->length);
    if (digits > 0 && digits < cell->length && cell->text[digits] == ',') {
        return "a number (the decimal mark is a point)";
    }
    return digits > 0 ? "a number alone; its unit stands in the heading" : "a number such as 12.5";
}

static bool read_number(const rec_field *cell, const rec_column *column, trn_faults *faults, double *value)
{
    char copy[NUMBER_MAX + 1];
    if (cell->length == 0 || dsc_number_length(cell->text, cell->length) != cell->length) {
        return refuse(cell, column->role, faults, number_wanted(cell));
    }
    if (cell->length > NUMBER_MAX) {
        return refuse(cell, column->role, faults, "a number of at most 100 characters");
    }
    memcpy(copy, cell->text, cell->length);
    copy[cell->length] = '\0';
    errno = 0;
    const double read = strtod(copy, NULL) * column->scale;
    if (errno == ERANGE || !(read >= bounds[column->role].low && read <= bounds[column->role].high)) {
        return refuse(cell, column->role, faults, bounds[column->role].words);
    }
    *value = read;
    return true;
}

static bool read_run(const rec_field *cell, const rec_column *column, trn_faults *faults, int *run)
{
    int number = 0;
    for (size_t i = 0; i < cell->length; i++) {
        const char c = cell->text[i];
        number = c >= '0' && c <= '9' ? 10 * number + (c - '0') : TRN_RUN_MAX + 1;
        if (number > TRN_RUN_MAX) {
            break;
        }
    }
    if (cell->length == 0 || number > TRN_RUN_MAX) {
        return refuse(cell, column->role, faults, "a whole number from 0 to 9999");
    }
    *run = number;
    return true;
}

static bool is_word(const rec_field *cell, const char *word)
{
    return strlen(word) == cell->length && memcmp(word, cell->text, cell->length) == 0;
}

/* 0 for the first word, 1 for the second, -1 with a fault for anything else. */
static int read_choice(const rec_field *cell, const rec_column *column, trn_faults *faults, const char *first,
                       const char *second, const char *expected)
{
    if (is_word(cell, first)) {
        return 0;
    }
    if (is_word(cell, second)) {
        return 1;
    }
    (void)refuse(cell, column->role, faults, expected);
    return -1;
}

bool rec_read_cell(const rec_field *cell, const rec_column *column, trn_faults *faults, trn_reading *into)
{
    int choice;
    switch (column->role) {
    case REC_ANGLE:
        return read_number(cell, column, faults, &into->angle_rad);
    case REC_TIME:
        return read_number(cell, column, faults, &into->time_s);
    case REC_WIND_SPEED:
        return read_number(cell, column, faults, &into->wind_speed_m_s);
    case REC_RUN:
        return read_run(cell, column, faults, &into->run);
    case REC_DIRECTION:
        choice = read_choice(cell, column, faults, "opening", "closing", "opening or closing");
        into->direction = choice == 0 ? TRN_OPENING : TRN_CLOSING;
        return choice >= 0;
    case REC_WIND_SIDE:
        choice = read_choice(cell, column, faults, "heel", "toe", "heel or toe");
        into->wind_from = choice == 0 ? TRN_WIND_FROM_HEEL : TRN_WIND_FROM_TOE;
        return choice >= 0;
    case REC_ROLES:
        return false;
    default:
        return read_number(cell, column, faults, &into->value);
    }
}
