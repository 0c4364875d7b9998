/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file quantities.h
 * The kind of check that reads one quantity through the description reader:
 * "given quantity FIELD TEXT", and back comes the field in SI.
 */
#ifndef TRN_PUBLISHED_QUANTITIES_H
#define TRN_PUBLISHED_QUANTITIES_H

#include "check_file.h"
#include "trunnion/trunnion.h"

/* The fields of a tiny leaf. The one that is asked about takes the text of the
   check, the others what stands here; all SI units, so that they cannot fail. */
static const char *const fields[][2] = {
    {"length", "24 m"},
    {"angle", "1.2 rad"},
    {"weight", "1000 N"},
    {"weight_per_length", "100 N/m"},
    {"weight_per_area", "900 Pa"},
    {"unit_weight", "24000 N/m3"},
    {"drag", "0 N m"},
    {"ratio", "1500"},
    {"power", "30000 W"},
    {"motor_speed", "90 rad/s"},
    {"rotor_inertia", "1.8 kg m2"},
    {"torque", "300 N m"},
    {"time", "0.5 s"},
    {"leaf_speed", "0.02 rad/s"},
    {"pressure", "480 Pa"},
    {"wind_speed", "13 m/s"},
    {"share", "1.8"},
};

#define FIELDS (sizeof fields / sizeof fields[0])

static size_t field_index(const char *name)
{
    size_t i = 0;
    while (i < FIELDS && strcmp(fields[i][0], name) != 0)
        i++;
    return i;
}

/* {NAME} stands for the text of a field. */
static const char template_text[] =
    "leaf: tiny\n"
    "opens_to: {angle}\n"
    "toe: {length}\n"
    "parts:\n"
    "  - {name: a, weight: {weight}, at: [1 m, 0 m]}\n"
    "  - {name: b, weight_per_length: {weight_per_length}, from: [0 m, 0 m], to: [1 m, 0 m]}\n"
    "  - {name: c, weight_per_area: {weight_per_area}, width: 9 m, from: [0 m, 0 m], to: [1 m, 0 m]}\n"
    "  - {name: d, unit_weight: {unit_weight}, width: 1 m, outline: [[0 m, 0 m], [1 m, 0 m], [1 m, 1 m]]}\n"
    "trunnion: {journal_diameter: 0.48 m, friction: {starting: 0.18, moving: 0.12}, drag: {drag}}\n"
    "drive: {ratio: {ratio}, efficiency: 0.9}\n"
    "motors: {installed: 1, running: 1, power: {power}, speed: {motor_speed}, inertia: {rotor_inertia}}\n"
    "brakes: [{name: e, count: 1, torque: {torque}, ratio: 1500, delay: 0.3 s, set_time: {time}}]\n"
    "travel: {speed: {leaf_speed}, accelerate_in: 8 s, creep: 15 %, near_open: 0.01 rad, near_closed: 0.001 rad,"
    " decelerate_in: 6 s}\n"
    "cases: [{name: f, wind: {pressure: {pressure}}, motor_limit: {share}}]\n"
    "posted_wind: {wind_speed}\n";

static void append(char *into, size_t room, const char *text, size_t length)
{
    size_t used = strlen(into);
    if (used + length >= room) {
        printf("Bail out! no room for the description of a quantity\n");
        exit(2);
    }
    memcpy(into + used, text, length);
    into[used + length] = '\0';
}

static void fill_template(char *into, size_t room, size_t field, const char *text)
{
    into[0] = '\0';
    for (const char *from = template_text; *from;) {
        size_t name_length = *from == '{' ? strcspn(from + 1, "{}:, ") : 0;
        size_t i = 0;
        if (name_length && from[1 + name_length] == '}')
            while (i < FIELDS && !(strlen(fields[i][0]) == name_length &&
                                   strncmp(fields[i][0], from + 1, name_length) == 0))
                i++;
        else
            i = FIELDS;
        if (i < FIELDS) {
            const char *with = i == field ? text : fields[i][1];
            append(into, room, with, strlen(with));
            from += name_length + 2;
        } else {
            append(into, room, from, 1);
            from++;
        }
    }
}

static double field_of(const trn_leaf *leaf, size_t field)
{
    const double values[] = {
        leaf->toe_m,
        leaf->opens_to_rad,
        leaf->parts[0].weight_N,
        leaf->parts[1].weight_per_length_N_m,
        leaf->parts[2].weight_per_area_N_m2,
        leaf->parts[3].unit_weight_N_m3,
        leaf->trunnion->drag_Nm,
        leaf->drive->ratio,
        leaf->motors->power_W,
        leaf->motors->speed_rad_s,
        leaf->motors->inertia_kg_m2,
        leaf->brakes[0].torque_Nm,
        leaf->brakes[0].set_time_s,
        leaf->travel->speed_rad_s,
        leaf->cases[0].wind.pressure_Pa,
        leaf->posted_wind_m_s,
        leaf->cases[0].motor_limit,
    };
    _Static_assert(sizeof values / sizeof values[0] == FIELDS, "one value for each field");
    return values[field];
}

/* What the reader makes of "FIELD TEXT", in SI. */
static double read_quantity(const check *of, const text_line *line)
{
    char text[LINE_MAX_LENGTH];
    char description[sizeof template_text + FIELDS * LINE_MAX_LENGTH];
    strcpy(text, line->text);
    words from = {of, line->number, text};
    const char *keyword = next_word(&from);
    const char *name = next_word(&from);
    size_t field = field_index(name);
    if (strcmp(keyword, "quantity") != 0 || field == FIELDS)
        bail_out(of->file, line->number, "no field to read a quantity into", line->text);
    fill_template(description, sizeof description, field, from.rest);
    trn_description *read = NULL;
    static trn_faults faults;
    if (trn_description_read(description, strlen(description), &read, &faults) != TRN_OK)
        bail_out(of->file, line->number, "the reader refuses the quantity",
                 faults.count ? faults.at[0].text : "without a fault");
    double value = field_of(trn_description_leaf(read), field);
    trn_description_free(read);
    return value;
}

#endif
