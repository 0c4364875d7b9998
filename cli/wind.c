/* SPDX-License-Identifier: GPL-3.0-or-later */
/* wind: the wind that still lets the leaf raise, lower, hold, angle by angle; against the posted limit. */
#include "wind.h"

#include <math.h>
#include <stdlib.h>

#include "command.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/json.h"
#include "present/table.h"
#include "remedy.h"
#include "trunnion/rating.h"

const wind_unit wind_units[WIND_UNITS] = {
    {"m/s", 1}, {"km/h", 1 / 3.6}, {"mph", 0.44704}, {"kn", 1852.0 / 3600}, {"up to Beaufort", 0}};

const char *wind_speed_text(double speed_m_s, const wind_unit *unit, char text[DISPLAY_TEXT])
{
    const int within = trn_beaufort_within(speed_m_s);
    if (!isfinite(speed_m_s) || (!(unit->m_s > 0) && within < 0)) {
        (void)snprintf(text, DISPLAY_TEXT, "–");
    } else if (unit->m_s > 0) {
        (void)snprintf(text, DISPLAY_TEXT, "%.1f", speed_m_s / unit->m_s);
    } else {
        (void)snprintf(text, DISPLAY_TEXT, "%d", within);
    }
    return text;
}

const char *wind_speed_words(double speed_m_s, char text[SPEED_TEXT])
{
    size_t used = 0;
    for (size_t i = 0; wind_units[i].m_s > 0; i++) {
        used += (size_t)snprintf(text + used, SPEED_TEXT - used, "%.1f %s, ", speed_m_s / wind_units[i].m_s,
                                 wind_units[i].name);
    }
    (void)snprintf(text + used, SPEED_TEXT - used, "Beaufort %d", trn_beaufort(speed_m_s));
    return text;
}

/* The actions that make sense of a leaf: what is out must have been there. */
static void list_actions(wind_result *of)
{
    const trn_leaf *leaf = of->leaf;
    const bool cylinders = leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_CYLINDER;
    const bool moves = leaf->drive != NULL && (cylinders || leaf->motors != NULL);
    const bool holds = leaf->brake_count > 0;
    const int running = leaf->motors != NULL ? leaf->motors->running : 1;
    const int left = moves && !cylinders ? trn_motors_left(leaf->motors) : 0;
    const wind_action list[WIND_ACTIONS] = {
        {"raise", moves, true, {TRN_RAISE, running, false}, {0, 0}, {0, 0}, NULL},
        {"lower", moves, true, {TRN_LOWER, running, false}, {0, 0}, {0, 0}, NULL},
        {"hold", holds, true, {TRN_HOLD, 1, false}, {0, 0}, {0, 0}, NULL},
        {"raise, one motor out", left > 0, false, {TRN_RAISE, left, false}, {0, 0}, {0, 0}, NULL},
        {"lower, one motor out", left > 0, false, {TRN_LOWER, left, false}, {0, 0}, {0, 0}, NULL},
        {"hold, one brake out", holds, false, {TRN_HOLD, 1, true}, {0, 0}, {0, 0}, NULL},
    };
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        of->actions[i] = list[i];
    }
}

/* Where no motor drives, it is the limit that is known already. */
static trn_status find_limit_by_law(const wind_result *of, wind_action *one, trn_error *error)
{
    one->by_law = one->lowest;
    return one->question.action == TRN_HOLD || of->leaf->motors == NULL
               ? TRN_OK
               : trn_wind_limit_by_law(of->leaf, one->question, &one->by_law, error);
}

static exit_status find_limits(const options *asked, wind_result *of)
{
    trn_error error;
    if (!of->actions[0].there && !of->actions[2].there) {
        error =
            (trn_error){TRN_MISSING_SECTION, "the description needs the sections 'drive' and 'motors', or 'brakes'"};
        return fail_leaf(asked, &error);
    }
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        wind_action *one = &of->actions[i];
        if (!one->there) {
            continue;
        }
        one->speeds_m_s = calloc(of->angles.count, sizeof *one->speeds_m_s);
        if (one->speeds_m_s == NULL) {
            return fail_memory();
        }
        if (trn_wind_limit(of->leaf, one->question, &one->lowest, &error) != TRN_OK ||
            find_limit_by_law(of, one, &error) != TRN_OK ||
            trn_wind_limits_at(of->leaf, one->question, of->angles.radians, of->angles.count, one->speeds_m_s,
                               &error) != TRN_OK) {
            return fail_leaf(asked, &error);
        }
    }
    if (of->actions[0].there &&
        trn_wind_comes_down(of->leaf, of->actions[0].question.motors_running, &of->comes_down, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    return EXIT_DONE;
}

exit_status wind_compute(const options *asked, double step_deg, wind_result *of)
{
    list_actions(of);
    const exit_status status = angle_list_make(of->leaf->opens_to_rad, step_deg, &of->angles);
    return status == EXIT_DONE ? find_limits(asked, of) : status;
}

void wind_free(wind_result *of)
{
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        free(of->actions[i].speeds_m_s);
    }
    angle_list_free(&of->angles);
}

double wind_lowest_of_all(const wind_result *of)
{
    double lowest = HUGE_VAL;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->actions[i].there && of->actions[i].whole) {
            lowest = fmin(lowest, of->actions[i].lowest.speed_m_s);
        }
    }
    return lowest;
}

bool wind_is_short_of_law(const wind_action *one)
{
    return one->there && one->by_law.speed_m_s < one->lowest.speed_m_s * (1 - 1e-9);
}

bool wind_law_bears_posted(const wind_result *of)
{
    bool bears = true;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        const bool counts = one->whole && wind_is_short_of_law(one);
        bears = bears && !(counts && one->by_law.speed_m_s < of->leaf->posted_wind_m_s);
    }
    return bears;
}

static const char *speed_cell(const display *shown, double speed_m_s, char text[DISPLAY_TEXT])
{
    if (isfinite(speed_m_s)) {
        return display_text(shown, QUANTITY_WIND_SPEED, speed_m_s, text);
    }
    (void)snprintf(text, DISPLAY_TEXT, "–");
    return text;
}

static exit_status angles_table(const wind_result *of, FILE *stream)
{
    char text[DISPLAY_TEXT];
    char alignment[WIND_ACTIONS + 2] = "r";
    size_t columns = 1;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->actions[i].there) {
            alignment[columns++] = 'r';
        }
    }
    alignment[columns] = '\0';
    table made = table_make(alignment, 2);
    table_cell(&made, "angle");
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        if (of->actions[i].there) {
            table_cell(&made, of->actions[i].words);
        }
    }
    table_cell(&made, of->shown.of[QUANTITY_ANGLE].unit);
    for (size_t i = 1; i < columns; i++) {
        table_cell(&made, of->shown.of[QUANTITY_WIND_SPEED].unit);
    }
    for (size_t k = 0; k < of->angles.count; k++) {
        (void)snprintf(text, sizeof text, "%.10g", of->angles.degrees[k]);
        table_cell(&made, text);
        for (size_t i = 0; i < WIND_ACTIONS; i++) {
            if (of->actions[i].there) {
                table_cell(&made, speed_cell(&of->shown, of->actions[i].speeds_m_s[k], text));
            }
        }
    }
    return table_print(&made, stream);
}

static exit_status summary(const wind_result *of, FILE *stream)
{
    char text[DISPLAY_TEXT];
    table made = table_make("lrrrrrr", 1);
    table_cell(&made, "");
    for (size_t i = 0; i < WIND_UNITS; i++) {
        table_cell(&made, wind_units[i].name);
    }
    table_cell(&made, "at");
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (!one->there) {
            continue;
        }
        table_cell(&made, one->words);
        for (size_t k = 0; k < WIND_UNITS; k++) {
            table_cell(&made, wind_speed_text(one->lowest.speed_m_s, &wind_units[k], text));
        }
        (void)snprintf(text, sizeof text, "%.4g°", degrees_of(one->lowest.angle_rad));
        table_cell(&made, isfinite(one->lowest.speed_m_s) ? text : "");
    }
    return table_print(&made, stream);
}

static bool posted_met(const wind_result *of)
{
    return wind_lowest_of_all(of) >= of->leaf->posted_wind_m_s;
}

/* The limits are reckoned by rated torque, which a motor's own law may not give at the speed of the travel. */
static void lines_of_law(const wind_result *of, FILE *stream)
{
    char text[SPEED_TEXT];
    const char *begins = "\nThe motors' law gives less at the travel's speed than motor_limit × rated torque. It is "
                         "enough:\n";
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (wind_is_short_of_law(one)) {
            (void)fprintf(stream, "%s  to %s: up to %s, at %.4g°\n", begins, one->words,
                          wind_speed_words(one->by_law.speed_m_s, text), degrees_of(one->by_law.angle_rad));
            begins = "";
        }
    }
}

static void sentences(const wind_result *of, FILE *stream)
{
    char text[SPEED_TEXT];
    char remedy[REMEDY_WORDS];
    (void)fputs("\nUp to Beaufort: the highest number of which every wind lies within the limit. Beaufort counts "
                "ten-minute means, the\nlimits are those of the gust itself.\n",
                stream);
    if (of->actions[0].there) {
        (void)fputs(
            of->comes_down
                ? "\nA leaf that could be raised can be brought down again in the same wind.\n"
                : "\nA leaf that was raised may NOT come down again: on the way down lowering fails in less wind.\n",
            stream);
    }
    if (of->leaf->posted_wind_m_s > 0) {
        (void)fprintf(stream, "Posted limit: %s: %s.\n%s", wind_speed_words(of->leaf->posted_wind_m_s, text),
                      posted_met(of) ? "met with nothing out" : "NOT met",
                      wind_law_bears_posted(of) ? "" : "What the motors' law gives is NOT enough up to it.\n");
    }
    const char *help = remedy_wind(of, remedy);
    if (help != NULL) {
        (void)fprintf(stream, "\nWhat would help: %s\n", help);
    }
}

static exit_status wind_table(const void *result, FILE *stream)
{
    const wind_result *of = result;
    (void)fprintf(stream,
                  "%s: the highest wind, from either side%s\n"
                  "A dash: %.0f m/s does not stop it. 0: calm air already does.\n\n",
                  of->leaf->name, display_friction_note(of->leaf), TRN_WIND_HIGHEST);
    exit_status status = angles_table(of, stream);
    (void)fputs("\nThe lowest over the whole travel:\n\n", stream);
    status = status == EXIT_DONE ? summary(of, stream) : status;
    lines_of_law(of, stream);
    sentences(of, stream);
    return status;
}

static exit_status wind_csv(const void *result, FILE *stream)
{
    const wind_result *of = result;
    (void)fputs("action,angle_deg,speed_m_s\r\n", stream);
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        for (size_t k = 0; k < of->angles.count && of->actions[i].there; k++) {
            csv_text(stream, of->actions[i].words, true);
            csv_number(stream, of->angles.degrees[k], false);
            if (isfinite(of->actions[i].speeds_m_s[k])) {
                csv_number(stream, of->actions[i].speeds_m_s[k], false);
            } else {
                csv_nothing(stream, false);
            }
            csv_end_line(stream);
        }
    }
    return EXIT_DONE;
}

static json_t *action_json(const wind_result *of, const wind_action *one)
{
    json_t *rows = json_array();
    int failed = rows == NULL;
    for (size_t k = 0; k < of->angles.count && failed == 0; k++) {
        json_t *row = json_pack("{s:f}", "angle_deg", of->angles.degrees[k]);
        failed |= json_put(row, "speed_m_s", isfinite(one->speeds_m_s[k]), one->speeds_m_s[k]);
        failed |= json_array_append_new(rows, row);
    }
    const bool limited = isfinite(one->lowest.speed_m_s);
    json_t *object = json_pack("{s:s}", "action", one->words);
    failed |= json_put(object, "limit_m_s", limited, one->lowest.speed_m_s);
    failed |= json_put(object, "angle_deg", limited, degrees_of(one->lowest.angle_rad));
    if (wind_is_short_of_law(one)) {
        failed |= json_object_set_new(object, "by_law",
                                      json_pack("{s:f, s:f}", "limit_m_s", one->by_law.speed_m_s, "angle_deg",
                                                degrees_of(one->by_law.angle_rad)));
    }
    failed |= json_object_set_new(object, "rows", rows);
    return json_unless(failed, object);
}

static exit_status wind_json(const void *result, FILE *stream)
{
    const wind_result *of = result;
    json_t *limits = json_array();
    int failed = limits == NULL;
    for (size_t i = 0; i < WIND_ACTIONS && failed == 0; i++) {
        if (of->actions[i].there) {
            failed = json_array_append_new(limits, action_json(of, &of->actions[i]));
        }
    }
    json_t *posted = of->leaf->posted_wind_m_s > 0
                         ? json_pack("{s:f, s:b}", "speed_m_s", of->leaf->posted_wind_m_s, "met", posted_met(of))
                         : json_null();
    return json_write(json_pack("{s:s, s:o, s:o, s:o}", "leaf", of->leaf->name, "limits", json_unless(failed, limits),
                                "posted", posted, "comes_down_again",
                                of->actions[0].there ? json_boolean(of->comes_down) : json_null()),
                      stream);
}

exit_status wind_verdict(const wind_result *of)
{
    exit_status status = EXIT_DONE;
    for (size_t i = 0; i < WIND_ACTIONS; i++) {
        const wind_action *one = &of->actions[i];
        if (one->whole && wind_is_short_of_law(one)) {
            warn("to %s the leaf the motors' law gives less at the travel's speed than motor_limit x rated: enough up "
                 "to %.4g m/s, at %.4g degree",
                 one->words, one->by_law.speed_m_s, degrees_of(one->by_law.angle_rad));
        }
        if (one->there && one->whole && one->lowest.speed_m_s < of->leaf->posted_wind_m_s) {
            status = not_met("posted wind of %.4g m/s: to %s the leaf at %.4g degree the limit is %.4g m/s",
                             of->leaf->posted_wind_m_s, one->words, degrees_of(one->lowest.angle_rad),
                             one->lowest.speed_m_s);
        }
    }
    return status;
}

static exit_status wind_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {wind_table, wind_csv, wind_json, wind_card, {794, 1123}};
    wind_result of = {.leaf = leaf, .shown = display_for(leaf)};
    const bool for_people = !asked->step_given && !asked->format_given && asked->plot_file == NULL;
    exit_status status = wind_compute(asked, for_people ? 5 : asked->step_deg, &of);
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &of);
    }
    if (status == EXIT_DONE) {
        status = wind_verdict(&of);
    }
    wind_free(&of);
    return status;
}

exit_status command_wind(const options *asked)
{
    return input_with_leaf(asked, wind_leaf);
}
