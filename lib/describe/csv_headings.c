/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The headings of a table: a name and, in brackets, a unit. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "csv.h"

#define UNIT_MAX ((size_t)200)

bool csv_has(const csv_columns *columns, size_t role)
{
    return columns->found[role].line > 0;
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
static bool take_apart(const csv_field *field, const csv_form *form, trn_faults *faults, heading *into)
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
        dsc_faults_add(faults, field->place, "\"%s\" has a bracket that does not end it: expected such as %s [%s]",
                       dsc_excerpt(shown, field->text, field->length), form->roles[0].name, form->roles[0].example);
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

/* The role of a name; the form's count where there is none of that name. */
static size_t role_of(const csv_form *form, const char *name, size_t length)
{
    size_t role = 0;
    while (role < form->role_count &&
           (strlen(form->roles[role].name) != length || memcmp(form->roles[role].name, name, length) != 0)) {
        role++;
    }
    return role;
}

static void refuse_unknown(const heading *of, const csv_form *form, trn_faults *faults)
{
    const char *names[CSV_ROLES_MAX];
    for (size_t i = 0; i < form->role_count; i++) {
        names[i] = form->roles[i].name;
    }
    char shown[DSC_EXCERPT];
    const char *meant = dsc_nearest(of->name, of->name_length, 3, names, form->role_count);
    if (of->name_length == 0) {
        dsc_faults_add(faults, of->place, "a heading is missing: expected a name such as %s [%s]", form->roles[0].name,
                       form->roles[0].example);
    } else if (meant) {
        dsc_faults_add(faults, of->place, "unknown heading \"%s\": did you mean \"%s\"?",
                       dsc_excerpt(shown, of->name, of->name_length), meant);
    } else {
        dsc_faults_add(faults, of->place, "unknown heading \"%s\": expected %s%s",
                       dsc_excerpt(shown, of->name, of->name_length), form->headings, form->further);
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
static trn_status read_plain_unit(const heading *of, dsc_kind kind, dsc_units *units, double *scale,
                                  char words[DSC_WORDS])
{
    char one[UNIT_MAX + 3] = "1 ";
    bool good = false;
    memcpy(one + 2, of->unit, of->unit_length);
    const trn_status status = dsc_quantity_read(units, one, of->unit_length + 2, DSC_ANY(kind), scale, &good, words);
    if (good) {
        words[0] = '\0';
    }
    return status;
}

/* The scale of a column; *good is false, with a fault, where its unit is not right. */
static trn_status read_unit(const heading *of, const csv_role *role, dsc_units *units, trn_faults *faults,
                            double *scale, bool *good)
{
    char words[DSC_WORDS] = "";
    trn_status status = TRN_OK;
    if (role->example == NULL) {
        if (of->unit) {
            snprintf(words, sizeof words, "no unit belongs here: expected %s alone", role->name);
        }
    } else if (!of->unit || of->unit_length == 0) {
        snprintf(words, sizeof words, "the unit is missing: expected %s [%s]", role->name, role->example);
    } else if (of->unit_length > UNIT_MAX) {
        snprintf(words, sizeof words, "the unit is too long: expected %s [%s]", role->name, role->example);
    } else if (role->kind == DSC_PURE) {
        status = read_strain_unit(of, units, scale, words);
    } else {
        status = read_plain_unit(of, role->kind, units, scale, words);
    }
    *good = words[0] == '\0';
    if (status == TRN_OK && !*good) {
        dsc_faults_add(faults, of->place, "%s: %s", role->name, words);
    }
    return status;
}

/* A column's role is known; is it a second one of its kind? */
static bool is_first(const heading *of, size_t role, const csv_form *form, trn_faults *faults, csv_columns *columns)
{
    const csv_role *roles = form->roles;
    if (csv_has(columns, role)) {
        dsc_faults_add(faults, of->place, "the heading \"%s\" stands twice, first in column %d: expected it once",
                       roles[role].name, columns->found[role].column);
        return false;
    }
    columns->found[role] = of->place;
    if (roles[role].need != CSV_ONE_OF) {
        return true;
    }
    if (columns->value != form->role_count) {
        dsc_faults_add(faults, of->place, "\"%s\" beside \"%s\": expected one of %s", roles[role].name,
                       roles[columns->value].name, form->one_of);
        return false;
    }
    columns->value = role;
    return true;
}

static trn_status read_heading(const csv_field *field, const csv_form *form, dsc_units *units, trn_faults *faults,
                               csv_columns *columns)
{
    heading taken;
    csv_column column = {.role = form->role_count};
    trn_status status = TRN_OK;
    if (take_apart(field, form, faults, &taken)) {
        const size_t role = role_of(form, taken.name, taken.name_length);
        bool good = false;
        if (role == form->role_count) {
            refuse_unknown(&taken, form, faults);
        } else if (is_first(&taken, role, form, faults, columns)) {
            status = read_unit(&taken, &form->roles[role], units, faults, &column.scale, &good);
        }
        column.role = good ? role : form->role_count;
    }
    if (columns->count < CSV_COLUMNS_KEPT) {
        columns->at[columns->count] = column;
    }
    columns->count++;
    return status;
}

static void check_required(const csv_form *form, const csv_role *role, trn_faults *faults)
{
    const bool has_unit = role->example != NULL;
    dsc_faults_add(faults, (dsc_place){1, 1}, "there is no heading \"%s%s%s%s\": expected %s", role->name,
                   has_unit ? " [" : "", has_unit ? role->example : "", has_unit ? "]" : "", form->headings);
}

static void check_complete(const csv_form *form, trn_faults *faults, const csv_columns *columns)
{
    if (faults->count > 0) {
        return; /* a heading at fault may be the one that lacks */
    }
    for (size_t i = 0; i < form->role_count; i++) {
        const csv_role *role = &form->roles[i];
        if (role->need == CSV_REQUIRED && !csv_has(columns, i)) {
            check_required(form, role, faults);
        }
        const size_t beside = role->beside ? role_of(form, role->beside, strlen(role->beside)) : i;
        if (csv_has(columns, i) && !csv_has(columns, beside)) {
            dsc_faults_add(faults, columns->found[i], "\"%s\" without \"%s\": expected such as %s [%s] beside it",
                           role->name, role->beside, role->beside, form->roles[beside].example);
        }
    }
    if (columns->value == form->role_count) {
        dsc_faults_add(faults, (dsc_place){1, 1}, "there is no heading of what was measured: expected %s",
                       form->headings);
    }
}

/* The first line as a whole: a table in another form is told as such, once. */
static bool is_comma_separated(const csv_scanner *from, trn_faults *faults)
{
    csv_scanner along = *from;
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

static bool starts_with_heading(const csv_field *field, const csv_form *form, trn_faults *faults)
{
    if (dsc_number_length(field->text, field->length) == 0) {
        return true;
    }
    dsc_faults_add(faults, field->place, "the first line holds a number: expected headings, %s", form->headings);
    return false;
}

trn_status csv_read_headings(csv_scanner *from, const csv_form *form, dsc_units *units, trn_faults *faults,
                             csv_columns *columns, bool *usable)
{
    trn_status status = TRN_OK;
    csv_after after = CSV_COMMA;
    *columns = (csv_columns){.value = form->role_count};
    *usable = is_comma_separated(from, faults);
    while (*usable && status == TRN_OK && after == CSV_COMMA && !faults->more) {
        csv_field field;
        after = csv_next_field(from, faults, &field);
        *usable = after != CSV_BROKEN && (columns->count > 0 || starts_with_heading(&field, form, faults));
        if (*usable) {
            status = read_heading(&field, form, units, faults, columns);
        }
    }
    if (*usable && status == TRN_OK) {
        check_complete(form, faults, columns);
    }
    return status;
}
