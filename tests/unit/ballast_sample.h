/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file ballast_sample.h
 * Small leaves with pockets, and a nasty one, to plan for.
 */
#ifndef TRN_TEST_BALLAST_SAMPLE_H
#define TRN_TEST_BALLAST_SAMPLE_H

#include "assertions.h"
#include "trunnion/ballast.h"

#define DEGREE 0.017453292519943295769
#define POCKETS 12

/* A leaf of one part, A 12 000 N m and B 6 000 N m, with one pocket 5 m behind the trunnion. */
typedef struct sample {
    trn_leaf leaf;
    trn_part part;
    trn_pocket pockets[POCKETS];
    trn_balance_target target;
    trn_ballast_move moves[POCKETS];
    trn_ballast_plan plan;
    trn_ballast_settings settings;
} sample;

static inline void set_up(sample *made)
{
    *made = (sample){.part = trn_default_part(), .settings = trn_default_ballast_settings()};
    made->part.name = "span";
    made->part.weight_N = 10000;
    made->part.at = (trn_point){1.2, 0.6};
    made->pockets[0] = (trn_pocket){.name = "heel", .at = {-5, 0}, .block_N = 400, .blocks = 10, .room = 30};
    made->leaf = trn_default_leaf();
    made->leaf.opens_to_rad = 70 * DEGREE;
    made->leaf.toe_m = 10;
    made->leaf.parts = &made->part;
    made->leaf.part_count = 1;
    made->leaf.pockets = made->pockets;
    made->leaf.pocket_count = 1;
    made->leaf.balance_target = &made->target;
    made->target.toe_reaction_N = (trn_window){-1000, -700};
    made->target.angle_rad = (trn_window){120 * DEGREE, 160 * DEGREE};
}

static inline void plan_well(sample *of)
{
    trn_error error = {.text = ""};
    const trn_status status = trn_leaf_ballast(&of->leaf, &of->settings, of->moves, &of->plan, &error);
    if (status != TRN_OK) {
        print_error("%s\n", error.text);
    }
    assert_int_equal(status, TRN_OK);
}

/* Twelve pockets and a window of a hundred-thousandth of a block. */
static inline void set_up_nasty(sample *made, double wide_Nm)
{
    set_up(made);
    made->leaf.pocket_count = POCKETS;
    for (int i = 0; i < POCKETS; i++) {
        made->pockets[i] = (trn_pocket){.name = "pocket",
                                        .at = {-7 + 0.37 * i + 0.011 * i * i, -2 + 0.41 * ((i * 5) % 12)},
                                        .block_N = 400 + 3.7 * ((i * 7) % 11),
                                        .blocks = 20 + i,
                                        .room = 60};
    }
    const trn_balance now = trn_leaf_balance(&made->leaf);
    made->target.by_moments = true;
    made->target.a_Nm.low = now.closed_moment_Nm + 9123.4;
    made->target.b_Nm.low = now.moment_Nm * sin(now.angle_rad) - 5432.1;
    made->target.a_Nm.high = made->target.a_Nm.low + wide_Nm;
    made->target.b_Nm.high = made->target.b_Nm.low + wide_Nm;
}

#endif
