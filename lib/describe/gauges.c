/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sections.h"
#include "trunnion/gauge.h"

enum { RATIO, SHAFTS, DIAMETER, BORE, SHEAR_MODULUS, EFFICIENCY };

static const dsc_field gauged_shaft_fields[] = {
    [RATIO] = {"ratio", true, dsc_read_quantity, offsetof(trn_gauged_shaft, ratio), DSC_OVER_0(DSC_PURE)},
    [SHAFTS] = {"shafts", true, dsc_read_whole, offsetof(trn_gauged_shaft, shafts), DSC_WHOLE_FROM(1)},
    [DIAMETER] = {"diameter", true, dsc_read_quantity, offsetof(trn_gauged_shaft, diameter_m), DSC_OVER_0(DSC_LENGTH)},
    [BORE] = {"bore", false, dsc_read_quantity, offsetof(trn_gauged_shaft, bore_m), DSC_0_OR_MORE(DSC_LENGTH)},
    [SHEAR_MODULUS] = {"shear_modulus", true, dsc_read_quantity, offsetof(trn_gauged_shaft, shear_modulus_Pa),
                       DSC_OVER_0(DSC_PRESSURE)},
    [EFFICIENCY] = {"efficiency", true, dsc_read_efficiency, offsetof(trn_gauged_shaft, efficiency), NULL},
};

static bool check_gauged_shaft(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_gauged_shaft *shaft = record;
    if (seen[BORE].good && seen[DIAMETER].good && shaft->bore_m >= shaft->diameter_m) {
        return dsc_fault(reading, seen[BORE].value, "bore", "the bore leaves no shaft: expected less than %g m",
                         shaft->diameter_m);
    }
    return true;
}

const dsc_form dsc_gauged_shaft_form = {
    .noun = "gauged_shaft",
    DSC_FIELDS_OF(gauged_shaft_fields),
    .size = sizeof(trn_gauged_shaft),
    .check = check_gauged_shaft,
};
