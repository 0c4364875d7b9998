/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The standard faults of a moving leaf, each at its worst angle: what 'cycle --fault ... --sweep' tells, in short. */
#include <math.h>
#include <stdlib.h>

#include "cycle_words.h"
#include "report.h"
#include "report_text.h"
#include "trunnion/rating.h"

/* A fault as cycle takes it, perhaps with another one beside it. */
typedef struct standard_fault {
    const char *words;
    const char *faults[2];
    bool at_angle;
    bool needs_motors;
    bool needs_brakes;
} standard_fault;

static const standard_fault standard[REPORT_FAULTS] = {
    {"power lost, or emergency stop", {"power lost", NULL}, true, false, false},
    {"power lost, strongest brake out", {"power lost", "brake out"}, true, false, true},
    {"pedal released: a controlled stop", {"pedal released", NULL}, true, false, false},
    {"one motor out", {"motor out", NULL}, true, true, false},
    {"near switch missed", {"near switch missed", NULL}, false, false, false},
};

/* How bad a run is: one that does not rest held is worst, then one that does not arrive, then one that does. */
static int badness(const trn_run *run)
{
    return !trn_run_is_safe(run) ? 2 : !run->reached_switch;
}

static bool is_worse(const sweep_row *a, const sweep_row *b)
{
    if (badness(&a->run) != badness(&b->run)) {
        return badness(&a->run) > badness(&b->run);
    }
    return sweep_run_on_deg(a) > sweep_run_on_deg(b);
}

static void keep_worst(report *of, size_t fault, const sweep *swept)
{
    for (size_t i = 0; i < swept->count; i++) {
        const sweep_row *row = &swept->rows[i];
        fault_row *kept = &of->faults[fault * DIRECTIONS + row->direction];
        if (row->happens && (!kept->there || is_worse(row, &kept->worst))) {
            kept->there = true;
            kept->worst = *row;
        }
    }
}

static exit_status sweep_fault(report *of, size_t fault, cycle *with)
{
    sweep swept = {.of = with};
    angle_list angles;
    exit_status status = angle_list_make(of->leaf->opens_to_rad, REPORT_TABLE_STEP_DEG, &angles);
    if (status == EXIT_DONE) {
        status = sweep_make(&angles, &swept);
        angle_list_free(&angles);
    }
    if (status == EXIT_DONE) {
        keep_worst(of, fault, &swept);
    }
    free(swept.rows);
    return status;
}

static exit_status run_fault(report *of, size_t fault, cycle *with)
{
    const exit_status status = cycle_run_all(with);
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE; k++) {
        fault_row *kept = &of->faults[fault * DIRECTIONS + k];
        kept->there = true;
        kept->worst = (sweep_row){.direction = (trn_direction)k, .happens = true, .run = with->of[k].run};
        kept->worst.rest_s = rest_s(&with->of[k].run);
        /* The events and the trace go with the cycle. */
        kept->worst.run.events = NULL;
        kept->worst.run.event_count = 0;
        kept->worst.run.rows = NULL;
        kept->worst.run.row_count = 0;
    }
    return status;
}

/* Without brakes none can be out; cylinders have no motors. */
static bool makes_sense(const report *of, const standard_fault *one)
{
    return (!one->needs_motors || (!of->cycle.by_cylinders && trn_motors_left(of->leaf->motors) > 0)) &&
           (!one->needs_brakes || of->leaf->brake_count > 0);
}

exit_status report_run_faults(report *of)
{
    exit_status status = EXIT_DONE;
    for (size_t i = 0; i < REPORT_FAULTS && status == EXIT_DONE; i++) {
        const standard_fault *one = &standard[i];
        options asked = *of->asked;
        cycle with;
        for (size_t k = 0; k < 2 && one->faults[k] != NULL; k++) {
            asked.faults[asked.fault_count++] = one->faults[k];
        }
        asked.sweep = one->at_angle;
        for (size_t k = 0; k < DIRECTIONS; k++) {
            of->faults[i * DIRECTIONS + k].words = one->words;
            of->faults[i * DIRECTIONS + k].at_angle = one->at_angle;
        }
        if (!makes_sense(of, one)) {
            continue;
        }
        status = cycle_read(&asked, of->leaf, &with);
        if (status == EXIT_DONE) {
            status = one->at_angle ? sweep_fault(of, i, &with) : run_fault(of, i, &with);
        }
        cycle_free(&with);
    }
    return status;
}

static void fault_cells(const report *of, html *page, const fault_row *one)
{
    const display *shown = &of->shown;
    const trn_run *run = &one->worst.run;
    char text[DISPLAY_TEXT];
    text_cell(page, direction_words[one->worst.direction]);
    text_number(page, one->at_angle ? display_text(shown, QUANTITY_ANGLE, radians_of(one->worst.angle_deg), text)
                                    : "whole run");
    char words[RUN_WORDS];
    text_cell(page, short_verdict(&of->cycle, run, words));
    text_amount(page, shown, QUANTITY_ANGLE, run->end_angle_rad);
    text_number(page, one->at_angle
                          ? display_text(shown, QUANTITY_ANGLE, radians_of(sweep_run_on_deg(&one->worst)), text)
                          : "–");
    text_number(page, run->end == TRN_END_LEFT || run->end == TRN_END_MOVING
                          ? "–"
                          : display_text(shown, QUANTITY_TIME, one->worst.rest_s - one->worst.fault_s, text));
    text_amount(page, shown, QUANTITY_ACCELERATION, run->peak_deceleration_rad_s2);
    text_number(page, run->seat.seated ? display_text(shown, QUANTITY_TOE_SPEED, run->seat.toe_speed_m_s, text) : "–");
    text_number(page, factor_words(run->hold_factor, text));
}

void report_faults(const report *of, html *page)
{
    const display *shown = &of->shown;
    const heading headings[] = {{"Fault", "", false},
                                {"Direction", "", false},
                                {"At", shown->of[QUANTITY_ANGLE].unit, true},
                                {"What happens", "", false},
                                {"Rests at", shown->of[QUANTITY_ANGLE].unit, true},
                                {"Runs on", shown->of[QUANTITY_ANGLE].unit, true},
                                {"At rest after", shown->of[QUANTITY_TIME].unit, true},
                                {"Hardest stop", shown->of[QUANTITY_ACCELERATION].unit, true},
                                {"Toe lands at", shown->of[QUANTITY_TOE_SPEED].unit, true},
                                {"Brakes hold", "times", true}};
    text_heading(page, "h3", "When something fails on the way", NULL);
    text_table(page, "Standard faults, each at its worst angle, case", of->cycle.load_case->name, headings, 10);
    for (size_t i = 0; i < (size_t)REPORT_FAULTS * DIRECTIONS; i++) {
        if (of->faults[i].there) {
            text_row(page, of->faults[i].words);
            fault_cells(of, page, &of->faults[i]);
            html_end(page);
        }
    }
    text_table_end(page);
    text_paragraph(page,
                   "Each fault was tried every %g° of the travel in both directions; the worst angle is one from which "
                   "the leaf does not end in a rest that is held, else one from which it does not arrive, else the one "
                   "with the longest run on. Told for information: none of these is a requirement here. Gusts, and "
                   "faults together, are for 'trunnion cycle'.",
                   REPORT_TABLE_STEP_DEG);
}
