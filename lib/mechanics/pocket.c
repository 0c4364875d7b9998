/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/pocket.h"

trn_body trn_pocket_body(const trn_pocket *pocket, trn_point pivot)
{
    trn_part blocks = trn_default_part();
    blocks.count = pocket->blocks;
    blocks.weight_N = pocket->block_N;
    blocks.at = pocket->at;
    return trn_part_body(&blocks, pivot);
}
