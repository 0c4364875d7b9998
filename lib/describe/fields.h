/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The engine that reads any section by its table of fields.
 *
 * A form is the table of one kind of mapping: for each key the reader of its
 * value and where the value goes in the record. The engine finds unknown,
 * doubled and missing keys; a form's check holds the values against each other.
 */
#ifndef DSC_FIELDS_H
#define DSC_FIELDS_H

#include <stdbool.h>
#include <stddef.h>

#include "arena.h"
#include "document.h"
#include "faults.h"
#include "quantity.h"
#include "trunnion/status.h"

typedef struct dsc_defaults dsc_defaults;

/* What one reading carries along. */
typedef struct dsc_reading {
    dsc_arena *arena; /* of the result */
    trn_faults *faults;
    dsc_units units;
    size_t outline_work;    /* pairs of sides compared so far */
    bool slip;              /* the mapping that is being checked has an unknown key */
    dsc_defaults *defaults; /* taken so far; NULL: nobody asks */
    trn_status status;      /* what ended the reading early, TRN_OK while nothing has */
} dsc_reading;

typedef struct dsc_field dsc_field;

/* Read a value into the record, at the field's offset; false, with a fault, where it is not right. */
typedef bool dsc_reader(dsc_reading *reading, const dsc_node *value, const dsc_field *field, void *record);

struct dsc_field {
    const char *key;
    bool required;
    dsc_reader *read;
    size_t offset;
    const void *spec; /* what the reader asks for */
};

/* The most fields that a form has. */
#define DSC_FIELDS_MAX 24

/* What was found of a field: nothing, or its key and its value, read well or not. */
typedef struct dsc_seen {
    const dsc_node *key;
    const dsc_node *value;
    bool good;
    bool meant; /* not found, but an unknown key comes near it */
} dsc_seen;

/* Hold what was read of a mapping against each other; seen runs along the form's fields. */
typedef bool dsc_check(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record);

typedef struct dsc_form {
    const char *noun;
    const dsc_field *fields;
    size_t field_count;
    size_t size;                        /* of the record */
    void (*set_defaults)(void *record); /* NULL: all zero */
    dsc_check *check;                   /* NULL: nothing to hold against each other */
    /* For who wants to know which defaults were taken; each may be NULL. */
    bool (*takes_default)(const dsc_seen *seen, size_t field); /* whether what else is found leaves a field a meaning */
    const char *(*without)(size_t field); /* what holds where a whole section is not there; NULL: nothing to tell */
} dsc_form;

#define DSC_FIELDS_OF(table) .fields = (table), .field_count = sizeof(table) / sizeof *(table)

/* Add a fault at a node, after the key of the field it belongs to (NULL: none). Always false. */
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
bool dsc_fault(dsc_reading *reading, const dsc_node *at, const char *key, const char *format, ...);

/*
 * The same for a key that a form's check misses in a mapping. Says nothing
 * where the mapping has an unknown key: that is then the one fault to mend.
 */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
bool dsc_missing(dsc_reading *reading, const dsc_node *mapping, const char *format, ...);

/* Memory for the result; NULL, with the reading's status set, when it ran out. */
void *dsc_take(dsc_reading *reading, size_t count, size_t size);

/* True where the node is a scalar that holds nothing: no value, or YAML's null. */
bool dsc_is_nothing(const dsc_node *node);

/* Read a mapping by its form into record, which is size bytes; the defaults are set first. */
bool dsc_read_form(dsc_reading *reading, const dsc_node *node, const char *key, const dsc_form *form, void *record);

/* Readers of scalars; their spec in brackets. */
dsc_reader dsc_read_text;     /* const char * */
dsc_reader dsc_read_quantity; /* double [dsc_rule] */
dsc_reader dsc_read_whole;    /* int [dsc_whole] */
dsc_reader dsc_read_flag;     /* bool */
dsc_reader dsc_read_choice;   /* an enum [dsc_choice] */

typedef struct dsc_whole {
    int least;
} dsc_whole;

#define DSC_WHOLE_FROM(number) (&(const dsc_whole){(number)})

/* Words in the order of the enum's values, which run from 0. */
typedef struct dsc_choice {
    const char *const *words;
    size_t count;
} dsc_choice;

/* Readers of what is made up of others. */
dsc_reader dsc_read_record;  /* a struct within the record [dsc_form] */
dsc_reader dsc_read_section; /* a pointer to a struct of its own [dsc_form] */
dsc_reader dsc_read_list;    /* a pointer to an array, and its count [dsc_list] */
dsc_reader dsc_read_pair;    /* two doubles in a row, written [a, b] [dsc_pair] */

typedef struct dsc_list {
    dsc_field item; /* how one is read; offset 0 */
    size_t item_size;
    size_t count_offset; /* of a size_t, in the record that holds the pointer */
    size_t least;
    size_t most;
    const char *nouns; /* "parts" */
    bool named;        /* the items are mappings whose names must differ */
} dsc_list;

typedef struct dsc_pair {
    const dsc_rule *first;
    const dsc_rule *second;
    const char *example;
} dsc_pair;

/* [x, y], two lengths. */
extern const dsc_pair dsc_point_pair;

/* Names of the items of count lists (each may be NULL) must differ; a fault at each name used before. */
bool dsc_check_names(dsc_reading *reading, const dsc_node *const *lists, size_t count);

/* In a list of pairs the first numbers must ascend; table holds them, two doubles each. */
bool dsc_check_ascending(dsc_reading *reading, const dsc_node *list, const char *key, const double *table);

#endif
