/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the text of a description to a tree of nodes with their places.
 * The only file that knows libyaml stands behind this header.
 */
#ifndef DSC_DOCUMENT_H
#define DSC_DOCUMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "arena.h"
#include "faults.h"
#include "trunnion/status.h"

typedef enum dsc_node_kind { DSC_SCALAR, DSC_SEQUENCE, DSC_MAPPING } dsc_node_kind;

typedef struct dsc_node dsc_node;
typedef struct dsc_item dsc_item;

/* One entry of a sequence (key is NULL) or of a mapping. */
struct dsc_item {
    const dsc_node *key;
    const dsc_node *value;
    const dsc_item *next;
};

struct dsc_node {
    dsc_node_kind kind;
    dsc_place place;
    bool plain;            /* a scalar without quotes */
    const char *text;      /* of a scalar, ended by NUL */
    size_t length;         /* bytes of the text */
    const dsc_item *items; /* of a sequence or mapping */
    size_t count;          /* of the items */
    size_t reach;          /* nodes met when this one is walked, aliases followed */
};

/*
 * Read the one document in the text. On TRN_BAD_DESCRIPTION the faults say why;
 * *root may still be set then, so that its values can be read for more faults.
 * The tree holds no cycle, and walking it meets a bounded number of nodes.
 */
trn_status dsc_document_read(const char *text, size_t length, dsc_arena *arena, trn_faults *faults,
                             const dsc_node **root);

/* False, with a fault, unless the text is UTF-8 of a fair size without control characters. */
bool dsc_text_is_sound(const char *text, size_t length, trn_faults *faults);

/* The same without a bound on the size. */
bool dsc_characters_are_sound(const char *text, size_t length, trn_faults *faults);

/* The value of a key in a mapping (the first one), NULL where there is none or the node is no mapping. */
const dsc_node *dsc_value(const dsc_node *mapping, const char *key);

#endif
