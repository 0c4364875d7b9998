/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "spread_model.h"
#include "trunnion/holding.h"

static double travel_sign(trn_direction direction)
{
    return direction == TRN_OPENING ? 1 : -1;
}

/* The largest value that an input takes: a normal one is drawn to 8.3 standard deviations. */
static double largest(const spread_model *model, int input, double described)
{
    if (input == NO_INPUT) {
        return described;
    }
    const trn_input *of = &model->inputs[input];
    return of->shape == TRN_NORMAL ? fmin(of->mean + 8.3 * of->sd, of->high) : of->high;
}

static trn_journal most_friction(const spread_model *model, int body, trn_journal journal)
{
    journal.friction.moving = largest(model, model->moving[body], journal.friction.moving);
    journal.friction.starting = largest(model, model->starting[body], journal.friction.starting);
    return journal;
}

/* Whether the leaf can be moved as described, and with the most friction that it may have. */
static trn_status check_motion(const spread_model *model, const spread_frame *frame, trn_error *error)
{
    trn_leaf most = frame->leaf;
    trn_journal journal;
    trn_linked_counterweight linked;
    trn_loading loading;
    if (most.trunnion != NULL) {
        journal = most_friction(model, ON_LEAF, *most.trunnion);
        most.trunnion = &journal;
    }
    if (most.linked_counterweight != NULL) {
        linked = *most.linked_counterweight;
        linked.journal = most_friction(model, ON_COUNTERWEIGHT, linked.journal);
        most.linked_counterweight = &linked;
    }
    return trn_loading_prepare(&most, &frame->load_case, &loading, error);
}

static trn_status prepare(const spread_model *model, spread_frame *frame, trn_error *error)
{
    const trn_drive *drive = frame->leaf.drive;
    trn_status status = trn_loading_prepare(&frame->leaf, &frame->load_case, &frame->loading, error);
    status = status == TRN_OK ? check_motion(model, frame, error) : status;
    frame->ice = frame->loading.ice;
    frame->windy = frame->loading.pressure_Pa > 0 && frame->leaf.surface_count > 0;
    frame->jointed = frame->leaf.linked_counterweight != NULL ||
                     (drive != NULL && (drive->kind != TRN_DRIVE_RATIO || drive->rack.radius_m > 0));
    return status;
}

trn_status spread_frame_of_case(const spread_model *model, const trn_case *load_case, spread_frame *frame,
                                trn_error *error)
{
    *frame = (spread_frame){.leaf = *model->leaf, .load_case = *load_case};
    frame->weather = model->weathers[load_case - model->leaf->cases];
    return prepare(model, frame, error);
}

/* As trn_leaf_holding: at rest the drive carries nothing, and friction is that of starting. */
trn_status spread_frame_of_holding(const spread_model *model, const trn_holding *holding, trn_wind_side side,
                                   spread_frame *frame, trn_error *error)
{
    *frame = (spread_frame){.leaf = *model->leaf, .load_case = trn_default_case()};
    frame->leaf.drive = NULL;
    frame->load_case.name = holding->name;
    frame->load_case.friction = TRN_FRICTION_STARTING;
    frame->load_case.wind = holding->wind;
    frame->load_case.wind.from = side;
    frame->load_case.ice_N_m2 = holding->ice_N_m2;
    frame->weather = model->weathers[model->leaf->case_count + (size_t)(holding - model->leaf->holdings)];
    return prepare(model, frame, error);
}

/* The groups' actions as described; a group of uncertain solidity for a solidity of 1. */
static void wind_basis(const spread_model *model, const spread_frame *frame, trn_direction direction,
                       trn_rotation rotation, trn_wind_action *winds)
{
    const trn_leaf *leaf = &frame->leaf;
    const trn_wind *wind = &frame->load_case.wind;
    const double factor = frame->loading.pressure_Pa * trn_wind_sense(wind->from, direction);
    for (size_t i = 0; i < model->wind_groups; i++) {
        winds[i] = (trn_wind_action){0};
    }
    for (size_t i = 0; i < leaf->surface_count; i++) {
        if (!leaf->surfaces[i].takes_wind) {
            continue;
        }
        trn_surface surface = leaf->surfaces[i];
        trn_wind_action *group = &winds[model->group_of[i]];
        surface.solidity = model->group_of[i] > 0 ? 1 : surface.solidity;
        const trn_wind_action one = trn_wind_on_surface(&surface, wind, rotation);
        group->moment_Nm += factor * one.moment_Nm;
        group->force.x += factor * one.force.x;
        group->force.y += factor * one.force.y;
    }
}

static void link_basis(const spread_frame *frame, trn_direction direction, trn_rotation rotation, spread_basis *basis)
{
    const trn_linked_counterweight *linked = frame->leaf.linked_counterweight;
    if (linked == NULL) {
        return;
    }
    const trn_link_state link = trn_link_at(linked, rotation);
    basis->link_rate = link.rate;
    basis->link_turning = travel_sign(direction) * link.rate;
    basis->link_rotation = link.rotation;
    basis->link_sense = basis->link_turning >= 0 ? 1 : -1;
    basis->link_per_moment =
        (trn_point){basis->link_sense / link.arm_m * link.along.x, basis->link_sense / link.arm_m * link.along.y};
}

/* As drive_per_moment in moments.c. */
static void drive_basis(const trn_drive_state *drive, trn_direction direction, spread_basis *basis)
{
    if (!(fabs(drive->arm_m) > 0)) {
        return;
    }
    const double along = travel_sign(direction) / drive->arm_m;
    for (int side = 0; side < 2; side++) {
        const double spread = (side == 0 ? 1 : -1) / fabs(drive->arm_m);
        basis->drive_per_moment[side] = (trn_point){along * drive->along.x + spread * drive->spread.x,
                                                    along * drive->along.y + spread * drive->spread.y};
    }
}

static void use_of_cylinders(const spread_frame *frame, const trn_drive_state *drive, trn_direction direction,
                             spread_basis *basis)
{
    const trn_cylinder *cylinder = &frame->leaf.drive->cylinder;
    const double allowed = frame->load_case.motor_limit * cylinder->pressure_Pa;
    const double force = travel_sign(direction) / drive->arm_m;
    basis->use_driving = trn_cylinder_pressure(cylinder, force) / allowed;
    basis->use_overhauling = -trn_cylinder_pressure(cylinder, -force) / allowed;
}

static void use_of_motors(const spread_frame *frame, const trn_drive_state *drive, spread_basis *basis)
{
    const trn_motors *motors = frame->leaf.motors;
    const double allowed = frame->load_case.motor_limit * trn_motor_rated_torque(motors) * motors->running;
    basis->use_driving = 1 / (drive->ratio * allowed);
    basis->use_overhauling = basis->use_driving;
    basis->use_rotors =
        motors->installed * motors->inertia_kg_m2 * drive->ratio * frame->loading.acceleration_rad_s2 / allowed;
}

spread_basis spread_basis_at(const spread_model *model, const spread_frame *frame, trn_direction direction,
                             double angle_rad, trn_wind_action *winds)
{
    const trn_rotation rotation = trn_rotation_by(angle_rad);
    const double sign = travel_sign(direction);
    spread_basis basis = {
        .sign = sign, .along_a = sign * rotation.cosine, .along_b = -sign * rotation.sine, .winds = winds};
    if (frame->windy) {
        wind_basis(model, frame, direction, rotation, winds);
    }
    link_basis(frame, direction, rotation, &basis);
    if (frame->leaf.drive != NULL) {
        const trn_drive_state drive = trn_drive_at(frame->leaf.drive, rotation);
        const bool cylinders = frame->leaf.drive->kind == TRN_DRIVE_CYLINDER;
        drive_basis(&drive, direction, &basis);
        basis.has_use = cylinders || frame->leaf.motors != NULL;
        if (cylinders) {
            use_of_cylinders(frame, &drive, direction, &basis);
        } else if (basis.has_use) {
            use_of_motors(frame, &drive, &basis);
        }
    }
    return basis;
}
