/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each case asks of the drive. */
#include <math.h>

#include "angles.h"
#include "cycle_words.h"
#include "report.h"
#include "report_text.h"
#include "trunnion/motor.h"

/* The bars of the chart, in its units. */
#define BAR_LEFT 192.0
#define BAR_RIGHT 428.0
#define BAR_HEIGHT 15.0
#define BAR_GAP 8.0

static bool by_cylinders(const report *of)
{
    return of->leaf->drive->kind == TRN_DRIVE_CYLINDER;
}

static void write_basis(const report *of, html *page)
{
    static const basis motors[] = {
        {"rated torque", "T_r = P / ω", "definition"},
        {"use", "|T| / (k T_r), k the case's share of rated torque",
         "shares of 1 to 1.8 are common in movable-bridge codes: from memory, check the clause"},
        {"duty", "T_{rms} = √(Σ T^2 Δt / period), rest included", "drives textbooks"},
        {"sizes", "R20: 1.00, 1.12, 1.25, 1.40, …", "ISO 3, preferred numbers; not a maker's list"},
    };
    static const basis cylinders[] = {
        {"pressure", "p = S / area, of the bore when pushing, of bore less rod when pulling", "statics"},
        {"use", "|p| / (k p_{pump}), k the case's share", "the shares are given: check the clause"},
    };
    text_basis(page, by_cylinders(of) ? cylinders : motors, by_cylinders(of) ? 2 : 4);
}

static void write_drive_kind(const report *of, html *page)
{
    const trn_drive *drive = of->leaf->drive;
    const display *shown = &of->shown;
    if (drive->kind == TRN_DRIVE_RATIO) {
        text_input(page, "drive", "rack and gears, %.6g motor turns per leaf turn", drive->ratio);
    } else if (drive->kind == TRN_DRIVE_STRUT) {
        text_input(page, "drive", "strut from its pin at x %s, y %s to a pinion of radius %s",
                   amount_of(shown, QUANTITY_LENGTH, drive->strut.on_leaf.x).text,
                   amount_of(shown, QUANTITY_LENGTH, drive->strut.on_leaf.y).text,
                   amount_of(shown, QUANTITY_LENGTH, drive->strut.pinion_radius_m).text);
        text_input(page, "ratio", "%.6g motor turns per pinion turn", drive->strut.ratio);
    } else {
        const trn_cylinder *cylinder = &drive->cylinder;
        text_input(page, "drive", "%d cylinders, bore %s, rod %s", cylinder->count,
                   amount_of(shown, QUANTITY_LENGTH, cylinder->bore_m).text,
                   amount_of(shown, QUANTITY_LENGTH, cylinder->rod_m).text);
        text_input(page, "pressure", "at most %s", amount_of(shown, QUANTITY_OIL_PRESSURE, cylinder->pressure_Pa).text);
    }
    text_input(page, "efficiency", "%.4g, all stages together", drive->efficiency);
}

static void write_inputs(const report *of, html *page)
{
    static const char *const laws[] = {[TRN_TORQUE_CONSTANT] = "constant torque, then constant power",
                                       [TRN_TORQUE_INDUCTION] = "induction (Kloss)",
                                       [TRN_TORQUE_TABLE] = "by a table"};
    const trn_motors *motors = of->leaf->motors;
    text_inputs(page, "Inputs of the drive");
    write_drive_kind(of, page);
    if (motors != NULL && !by_cylinders(of)) {
        text_input(page, "motors", "%d of %d running, each of %s at %.5g rpm", motors->running, motors->installed,
                   amount_of(&of->shown, QUANTITY_POWER, motors->power_W).text,
                   motors->speed_rad_s * 30 / 3.14159265358979323846);
        text_input(page, "rated torque", "%s",
                   amount_of(&of->shown, QUANTITY_TORQUE, trn_motor_rated_torque(motors)).text);
        text_input(page, "torque law", "%s", laws[motors->law]);
    }
    if (of->leaf->travel != NULL) {
        text_input(page, "travel", "%s, reached in %s",
                   amount_of(&of->shown, QUANTITY_ANGULAR_SPEED, of->leaf->travel->speed_rad_s).text,
                   amount_of(&of->shown, QUANTITY_TIME, of->leaf->travel->accelerate_in_s).text);
    }
    html_end(page);
}

static void write_ratings(const report *of, html *page, const char *caption, const trn_rating *ratings)
{
    const display *shown = &of->shown;
    const bool oil = by_cylinders(of);
    const quantity what = oil ? QUANTITY_OIL_PRESSURE : QUANTITY_TORQUE;
    const quantity last = oil ? QUANTITY_FORCE : QUANTITY_POWER;
    const heading headings[] = {{"Case", "", false},
                                {"Direction", "", false},
                                {"Worst angle", shown->of[QUANTITY_ANGLE].unit, true},
                                {"Leaf demand", shown->of[QUANTITY_MOMENT].unit, true},
                                {oil ? "Pressure" : "Motor torque", shown->of[what].unit, true},
                                {"Allowed", shown->of[what].unit, true},
                                {"Use", "%", true},
                                {oil ? "Force" : "Shaft power", shown->of[last].unit, true},
                                {"Verdict", "", false}};
    text_table(page, caption, NULL, headings, 9);
    for (size_t i = 0; i < of->drive.case_count * DIRECTIONS; i++) {
        const trn_rating *one = &ratings[i];
        text_row_named(page, of->drive.cases[i / DIRECTIONS].name);
        text_cell(page, direction_words[i % DIRECTIONS]);
        text_amount(page, shown, QUANTITY_ANGLE, one->worst_angle_rad);
        text_amount(page, shown, QUANTITY_MOMENT, one->leaf_Nm);
        text_amount(page, shown, what, oil ? one->pressure_Pa : one->motor_Nm);
        text_amount(page, shown, what, oil ? one->allowed_Pa : one->allowed_Nm);
        text_amount(page, shown, QUANTITY_SHARE, one->use);
        if (oil || of->leaf->travel != NULL) {
            text_amount(page, shown, last, oil ? one->force_N : one->power_W);
        } else {
            text_number(page, "–");
        }
        text_verdict(page, one->met);
        html_end(page);
    }
    text_table_end(page);
}

/* A rectangle of the chart of bars. */
static void bar(html *page, double x, double y, double width, const char *class_name)
{
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fh%.2fv%.2fh%.2fz", x, y, width, BAR_HEIGHT, -width);
    html_attribute(page, "class", class_name);
    html_end(page);
}

static void bar_text(html *page, double x, double y, const char *class_name)
{
    html_start(page, "text");
    html_attribute_f(page, "x", "%.2f", x);
    html_attribute_f(page, "y", "%.2f", y);
    html_attribute(page, "class", class_name);
}

/* The name of a case, short enough for the chart: the table has it whole. */
static void case_words(html *page, const char *name, const char *direction)
{
    char text[80];
    size_t bytes = 0;
    size_t characters = 0;
    while (name[bytes] != '\0' && characters < 18) {
        bytes++;
        while (((unsigned char)name[bytes] & 0xC0) == 0x80) {
            bytes++;
        }
        characters++;
    }
    (void)snprintf(text, sizeof text, "%.*s%s, %s", (int)(bytes < 60 ? bytes : 60), name,
                   name[bytes] != '\0' ? "…" : "", direction);
    html_text(page, text);
}

static void one_bar(const report *of, html *page, size_t index, double top, double most)
{
    const trn_rating *one = &of->drive.all[index];
    const double width = fmin(one->use, most) / most * (BAR_RIGHT - BAR_LEFT);
    char text[DISPLAY_TEXT];
    bar_text(page, BAR_LEFT - 6, top + 12, "tick y");
    case_words(page, of->drive.cases[index / DIRECTIONS].name, direction_words[index % DIRECTIONS]);
    html_end(page);
    bar(page, BAR_LEFT, top, width, one->met ? "bar" : "bar over");
    bar_text(page, BAR_LEFT + width + 4, top + 12, "label");
    html_text_f(page, "%s %%%s", display_text(&of->shown, QUANTITY_SHARE, one->use, text), one->met ? "" : " ✗");
    html_end(page);
}

static void draw_use(const report *of, html *page)
{
    const size_t count = of->drive.case_count * DIRECTIONS;
    const double height = 30 + (double)count * (BAR_HEIGHT + BAR_GAP);
    double most = 1.2;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, fmin(of->drive.all[i].use * 1.05, 3));
    }
    const double limit = BAR_LEFT + (BAR_RIGHT - BAR_LEFT) / most;
    text_figure(page);
    html_start(page, "svg");
    html_attribute(page, "class", "chart bars");
    html_attribute_f(page, "viewBox", "0 0 %.0f %.0f", CHART_WIDTH, height);
    html_attribute(page, "role", "img");
    html_attribute(page, "aria-labelledby", "chart-use-title chart-use-words");
    html_start(page, "title");
    html_attribute(page, "id", "chart-use-title");
    html_text(page, "Use of what each case allows of the drive");
    html_end(page);
    html_start(page, "desc");
    html_attribute(page, "id", "chart-use-words");
    html_text(page, "A bar for each case and direction; one beyond the line at 100 % is not met. The table has the "
                    "numbers.");
    html_end(page);
    for (size_t i = 0; i < count; i++) {
        one_bar(of, page, i, 22 + (double)i * (BAR_HEIGHT + BAR_GAP), most);
    }
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f 16V%.2f", limit, height - 4);
    html_attribute(page, "class", "limit");
    html_end(page);
    bar_text(page, limit, 12, "tick x");
    html_text(page, "100 % allowed");
    html_end(page);
    html_end(page);
    text_caption(page, "Use of what each case allows. A bar beyond the line is marked ✗: not met.");
}

static void write_governing(const report *of, html *page)
{
    size_t worst = 0;
    for (size_t i = 1; i < of->drive.case_count * DIRECTIONS; i++) {
        worst = of->drive.all[i].use > of->drive.all[worst].use ? i : worst;
    }
    const trn_rating *one = &of->drive.all[worst];
    html_start(page, "p");
    html_text(page, "Governs: case ");
    html_name(page, of->drive.cases[worst / DIRECTIONS].name);
    html_text_f(page,
                ", %s, at %s: use %s, margin %s. Use is the share of what a case allows that its worst angle "
                "takes.",
                direction_words[worst % DIRECTIONS], amount_of(&of->shown, QUANTITY_ANGLE, one->worst_angle_rad).text,
                amount_of(&of->shown, QUANTITY_SHARE, one->use).text,
                amount_of(&of->shown, QUANTITY_SHARE, 1 - one->use).text);
    html_end(page);
}

static void write_sizes(const report *of, html *page)
{
    double sizes[DRIVE_SIZES];
    const double needed_W = drive_needed_power(&of->drive, of->drive.all);
    if (!(needed_W > 0)) {
        return;
    }
    drive_next_sizes(&of->drive, sizes);
    const double factor = of->shown.of[QUANTITY_POWER].factor;
    text_paragraph(
        page,
        "Rated power needed of a motor of this rated speed and ratio, with %d running, for the cases above%s: %s. "
        "Numbers of the series R20 from there on: %.4g, %.4g, %.4g %s.",
        of->leaf->motors->running, of->drive.has_duty ? " and the duty" : "",
        amount_of(&of->shown, QUANTITY_POWER, needed_W).text, sizes[0] * factor, sizes[1] * factor, sizes[2] * factor,
        of->shown.of[QUANTITY_POWER].unit);
    if (of->drive.left > 0) {
        text_paragraph(page, "With one motor out it would be %s.",
                       amount_of(&of->shown, QUANTITY_POWER, drive_needed_power(&of->drive, of->drive.one_out)).text);
    }
}

static void write_duty(const report *of, html *page)
{
    const trn_duty_rating *duty = &of->drive.duty;
    html_start(page, "p");
    html_text(page, "Duty, case ");
    html_name(page, drive_duty_case(of->leaf));
    html_text_f(page, ": rms torque %s over a period of %.4g s, of which %.4g s in motion; rated %s, use %s: %s.",
                amount_of(&of->shown, QUANTITY_TORQUE, duty->rms_Nm).text, duty->period_s, duty->moving_s,
                amount_of(&of->shown, QUANTITY_TORQUE, duty->rated_Nm).text,
                amount_of(&of->shown, QUANTITY_SHARE, duty->use).text, duty->met ? "met" : "not met");
    html_end(page);
}

/* What is allowed is a share of rated torque; the motor's own law may give less at the speed of the travel. */
static void warn_of_law(const report *of, html *page)
{
    size_t short_of = 0;
    for (size_t i = 0; i < of->drive.case_count * DIRECTIONS && !by_cylinders(of); i++) {
        short_of += !of->drive.all[i].law.met;
    }
    if (short_of > 0) {
        text_note(page, "Caution:",
                  "in %zu of the lines above more torque is asked of a motor, at some angle, than its torque law "
                  "gives at the speed of the travel: the leaf would lag or stall there.",
                  short_of);
    }
}

void report_drive(report *of, html *page)
{
    text_section(page, "drive", "Drive");
    if (!of->has_drive.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_drive.missing);
        html_end(page);
        return;
    }
    write_governing(of, page);
    draw_use(of, page);
    write_ratings(of, page,
                  by_cylinders(of) ? "What each case asks of the cylinders"
                                   : "What each case asks of each running motor",
                  of->drive.all);
    warn_of_law(of, page);
    if (of->drive.has_duty) {
        write_duty(of, page);
    }
    if (!by_cylinders(of)) {
        write_sizes(of, page);
    }
    if (of->drive.left > 0) {
        write_ratings(of, page, "With one motor out, for information: no requirement", of->drive.one_out);
    }
    write_inputs(of, page);
    write_basis(of, page);
    html_end(page);
}
