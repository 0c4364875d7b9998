/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/journal.h"

#include <stddef.h>

double trn_friction_coefficient(const trn_friction *friction, trn_friction_state state)
{
    return state == TRN_FRICTION_STARTING ? friction->starting : friction->moving;
}

double trn_journal_friction(const trn_journal *journal, trn_friction_state state, double reaction_N)
{
    if (journal == NULL) {
        return 0;
    }
    return trn_friction_coefficient(&journal->friction, state) * reaction_N * journal->diameter_m / 2 +
           journal->drag_Nm;
}
