/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file journal.h
 * Reaction and friction of a trunnion.
 */
#ifndef TRN_JOURNAL_H
#define TRN_JOURNAL_H

#include "trunnion/geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum trn_friction_state { TRN_FRICTION_STARTING, TRN_FRICTION_MOVING } trn_friction_state;

/** Coefficients of friction: 0 to 1, moving at most starting. */
typedef struct trn_friction {
    double starting;
    double moving;
} trn_friction;

/** A trunnion: journals of one diameter, all together. */
typedef struct trn_journal {
    double diameter_m;
    trn_friction friction;
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

#ifdef __cplusplus
}
#endif

#endif
