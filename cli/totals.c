/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "totals.h"

#include "angles.h"
#include "present/json.h"

int totals_put(json_t *object, const trn_balance *balance)
{
    int failed = json_put(object, "weight_N", true, balance->weight_N);
    failed |= json_put(object, "mass_kg", true, balance->mass_kg);
    failed |= json_put(object, "x_m", true, balance->centre.x);
    failed |= json_put(object, "y_m", true, balance->centre.y);
    failed |= json_put(object, "closed_moment_Nm", true, balance->closed_moment_Nm);
    failed |= json_put(object, "moment_Nm", true, balance->moment_Nm);
    failed |= json_put(object, "angle_deg", true, degrees_of(balance->angle_rad));
    failed |= json_put(object, "inertia_kg_m2", true, balance->inertia_kg_m2);
    failed |= json_put(object, "toe_reaction_N", true, balance->toe_reaction_N);
    failed |= json_put(object, "neutral_angle_deg", balance->has_neutral_angle, degrees_of(balance->neutral_angle_rad));
    return failed;
}

json_t *totals_json(const trn_balance *balance)
{
    json_t *object = json_object();
    return json_unless(totals_put(object, balance), object);
}
