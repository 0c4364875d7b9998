/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>

#include "sections.h"
#include "trunnion/leaf.h"

static const char *const friction_words[] = {[TRN_FRICTION_STARTING] = "starting", [TRN_FRICTION_MOVING] = "moving"};
const dsc_choice dsc_friction_states = {friction_words, sizeof friction_words / sizeof *friction_words};

static const dsc_field case_fields[] = {
    {"name", true, dsc_read_text, offsetof(trn_case, name), NULL},
    {"friction", false, dsc_read_choice, offsetof(trn_case, friction), &dsc_friction_states},
    {"accelerating", false, dsc_read_flag, offsetof(trn_case, accelerating), NULL},
    {"wind", false, dsc_read_record, offsetof(trn_case, wind), &dsc_wind_form},
    {"ice", false, dsc_read_quantity, offsetof(trn_case, ice_N_m2), DSC_0_OR_MORE(DSC_WEIGHT_PER_AREA)},
    {"motor_limit", false, dsc_read_quantity, offsetof(trn_case, motor_limit), DSC_OVER_0(DSC_PURE)},
};

static void case_defaults(void *record)
{
    *(trn_case *)record = trn_default_case();
}

static const dsc_form case_form = {
    .noun = "a case", DSC_FIELDS_OF(case_fields), .size = sizeof(trn_case), .set_defaults = case_defaults};

const dsc_list dsc_case_list = {
    .item = {"cases", true, dsc_read_record, 0, &case_form},
    .item_size = sizeof(trn_case),
    .count_offset = offsetof(trn_leaf, case_count),
    .least = 1,
    .most = SIZE_MAX,
    .nouns = "cases",
    .named = true,
};

static const dsc_field holding_fields[] = {
    {"name", true, dsc_read_text, offsetof(trn_holding, name), NULL},
    {"wind", false, dsc_read_record, offsetof(trn_holding, wind), &dsc_wind_form},
    {"ice", false, dsc_read_quantity, offsetof(trn_holding, ice_N_m2), DSC_0_OR_MORE(DSC_WEIGHT_PER_AREA)},
    {"factor", false, dsc_read_quantity, offsetof(trn_holding, factor), DSC_OVER_0(DSC_PURE)},
    {"friction_credit", false, dsc_read_quantity, offsetof(trn_holding, friction_credit), DSC_0_TO_1},
};

static void holding_defaults(void *record)
{
    *(trn_holding *)record = (trn_holding){.wind = trn_default_wind(), .factor = 1};
}

static const dsc_form holding_form = {
    .noun = "a holding", DSC_FIELDS_OF(holding_fields), .size = sizeof(trn_holding), .set_defaults = holding_defaults};

const dsc_list dsc_holding_list = {
    .item = {"holding", true, dsc_read_record, 0, &holding_form},
    .item_size = sizeof(trn_holding),
    .count_offset = offsetof(trn_leaf, holding_count),
    .most = SIZE_MAX,
    .nouns = "holdings",
    .named = true,
};
