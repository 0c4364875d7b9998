/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faults.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "characters.h"

int dsc_place_compare(dsc_place a, dsc_place b)
{
    if (a.line != b.line) {
        return a.line < b.line ? -1 : 1;
    }
    return (a.column > b.column) - (a.column < b.column);
}

static dsc_place place_of(const trn_fault *fault)
{
    return (dsc_place){fault->line, fault->column};
}

bool dsc_faults_want(const trn_faults *faults, dsc_place place)
{
    return faults->count < TRN_FAULTS_MAX || dsc_place_compare(place, place_of(&faults->at[faults->count - 1])) < 0;
}

/* Where a fault belongs: behind those at the same place, so that they keep the order in which they were found. */
static size_t slot_for(const trn_faults *faults, dsc_place place)
{
    size_t slot = faults->count;
    while (slot > 0 && dsc_place_compare(place, place_of(&faults->at[slot - 1])) < 0) {
        slot--;
    }
    return slot;
}

/* Nodes behind an alias are read more than once, and their faults found as often. */
static bool is_known(const trn_faults *faults, size_t slot, const trn_fault *fault)
{
    while (slot > 0 && dsc_place_compare(place_of(&faults->at[slot - 1]), place_of(fault)) == 0) {
        slot--;
        if (strcmp(faults->at[slot].text, fault->text) == 0) {
            return true;
        }
    }
    return false;
}

void dsc_faults_add(trn_faults *faults, dsc_place place, const char *format, ...)
{
    if (!dsc_faults_want(faults, place)) {
        faults->more = true;
        return;
    }
    trn_fault fault = {.line = place.line, .column = place.column};
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(fault.text, sizeof fault.text, format, arguments);
    va_end(arguments);

    size_t slot = slot_for(faults, place);
    if (is_known(faults, slot, &fault)) {
        return;
    }
    if (faults->count == TRN_FAULTS_MAX) {
        faults->more = true;
        faults->count--;
    }
    memmove(&faults->at[slot + 1], &faults->at[slot], (faults->count - slot) * sizeof fault);
    faults->at[slot] = fault;
    faults->count++;
}

const char *dsc_excerpt(char into[DSC_EXCERPT], const char *text, size_t length)
{
    const size_t most = DSC_EXCERPT - sizeof "...";
    size_t shown = length;
    if (length > most) {
        shown = most;
        while (shown > 0 && ((unsigned char)text[shown] & 0xC0) == 0x80) {
            shown--;
        }
    }
    memcpy(into, text, shown);
    for (size_t i = 0; i < shown; i++) {
        memset(into + i, '?', dsc_control_length(into + i, shown - i));
    }
    snprintf(into + shown, DSC_EXCERPT - shown, "%s", shown < length ? "..." : "");
    return into;
}
