/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From each variable to its inputs, and to the parts and pockets that these weigh or place. */
#include "spread_parts.h"

/* What each of some things has to do with a variable. */
typedef struct pairs {
    size_t *variables;
    size_t *things;
    size_t count;
} pairs;

static void pair(pairs *of, size_t variable, size_t thing)
{
    of->variables[of->count] = variable;
    of->things[of->count++] = thing;
}

/* A source of which two inputs have one variable counts once. */
static void pair_source(const spread_model *model, size_t source, pairs *of)
{
    const int inputs[] = {model->sources[source].weight, model->sources[source].x, model->sources[source].y};
    const size_t before = of->count;
    for (size_t k = 0; k < sizeof inputs / sizeof *inputs; k++) {
        bool known = inputs[k] == NO_INPUT;
        for (size_t i = before; i < of->count && !known; i++) {
            known = of->variables[i] == model->inputs[inputs[k]].variable;
        }
        if (!known) {
            pair(of, model->inputs[inputs[k]].variable, source);
        }
    }
}

/* The things of each variable one behind the other: those of v from from[v] to before from[v + 1]. */
static void sort_pairs(const pairs *of, size_t variables, size_t *from, size_t *things)
{
    for (size_t i = 0; i < of->count; i++) {
        from[of->variables[i]]++;
    }
    for (size_t v = 1; v < variables; v++) {
        from[v] += from[v - 1];
    }
    from[variables] = of->count;
    for (size_t i = of->count; i-- > 0;) {
        things[--from[of->variables[i]]] = of->things[i];
    }
}

trn_status run_link_variables(trn_spread *run)
{
    spread_model *model = &run->model;
    const size_t most = model->input_count + 3 * model->source_count;
    run_links *links = spread_model_take(model, 1, sizeof *links);
    pairs of = {spread_model_take(model, most, sizeof(size_t)), spread_model_take(model, most, sizeof(size_t)), 0};
    size_t *const memory = spread_model_take(model, 2 * (model->variable_count + 1) + 2 * most, sizeof(size_t));
    if (links == NULL || of.variables == NULL || of.things == NULL || memory == NULL) {
        return TRN_NO_MEMORY;
    }
    links->inputs_from = memory;
    links->sources_from = links->inputs_from + model->variable_count + 1;
    links->inputs = links->sources_from + model->variable_count + 1;
    links->sources = links->inputs + most;
    for (size_t i = 0; i < model->input_count; i++) {
        pair(&of, model->inputs[i].variable, i);
    }
    sort_pairs(&of, model->variable_count, links->inputs_from, links->inputs);
    of.count = 0;
    for (size_t i = 0; i < model->source_count; i++) {
        pair_source(model, i, &of);
    }
    sort_pairs(&of, model->variable_count, links->sources_from, links->sources);
    run->links = links;
    return TRN_OK;
}
