/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the near switches may stand. */
#include <math.h>

#include "../mechanics/support.h"
#include "trunnion/run.h"

/* A leaf whose near switch is moved about. */
typedef struct shifted {
    trn_leaf leaf;
    trn_travel travel;
    trn_run_setting setting;
    bool opening;
    double end_rad; /* the full switch */
} shifted;

static shifted make(const trn_leaf *leaf, const trn_run_setting *setting)
{
    shifted made = {.leaf = *leaf, .travel = *leaf->travel, .setting = *setting};
    const double full_open = made.travel.full_open_rad > 0 ? made.travel.full_open_rad : leaf->opens_to_rad;
    made.opening = setting->direction == TRN_OPENING;
    made.end_rad = made.opening ? full_open : made.travel.full_closed_rad;
    made.setting.sample_every_s = 0;
    return made;
}

static double place(const shifted *of, double before_end_rad)
{
    return of->opening ? of->end_rad - before_end_rad : of->end_rad + before_end_rad;
}

static trn_status run_from(const shifted *of, double near_rad, trn_run *run, trn_error *error)
{
    shifted moved = *of;
    *(moved.opening ? &moved.travel.near_open_rad : &moved.travel.near_closed_rad) = near_rad;
    moved.leaf.travel = &moved.travel;
    return trn_leaf_run(&moved.leaf, &moved.setting, run, error);
}

/* Whether the leaf arrives at creep speed from a switch so far before the end. */
static trn_status arrives(const shifted *of, double before_end_rad, bool *at_creep, trn_error *error)
{
    trn_run run;
    const trn_status status = run_from(of, place(of, before_end_rad), &run, error);
    if (status == TRN_OK) {
        *at_creep = run.reached_switch && run.at_creep;
        trn_run_free(&run);
    }
    return status;
}

/* How far the reference runs on its way from full speed to creep. */
static double falling_run(const trn_travel *travel)
{
    return travel->decelerate_in_s * travel->speed_rad_s * (1 + travel->creep) / 2;
}

static const double fine_rad = 1e-4 * DEGREE;

/* The least distance from which the leaf arrives at creep speed, between one too short and one far enough. */
static trn_status narrow(const shifted *of, double low, double high, double *nearest, trn_error *error)
{
    const double likely = falling_run(&of->travel);
    trn_status status = TRN_OK;
    while (status == TRN_OK && high - low > fine_rad) {
        /* A drive within its limits needs what the reference needs, which two runs then show. */
        double middle = low + (high - low) / 2;
        middle = likely + fine_rad / 2 > low && likely + fine_rad / 2 < high ? likely + fine_rad / 2 : middle;
        middle = high <= likely + fine_rad && likely - fine_rad / 4 > low ? likely - fine_rad / 4 : middle;
        bool at_creep = false;
        status = arrives(of, middle, &at_creep, error);
        *(at_creep ? &high : &low) = middle;
    }
    *nearest = high;
    return status;
}

static trn_status find_nearest(const shifted *of, trn_switch_place *found, trn_error *error)
{
    const double whole = of->opening ? of->end_rad : of->leaf.opens_to_rad - of->end_rad;
    double nearest = 0;
    bool at_creep = false;
    trn_status status = arrives(of, 0, &at_creep, error);
    if (status == TRN_OK && !at_creep) {
        nearest = whole;
        status = arrives(of, whole, &at_creep, error);
        if (status == TRN_OK && at_creep) {
            status = narrow(of, 0, whole, &nearest, error);
        }
    }
    found->possible = at_creep;
    found->nearest_rad = place(of, nearest);
    found->margin_rad = (of->opening ? 1 : -1) * (found->nearest_rad - found->given_rad);
    return status;
}

trn_status trn_leaf_switch_place(const trn_leaf *leaf, const trn_run_setting *setting, double drift_rad,
                                 trn_switch_place *place_found, trn_error *error)
{
    if (leaf->travel == NULL) {
        return missing_section(error, "travel");
    }
    const shifted of = make(leaf, setting);
    const double later = of.opening ? drift_rad : -drift_rad;
    trn_switch_place found = {.given_rad = of.opening ? of.travel.near_open_rad : of.travel.near_closed_rad};
    trn_status status = find_nearest(&of, &found, error);
    status = status == TRN_OK ? run_from(&of, found.given_rad - later, &found.early, error) : status;
    status = status == TRN_OK ? run_from(&of, found.given_rad, &found.given, error) : status;
    status = status == TRN_OK ? run_from(&of, found.given_rad + later, &found.late, error) : status;
    if (status != TRN_OK) {
        trn_run_free(&found.early);
        trn_run_free(&found.given);
        return status;
    }
    *place_found = found;
    return TRN_OK;
}
