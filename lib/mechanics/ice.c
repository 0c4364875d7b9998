/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/ice.h"

#include "bodies.h"

trn_body trn_ice_body(const trn_surface *surfaces, size_t count, double weight_per_area_N_m2)
{
    body_sum total = {0};
    for (size_t i = 0; i < count; i++) {
        if (surfaces[i].takes_ice) {
            trn_part sheet = trn_default_part();
            sheet.shape = TRN_SHAPE_SLAB;
            sheet.weight_per_area_N_m2 = weight_per_area_N_m2;
            sheet.width_m = surfaces[i].width_m;
            sheet.from = surfaces[i].from;
            sheet.to = surfaces[i].to;
            body_sum_add(&total, trn_part_body(&sheet, (trn_point){0, 0}));
        }
    }
    return body_sum_whole(&total);
}
