/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file spread_leaf.h
 * A leaf whose weights are uncertain each by itself, in a group, and evenly; and what drives and holds it.
 */
#ifndef TRN_TEST_SPREAD_LEAF_H
#define TRN_TEST_SPREAD_LEAF_H

#define LEAF                                                                                                     \
    "leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\nparts:\n"                                                \
    "  - {name: girder, weight_per_length: 14 kN/m, from: [-3 m, -0.6 m], to: [12 m, 0.1 m], uncertainty: 3 %}\n" \
    "  - {name: lock, weight: 2 t, at: [11.6 m, 0.2 m], uncertainty: 10 %}\n"                                    \
    "  - {name: rail, weight: 1 t, at: [6 m, 1.2 m], uncertainty: {sd: 5 %, group: steel}}\n"                    \
    "  - {name: other rail, weight: 1 t, at: [6 m, 1.2 m], uncertainty: {sd: 5 %, group: steel}}\n"              \
    "  - {name: block, weight: 230 kN, at: [-4.6 m, -0.4 m], uncertainty: {sd: 2 %, shape: uniform}}\n"

#define DRIVEN                                                                                         \
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}, drag: 2 kN m}\n"   \
    "drive: {ratio: 700, efficiency: 0.8}\nmotors: {installed: 2, power: 11 kW, speed: 870 rpm}\n"     \
    "brakes: [{name: motor brakes, count: 2, torque: 90 N m, ratio: 700, delay: 0.3 s, set_time: 0.5 s}]\n"

#endif
