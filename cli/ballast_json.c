/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan as JSON. */
#include "angles.h"
#include "ballast.h"
#include "present/json.h"
#include "totals.h"

static json_t *moves_json(const ballast_result *of)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < of->count && failed == 0; i++) {
        const trn_ballast_move *move = &of->moves[i];
        failed = json_array_append_new(list, json_pack("{s:s, s:i, s:i, s:i}", "pocket", move->pocket->name, "before",
                                                       move->before, "after", move->after, "change", move->change));
    }
    return json_unless(failed, list);
}

static json_t *window_json(const target_window *window)
{
    if (!window->is_widened) {
        return json_null();
    }
    const trn_window wide = window->widened;
    return window->in_degrees ? json_pack("[f, f]", degrees_of(wide.low), degrees_of(wide.high))
                              : json_pack("[f, f]", wide.low, wide.high);
}

static json_t *windows_json(const ballast_result *of)
{
    target_window windows[TARGET_WINDOWS];
    json_t *object = json_object();
    int failed = 0;
    ballast_windows(of, windows);
    for (size_t i = 0; i < TARGET_WINDOWS; i++) {
        failed |= json_object_set_new(object, windows[i].key, window_json(&windows[i]));
    }
    return json_unless(failed, object);
}

static json_t *obstacle_json(const ballast_result *of)
{
    const trn_ballast_obstacle *obstacle = &of->plan.obstacle;
    if (of->plan.feasible) {
        return json_null();
    }
    json_t *object = json_pack("{s:s, s:s, s:f, s:o}", "cause", ballast_cause(obstacle->cause).key, "bound",
                               ballast_bound(obstacle->bound).key, "miss_Nm", obstacle->miss_Nm, "one_window_wider",
                               windows_json(of));
    json_t *pocket = obstacle->weight_N > 0
                         ? json_pack("{s:f, s:f, s:f, s:f, s:f}", "closed_moment_Nm", obstacle->lacking_a_Nm, "B_Nm",
                                     obstacle->lacking_b_Nm, "weight_N", obstacle->weight_N, "x_m", obstacle->at.x,
                                     "y_m", obstacle->at.y)
                         : json_null();
    int failed = json_object_set_new(object, "new_pocket", pocket);
    failed |= json_put(object, "block_share", obstacle->has_block_share, obstacle->block_share);
    return json_unless(failed, object);
}

static json_t *closest_json(const ballast_result *of)
{
    return of->plan.feasible
               ? json_pack("{s:s, s:f}", "bound", ballast_bound(of->plan.closest).key, "margin_Nm", of->plan.margin_Nm)
               : json_null();
}

static json_t *measured_json(const ballast_result *of)
{
    const trn_measurement *m = of->measured;
    return m == NULL ? json_null()
                     : json_pack("{s:f, s:f, s:f, s:f}", "A_Nm", m->a_Nm.value, "A_Nm_sd", m->a_Nm.sd, "B_Nm",
                                 m->b_Nm.value, "B_Nm_sd", m->b_Nm.sd);
}

exit_status ballast_json(const void *result, FILE *stream)
{
    const ballast_result *of = result;
    const trn_ballast_plan *plan = &of->plan;
    json_t *object = json_pack("{s:s, s:b, s:o, s:i, s:i}", "leaf", of->leaf->name, "feasible", plan->feasible, "moves",
                               moves_json(of), "blocks_handled", plan->blocks_handled, "gap_blocks", plan->gap_blocks);
    int failed = json_object_set_new(object, "before", totals_json(&plan->before));
    failed |= json_object_set_new(object, "after", totals_json(&plan->after));
    failed |= json_object_set_new(object, "closest", closest_json(of));
    failed |= json_object_set_new(object, "measured", measured_json(of));
    failed |= json_object_set_new(object, "obstacle", obstacle_json(of));
    return json_write(json_unless(failed, object), stream);
}
