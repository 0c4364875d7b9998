/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The headings of a record: a name and, in brackets, a unit. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "record_parts.h"

static const struct {
    const char *name;
    const char *example; /* of a unit; NULL: no unit belongs there */
    dsc_kind kind;
} roles[] = {
    [REC_ANGLE] = {"angle", "degree", DSC_ANGLE},
    [REC_DIRECTION] = {"direction", NULL, DSC_PURE},
    [REC_LEAF_TORQUE] = {"leaf torque", "kN m", DSC_TORQUE},
    [REC_MOTOR_TORQUE] = {"motor torque", "N m", DSC_TORQUE},
    [REC_SHAFT_TORQUE] = {"shaft torque", "kN m", DSC_TORQUE},
    [REC_SHAFT_STRAIN] = {"shaft strain", "1e-6", DSC_PURE},
    [REC_MOTOR_POWER] = {"motor power", "kW", DSC_POWER},
    [REC_TIME] = {"time", "s", DSC_TIME},
    [REC_RUN] = {"run", NULL, DSC_PURE},
    [REC_WIND_SPEED] = {"wind speed", "m/s", DSC_SPEED},
    [REC_WIND_SIDE] = {"wind side", NULL, DSC_PURE},
};

#define HEADINGS \
    "angle [degree], direction, and one of leaf torque, motor torque, shaft torque, shaft strain, motor power"
#define UNIT_MAX ((size_t)200)

const char *rec_role_name(rec_role role)
{
    return roles[role].name;
}

bool rec_has(const rec_columns *columns, rec_role role)
{
    return columns->found[role].line > 0;
}

static bool is_value(rec_role role)
{
    return role >= REC_LEAF_TORQUE && role <= REC_MOTOR_POWER;
}

/* A heading taken apart; unit is NULL where it has no brackets. */
typedef struct heading {
    const char *name;
    size_t name_length;
    const char *unit;
    size_t unit_length;
    dsc_place place;
} heading;

static size_t without_blanks(const char *text, size_t length)
{
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t')) {
        length--;
    }
    return length;
}

/* False, with a fault, where the brackets are not whole. */
static bool take_apart(const rec_field *field, trn_faults *faults, heading *into)
{
    const char *bracket = memchr(field->text, '[', field->length);
    const size_t name_length = bracket ? (size_t)(bracket - field->text) : field->length;
    *into =
        (heading){.name = field->text, .name_length = without_blanks(field->text, name_length), .place = field->place};
    if (!bracket) {
        return true;
    }
    char shown[DSC_EXCERPT];
    if (field->text[field->length - 1] != ']') {
        dsc_faults_add(faults, field->place,
                       "\"%s\" has a bracket that does not end it: expected such as angle [degree]",
                       dsc_excerpt(shown, field->text, field->length));
        return false;
    }
    into->unit = bracket + 1;
    into->unit_length = field->length - name_length - 2;
    while (into->unit_length > 0 && (*into->unit == ' ' || *into->unit == '\t')) {
        into->unit++;
        into->unit_length--;
    }
    into->unit_length = without_blanks(into->unit, into->unit_length);
    return true;
}

static rec_role role_of(const heading *of)
{
    int role = 0;
    while (role < REC_ROLES &&
           (strlen(roles[role].name) != of->name_length || memcmp(roles[role].name, of->name, of->name_length) != 0)) {
        role++;
    }
    return (rec_role)role;
}

static void refuse_unknown(const heading *of, trn_faults *faults)
{
    const char *names[REC_ROLES];
    for (int i = 0; i < REC_ROLES; i++) {
        names[i] = roles[i].name;
    }
    char shown[DSC_EXCERPT];
    const char *meant = dsc_nearest(of->name, of->name_length, 3, names, REC_ROLES);
    if (of->name_length == 0) {
        dsc_faults_add(faults, of->place, "a heading is missing: expected a name such as angle [degree]");
    } else if (meant) {
        dsc_faults_add(faults, of->place, "unknown heading \"%s\": did you mean \"%s\"?",
                       dsc_excerpt(shown, of->name, of->name_length), meant);
    } else {
        dsc_faults_add(faults, of->place,
                       "unknown heading \"%s\": expected " HEADINGS "; and, where wanted, time, run, "
                       "wind speed, wind side",
                       dsc_excerpt(shown, of->name, of->name_length));
    }
}

/* Strain is a pure number, for which people write the unit as a number or as lengths over lengths. */
static trn_status read_strain_unit(const heading *of, dsc_units *units, double *scale, char words[DSC_WORDS])
{
    char copy[UNIT_MAX + 1];
    memcpy(copy, of->unit, of->unit_length);
    copy[of->unit_length] = '\0';
    if (dsc_number_length(of->unit, of->unit_length) == of->unit_length) {
        *scale = strtod(copy, NULL);
    } else if (strcmp(copy, "%") == 0) {
        *scale = 0.01;
    } else {
        const dsc_unit *unit = NULL;
        const trn_status status = dsc_unit_read(units, of->unit, of->unit_length, &unit);
        if (status != TRN_OK) {
            return status;
        }
        const dsc_dimension *d = &unit->dimension;
        const bool pure = unit->words[0] == '\0' && !d->m && !d->kg && !d->s && !d->rad && !d->K && !d->other;
        *scale = pure ? unit->scale : 0;
    }
    if (!(*scale >= 1e-12 && *scale <= 1)) {
        char shown[DSC_EXCERPT];
        snprintf(words, DSC_WORDS, "\"%s\" is no unit of strain: expected such as [1e-6], [1] or [%%]",
                 dsc_excerpt(shown, of->unit, of->unit_length));
    }
    return TRN_OK;
}

/* One of the unit, read as a quantity: its words are those of the description. */
static trn_status read_plain_unit(const heading *of, rec_role role, dsc_units *units, double *scale,
                                  char words[DSC_WORDS])
{
    char one[UNIT_MAX + 3] = "1 ";
    bool good = false;
    memcpy(one + 2, of->unit, of->unit_length);
    const trn_status status =
        dsc_quantity_read(units, one, of->unit_length + 2, DSC_ANY(roles[role].kind), scale, &good, words);
    if (good) {
        words[0] = '\0';
    }
    return status;
}

/* The scale of a column; *good is false, with a fault, where its unit is not right. */
static trn_status read_unit(const heading *of, rec_role role, dsc_units *units, trn_faults *faults, double *scale,
                            bool *good)
{
    char words[DSC_WORDS] = "";
    trn_status status = TRN_OK;
    if (roles[role].example == NULL) {
        if (of->unit) {
            snprintf(words, sizeof words, "no unit belongs here: expected %s alone", roles[role].name);
        }
    } else if (!of->unit || of->unit_length == 0) {
        snprintf(words, sizeof words, "the unit is missing: expected %s [%s]", roles[role].name, roles[role].example);
    } else if (of->unit_length > UNIT_MAX) {
        snprintf(words, sizeof words, "the unit is too long: expected %s [%s]", roles[role].name, roles[role].example);
    } else if (role == REC_SHAFT_STRAIN) {
        status = read_strain_unit(of, units, scale, words);
    } else {
        status = read_plain_unit(of, role, units, scale, words);
    }
    *good = words[0] == '\0';
    if (status == TRN_OK && !*good) {
        dsc_faults_add(faults, of->place, "%s: %s", roles[role].name, words);
    }
    return status;
}

/* A column's role is known; is it a second one of its kind? */
static bool is_first(const heading *of, rec_role role, trn_faults *faults, rec_columns *columns)
{
    if (rec_has(columns, role)) {
        dsc_faults_add(faults, of->place, "the heading \"%s\" stands twice, first in column %d: expected it once",
                       roles[role].name, columns->found[role].column);
        return false;
    }
    columns->found[role] = of->place;
    if (!is_value(role)) {
        return true;
    }
    if (columns->value != REC_ROLES) {
        dsc_faults_add(faults, of->place, "\"%s\" beside \"%s\": expected one of torque, strain and power",
                       roles[role].name, roles[columns->value].name);
        return false;
    }
    columns->value = role;
    return true;
}

static trn_status read_heading(const rec_field *field, dsc_units *units, trn_faults *faults, rec_columns *columns)
{
    heading taken;
    rec_column column = {.role = REC_ROLES};
    trn_status status = TRN_OK;
    if (take_apart(field, faults, &taken)) {
        const rec_role role = role_of(&taken);
        bool good = false;
        if (role == REC_ROLES) {
            refuse_unknown(&taken, faults);
        } else if (is_first(&taken, role, faults, columns)) {
            status = read_unit(&taken, role, units, faults, &column.scale, &good);
        }
        column.role = good ? role : REC_ROLES;
    }
    if (columns->count < REC_COLUMNS_KEPT) {
        columns->at[columns->count] = column;
    }
    columns->count++;
    return status;
}

static void check_complete(trn_faults *faults, const rec_columns *columns)
{
    const dsc_place start = {1, 1};
    if (faults->count > 0) {
        return; /* a heading at fault may be the one that lacks */
    }
    if (!rec_has(columns, REC_ANGLE)) {
        dsc_faults_add(faults, start, "there is no heading \"angle [degree]\": expected " HEADINGS);
    }
    if (!rec_has(columns, REC_DIRECTION)) {
        dsc_faults_add(faults, start, "there is no heading \"direction\": expected " HEADINGS);
    }
    if (columns->value == REC_ROLES) {
        dsc_faults_add(faults, start, "there is no heading of what was measured: expected " HEADINGS);
    }
    if (rec_has(columns, REC_WIND_SIDE) && !rec_has(columns, REC_WIND_SPEED)) {
        dsc_faults_add(faults, columns->found[REC_WIND_SIDE],
                       "\"wind side\" without \"wind speed\": expected such as wind speed [m/s] beside it");
    }
}

/* The first line as a whole: a table in another form is told as such, once. */
static bool is_comma_separated(const rec_scanner *from, trn_faults *faults)
{
    rec_scanner along = *from;
    dsc_place semicolon = {0, 0};
    dsc_place tab = {0, 0};
    bool comma = false;
    while (along.at < along.end && *along.at != '\n' && *along.at != '\r') {
        comma = comma || *along.at == ',';
        if (*along.at == ';' && semicolon.line == 0) {
            semicolon = along.place;
        } else if (*along.at == '\t' && tab.line == 0) {
            tab = along.place;
        }
        along.place.column += ((unsigned char)*along.at & 0xC0) != 0x80;
        along.at++;
    }
    if (comma || (semicolon.line == 0 && tab.line == 0)) {
        return true;
    }
    dsc_faults_add(faults, semicolon.line > 0 ? semicolon : tab,
                   "the fields are parted by %s: expected commas between fields, and a point as the decimal mark",
                   semicolon.line > 0 ? "semicolons" : "tabs");
    return false;
}

static bool starts_with_heading(const rec_field *field, trn_faults *faults)
{
    if (dsc_number_length(field->text, field->length) == 0) {
        return true;
    }
    dsc_faults_add(faults, field->place, "the first line holds a number: expected headings, " HEADINGS);
    return false;
}

trn_status rec_read_headings(rec_scanner *from, dsc_units *units, trn_faults *faults, rec_columns *columns,
                             bool *usable)
{
    trn_status status = TRN_OK;
    rec_after after = REC_COMMA;
    *columns = (rec_columns){.value = REC_ROLES};
    *usable = is_comma_separated(from, faults);
    while (*usable && status == TRN_OK && after == REC_COMMA && !faults->more) {
        rec_field field;
        after = rec_next_field(from, faults, &field);
        *usable = after != REC_BROKEN && (columns->count > 0 || starts_with_heading(&field, faults));
        if (*usable) {
            status = read_heading(&field, units, faults, columns);
        }
    }
    if (*usable && status == TRN_OK) {
        check_complete(faults, columns);
    }
    return status;
}
