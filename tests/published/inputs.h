/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file inputs.h
 * The inputs of a check: what its "given" lines say, as the library's structs.
 */
#ifndef TRN_PUBLISHED_INPUTS_H
#define TRN_PUBLISHED_INPUTS_H

#include "check_file.h"
#include "machinery_inputs.h"
#include "trunnion/trunnion.h"

#define PARTS_MAX 16
#define VOIDS_MAX 4
#define CORNERS_MAX 20000

/* Everything that the lines of a check can say, filled line by line. */
typedef struct inputs {
    trn_part parts[PARTS_MAX];
    size_t part_count;
    trn_void voids[VOIDS_MAX];
    size_t void_count;
    trn_point corners[CORNERS_MAX];
    size_t corner_count;
    trn_polygon *open_outline; /* corners are added to this one */
    trn_polygon outline;       /* kind area */
    trn_surface surfaces[PARTS_MAX];
    size_t surface_count;
    trn_incidence_point table[PARTS_MAX];
    trn_wind_profile profile;
    trn_case load_case;
    trn_journal journal;
    trn_travel travel;
    trn_motors motors;
    machinery machinery;
    trn_leaf leaf;
    double angle_rad;
    double height_m;
    double load_N;
    double drive_torque_Nm;
} inputs;

static trn_point next_point(words *from)
{
    double x = next_quantity(from, LENGTH);
    return (trn_point){x, next_quantity(from, LENGTH)};
}

static trn_part *new_part(inputs *into, const words *from, trn_shape shape)
{
    if (into->part_count == PARTS_MAX)
        bail_out(from->of->file, from->line, "more parts than a check can have", "");
    trn_part *part = &into->parts[into->part_count++];
    *part = trn_default_part();
    part->shape = shape;
    return part;
}

static void take_point(inputs *into, words *from)
{
    trn_part *part = new_part(into, from, TRN_SHAPE_POINT);
    part->weight_N = next_quantity(from, WEIGHT);
    part->at = next_point(from);
}

static void take_disc(inputs *into, words *from)
{
    take_point(into, from);
    into->parts[into->part_count - 1].gyration_m = next_quantity(from, LENGTH);
}

static void take_bar(inputs *into, words *from)
{
    trn_part *part = new_part(into, from, TRN_SHAPE_BAR);
    part->weight_N = next_quantity(from, WEIGHT);
    part->from = next_point(from);
    part->to = next_point(from);
}

static void take_line_load(inputs *into, words *from)
{
    trn_part *part = new_part(into, from, TRN_SHAPE_BAR);
    part->weight_per_length_N_m = next_quantity(from, WEIGHT_PER_LENGTH);
    part->from = next_point(from);
    part->to = next_point(from);
}

static void take_block(inputs *into, words *from)
{
    trn_part *part = new_part(into, from, TRN_SHAPE_BLOCK);
    part->unit_weight_N_m3 = next_quantity(from, WEIGHT_PER_VOLUME);
    part->width_m = next_quantity(from, LENGTH);
    part->voids = &into->voids[into->void_count];
    into->open_outline = &part->outline;
}

static void take_void(inputs *into, words *from)
{
    if (into->void_count == VOIDS_MAX || into->part_count == 0 ||
        into->parts[into->part_count - 1].shape != TRN_SHAPE_BLOCK)
        bail_out(from->of->file, from->line, "no room or no block for a void", "");
    trn_void *hollow = &into->voids[into->void_count++];
    hollow->width_m = next_quantity(from, LENGTH);
    into->parts[into->part_count - 1].void_count++;
    into->open_outline = &hollow->outline;
}

static void take_count(inputs *into, words *from)
{
    if (into->part_count == 0)
        bail_out(from->of->file, from->line, "no part to count", "");
    into->parts[into->part_count - 1].count = (int)next_number(from);
}

static void add_corner(inputs *into, const words *from, trn_point corner)
{
    if (into->corner_count == CORNERS_MAX)
        bail_out(from->of->file, from->line, "more corners than a check can have", "");
    trn_polygon *outline = into->open_outline;
    if (outline->count == 0)
        outline->corners = &into->corners[into->corner_count];
    into->corners[into->corner_count++] = corner;
    outline->count++;
}

static void take_corner(inputs *into, words *from)
{
    add_corner(into, from, next_point(from));
}

/* An arc as many chords: centre, radius, angles of its ends, number of chords. */
static void take_arc(inputs *into, words *from)
{
    trn_point centre = next_point(from);
    double radius = next_quantity(from, LENGTH);
    double first = next_quantity(from, ANGLE);
    double last = next_quantity(from, ANGLE);
    double chords = next_number(from);
    for (double i = 0; i <= chords; i++) {
        double angle = first + (last - first) * i / chords;
        add_corner(into, from, (trn_point){centre.x + radius * cos(angle), centre.y + radius * sin(angle)});
    }
}

/* The curve y = x2 m from x to x, as many chords. */
static void take_parabola(inputs *into, words *from)
{
    double first = next_quantity(from, LENGTH);
    double last = next_quantity(from, LENGTH);
    double chords = next_number(from);
    for (double i = 0; i <= chords; i++) {
        double x = first + (last - first) * i / chords;
        add_corner(into, from, (trn_point){x, x * x});
    }
}

static void take_surface(inputs *into, words *from)
{
    if (into->surface_count == PARTS_MAX)
        bail_out(from->of->file, from->line, "more surfaces than a check can have", "");
    trn_surface *surface = &into->surfaces[into->surface_count++];
    surface->takes_wind = true;
    surface->from = next_point(from);
    surface->to = next_point(from);
    surface->width_m = next_quantity(from, LENGTH);
    surface->solidity = next_number(from);
}

static void take_law(inputs *into, words *from)
{
    const char *const names[] = {"projected", "normal", "incidence"};
    const trn_wind_law laws[] = {TRN_WIND_PROJECTED, TRN_WIND_NORMAL, TRN_WIND_INCIDENCE};
    const char *name = next_word(from);
    for (size_t i = 0; i < 3; i++) {
        if (strcmp(name, names[i]) == 0) {
            into->load_case.wind.law = laws[i];
            return;
        }
    }
    bail_out(from->of->file, from->line, "no law of wind", name);
}

static void take_table_point(inputs *into, words *from)
{
    trn_wind *wind = &into->load_case.wind;
    if (wind->table_count == PARTS_MAX)
        bail_out(from->of->file, from->line, "more points than a table can have", "");
    trn_incidence_point *point = &into->table[wind->table_count++];
    point->incidence_rad = next_quantity(from, ANGLE);
    point->coefficient = next_number(from);
}

static void take_profile(inputs *into, words *from)
{
    into->profile.exponent = next_number(from);
    into->profile.reference_height_m = next_quantity(from, LENGTH);
    into->profile.trunnion_height_m = next_quantity(from, LENGTH);
    into->profile.lowest_m = next_quantity(from, LENGTH);
    into->load_case.wind.profile = &into->profile;
}

static void take_speed(inputs *into, words *from)
{
    into->load_case.wind.by_speed = true;
    into->load_case.wind.speed_m_s = next_quantity(from, SPEED);
}

/* A speed of the leaf that is kept, as against one that a run-up leads to. */
static void take_leaf_speed(inputs *into, words *from)
{
    into->travel.speed_rad_s = next_quantity(from, ANGULAR_SPEED);
    into->travel.accelerate_in_s = next_quantity(from, TIME);
    into->leaf.travel = &into->travel;
}

/* A demand on a drive, its ratio and its efficiency; several add up at one shaft. */
static void take_drive(inputs *into, words *from)
{
    double demand = next_quantity(from, MOMENT);
    double ratio = next_number(from);
    into->drive_torque_Nm += trn_drive_torque(demand, ratio, next_number(from));
}

static void take_friction(inputs *into, words *from)
{
    into->journal.friction.moving = next_number(from);
    into->journal.friction.starting = into->journal.friction.moving;
}

static void take_run_up(inputs *into, words *from)
{
    take_leaf_speed(into, from);
    into->load_case.accelerating = true;
}

/* Words that set one number. NULL where name is none of them. */
static double *plain_number(inputs *into, const char *name, dimension *of)
{
    const struct {
        const char *name;
        dimension of;
        double *place;
    } numbers[] = {
        {"angle", ANGLE, &into->angle_rad},
        {"toe", LENGTH, &into->leaf.toe_m},
        {"pressure", PRESSURE, &into->load_case.wind.pressure_Pa},
        {"density", DENSITY, &into->load_case.wind.density_kg_m3},
        {"coefficient", PURE, &into->load_case.wind.coefficient},
        {"diameter", LENGTH, &into->journal.diameter_m},
        {"height", LENGTH, &into->height_m},
        {"load", WEIGHT, &into->load_N},
        {"motor_power", POWER, &into->motors.power_W},
        {"motor_speed", ANGULAR_SPEED, &into->motors.speed_rad_s},
        {"rotor_inertia", INERTIA, &into->motors.inertia_kg_m2},
        {"synchronous", ANGULAR_SPEED, &into->motors.synchronous_rad_s},
        {"breakdown", PURE, &into->motors.breakdown},
        {"drag", MOMENT, &into->journal.drag_Nm},
        {"opens_to", ANGLE, &into->leaf.opens_to_rad},
        {"near_open", ANGLE, &into->travel.near_open_rad},
        {"near_closed", ANGLE, &into->travel.near_closed_rad},
        {"creep", PURE, &into->travel.creep},
        {"decelerate_in", TIME, &into->travel.decelerate_in_s},
    };
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        if (strcmp(name, numbers[i].name) == 0) {
            *of = numbers[i].of;
            return numbers[i].place;
        }
    }
    return machinery_number(&into->machinery, name, of);
}

static void take_given(inputs *into, words *from)
{
    const struct {
        const char *name;
        void (*take)(inputs *, words *);
    } takers[] = {
        {"point", take_point},         {"disc", take_disc},       {"bar", take_bar},
        {"line_load", take_line_load}, {"block", take_block},     {"void", take_void},
        {"count", take_count},         {"corner", take_corner},   {"arc", take_arc},
        {"parabola", take_parabola},   {"surface", take_surface}, {"law", take_law},
        {"table", take_table_point},   {"profile", take_profile}, {"speed", take_speed},
        {"drive", take_drive},         {"friction", take_friction}, {"run_up", take_run_up},
        {"leaf_speed", take_leaf_speed},
    };
    const char *name = next_word(from);
    for (size_t i = 0; i < sizeof takers / sizeof takers[0]; i++) {
        if (strcmp(name, takers[i].name) == 0) {
            takers[i].take(into, from);
            return;
        }
    }
    if (take_machinery(&into->machinery, name, from))
        return;
    dimension of = PURE;
    double *place = plain_number(into, name, &of);
    if (!place)
        bail_out(from->of->file, from->line, "unknown input", name);
    *place = of == PURE ? next_number(from) : next_quantity(from, of);
}

static void take_inputs(inputs *into, const check *from)
{
    memset(into, 0, sizeof *into);
    into->leaf = trn_default_leaf();
    into->leaf.toe_m = 1;
    into->leaf.opens_to_rad = 120 * PI / 180;
    into->load_case = trn_default_case();
    into->load_case.wind.from = TRN_WIND_FROM_HEEL;
    into->open_outline = &into->outline;
    into->motors.installed = into->motors.running = 1;
    into->leaf.trunnion = &into->journal;
    for (size_t i = 0; i < from->given_count; i++) {
        char text[LINE_MAX_LENGTH];
        strcpy(text, from->given[i].text);
        words line = {from, from->given[i].number, text};
        take_given(into, &line);
        need_end(&line);
    }
    into->load_case.wind.table = into->table;
    into->leaf.parts = into->parts;
    into->leaf.part_count = into->part_count;
    into->leaf.surfaces = into->surfaces;
    into->leaf.surface_count = into->surface_count;
    into->leaf.drive = into->machinery.has_drive ? &into->machinery.drive : NULL;
    into->leaf.motors = into->motors.power_W > 0 || into->motors.inertia_kg_m2 > 0 ? &into->motors : NULL;
    into->leaf.brakes = into->machinery.brakes;
    into->leaf.brake_count = into->machinery.brake_count;
    into->leaf.duty = &into->machinery.duty;
    into->leaf.cases = &into->load_case;
    into->leaf.case_count = 1;
}

#endif
