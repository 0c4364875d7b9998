/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "row.h"

#include <string.h>

#include "present/json.h"

#define COLUMN(field, over, under, what, need)                        \
    {                                                                 \
#field, over, under, what, offsetof(trn_moments, field), need \
    }

const column columns[COLUMN_COUNT] = {
    COLUMN(balance_Nm, "", "balance", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(wind_opening_Nm, "wind", "opening", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(wind_closing_Nm, "wind", "closing", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(ice_Nm, "", "ice", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(friction_opening_Nm, "friction", "opening", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(friction_closing_Nm, "friction", "closing", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(inertia_Nm, "", "inertia", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(opening_Nm, "demand", "opening", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(closing_Nm, "demand", "closing", QUANTITY_MOMENT, NEEDS_NOTHING),
    COLUMN(motor_opening_Nm, "motor", "opening", QUANTITY_TORQUE, NEEDS_MOTOR),
    COLUMN(motor_closing_Nm, "motor", "closing", QUANTITY_TORQUE, NEEDS_MOTOR),
    COLUMN(reaction_opening_N, "reaction", "opening", QUANTITY_FORCE, NEEDS_NOTHING),
    COLUMN(reaction_closing_N, "reaction", "closing", QUANTITY_FORCE, NEEDS_NOTHING),
    COLUMN(force_opening_N, "drive force", "opening", QUANTITY_FORCE, NEEDS_FORCE),
    COLUMN(force_closing_N, "drive force", "closing", QUANTITY_FORCE, NEEDS_FORCE),
    COLUMN(pressure_opening_Pa, "pressure", "opening", QUANTITY_OIL_PRESSURE, NEEDS_PRESSURE),
    COLUMN(pressure_closing_Pa, "pressure", "closing", QUANTITY_OIL_PRESSURE, NEEDS_PRESSURE),
    COLUMN(link_opening_N, "link", "opening", QUANTITY_FORCE, NEEDS_LINK),
    COLUMN(link_closing_N, "link", "closing", QUANTITY_FORCE, NEEDS_LINK),
    COLUMN(counterweight_reaction_opening_N, "cw reaction", "opening", QUANTITY_FORCE, NEEDS_LINK),
    COLUMN(counterweight_reaction_closing_N, "cw reaction", "closing", QUANTITY_FORCE, NEEDS_LINK),
};

double row_value(const trn_moments *row, size_t offset)
{
    double value;
    (void)memcpy(&value, (const char *)row + offset, sizeof value);
    return value;
}

double column_value(const column *of, const trn_moments *row)
{
    return row_value(row, of->offset);
}

bool column_has(const column *of, const trn_moments *row)
{
    switch (of->need) {
    case NEEDS_MOTOR:
        return row->has_motor;
    case NEEDS_FORCE:
        return row->has_force;
    case NEEDS_PRESSURE:
        return row->has_pressure;
    case NEEDS_LINK:
        return row->has_link;
    default:
        return true;
    }
}

bool column_absent(const column *of, const trn_moments *row)
{
    return of->need != NEEDS_MOTOR && !column_has(of, row);
}

json_t *row_json(double angle_deg, const trn_moments *row)
{
    json_t *object = json_pack("{s:f}", "angle_deg", angle_deg);
    int failed = object == NULL;
    for (size_t i = 0; i < COLUMN_COUNT; i++) {
        if (!column_absent(&columns[i], row)) {
            failed |= json_object_set_new(object, columns[i].key,
                                          column_has(&columns[i], row) ? json_real(column_value(&columns[i], row))
                                                                       : json_null());
        }
    }
    return json_unless(failed, object);
}
