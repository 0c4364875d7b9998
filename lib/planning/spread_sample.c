/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One sample by itself, as the run computes it.
 */
#include "sample_parts.h"
#include "spread_parts.h"
#include "spread_vector.h"

static void draw_one(const trn_spread *run, run_space *space, uint64_t sample)
{
    const trn_stream stream = {run->settings.seed, STREAM_SAMPLES};
    sample_drawn drawn = {.any = false};
    for (size_t i = 0; i < run->model.input_count; i++) {
        sample_input(&run->model.inputs[i], stream, sample, 1, &drawn, space->values[i]);
        space->at[i] = space->values[i];
    }
    space_sum(&run->model, space, space->at, 0, 1);
}

void trn_spread_demand(trn_spread *spread, const trn_spread_question *asked, double *demand_Nm, double *use)
{
    run_space *space = &spread->spaces[0];
    const run_side *side = &spread->sides[2 * asked->case_index + (asked->direction == TRN_OPENING ? 0 : 1)];
    const spread_frame *frame = &spread->frames[side->frame];
    const run_row *row = &spread->rows[side->first_row + asked->angle_index];
    draw_one(spread, space, asked->sample);
    space_fill(&spread->model, space, frame, 1, &space->columns);
    spread_demands(&spread->model, frame, &row->basis, &space->columns, 0, 1, space->demands);
    *demand_Nm = space->demands[0];
    *use = 0;
    if (side->has_use) {
        vector_uses(&row->basis, &space->columns, 0, 1, space->demands, space->uses);
        *use = space->uses[0];
    }
}
