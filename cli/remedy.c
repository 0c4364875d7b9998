/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "remedy.h"

#include <math.h>

#include "angles.h"
#include "cycle_words.h"

/* The fastest that the motors turn at the travel's speed, by a drive of one ratio or of a strut. */
static double fastest_rad_s(const trn_leaf *leaf)
{
    double most = 0;
    const int last = (int)ceil(degrees_of(leaf->opens_to_rad));
    for (int degree = 0; degree <= last; degree++) {
        const double angle = fmin(radians_of(degree), leaf->opens_to_rad);
        most = fmax(most, trn_drive_at(leaf->drive, trn_rotation_by(angle)).ratio);
    }
    return most * leaf->travel->speed_rad_s;
}

/* The largest use of cases and duty by another drive; infinite where it cannot be told. */
static double use_by(const drive_result *of, const trn_drive *drive)
{
    double use = 0;
    trn_leaf leaf = *of->leaf;
    trn_error error;
    leaf.drive = drive;
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        trn_rating one;
        if (trn_leaf_rating(&leaf, &of->cases[i / DIRECTIONS], (trn_direction)(i % DIRECTIONS), leaf.motors->running,
                            &one, &error) != TRN_OK) {
            return HUGE_VAL;
        }
        use = fmax(use, one.use);
    }
    if (of->has_duty) {
        trn_duty_rating duty;
        return trn_leaf_duty(&leaf, &duty, &error) == TRN_OK ? fmax(use, duty.use) : HUGE_VAL;
    }
    return use;
}

static double use_of(const drive_result *of)
{
    double use = of->has_duty ? of->duty.use : 0;
    for (size_t i = 0; i < of->case_count * DIRECTIONS; i++) {
        use = fmax(use, of->all[i].use);
    }
    return use;
}

/* With the ratio at which the motors turn at their rated speed, they give the torque that slow ones lack. */
static const char *higher_ratio(const drive_result *of, char text[REMEDY_WORDS])
{
    const trn_motors *motors = of->leaf->motors;
    const double share = fastest_rad_s(of->leaf) / motors->speed_rad_s;
    trn_drive drive = *of->leaf->drive;
    double *ratio = drive.kind == TRN_DRIVE_STRUT ? &drive.strut.ratio : &drive.ratio;
    char needed[DISPLAY_TEXT];
    const double before = *ratio;
    if (!(share < 0.98)) {
        return NULL;
    }
    *ratio /= share;
    const double use = use_by(of, &drive);
    if (!(use < use_of(of))) {
        return NULL;
    }
    const int length = snprintf(
        text, REMEDY_WORDS, "The motors run at %.3g %% of their rated speed: with a ratio of %.5g in place of %.5g ",
        share * 100, *ratio, before);
    if (use <= 1) {
        (void)snprintf(text + length, REMEDY_WORDS - (size_t)length, "these motors meet every case%s.",
                       of->has_duty ? " and the duty" : "");
    } else {
        (void)snprintf(text + length, REMEDY_WORDS - (size_t)length,
                       "they are at %.4g %% of what is allowed, and motors of %s %s would do.", use * 100,
                       display_text(&of->shown, QUANTITY_POWER, use * motors->power_W, needed),
                       of->shown.of[QUANTITY_POWER].unit);
    }
    return text;
}

const char *remedy_drive(const drive_result *of, char text[REMEDY_WORDS])
{
    const double use = use_of(of);
    if (use <= 1) {
        return NULL;
    }
    if (of->leaf->drive->kind == TRN_DRIVE_CYLINDER) {
        (void)snprintf(text, REMEDY_WORDS,
                       "Cylinders of %.3g times the pressure or area, or less to move: a better balance.", use * 1.001);
        return text;
    }
    if (of->leaf->travel != NULL && higher_ratio(of, text) != NULL) {
        return text;
    }
    char needed[DISPLAY_TEXT];
    (void)snprintf(text, REMEDY_WORDS,
                   "Motors of %s %s at this rated speed and ratio, or a lower travel speed with a higher ratio, "
                   "or less to move: a better balance.",
                   display_text(&of->shown, QUANTITY_POWER, drive_needed_power(of, of->all), needed),
                   of->shown.of[QUANTITY_POWER].unit);
    return text;
}

const char *remedy_holding(const brake_result *of, char text[REMEDY_WORDS])
{
    double most = 0;
    for (size_t i = 0; i < of->count; i++) {
        most = fmax(most, of->ratings[i].met ? 0 : of->ratings[i].required / of->ratings[i].factor);
    }
    if (!(most > 0)) {
        return NULL;
    }
    (void)snprintf(text, REMEDY_WORDS,
                   "Brakes with %.3g times the torque at the leaf, all together; or less to hold: a better balance.",
                   ceil(most * 100) / 100);
    return text;
}

const char *remedy_stop(const brake_result *of)
{
    return of->has_stop && !brake_stops(&of->stop)
               ? "Brakes that set sooner ('delay', 'set_time') or have more torque, a lower travel speed, or a better "
                 "balance."
               : NULL;
}

const char *remedy_wind(const wind_result *of, char text[REMEDY_WORDS])
{
    const double lowest_m_s = wind_lowest_of_all(of);
    char shown[DISPLAY_TEXT];
    if (!(lowest_m_s < of->leaf->posted_wind_m_s)) {
        return NULL;
    }
    if (!(lowest_m_s > 0)) {
        return "First of all drive and brakes: calm air already asks too much.";
    }
    (void)snprintf(text, REMEDY_WORDS, "A posted limit of at most %s %s; for more, drive or brakes that give more.",
                   display_text(&of->shown, QUANTITY_WIND_SPEED, lowest_m_s, shown),
                   of->shown.of[QUANTITY_WIND_SPEED].unit);
    return text;
}

const char *remedy_run(const cycle *of, trn_direction direction, const trn_run *run)
{
    if (cycle_met(of, direction, run)) {
        return NULL;
    }
    const bool lags = run->reached_switch && !run->at_creep && run->lag_s > 0 && trn_run_is_safe(run);
    if (lags || run->end == TRN_END_STALLED || (!run->reached_switch && of->of[direction].upset_count == 0)) {
        return "First of all the drive, which gives too little on the way: see 'drive'.";
    }
    if (!trn_run_is_safe(run)) {
        return of->leaf->brake_count == 0 && !of->by_cylinders
                   ? "'brakes': nothing described holds the leaf with the power off."
                   : "Brakes that set sooner ('delay', 'set_time') or have more torque, or a better balance where it "
                     "stops.";
    }
    if (run_by_curve(of)) {
        return "Motors with 'control: reference': those across the line have no creep.";
    }
    return "A near switch that comes earlier ('trunnion cycle LEAF --switches' tells where), or slowing down in less "
           "time.";
}
