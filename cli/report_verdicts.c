/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every requirement: what was found, what is asked, what is left, met or not. */
#include <math.h>
#include <stdlib.h>

#include "cycle_words.h"
#include "message.h"
#include "report.h"
#include "report_text.h"

/* The next line of the verdicts. */
static verdict *add(report *of, const char *anchor, const char *what, const char *name, const char *way, bool met)
{
    verdict *one = &of->verdicts[of->verdict_count++];
    *one = (verdict){.anchor = anchor, .what = what, .name = name, .way = way, .met = met};
    return one;
}

#define SAY(field, ...) (void)snprintf(field, sizeof(field), __VA_ARGS__)

void verdict_margin(verdict *one, double share)
{
    if (!isfinite(share)) {
        SAY(one->margin, "nothing is asked");
    } else if (share >= 99) {
        SAY(one->margin, "over 100 times what is asked");
    } else {
        SAY(one->margin, "%+.1f %%", share * 100);
    }
}

static void judge_drive(report *of)
{
    const drive_result *drive = &of->drive;
    const bool cylinders = of->leaf->drive->kind == TRN_DRIVE_CYLINDER;
    const quantity what = cylinders ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    for (size_t i = 0; i < drive->case_count * DIRECTIONS; i++) {
        const trn_rating *rating = &drive->all[i];
        verdict *one = add(of, "drive", "The drive moves the leaf, case", drive->cases[i / DIRECTIONS].name,
                           direction_words[i % DIRECTIONS], rating->met);
        SAY(one->found, "%s at %s",
            amount_of(&of->shown, what, cylinders ? rating->pressure_Pa : rating->motor_Nm).text,
            amount_of(&of->shown, QUANTITY_ANGLE, rating->worst_angle_rad).text);
        SAY(one->limit, "%s", amount_of(&of->shown, what, cylinders ? rating->allowed_Pa : rating->allowed_Nm).text);
        verdict_margin(one, 1 - rating->use);
    }
    if (drive->has_duty) {
        verdict *one =
            add(of, "drive", "The motors stand the duty, case", drive_duty_case(of->leaf), "", drive->duty.met);
        SAY(one->found, "rms %s", amount_of(&of->shown, QUANTITY_TORQUE, drive->duty.rms_Nm).text);
        SAY(one->limit, "%s", amount_of(&of->shown, QUANTITY_TORQUE, drive->duty.rated_Nm).text);
        verdict_margin(one, 1 - drive->duty.use);
    }
}

static void judge_brakes(report *of)
{
    const brake_result *brakes = &of->brakes;
    char text[DISPLAY_TEXT];
    for (size_t i = 0; i < brakes->count; i++) {
        const trn_holding_rating *rating = &brakes->ratings[i];
        verdict *one = add(of, "brakes", "The brakes hold the leaf,", brakes->holdings[i].name, "", rating->met);
        SAY(one->found, "factor %s at %s", brake_factor_text(rating->factor, text),
            amount_of(&of->shown, QUANTITY_ANGLE, rating->worst_angle_rad).text);
        SAY(one->limit, "factor %s", brake_factor_text(rating->required, text));
        verdict_margin(one, rating->factor / rating->required - 1);
    }
    if (brakes->has_stop) {
        const trn_stop *stop = &brakes->stop;
        verdict *one = add(of, "brakes", "The brakes stop the moving leaf", NULL, direction_words[stop->direction],
                           brake_stops(stop));
        if (brake_stops(stop)) {
            SAY(one->found, "%s in %s from %s", amount_of(&of->shown, QUANTITY_ANGLE, stop->run_rad).text,
                amount_of(&of->shown, QUANTITY_TIME, stop->time_s).text,
                amount_of(&of->shown, QUANTITY_ANGLE, stop->from_angle_rad).text);
        } else {
            SAY(one->found, "no stop, for one from %s",
                amount_of(&of->shown, QUANTITY_ANGLE, stop->from_angle_rad).text);
        }
        SAY(one->limit, "within the travel");
        SAY(one->margin, "–");
    }
}

static void judge_wind(report *of)
{
    const double posted_m_s = of->leaf->posted_wind_m_s;
    static const char *const words[] = {"The posted wind lets the leaf be raised", "The posted wind lets it be lowered",
                                        "The posted wind lets it be held"};
    for (size_t i = 0; i < 3; i++) {
        const wind_action *action = &of->wind.actions[i];
        if (!action->there) {
            continue;
        }
        const double limit_m_s = action->lowest.speed_m_s;
        verdict *one = add(of, "wind", words[i], NULL, "", limit_m_s >= posted_m_s);
        if (isfinite(limit_m_s)) {
            SAY(one->found, "up to %s at %s", amount_of(&of->shown, QUANTITY_WIND_SPEED, limit_m_s).text,
                amount_of(&of->shown, QUANTITY_ANGLE, action->lowest.angle_rad).text);
        } else {
            SAY(one->found, "beyond %s", amount_of(&of->shown, QUANTITY_WIND_SPEED, TRN_WIND_HIGHEST).text);
        }
        SAY(one->limit, "%s", amount_of(&of->shown, QUANTITY_WIND_SPEED, posted_m_s).text);
        verdict_margin(one, limit_m_s / posted_m_s - 1);
    }
}

static void judge_cycle(report *of)
{
    static const char *const words[DIRECTIONS] = {"An opening arrives and is held, case",
                                                  "A closing arrives and is held, case"};
    for (size_t k = 0; k < DIRECTIONS; k++) {
        const trn_run *run = &of->cycle.of[k].run;
        const bool met = cycle_met(&of->cycle, (trn_direction)k, run) && run->reached_switch;
        report_judge_arrival(of, run, add(of, "cycle", words[k], of->cycle.load_case->name, "", met));
    }
}

/* The distance of a value from the nearer bound of its window, negative outside. */
static double room_within(trn_window window, double value)
{
    return fmin(value - window.low, window.high - value);
}

static void judge_target(report *of)
{
    const trn_balance_target *target = of->leaf->balance_target;
    const trn_balance *balance = &of->weighed.balance;
    const double b_Nm = balance->moment_Nm * sin(balance->angle_rad);
    const trn_window windows[2] = {target->by_moments ? target->a_Nm : target->toe_reaction_N,
                                   target->by_moments ? target->b_Nm : target->angle_rad};
    const double values[2] = {target->by_moments ? balance->closed_moment_Nm : balance->toe_reaction_N,
                              target->by_moments ? b_Nm : balance->angle_rad};
    const quantity what[2] = {target->by_moments ? QUANTITY_MOMENT : QUANTITY_FORCE,
                              target->by_moments ? QUANTITY_MOMENT : QUANTITY_ANGLE};
    const char *const words[2] = {
        target->by_moments ? "Balance: A is within its target" : "Balance: the toe reaction is within its target",
        target->by_moments ? "Balance: B is within its target" : "Balance: the angle α is within its target"};
    for (size_t i = 0; i < 2; i++) {
        const double room = room_within(windows[i], values[i]);
        verdict *one = add(of, "target", words[i], NULL, "", room >= 0);
        SAY(one->found, "%s", amount_of(&of->shown, what[i], values[i]).text);
        SAY(one->limit, "%s to %s", amount_of(&of->shown, what[i], windows[i].low).text,
            amount_of(&of->shown, what[i], windows[i].high).text);
        SAY(one->margin, "%s%s", room >= 0 ? "+" : "", amount_of(&of->shown, what[i], room).text);
    }
}

exit_status report_judge(report *of)
{
    enum { OTHERS = 12 };
    of->verdicts = calloc(of->movable_count * DIRECTIONS + of->leaf->holding_count + OTHERS, sizeof *of->verdicts);
    if (of->verdicts == NULL) {
        return fail_memory();
    }
    if (of->has_target.there) {
        judge_target(of);
    }
    if (of->has_drive.there) {
        judge_drive(of);
    }
    if (of->has_brakes.there) {
        judge_brakes(of);
    }
    if (of->has_wind.there && of->leaf->posted_wind_m_s > 0) {
        judge_wind(of);
    }
    if (of->has_cycle.there) {
        judge_cycle(of);
    }
    return EXIT_DONE;
}

static exit_status worse(exit_status a, exit_status b)
{
    return a != EXIT_DONE ? a : b;
}

/* The sentences of the commands, and one for a balance out of its target. */
exit_status report_tell_status(const report *of)
{
    static const char *const names[2][2] = {{"the toe reaction", "the angle α"}, {"A", "B"}};
    exit_status status = EXIT_DONE;
    for (size_t i = 0; i < of->verdict_count && i < 2 && of->has_target.there; i++) {
        const verdict *one = &of->verdicts[i];
        if (!one->met) {
            status = not_met("balance target: %s is %s, asked is %s", names[of->leaf->balance_target->by_moments][i],
                             one->found, one->limit);
        }
    }
    if (of->has_drive.there) {
        status = worse(drive_verdict(&of->drive), status);
    }
    if (of->has_brakes.there) {
        status = worse(brake_verdict(&of->brakes), status);
    }
    if (of->has_wind.there) {
        status = worse(wind_verdict(&of->wind), status);
    }
    return of->has_cycle.there ? worse(cycle_verdict(&of->cycle, false), status) : status;
}

static void write_row(const verdict *one, html *page)
{
    html_start(page, "tr");
    html_start(page, "th");
    html_attribute(page, "scope", "row");
    html_start(page, "a");
    html_attribute_f(page, "href", "#%s", one->anchor);
    html_text(page, one->what);
    html_end(page);
    if (one->name != NULL) {
        html_text(page, " ");
        html_name(page, one->name);
    }
    if (one->way[0] != '\0') {
        html_text(page, ", ");
        html_text(page, one->way);
    }
    html_end(page);
    text_verdict(page, one->met);
    text_number(page, one->found);
    text_number(page, one->limit);
    text_number(page, one->margin);
    html_end(page);
}

void report_write_verdicts(const report *of, html *page)
{
    static const heading headings[] = {{"Requirement", "", false},
                                       {"Verdict", "", false},
                                       {"Found", "", true},
                                       {"Limit", "", true},
                                       {"Margin", "", true}};
    size_t unmet = 0;
    for (size_t i = 0; i < of->verdict_count; i++) {
        unmet += !of->verdicts[i].met;
    }
    text_section(page, "verdicts", "Verdicts");
    if (of->verdict_count == 0) {
        text_paragraph(page, "The description asks for nothing that could be met or not: it has neither a drive with "
                             "motors, nor brakes with holdings, nor a balance target.");
    } else if (unmet == 0) {
        text_paragraph(page, "All %zu requirements are met, as far as the description says what is required.",
                       of->verdict_count);
    } else {
        text_note(page, "Not met:", "%zu of %zu requirements.", unmet, of->verdict_count);
    }
    if (of->verdict_count > 0) {
        text_table(page, "Every requirement of the description", NULL, headings, 5);
        for (size_t i = 0; i < of->verdict_count; i++) {
            write_row(&of->verdicts[i], page);
        }
        text_table_end(page);
        if (unmet > 0) {
            report_write_remedies(of, page);
        }
        text_paragraph(page, "The margin is what is left of the limit; below zero it is what lacks. One motor or one "
                             "brake out is told in the sections, for information: it is no requirement.");
    }
    html_end(page);
}
