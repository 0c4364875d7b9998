/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/journal.h"

#include <math.h>
#include <stddef.h>

double trn_friction_coefficient(const trn_friction *friction, trn_friction_state state)
{
    return state == TRN_FRICTION_STARTING ? friction->starting : friction->moving;
}

double trn_journal_friction_arm(const trn_journal *journal, trn_friction_state state)
{
    return journal == NULL ? 0 : trn_friction_coefficient(&journal->friction, state) * journal->diameter_m / 2;
}

double trn_journal_friction(const trn_journal *journal, trn_friction_state state, double reaction_N)
{
    return journal == NULL ? 0 : trn_journal_friction_arm(journal, state) * reaction_N + journal->drag_Nm;
}

bool trn_journal_locks(trn_point per_moment, double friction_arm_m)
{
    return friction_arm_m * hypot(per_moment.x, per_moment.y) >= 1;
}

/* N^2 = |others + (moment + k N) v|^2, of which the positive root is wanted. */
double trn_journal_reaction(trn_journal_load load, double friction_arm_m)
{
    const trn_point v = load.per_moment;
    const trn_point without = {load.others.x + load.moment_Nm * v.x, load.others.y + load.moment_Nm * v.y};
    const double k = friction_arm_m;
    const double a = 1 - k * k * (v.x * v.x + v.y * v.y);
    const double b = k * (without.x * v.x + without.y * v.y);
    const double size = hypot(without.x, without.y);
    const double root = hypot(b, sqrt(a) * size);
    /* Two forms of the one root: each adds where the other would cancel. */
    return b >= 0 ? (b + root) / a : size * size / (root - b);
}
