/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A leaf with uncertain inputs, made ready for samples by the array.
 *
 * A sample of a leaf under some circumstances is a handful of numbers (its
 * columns: A, B, weight, friction arm, wind...); an angle and a direction of
 * travel is a row of factors on them. A demand is then a short product, but
 * for the trunnion's reaction, which is a root.
 */
#ifndef SPREAD_MODEL_H
#define SPREAD_MODEL_H

#include "trunnion/leaf.h"
#include "trunnion/moments.h"
#include "trunnion/sample.h"

enum { NO_INPUT = -1 };

/* The leaf, and a linked counterweight. */
enum { ON_LEAF, ON_COUNTERWEIGHT, BODIES };

/* Sums of a body: A, B, weight, inertia. */
enum { SUMS = 4 };

/* A part or pocket of which something is uncertain. */
typedef struct spread_source {
    int body;
    double weight_N;
    trn_point at; /* from the body's axis */
    double own_inertia_kg_m2;
    int weight; /* inputs, or NO_INPUT */
    int x;
    int y;
} spread_source;

/* The inputs that act on the wind or ice of one case or holding; each may have its own and the general one. */
typedef struct spread_weather {
    int pressure[2];
    int speed[2];
    int ice[2];
} spread_weather;

/* What the rows of one case, or of one side of a holding, have in common. */
typedef struct spread_frame {
    trn_leaf leaf; /* as described; a holding's has no drive */
    trn_case load_case;
    trn_loading loading;
    spread_weather weather;
    trn_body ice; /* as described */
    bool windy;
    bool jointed; /* a link, or a drive whose force is carried by the trunnion */
} spread_frame;

/* A direction and an angle under a frame: factors, computed once. */
typedef struct spread_basis {
    double sign;    /* +1 opening, -1 closing */
    double along_a; /* demand for each N m of A, and of B */
    double along_b;
    const trn_wind_action *winds; /* one a group of surfaces, as described, side and pressure included */
    double link_rate;
    double link_turning; /* rate in the direction of travel */
    trn_rotation link_rotation;
    trn_point link_per_moment; /* pull on the link for each N m at the counterweight, with the sense of its turning */
    double link_sense;
    trn_point drive_per_moment[2]; /* for a demand over 0, and under */
    bool has_use;
    double use_driving; /* use for each N m of demand, before efficiency */
    double use_overhauling;
    double use_rotors;
} spread_basis;

/* Sums over the bodies, before any circumstances: arrays of samples. */
typedef struct spread_bodies {
    double *a[BODIES];
    double *b[BODIES];
    double *w[BODIES];
    double *j[BODIES];
} spread_bodies;

/* A frame's numbers of each sample. */
typedef struct spread_columns {
    double *a; /* ice included */
    double *b;
    double *w;
    double *rest; /* inertia and drag; where neither wind nor joints are, the friction too */
    double *arm;  /* of friction */
    double *c_a;  /* of the counterweight */
    double *c_b;
    double *c_w;
    double *c_inertia; /* J alpha */
    double *c_arm;
    double *efficiency;
    double *per_efficiency;
    double **winds; /* factor on each group */
} spread_columns;

typedef struct spread_model {
    const trn_leaf *leaf;
    trn_input *inputs;
    size_t input_count;
    size_t variable_count;
    char **variables; /* what each is */
    spread_source *sources;
    size_t source_count;
    trn_body certain[BODIES];
    bool has_counterweight;
    int moving[BODIES]; /* friction */
    int starting[BODIES];
    int drag;
    int efficiency;
    size_t wind_groups;       /* the first: surfaces of certain solidity */
    size_t *group_of;         /* of each surface */
    int *solidity_of;         /* of each group; the first is NO_INPUT */
    spread_weather *weathers; /* cases of the leaf, then holdings */
    void *owner;              /* list of what was allocated */
} spread_model;

/* Read what is uncertain of a leaf. End with spread_model_free in any case. */
trn_status spread_model_make(const trn_leaf *leaf, spread_model *model, trn_error *error);

/* spread_memory.c: memory that lives as long as the model; NULL when it ran out. */
void *spread_model_take(spread_model *model, size_t count, size_t size);
void spread_model_free(spread_model *model);

/* spread_frame.c: a frame of a case (of the leaf or a copy), of a side of a holding, and its rows. */
trn_status spread_frame_of_case(const spread_model *model, const trn_case *load_case, spread_frame *frame,
                                trn_error *error);
trn_status spread_frame_of_holding(const spread_model *model, const trn_holding *holding, trn_wind_side side,
                                   spread_frame *frame, trn_error *error);
spread_basis spread_basis_at(const spread_model *model, const spread_frame *frame, trn_direction direction,
                             double angle_rad, trn_wind_action *winds);

/* spread_columns.c: from values of the inputs, one array each, to columns. */
void spread_sum_bodies(const spread_model *model, const double *const *values, size_t n, const spread_bodies *into);

/* Add one source of the model to n of these sums from a place on, or take it out of them, to rounding. */
void spread_add_source(const spread_model *model, size_t source, const double *const *values, size_t from, size_t n,
                       const spread_bodies *into);
void spread_take_source(const spread_model *model, size_t source, const double *const *values, size_t from, size_t n,
                        const spread_bodies *into);
void spread_fill_columns(const spread_model *model, const spread_frame *frame, const spread_bodies *bodies,
                         const double *const *values, size_t n, const spread_columns *into);

/* The demands of n samples from a place on. */
void spread_demands(const spread_model *model, const spread_frame *frame, const spread_basis *basis,
                    const spread_columns *columns, size_t from, size_t n, double *demands);

#endif
