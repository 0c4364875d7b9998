/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "spread_model.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* An uncertain value while the model is made: the description's words, and its place. */
typedef struct entry {
    trn_uncertainty of;
    trn_uncertain_place place;
    trn_input input;
} entry;

/* The makings of a model. */
typedef struct making {
    spread_model *model;
    entry *entries;
    size_t count;
    size_t told; /* those of the parts, which come first, in the order of their places */
    trn_error *error;
} making;

static trn_status no_memory(trn_error *error)
{
    return trn_error_set(error, TRN_NO_MEMORY, "%s", trn_status_text(TRN_NO_MEMORY));
}

static bool tells(const trn_distribution *distribution)
{
    return distribution->sd > 0 || distribution->by_range;
}

/* The entries of parts that tell the uncertainty of their weight. The place is known: two lists may use one name. */
static trn_status add_parts(making *of, const trn_part *parts, size_t count, trn_described list)
{
    for (size_t i = 0; i < count; i++) {
        if (!tells(&parts[i].uncertainty)) {
            continue;
        }
        trn_leaf alone = *of->model->leaf;
        alone.parts = &parts[i];
        alone.part_count = 1;
        entry *made = &of->entries[of->count++];
        made->of =
            (trn_uncertainty){.of = TRN_UNCERTAIN_WEIGHT, .on = parts[i].name, .distribution = parts[i].uncertainty};
        const trn_status status = trn_uncertainty_input(&alone, &made->of, &made->input, NULL, of->error);
        if (status != TRN_OK) {
            return status;
        }
        made->place = (trn_uncertain_place){list, i};
    }
    return TRN_OK;
}

static trn_status gather(making *of)
{
    const trn_leaf *leaf = of->model->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    const size_t most = leaf->part_count + (linked != NULL ? linked->part_count : 0) + leaf->uncertainty_count;
    of->entries = calloc(most + 1, sizeof *of->entries);
    if (of->entries == NULL) {
        return no_memory(of->error);
    }
    trn_status status = add_parts(of, leaf->parts, leaf->part_count, TRN_DESCRIBED_PART);
    if (status == TRN_OK && linked != NULL) {
        status = add_parts(of, linked->parts, linked->part_count, TRN_DESCRIBED_LINKED_PART);
    }
    of->told = of->count;
    for (size_t i = 0; i < leaf->uncertainty_count && status == TRN_OK; i++) {
        entry *made = &of->entries[of->count++];
        made->of = leaf->uncertainties[i];
        status = trn_uncertainty_input(leaf, &made->of, &made->input, &made->place, of->error);
    }
    if (status == TRN_OK && of->count == 0) {
        status = trn_error_set(of->error, TRN_MISSING_SECTION,
                               "nothing is uncertain: the description needs 'uncertainty' in a part, or the section "
                               "'uncertainties'");
    }
    return status;
}

/* An entry that has a group. */
typedef struct member {
    const char *group;
    size_t entry;
} member;

static int compare_members(const void *a, const void *b)
{
    const member *one = a;
    const member *other = b;
    const int order = strcmp(one->group, other->group);
    return order != 0 ? order : (one->entry > other->entry) - (one->entry < other->entry);
}

/* Of each entry the first of its group: itself where it has none. False where memory ran out. */
static bool find_firsts(const making *of, size_t *firsts)
{
    size_t grouped = 0;
    member *members = calloc(of->count + 1, sizeof *members);
    if (members == NULL) {
        return false;
    }
    for (size_t i = 0; i < of->count; i++) {
        firsts[i] = i;
        if (of->entries[i].of.distribution.group != NULL) {
            members[grouped++] = (member){of->entries[i].of.distribution.group, i};
        }
    }
    qsort(members, grouped, sizeof *members, compare_members);
    for (size_t i = 1; i < grouped; i++) {
        if (strcmp(members[i - 1].group, members[i].group) == 0) {
            firsts[members[i].entry] = firsts[members[i - 1].entry];
        }
    }
    free(members);
    return true;
}

static char *name_of(spread_model *model, const entry *of)
{
    static const char *const formats[] = {"group %s", "%s of %s", "%s"};
    const char *group = of->of.distribution.group;
    const char *word = trn_uncertain_word(of->of.of);
    const size_t length = strlen(word) + 24 + strlen(group != NULL ? group : of->of.on != NULL ? of->of.on : "");
    char *name = spread_model_take(model, length, 1);
    if (name != NULL && group != NULL) {
        (void)snprintf(name, length, formats[0], group);
    } else if (name != NULL && of->of.on != NULL) {
        (void)snprintf(name, length, formats[1], word, of->of.on);
    } else if (name != NULL) {
        (void)snprintf(name, length, formats[2], word);
    }
    return name;
}

/* A variable for each entry, or for the first of its group. */
static trn_status number_variables(making *of)
{
    spread_model *model = of->model;
    model->inputs = spread_model_take(model, of->count, sizeof *model->inputs);
    model->variables = spread_model_take(model, of->count, sizeof *model->variables);
    size_t *firsts = spread_model_take(model, of->count, sizeof *firsts);
    if (model->inputs == NULL || model->variables == NULL || firsts == NULL || !find_firsts(of, firsts)) {
        return no_memory(of->error);
    }
    model->input_count = of->count;
    for (size_t i = 0; i < of->count; i++) {
        const size_t first = firsts[i];
        model->inputs[i] = of->entries[i].input;
        model->inputs[i].variable = first < i ? model->inputs[first].variable : model->variable_count;
        if (first == i) {
            char *name = name_of(model, &of->entries[i]);
            if (name == NULL) {
                return no_memory(of->error);
            }
            model->variables[model->variable_count++] = name;
        }
    }
    return TRN_OK;
}

static bool is_of_weight(trn_uncertain of)
{
    return of == TRN_UNCERTAIN_WEIGHT || of == TRN_UNCERTAIN_UNIT_WEIGHT;
}

static int compare_places(const void *a, const void *b)
{
    const trn_uncertain_place *one = &((const entry *)a)->place;
    const trn_uncertain_place *other = &((const entry *)b)->place;
    const int order = (one->list > other->list) - (one->list < other->list);
    return order != 0 ? order : (one->index > other->index) - (one->index < other->index);
}

/* The input that a part tells of its weight; NO_INPUT where it tells none. */
static int told_by(const making *of, trn_uncertain_place place)
{
    const entry wanted = {.place = place};
    const entry *found = bsearch(&wanted, of->entries, of->told, sizeof wanted, compare_places);
    return found != NULL ? (int)(found - of->entries) : NO_INPUT;
}

/* The inputs of one part or pocket, and the body that it is; false where nothing of it is uncertain. */
static bool source_of(const making *of, trn_uncertain_place place, trn_body body, spread_source *made)
{
    *made = (spread_source){.weight = told_by(of, place), .x = NO_INPUT, .y = NO_INPUT, .weight_N = body.weight_N};
    bool any = made->weight != NO_INPUT;
    for (size_t i = of->told; i < of->count; i++) {
        const entry *one = &of->entries[i];
        if (one->place.list != place.list || one->place.index != place.index) {
            continue;
        }
        int *input = is_of_weight(one->of.of) ? &made->weight : one->of.of == TRN_UNCERTAIN_X ? &made->x : &made->y;
        *input = (int)i;
        any = true;
    }
    if (body.weight_N > 0) {
        made->at = (trn_point){body.a_Nm / body.weight_N, body.b_Nm / body.weight_N};
    }
    made->own_inertia_kg_m2 =
        body.inertia_kg_m2 - body.weight_N / TRN_STANDARD_GRAVITY * (made->at.x * made->at.x + made->at.y * made->at.y);
    return any;
}

static void add_source(making *of, int body, trn_uncertain_place place, trn_body weighed)
{
    spread_model *model = of->model;
    spread_source made;
    if (source_of(of, place, weighed, &made)) {
        made.body = body;
        model->sources[model->source_count++] = made;
    } else {
        model->certain[body] = trn_body_sum(model->certain[body], weighed);
    }
}

static void add_body(making *of, int body, const trn_part *parts, size_t part_count, const trn_pocket *pockets,
                     size_t pocket_count, trn_point pivot)
{
    const trn_described part_list = body == ON_LEAF ? TRN_DESCRIBED_PART : TRN_DESCRIBED_LINKED_PART;
    const trn_described pocket_list = body == ON_LEAF ? TRN_DESCRIBED_POCKET : TRN_DESCRIBED_LINKED_POCKET;
    for (size_t i = 0; i < part_count; i++) {
        add_source(of, body, (trn_uncertain_place){part_list, i}, trn_part_body(&parts[i], pivot));
    }
    for (size_t i = 0; i < pocket_count; i++) {
        add_source(of, body, (trn_uncertain_place){pocket_list, i}, trn_pocket_body(&pockets[i], pivot));
    }
}

static trn_status sort_weights(making *of)
{
    spread_model *model = of->model;
    const trn_leaf *leaf = model->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    model->sources = spread_model_take(model, of->count, sizeof *model->sources);
    if (model->sources == NULL) {
        return no_memory(of->error);
    }
    model->has_counterweight = linked != NULL;
    add_body(of, ON_LEAF, leaf->parts, leaf->part_count, leaf->pockets, leaf->pocket_count, (trn_point){0, 0});
    if (linked != NULL) {
        add_body(of, ON_COUNTERWEIGHT, linked->parts, linked->part_count, linked->pockets, linked->pocket_count,
                 linked->pivot);
    }
    return TRN_OK;
}

/* The input of a kind that stands in a list, none that parts tell; NO_INPUT where there is none. */
static int input_of(const making *of, trn_uncertain kind, trn_described list, size_t index)
{
    for (size_t i = of->told; i < of->count; i++) {
        const entry *one = &of->entries[i];
        if (one->of.of == kind && one->place.list == list && one->place.index == index) {
            return (int)i;
        }
    }
    return NO_INPUT;
}

static trn_status sort_surfaces(making *of)
{
    spread_model *model = of->model;
    const size_t count = model->leaf->surface_count;
    model->group_of = spread_model_take(model, count, sizeof *model->group_of);
    model->solidity_of = spread_model_take(model, count + 1, sizeof *model->solidity_of);
    if (model->group_of == NULL || model->solidity_of == NULL) {
        return no_memory(of->error);
    }
    model->wind_groups = 1;
    model->solidity_of[0] = NO_INPUT;
    for (size_t i = 0; i < count; i++) {
        const int input = input_of(of, TRN_UNCERTAIN_SOLIDITY, TRN_DESCRIBED_SURFACE, i);
        if (input != NO_INPUT) {
            model->group_of[i] = model->wind_groups;
            model->solidity_of[model->wind_groups++] = input;
        }
    }
    return TRN_OK;
}

/* The inputs of a kind that act on a case or holding: the general one, and that of its name. */
static void weather_inputs(const making *of, trn_uncertain kind, const char *name, bool there, int inputs[2])
{
    inputs[0] = NO_INPUT;
    inputs[1] = NO_INPUT;
    for (size_t i = of->told; i < of->count && there; i++) {
        const trn_uncertainty *one = &of->entries[i].of;
        if (one->of == kind && (one->on == NULL || strcmp(one->on, name) == 0)) {
            inputs[one->on == NULL ? 0 : 1] = (int)i;
        }
    }
}

static spread_weather weather_of(const making *of, const char *name, const trn_wind *wind, double ice_N_m2)
{
    spread_weather made = {{0}, {0}, {0}};
    weather_inputs(of, TRN_UNCERTAIN_WIND_PRESSURE, name, true, made.pressure);
    weather_inputs(of, TRN_UNCERTAIN_WIND_SPEED, name, wind->by_speed, made.speed);
    weather_inputs(of, TRN_UNCERTAIN_ICE, name, ice_N_m2 > 0, made.ice);
    return made;
}

static trn_status sort_weather(making *of)
{
    spread_model *model = of->model;
    const trn_leaf *leaf = model->leaf;
    model->weathers = spread_model_take(model, leaf->case_count + leaf->holding_count, sizeof *model->weathers);
    if (model->weathers == NULL) {
        return no_memory(of->error);
    }
    for (size_t i = 0; i < leaf->case_count; i++) {
        const trn_case *one = &leaf->cases[i];
        model->weathers[i] = weather_of(of, one->name, &one->wind, one->ice_N_m2);
    }
    for (size_t i = 0; i < leaf->holding_count; i++) {
        const trn_holding *one = &leaf->holdings[i];
        model->weathers[leaf->case_count + i] = weather_of(of, one->name, &one->wind, one->ice_N_m2);
    }
    return TRN_OK;
}

static void sort_machinery(making *of)
{
    spread_model *model = of->model;
    const trn_described journals[BODIES] = {TRN_DESCRIBED_TRUNNION, TRN_DESCRIBED_LINKED_TRUNNION};
    for (int body = 0; body < BODIES; body++) {
        model->moving[body] = input_of(of, TRN_UNCERTAIN_MOVING_FRICTION, journals[body], 0);
        model->starting[body] = input_of(of, TRN_UNCERTAIN_STARTING_FRICTION, journals[body], 0);
    }
    model->drag = input_of(of, TRN_UNCERTAIN_DRAG, TRN_DESCRIBED_TRUNNION, 0);
    model->efficiency = input_of(of, TRN_UNCERTAIN_EFFICIENCY, TRN_DESCRIBED_DRIVE, 0);
}

trn_status spread_model_make(const trn_leaf *leaf, spread_model *model, trn_error *error)
{
    *model = (spread_model){.leaf = leaf};
    making of = {.model = model, .error = error};
    trn_status status = gather(&of);
    status = status == TRN_OK ? number_variables(&of) : status;
    status = status == TRN_OK ? sort_weights(&of) : status;
    status = status == TRN_OK ? sort_surfaces(&of) : status;
    status = status == TRN_OK ? sort_weather(&of) : status;
    if (status == TRN_OK) {
        sort_machinery(&of);
    }
    free(of.entries);
    return status;
}
