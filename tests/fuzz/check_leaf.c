/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Written from the contract, not from the reader, so that each holds the other. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "checks.h"
#include "require.h"

/* 120 and 90 degrees; a unit's rounding is let pass. */
#define TRAVEL_MOST_RAD (2.0943951023931953 * (1 + 1e-9))
#define RIGHT_ANGLE_RAD (1.5707963267948966 * (1 + 1e-9))

/* Names are compared pair by pair: only so many, that a long list costs no executions. */
#define NAMES_MAX ((size_t)40)

#define STEPS_MOST ((size_t)64)

static bool over_0(double value)
{
    return isfinite(value) && value > 0;
}

static bool not_negative(double value)
{
    return isfinite(value) && value >= 0;
}

static bool is_share(double value)
{
    return value >= 0 && value <= 1;
}

static bool is_place(trn_point point)
{
    return isfinite(point.x) && isfinite(point.y);
}

static bool differ(trn_point a, trn_point b)
{
    return a.x < b.x || a.x > b.x || a.y < b.y || a.y > b.y;
}

/* The names of an array of records, each of size bytes with its name at the front. */
static void check_names(const void *records, size_t count, size_t size)
{
    const char *names[NAMES_MAX];
    for (size_t i = 0; i < count && i < NAMES_MAX; i++) {
        memcpy(&names[i], (const char *)records + i * size, sizeof names[i]);
        check_message(names[i], SIZE_MAX);
        for (size_t j = 0; j < i; j++) {
            REQUIRE(strcmp(names[i], names[j]) != 0);
        }
    }
}

static void check_outline(trn_polygon outline)
{
    REQUIRE(outline.corners != NULL && outline.count >= 3);
    for (size_t i = 0; i < outline.count; i++) {
        REQUIRE(is_place(outline.corners[i]));
    }
}

static void check_block(const trn_part *part)
{
    REQUIRE(over_0(part->unit_weight_N_m3) && over_0(part->width_m));
    check_outline(part->outline);
    for (size_t i = 0; i < part->void_count; i++) {
        REQUIRE(over_0(part->voids[i].width_m) && part->voids[i].width_m <= part->width_m);
        check_outline(part->voids[i].outline);
    }
}

static void check_shape(const trn_part *part)
{
    REQUIRE(part->shape <= TRN_SHAPE_BLOCK);
    switch (part->shape) {
    case TRN_SHAPE_POINT:
        REQUIRE(over_0(part->weight_N) && not_negative(part->gyration_m) && is_place(part->at));
        return;
    case TRN_SHAPE_BAR:
        REQUIRE(over_0(part->weight_N) != over_0(part->weight_per_length_N_m));
        REQUIRE(is_place(part->from) && is_place(part->to) && differ(part->from, part->to));
        return;
    case TRN_SHAPE_SLAB:
        REQUIRE(over_0(part->weight_per_area_N_m2) && over_0(part->width_m));
        REQUIRE(is_place(part->from) && is_place(part->to) && differ(part->from, part->to));
        return;
    case TRN_SHAPE_BLOCK:
        check_block(part);
        return;
    }
}

static void check_weights(const trn_part *parts, size_t part_count, const trn_pocket *pockets, size_t pocket_count)
{
    REQUIRE(part_count >= 1);
    check_names(parts, part_count, sizeof *parts);
    for (size_t i = 0; i < part_count; i++) {
        REQUIRE(parts[i].count >= 1 && not_negative(parts[i].uncertainty.sd));
        check_shape(&parts[i]);
    }
    check_names(pockets, pocket_count, sizeof *pockets);
    for (size_t i = 0; i < pocket_count; i++) {
        REQUIRE(is_place(pockets[i].at) && over_0(pockets[i].block_N));
        REQUIRE(pockets[i].blocks >= 0 && pockets[i].blocks <= pockets[i].room);
    }
}

static void check_friction(const trn_friction *friction)
{
    REQUIRE(is_share(friction->starting) && is_share(friction->moving) && friction->moving <= friction->starting);
}

static void check_table(const trn_wind *wind)
{
    REQUIRE((wind->law == TRN_WIND_INCIDENCE) == (wind->table_count > 0));
    for (size_t i = 0; i < wind->table_count; i++) {
        const trn_incidence_point *point = &wind->table[i];
        REQUIRE(point->incidence_rad >= 0 && point->incidence_rad <= RIGHT_ANGLE_RAD);
        REQUIRE(not_negative(point->coefficient));
        REQUIRE(i == 0 || point->incidence_rad > point[-1].incidence_rad);
    }
}

static void check_wind(const trn_wind *wind)
{
    REQUIRE(not_negative(wind->pressure_Pa) && not_negative(wind->speed_m_s));
    REQUIRE(over_0(wind->coefficient) && over_0(wind->density_kg_m3));
    REQUIRE(wind->by_speed ? !(wind->pressure_Pa > 0) : !(wind->speed_m_s > 0));
    check_table(wind);
    if (wind->profile) {
        REQUIRE(is_share(wind->profile->exponent) && over_0(wind->profile->reference_height_m));
        REQUIRE(isfinite(wind->profile->trunnion_height_m) && over_0(wind->profile->lowest_m));
    }
}

static void check_loads(const trn_leaf *leaf)
{
    check_names(leaf->surfaces, leaf->surface_count, sizeof *leaf->surfaces);
    for (size_t i = 0; i < leaf->surface_count; i++) {
        const trn_surface *surface = &leaf->surfaces[i];
        REQUIRE(is_place(surface->from) && is_place(surface->to) && differ(surface->from, surface->to));
        REQUIRE(over_0(surface->width_m) && is_share(surface->solidity));
    }
    REQUIRE(leaf->case_count >= 1);
    check_names(leaf->cases, leaf->case_count, sizeof *leaf->cases);
    for (size_t i = 0; i < leaf->case_count; i++) {
        REQUIRE(not_negative(leaf->cases[i].ice_N_m2) && over_0(leaf->cases[i].motor_limit));
        check_wind(&leaf->cases[i].wind);
    }
    check_names(leaf->holdings, leaf->holding_count, sizeof *leaf->holdings);
    for (size_t i = 0; i < leaf->holding_count; i++) {
        REQUIRE(not_negative(leaf->holdings[i].ice_N_m2) && over_0(leaf->holdings[i].factor));
        check_wind(&leaf->holdings[i].wind);
    }
    if (leaf->wind_limits) {
        REQUIRE(leaf->wind_limits->wind.by_speed && over_0(leaf->wind_limits->motor_limit));
        REQUIRE(over_0(leaf->wind_limits->hold_factor));
        check_wind(&leaf->wind_limits->wind);
    }
}

static void check_drive(const trn_drive *drive)
{
    const trn_cylinder *cylinder = &drive->cylinder;
    REQUIRE(drive->kind <= TRN_DRIVE_CYLINDER);
    REQUIRE(over_0(drive->efficiency) && drive->efficiency <= 1);
    switch (drive->kind) {
    case TRN_DRIVE_RATIO:
        REQUIRE(over_0(drive->ratio));
        return;
    case TRN_DRIVE_STRUT:
        REQUIRE(over_0(drive->strut.pinion_radius_m) && over_0(drive->strut.ratio));
        REQUIRE(differ(drive->strut.on_leaf, drive->strut.pinion));
        return;
    case TRN_DRIVE_CYLINDER:
        REQUIRE(over_0(cylinder->bore_m) && not_negative(cylinder->rod_m) && cylinder->rod_m < cylinder->bore_m);
        REQUIRE(cylinder->count >= 1 && over_0(cylinder->pressure_Pa));
        return;
    }
}

static void check_motors(const trn_motors *motors)
{
    REQUIRE(motors->running >= 1 && motors->running <= motors->installed);
    REQUIRE(over_0(motors->power_W) && over_0(motors->speed_rad_s) && not_negative(motors->inertia_kg_m2));
    REQUIRE(isfinite(motors->peak) && motors->peak >= 1);
    REQUIRE(motors->control == TRN_CONTROL_REFERENCE || motors->control == TRN_CONTROL_LINE);
    REQUIRE((motors->law == TRN_TORQUE_TABLE) == (motors->table_count > 0));
    if (motors->law == TRN_TORQUE_INDUCTION) {
        REQUIRE(motors->synchronous_rad_s > motors->speed_rad_s && motors->breakdown >= 1);
    }
    for (size_t i = 1; i < motors->table_count; i++) {
        REQUIRE(motors->table[i].speed_rad_s > motors->table[i - 1].speed_rad_s);
    }
}

static void check_travel(const trn_travel *travel, double opens_to_rad)
{
    REQUIRE(over_0(travel->speed_rad_s) && over_0(travel->accelerate_in_s) && over_0(travel->decelerate_in_s));
    REQUIRE(over_0(travel->creep) && travel->creep <= 1);
    REQUIRE(travel->near_closed_rad > 0 && travel->near_closed_rad < travel->near_open_rad);
    REQUIRE(travel->near_open_rad < opens_to_rad);
    REQUIRE(not_negative(travel->full_closed_rad) && travel->full_closed_rad < travel->near_closed_rad);
    if (travel->full_open_rad < 0 || travel->full_open_rad > 0) {
        REQUIRE(travel->full_open_rad > travel->near_open_rad && travel->full_open_rad <= opens_to_rad);
    }
}

static void check_seating(const trn_seating *seating)
{
    REQUIRE(not_negative(seating->shoe_stiffness_N_m) && not_negative(seating->buffer_stroke_m));
    REQUIRE(not_negative(seating->buffer_preload_N) && not_negative(seating->buffer_stiffness_N_m));
    REQUIRE(not_negative(seating->buffer_damping_N_s_m));
    const double resisting = seating->buffer_preload_N + seating->buffer_stiffness_N_m + seating->buffer_damping_N_s_m;
    REQUIRE((seating->buffer_stroke_m > 0) == (resisting > 0));
    REQUIRE(seating->shoe_stiffness_N_m > 0 || seating->buffer_stroke_m > 0);
}

static void check_conditions(trn_conditions conditions)
{
    for (size_t i = 0; i < conditions.count; i++) {
        check_message(conditions.names[i], SIZE_MAX);
    }
}

/* What a time line of the operation rests on: every need is met, motions take turns, times end. */
static void check_steps(const trn_step *steps, size_t count)
{
    static trn_step_time times[STEPS_MOST];
    trn_operation operation = {0};
    bool raised = false;
    REQUIRE(count <= STEPS_MOST);
    check_names(steps, count, sizeof *steps);
    for (size_t i = 0; i < count; i++) {
        REQUIRE(not_negative(steps[i].takes_s) && steps[i].motion <= TRN_STEP_LOWERS);
        REQUIRE(steps[i].motion == TRN_STEP_STILL || !(steps[i].takes_s > 0));
        REQUIRE(steps[i].motion == TRN_STEP_STILL || raised == (steps[i].motion == TRN_STEP_LOWERS));
        raised = steps[i].motion == TRN_STEP_STILL ? raised : steps[i].motion == TRN_STEP_RAISES;
        check_conditions(steps[i].needs);
        check_conditions(steps[i].gives);
        check_conditions(steps[i].ends);
    }
    REQUIRE(trn_operation_times(steps, count, 80, 90, times, &operation, NULL) == TRN_OK);
    REQUIRE(not_negative(operation.total_s) && not_negative(operation.road_closed_s));
    REQUIRE(operation.road_closed_s <= operation.total_s * (1 + 1e-12));
}

static void check_machinery(const trn_leaf *leaf)
{
    if (leaf->trunnion) {
        REQUIRE(over_0(leaf->trunnion->diameter_m) && not_negative(leaf->trunnion->drag_Nm));
        check_friction(&leaf->trunnion->friction);
    }
    if (leaf->drive) {
        check_drive(leaf->drive);
    }
    if (leaf->motors) {
        check_motors(leaf->motors);
    }
    if (leaf->travel) {
        check_travel(leaf->travel, leaf->opens_to_rad);
    }
    if (leaf->seating) {
        check_seating(leaf->seating);
    }
    check_steps(leaf->steps, leaf->step_count);
    check_names(leaf->brakes, leaf->brake_count, sizeof *leaf->brakes);
    for (size_t i = 0; i < leaf->brake_count; i++) {
        const trn_brake *brake = &leaf->brakes[i];
        REQUIRE(brake->count >= 1 && over_0(brake->torque_Nm) && over_0(brake->ratio));
        REQUIRE(not_negative(brake->delay_s) && not_negative(brake->set_time_s));
    }
}

static void check_tests(const trn_leaf *leaf)
{
    const trn_gauged_shaft *shaft = leaf->gauged_shaft;
    const trn_balance_target *target = leaf->balance_target;
    if (shaft) {
        REQUIRE(shaft->shafts >= 1 && over_0(shaft->ratio) && over_0(shaft->shear_modulus_Pa));
        REQUIRE(not_negative(shaft->bore_m) && shaft->bore_m < shaft->diameter_m);
        REQUIRE(over_0(shaft->efficiency) && shaft->efficiency <= 1);
    }
    if (target) {
        const trn_window first = target->by_moments ? target->a_Nm : target->toe_reaction_N;
        const trn_window second = target->by_moments ? target->b_Nm : target->angle_rad;
        REQUIRE(first.low < first.high && second.low < second.high);
    }
    if (leaf->duty) {
        REQUIRE(over_0(leaf->duty->openings_per_hour) && not_negative(leaf->duty->hold_open_s));
        REQUIRE(not_negative(leaf->duty->hours_without_openings) && leaf->duty->hours_without_openings < 24);
    }
}

void check_leaf(const trn_leaf *leaf)
{
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    check_message(leaf->name, SIZE_MAX);
    REQUIRE(over_0(leaf->opens_to_rad) && leaf->opens_to_rad <= TRAVEL_MOST_RAD);
    REQUIRE(over_0(leaf->toe_m) && not_negative(leaf->posted_wind_m_s));
    check_weights(leaf->parts, leaf->part_count, leaf->pockets, leaf->pocket_count);
    if (linked) {
        REQUIRE(is_place(linked->pivot) && differ(linked->pin_on_leaf, linked->pin_on_counterweight));
        check_weights(linked->parts, linked->part_count, linked->pockets, linked->pocket_count);
        check_friction(&linked->journal.friction);
    }
    check_loads(leaf);
    check_machinery(leaf);
    check_tests(leaf);
}
