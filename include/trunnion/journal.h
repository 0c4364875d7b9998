/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file journal.h
 * Reaction and friction of a trunnion.
 */
#ifndef TRN_JOURNAL_H
#define TRN_JOURNAL_H

#include <stdbool.h>

#include "trunnion/geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Which friction acts: of a leaf that starts, or of one that moves. */
typedef enum trn_friction_state { TRN_FRICTION_STARTING, TRN_FRICTION_MOVING } trn_friction_state;

/** Coefficients of friction: 0 to 1, moving at most starting. */
typedef struct trn_friction {
    double starting; /**< at rest */
    double moving; /**< in motion */
} trn_friction;

/** A trunnion: journals of one diameter, all together. */
typedef struct trn_journal {
    double diameter_m; /**< over 0 */
    trn_friction friction; /**< of the journals */
    double drag_Nm; /**< a constant moment against motion (seals, shafts), 0 or more */
} trn_journal;

/** The coefficient for a state. */
double trn_friction_coefficient(const trn_friction *friction, trn_friction_state state);

/**
 * Friction moment F = mu N d/2 + drag, N m, always against motion; reaction_N
 * is the resultant N. The handbook form; the exact friction circle has
 * sin(atan mu) for mu and is the smaller. A NULL journal has no friction.
 */
double trn_journal_friction(const trn_journal *journal, trn_friction_state state, double reaction_N);

/**
 * What stands in balance about a journal, apart from its own friction: a
 * driving force (at a strut, a tooth, a link) has to overcome moment_Nm and
 * the friction of the journal, and is itself carried by the journal.
 */
typedef struct trn_journal_load {
    trn_point others;     /**< all other forces on the body, N */
    double moment_Nm;     /**< what the driving force overcomes, journal friction apart */
    trn_point per_moment; /**< the driving force for each N m that it overcomes, 1/m; zero where it is not described */
} trn_journal_load;

/**
 * The reaction N = |others + (moment + k N) per_moment| with k = friction_arm_m
 * (mu d/2), N; solved as the quadratic that it is.
 * k |per_moment| must be below 1: see trn_journal_locks.
 */
double trn_journal_reaction(trn_journal_load load, double friction_arm_m);

/** True where friction locks: the force passes within the friction circle, k |per_moment| >= 1. */
bool trn_journal_locks(trn_point per_moment, double friction_arm_m);

/** Radius of the friction circle, mu d/2, m; 0 for a NULL journal. */
double trn_journal_friction_arm(const trn_journal *journal, trn_friction_state state);

#ifdef __cplusplus
}
#endif

#endif
