/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/seating.h"
#include "sections.h"

enum { STROKE, PRELOAD, STIFFNESS, DAMPING };

static const dsc_field buffer_fields[] = {
    [STROKE] = {"stroke", true, dsc_read_quantity, offsetof(trn_seating, buffer_stroke_m), DSC_OVER_0(DSC_LENGTH)},
    [PRELOAD] = {"preload", false, dsc_read_quantity, offsetof(trn_seating, buffer_preload_N),
                 DSC_0_OR_MORE(DSC_FORCE)},
    [STIFFNESS] = {"stiffness", false, dsc_read_quantity, offsetof(trn_seating, buffer_stiffness_N_m),
                   DSC_0_OR_MORE(DSC_STIFFNESS)},
    [DAMPING] = {"damping", false, dsc_read_quantity, offsetof(trn_seating, buffer_damping_N_s_m),
                 DSC_0_OR_MORE(DSC_DAMPING)},
};

static bool check_buffers(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    const trn_seating *seating = record;
    const bool given_badly = (seen[PRELOAD].key && !seen[PRELOAD].good) ||
                             (seen[STIFFNESS].key && !seen[STIFFNESS].good) ||
                             (seen[DAMPING].key && !seen[DAMPING].good);
    if (given_badly || seating->buffer_preload_N > 0 || seating->buffer_stiffness_N_m > 0 ||
        seating->buffer_damping_N_s_m > 0) {
        return true;
    }
    return dsc_missing(reading, mapping,
                       "buffers that resist nothing: expected a preload, a stiffness or a damping over 0");
}

/* They lie in the struct of the seating itself. */
static const dsc_form buffers_form = {
    .noun = "buffers", DSC_FIELDS_OF(buffer_fields), .size = sizeof(trn_seating), .check = check_buffers};

enum { SHOE_STIFFNESS, BUFFERS };

static const dsc_field seating_fields[] = {
    [SHOE_STIFFNESS] = {"shoe_stiffness", false, dsc_read_quantity, offsetof(trn_seating, shoe_stiffness_N_m),
                        DSC_OVER_0(DSC_STIFFNESS)},
    [BUFFERS] = {"buffers", false, dsc_read_record, 0, &buffers_form},
};

static bool check_seating(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)record;
    return seen[SHOE_STIFFNESS].key || seen[BUFFERS].key ||
           dsc_missing(reading, mapping, "the seating says nothing: expected shoe_stiffness, buffers, or both");
}

const dsc_form dsc_seating_form = {
    .noun = "seating", DSC_FIELDS_OF(seating_fields), .size = sizeof(trn_seating), .check = check_seating};
