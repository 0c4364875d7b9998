/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All results of the report, each by the command that it belongs to; what the description lacks is left out. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "input.h"
#include "message.h"
#include "report.h"

static bool by_cylinders(const trn_leaf *leaf)
{
    return leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_CYLINDER;
}

/* Note a missing key, one after the other. */
static void lack(section_state *state, bool there, const char *key)
{
    const size_t used = strlen(state->missing);
    if (!there) {
        (void)snprintf(state->missing + used, sizeof state->missing - used, "%s'%s'", used == 0 ? "" : ", ", key);
        state->there = false;
    }
}

/* Which sections the description allows. */
static void look_for_sections(report *of)
{
    const trn_leaf *leaf = of->leaf;
    const bool motors = by_cylinders(leaf) || leaf->motors != NULL;
    const bool moves = leaf->drive != NULL && motors;
    of->has_curves.there = of->movable_count > 0;
    of->has_drive.there = of->movable_count > 0;
    of->has_brakes.there = of->has_wind.there = of->has_cycle.there = of->has_target.there = true;
    lack(&of->has_curves, of->movable_count > 0, "travel");
    lack(&of->has_drive, leaf->drive != NULL, "drive");
    lack(&of->has_drive, motors, "motors");
    lack(&of->has_drive, of->movable_count > 0, "travel");
    lack(&of->has_brakes, leaf->brake_count > 0, "brakes");
    lack(&of->has_brakes, leaf->holding_count > 0, "holding");
    lack(&of->has_wind, leaf->wind_limits != NULL, "wind_limits");
    if (!moves && leaf->brake_count == 0) {
        lack(&of->has_wind, leaf->drive != NULL, "drive");
        lack(&of->has_wind, motors, "motors");
        lack(&of->has_wind, false, "brakes");
    }
    lack(&of->has_cycle, leaf->drive != NULL, "drive");
    lack(&of->has_cycle, motors, "motors");
    lack(&of->has_cycle, leaf->travel != NULL, "travel");
    of->has_spread.there = of->movable_count == of->case_count;
    lack(&of->has_spread, of->has_spread.there, "travel");
    lack(&of->has_target, leaf->balance_target != NULL, "balance_target");
    of->has_plan = of->has_target.there && trn_leaf_pocket_total(leaf) > 0;
}

/* A case that accelerates needs the travel to know how fast. */
static exit_status choose_cases(report *of)
{
    of->cases = of->leaf->cases;
    of->case_count = of->leaf->case_count;
    input_note_choice(of->asked, "case", NULL);
    if (of->asked->case_name != NULL) {
        of->case_count = 1;
        const exit_status status = input_find_case(of->leaf, of->asked->leaf_file, of->asked->case_name, &of->cases);
        if (status != EXIT_DONE) {
            return status;
        }
    }
    of->movable = malloc((of->case_count + 1) * sizeof *of->movable);
    if (of->movable == NULL) {
        return fail_memory();
    }
    for (size_t i = 0; i < of->case_count; i++) {
        if (!of->cases[i].accelerating || of->leaf->travel != NULL) {
            of->movable[of->movable_count++] = of->cases[i];
        }
    }
    return EXIT_DONE;
}

static exit_status compute_rest(report *of)
{
    const options *asked = of->asked;
    exit_status status = EXIT_DONE;
    of->curves = (curves){.leaf = of->leaf, .cases = of->movable, .case_count = of->movable_count, .shown = of->shown};
    of->drive = (drive_result){.leaf = of->leaf,
                               .cases = of->movable,
                               .case_count = of->movable_count,
                               .shown = of->shown,
                               .per_W = of->shown.of[QUANTITY_POWER].factor};
    of->brakes = (brake_result){
        .leaf = of->leaf, .holdings = of->leaf->holdings, .count = of->leaf->holding_count, .shown = of->shown};
    of->wind = (wind_result){.leaf = of->leaf, .shown = of->shown};
    of->plan = (ballast_result){.leaf = of->leaf};
    if (of->has_curves.there) {
        status = curves_compute(asked, REPORT_STEP_DEG, &of->curves);
    }
    if (status == EXIT_DONE && of->has_drive.there) {
        status = drive_compute(asked, &of->drive);
    }
    if (status == EXIT_DONE && of->has_brakes.there) {
        status = brake_compute(asked, &of->brakes);
    }
    if (status == EXIT_DONE && of->has_wind.there) {
        status = wind_compute(asked, REPORT_STEP_DEG, &of->wind);
    }
    if (status == EXIT_DONE && of->has_cycle.there) {
        status = cycle_read(asked, of->leaf, &of->cycle);
        if (status == EXIT_DONE && asked->case_name == NULL) {
            note("in time, case '%s', the first", of->cycle.load_case->name);
        }
        status = status == EXIT_DONE ? cycle_trace(&of->cycle, 0) : status;
        status = status == EXIT_DONE ? report_run_faults(of) : status;
    }
    if (status == EXIT_DONE && of->has_spread.there) {
        status = report_draw_spread(of);
    }
    if (status == EXIT_DONE && of->has_plan) {
        status = ballast_compute(asked, NULL, &of->plan);
    }
    return status;
}

exit_status report_compute(report *of)
{
    trn_error error;
    of->shown = display_for(of->leaf);
    of->shown.of[QUANTITY_ACCELERATION].decimals = 3;
    exit_status status = data_begin(of);
    if (status == EXIT_DONE) {
        status = choose_cases(of);
    }
    if (status == EXIT_DONE && trn_leaf_check_motion(of->leaf, &error) != TRN_OK) {
        status = fail_leaf(of->asked, &error);
    }
    if (status == EXIT_DONE) {
        status = account_make(of->leaf, &of->weighed);
    }
    if (status == EXIT_DONE) {
        look_for_sections(of);
        status = compute_rest(of);
    }
    return status == EXIT_DONE ? report_judge(of) : status;
}

void report_free(report *of)
{
    free(of->movable);
    free(of->weighed.items);
    curves_free(&of->curves);
    drive_free(&of->drive);
    brake_free(&of->brakes);
    wind_free(&of->wind);
    cycle_free(&of->cycle);
    trn_spread_free(of->spread_run);
    ballast_free(&of->plan);
    free(of->verdicts);
    json_decref(of->data);
}
