/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From what was read to the torque at the leaf. */
#include <math.h>
#include <stdlib.h>

#include "measure_parts.h"

static const double pi = 3.14159265358979323846;

double trn_gauged_torque(const trn_gauged_shaft *shaft, double strain)
{
    const double d = shaft->diameter_m;
    const double bore = shaft->bore_m;
    const double cube = (d * d * d * d - bore * bore * bore * bore) / d;
    return strain * pi * cube * shaft->shear_modulus_Pa / 8;
}

static trn_status missing(trn_error *error, const char *what, const char *section)
{
    return trn_error_set(error, TRN_MISSING_SECTION, "the record has %s: the description needs the section '%s'", what,
                         section);
}

static bool is_motor(trn_record_kind kind)
{
    return kind == TRN_RECORD_MOTOR_TORQUE || kind == TRN_RECORD_MOTOR_POWER;
}

static bool is_shaft(trn_record_kind kind)
{
    return kind == TRN_RECORD_SHAFT_TORQUE || kind == TRN_RECORD_SHAFT_STRAIN;
}

trn_status msr_check_sections(const trn_leaf *leaf, const trn_record *record, bool friction_by_reaction,
                              trn_error *error)
{
    if (is_motor(record->kind) && !leaf->drive) {
        return missing(error, "readings at the motors", "drive");
    }
    if (is_motor(record->kind) && leaf->drive->kind == TRN_DRIVE_CYLINDER) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN,
                             "readings at motors say nothing of a leaf that cylinders move: expected leaf torque or a "
                             "gauged shaft");
    }
    if (is_shaft(record->kind) && !leaf->gauged_shaft) {
        return missing(error, "readings at a shaft", "gauged_shaft");
    }
    if (record->kind == TRN_RECORD_MOTOR_POWER && !record->has_time && !leaf->travel) {
        return missing(error, "motor power without a time column", "travel");
    }
    if (record->has_wind && leaf->surface_count == 0) {
        return missing(error, "wind speeds", "surfaces");
    }
    if (friction_by_reaction && !(leaf->trunnion && leaf->trunnion->diameter_m > 0)) {
        return trn_error_set(error, TRN_MISSING_SECTION,
                             "friction by reaction: the description needs the section 'trunnion'");
    }
    return TRN_OK;
}

/* The neighbours of a reading within its direction of its run; its own place where it has none. */
typedef struct neighbours {
    size_t before;
    size_t after;
} neighbours;

static void find_neighbours(const trn_record *record, neighbours *of, size_t (*last)[2])
{
    const size_t none = record->count;
    for (int run = 0; run <= TRN_RUN_MAX; run++) {
        last[run][0] = last[run][1] = none;
    }
    for (size_t i = 0; i < record->count; i++) {
        size_t *previous = &last[record->readings[i].run][record->readings[i].direction];
        of[i] = (neighbours){.before = *previous == none ? i : *previous, .after = i};
        if (*previous != none) {
            of[*previous].after = i;
        }
        *previous = i;
    }
}

trn_status msr_speeds(const trn_record *record, double *speeds_rad_s, trn_error *error)
{
    neighbours *of = malloc(record->count * sizeof *of);
    size_t(*last)[2] = malloc((TRN_RUN_MAX + 1) * sizeof *last);
    if (!of || !last) {
        free(of);
        free(last);
        return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
    }
    find_neighbours(record, of, last);
    for (size_t i = 0; i < record->count; i++) {
        const trn_reading *before = &record->readings[of[i].before];
        const trn_reading *after = &record->readings[of[i].after];
        const double lapse = after->time_s - before->time_s;
        speeds_rad_s[i] = lapse > 0 ? (after->angle_rad - before->angle_rad) / lapse : (double)NAN;
    }
    free(of);
    free(last);
    return TRN_OK;
}

/* Gears take their loss from the power that flows through them, either way. */
static double less_loss(double torque_Nm, double efficiency, trn_direction direction)
{
    const bool drives = torque_Nm * msr_sense(direction) >= 0;
    return drives ? torque_Nm * efficiency : torque_Nm / efficiency;
}

static double by_power(const msr_work *work, size_t index)
{
    const trn_reading *reading = &work->record->readings[index];
    const double sense = msr_sense(reading->direction);
    const double along = work->speeds_rad_s ? sense * work->speeds_rad_s[index] : work->leaf->travel->speed_rad_s;
    return along > 0 ? less_loss(sense * reading->value / along, work->leaf->drive->efficiency, reading->direction)
                     : (double)NAN;
}

static double by_motor(const msr_work *work, const trn_reading *reading)
{
    /* Beyond the travel a strut has no ratio that was checked. */
    if (!(reading->angle_rad >= 0 && reading->angle_rad <= work->leaf->opens_to_rad)) {
        return (double)NAN;
    }
    const double ratio = trn_drive_at(work->leaf->drive, trn_rotation_by(reading->angle_rad)).ratio;
    return less_loss(reading->value * ratio, work->leaf->drive->efficiency, reading->direction);
}

double msr_torque_at_leaf(const msr_work *work, size_t index)
{
    const trn_reading *reading = &work->record->readings[index];
    const trn_gauged_shaft *shaft = work->leaf->gauged_shaft;
    switch (work->record->kind) {
    case TRN_RECORD_MOTOR_TORQUE:
        return by_motor(work, reading);
    case TRN_RECORD_MOTOR_POWER:
        return by_power(work, index);
    case TRN_RECORD_SHAFT_TORQUE:
        return less_loss(reading->value * shaft->ratio, shaft->efficiency, reading->direction);
    case TRN_RECORD_SHAFT_STRAIN:
        return less_loss(trn_gauged_torque(shaft, reading->value) * shaft->shafts * shaft->ratio, shaft->efficiency,
                         reading->direction);
    case TRN_RECORD_LEAF_TORQUE:
        break;
    }
    return reading->value;
}

double msr_wind_moment(const msr_work *work, const trn_reading *reading)
{
    if (!(reading->wind_speed_m_s > 0)) {
        return 0;
    }
    trn_wind wind = work->wind;
    wind.speed_m_s = reading->wind_speed_m_s;
    const trn_wind_action heel = trn_wind_on_surfaces(work->leaf->surfaces, work->leaf->surface_count, &wind,
                                                      trn_rotation_by(reading->angle_rad));
    return trn_wind_sense(reading->wind_from, reading->direction) * trn_wind_pressure(&wind) * heel.moment_Nm;
}
