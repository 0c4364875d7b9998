/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "document.h"

#include <stdint.h>
#include <string.h>
#include <yaml.h>

/* A leaf needs eight levels; a fault in the indentation should not need more either. */
#define DEPTH_MAX ((size_t)16)
/* Bounds that end a hostile text within a second; the largest leaf thought of stays far below. */
#define NODES_MAX ((size_t)1250000)
#define ANCHORS_MAX ((size_t)256)
#define ALIASED_MAX ((size_t)100000)

/* A sequence or mapping that is still being filled. */
typedef struct level {
    dsc_node *node;
    dsc_item *last;
    const dsc_node *key; /* of a mapping: read, its value still to come */
} level;

typedef struct anchor {
    const char *name;
    const dsc_node *node;
} anchor;

typedef struct builder {
    yaml_parser_t parser;
    dsc_arena *arena;
    trn_faults *faults;
    level levels[DEPTH_MAX];
    size_t depth;
    anchor anchors[ANCHORS_MAX];
    size_t anchor_count;
    size_t nodes;
    size_t aliased;
    const dsc_node *root;
    bool ended;
    bool tolerable; /* only faults so far that leave the tree whole */
} builder;

static dsc_place place_of(yaml_mark_t mark)
{
    /* The text has at most TRN_DESCRIPTION_MAX bytes, so that both fit an int. */
    return (dsc_place){(int)mark.line + 1, (int)mark.column + 1};
}

static trn_status stop(builder *build, dsc_place place, const char *words)
{
    dsc_faults_add(build->faults, place, "%s", words);
    return TRN_BAD_DESCRIPTION;
}

static trn_status stop_at(builder *build, dsc_place place, const char *what, size_t most)
{
    dsc_faults_add(build->faults, place, "too many %s: expected at most %zu in one description", what, most);
    return TRN_BAD_DESCRIPTION;
}

/* Hang a node into the collection being filled; the first node of all is the root. */
static trn_status hang(builder *build, const dsc_node *node)
{
    if (build->depth == 0) {
        build->root = node;
        return TRN_OK;
    }
    level *top = &build->levels[build->depth - 1];
    if (top->node->kind == DSC_MAPPING && !top->key) {
        top->key = node;
        return TRN_OK;
    }
    dsc_item *item = dsc_arena_take(build->arena, 1, sizeof *item);
    if (!item) {
        return TRN_NO_MEMORY;
    }
    *item = (dsc_item){.key = top->key, .value = node};
    if (top->last) {
        top->last->next = item;
    } else {
        top->node->items = item;
    }
    top->last = item;
    top->key = NULL;
    top->node->count++;
    return TRN_OK;
}

/* A closed node adds what it reaches to the collection around it. */
static void count_reach(builder *build, const dsc_node *node)
{
    if (build->depth > 0) {
        build->levels[build->depth - 1].node->reach += node->reach;
    }
}

static trn_status name_anchor(builder *build, const yaml_char_t *name, const dsc_node *node)
{
    if (!name) {
        return TRN_OK;
    }
    if (build->anchor_count == ANCHORS_MAX) {
        return stop_at(build, node->place, "anchors (&)", ANCHORS_MAX);
    }
    const char *text = (const char *)name;
    char *copy = dsc_arena_text(build->arena, text, strlen(text));
    if (!copy) {
        return TRN_NO_MEMORY;
    }
    build->anchors[build->anchor_count++] = (anchor){copy, node};
    return TRN_OK;
}

/* A new node, named and hung in its place. */
static trn_status add_node(builder *build, const yaml_event_t *event, dsc_node_kind kind,
                           const yaml_char_t *anchor_name, const yaml_char_t *tag, dsc_node **added)
{
    dsc_place place = place_of(event->start_mark);
    if (++build->nodes > NODES_MAX) {
        return stop_at(build, place, "values", NODES_MAX);
    }
    dsc_node *node = dsc_arena_take(build->arena, 1, sizeof *node);
    if (!node) {
        return TRN_NO_MEMORY;
    }
    *node = (dsc_node){.kind = kind, .place = place, .reach = 1};
    if (tag) {
        build->tolerable = false;
        char shown[DSC_EXCERPT];
        const char *text = (const char *)tag;
        dsc_faults_add(build->faults, place, "a tag (%s) is not read: expected the value alone",
                       dsc_excerpt(shown, text, strlen(text)));
    }
    trn_status status = name_anchor(build, anchor_name, node);
    *added = node;
    return status == TRN_OK ? hang(build, node) : status;
}

static trn_status add_scalar(builder *build, const yaml_event_t *event)
{
    dsc_node *node = NULL;
    trn_status status = add_node(build, event, DSC_SCALAR, event->data.scalar.anchor, event->data.scalar.tag, &node);
    if (status != TRN_OK) {
        return status;
    }
    node->plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    node->length = event->data.scalar.length;
    node->text = dsc_arena_text(build->arena, (const char *)event->data.scalar.value, node->length);
    if (!node->text) {
        return TRN_NO_MEMORY;
    }
    /* "\0" in quotes makes one; texts can end in NUL from here on. */
    if (memchr(node->text, '\0', node->length)) {
        return stop(build, node->place, "the text holds a NUL character: expected printable text");
    }
    count_reach(build, node);
    return TRN_OK;
}

static trn_status open_collection(builder *build, const yaml_event_t *event, dsc_node_kind kind,
                                  const yaml_char_t *anchor_name, const yaml_char_t *tag)
{
    if (build->depth == DEPTH_MAX) {
        return stop_at(build, place_of(event->start_mark), "levels of nesting", DEPTH_MAX);
    }
    dsc_node *node = NULL;
    trn_status status = add_node(build, event, kind, anchor_name, tag, &node);
    if (status == TRN_OK) {
        build->levels[build->depth++] = (level){.node = node};
    }
    return status;
}

static trn_status close_collection(builder *build)
{
    const dsc_node *node = build->levels[--build->depth].node;
    count_reach(build, node);
    return TRN_OK;
}

static bool is_open(const builder *build, const dsc_node *node)
{
    for (size_t i = 0; i < build->depth; i++) {
        if (build->levels[i].node == node) {
            return true;
        }
    }
    return false;
}

static trn_status add_alias(builder *build, const yaml_event_t *event)
{
    dsc_place place = place_of(event->start_mark);
    const char *name = (const char *)event->data.alias.anchor;
    const dsc_node *node = NULL;
    for (size_t i = build->anchor_count; i > 0 && !node; i--) {
        if (strcmp(build->anchors[i - 1].name, name) == 0) {
            node = build->anchors[i - 1].node;
        }
    }
    if (!node) {
        char shown[DSC_EXCERPT];
        dsc_faults_add(build->faults, place, "alias *%s has no anchor: expected &%s before it",
                       dsc_excerpt(shown, name, strlen(name)), shown);
        return TRN_BAD_DESCRIPTION;
    }
    if (is_open(build, node)) {
        return stop(build, place, "an alias inside its own anchor makes a cycle: expected a value that ends");
    }
    build->aliased += node->reach;
    if (build->aliased > ALIASED_MAX) {
        return stop_at(build, place, "values behind aliases (*)", ALIASED_MAX);
    }
    count_reach(build, node);
    return hang(build, node);
}

static trn_status start_document(builder *build, const yaml_event_t *event)
{
    if (build->root) {
        build->ended = true;
        build->tolerable = false;
        dsc_faults_add(build->faults, place_of(event->start_mark),
                       "a second document starts here: expected one description in a file");
    }
    return TRN_OK;
}

static trn_status take_event(builder *build, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        return start_document(build, event);
    case YAML_SCALAR_EVENT:
        return add_scalar(build, event);
    case YAML_SEQUENCE_START_EVENT:
        return open_collection(build, event, DSC_SEQUENCE, event->data.sequence_start.anchor,
                               event->data.sequence_start.tag);
    case YAML_MAPPING_START_EVENT:
        return open_collection(build, event, DSC_MAPPING, event->data.mapping_start.anchor,
                               event->data.mapping_start.tag);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        return close_collection(build);
    case YAML_ALIAS_EVENT:
        return add_alias(build, event);
    case YAML_STREAM_END_EVENT:
        build->ended = true;
        return TRN_OK;
    default:
        return TRN_OK;
    }
}

/* libyaml's own words, with its own mark. */
static trn_status syntax_fault(builder *build)
{
    const yaml_parser_t *parser = &build->parser;
    if (parser->error == YAML_MEMORY_ERROR) {
        return TRN_NO_MEMORY;
    }
    const char *problem = parser->problem ? parser->problem : "it cannot be read";
    if (strstr(problem, "cannot start any token")) {
        dsc_faults_add(
            build->faults, place_of(parser->problem_mark),
            "not YAML: a tab, %%, @ or ` cannot stand at the start: expected blanks, or the value in quotes");
    } else if (parser->context) {
        dsc_faults_add(build->faults, place_of(parser->problem_mark), "not YAML: %s (%s that starts in line %d)",
                       problem, parser->context, place_of(parser->context_mark).line);
    } else {
        dsc_faults_add(build->faults, place_of(parser->problem_mark), "not YAML: %s", problem);
    }
    return TRN_BAD_DESCRIPTION;
}

static trn_status build_tree(builder *build)
{
    while (!build->ended) {
        yaml_event_t event;
        if (!yaml_parser_parse(&build->parser, &event)) {
            return syntax_fault(build);
        }
        trn_status status = take_event(build, &event);
        yaml_event_delete(&event);
        if (status != TRN_OK) {
            return status;
        }
    }
    return build->tolerable ? TRN_OK : TRN_BAD_DESCRIPTION;
}

trn_status dsc_document_read(const char *text, size_t length, dsc_arena *arena, trn_faults *faults,
                             const dsc_node **root)
{
    builder *build = dsc_arena_take(arena, 1, sizeof *build);
    if (!build) {
        return TRN_NO_MEMORY;
    }
    build->arena = arena;
    build->faults = faults;
    build->tolerable = true;
    if (!yaml_parser_initialize(&build->parser)) {
        return TRN_NO_MEMORY;
    }
    yaml_parser_set_encoding(&build->parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&build->parser, (const unsigned char *)text, length);
    trn_status status = build_tree(build);
    yaml_parser_delete(&build->parser);
    if (build->ended) {
        *root = build->root;
    }
    return status;
}

const dsc_node *dsc_value(const dsc_node *mapping, const char *key)
{
    if (!mapping || mapping->kind != DSC_MAPPING) {
        return NULL;
    }
    for (const dsc_item *item = mapping->items; item; item = item->next) {
        if (item->key->kind == DSC_SCALAR && strcmp(item->key->text, key) == 0) {
            return item->value;
        }
    }
    return NULL;
}
