/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file ice.h
 * Ice and snow: a weight per area on the surfaces that carry it.
 */
#ifndef TRN_ICE_H
#define TRN_ICE_H

#include <stddef.h>

#include "trunnion/part.h"
#include "trunnion/wind.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * The body of ice of weight_per_area_N_m2 on the gross area (solidity does
 * not count) of the surfaces that take ice: weight w b L at each mid-point,
 * inertia as bars. Its moment at an angle is trn_body_moment.
 */
trn_body trn_ice_body(const trn_surface *surfaces, size_t count, double weight_per_area_N_m2);

#ifdef __cplusplus
}
#endif

#endif
