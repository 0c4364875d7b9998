/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/rating.h"

#include <math.h>
#include <string.h>

#include "bends.h"
#include "motion.h"
#include "quadrature.h"
#include "search.h"
#include "support.h"
#include "trunnion/moments.h"

#define HOURS_OF_DAY 24.0

static trn_status check_sections(const trn_leaf *leaf, trn_error *error)
{
    if (leaf->drive == NULL) {
        return missing_section(error, "drive");
    }
    return leaf->drive->kind != TRN_DRIVE_CYLINDER && leaf->motors == NULL ? missing_section(error, "motors") : TRN_OK;
}

/* What is searched over the angles: one loading in one direction. */
typedef struct question {
    const trn_loading *loading;
    trn_direction direction;
} question;

static double asked_of_drive(double angle_rad, const void *context)
{
    const question *about = context;
    const trn_moments at = trn_loading_moments(about->loading, angle_rad);
    const bool opening = about->direction == TRN_OPENING;
    if (at.has_pressure) {
        return opening ? at.pressure_opening_Pa : at.pressure_closing_Pa;
    }
    return fabs(opening ? at.motor_opening_Nm : at.motor_closing_Nm);
}

static double motor_torque(const question *about, double angle_rad)
{
    const trn_moments at = trn_loading_moments(about->loading, angle_rad);
    return about->direction == TRN_OPENING ? at.motor_opening_Nm : at.motor_closing_Nm;
}

static double ratio_at(const question *about, double angle_rad)
{
    return trn_drive_at(about->loading->leaf->drive, trn_rotation_by(angle_rad)).ratio;
}

/* The share of what the law gives. Where it gives nothing, or brakes, the torque alone decides. */
static double asked_of_law(double angle_rad, const void *context)
{
    const question *about = context;
    const trn_leaf *leaf = about->loading->leaf;
    const double nothing = 1e-9 * trn_motor_peak_torque(leaf->motors);
    return motor_torque(about, angle_rad) / fmax(torque_by_law(leaf, ratio_at(about, angle_rad)), nothing);
}

static double worst_angle(search_function asked, const question *about)
{
    const trn_loading *loading = about->loading;
    const wind_on_leaf blown = {loading->leaf, loading->pressure_Pa > 0 ? &loading->load_case->wind : NULL};
    const search_range travel = travel_in_steps(&blown, DEGREE / 4);
    return search_largest(asked, about, &travel);
}

static trn_law_use use_of_law(const question *about)
{
    const trn_leaf *leaf = about->loading->leaf;
    const double angle = worst_angle(asked_of_law, about);
    const double ratio = ratio_at(about, angle);
    trn_law_use use = {.angle_rad = angle,
                       .motor_Nm = motor_torque(about, angle),
                       .motor_speed_rad_s = leaf->travel != NULL ? ratio * leaf->travel->speed_rad_s : 0,
                       .available_Nm = torque_by_law(leaf, ratio)};
    use.met = use.motor_Nm <= fmax(use.available_Nm, 0) * (1 + 1e-9);
    return use;
}

static void rate_motors(const question *about, double angle_rad, trn_rating *rating)
{
    const trn_leaf *leaf = about->loading->leaf;
    const double limit = about->loading->load_case->motor_limit;
    const double ratio = ratio_at(about, angle_rad);
    rating->rated_Nm = trn_motor_rated_torque(leaf->motors);
    rating->allowed_Nm = limit * rating->rated_Nm;
    rating->use = fabs(rating->motor_Nm) / rating->allowed_Nm;
    rating->motor_speed_rad_s = leaf->travel != NULL ? ratio * leaf->travel->speed_rad_s : 0;
    rating->available_Nm = torque_by_law(leaf, ratio);
    rating->power_W = leaf->travel != NULL ? rating->motor_Nm * rating->motor_speed_rad_s : 0;
    rating->law = use_of_law(about);
}

static trn_rating rate(const trn_leaf *leaf, const trn_loading *loading, trn_direction direction)
{
    const question about = {.loading = loading, .direction = direction};
    const double angle = worst_angle(asked_of_drive, &about);
    const trn_moments at = trn_loading_moments(loading, angle);
    const bool opening = direction == TRN_OPENING;
    trn_rating rating = {.worst_angle_rad = angle,
                         .leaf_Nm = opening ? at.opening_Nm : at.closing_Nm,
                         .motor_Nm = opening ? at.motor_opening_Nm : at.motor_closing_Nm,
                         .force_N = opening ? at.force_opening_N : at.force_closing_N,
                         .pressure_Pa = opening ? at.pressure_opening_Pa : at.pressure_closing_Pa};
    if (at.has_pressure) {
        rating.allowed_Pa = loading->load_case->motor_limit * leaf->drive->cylinder.pressure_Pa;
        rating.use = rating.pressure_Pa / rating.allowed_Pa;
    } else {
        rate_motors(&about, angle, &rating);
    }
    rating.met = rating.use <= 1;
    return rating;
}

trn_status trn_leaf_rating(const trn_leaf *leaf, const trn_case *load_case, trn_direction direction, int running,
                           trn_rating *rating, trn_error *error)
{
    trn_loading loading = {0};
    trn_leaf with = *leaf;
    trn_motors motors = {0};
    trn_status status = check_sections(leaf, error);
    if (status != TRN_OK) {
        return status;
    }
    if (leaf->motors != NULL) {
        motors = *leaf->motors;
        motors.running = running;
        with.motors = &motors;
    }
    status = trn_loading_prepare(&with, load_case, &loading, error);
    if (status == TRN_OK) {
        *rating = rate(&with, &loading, direction);
    }
    return status;
}

int trn_motors_left(const trn_motors *motors)
{
    return motors->running < motors->installed ? motors->running : motors->installed - 1;
}

/* One phase of a travel under a loading: what the torque is integrated over. */
typedef struct passage {
    const trn_loading *loading;
    const trn_phase *phase;
    trn_direction direction;
} passage;

static double angle_at(const passage *of, double t)
{
    const double run = t * (of->phase->speed_rad_s + of->phase->acceleration_rad_s2 * t / 2);
    return of->phase->start_rad + (of->direction == TRN_OPENING ? run : -run);
}

/* When the leaf passes an angle; beyond the phase where it does not. */
static double time_at(const passage *of, double angle_rad)
{
    const double ahead = angle_rad - of->phase->start_rad;
    const double run = of->direction == TRN_OPENING ? ahead : -ahead;
    const double speed = of->phase->speed_rad_s;
    const double square = speed * speed + 2 * of->phase->acceleration_rad_s2 * run;
    return run > 0 && square >= 0 ? 2 * run / (speed + sqrt(square)) : HUGE_VAL;
}

/* The next time after now at which a surface lies level: wind by a table of incidence may jump there. */
static double next_level(const passage *of, double now_s)
{
    const trn_leaf *leaf = of->loading->leaf;
    double next = of->phase->duration_s;
    for (size_t i = 0; i < leaf->surface_count; i++) {
        const trn_surface *surface = &leaf->surfaces[i];
        const double slope = atan2(surface->to.y - surface->from.y, surface->to.x - surface->from.x);
        for (int half_turns = -1; half_turns <= 1; half_turns++) {
            const double t = time_at(of, half_turns * 180 * DEGREE - slope);
            next = t > now_s ? fmin(next, t) : next;
        }
    }
    return next;
}

/* Of each running motor, what follows from speed included. */
static double torque_at(const passage *of, double t)
{
    const double speed = of->phase->speed_rad_s + of->phase->acceleration_rad_s2 * t;
    const motion following = {.loading = *of->loading,
                              .load_case = *of->loading->load_case,
                              .commanded = of->direction,
                              .sense = of->direction,
                              .mode = MODE_FOLLOW,
                              .running = of->loading->leaf->motors->running,
                              .reference = {.slope = of->phase->acceleration_rad_s2}};
    return motion_at(&following, 0, angle_at(of, t), travel_sign(of->direction) * speed).motor_Nm / following.running;
}

/* The integral of torque squared from one time to another. Torque bends where
   the leaf begins to overhaul: many short panels keep what that costs small. */
static double squared_torque(const passage *of, double from_s, double to_s)
{
    enum { PANELS = 128 };
    const double half = (to_s - from_s) / (2 * PANELS);
    double sum = 0;
    for (int panel = 0; panel < PANELS; panel++) {
        for (int i = 0; i < 2 * GAUSS_POINTS; i++) {
            const gauss_point point = gauss[i / 2];
            const double t = from_s + half * (2 * panel + 1 + (i % 2 == 0 ? point.node : -point.node));
            const double torque = torque_at(of, t);
            sum += half * point.weight * torque * torque;
        }
    }
    return sum;
}

static double phase_squares(const trn_loading *loading, const trn_phase *phase, trn_direction direction)
{
    const passage of = {.loading = loading, .phase = phase, .direction = direction};
    double sum = 0;
    double now = 0;
    while (now < phase->duration_s) {
        const double next = next_level(&of, now);
        sum += squared_torque(&of, now, next);
        now = next;
    }
    return sum;
}

static trn_status find_case(const trn_leaf *leaf, const trn_case **found, trn_error *error)
{
    for (size_t i = 0; i < leaf->case_count; i++) {
        if (leaf->duty->case_name == NULL || strcmp(leaf->cases[i].name, leaf->duty->case_name) == 0) {
            *found = &leaf->cases[i];
            return TRN_OK;
        }
    }
    trn_error_set(error, TRN_OUT_OF_DOMAIN, "duty: there is no case '%s'",
                  leaf->duty->case_name != NULL ? leaf->duty->case_name : "");
    return TRN_OUT_OF_DOMAIN;
}

static trn_status check_duty_sections(const trn_leaf *leaf, trn_error *error)
{
    if (leaf->drive == NULL) {
        return missing_section(error, "drive");
    }
    if (leaf->motors == NULL || leaf->drive->kind == TRN_DRIVE_CYLINDER) {
        return missing_section(error, "motors");
    }
    if (leaf->travel == NULL) {
        return missing_section(error, "travel");
    }
    return leaf->duty == NULL ? missing_section(error, "duty") : TRN_OK;
}

trn_status trn_leaf_duty(const trn_leaf *leaf, trn_duty_rating *rating, trn_error *error)
{
    /* Buffers at the seat are no everyday load of curve and drive; cycle has them. */
    trn_leaf bare = *leaf;
    bare.seating = NULL;
    trn_loading loading = {0};
    const trn_case *load_case = NULL;
    trn_status status = check_duty_sections(leaf, error);
    status = status == TRN_OK ? find_case(leaf, &load_case, error) : status;
    status = status == TRN_OK ? trn_loading_prepare(&bare, load_case, &loading, error) : status;
    if (status != TRN_OK) {
        return status;
    }
    trn_duty_rating result = {.period_s = 3600 / leaf->duty->openings_per_hour,
                              .rated_Nm = trn_motor_rated_torque(leaf->motors)};
    double squares = 0;
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        trn_phase phases[TRN_PHASES_MAX];
        const size_t count = trn_travel_phases(leaf->travel, leaf->opens_to_rad, (trn_direction)direction, phases);
        for (size_t i = 0; i < count; i++) {
            squares += phase_squares(&loading, &phases[i], (trn_direction)direction);
            result.moving_s += phases[i].duration_s;
        }
    }
    if (result.moving_s + leaf->duty->hold_open_s > result.period_s) {
        trn_error_set(
            error, TRN_OUT_OF_DOMAIN,
            "duty: opening, holding and closing take %.4g s, but %.4g openings per hour leave %.4g s for each",
            result.moving_s + leaf->duty->hold_open_s, leaf->duty->openings_per_hour, result.period_s);
        return TRN_OUT_OF_DOMAIN;
    }
    result.rms_Nm = sqrt(squares / result.period_s);
    result.use = result.rms_Nm / result.rated_Nm;
    result.met = result.use <= 1;
    const double busy_hours = HOURS_OF_DAY - leaf->duty->hours_without_openings;
    result.day_rms_Nm = result.rms_Nm * sqrt(busy_hours / HOURS_OF_DAY);
    result.openings_per_day = leaf->duty->openings_per_hour * busy_hours;
    *rating = result;
    return TRN_OK;
}
