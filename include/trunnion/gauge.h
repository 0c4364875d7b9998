/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file gauge.h
 * Shafts with strain gauges, for a balance test.
 */
#ifndef TRN_GAUGE_H
#define TRN_GAUGE_H

#ifdef __cplusplus
extern "C" {
#endif

/** Gauged shafts alike. */
typedef struct trn_gauged_shaft {
    double ratio;      /**< turns of the shaft per leaf turn */
    int shafts;        /**< at least 1 */
    double diameter_m; /**< outer, over 0 */
    double bore_m;     /**< 0 for a solid shaft, less than the diameter */
    double shear_modulus_Pa; /**< over 0 */
    double efficiency; /**< between shaft and leaf, over 0, at most 1 */
} trn_gauged_shaft;

#ifdef __cplusplus
}
#endif

#endif
