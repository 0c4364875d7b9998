/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/drive.h"

#include <gsl/gsl_math.h>
#include <math.h>

double trn_drive_torque(double demand_Nm, double ratio, double efficiency)
{
    return demand_Nm >= 0 ? demand_Nm / (ratio * efficiency) : demand_Nm * efficiency / ratio;
}

/* A strut or cylinder from a fixed point to a pin on the leaf: ds/dtheta is
   the component along it of the pin's travel for each radian. */
static trn_drive_state strut_state(trn_point pin, trn_point fixed, trn_rotation rotation)
{
    const trn_point at = trn_point_rotate(pin, rotation);
    const double length = trn_point_distance(fixed, at);
    const trn_point along = {(at.x - fixed.x) / length, (at.y - fixed.y) / length};
    return (trn_drive_state){.length_m = length, .arm_m = (fixed.x * at.y - fixed.y * at.x) / length, .along = along};
}

static trn_drive_state rack_state(const trn_drive *drive)
{
    const trn_rack *rack = &drive->rack;
    if (!(rack->radius_m > 0)) {
        return (trn_drive_state){.ratio = drive->ratio};
    }
    const trn_rotation pinion = trn_rotation_by(rack->pinion_rad);
    const double push = tan(rack->pressure_angle_rad);
    return (trn_drive_state){.ratio = drive->ratio,
                             .arm_m = rack->radius_m,
                             .along = {-pinion.sine, pinion.cosine},
                             .spread = {-push * pinion.cosine, -push * pinion.sine}};
}

trn_drive_state trn_drive_at(const trn_drive *drive, trn_rotation rotation)
{
    if (drive->kind == TRN_DRIVE_CYLINDER) {
        return strut_state(drive->cylinder.on_leaf, drive->cylinder.anchor, rotation);
    }
    if (drive->kind == TRN_DRIVE_STRUT) {
        const trn_strut *strut = &drive->strut;
        trn_drive_state state = strut_state(strut->on_leaf, strut->pinion, rotation);
        const trn_point at = trn_point_rotate(strut->on_leaf, rotation);
        const double turns = strut->ratio / strut->pinion_radius_m;
        /* d2s/dtheta2 from s ds/dtheta = pinion x pin, once more differentiated. */
        const double bend =
            (at.x * strut->pinion.x + at.y * strut->pinion.y - state.arm_m * state.arm_m) / state.length_m;
        state.ratio = fabs(state.arm_m) * turns;
        state.ratio_change = (state.arm_m < 0 ? -bend : bend) * turns;
        return state;
    }
    return rack_state(drive);
}

/* The pin passes the line from the trunnion through the fixed point, on
   either side of the trunnion, once in each half turn. */
bool trn_drive_dead_point(const trn_drive *drive, double opens_to_rad, double *angle_rad)
{
    if (drive->kind == TRN_DRIVE_RATIO) {
        return false;
    }
    const bool strut = drive->kind == TRN_DRIVE_STRUT;
    const trn_point pin = strut ? drive->strut.on_leaf : drive->cylinder.on_leaf;
    const trn_point fixed = strut ? drive->strut.pinion : drive->cylinder.anchor;
    const double across = pin.x * fixed.y - pin.y * fixed.x;
    const double along = pin.x * fixed.x + pin.y * fixed.y;
    double angle = atan2(across, along);
    angle = angle < 0 ? angle + M_PI : angle;
    /* A hair below closed, or half a turn from it, is closed. */
    angle = angle > M_PI - 1e-12 ? 0 : angle;
    *angle_rad = angle;
    return angle <= opens_to_rad;
}

double trn_cylinder_pressure(const trn_cylinder *cylinder, double force_N)
{
    const double bore = M_PI / 4 * cylinder->bore_m * cylinder->bore_m;
    const double rod = M_PI / 4 * cylinder->rod_m * cylinder->rod_m;
    return fabs(force_N) / (cylinder->count * (force_N >= 0 ? bore : bore - rod));
}
