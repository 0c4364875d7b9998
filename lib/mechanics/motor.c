/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/motor.h"

#include <math.h>

double trn_motor_rated_torque(const trn_motors *motors)
{
    return motors->power_W / motors->speed_rad_s;
}

double trn_motor_peak_torque(const trn_motors *motors)
{
    if (motors->law != TRN_TORQUE_TABLE) {
        const double factor = motors->law == TRN_TORQUE_INDUCTION ? motors->breakdown : motors->peak;
        return factor * trn_motor_rated_torque(motors);
    }
    double largest = 0;
    for (size_t i = 0; i < motors->table_count; i++) {
        largest = fmax(largest, motors->table[i].torque_Nm);
    }
    return largest;
}

/* The difference first: slips are small, and 1 less a quotient would keep few of their digits. */
static double slip_at(const trn_motors *motors, double speed_rad_s)
{
    return (motors->synchronous_rad_s - speed_rad_s) / motors->synchronous_rad_s;
}

double trn_motor_breakdown_slip(const trn_motors *motors)
{
    const double rated_slip = slip_at(motors, motors->speed_rad_s);
    const double m = motors->breakdown;
    return rated_slip * (m + sqrt((m - 1) * (m + 1)));
}

static double constant_torque(const trn_motors *motors, double speed_rad_s)
{
    return motors->peak * motors->power_W / fmax(speed_rad_s, motors->speed_rad_s);
}

/* Written without dividing by the slip, which is zero at synchronous speed. */
static double kloss_torque(const trn_motors *motors, double speed_rad_s)
{
    const double slip = slip_at(motors, speed_rad_s);
    const double at_breakdown = trn_motor_breakdown_slip(motors);
    const double breakdown = motors->breakdown * trn_motor_rated_torque(motors);
    return 2 * breakdown * slip * at_breakdown / (slip * slip + at_breakdown * at_breakdown);
}

static double table_torque(const trn_motors *motors, double speed_rad_s)
{
    const trn_torque_point *table = motors->table;
    if (speed_rad_s <= table[0].speed_rad_s) {
        return table[0].torque_Nm;
    }
    /* The speed is over that of the point below, and not over that of the point above, if there is one. */
    size_t below = 0;
    size_t above = motors->table_count;
    while (above - below > 1) {
        const size_t middle = below + (above - below) / 2;
        *(speed_rad_s <= table[middle].speed_rad_s ? &above : &below) = middle;
    }
    if (above == motors->table_count) {
        return table[below].torque_Nm;
    }
    const trn_torque_point low = table[below];
    const double share = (speed_rad_s - low.speed_rad_s) / (table[above].speed_rad_s - low.speed_rad_s);
    return low.torque_Nm + share * (table[above].torque_Nm - low.torque_Nm);
}

double trn_motor_torque(const trn_motors *motors, double speed_rad_s)
{
    switch (motors->law) {
    case TRN_TORQUE_INDUCTION:
        return kloss_torque(motors, speed_rad_s);
    case TRN_TORQUE_TABLE:
        return table_torque(motors, speed_rad_s);
    case TRN_TORQUE_CONSTANT:
        break;
    }
    return constant_torque(motors, speed_rad_s);
}

double trn_preferred_number(double at_least)
{
    static const double r20[] = {1.00, 1.12, 1.25, 1.40, 1.60, 1.80, 2.00, 2.24, 2.50, 2.80, 3.15,
                                 3.55, 4.00, 4.50, 5.00, 5.60, 6.30, 7.10, 8.00, 9.00, 10.0};
    const double decade = pow(10, floor(log10(at_least)));
    /* A value that is preferred itself shall not be pushed to the next by rounding. */
    const double wanted = at_least / decade * (1 - 1e-12);
    size_t i = 0;
    while (i + 1 < sizeof r20 / sizeof r20[0] && r20[i] < wanted) {
        i++;
    }
    return r20[i] * decade;
}
