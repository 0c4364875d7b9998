/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "units.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>

#include "faults.h"

/* Units read anew in one description; more different ones are not meant seriously, and would take long. */
#define PARSED_MAX ((size_t)10000)

/* What UDUNITS takes at most, and as much again. */
#define ROOM_TO_PARSE ((size_t)64 * 1024)
#define ROOM_TO_OPEN ((size_t)4 * 1024 * 1024)

/* The only state that outlives a call: reading the database takes longer than all the rest of a reading. */
static struct {
    pthread_mutex_t lock;
    ut_system *system;
} database = {.lock = PTHREAD_MUTEX_INITIALIZER};

static ut_status visit_power(const ut_unit *basic, int power, dsc_unit *unit)
{
    const char *named = ut_get_symbol(basic, UT_ASCII);
    const char *symbol = named ? named : "";
    if (strcmp(symbol, "m") == 0) {
        unit->dimension.m += power;
    } else if (strcmp(symbol, "kg") == 0) {
        unit->dimension.kg += power;
    } else if (strcmp(symbol, "s") == 0) {
        unit->dimension.s += power;
    } else if (strcmp(symbol, "rad") == 0) {
        unit->dimension.rad += power;
    } else if (strcmp(symbol, "K") == 0) {
        unit->dimension.K += power;
    } else {
        unit->dimension.other += power != 0;
    }
    return UT_SUCCESS;
}

static ut_status visit_basic(const ut_unit *basic, void *into)
{
    return visit_power(basic, 1, into);
}

static ut_status visit_product(const ut_unit *product, int count, const ut_unit *const *basics, const int *powers,
                               void *into)
{
    (void)product;
    for (int i = 0; i < count; i++) {
        visit_power(basics[i], powers[i], into);
    }
    return UT_SUCCESS;
}

static ut_status refuse_offset(dsc_unit *unit)
{
    snprintf(unit->words, sizeof unit->words, "a unit with an origin of its own is not read");
    return UT_SUCCESS;
}

static ut_status visit_galilean(const ut_unit *galilean, double scale, const ut_unit *underlying, double offset,
                                void *into);

/* GCOVR_EXCL_START: dsc_unit_plain lets no date through, but UDUNITS wants the function. */
static ut_status visit_timestamp(const ut_unit *timestamp, const ut_unit *time_unit, double origin, void *into)
{
    (void)timestamp;
    (void)time_unit;
    (void)origin;
    return refuse_offset(into);
}
/* GCOVR_EXCL_STOP */

static ut_status visit_logarithmic(const ut_unit *logarithmic, double base, const ut_unit *reference, void *into)
{
    (void)logarithmic;
    (void)base;
    (void)reference;
    dsc_unit *unit = into;
    snprintf(unit->words, sizeof unit->words, "a logarithmic unit is not read");
    return UT_SUCCESS;
}

static const ut_visitor visitor = {
    .visit_basic = visit_basic,
    .visit_product = visit_product,
    .visit_galilean = visit_galilean,
    .visit_timestamp = visit_timestamp,
    .visit_logarithmic = visit_logarithmic,
};

static ut_status visit_galilean(const ut_unit *galilean, double scale, const ut_unit *underlying, double offset,
                                void *into)
{
    (void)galilean;
    dsc_unit *unit = into;
    unit->scale *= scale;
    if (offset < 0 || offset > 0) {
        return refuse_offset(unit);
    }
    return ut_accept_visitor(underlying, &visitor, into);
}

/*
 * UDUNITS' scanner ends the process where it gets no memory, and its reader of
 * the database may crash: see first that there is enough.
 */
static bool has_room(size_t bytes)
{
    /* Volatile, or a compiler takes memory that nobody uses for granted and never asks. */
    void *volatile room = malloc(bytes);
    const bool is_there = room != NULL;
    free(room);
    return is_there;
}

/* Parse a plain text; *known says whether UDUNITS knows it. */
static trn_status parse(const char *plain, dsc_unit *unit, bool *known)
{
    if (!has_room(ROOM_TO_PARSE)) {
        return TRN_NO_MEMORY;
    }
    ut_unit *parsed = ut_parse(database.system, plain, UT_ASCII);
    *known = parsed != NULL;
    if (!parsed) {
        return ut_get_status() == UT_OS ? TRN_NO_MEMORY : TRN_OK;
    }
    *unit = (dsc_unit){.scale = 1};
    ut_status visited = ut_accept_visitor(parsed, &visitor, unit);
    ut_free(parsed);
    return visited == UT_SUCCESS ? TRN_OK : TRN_NO_MEMORY;
}

static void unknown_name(const char *name, dsc_unit *unit)
{
    char shown[DSC_EXCERPT];
    const char *meant = dsc_unit_meant(name, strlen(name));
    if (meant) {
        snprintf(unit->words, sizeof unit->words, "unknown unit \"%.24s\" (did you mean \"%s\"?)", name, meant);
    } else {
        snprintf(unit->words, sizeof unit->words, "unknown unit \"%s\"", dsc_excerpt(shown, name, strlen(name)));
    }
}

/* Look at each name by itself: is it a name of energy, or, where the whole is unknown, is it the one unknown? */
static trn_status study_names(const char *plain, bool known, dsc_unit *unit)
{
    size_t at = 0;
    const char *name = NULL;
    size_t length = 0;
    while (dsc_unit_next_name(plain, &at, &name, &length)) {
        char alone[DSC_UNIT_PLAIN_MAX];
        memcpy(alone, name, length);
        alone[length] = '\0';
        dsc_unit part = {0};
        bool part_known = false;
        trn_status status = parse(alone, &part, &part_known);
        if (status != TRN_OK) {
            return status;
        }
        if (!part_known) {
            unknown_name(alone, unit);
            return TRN_OK;
        }
        unit->energy = unit->energy || (part.dimension.m == 2 && part.dimension.kg == 1);
    }
    if (!known) {
        snprintf(unit->words, sizeof unit->words, "the unit cannot be read");
    }
    return TRN_OK;
}

static trn_status open_database(void)
{
    if (!database.system && !has_room(ROOM_TO_OPEN)) {
        return TRN_NO_MEMORY;
    }
    if (!database.system) {
        database.system = ut_read_xml(NULL);
    }
    if (database.system) {
        return TRN_OK;
    }
    return ut_get_status() == UT_OS ? TRN_NO_MEMORY : TRN_NO_UNITS;
}

static trn_status read_anew(const char *text, size_t length, dsc_unit *unit)
{
    *unit = (dsc_unit){.scale = 1};
    char plain[DSC_UNIT_PLAIN_MAX];
    if (!dsc_unit_plain(text, length, plain, unit->words)) {
        return TRN_OK;
    }
    pthread_mutex_lock(&database.lock);
    ut_error_message_handler before = ut_set_error_message_handler(ut_ignore);
    trn_status status = open_database();
    bool known = false;
    if (status == TRN_OK) {
        status = parse(plain, unit, &known);
    }
    if (status == TRN_OK) {
        status = study_names(plain, known, unit);
    }
    ut_set_error_message_handler(before);
    pthread_mutex_unlock(&database.lock);
    return status;
}

/* The place of a text in the cache: where it is, or the free one where it belongs. */
static dsc_kept_unit *place_of(dsc_units *units, const char *text, size_t length)
{
    size_t hash = length;
    for (size_t i = 0; i < length; i++) {
        hash = hash * 31 + (unsigned char)text[i];
    }
    dsc_kept_unit *place = &units->kept[hash % DSC_UNITS_PLACES];
    while (place->length != 0 && (place->length != length || memcmp(place->text, text, length) != 0)) {
        place = place + 1 < units->kept + DSC_UNITS_PLACES ? place + 1 : units->kept;
    }
    return place;
}

trn_status dsc_unit_read(dsc_units *units, const char *text, size_t length, const dsc_unit **unit)
{
    dsc_kept_unit *place = units->kept ? place_of(units, text, length) : NULL;
    if (place && place->length != 0) {
        *unit = &place->unit;
        return TRN_OK;
    }
    if (units->parsed == PARSED_MAX) {
        units->last = (dsc_unit){.words = "too many different units in one description"};
        *unit = &units->last;
        return TRN_OK;
    }
    units->parsed++;
    bool keep = place && length <= sizeof place->text && units->count < DSC_UNITS_KEPT;
    dsc_unit *read = keep ? &place->unit : &units->last;
    *unit = read;
    trn_status status = read_anew(text, length, read);
    if (status == TRN_OK && keep) {
        memcpy(place->text, text, length);
        place->length = length;
        units->count++;
    }
    return status;
}
