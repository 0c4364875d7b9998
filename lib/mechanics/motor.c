/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/motor.h"

double trn_motor_rated_torque(const trn_motors *motors)
{
    return motors->power_W / motors->speed_rad_s;
}
