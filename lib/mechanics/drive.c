/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/drive.h"

double trn_drive_torque(double demand_Nm, double ratio, double efficiency)
{
    return demand_Nm >= 0 ? demand_Nm / (ratio * efficiency) : demand_Nm * efficiency / ratio;
}
