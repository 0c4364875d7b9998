/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trunnion/operation.h"

#include <stdbool.h>
#include <string.h>

static bool has(const trn_conditions *conditions, const char *name)
{
    for (size_t i = 0; i < conditions->count; i++) {
        if (strcmp(conditions->names[i], name) == 0) {
            return true;
        }
    }
    return false;
}

/*
 * The step before a given one that last gave or ended a condition; the given
 * one where there is none. A step ends at its start and gives at its end, so
 * that of one that does both the giving lasts.
 */
static size_t last_word(const trn_step *steps, size_t before, const char *name)
{
    for (size_t i = before; i > 0; i--) {
        if (has(&steps[i - 1].gives, name) || has(&steps[i - 1].ends, name)) {
            return i - 1;
        }
    }
    return before;
}

static trn_status refuse(const trn_step *steps, trn_unmet at, size_t last, trn_error *error)
{
    const trn_step *step = &steps[at.step];
    const char *need = step->needs.names[at.need];
    if (last < at.step) {
        return trn_error_set(error, TRN_OUT_OF_DOMAIN, "step \"%s\" needs \"%s\", which step \"%s\" ended", step->name,
                             need, steps[last].name);
    }
    return trn_error_set(error, TRN_OUT_OF_DOMAIN, "step \"%s\" needs \"%s\", which no earlier step gives", step->name,
                         need);
}

trn_status trn_operation_check(const trn_step *steps, size_t count, trn_unmet *unmet, trn_error *error)
{
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < steps[i].needs.count; j++) {
            const char *need = steps[i].needs.names[j];
            const size_t last = last_word(steps, i, need);
            if (last < i && has(&steps[last].gives, need)) {
                continue;
            }
            const trn_unmet at = {i, j};
            if (unmet != NULL) {
                *unmet = at;
            }
            return refuse(steps, at, last, error);
        }
    }
    return TRN_OK;
}

static double duration(const trn_step *step, double raising_s, double lowering_s)
{
    switch (step->motion) {
    case TRN_STEP_RAISES:
        return raising_s;
    case TRN_STEP_LOWERS:
        return lowering_s;
    case TRN_STEP_STILL:
        break;
    }
    return step->takes_s;
}

/* A road that nobody opens again is closed to the end of the operation. */
static double closed_time(const trn_step *steps, const trn_step_time *times, size_t count)
{
    double total_s = 0;
    bool closed = false;
    double since_s = 0;
    for (size_t i = 0; i < count; i++) {
        if (steps[i].road == TRN_ROAD_CLOSES && !closed) {
            closed = true;
            since_s = times[i].start_s;
        } else if (steps[i].road == TRN_ROAD_OPENS && closed) {
            closed = false;
            total_s += times[i].end_s - since_s;
        }
    }
    return closed ? total_s + (times[count - 1].end_s - since_s) : total_s;
}

trn_status trn_operation_times(const trn_step *steps, size_t count, double raising_s, double lowering_s,
                               trn_step_time *times, trn_operation *operation, trn_error *error)
{
    const trn_status status = trn_operation_check(steps, count, NULL, error);
    if (status != TRN_OK) {
        return status;
    }
    double now_s = 0;
    for (size_t i = 0; i < count; i++) {
        times[i].start_s = now_s;
        now_s += duration(&steps[i], raising_s, lowering_s);
        times[i].end_s = now_s;
    }
    *operation = (trn_operation){.total_s = now_s, .road_closed_s = closed_time(steps, times, count)};
    return TRN_OK;
}
