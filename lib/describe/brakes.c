/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>

#include "sections.h"
#include "trunnion/leaf.h"

static const dsc_field brake_fields[] = {
    {"name", true, dsc_read_text, offsetof(trn_brake, name), NULL},
    {"count", false, dsc_read_whole, offsetof(trn_brake, count), DSC_WHOLE_FROM(1)},
    {"torque", true, dsc_read_quantity, offsetof(trn_brake, torque_Nm), DSC_OVER_0(DSC_TORQUE)},
    {"ratio", true, dsc_read_quantity, offsetof(trn_brake, ratio), DSC_OVER_0(DSC_PURE)},
    {"delay", true, dsc_read_quantity, offsetof(trn_brake, delay_s), DSC_0_OR_MORE(DSC_TIME)},
    {"set_time", true, dsc_read_quantity, offsetof(trn_brake, set_time_s), DSC_0_OR_MORE(DSC_TIME)},
    {"heat_capacity", false, dsc_read_quantity, offsetof(trn_brake, heat_capacity_J_K), DSC_OVER_0(DSC_HEAT_CAPACITY)},
};

static void brake_defaults(void *record)
{
    *(trn_brake *)record = (trn_brake){.count = 1};
}

static const dsc_form brake_form = {
    .noun = "a brake", DSC_FIELDS_OF(brake_fields), .size = sizeof(trn_brake), .set_defaults = brake_defaults};

const dsc_list dsc_brake_list = {
    .item = {"brakes", true, dsc_read_record, 0, &brake_form},
    .item_size = sizeof(trn_brake),
    .count_offset = offsetof(trn_leaf, brake_count),
    .most = SIZE_MAX,
    .nouns = "brakes",
    .named = true,
};
