/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The caution that stands under every table for people, in two lines. */
#ifndef PRESENT_CAUTION_H
#define PRESENT_CAUTION_H

#define CAUTION_FIRST \
    "Caution: computed from the description alone, not a sealed design. Check every value against the code that"
#define CAUTION_SECOND "governs; local rules and a licensed engineer decide."
#define CAUTION_PLOT \
    "Caution: computed from a description, no sealed design; a licensed engineer decides, local rules govern."
#define CAUTION CAUTION_FIRST "\n" CAUTION_SECOND

#endif
