/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "motion.h"

#include <math.h>

/* The drive seen from the motors' shafts; cylinders are a drive of ratio 1 without rotors. */
typedef struct gearing {
    double ratio;
    double ratio_change;
    double rotors_kg_m2;
    double efficiency;
} gearing;

static gearing gearing_at(const motion *of, const pose *at)
{
    const trn_drive *drive = of->loading.leaf->drive;
    const trn_motors *motors = of->loading.leaf->motors;
    const double efficiency = of->mode == MODE_OFF ? 1 : drive->efficiency;
    if (drive->kind == TRN_DRIVE_CYLINDER) {
        return (gearing){.ratio = 1, .efficiency = efficiency};
    }
    return (gearing){.ratio = at->drive.ratio,
                     .ratio_change = at->drive.ratio_change,
                     .rotors_kg_m2 = motors->installed * motors->inertia_kg_m2,
                     .efficiency = efficiency};
}

/* What acts on the leaf beside weight, ice, link and drive. */
typedef struct surroundings {
    trn_wind_action wind;
    trn_wind_action all; /* wind and seat */
    double wind_Pa;
    double buffer_N;
    double buffer_push_N;
    double seat_N;
    double seat_Nm; /* opens */
} surroundings;

double motion_wind_pressure(const motion *of, double time_s)
{
    double pressure = trn_wind_pressure_at(&of->load_case.wind, NULL, of->record, time_s);
    for (int i = 0; i < GUSTS_MAX; i++) {
        if (of->gusts[i] != NULL) {
            const double gusty = trn_wind_pressure_at(&of->load_case.wind, of->gusts[i], of->record, time_s);
            pressure = fmax(pressure, gusty);
        }
    }
    return pressure;
}

static void add_wind(const motion *of, const pose *at, double time_s, surroundings *now)
{
    now->wind_Pa = motion_wind_pressure(of, time_s);
    if (!(now->wind_Pa > 0)) {
        return;
    }
    const trn_leaf *leaf = of->loading.leaf;
    const double scale = now->wind_Pa * trn_wind_sense(of->load_case.wind.from, of->commanded);
    const trn_wind_action unit =
        trn_wind_on_surfaces(leaf->surfaces, leaf->surface_count, &of->load_case.wind, at->rotation);
    now->wind = (trn_wind_action){unit.moment_Nm * scale, {unit.force.x * scale, unit.force.y * scale}};
}

/* Buffers and shoes push up at the toe distance; the toe stands at toe sin, and falls at toe cos times the speed. */
static void add_seat(const motion *of, const pose *at, double speed_rad_s, surroundings *now)
{
    const trn_leaf *leaf = of->loading.leaf;
    const trn_seating *seating = leaf->seating;
    const double height = leaf->toe_m * at->rotation.sine;
    if (seating == NULL || !(of->on_buffers || height < 0)) {
        return;
    }
    if (of->on_buffers) {
        const double fall = -speed_rad_s * leaf->toe_m * at->rotation.cosine;
        now->buffer_push_N = seating->buffer_preload_N + seating->buffer_damping_N_s_m * fall +
                             seating->buffer_stiffness_N_m * (seating->buffer_stroke_m - height);
        now->buffer_N = fmax(0, now->buffer_push_N);
    }
    now->seat_N = now->buffer_N - seating->shoe_stiffness_N_m * fmin(height, 0);
    now->seat_Nm = now->seat_N * leaf->toe_m * at->rotation.cosine;
}

static surroundings surroundings_at(const motion *of, const pose *at, double time_s, double speed_rad_s)
{
    surroundings now = {0};
    add_wind(of, at, time_s, &now);
    add_seat(of, at, speed_rad_s, &now);
    now.all = now.wind;
    now.all.moment_Nm -= now.seat_Nm;
    now.all.force.y += now.seat_N;
    return now;
}

/* The demand on the drive if the leaf turned with an acceleration. */
static leaf_forces demanded(const motion *of, const pose *at, swing moving, const surroundings *now)
{
    const link_forces link = link_in_balance(&of->loading, at, moving);
    if (of->mode != MODE_OFF) {
        return leaf_in_balance(&of->loading, at, moving, &now->all, &link);
    }
    /* With the power off no force acts at the drive's place. */
    pose bare = *at;
    bare.drive.arm_m = 0;
    return leaf_in_balance(&of->loading, &bare, moving, &now->all, &link);
}

/* What reaches the leaf of a torque at the shafts that the rotors leave over. */
static double transmitted(const gearing *gears, double torque_Nm)
{
    return gears->ratio * (torque_Nm >= 0 ? torque_Nm * gears->efficiency : torque_Nm / gears->efficiency);
}

/* What the rotors take of it: Jm d(i omega)/dt. */
static double rotor_torque(const gearing *gears, swing moving)
{
    const double change = travel_sign(moving.direction) * gears->ratio_change * moving.speed_rad_s * moving.speed_rad_s;
    return gears->rotors_kg_m2 * (gears->ratio * moving.acceleration_rad_s2 + change);
}

/* The acceleration that a torque at the shafts leaves against a load and an inertia at the leaf. */
static double accelerated(const gearing *gears, swing moving, double torque_Nm, double load_Nm, double inertia_kg_m2)
{
    const double rotors = gears->ratio * gears->ratio * gears->rotors_kg_m2;
    moving.acceleration_rad_s2 = 0;
    const double given = torque_Nm - rotor_torque(gears, moving);
    const double loss = gears->efficiency;
    const double driving = (gears->ratio * loss * given - load_Nm) / (inertia_kg_m2 + rotors * loss);
    moving.acceleration_rad_s2 = driving;
    if (torque_Nm - rotor_torque(gears, moving) >= 0) {
        return driving;
    }
    return (gears->ratio / loss * given - load_Nm) / (inertia_kg_m2 + rotors / loss);
}

/* True where friction depends on a force that the acceleration changes. */
static bool is_coupled(const motion *of, const pose *at)
{
    return (of->mode != MODE_OFF && fabs(at->drive.arm_m) > 0) || of->loading.leaf->linked_counterweight != NULL;
}

/* Find the acceleration that a torque at the shafts and the brakes leave, and the forces with it. */
static leaf_forces accelerate(const motion *of, const pose *at, const surroundings *now, const gearing *gears,
                              double torque_Nm, double brakes_Nm, swing *moving)
{
    enum { ROUNDS = 60 };
    const double inertia = at->inertia_kg_m2;
    leaf_forces forces = demanded(of, at, *moving, now);
    const double load = forces.demand_Nm - inertia * moving->acceleration_rad_s2 + brakes_Nm;
    double last = moving->acceleration_rad_s2;
    moving->acceleration_rad_s2 = accelerated(gears, *moving, torque_Nm, load, inertia);
    if (!is_coupled(of, at)) {
        forces.demand_Nm += inertia * (moving->acceleration_rad_s2 - last);
        return forces;
    }
    /* Friction is small beside the forces that it follows, so that each round gains digits. */
    for (int i = 0; i < ROUNDS && fabs(moving->acceleration_rad_s2 - last) > 1e-15 * fabs(last); i++) {
        last = moving->acceleration_rad_s2;
        forces = demanded(of, at, *moving, now);
        const double felt = forces.demand_Nm - inertia * last + brakes_Nm;
        moving->acceleration_rad_s2 = accelerated(gears, *moving, torque_Nm, felt, inertia);
    }
    return demanded(of, at, *moving, now);
}

/* What cylinders at full pressure give towards a direction, as a moment. */
static double oil_moment(const trn_drive *drive, const trn_drive_state *at, trn_direction direction)
{
    const double force = travel_sign(direction) * at->arm_m > 0 ? 1 : -1;
    return drive->cylinder.pressure_Pa / trn_cylinder_pressure(&drive->cylinder, force) * fabs(at->arm_m);
}

static void set_limits(const motion *of, const pose *at, double speed_rad_s, motion_now *now)
{
    const trn_leaf *leaf = of->loading.leaf;
    if (leaf->drive->kind == TRN_DRIVE_CYLINDER) {
        const trn_direction other = of->commanded == TRN_OPENING ? TRN_CLOSING : TRN_OPENING;
        now->drive_limit_Nm = oil_moment(leaf->drive, &at->drive, of->commanded);
        now->hold_limit_Nm = oil_moment(leaf->drive, &at->drive, other);
        return;
    }
    const double shaft = fabs(speed_rad_s) * at->drive.ratio;
    const double torque = of->running * trn_motor_torque(leaf->motors, shaft);
    now->drive_limit_Nm = fmax(torque, 0);
    now->hold_limit_Nm = fabs(torque);
}

/* The torque that the mode gives, in the commanded direction. */
static double torque_of_mode(const motion *of, const pose *at, double speed_rad_s, const motion_now *now)
{
    if (of->mode == MODE_LIMIT) {
        return of->side > 0 ? now->drive_limit_Nm : -now->hold_limit_Nm;
    }
    if (of->mode == MODE_LINE) {
        return of->running *
               trn_motor_torque(of->loading.leaf->motors, travel_sign(of->commanded) * speed_rad_s * at->drive.ratio);
    }
    return 0;
}

static void set_flows(const motion *of, const gearing *gears, const surroundings *around, const leaf_forces *forces,
                      swing moving, double brakes_Nm, motion_now *now)
{
    const double speed = moving.speed_rad_s;
    const double sign = travel_sign(moving.direction);
    const double torque = sign * travel_sign(of->commanded) * now->motor_Nm;
    const double net = torque - rotor_torque(gears, moving);
    now->net_Nm = net;
    const double each = of->running > 0 ? now->motor_Nm / of->running : 0;
    now->flows[MOTORS] = torque * gears->ratio * speed;
    now->flows[DRIVING] = fmax(now->flows[MOTORS], 0);
    now->flows[FRICTION] = forces->friction_Nm * speed;
    now->flows[GEARS] = (net * gears->ratio - transmitted(gears, net)) * speed;
    now->flows[BRAKES] = brakes_Nm * speed;
    now->flows[WIND] = sign * around->wind.moment_Nm * speed;
    now->flows[SEAT] = -sign * around->seat_Nm * speed;
    now->flows[SQUARES] = each * each;
}

double motion_oil_grip(const motion *of, double angle_rad, trn_direction direction)
{
    const trn_drive *drive = of->loading.leaf->drive;
    if (drive->kind != TRN_DRIVE_CYLINDER) {
        return 0;
    }
    const trn_drive_state at = trn_drive_at(drive, trn_rotation_by(angle_rad));
    return oil_moment(drive, &at, direction == TRN_OPENING ? TRN_CLOSING : TRN_OPENING);
}

static double cylinder_pressure(const motion *of, const pose *at, double torque_Nm)
{
    const trn_drive *drive = of->loading.leaf->drive;
    if (drive->kind != TRN_DRIVE_CYLINDER || of->mode == MODE_OFF) {
        return 0;
    }
    return trn_cylinder_pressure(&drive->cylinder, travel_sign(of->commanded) * torque_Nm / at->drive.arm_m);
}

motion_now motion_at(const motion *of, double time_s, double angle_rad, double speed_rad_s)
{
    const pose at = pose_at(&of->loading, angle_rad);
    const gearing gears = gearing_at(of, &at);
    const surroundings around = surroundings_at(of, &at, time_s, speed_rad_s);
    const double sign = travel_sign(of->sense);
    const double to_commanded = sign * travel_sign(of->commanded);
    const bool off = of->mode == MODE_OFF;
    const double brakes = off ? straight_at(of->brakes, time_s) + motion_oil_grip(of, angle_rad, of->sense) : 0;
    swing moving = {.direction = of->sense, .friction = of->load_case.friction, .speed_rad_s = sign * speed_rad_s};
    motion_now now = {.wind_Pa = around.wind_Pa,
                      .buffer_N = around.buffer_N,
                      .buffer_push_N = around.buffer_push_N,
                      .seat_N = around.seat_N};
    leaf_forces forces;
    set_limits(of, &at, speed_rad_s, &now);
    if (of->mode == MODE_FOLLOW) {
        moving.acceleration_rad_s2 = of->reference.slope;
        forces = demanded(of, &at, moving, &around);
        now.motor_Nm = trn_drive_torque(forces.demand_Nm, gears.ratio, gears.efficiency) + rotor_torque(&gears, moving);
    } else {
        now.motor_Nm = torque_of_mode(of, &at, speed_rad_s, &now);
        forces = accelerate(of, &at, &around, &gears, to_commanded * now.motor_Nm, brakes, &moving);
    }
    now.acceleration_rad_s2 = sign * moving.acceleration_rad_s2;
    now.pressure_Pa = cylinder_pressure(of, &at, now.motor_Nm);
    set_flows(of, &gears, &around, &forces, moving, brakes, &now);
    return now;
}

/* The demand that the leaf at rest makes before it goes in a direction. */
static double demand_at_rest(const motion *of, const pose *at, double time_s, trn_direction direction)
{
    const surroundings around = surroundings_at(of, at, time_s, 0);
    const swing still = {.direction = direction, .friction = TRN_FRICTION_STARTING};
    return demanded(of, at, still, &around).demand_Nm;
}

double motion_torque_to_move(const motion *of, double time_s, double angle_rad, trn_direction direction)
{
    const pose at = pose_at(&of->loading, angle_rad);
    const gearing gears = gearing_at(of, &at);
    return trn_drive_torque(demand_at_rest(of, &at, time_s, direction), gears.ratio, gears.efficiency);
}

double motion_grip(const motion *of, double time_s, double angle_rad, trn_direction direction)
{
    const pose at = pose_at(&of->loading, angle_rad);
    return demand_at_rest(of, &at, time_s, direction) + straight_at(of->brakes, time_s) +
           motion_oil_grip(of, angle_rad, direction);
}

double motion_inertia(const motion *of, double angle_rad)
{
    const pose at = pose_at(&of->loading, angle_rad);
    const gearing gears = gearing_at(of, &at);
    return at.inertia_kg_m2 + gears.ratio * gears.ratio * gears.rotors_kg_m2;
}

static double height_energy(trn_body body, trn_rotation rotation)
{
    return body.a_Nm * rotation.sine + body.b_Nm * rotation.cosine;
}

double motion_potential(const motion *of, double angle_rad)
{
    const trn_rotation rotation = trn_rotation_by(angle_rad);
    const trn_linked_counterweight *linked = of->loading.leaf->linked_counterweight;
    double energy = height_energy(of->loading.body, rotation) + height_energy(of->loading.ice, rotation);
    if (linked != NULL) {
        energy += height_energy(of->loading.counterweight, trn_link_at(linked, rotation).rotation);
    }
    return energy;
}
