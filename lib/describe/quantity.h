/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the text of a quantity, number and unit, to a double in SI.
 */
#ifndef DSC_QUANTITY_H
#define DSC_QUANTITY_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "trunnion/status.h"
#include "units.h"

typedef enum dsc_kind {
    DSC_PURE,  /* a bare number, or % */
    DSC_COUNT, /* a bare number; that it is whole is for the reader to see */
    DSC_LENGTH,
    DSC_ANGLE,
    DSC_ANGULAR_SPEED,
    DSC_WEIGHT, /* this and the three that follow: mass or force */
    DSC_WEIGHT_PER_LENGTH,
    DSC_WEIGHT_PER_AREA,
    DSC_UNIT_WEIGHT,
    DSC_FORCE,
    DSC_STIFFNESS,
    DSC_DAMPING,
    DSC_PRESSURE,
    DSC_SPEED,
    DSC_DENSITY,
    DSC_TORQUE,
    DSC_POWER,
    DSC_TIME,
    DSC_INERTIA,
    DSC_HEAT_CAPACITY
} dsc_kind;

/* What a quantity must be: its kind and its bounds, in SI. */
typedef struct dsc_rule {
    dsc_kind kind;
    double low;
    double high;
    bool over;         /* low itself is out of bounds */
    const char *words; /* the bounds in words, to follow the kind's noun */
} dsc_rule;

#define DSC_RADIANS(degrees) ((degrees)*0.017453292519943295769)

/* Rules for the spec of a field. */
#define DSC_RULE(...) (&(const dsc_rule){__VA_ARGS__})
#define DSC_ANY(kind) DSC_RULE((kind), -HUGE_VAL, HUGE_VAL, false, "")
#define DSC_OVER_0(kind) DSC_RULE((kind), 0, HUGE_VAL, true, " over 0")
#define DSC_0_OR_MORE(kind) DSC_RULE((kind), 0, HUGE_VAL, false, " of 0 or more")
#define DSC_1_OR_MORE(kind) DSC_RULE((kind), 1, HUGE_VAL, false, " of 1 or more")
#define DSC_0_TO_1 DSC_RULE(DSC_PURE, 0, 1, false, " from 0 to 1")
#define DSC_OVER_0_TO_1 DSC_RULE(DSC_PURE, 0, 1, true, " over 0, at most 1")

/* Room for the words about a quantity. */
#define DSC_WORDS ((size_t)200)

/*
 * Read a quantity by its rule. Returns TRN_OK also where the text does not
 * obey: *good is false and words say why. Fails as dsc_unit_read does. The
 * caller has set the C locale.
 */
trn_status dsc_quantity_read(dsc_units *units, const char *text, size_t length, const dsc_rule *rule, double *value,
                             bool *good, char words[DSC_WORDS]);

/* Length of the number that starts text, 0 where there is none. */
size_t dsc_number_length(const char *text, size_t length);

#endif
