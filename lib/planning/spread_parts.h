/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the files of a run of samples share.
 */
#ifndef SPREAD_PARTS_H
#define SPREAD_PARTS_H

#include <pthread.h>

#include "spread_model.h"
#include "tally_parts.h"
#include "trunnion/sobol.h"
#include "trunnion/spread.h"
#include "vector.h"

/* Samples that one thread takes at a time. Sums are by stretches of TALLY_SIFTED samples, so that a chunk is whole
 * ones. */
enum { CHUNK = 2048 };

/* Quantiles of a row: 5, 50 and 95 per cent. */
enum { QUANTILES = TALLY_TOGETHER };

/* Streams of a seed: the samples, and the two matrices of the Sobol indices. */
enum { STREAM_SAMPLES, STREAM_SOBOL_A, STREAM_SOBOL_B };

/* About where values lie and how far apart, so that the sums of their powers keep their digits. */
typedef struct run_measure {
    double centre;
    double scale;
} run_measure;

/* A demand at an angle, in a direction, of a case. */
typedef struct run_row {
    spread_basis basis;
    trn_tally *tally; /* NULL: not of this pass */
    int misses;       /* how often its quantiles left their brackets */
    bool finished;
    double first_mean;
    double first_sd;
    double limit;
} run_row;

/* One direction of a case. */
typedef struct run_side {
    size_t frame;
    trn_direction direction;
    size_t first_row; /* and as many as there are angles */
    bool has_use;
    double scale; /* of its tallies */
    run_measure peak_measure;
    trn_tally *peak;
    uint64_t over;
    uint64_t over_either; /* of closing: in this direction or in opening */
} run_side;

/* Wind from one side on a leaf that is held: frames without friction, and with it where it is credited. */
typedef struct run_hold_side {
    size_t net;
    size_t rubbing;
    bool counts;
    spread_basis *net_rows; /* one an angle */
    spread_basis *opening_rows;
    spread_basis *closing_rows;
} run_hold_side;

typedef struct run_holding {
    const trn_holding *holding;
    run_hold_side sides[2];
    double capacity;
    run_measure peak_measure;
    trn_tally *peak;
    uint64_t not_held;
} run_holding;

/* A lock of one row. */
typedef struct run_lock {
    pthread_mutex_t mutex;
} run_lock;

/* What one thread works with. */
typedef struct run_space {
    double *memory;
    double **values;   /* of each input: a whole chunk, or a block where only the bodies' sums need it */
    const double **at; /* the same from a place on */
    bool *whole;
    size_t *whole_inputs; /* those that are */
    size_t whole_count;
    spread_bodies bodies; /* a chunk each */
    spread_columns columns;
    spread_columns net;  /* of a leaf that is held, without friction */
    double **winds_from; /* the columns' groups from a place on */
    double *demands;     /* TALLY_SIFTED each */
    double *uses;
    double *friction[2];
    double *peaks; /* a chunk, and that of opening */
    double *opening_peaks;
    double *found[QUANTILES];
} run_space;

/* Which inputs a variable has, and which sources these weigh or place: those of variable v from from[v] to before
 * from[v + 1]. */
typedef struct run_links {
    size_t *inputs_from;
    size_t *inputs;
    size_t *sources_from;
    size_t *sources;
} run_links;

typedef enum run_stage { RUN_SAMPLING, RUN_EFFECTS, RUN_DONE } run_stage;

struct trn_spread {
    trn_spread_settings settings;
    spread_model model;
    spread_frame *frames;
    size_t frame_count;
    run_row *rows;
    size_t row_count;
    run_side *sides; /* 2 a case */
    size_t side_count;
    run_holding *holdings;
    size_t holding_count;
    run_space *spaces; /* one a thread */
    uint64_t fingerprint;

    run_stage stage;
    uint64_t samples;    /* to be drawn in this pass, of the whole run */
    uint64_t from_chunk; /* of this shard */
    uint64_t to_chunk;
    uint64_t next_chunk;
    size_t pass;
    size_t passes;
    bool first_pass; /* peaks are looked at */
    bool begun;
    bool *joined; /* shards that are in; NULL: none was */
    uint32_t joined_of;

    pthread_mutex_t lock;
    bool has_lock;
    run_lock *row_locks; /* of rows, then sides, then holdings */
    trn_status status;   /* of the threads */
    size_t next_item;
    size_t slice; /* chunks that are worked on from next_chunk on */

    trn_sobol_sums *sobol;       /* of each case, of each variable */
    struct run_scatter *scatter; /* of each case, of each batch */
    run_links *links;            /* from variables to inputs and sources */
    double mean_sums[BODIES][SUMS];
    size_t sobol_blocks; /* in a batch */

    trn_spread_result result;
    trn_spread_case *cases;
    trn_spread_row *result_rows;
    trn_spread_effect *effects;
    trn_spread_holding *result_holdings;
};

/* spread.c: a power of two at least as large as four standard deviations, or as a size without; 1 for none. */
double spread_scale_for(double sd, double size);

/* The chunks of a part of the samples, from the first to before the end. */
void spread_part_of(uint64_t samples, uint32_t shards, uint32_t shard, uint64_t *first, uint64_t *end);

/* spread_space.c */
trn_status space_make(const spread_model *model, run_space *space);
void space_free(run_space *space);

/* Fill columns for samples whose bodies are summed; count of them. */
void space_fill(const spread_model *model, run_space *space, const spread_frame *frame, size_t count,
                const spread_columns *into);

/* Sum the bodies of so many samples, at most BLOCK, from their inputs' values. */
void space_sum(const spread_model *model, run_space *space, const double *const *values, size_t from, size_t count);

/* spread_chunk.c: all that one chunk of samples has to tell. */
void run_chunk(trn_spread *run, run_space *space, uint64_t chunk);

/* The measures of all peaks, by the first samples of the whole run, whichever shard this is. */
void run_pilot(trn_spread *run);

/* spread_pass.c */
trn_status pass_begin(trn_spread *run);
bool pass_is_done(const trn_spread *run);
trn_status pass_end(trn_spread *run);

/* Do work on all threads; each calls it with a space of its own until nothing is left. */
typedef void run_work(trn_spread *run, run_space *space);
trn_status run_in_threads(trn_spread *run, run_work *work);

/* The next item of count for a thread to work on; count where there is none. */
size_t run_next_item(trn_spread *run, size_t count);

/* spread_links.c */
trn_status run_link_variables(trn_spread *run);

/* spread_first.c: first order, and the governing row of each case. */
void run_first_order(trn_spread *run);
void run_swings(trn_spread *run);

/* spread_sobol.c */
trn_status run_sobol(trn_spread *run);

/* A governing row's quantity: use or demand. */
void run_governing(const trn_spread *run, size_t case_index, run_space *space, size_t n, double *values);

#endif
