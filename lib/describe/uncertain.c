/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>
#include <string.h>

#include "sections.h"
#include "trunnion/leaf.h"

static const char *const shape_words[] = {
    [TRN_NORMAL] = "normal", [TRN_UNIFORM] = "uniform", [TRN_TRIANGULAR] = "triangular"};
static const dsc_choice shapes = {shape_words, sizeof shape_words / sizeof *shape_words};

static const char *const of_words[TRN_UNCERTAIN_COUNT] = {
    [TRN_UNCERTAIN_WEIGHT] = "weight",
    [TRN_UNCERTAIN_UNIT_WEIGHT] = "unit weight",
    [TRN_UNCERTAIN_X] = "x",
    [TRN_UNCERTAIN_Y] = "y",
    [TRN_UNCERTAIN_MOVING_FRICTION] = "moving friction",
    [TRN_UNCERTAIN_STARTING_FRICTION] = "starting friction",
    [TRN_UNCERTAIN_DRAG] = "drag",
    [TRN_UNCERTAIN_EFFICIENCY] = "efficiency",
    [TRN_UNCERTAIN_WIND_PRESSURE] = "wind pressure",
    [TRN_UNCERTAIN_WIND_SPEED] = "wind speed",
    [TRN_UNCERTAIN_SOLIDITY] = "solidity",
    [TRN_UNCERTAIN_ICE] = "ice",
};
static const dsc_choice quantities = {of_words, TRN_UNCERTAIN_COUNT};

/* In what unit a kind is told, whether in per cent too, and whether it must say on what. */
typedef struct kind_form {
    dsc_kind unit;
    bool by_share;
    bool on_something;
    const char *example; /* of a range */
} kind_form;

static const kind_form kind_forms[TRN_UNCERTAIN_COUNT] = {
    [TRN_UNCERTAIN_WEIGHT] = {DSC_WEIGHT, true, true, "[-2 %, 5 %] or [20 kN, 22 kN]"},
    [TRN_UNCERTAIN_UNIT_WEIGHT] = {DSC_UNIT_WEIGHT, true, true, "[-2 %, 5 %] or [2350 kg/m3, 2450 kg/m3]"},
    [TRN_UNCERTAIN_X] = {DSC_LENGTH, false, true, "[-20 mm, 20 mm]"},
    [TRN_UNCERTAIN_Y] = {DSC_LENGTH, false, true, "[-20 mm, 20 mm]"},
    [TRN_UNCERTAIN_MOVING_FRICTION] = {DSC_PURE, true, false, "[0.08, 0.18]"},
    [TRN_UNCERTAIN_STARTING_FRICTION] = {DSC_PURE, true, false, "[0.08, 0.18]"},
    [TRN_UNCERTAIN_DRAG] = {DSC_TORQUE, true, false, "[0 kN m, 2 kN m]"},
    [TRN_UNCERTAIN_EFFICIENCY] = {DSC_PURE, true, false, "[0.75, 0.9]"},
    [TRN_UNCERTAIN_WIND_PRESSURE] = {DSC_PRESSURE, true, false, "[-50 %, 80 %] or [60 Pa, 200 Pa]"},
    [TRN_UNCERTAIN_WIND_SPEED] = {DSC_SPEED, true, false, "[-20 %, 30 %] or [10 m/s, 16 m/s]"},
    [TRN_UNCERTAIN_SOLIDITY] = {DSC_PURE, true, true, "[0.5, 0.7]"},
    [TRN_UNCERTAIN_ICE] = {DSC_WEIGHT_PER_AREA, true, false, "[0 kg/m2, 15 kg/m2]"},
};

/* A share of a part's weight: there a bare number is a share too, as it is where no mapping stands. */
static const kind_form share_form = {DSC_PURE, true, false, "[-2 %, 5 %]"};

/* Values of the mapping that can be read only when it is known what they are about. */
static bool read_later(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    (void)reading;
    (void)value;
    (void)field;
    (void)record;
    return true;
}

/* The fields that tell a distribution come first in both forms. */
enum { SD, RANGE, SHAPE, GROUP, TOLD };
enum { OF = TOLD, ON };

#define DISTRIBUTION_FIELDS(type, path)                                                         \
    [SD] = {"sd", false, read_later, 0, NULL}, [RANGE] = {"range", false, read_later, 0, NULL}, \
    [SHAPE] = {"shape", false, dsc_read_choice, offsetof(type, path shape), &shapes},           \
    [GROUP] = {"group", false, dsc_read_text, offsetof(type, path group), NULL}

#define NO_PATH

static const dsc_field share_fields[] = {DISTRIBUTION_FIELDS(trn_distribution, NO_PATH)};

static const dsc_field uncertainty_fields[] = {
    DISTRIBUTION_FIELDS(trn_uncertainty, distribution.),
    [OF] = {"of", true, dsc_read_choice, offsetof(trn_uncertainty, of), &quantities},
    [ON] = {"on", false, dsc_read_text, offsetof(trn_uncertainty, on), NULL},
};

static bool is_share(const dsc_node *node)
{
    return node->kind == DSC_SCALAR && node->length > 0 && node->text[node->length - 1] == '%';
}

static bool read_sd(dsc_reading *reading, const dsc_node *value, const kind_form *form, trn_distribution *into)
{
    into->relative = form->by_share && (is_share(value) || form == &share_form);
    const dsc_rule told = {form->unit, 0, HUGE_VAL, true, " over 0"};
    const dsc_field field = {"sd", true, dsc_read_quantity, 0,
                             into->relative ? DSC_RULE(DSC_PURE, 0, 1, true, " over 0, at most 1") : &told};
    return dsc_read_quantity(reading, value, &field, &into->sd);
}

static bool read_range(dsc_reading *reading, const dsc_node *value, const kind_form *form, trn_distribution *into)
{
    const bool two = value->kind == DSC_SEQUENCE && value->count == 2;
    const dsc_node *first = two ? value->items->value : value;
    const dsc_node *second = two ? value->items->next->value : value;
    if (is_share(first) != is_share(second)) {
        return dsc_fault(reading, second, "range",
                         "one end is in per cent and one is not: expected both alike, such as %s", form->example);
    }
    into->by_range = true;
    into->relative = form->by_share && (is_share(first) || form == &share_form);
    const dsc_rule told = {form->unit, -HUGE_VAL, HUGE_VAL, false, ""};
    const dsc_rule *rule = into->relative ? DSC_RULE(DSC_PURE, -1, HUGE_VAL, false, " of -100 % or more") : &told;
    const dsc_pair pair = {rule, rule, form->example};
    const dsc_field field = {"range", true, dsc_read_pair, 0, &pair};
    double ends[2] = {0, 0};
    if (!dsc_read_pair(reading, value, &field, ends)) {
        return false;
    }
    into->low = ends[0];
    into->high = ends[1];
    return ends[0] < ends[1] ||
           dsc_fault(reading, second, "range", "the range ends where it begins, or before: expected low, then high");
}

/* The standard deviation or the range, one of them, and the shape that goes with it. */
static bool read_told(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, const kind_form *form,
                      trn_distribution *into)
{
    if (!seen[SD].key && !seen[RANGE].key) {
        return dsc_missing(reading, mapping,
                           "key \"sd\" or \"range\" is missing: expected one, such as sd: 3 %% or range: %s",
                           form->example);
    }
    if (seen[SD].key && seen[RANGE].key) {
        const bool sd_first = dsc_place_compare(seen[SD].key->place, seen[RANGE].key->place) < 0;
        return dsc_fault(reading, seen[sd_first ? RANGE : SD].key, NULL,
                         "an uncertainty has both sd and range: expected one of them");
    }
    if (seen[SD].key) {
        return read_sd(reading, seen[SD].value, form, into);
    }
    if (!seen[SHAPE].key) {
        into->shape = TRN_UNIFORM;
    }
    if (seen[SHAPE].good && into->shape == TRN_NORMAL) {
        return dsc_fault(reading, seen[SHAPE].value, "shape",
                         "a normal distribution has no range: expected uniform or triangular, or sd in place of range");
    }
    return read_range(reading, seen[RANGE].value, form, into);
}

static bool check_share(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    return read_told(reading, mapping, seen, &share_form, record);
}

const dsc_form dsc_weight_uncertainty_form = {
    .noun = "an uncertainty", DSC_FIELDS_OF(share_fields), .size = sizeof(trn_distribution), .check = check_share};

bool dsc_read_uncertainty(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record)
{
    trn_distribution *into = (trn_distribution *)(void *)((char *)record + field->offset);
    if (value->kind == DSC_MAPPING) {
        return dsc_read_form(reading, value, field->key, &dsc_weight_uncertainty_form, into);
    }
    const dsc_field sd = {field->key, true, dsc_read_quantity, 0, DSC_0_TO_1};
    into->relative = true;
    return dsc_read_quantity(reading, value, &sd, &into->sd);
}

static bool check_uncertainty(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    trn_uncertainty *uncertainty = record;
    if (!seen[OF].good) {
        return false;
    }
    const kind_form *form = &kind_forms[uncertainty->of];
    if (form->on_something && !seen[ON].key) {
        return dsc_missing(reading, mapping, "key \"on\" is missing: expected the name of what has the %s",
                           of_words[uncertainty->of]);
    }
    if (uncertainty->of == TRN_UNCERTAIN_EFFICIENCY && seen[ON].key) {
        return dsc_fault(reading, seen[ON].key, NULL, "\"on\" does not go with efficiency: expected it without");
    }
    return read_told(reading, mapping, seen, form, &uncertainty->distribution);
}

static const dsc_form uncertainty_form = {
    .noun = "an uncertainty",
    DSC_FIELDS_OF(uncertainty_fields),
    .size = sizeof(trn_uncertainty),
    .check = check_uncertainty,
};

const dsc_list dsc_uncertainty_list = {
    .item = {"uncertainties", true, dsc_read_record, 0, &uncertainty_form},
    .item_size = sizeof(trn_uncertainty),
    .count_offset = offsetof(trn_leaf, uncertainty_count),
    .most = 1000,
    .nouns = "uncertainties",
};

static bool same_text(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* A unit weight and a weight are the same thing told twice. */
static trn_uncertain plain_kind(trn_uncertain of)
{
    return of == TRN_UNCERTAIN_UNIT_WEIGHT ? TRN_UNCERTAIN_WEIGHT : of;
}

/* Whether a part that an uncertainty is about tells its weight's own. */
static bool part_tells(const trn_leaf *leaf, const trn_uncertainty *of, trn_uncertain_place place)
{
    const trn_part *parts = place.list == TRN_DESCRIBED_PART          ? leaf->parts
                            : place.list == TRN_DESCRIBED_LINKED_PART ? leaf->linked_counterweight->parts
                                                                      : NULL;
    if (!parts || plain_kind(of->of) != TRN_UNCERTAIN_WEIGHT) {
        return false;
    }
    return parts[place.index].uncertainty.sd > 0 || parts[place.index].uncertainty.by_range;
}

static bool check_item(dsc_reading *reading, const dsc_node *item, const trn_leaf *leaf, size_t index)
{
    const trn_uncertainty *of = &leaf->uncertainties[index];
    trn_input input;
    trn_uncertain_place place;
    trn_error error;
    if (trn_uncertainty_input(leaf, of, &input, &place, &error) != TRN_OK) {
        return dsc_fault(reading, item, NULL, "%s", error.text);
    }
    if (part_tells(leaf, of, place)) {
        return dsc_fault(reading, item, NULL, "the part tells its own uncertainty of weight: expected one of the two");
    }
    for (size_t i = 0; i < index; i++) {
        const trn_uncertainty *before = &leaf->uncertainties[i];
        if (plain_kind(before->of) == plain_kind(of->of) && same_text(before->on, of->on)) {
            return dsc_fault(reading, item, NULL, "the uncertainty of this %s is given twice: expected it once",
                             of_words[of->of]);
        }
    }
    return true;
}

bool dsc_check_uncertainties(dsc_reading *reading, const dsc_node *list, const trn_leaf *leaf)
{
    bool good = true;
    size_t index = 0;
    for (const dsc_item *item = list->items; item; item = item->next) {
        good = check_item(reading, item->value, leaf, index) && good;
        index++;
    }
    return good;
}
