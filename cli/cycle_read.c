/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked of cycle beside the leaf: faults, gusts, records of wind, and whether they make sense together. */
#include <string.h>

#include "angles.h"
#include "cycle.h"
#include "input.h"
#include "message.h"

bool cycle_at_angle(trn_upset_kind kind)
{
    return kind != TRN_UPSET_BRAKE_OUT && kind != TRN_UPSET_NEAR_SWITCH_MISSED;
}

/* The nearest place of a switch is sought among runs that arrive. */
bool cycle_beside_switches(trn_upset_kind kind)
{
    return kind == TRN_UPSET_MOTOR_OUT || kind == TRN_UPSET_BRAKE_OUT || kind == TRN_UPSET_GUST;
}

/* A text that the library could not read: its words, or the machine's failure. */
static exit_status fail_text(const char *option, const char *text, const trn_error *error, const char *form)
{
    if (error->status == TRN_OUT_OF_DOMAIN) {
        return fail(EXIT_BAD_INPUT, "%s '%s': %s; the form is %s", option, text, error->text, form);
    }
    return fail(EXIT_MACHINE, "%s", trn_status_text(error->status));
}

static bool lacks_angle(const trn_upset_text *fault)
{
    return !fault->has_angle && cycle_at_angle(fault->upset.kind);
}

static exit_status check_fault(const cycle *of, size_t index)
{
    const trn_upset_text *fault = &of->faults[index];
    const char *text = of->asked->faults[index];
    const double most_deg = degrees_of(of->leaf->opens_to_rad);
    if (fault->has_angle &&
        !(degrees_of(fault->upset.angle_rad) >= 0 && degrees_of(fault->upset.angle_rad) <= most_deg)) {
        return fail(EXIT_BAD_INPUT, "--fault '%s': expected an angle within the travel, 0 to %.6g degree", text,
                    most_deg);
    }
    if (of->by_cylinders && fault->upset.kind == TRN_UPSET_MOTOR_OUT) {
        return fail(EXIT_BAD_INPUT, "--fault '%s': cylinders move this leaf, no motors", text);
    }
    if (lacks_angle(fault) && !of->asked->sweep) {
        const char *gust = fault->upset.kind == TRN_UPSET_GUST ? " 12 m/s for 8 s" : "";
        return fail(EXIT_BAD_INPUT,
                    "--fault '%s': expected its angle, such as '%s%s at 40deg', or --sweep for all angles", text,
                    trn_upset_words(fault->upset.kind), gust);
    }
    return EXIT_DONE;
}

/* The faults in the order in which they were given, for each direction that they are of. */
static void share_out(cycle *of)
{
    for (size_t i = 0; i < of->asked->fault_count; i++) {
        const bool in[DIRECTIONS] = {[TRN_OPENING] = of->faults[i].opening, [TRN_CLOSING] = of->faults[i].closing};
        for (size_t k = 0; k < DIRECTIONS; k++) {
            cycle_direction *one = &of->of[k];
            if (in[k]) {
                one->fault_of[one->upset_count] = i;
                one->upsets[one->upset_count++] = of->faults[i].upset;
            }
        }
    }
    for (size_t k = 0; k < DIRECTIONS; k++) {
        of->of[k].asked = of->asked->fault_count == 0 || of->of[k].upset_count > 0;
    }
}

static exit_status read_faults(cycle *of)
{
    exit_status status = EXIT_DONE;
    for (size_t i = 0; i < of->asked->fault_count && status == EXIT_DONE; i++) {
        trn_error error;
        if (trn_upset_read(of->asked->faults[i], &of->faults[i], &error) != TRN_OK) {
            return fail_text("--fault", of->asked->faults[i], &error,
                             "'power lost at 40deg', 'gust 12 m/s for 8 s at 40deg closing'");
        }
        status = check_fault(of, i);
    }
    share_out(of);
    return status;
}

static exit_status check_sweep(const cycle *of)
{
    size_t open = 0;
    const char *whole_run = NULL; /* a fault that no angle can be given for */
    for (size_t i = 0; i < of->asked->fault_count; i++) {
        open += lacks_angle(&of->faults[i]);
        whole_run = cycle_at_angle(of->faults[i].upset.kind) ? whole_run : of->asked->faults[i];
    }
    if (open == 1) {
        return EXIT_DONE;
    }
    if (of->asked->fault_count == 0) {
        return fail(EXIT_BAD_INPUT, "--sweep needs a fault without its angle, such as --fault 'power lost'");
    }
    if (open == 0 && whole_run != NULL) {
        return fail(EXIT_BAD_INPUT,
                    "--sweep --fault '%s': that is of the whole run and has no angle to go through: give beside it the "
                    "fault to be swept, such as --fault 'power lost'",
                    whole_run);
    }
    return open == 0
               ? fail(EXIT_BAD_INPUT, "--sweep goes through the angles of a fault that is given without one: leave "
                                      "'at ...' out of one of them, such as --fault 'power lost'")
               : fail(EXIT_BAD_INPUT, "--sweep goes through the angles of one fault: %zu are given without theirs",
                      open);
}

static exit_status check_switches(const cycle *of)
{
    for (size_t i = 0; i < of->asked->fault_count; i++) {
        if (!cycle_beside_switches(of->faults[i].upset.kind)) {
            return fail(EXIT_BAD_INPUT,
                        "--switches with --fault '%s': no place of a switch helps there; 'motor out', "
                        "'brake out' and 'gust' may stand beside it",
                        of->asked->faults[i]);
        }
    }
    return EXIT_DONE;
}

static exit_status check_together(const options *asked)
{
    if (asked->sweep + asked->switches + asked->operation > 1) {
        return fail(EXIT_BAD_INPUT, "--sweep, --switches and --operation exclude each other: give one of them");
    }
    if (asked->step_given && !asked->sweep) {
        return fail(EXIT_BAD_INPUT, "--step is the step between the angles of --sweep: for the step of the trace in "
                                    "time, give --every");
    }
    if (asked->drift_given && !asked->switches) {
        return fail(EXIT_BAD_INPUT, "--drift is that of a switch: it goes with --switches");
    }
    if (asked->every_given && (asked->sweep || asked->switches || asked->operation)) {
        return fail(EXIT_BAD_INPUT, "--every is the step of the trace, which %s does not have",
                    asked->sweep      ? "--sweep"
                    : asked->switches ? "--switches"
                                      : "--operation");
    }
    return EXIT_DONE;
}

static exit_status read_wind(cycle *of)
{
    trn_error error;
    of->has_gust = of->asked->gust != NULL;
    if (of->has_gust && trn_gust_read(of->asked->gust, &of->gust, &error) != TRN_OK) {
        return fail_text("--gust", of->asked->gust, &error, "'12 m/s for 8 s at 20 s', '90 Pa for 8 s'");
    }
    return of->asked->wind_record_file != NULL ? input_read_wind(of->asked->wind_record_file, &of->wind) : EXIT_DONE;
}

static bool moves_by_cylinders(const trn_leaf *leaf)
{
    return leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_CYLINDER;
}

exit_status cycle_read(const options *asked, const trn_leaf *leaf, cycle *of)
{
    *of = (cycle){.asked = asked, .leaf = leaf, .shown = display_for(leaf), .by_cylinders = moves_by_cylinders(leaf)};
    of->shown.of[QUANTITY_ACCELERATION].decimals = 3;
    exit_status status = check_together(asked);
    if (status == EXIT_DONE) {
        status = input_find_case(leaf, asked->leaf_file, asked->case_name, &of->load_case);
    }
    if (status == EXIT_DONE) {
        status = read_faults(of);
    }
    if (status == EXIT_DONE && asked->sweep) {
        status = check_sweep(of);
    }
    if (status == EXIT_DONE && asked->switches) {
        status = check_switches(of);
    }
    return status == EXIT_DONE ? read_wind(of) : status;
}

void cycle_free(cycle *of)
{
    trn_wind_series_free(&of->wind);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        trn_run_free(&of->of[k].run);
    }
}
