/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "fields.h"

/* Where in the lists a name stands, so that of two alike the later one is at fault. */
typedef struct named {
    const dsc_node *name;
    size_t position;
} named;

static int compare_named(const void *a, const void *b)
{
    const named *left = a;
    const named *right = b;
    int order = strcmp(left->name->text, right->name->text);
    if (order != 0) {
        return order;
    }
    return (left->position > right->position) - (left->position < right->position);
}

static size_t count_items(const dsc_node *const *lists, size_t count)
{
    size_t total = 0;
    for (size_t i = 0; i < count; i++) {
        total += lists[i] && lists[i]->kind == DSC_SEQUENCE ? lists[i]->count : 0;
    }
    return total;
}

static size_t gather(const dsc_node *list, named *names, size_t have)
{
    if (!list || list->kind != DSC_SEQUENCE) {
        return have;
    }
    for (const dsc_item *item = list->items; item; item = item->next) {
        const dsc_node *name = dsc_value(item->value, "name");
        if (name && name->kind == DSC_SCALAR) {
            names[have] = (named){name, have};
            have++;
        }
    }
    return have;
}

bool dsc_check_names(dsc_reading *reading, const dsc_node *const *lists, size_t count)
{
    size_t total = count_items(lists, count);
    if (total < 2) {
        return true;
    }
    named *names = malloc(total * sizeof *names);
    if (!names) {
        reading->status = TRN_NO_MEMORY;
        return false;
    }
    size_t have = 0;
    for (size_t i = 0; i < count; i++) {
        have = gather(lists[i], names, have);
    }
    qsort(names, have, sizeof *names, compare_named);
    bool good = true;
    for (size_t i = 1; i < have; i++) {
        if (strcmp(names[i - 1].name->text, names[i].name->text) == 0) {
            char shown[DSC_EXCERPT];
            good = dsc_fault(reading, names[i].name, "name", "\"%s\" is used before, in line %d: expected another name",
                             dsc_excerpt(shown, names[i].name->text, names[i].name->length),
                             names[i - 1].name->place.line);
        }
    }
    free(names);
    return good;
}
