/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The caution that stands under every table for people. */
#ifndef PRESENT_CAUTION_H
#define PRESENT_CAUTION_H

#define CAUTION                                                                                             \
    "Caution: computed from the description alone, not a sealed design. Check every value against the code that\n" \
    "governs; local rules and a licensed engineer decide."

#endif
