/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "sections.h"
#include "trunnion/leaf.h"

/* More than any operation has; they bound the work of holding each need against all that was given. */
#define STEPS_MAX ((size_t)64)
#define CONDITIONS_MAX ((size_t)16)

static const char *const motion_words[] = {"raise", "lower"};
static const dsc_choice motions = {motion_words, sizeof motion_words / sizeof *motion_words};
_Static_assert(TRN_STEP_RAISES == 1 && TRN_STEP_LOWERS == 2, "the words of motion follow TRN_STEP_STILL");

static const char *const road_words[] = {"closes", "opens"};
static const dsc_choice roads = {road_words, sizeof road_words / sizeof *road_words};
_Static_assert(TRN_ROAD_CLOSES == 1 && TRN_ROAD_OPENS == 2, "the words of the road follow TRN_ROAD_UNCHANGED");

bool dsc_read_choice_from_1(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    int chosen = 0;
    const dsc_field alone = {field->key, false, NULL, 0, field->spec};
    if (!dsc_read_choice(reading, value, &alone, &chosen)) {
        return false;
    }
    chosen++;
    memcpy((char *)record + field->offset, &chosen, sizeof chosen);
    return true;
}

static bool count_is_right(dsc_reading *reading, const dsc_node *value, const char *key)
{
    if (value->kind == DSC_MAPPING) {
        return dsc_fault(reading, value, key, "found keys with values: expected a list of conditions, or one");
    }
    return value->count <= CONDITIONS_MAX ||
           dsc_fault(reading, value, key, "the list of conditions has %zu: expected at most %zu", value->count,
                     CONDITIONS_MAX);
}

bool dsc_read_conditions(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    if (!count_is_right(reading, value, field->key)) {
        return false;
    }
    const size_t count = value->kind == DSC_SEQUENCE ? value->count : 1;
    const char **names = dsc_take(reading, count, sizeof *names);
    if (!names) {
        return false;
    }
    const dsc_field word = {field->key, true, NULL, 0, NULL};
    bool good = true;
    if (value->kind == DSC_SCALAR) {
        good = dsc_read_text(reading, value, &word, names);
    }
    size_t index = 0;
    for (const dsc_item *item = value->items; item && reading->status == TRN_OK; item = item->next) {
        good = dsc_read_text(reading, item->value, &word, &names[index]) && good;
        index++;
    }
    *(trn_conditions *)(void *)((char *)record + field->offset) = (trn_conditions){names, count};
    return good;
}

enum { NAME, TAKES, MOTION, NEEDS, GIVES, ENDS, ROAD };

static const dsc_field step_fields[] = {
    [NAME] = {"name", true, dsc_read_text, offsetof(trn_step, name), NULL},
    [TAKES] = {"takes", false, dsc_read_quantity, offsetof(trn_step, takes_s), DSC_0_OR_MORE(DSC_TIME)},
    [MOTION] = {"motion", false, dsc_read_choice_from_1, offsetof(trn_step, motion), &motions},
    [NEEDS] = {"needs", false, dsc_read_conditions, offsetof(trn_step, needs), NULL},
    [GIVES] = {"gives", false, dsc_read_conditions, offsetof(trn_step, gives), NULL},
    [ENDS] = {"ends", false, dsc_read_conditions, offsetof(trn_step, ends), NULL},
    [ROAD] = {"road", false, dsc_read_choice_from_1, offsetof(trn_step, road), &roads},
};

static bool check_step(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)record;
    if (!seen[TAKES].key && !seen[MOTION].key) {
        return dsc_missing(reading, mapping, "key \"takes\" is missing: expected takes, or motion");
    }
    if (seen[TAKES].key && seen[MOTION].key) {
        const bool takes_first = dsc_place_compare(seen[TAKES].key->place, seen[MOTION].key->place) < 0;
        return dsc_fault(
            reading, seen[takes_first ? MOTION : TAKES].key, NULL,
            "both \"takes\" and \"motion\": expected one of them, since the motion says how long it takes");
    }
    return true;
}

static const dsc_form step_form = {
    .noun = "a step", DSC_FIELDS_OF(step_fields), .size = sizeof(trn_step), .check = check_step};

const dsc_list dsc_step_list = {
    .item = {"steps", true, dsc_read_record, 0, &step_form},
    .item_size = sizeof(trn_step),
    .count_offset = offsetof(trn_leaf, step_count),
    .most = STEPS_MAX,
    .nouns = "steps",
    .named = true,
};

static const dsc_node *item_at(const dsc_node *list, size_t index)
{
    const dsc_item *item = list->items;
    for (size_t i = 0; i < index; i++) {
        item = item->next;
    }
    return item->value;
}

/* One condition stands by itself or in a list. */
static const dsc_node *condition_at(const dsc_node *list, size_t step, const char *key, size_t index)
{
    const dsc_node *conditions = dsc_value(item_at(list, step), key);
    return conditions->kind == DSC_SEQUENCE ? item_at(conditions, index) : conditions;
}

static bool has(const trn_conditions *conditions, const char *name)
{
    for (size_t i = 0; i < conditions->count; i++) {
        if (strcmp(conditions->names[i], name) == 0) {
            return true;
        }
    }
    return false;
}

/* What steps before one gave, the word nearest to a need; NULL where none is near. */
static const char *nearest_given(const trn_step *steps, size_t before, const char *need)
{
    const char *given[STEPS_MAX * CONDITIONS_MAX];
    size_t count = 0;
    for (size_t i = 0; i < before; i++) {
        for (size_t j = 0; j < steps[i].gives.count; j++) {
            given[count++] = steps[i].gives.names[j];
        }
    }
    const size_t length = strlen(need);
    return dsc_nearest(need, length, 1 + length / 4, given, count);
}

/* Why a need is not met, and what was expected: words that follow the need. */
static void explain_unmet(const trn_step *steps, size_t count, trn_unmet unmet, char words[DSC_WORDS])
{
    const char *need = steps[unmet.step].needs.names[unmet.need];
    const char *meant = nearest_given(steps, unmet.step, need);
    char shown[DSC_EXCERPT];
    for (size_t i = unmet.step; i > 0; i--) {
        if (has(&steps[i - 1].ends, need)) {
            snprintf(words, DSC_WORDS, "which step \"%s\" ended: expected one that still holds",
                     dsc_excerpt(shown, steps[i - 1].name, strlen(steps[i - 1].name)));
            return;
        }
    }
    if (meant) {
        snprintf(words, DSC_WORDS, "which no earlier step gives: did you mean \"%s\"?", meant);
        return;
    }
    for (size_t i = unmet.step; i < count; i++) {
        if (has(&steps[i].gives, need)) {
            snprintf(words, DSC_WORDS,
                     "which step \"%s\" gives, and no earlier one: expected an earlier step to give it",
                     dsc_excerpt(shown, steps[i].name, strlen(steps[i].name)));
            return;
        }
    }
    snprintf(words, DSC_WORDS, "which no step gives: expected an earlier step to give it");
}

static bool check_needs(dsc_reading *reading, const dsc_node *list, const trn_step *steps, size_t count)
{
    trn_unmet unmet;
    if (trn_operation_check(steps, count, &unmet, NULL) == TRN_OK) {
        return true;
    }
    char words[DSC_WORDS];
    char name[DSC_EXCERPT];
    char need[DSC_EXCERPT];
    const trn_step *step = &steps[unmet.step];
    const char *wanted = step->needs.names[unmet.need];
    explain_unmet(steps, count, unmet, words);
    return dsc_fault(reading, condition_at(list, unmet.step, "needs", unmet.need), "needs",
                     "step \"%s\" needs \"%s\", %s", dsc_excerpt(name, step->name, strlen(step->name)),
                     dsc_excerpt(need, wanted, strlen(wanted)), words);
}

/* A leaf is raised and lowered by turns; a road is closed before it opens. */
static bool check_turns(dsc_reading *reading, const dsc_node *list, const trn_step *steps, size_t count)
{
    bool raised = false;
    bool closed = false;
    bool good = true;
    for (size_t i = 0; i < count; i++) {
        const dsc_node *step = item_at(list, i);
        if (steps[i].motion == TRN_STEP_LOWERS && !raised) {
            good = dsc_fault(reading, dsc_value(step, "motion"), "motion",
                             "the leaf is not raised: expected a step that raises it before");
        }
        if (steps[i].motion == TRN_STEP_RAISES && raised) {
            good = dsc_fault(reading, dsc_value(step, "motion"), "motion",
                             "the leaf is raised already: expected a step that lowers it before");
        }
        if (steps[i].road == TRN_ROAD_OPENS && !closed) {
            good = dsc_fault(reading, dsc_value(step, "road"), "road",
                             "the road is not closed: expected a step that closes it before");
        }
        raised = steps[i].motion == TRN_STEP_STILL ? raised : steps[i].motion == TRN_STEP_RAISES;
        closed = steps[i].road == TRN_ROAD_UNCHANGED ? closed : steps[i].road == TRN_ROAD_CLOSES;
    }
    return good;
}

static bool was_given(const trn_step *steps, size_t before, const char *name)
{
    for (size_t i = 0; i < before; i++) {
        if (has(&steps[i].gives, name)) {
            return true;
        }
    }
    return false;
}

/* A step that ends what never held is misspelt, and would leave a condition standing. */
static bool check_ends(dsc_reading *reading, const dsc_node *list, const trn_step *steps, size_t count)
{
    bool good = true;
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < steps[i].ends.count; j++) {
            const char *name = steps[i].ends.names[j];
            if (was_given(steps, i, name)) {
                continue;
            }
            char shown[DSC_EXCERPT];
            const char *meant = nearest_given(steps, i, name);
            good = dsc_fault(reading, condition_at(list, i, "ends", j), "ends",
                             "\"%s\" was given by no earlier step%s%s%s", dsc_excerpt(shown, name, strlen(name)),
                             meant ? ": did you mean \"" : ": expected one that was", meant ? meant : "",
                             meant ? "\"?" : "");
        }
    }
    return good;
}

bool dsc_check_steps(dsc_reading *reading, const dsc_node *list, const trn_step *steps, size_t count)
{
    const bool turns_good = check_turns(reading, list, steps, count);
    const bool ends_good = check_ends(reading, list, steps, count);
    return check_needs(reading, list, steps, count) && turns_good && ends_good;
}
