/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/travel.h"

double trn_travel_acceleration(const trn_travel *travel)
{
    return travel->speed_rad_s / travel->accelerate_in_s;
}
