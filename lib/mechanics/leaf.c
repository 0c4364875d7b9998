/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/leaf.h"

trn_case trn_default_case(void)
{
    return (trn_case){
        .name = "still air", .friction = TRN_FRICTION_MOVING, .wind = trn_default_wind(), .motor_limit = 1};
}

trn_leaf trn_default_leaf(void)
{
    return (trn_leaf){.name = "", .units = TRN_UNITS_METRIC};
}
