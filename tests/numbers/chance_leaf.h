/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file chance_leaf.h
 * Random leaves for the test of numbers: every shape, drive, law and section. All invented.
 */
#ifndef TRN_TEST_CHANCE_LEAF_H
#define TRN_TEST_CHANCE_LEAF_H

#include <deque>
#include <vector>

#include "../unit/chance.h"
#include "trunnion/trunnion.h"

/** A leaf and a case, with all that they point to; not to be moved in memory. */
struct chance_leaf {
    explicit chance_leaf(uint64_t number);
    chance_leaf(const chance_leaf &) = delete;

    uint64_t state;
    double length;
    trn_leaf leaf;
    trn_case load_case;
    trn_holding holding;

  private:
    double off(double share);
    trn_point point(double x_low, double x_high, double y_off);
    trn_polygon outline(trn_point middle, double size);
    trn_part part();
    void give_counterweight();
    void give_pockets(std::vector<trn_pocket> &into);
    void give_surfaces();
    void give_wind();
    void give_linked();
    void give_drive();
    void give_motors();
    void give_brakes();
    void give_rest();

    std::vector<trn_part> parts, linked_parts;
    std::vector<trn_pocket> pockets, linked_pockets;
    std::vector<trn_surface> surfaces;
    std::deque<std::vector<trn_point>> corners;
    std::deque<std::vector<trn_void>> voids;
    std::vector<trn_incidence_point> incidences;
    std::vector<trn_torque_point> torques;
    std::vector<trn_brake> brakes;
    trn_wind_profile profile;
    trn_linked_counterweight linked;
    trn_journal trunnion;
    trn_drive drive;
    trn_motors motors;
    trn_travel travel;
    trn_wind_limits limits;
};

#endif
