/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file seating.h
 * What the toe comes down on: live-load shoes, and buffers above them.
 */
#ifndef TRN_SEATING_H
#define TRN_SEATING_H

#ifdef __cplusplus
extern "C" {
#endif

/**
 * Shoes and buffers, all of them together, at the toe distance from the
 * trunnion. A buffer pushes with preload + stiffness times stroke used +
 * damping times closing speed, never less than 0; the shoes are springs, or
 * rigid where their stiffness is 0 (their force at the impact is then unknown).
 */
typedef struct trn_seating {
    double shoe_stiffness_N_m;   /**< 0: rigid */
    double buffer_stroke_m;      /**< how far above the shoes the toe meets the buffers; 0: no buffers */
    double buffer_preload_N;     /**< 0 or more */
    double buffer_stiffness_N_m; /**< 0 or more */
    double buffer_damping_N_s_m; /**< 0 or more */
} trn_seating;

#ifdef __cplusplus
}
#endif

#endif
