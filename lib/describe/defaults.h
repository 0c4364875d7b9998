/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which defaults a reading took: for who wants to know what a short description stands for. */
#ifndef DSC_DEFAULTS_H
#define DSC_DEFAULTS_H

#include "fields.h"
#include "trunnion/describe.h"

/* The defaults so far; all zero is none. */
struct dsc_defaults {
    trn_taken_default *taken;
    size_t count;
    size_t room;
};

/*
 * Note what a mapping that was read whole holds of fields that it does not have. A number that is 0 is noted of some
 * fields only: of others it says that there is nothing of the kind. Without memory the reading's status is set.
 */
void dsc_defaults_note(dsc_reading *reading, const dsc_node *mapping, const dsc_form *form, const dsc_seen *seen,
                       const void *record);

#endif
